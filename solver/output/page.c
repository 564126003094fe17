#include "output/page.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* Significant digits for people: gauges, scales and tapes show three. */
enum { SIGNIFICANT = 3, DECIMALS_MOST = 6 };
/* Below this, in any unit that is shown, nothing is left to show. */
#define SLIGHT 5e-7
/* The smallest residual that is told from rounding, and the rounding of a mantissa. */
#define SLIGHT_FLOOR 1e-10
#define SLIGHT_GRACE 1e-9

page *page_create(const baronet_allocator *allocator, baronet_unit_system units) {
    arena *a;
    page *p = ARENA_OWNER(page, allocator, &a);
    if (p == NULL) {
        return NULL;
    }
    p->arena = a;
    p->allocator = allocator;
    p->units = units;
    p->study = "";
    p->rendered.allocator = allocator;
    return p;
}

void baronet_answer_destroy(baronet_answer *answer) {
    if (answer != NULL) {
        text_buffer_free(&answer->rendered);
        memory_resize(answer->allocator, answer->figure, 0);
        while (answer->parts != NULL) {
            page *part = answer->parts;
            answer->parts = part->next_part;
            baronet_answer_destroy(part);
        }
        arena_destroy(answer->arena);
    }
}

baronet_status baronet_answer_status(const baronet_answer *answer) {
    return answer->status;
}

size_t baronet_answer_figures(const baronet_answer *answer) {
    return answer->figures;
}

const baronet_figure *baronet_answer_figure(const baronet_answer *answer, size_t index) {
    return &answer->figure[index];
}

double baronet_answer_value(const baronet_answer *answer, const char *state, const char *at,
                            const char *quantity, const char *subject) {
    for (size_t i = 0; i < answer->figures; i++) {
        const baronet_figure *f = &answer->figure[i];
        if (strcmp(f->state, state) == 0 && strcmp(f->level, at) == 0 &&
            strcmp(f->quantity, quantity) == 0 && strcmp(f->subject, subject) == 0) {
            return f->value;
        }
    }
    return (double)NAN;
}

void page_set_study(page *p, const char *study) {
    if (p != NULL) {
        p->study = study;
    }
}

void page_set_status(page *p, baronet_status status) {
    if (p->status == BARONET_OK) {
        p->status = status;
    }
}

void *page_take(page *p, size_t count, size_t size) {
    void *taken = p->failed ? NULL : arena_take(p->arena, count, size);
    p->failed = p->failed || taken == NULL;
    return taken;
}

const char *page_copy(page *p, const char *terminated) {
    const size_t length = strlen(terminated);
    char *copy = page_take(p, length + 1, 1);
    return copy != NULL ? memcpy(copy, terminated, length + 1) : "";
}

const char *page_spoken(page *p, const char *name) {
    const size_t length = strlen(name);
    char *words = page_take(p, length + 1, 1);
    for (size_t k = 0; k < length && words != NULL; k++) {
        words[k] = name[k] == '_' ? ' ' : name[k];
    }
    return words != NULL ? words : "";
}

const char *page_keep(page *p, text_buffer *buffer) {
    p->failed = p->failed || buffer->failed;
    const char *copy = page_copy(p, buffer->length > 0 ? buffer->bytes : "");
    text_buffer_free(buffer);
    return copy;
}

/* Numbers within the words have a point whatever the locale around the library. */
static void add_formatted(text_buffer *buffer, const char *format, va_list arguments) {
    const locale_t plain = newlocale(LC_NUMERIC_MASK, "C", (locale_t)0);
    if (plain == (locale_t)0) {
        buffer->failed = true;
        return;
    }
    const locale_t around = uselocale(plain); /* of this thread alone */
    text_buffer_vformat(buffer, format, arguments);
    uselocale(around);
    freelocale(plain);
}

const char *page_format(page *p, const char *format, ...) {
    text_buffer buffer = {.allocator = p->allocator};
    va_list arguments;
    va_start(arguments, format);
    add_formatted(&buffer, format, arguments);
    va_end(arguments);
    return page_keep(p, &buffer);
}

static block *add_block(page *p, block_kind kind) {
    block *b = page_take(p, 1, sizeof *b);
    if (b != NULL) {
        b->kind = kind;
        b->section = p->state != NULL ? p->sections : 0;
        b->state = p->state;
        *(p->last != NULL ? &p->last->next : &p->first) = b;
        p->last = b;
    }
    return b;
}

void page_add(page *p, block_kind kind, const char *words) {
    const char *copy = page_copy(p, words);
    block *b = add_block(p, kind);
    if (b != NULL) {
        b->text = copy;
    }
}

void page_addf(page *p, block_kind kind, const char *format, ...) {
    text_buffer buffer = {.allocator = p->allocator};
    va_list arguments;
    va_start(arguments, format);
    add_formatted(&buffer, format, arguments);
    va_end(arguments);
    const char *copy = page_keep(p, &buffer);
    block *b = add_block(p, kind);
    if (b != NULL) {
        b->text = copy;
    }
}

void page_set_state(page *p, const char *state) {
    p->state = state != NULL ? page_copy(p, state) : NULL;
    p->sections++;
}

void page_add_picture(page *p, const picture *c) {
    block *b = add_block(p, BLOCK_PICTURE);
    if (b != NULL) {
        b->picture = c;
    }
}

void page_add_plan(page *p, const plan *pl) {
    block *b = add_block(p, BLOCK_PLAN);
    if (b != NULL) {
        b->plan = pl;
    }
}

static double shown(const page *p, baronet_dimension dimension, double value, bool change) {
    const baronet_unit *unit = baronet_unit_shown(p->units, dimension);
    return (value - (change ? 0.0 : unit->offset)) / unit->factor;
}

double page_shown(const page *p, baronet_dimension dimension, double value) {
    return shown(p, dimension, value, false);
}

/* Digits after the point for three significant ones. */
static int decimals_for(double number) {
    const double size = fabs(number);
    if (!(size > SLIGHT) || !isfinite(size)) {
        return 1; /* rounding of a nought */
    }
    int lead = (int)floor(log10(size));
    const double next = pow(10.0, lead + 1);
    lead += size >= next * (1.0 - 0.5 * pow(10.0, -SIGNIFICANT)); /* 9.996 is shown as 10.0 */
    const int decimals = SIGNIFICANT - 1 - lead;
    return decimals < 0 ? 0 : (decimals > DECIMALS_MOST ? DECIMALS_MOST : decimals);
}

static const char *number_text(page *p, double number, int decimals, bool sign) {
    if (!isfinite(number)) {
        return "-";
    }
    text_buffer buffer = {.allocator = p->allocator};
    text_buffer_add(&buffer, sign && number > 0.0 ? "+" : "");
    text_buffer_fixed(&buffer, number, decimals);
    const char *words = page_keep(p, &buffer);
    /* What rounds to nought has no sign. */
    return words[0] == '+' && strpbrk(words, "123456789") == NULL ? words + 1 : words;
}

const char *page_number(page *p, baronet_dimension dimension, double value, int decimals) {
    const double number = shown(p, dimension, value, false);
    return number_text(p, number, decimals >= 0 ? decimals : decimals_for(number), false);
}

const char *page_degrees(page *p, double angle, int decimals) {
    return number_text(p, angle / baronet_unit_find("deg", 3)->factor, decimals, false);
}

const char *page_unit(const page *p, baronet_dimension dimension) {
    return baronet_unit_shown(p->units, dimension)->name;
}

void page_write(const page *p, baronet_dimension dimension, double value, text_buffer *out) {
    if (!isfinite(value)) {
        text_buffer_add(out, "-");
        return;
    }
    const double number = shown(p, dimension, value, false);
    const char *unit = page_unit(p, dimension);
    text_buffer_fixed(out, number, decimals_for(number));
    text_buffer_add(out, unit[0] != '\0' ? " " : "");
    text_buffer_add(out, unit);
}

static const char *with_unit(page *p, const char *number, baronet_dimension dimension) {
    const char *unit = page_unit(p, dimension);
    return unit[0] != '\0' ? page_format(p, "%s %s", number, unit) : number;
}

const char *page_quantity(page *p, baronet_dimension dimension, double value) {
    return with_unit(p, page_number(p, dimension, value, -1), dimension);
}

const char *page_change(page *p, baronet_dimension dimension, double value) {
    const double number = shown(p, dimension, value, true);
    return with_unit(p, number_text(p, number, decimals_for(number), true), dimension);
}

const char *page_slight(page *p, double number) {
    if (!isfinite(number)) {
        return "-";
    }
    const double floor_of_tens = pow(10.0, floor(log10(fmax(fabs(number), SLIGHT_FLOOR))));
    const double bound =
        number == 0.0
            ? 0.0
            : ceil(fmax(fabs(number), SLIGHT_FLOOR) / floor_of_tens * (1.0 - SLIGHT_GRACE)) *
                  floor_of_tens;
    text_buffer buffer = {.allocator = p->allocator};
    text_buffer_number(&buffer, bound, 1);
    return page_keep(p, &buffer);
}

int page_decimals(const page *p, baronet_dimension dimension, int count, const double *values) {
    double largest = 0.0;
    for (int i = 0; i < count; i++) {
        const double number = fabs(shown(p, dimension, values[i], false));
        largest = number > largest ? number : largest; /* false for NAN */
    }
    return decimals_for(largest);
}

/* Values whose three digits are fine enough. */
#define FINE_LENGTH   0.02 /* m */
#define FINE_PRESSURE 5e5  /* Pa */
#define FINE_ANGLE    0.02 /* rad */

int page_fine(const page *p, baronet_dimension dimension) {
    const double usual = dimension == BARONET_LENGTH     ? FINE_LENGTH
                         : dimension == BARONET_PRESSURE ? FINE_PRESSURE
                         : dimension == BARONET_ANGLE    ? FINE_ANGLE
                                                         : 1.0;
    return page_decimals(p, dimension, 1, &usual);
}

const char *page_fine_change(page *p, baronet_dimension dimension, double value) {
    const double number = shown(p, dimension, value, true);
    return with_unit(p, number_text(p, number, page_fine(p, dimension), true), dimension);
}

table *page_table(page *p, int columns, int labels, const char *const *header) {
    table *t = page_take(p, 1, sizeof *t);
    const char **names = page_take(p, (size_t)columns, sizeof *names);
    block *b = add_block(p, BLOCK_TABLE);
    if (t == NULL || names == NULL || b == NULL) {
        return NULL;
    }
    *t = (table){.owner = p, .columns = columns, .labels = labels, .header = names};
    for (int i = 0; i < columns; i++) {
        names[i] = header[i] != NULL ? page_copy(p, header[i]) : NULL;
    }
    b->table = t;
    return t;
}

void table_add(table *t, const char *const *cells) {
    if (t == NULL) {
        return;
    }
    table_row *row = page_take(t->owner, 1, sizeof *row);
    const char **copy = page_take(t->owner, (size_t)t->columns, sizeof *copy);
    if (row == NULL || copy == NULL) {
        return;
    }
    for (int i = 0; i < t->columns; i++) {
        copy[i] = cells[i] != NULL ? page_copy(t->owner, cells[i]) : NULL;
    }
    row->cell = copy;
    *(t->last != NULL ? &t->last->next : &t->first) = row;
    t->last = row;
    t->rows++;
}

void table_set_prose(table *t) {
    if (t != NULL) {
        t->prose = true;
    }
}

void table_set_states(table *t) {
    if (t != NULL) {
        t->states = true;
    }
}

bool table_is_empty(const table *t) {
    return t->rows == 0 || (!t->prose && t->columns <= t->labels);
}

void table_values(table *t, const char *label, baronet_dimension dimension, int count,
                  const double *values) {
    const char **cells = t != NULL ? page_take(t->owner, (size_t)t->columns, sizeof *cells) : NULL;
    if (cells == NULL) {
        return;
    }
    cells[0] = label;
    cells[1] = page_unit(t->owner, dimension);
    const int decimals = page_decimals(t->owner, dimension, count, values);
    for (int i = 0; i < count && 2 + i < t->columns; i++) {
        cells[2 + i] = page_number(t->owner, dimension, values[i], decimals);
    }
    table_add(t, cells);
}

static baronet_figure *next_figure(page *p) {
    if (p->figures == p->figure_capacity) {
        baronet_figure *more =
            memory_grow(p->allocator, p->figure, p->figures, &p->figure_capacity, sizeof *more);
        if (more == NULL) {
            p->failed = true;
            return NULL;
        }
        p->figure = more;
    }
    return &p->figure[p->figures++];
}

void page_refuse(page *p, const char *name) {
    page_set_status(p, BARONET_NOT_FINITE);
    if (!p->refused) {
        page_addf(
            p, BLOCK_CAUTION,
            "no number was found for `%s`: it is left out, and what goes with it is not to be "
            "trusted",
            name);
    }
    p->refused = true;
}

void page_figures(page *p, const char *study, const char *state, const char *with, const model *m,
                  const figure_list *list) {
    p->failed = p->failed || list->failed;
    if (list->unsound) {
        page_refuse(p, figure_at(list->culprit.quantity)->name);
    }
    const char *study_name = page_copy(p, study);
    const char *state_name = page_copy(p, state);
    const char *case_name = page_copy(p, with);
    for (size_t i = 0; i < list->count && !p->failed; i++) {
        const figure *f = &list->figure[i];
        text_buffer subject = {.allocator = p->allocator};
        figure_subject_text(m, f, &subject);
        baronet_figure *out = next_figure(p);
        const char *subject_name = page_keep(p, &subject);
        if (out != NULL) {
            *out = (baronet_figure){.study = study_name,
                                    .state = state_name,
                                    .load_case = case_name,
                                    .level = level_name(f->level),
                                    .quantity = figure_at(f->quantity)->name,
                                    .subject = subject_name,
                                    .value = f->value,
                                    .dimension = figure_at(f->quantity)->dimension};
        }
    }
}

void page_adopt(page *p, page *part) {
    part->next_part = p->parts;
    p->parts = part;
    p->failed = p->failed || part->failed;
    part->first_section = p->sections;
    p->sections += part->sections;
    for (size_t i = 0; i < part->figures; i++) {
        baronet_figure *out = next_figure(p);
        if (out != NULL) {
            *out = part->figure[i];
        }
    }
}

void page_repeat(page *p, const page *part, const block *b) {
    block *copy = add_block(p, b->kind);
    if (copy != NULL) {
        block *const next = copy->next;
        *copy = *b;
        copy->next = next;
        copy->section += b->section > 0 ? part->first_section : 0;
    }
}

series *page_series(page *p, int labels, const char *const *label, int columns,
                    const series_column *column) {
    series *s = page_take(p, 1, sizeof *s);
    const char **names = page_take(p, (size_t)labels, sizeof *names);
    series_column *own = page_take(p, (size_t)columns, sizeof *own);
    if (s == NULL || names == NULL || own == NULL) {
        return NULL;
    }
    for (int i = 0; i < labels; i++) {
        names[i] = page_copy(p, label[i]);
    }
    for (int i = 0; i < columns; i++) {
        own[i] = (series_column){page_copy(p, column[i].name), column[i].dimension};
    }
    *s = (series){.owner = p, .labels = labels, .columns = columns, .label = names, .column = own};
    p->series = s;
    return s;
}

void series_set_whole(series *s, int columns) {
    if (s != NULL) {
        s->whole = columns;
    }
}

/* Names the first value that may not leave. */
static void check_row(series *s, const double *value) {
    for (int i = 0; i < s->columns; i++) {
        if (isinf(value[i]) || (i < s->whole && isnan(value[i]))) {
            page_refuse(s->owner, s->column[i].name);
            return;
        }
    }
}

void series_add(series *s, const char *const *label, const double *value) {
    if (s == NULL) {
        return;
    }
    series_row *row = page_take(s->owner, 1, sizeof *row);
    const char **names = page_take(s->owner, (size_t)s->labels, sizeof *names);
    double *own = page_take(s->owner, (size_t)s->columns, sizeof *own);
    if (row == NULL || names == NULL || own == NULL) {
        return;
    }
    for (int i = 0; i < s->labels; i++) {
        names[i] = page_copy(s->owner, label[i]);
    }
    memcpy(own, value, (size_t)s->columns * sizeof *own);
    check_row(s, own);
    row->label = names;
    row->value = own;
    *(s->last != NULL ? &s->last->next : &s->first) = row;
    s->last = row;
}
