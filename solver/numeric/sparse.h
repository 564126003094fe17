/* sparse.h: one sparse matrix pattern, analysed once, factored and solved many times with KLU
   (Davis and Palamadai Natarajan 2010). A refactor keeps the old pivots and can silently lose all
   accuracy, so each solve checks its residual, and a poor one is factored anew.
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_SPARSE_H
#define NUMERIC_SPARSE_H

#include <stdbool.h>

#include "numeric/pattern.h"

typedef struct sparse sparse;

typedef struct sparse_quality {
    double residual;  /* |b - A x| / (|A| |x| + |b|), largest norm, each row over its sum of
                         magnitudes, of the last solve */
    double condition; /* estimate of the 1-norm condition number; 0 where not asked for */
    int factorings;   /* with new pivots */
    int refactorings; /* with the old ones */
} sparse_quality;

/* Analyses a pattern, which must outlive it. `complex_values`: values and vectors are interleaved
   pairs. BARONET_SINGULAR where no choice of values could be solved; `*column` (may be NULL) then
   receives a column of the matrix that cannot be matched. */
BARONET_CHECKED baronet_status sparse_create(sparse **out, const pattern *p, bool complex_values,
                                             int *column);
void sparse_destroy(sparse *s);

/* Factors these values (as many as the pattern's entries), by refactoring where that is safe. The
   values are borrowed until the next call. BARONET_SINGULAR with the column, BARONET_NOT_FINITE,
   BARONET_OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status sparse_factor(sparse *s, const double *values, int *column);

/* The next factoring takes the pivots of the first one after the first such call: what is solved
   from then on does not depend on what was solved in between. OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status sparse_forget(sparse *s);

/* Solves A x = b in place, with one step of refinement where the residual asks for it and a new
   factoring where that is not enough. BARONET_SINGULAR where no factoring gives a residual below
   1e-10. */
BARONET_CHECKED baronet_status sparse_solve(sparse *s, double *vector);

/* As sparse_solve, without the residual check: for inner iterations that test their own outcome. */
BARONET_CHECKED baronet_status sparse_solve_unchecked(sparse *s, double *vector);

/* Figures so far; computes the condition estimate where asked for. */
sparse_quality sparse_quality_of(sparse *s, bool with_condition);

/* 1/condition as KLU sees cheaply from the pivots; near 0 for a singular matrix. */
double sparse_reciprocal_condition(sparse *s);

#endif
