/* build_profile.c: profiles from their tables.
   SPDX-License-Identifier: MIT */
#include <string.h>

#include "netlist/build.h"

/* Where each kind of column stands in a table; -1 for none. */
typedef struct layout {
    int height, area, volume;
    int tests;
    int test[PROFILE_TESTS_MAX];        /* by rising pressure */
    double pressure[PROFILE_TESTS_MAX]; /* Pa gauge */
} layout;

static place cell_place(const statement *s, const statement_table *t, size_t row, int column) {
    return statement_value_place(s, &t->cell[row * t->columns + (size_t)column]);
}

static place column_place(const statement *s, const statement_table *t, size_t column) {
    return (place){s->entry->source, t->column[column].start, t->column[column].length};
}

/* Puts a column of loads among the others by its test pressure. */
static void add_test(build *b, const statement *s, layout *l, int column) {
    const statement_table *const t = s->table;
    const double P = pressure_gauge(b->m, &t->column[column].test);
    int at = l->tests;
    const place here = column_place(s, t, (size_t)column);
    if (l->tests == PROFILE_TESTS_MAX) {
        complain(b->r, here, NULL, "a profile has at most %d test pressures", PROFILE_TESTS_MAX);
        return;
    }
    if (P <= 0.0)
        complain(b->r, here, NULL, "a test pressure is to be above ambient pressure");
    for (; at > 0 && l->pressure[at - 1] >= P; at--) {
        if (l->pressure[at - 1] == P)
            complain(b->r, here, NULL, "this test pressure stands twice");
        l->pressure[at] = l->pressure[at - 1];
        l->test[at] = l->test[at - 1];
    }
    l->pressure[at] = P;
    l->test[at] = column;
    l->tests++;
}

static layout find_columns(build *b, const statement *s) {
    layout l = {.height = -1, .area = -1, .volume = -1};
    for (int i = 0; i < (int)s->table->columns; i++) {
        const grammar_column *const row = s->table->column[i].row;
        if (row->tested)
            add_test(b, s, &l, i);
        else
            *(strcmp(row->name, "height") == 0 ? &l.height
              : strcmp(row->name, "area") == 0 ? &l.area
                                               : &l.volume) = i;
    }
    return l;
}

/* False after a complaint of columns that do not go together. */
static bool check_columns(build *b, const statement *s, const layout *l) {
    const statement_table *const t = s->table;
    const size_t before = b->r->errors;
    const attribute *const anchor = statement_find(s, WORD_VOLUME);
    if (l->area >= 0 && l->tests > 0)
        complain(b->r, column_place(s, t, (size_t)l->area), NULL,
                 "a table gives the area or the load, not both");
    if (l->area < 0 && l->tests == 0)
        complain(b->r, column_place(s, t, 0), NULL, "the table has no column `area` or `load-...`");
    if (anchor && l->volume >= 0)
        complain(b->r, statement_attribute_place(s, anchor), NULL,
                 "the table has a column `volume` already");
    if (!anchor && l->volume < 0 && !s->bad)
        complain(
            b->r, entry_name_place(s->entry), "such as `volume 1.9 L at 150 mm` on its first line",
            "`%s` has no column `volume`, and no volume at one height either", statement_name(s));
    if (t->rows < 2 && !s->bad)
        complain(b->r, entry_name_place(s->entry), NULL, "the table of `%s` needs two rows or more",
                 statement_name(s));
    return b->r->errors == before && t->rows >= 2;
}

static double cell_at(const statement_table *t, size_t row, int column) {
    return t->cell[row * t->columns + (size_t)column].number;
}

/* True where heights rise; false too after a complaint that they do neither. */
static bool check_heights(build *b, const statement *s, const layout *l) {
    const statement_table *const t = s->table;
    const bool rising = cell_at(t, 1, l->height) > cell_at(t, 0, l->height);
    for (size_t i = 1; i < t->rows; i++) {
        const double step = cell_at(t, i, l->height) - cell_at(t, i - 1, l->height);
        if (rising ? step > 0.0 : step < 0.0)
            continue;
        complain(b->r, cell_place(s, t, i, l->height), NULL,
                 "heights are to rise from row to row, or to fall");
        break;
    }
    return rising;
}

/* Loads have to rise with pressure, or a load would not tell the pressure. */
static void check_loads(build *b, const statement *s, const layout *l) {
    const statement_table *const t = s->table;
    for (size_t i = 0; i < t->rows; i++) {
        for (int k = 1; k < l->tests; k++) {
            if (cell_at(t, i, l->test[k]) > cell_at(t, i, l->test[k - 1]))
                continue;
            complain(b->r, cell_place(s, t, i, l->test[k]), NULL,
                     "this load is not above that at the next lower test pressure");
            return;
        }
    }
}

/* A column as numbers, from the lowest row up. NULL for no column, or for want of memory. */
static double *copy_column(build *b, const statement_table *t, int column, bool rising) {
    double *const out = column >= 0 ? READING_ARRAY(b->r, double, t->rows) : NULL;
    for (size_t i = 0; out && i < t->rows; i++)
        out[i] = cell_at(t, rising ? i : t->rows - 1 - i, column);
    return out;
}

static double *copy_loads(build *b, const statement_table *t, const layout *l, bool rising) {
    double *const out =
        l->tests > 0 ? READING_ARRAY(b->r, double, (size_t)l->tests * t->rows) : NULL;
    for (int k = 0; out && k < l->tests; k++) {
        for (size_t i = 0; i < t->rows; i++)
            out[(size_t)k * t->rows + i] = cell_at(t, rising ? i : t->rows - 1 - i, l->test[k]);
    }
    return out;
}

static void check_made(build *b, const statement *s, const profile *p) {
    const attribute *const anchor = statement_find(s, WORD_VOLUME);
    if (anchor && profile_overrun(p, p->anchor_height) != 0.0)
        complain(b->r, statement_value_place(s, &anchor->value[1]), NULL,
                 "this height is outside the table");
    else if (anchor && profile_at(p, p->lowest, 0.0).volume <= 0.0)
        complain(b->r, statement_value_place(s, &anchor->value[0]), NULL,
                 "with this volume nothing would be left of it at the table's lowest height");
    const double allowed = 0.1; /* common practice, no source: more is a mistake in the data */
    if (p->disagreement > allowed)
        warn(b->r, entry_name_place(s->entry),
             "where area and volume are both given, their slopes are to agree",
             "in `%s` area and volume differ by %.0f %% at a height of %.0f mm", p->name,
             p->disagreement * 100.0, p->disagreement_height * 1e3);
}

static void make_table(build *b, const statement *s, profile_table *to, profile *out) {
    const size_t before = b->r->errors;
    const layout l = find_columns(b, s);
    if (!check_columns(b, s, &l) || b->r->errors != before)
        return;
    const bool rising = check_heights(b, s, &l);
    check_loads(b, s, &l);
    to->rows = (int)s->table->rows;
    to->height = copy_column(b, s->table, l.height, rising);
    to->area = copy_column(b, s->table, l.area, rising);
    to->volume = copy_column(b, s->table, l.volume, rising);
    to->tests = l.tests;
    to->pressure = l.pressure;
    to->load = copy_loads(b, s->table, &l, rising);
    if (b->r->errors != before || b->r->failed)
        return;
    b->r->failed |= profile_make(out, b->r->arena, to, 0.0) != BARONET_OK;
    if (!b->r->failed)
        check_made(b, s, out);
}

static void build_profile(build *b, const statement *s, profile *out) {
    const value *const area = statement_value(s, WORD_AREA);
    const attribute *const anchor = statement_find(s, WORD_VOLUME);
    profile_table t = {.name = statement_name(s)};
    if (anchor) {
        t.anchored = true;
        t.anchor_volume = anchor->value[0].number;
        t.anchor_height = anchor->value[1].number;
    }
    if (s->table && area)
        complain(b->r, statement_value_place(s, area), NULL,
                 "a profile is a piston or a table, not both");
    else if (s->table)
        make_table(b, s, &t, out);
    else if (area && anchor)
        b->r->failed |= profile_make(out, b->r->arena, &t, area->number) != BARONET_OK;
    else if (!s->bad)
        complain(b->r, entry_name_place(s->entry),
                 area ? "such as `volume 1.9 L at 150 mm`"
                      : "such as `area 95 cm2 volume 1.9 L at 150 mm`, or a table below it",
                 area ? "`%s` has no `volume` at one height" : "`%s` has neither area nor table",
                 statement_name(s));
}

void build_profiles(build *b) {
    vehicle *const v = &b->m->vehicle;
    profile *const profiles = READING_ARRAY(b->r, profile, b->list[KEYWORD_PROFILE].count);
    v->profiles = b->list[KEYWORD_PROFILE].count;
    v->profile = profiles;
    for (const statement *s = build_first(b, KEYWORD_PROFILE); s; s = build_next(b))
        build_profile(b, s, &profiles[s->entry->index]);
}
