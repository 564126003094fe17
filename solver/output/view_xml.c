/* The renderer of XML: the page's sections, then its figures and its series, as
   docs/schema/answer-1.rng says. */
#include <math.h>
#include <stdio.h>

#include "output/view.h"
#include "output/xml.h"

#define SPACE "urn:baronet:answer:1" /* ends in VIEW_VERSION */
_Static_assert(VIEW_VERSION == 1, "the namespace names the version");

static void set_number(xml_document *d, xml_element *e, const char *name, int number) {
    char digits[16];
    snprintf(digits, sizeof digits, "%d", number);
    xml_set(d, e, name, digits);
}

static void add_cells(xml_document *d, xml_element *in, const char *const *cells, int columns) {
    for (int i = 0; i < columns; i++) {
        xml_add(d, in, "cell", cells[i]);
    }
}

static void add_table(xml_document *d, xml_element *in, const table *t) {
    xml_element *const e = xml_add(d, in, "table", NULL);
    set_number(d, e, "labels", t->labels);
    add_cells(d, xml_add(d, e, "header", NULL), t->header, t->columns);
    for (const table_row *row = t->first; row != NULL; row = row->next) {
        add_cells(d, xml_add(d, e, "row", NULL), row->cell, t->columns);
    }
}

static xml_element *begin_section(xml_document *d, xml_element *root, const block *b) {
    xml_element *const e = xml_add(d, root, "section", NULL);
    xml_set(d, e, "heading", b->text);
    xml_set(d, e, "chapter", b->kind == BLOCK_CHAPTER ? "true" : "false");
    if (b->state != NULL) {
        xml_set(d, e, "state", b->state);
    }
    return e;
}

static void add_blocks(xml_document *d, xml_element *root, const page *p) {
    xml_element *in = root;
    for (const block *b = p->first; b != NULL; b = b->next) {
        if (view_begins_section(b)) {
            in = begin_section(d, root, b);
        } else if (view_keeps(b) && b->kind == BLOCK_TABLE) {
            add_table(d, in, b->table);
        } else if (view_keeps(b)) {
            xml_add(d, in, view_kind(b->kind), b->text);
        }
    }
}

static void add_figures(xml_document *d, xml_element *root, const page *p) {
    xml_element *const in = xml_add(d, root, "figures", NULL);
    for (size_t i = 0; i < p->figures; i++) {
        const baronet_figure *const f = &p->figure[i];
        const baronet_unit *const unit = baronet_unit_shown(p->units, f->dimension);
        text_buffer digits = {.allocator = p->allocator};
        xml_element *const e = xml_add(d, in, "figure", NULL);
        xml_set(d, e, "study", f->study);
        xml_set(d, e, "state", f->state);
        xml_set(d, e, "case", f->load_case);
        xml_set(d, e, "level", f->level);
        xml_set(d, e, "quantity", f->quantity);
        xml_set(d, e, "subject", f->subject);
        if (isfinite(f->value)) {
            text_buffer_number(&digits, view_value(f->value, unit), VIEW_DIGITS);
            xml_set(d, e, "value", digits.failed ? "" : digits.bytes);
        }
        xml_set(d, e, "unit", unit->name);
        d->failed = d->failed || digits.failed;
        text_buffer_free(&digits);
    }
}

/* A row's numbers, parted by blanks; NaN stands where there is none. */
static void add_row(xml_document *d, xml_element *in, const series *s, const series_row *row,
                    baronet_unit_system units, text_buffer *line) {
    xml_element *const e = xml_add(d, in, "row", NULL);
    for (int i = 0; i < s->labels; i++) {
        xml_add(d, e, "label", row->label[i]);
    }
    line->length = 0;
    for (int i = 0; i < s->columns; i++) {
        const baronet_unit *const unit = baronet_unit_shown(units, s->column[i].dimension);
        text_buffer_add(line, i > 0 ? " " : "");
        if (isfinite(row->value[i])) {
            text_buffer_number(line, view_value(row->value[i], unit), VIEW_DIGITS);
        } else {
            text_buffer_add(line, "NaN");
        }
    }
    d->failed = d->failed || line->failed;
    xml_add(d, e, "values", line->length > 0 && !line->failed ? line->bytes : NULL);
}

static void add_series(xml_document *d, xml_element *root, const page *p) {
    const series *const s = p->series;
    if (s == NULL) {
        return;
    }
    xml_element *const in = xml_add(d, root, "series", NULL);
    for (int i = 0; i < s->labels; i++) {
        xml_set(d, xml_add(d, in, "label-column", NULL), "name", s->label[i]);
    }
    for (int i = 0; i < s->columns; i++) {
        xml_element *const e = xml_add(d, in, "column", NULL);
        xml_set(d, e, "name", s->column[i].name);
        xml_set(d, e, "unit", baronet_unit_shown(p->units, s->column[i].dimension)->name);
    }
    text_buffer line = {.allocator = p->allocator};
    for (const series_row *row = s->first; row != NULL; row = row->next) {
        add_row(d, in, s, row, p->units, &line);
    }
    text_buffer_free(&line);
}

void view_xml(const page *p, text_buffer *out) {
    xml_document d;
    xml_element *const root = xml_begin(&d, p->allocator, "answer", SPACE);
    set_number(&d, root, "version", VIEW_VERSION);
    xml_set(&d, root, "study", p->study);
    xml_set(&d, root, "program", BARONET_VERSION);
    xml_set(&d, root, "units", view_units(p->units));
    xml_element *const status = xml_add(&d, root, "status", baronet_status_text(p->status));
    set_number(&d, status, "code", (int)p->status);
    set_number(&d, status, "exit", baronet_status_exit_code(p->status));
    add_blocks(&d, root, p);
    add_figures(&d, root, p);
    add_series(&d, root, p);
    xml_write(&d, out);
    xml_end(&d);
}
