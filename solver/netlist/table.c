/* SPDX-License-Identifier: MIT */
#include "netlist/table.h"

#include <math.h>
#include <string.h>

#include "model/profile.h"
#include "netlist/suggestion.h"

#define COLUMNS_MAX (PROFILE_TESTS_MAX + 3) /* tests, height, area, volume */

/* A table as it is read. */
typedef struct draft {
    cursor *c;
    bool *bad;
    size_t columns;
    table_column column[COLUMNS_MAX];
    value *cell;
    size_t cells, room;
} draft;

static void skip_line(cursor *c) {
    do
        cursor_advance(c);
    while (c->now.kind != TOKEN_END && !c->now.first_in_line);
}

/* The pressure in `load-3bar`, behind its dash; false where there is none. */
static bool read_test(const cursor *c, text t, value *test) {
    double number;
    const size_t used = text_read_number(t.start, t.start + t.length, &number);
    const baronet_unit *const unit = baronet_unit_find(t.start + used, t.length - used);
    if (used == 0 || !unit || unit->dimension != BARONET_PRESSURE || !isfinite(number))
        return false;
    *test = (value){.number = number * unit->factor,
                    .as.unit = unit,
                    .start = (uint32_t)(t.start - c->source->bytes),
                    .length = (uint32_t)t.length,
                    .kind = VALUE_NUMBER};
    return true;
}

/* The keyword's column of that name, with its test pressure; NULL where there is none. */
static const grammar_column *find_column(const cursor *c, text t, value *test) {
    for (size_t i = 0; i < c->keyword->columns; i++) {
        const grammar_column *const row = &c->keyword->column[i];
        const size_t length = strlen(row->name);
        if (!row->tested && text_equals(t, row->name))
            return row;
        if (row->tested && t.length > length && memcmp(t.start, row->name, length) == 0 &&
            read_test(c, (text){t.start + length, t.length - length}, test))
            return row;
    }
    return NULL;
}

static void complain_of_column(cursor *c) {
    reading *const r = c->reading;
    const text t = cursor_text(c);
    suggestion s = suggestion_begin(r, t, "its columns:");
    for (size_t i = 0; i < c->keyword->columns; i++) {
        const grammar_column *const row = &c->keyword->column[i];
        suggestion_offer(&s, text_of(row->tested ? "load-3bar" : row->name));
    }
    const char *const hint = suggestion_end(&s);
    if (c->now.kind == TOKEN_NUMBER)
        complain(r, cursor_place(c), hint,
                 "the table begins with a number; a header goes before it");
    else
        complain(r, cursor_place(c), hint, "`%s` is no column of %s", shown(r, t),
                 c->keyword->noun);
}

/* The unit behind a column's name; NULL after a complaint. */
static const baronet_unit *read_unit(cursor *c, const grammar_column *row) {
    reading *const r = c->reading;
    const text t = cursor_text(c);
    const bool here = c->now.kind == TOKEN_WORD && !c->now.first_in_line;
    const baronet_unit *const unit = here ? baronet_unit_find(t.start, t.length) : NULL;
    if (unit && unit->dimension == row->dimension)
        return unit;
    suggestion s = suggestion_begin(r, here ? t : (text){0}, "units that fit:");
    size_t count;
    const baronet_unit *const units = baronet_unit_table(&count);
    for (size_t i = 0; i < count; i++) {
        if (units[i].dimension == row->dimension)
            suggestion_offer(&s, text_of(units[i].name));
    }
    const char *const hint = suggestion_end(&s);
    const place before = {c->source, c->before.start, c->before.length};
    if (c->now.kind == TOKEN_NUMBER && !c->now.first_in_line)
        complain(r, cursor_place(c), "what is no table stands on the keyword's own line",
                 "in a table's header a unit follows `%s`, not `%s`",
                 shown(r, token_text(&c->lexer, &c->before)), shown(r, t));
    else if (unit)
        complain(r, cursor_place(c), hint, "`%s` is a unit of %s", unit->name,
                 baronet_dimension_text(unit->dimension));
    else
        complain(r, before, hint, "the column `%s` has no unit",
                 shown(r, token_text(&c->lexer, &c->before)));
    return NULL;
}

static bool read_column(draft *d) {
    cursor *const c = d->c;
    reading *const r = c->reading;
    const place at = cursor_place(c);
    table_column column = {.start = at.start, .length = at.length};
    column.row = c->now.kind == TOKEN_WORD ? find_column(c, cursor_text(c), &column.test) : NULL;
    if (!column.row) {
        complain_of_column(c);
        return false;
    }
    for (size_t i = 0; i < d->columns; i++) {
        if (d->column[i].row == column.row && !column.row->tested) {
            complain(r, at, NULL, "the column `%s` stands twice", column.row->name);
            return false;
        }
    }
    cursor_advance(c);
    column.unit = read_unit(c, column.row);
    if (!column.unit)
        return false;
    cursor_advance(c);
    if (d->columns == COLUMNS_MAX) {
        complain(r, at, NULL, "a table has at most %d columns", COLUMNS_MAX);
        return false;
    }
    d->column[d->columns++] = column;
    return true;
}

static bool read_header(draft *d) {
    do {
        if (!read_column(d))
            return false;
    } while (d->c->now.kind != TOKEN_END && !d->c->now.first_in_line);
    for (size_t i = 0; i < d->c->keyword->columns; i++) {
        const grammar_column *const row = &d->c->keyword->column[i];
        size_t found = 0;
        while (found < d->columns && d->column[found].row != row)
            found++;
        if (row->required && found == d->columns) {
            const place at = {d->c->source, d->column[0].start, d->column[0].length};
            complain(d->c->reading, at, NULL, "the table has no column `%s`", row->name);
            return false;
        }
    }
    return true;
}

/* A number of a row in its column; false after a complaint. */
static bool read_cell(draft *d, const table_column *column, value *out) {
    cursor *const c = d->c;
    reading *const r = c->reading;
    const place at = cursor_place(c);
    if (c->now.kind != TOKEN_NUMBER) {
        complain(r, at, c->now.glued ? "units stand in the header" : NULL,
                 "a row has numbers only, not `%s`", shown(r, cursor_text(c)));
        return false;
    }
    const grammar_range *const fits = grammar_range_at(column->row->range);
    const double x = c->now.number * column->unit->factor + column->unit->offset;
    if (!quantity_is_reasonable(x) || !(fits->low_in ? x >= fits->low : x > fits->low)) {
        complain(r, at, NULL, "`%s` is to be %s, not `%s`", column->row->name, fits->words,
                 shown(r, cursor_text(c)));
        return false;
    }
    *out = (value){.number = x,
                   .as.unit = column->unit,
                   .start = at.start,
                   .length = at.length,
                   .kind = VALUE_NUMBER};
    cursor_advance(c);
    return true;
}

static bool push_cell(draft *d, value v) {
    reading *const r = d->c->reading;
    value *const grown =
        memory_grow(arena_allocator(r->arena), d->cell, d->cells, &d->room, sizeof *grown);
    r->failed |= !grown;
    if (!grown)
        return false;
    d->cell = grown;
    d->cell[d->cells++] = v;
    return true;
}

/* Reads one physical line of numbers; false after a complaint, with the line gone over. */
static bool read_row(draft *d) {
    cursor *const c = d->c;
    const place first = cursor_place(c);
    size_t count = 0;
    bool in_line = true;
    for (; in_line; count++) {
        value v;
        if (!read_cell(d, &d->column[count < d->columns ? count : 0], &v)) {
            skip_line(c);
            return false;
        }
        if (count < d->columns && !push_cell(d, v))
            return false;
        in_line = c->now.kind != TOKEN_END && !c->now.first_in_line;
    }
    if (count != d->columns) {
        complain(c->reading, first, NULL, "this row has %zu numbers for %zu columns", count,
                 d->columns);
        return false;
    }
    return true;
}

static statement_table *keep(draft *d) {
    reading *const r = d->c->reading;
    statement_table *const t = READING_ARRAY(r, statement_table, 1);
    table_column *const columns = READING_ARRAY(r, table_column, d->columns);
    value *const cells = READING_ARRAY(r, value, d->cells);
    if (!t || !columns || !cells)
        return NULL;
    memcpy(columns, d->column, d->columns * sizeof *columns);
    if (d->cells > 0)
        memcpy(cells, d->cell, d->cells * sizeof *cells);
    *t = (statement_table){d->columns, d->cells / d->columns, columns, cells};
    return t;
}

statement_table *table_read(cursor *c, bool *bad) {
    draft d = {.c = c, .bad = bad};
    statement_table *kept = NULL;
    if (read_header(&d)) {
        while (c->now.kind != TOKEN_END && !c->reading->failed) {
            const size_t whole = d.cells;
            if (!read_row(&d)) {
                d.cells = whole;
                *bad = true;
            }
        }
        kept = keep(&d);
    } else {
        *bad = true;
        while (c->now.kind != TOKEN_END)
            cursor_advance(c);
    }
    memory_resize(arena_allocator(c->reading->arena), d.cell, 0);
    return kept;
}
