/* pattern.c: two stable counting sorts, by row and then by column, leave the pairs in column order
   with rising rows; equal neighbours then share a place.
   SPDX-License-Identifier: MIT */
#include "numeric/pattern.h"

#include <assert.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

#include "base/memory.h"

static int *take_ints(const baronet_allocator *allocator, int count) {
    return memory_resize(allocator, NULL, ((size_t)count + 1) * sizeof(int));
}

/* Writes the numbers 0 .. pairs-1, taken in the order of `from` (NULL: as they are), to `to` sorted
   by `key`, whose values are below `size`. `next` has room for size + 1. */
static void counting_sort(int pairs, const int *key, int size, const int *from, int *to,
                          int *next) {
    memset(next, 0, ((size_t)size + 1) * sizeof *next);
    for (int k = 0; k < pairs; k++) {
        assert(key[k] >= 0 && key[k] < size);
        next[key[k] + 1]++;
    }
    for (int i = 0; i < size; i++)
        next[i + 1] += next[i];
    for (int k = 0; k < pairs; k++) {
        const int pair = from ? from[k] : k;
        to[next[key[pair]]++] = pair;
    }
}

/* Gives each pair its place, walking the pairs in column order; fills start, row, slot, entries. */
static void number_places(pattern *p, const int *rows, const int *columns, const int *order) {
    int column = 0, entries = 0;
    p->start[0] = 0;
    for (int k = 0; k < p->pairs; k++) {
        const int pair = order[k];
        while (column < columns[pair])
            p->start[++column] = entries;
        const bool repeated = entries > p->start[column] && p->row[entries - 1] == rows[pair];
        if (!repeated)
            p->row[entries++] = rows[pair];
        p->slot[pair] = entries - 1;
    }
    while (column < p->size)
        p->start[++column] = entries;
    p->entries = entries;
}

baronet_status pattern_make(pattern *out, const baronet_allocator *allocator, int size, int pairs,
                            const int *rows, const int *columns) {
    assert(size >= 0 && pairs >= 0);
    *out = (pattern){.allocator = allocator, .size = size, .pairs = pairs};
    out->start = take_ints(allocator, size);
    out->row = take_ints(allocator, pairs);
    out->slot = take_ints(allocator, pairs);
    int *const by_row = take_ints(allocator, pairs);
    int *const by_column = take_ints(allocator, pairs);
    const bool complete = out->start && out->row && out->slot && by_row && by_column;
    if (complete) {
        int *const next = out->start; /* as workspace until number_places fills it */
        counting_sort(pairs, rows, size, NULL, by_row, next);
        counting_sort(pairs, columns, size, by_row, by_column, next);
        number_places(out, rows, columns, by_column);
    } else {
        pattern_free(out);
    }
    memory_resize(allocator, by_row, 0);
    memory_resize(allocator, by_column, 0);
    return complete ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

baronet_status pattern_list(pattern *out, const baronet_allocator *allocator, int size,
                            pattern_lister *list, void *context) {
    pattern_writer w = {0};
    list(context, &w);
    w = (pattern_writer){.row = take_ints(allocator, w.count),
                         .column = take_ints(allocator, w.count)};
    baronet_status status = BARONET_OUT_OF_MEMORY;
    if (w.row && w.column) {
        list(context, &w);
        status = pattern_make(out, allocator, size, w.count, w.row, w.column);
    }
    memory_resize(allocator, w.row, 0);
    memory_resize(allocator, w.column, 0);
    return status;
}

void pattern_free(pattern *p) {
    memory_resize(p->allocator, p->start, 0);
    memory_resize(p->allocator, p->row, 0);
    memory_resize(p->allocator, p->slot, 0);
    *p = (pattern){.allocator = p->allocator};
}

void pattern_multiply(const pattern *p, const double *values, const double *x, double *y) {
    memset(y, 0, (size_t)p->size * sizeof *y);
    for (int j = 0; j < p->size; j++) {
        for (int k = p->start[j]; k < p->start[j + 1]; k++)
            y[p->row[k]] += values[k] * x[j];
    }
}

void pattern_multiply_complex(const pattern *p, const double *values, const double *x, double *y) {
    memset(y, 0, (size_t)p->size * 2 * sizeof *y);
    for (int j = 0; j < p->size; j++) {
        const double re = x[2 * j], im = x[2 * j + 1];
        for (int k = p->start[j]; k < p->start[j + 1]; k++) {
            const double *const a = values + 2 * (ptrdiff_t)k;
            double *const sum = y + 2 * (ptrdiff_t)p->row[k];
            sum[0] += a[0] * re - a[1] * im;
            sum[1] += a[0] * im + a[1] * re;
        }
    }
}

void pattern_put(pattern_writer *w, int row, int column, double value) {
    if (w->values != NULL) {
        w->values[w->slot[w->count]] += value;
    } else if (w->row != NULL) {
        w->row[w->count] = row;
        w->column[w->count] = column;
    }
    w->count++;
}
