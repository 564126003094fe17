/* pattern.h: the places of a sparse matrix, compressed by columns, made from a list of (row,
   column) pairs in any order with repeats. `slot[k]` says where the k-th pair's value is summed, so
   that code that lists its entries in a fixed order fills the matrix with  values[slot[k]] += v.
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_PATTERN_H
#define NUMERIC_PATTERN_H

#include "baronet/allocator.h"
#include "baronet/status.h"

typedef struct pattern {
    const baronet_allocator *allocator;
    int size;    /* rows = columns */
    int entries; /* distinct places */
    int *start;  /* size + 1 */
    int *row;    /* entries, rising within a column */
    int pairs;
    int *slot; /* pairs, each an index into the values */
} pattern;

/* Fills `out` (which need not be initialised) from `pairs` places; linear time. Free with
   pattern_free on success. */
BARONET_CHECKED baronet_status pattern_make(pattern *out, const baronet_allocator *allocator,
                                            int size, int pairs, const int *rows,
                                            const int *columns);
void pattern_free(pattern *p);

/* Code that lists its entries in one fixed order writes them as places while the pattern is made
   and as values afterwards, so that the two cannot disagree: with neither rows nor values it
   counts. */
typedef struct pattern_writer {
    int *row, *column; /* NULL when values are written, or counted */
    const int *slot;   /* the pattern's */
    double *values;
    int count;
} pattern_writer;

void pattern_put(pattern_writer *w, int row, int column, double value);

/* The pattern of what such code lists, which is called twice. Free with pattern_free on success. */
typedef void pattern_lister(void *context, pattern_writer *w);
BARONET_CHECKED baronet_status pattern_list(pattern *out, const baronet_allocator *allocator,
                                            int size, pattern_lister *list, void *context);

/* y = A x for real values, and the same for interleaved complex ones (2 doubles an entry). */
void pattern_multiply(const pattern *p, const double *values, const double *x, double *y);
void pattern_multiply_complex(const pattern *p, const double *values, const double *x, double *y);

#endif
