/* krylov.h: the largest eigenvalues of a matrix that is only known by what it does to a vector,
   through ARPACK (Lehoucq, Sorensen and Yang, ARPACK Users' Guide, 1998). The start is the
   caller's, so that runs repeat. All memory is an arena's.
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_KRYLOV_H
#define NUMERIC_KRYLOV_H

#include "base/memory.h"
#include "baronet/status.h"

/* y = matrix x; x and y never overlap. */
typedef baronet_status krylov_apply(void *context, const double *x, double *y);

typedef struct krylov {
    int size;
    int wanted;          /* symmetric: below size; general: below size - 1 */
    double tolerance;    /* in parts of each eigenvalue */
    const double *start; /* size, not zero */
    krylov_apply *apply;
    void *context;
} krylov;

/* The `wanted` algebraically largest eigenvalues of a symmetric matrix, rising, with unit vectors
   (wanted x size, row-major). NOT_CONVERGED, or what `apply` said. */
BARONET_CHECKED baronet_status krylov_symmetric(const krylov *k, arena *a, double *values,
                                                double *vectors);

/* Eigenvalues of largest magnitude of any real matrix, complex pairs, with their vectors (complex
   pairs, size each, one after another). There may be one more than wanted, where that completes a
   conjugate pair: `values` and `vectors` need room for wanted + 1. */
BARONET_CHECKED baronet_status krylov_general(const krylov *k, arena *a, int *found, double *values,
                                              double *vectors);

#endif
