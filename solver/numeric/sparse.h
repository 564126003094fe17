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

/* How the last solve went. */
sparse_quality sparse_quality_of(const sparse *s);

/* How far errors of these sizes in the rows of A x = b move the unknown that moves most: the
   largest entry of |A^-1| size, estimated from below and seldom out by more than a few times. With
   NULL each row's error is the sum of its magnitudes: the condition number |||A^-1||A||| of Skeel
   (J. ACM 26, 1979), which no scaling of rows changes, so that equations in small units do no harm;
   unknowns are to be in units of like size. Infinite where there are no factors; it takes some six
   solves.
   OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status sparse_condition(sparse *s, const double *size, double *condition);

/* The least over the largest pivot of the last factors, 0 where there are none: costs next to
   nothing, and falls where the condition rises, but depends on the units of unknowns. */
double sparse_pivot_ratio(const sparse *s);

#endif
