#include "output/sheet.h"

#include <math.h>

bool sheet_make(sheet *out, page *p, const model *m, const states_answer *states) {
    *out = (sheet){.page = p,
                   .model = m,
                   .name = ARENA_ARRAY(p->arena, const char *, states->count),
                   .list = ARENA_ARRAY(p->arena, figure_list, states->count)};
    if (out->name == NULL || out->list == NULL) {
        p->failed = true;
        return false;
    }
    out->count = states->count;
    for (int k = 0; k < states->count; k++) {
        const states_entry *e = &states->entry[k];
        out->name[k] = e->name;
        out->list[k] = (figure_list){.allocator = p->allocator};
        if (e->problem.status == BARONET_OK) {
            figures_of_rates(&out->list[k], m, rates_result(e->rates));
        }
        p->failed = p->failed || out->list[k].failed;
    }
    return !p->failed;
}

void sheet_free(sheet *s) {
    for (int k = 0; k < s->count; k++) {
        figure_list_free(&s->list[k]);
    }
}

double sheet_value(const sheet *s, int state, figure_quantity q, level at, figure_subject kind,
                   int item) {
    const figure_list *list = &s->list[state];
    for (size_t i = 0; i < list->count; i++) {
        const figure *f = &list->figure[i];
        if (f->quantity == q && f->level == at && f->kind == kind && f->item == item) {
            return f->value;
        }
    }
    return (double)NAN;
}

void sheet_row(const sheet *s, table *t, const char *label, figure_quantity q, level at,
               figure_subject kind, int item) {
    double *values = page_take(s->page, (size_t)s->count, sizeof *values);
    bool any = false;
    for (int k = 0; k < s->count && values != NULL; k++) {
        values[k] = sheet_value(s, k, q, at, kind, item);
        any = any || !isnan(values[k]);
    }
    if (any) {
        table_values(t, label, figure_at(q)->dimension, s->count, values);
    }
}

/* A change that the digits shown do not show is written "=". */
static const char *change_cell(page *p, figure_quantity q, double from, double to) {
    if (isnan(from) || isnan(to)) {
        return "-";
    }
    const baronet_unit *unit = baronet_unit_shown(p->units, figure_at(q)->dimension);
    const double values[] = {from, to};
    const int decimals = page_decimals(p, figure_at(q)->dimension, 2, values);
    const double change = (to - from) / unit->factor;
    if (fabs(change) < 0.5 * pow(10.0, -decimals)) {
        return "=";
    }
    text_buffer words = {.allocator = p->allocator};
    text_buffer_add(&words, change > 0.0 ? "+" : "");
    text_buffer_fixed(&words, change, decimals);
    if (from > 0.0 && q != FIGURE_HEIGHT_SHIFT && q != FIGURE_ROLL_SHARE) {
        const double percent = 100.0 * (to - from) / from;
        text_buffer_add(&words, percent > 0.0 ? " +" : " ");
        text_buffer_fixed(&words, percent, fabs(percent) < 0.95 ? 1 : 0);
        text_buffer_add(&words, "%");
    }
    return page_keep(p, &words);
}

void sheet_change_row(const sheet *s, table *t, const char *label, int base, figure_quantity q,
                      level at, figure_subject kind, int item) {
    const char **cells = ARENA_ARRAY(s->page->arena, const char *, s->count + 1);
    if (cells == NULL) {
        s->page->failed = true;
        return;
    }
    const double from = sheet_value(s, base, q, at, kind, item);
    bool any = false;
    cells[0] = label;
    cells[1] = page_unit(s->page, figure_at(q)->dimension);
    int column = 2;
    for (int k = 0; k < s->count; k++) {
        if (k != base) {
            const double to = sheet_value(s, k, q, at, kind, item);
            any = any || (!isnan(from) && !isnan(to));
            cells[column++] = change_cell(s->page, q, from, to);
        }
    }
    if (any) {
        table_add(t, cells);
    }
}
