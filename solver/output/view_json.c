/* The renderer of JSON: the page's sections, its figures and its series, as docs/formats.md
   describes. jansson takes its memory from malloc, whatever allocator the library was given; each
   value that it makes may be missing. */
#include <jansson.h>
#include <math.h>

#include "output/view.h"
#include "output/xml.h"

typedef struct writer {
    bool failed;
    text_buffer words; /* of the text being added */
} writer;

/* A value joins what holds it, which then owns it. */
static void set(writer *w, json_t *in, const char *key, json_t *value) {
    w->failed = json_object_set_new(in, key, value) != 0 || w->failed;
}

static void append(writer *w, json_t *in, json_t *value) {
    w->failed = json_array_append_new(in, value) != 0 || w->failed;
}

static json_t *words_of(writer *w, const char *words) {
    if (words == NULL) {
        return json_null();
    }
    const char *const clean = xml_clean(&w->words, words);
    w->failed = w->failed || w->words.failed;
    return json_string(clean);
}

/* In the unit that is shown; null where there is no number. Adding 0 takes the sign off -0. */
static json_t *number_of(double value, const baronet_unit *unit) {
    return isfinite(value) ? json_real(view_value(value, unit) + 0.0) : json_null();
}

static json_t *cells_of(writer *w, const char *const *cells, int columns) {
    json_t *const list = json_array();
    for (int i = 0; i < columns; i++) {
        append(w, list, words_of(w, cells[i]));
    }
    return list;
}

static void add_table(writer *w, json_t *to, const table *t) {
    json_t *const rows = json_array();
    for (const table_row *row = t->first; row != NULL; row = row->next) {
        append(w, rows, cells_of(w, row->cell, t->columns));
    }
    set(w, to, "labels", json_integer(t->labels));
    set(w, to, "header", cells_of(w, t->header, t->columns));
    set(w, to, "rows", rows);
}

static json_t *block_of(writer *w, const block *b) {
    json_t *const made = json_object();
    set(w, made, "kind", words_of(w, view_kind(b->kind)));
    if (b->kind == BLOCK_TABLE) {
        add_table(w, made, b->table);
    } else {
        set(w, made, "text", words_of(w, b->text));
    }
    return made;
}

/* The blocks before the first heading, or after one, up to the next. */
static const block *add_content(writer *w, json_t *to, const block *b) {
    json_t *const content = json_array();
    while (b != NULL && !view_begins_section(b)) {
        if (b->kind == BLOCK_TITLE) {
            set(w, to, "title", words_of(w, b->text));
        } else if (view_keeps(b)) {
            append(w, content, block_of(w, b));
        }
        b = b->next;
    }
    set(w, to, "content", content);
    return b;
}

static void add_blocks(writer *w, json_t *root, const page *p) {
    json_t *const sections = json_array();
    const block *b = add_content(w, root, p->first);
    while (b != NULL) {
        json_t *const section = json_object();
        set(w, section, "heading", words_of(w, b->text));
        set(w, section, "chapter", json_boolean(b->kind == BLOCK_CHAPTER));
        set(w, section, "state", words_of(w, b->state));
        b = add_content(w, section, b->next);
        append(w, sections, section);
    }
    set(w, root, "sections", sections);
}

static json_t *figures_of(writer *w, const page *p) {
    json_t *const list = json_array();
    for (size_t i = 0; i < p->figures; i++) {
        const baronet_figure *const f = &p->figure[i];
        const baronet_unit *const unit = baronet_unit_shown(p->units, f->dimension);
        json_t *const made = json_object();
        set(w, made, "study", words_of(w, f->study));
        set(w, made, "state", words_of(w, f->state));
        set(w, made, "case", words_of(w, f->load_case));
        set(w, made, "level", words_of(w, f->level));
        set(w, made, "quantity", words_of(w, f->quantity));
        set(w, made, "subject", words_of(w, f->subject));
        set(w, made, "value", number_of(f->value, unit));
        set(w, made, "unit", words_of(w, unit->name));
        append(w, list, made);
    }
    return list;
}

static json_t *columns_of(writer *w, const series *s, baronet_unit_system units) {
    json_t *const list = json_array();
    for (int i = 0; i < s->columns; i++) {
        json_t *const made = json_object();
        set(w, made, "name", words_of(w, s->column[i].name));
        set(w, made, "unit", words_of(w, baronet_unit_shown(units, s->column[i].dimension)->name));
        append(w, list, made);
    }
    return list;
}

static json_t *row_of(writer *w, const series *s, const series_row *row,
                      baronet_unit_system units) {
    json_t *const list = cells_of(w, row->label, s->labels);
    for (int i = 0; i < s->columns; i++) {
        append(w, list,
               number_of(row->value[i], baronet_unit_shown(units, s->column[i].dimension)));
    }
    return list;
}

static json_t *series_of(writer *w, const page *p) {
    const series *const s = p->series;
    if (s == NULL) {
        return json_null();
    }
    json_t *const made = json_object(), *const rows = json_array();
    for (const series_row *row = s->first; row != NULL && !w->failed; row = row->next) {
        append(w, rows, row_of(w, s, row, p->units));
    }
    set(w, made, "labels", cells_of(w, s->label, s->labels));
    set(w, made, "columns", columns_of(w, s, p->units));
    set(w, made, "rows", rows);
    return made;
}

static json_t *status_of(writer *w, const page *p) {
    json_t *const made = json_object();
    set(w, made, "code", json_integer((json_int_t)p->status));
    set(w, made, "exit", json_integer(baronet_status_exit_code(p->status)));
    set(w, made, "text", words_of(w, baronet_status_text(p->status)));
    return made;
}

static int write_bytes(const char *bytes, size_t length, void *context) {
    text_buffer *const out = context;
    text_buffer_add_bytes(out, bytes, length);
    return out->failed ? -1 : 0;
}

void view_json(const page *p, text_buffer *out) {
    writer w = {.words.allocator = p->allocator};
    json_t *const root = json_object();
    set(&w, root, "format", words_of(&w, "baronet-answer"));
    set(&w, root, "version", json_integer(VIEW_VERSION));
    set(&w, root, "study", words_of(&w, p->study));
    set(&w, root, "program", words_of(&w, BARONET_VERSION));
    set(&w, root, "units", words_of(&w, view_units(p->units)));
    set(&w, root, "status", status_of(&w, p));
    add_blocks(&w, root, p);
    set(&w, root, "figures", figures_of(&w, p));
    set(&w, root, "series", series_of(&w, p));
    w.failed = w.failed || json_dump_callback(root, write_bytes, out,
                                              JSON_INDENT(1) | JSON_REAL_PRECISION(VIEW_DIGITS));
    json_decref(root);
    text_buffer_add(out, "\n");
    text_buffer_free(&w.words);
    out->failed = out->failed || w.failed;
}
