/* modes.h: the few smallest eigenvalues of a large sparse symmetric pencil, A x = lambda B x, with
   B diagonal. They are found as the largest of the inverse, so that the smallest come out with full
   relative accuracy however large the others are: through LAPACK where there are few of them, else
   through ARPACK (Lehoucq, Sorensen and Yang, ARPACK Users' Guide, 1998, section 3.2), always with
   the same start, so that runs repeat.
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_MODES_H
#define NUMERIC_MODES_H

#include <stdbool.h>

#include "numeric/pattern.h"

typedef struct modes_pencil {
    const pattern *pattern; /* of A */
    const double *values;   /* A: symmetric and positive definite, or `sealed` */
    const double *weight;   /* diagonal of B: not negative; an unknown without weight follows the
                               others, and has no mode of its own */
    bool sealed; /* the kernel of A is the vectors of equal entries; that eigenvalue of zero is
                    left out */
} modes_pencil;

/* How many eigenvalues there are, the zero left out. */
int modes_count(const modes_pencil *p);

typedef struct modes_answer {
    double *value;    /* wanted, rising */
    double *vector;   /* wanted x size, row-major, x'Bx = 1, largest component positive */
    double *residual; /* wanted: largest |A x - lambda B x| over largest |A||x|, from A itself */
} modes_answer;

/* Up to so many modes LAPACK finds all of them. */
#define MODES_DENSE 160

/* Fills the `wanted` smallest, at most modes_count. SINGULAR, NOT_FINITE, NOT_CONVERGED. */
BARONET_CHECKED baronet_status modes_solve(const modes_pencil *p, int wanted, modes_answer *out,
                                           const baronet_allocator *allocator);

#endif
