/* support.h: what the tests share: comparisons that name their source, the reference tables, and an
   allocator that fails on demand.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_SUPPORT_H
#define TESTS_SUPPORT_H

#include <stdbool.h>
#include <stddef.h>

#include "baronet/allocator.h"

/* Fails the test unless |got - expected| <= rel_tol |expected|; where 0 is expected, rel_tol is
   absolute. The source says where the expected value comes from. */
#define CHECK_REL(got, expected, rel_tol, source)                                                  \
    check_close(__FILE__, __LINE__, #got, (got), (expected), (rel_tol), (source))

/* Fails the test unless |got - expected| <= abs_tol. */
#define CHECK_ABS(got, expected, abs_tol, source)                                                  \
    check_within(__FILE__, __LINE__, #got, (got), (expected), (abs_tol), (source))

/* Compares with `expected_si` of a reference row under the row's own tolerance and source. */
#define CHECK_ROW(got, table, row) check_row(__FILE__, __LINE__, #got, (got), (table), (row))

void check_close(const char *file, int line, const char *what, double got, double expected,
                 double rel_tol, const char *source);
void check_within(const char *file, int line, const char *what, double got, double expected,
                  double abs_tol, const char *source);

/* A table of tests/reference: a header line, then rows; commas separate and nothing is quoted. */
typedef struct csv csv;

/* Reads tests/reference/NAME.csv; fails the test where it cannot. Free with csv_free. */
csv *csv_read(const char *name);
void csv_free(csv *table);
size_t csv_rows(const csv *table);

/* A field by row (from 0) and column name; an unknown column fails the test. */
const char *csv_text(const csv *table, size_t row, const char *column);
bool csv_is(const csv *table, size_t row, const char *column, const char *text);

/* The same as a number; NaN where the field is empty. */
double csv_number(const csv *table, size_t row, const char *column);

void check_row(const char *file, int line, const char *what, double got, const csv *table,
               size_t row);

/* An allocator whose k-th request for memory fails, and all after it:
       failing f;
       for (size_t k = 1;; k++) {
           const baronet_allocator *allocator = failing_start(&f, k);
           ... expect success or a clean refusal; destroy ...
           cr_assert_eq(f.live, 0);
           if (!f.failed)
               break;
       } */
typedef struct failing {
    baronet_allocator allocator;
    size_t fail_at; /* from 1; 0 for never */
    size_t calls;   /* requests so far */
    size_t live;    /* blocks not given back */
    bool failed;    /* a request has been refused */
} failing;

const baronet_allocator *failing_start(failing *f, size_t fail_at);

/* An allocator that refuses blocks as large as those of an arena, from one on, and nothing else.
   Most takes of an arena ask for no memory: whoever moves them all by some bytes, again and again,
   has each be refused in turn. */
typedef struct refusal {
    baronet_allocator allocator;
    size_t block; /* the first that is refused, from 1 */
    bool done;    /* one has been */
} refusal;

const baronet_allocator *refusal_start(refusal *r, size_t block);

/* A repeatable random number in [0, 1); the state is any number to begin with. */
double random_unit(unsigned long long *state);

#endif
