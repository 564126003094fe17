/* spectrum.h: the eigenvalues of any real sparse pencil, A x = lambda E x, that lie closest to a
   real shift, E singular or not. The operator (A - shift E)^-1 E, through KLU, turns them into the
   largest ones: all of them through LAPACK where the pencil is small, else a window through ARPACK.
   Infinite eigenvalues are left out. Each eigenvalue is then checked in the pencil itself, and
   sharpened by inverse iteration where that finds it wanting.
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_SPECTRUM_H
#define NUMERIC_SPECTRUM_H

#include "base/memory.h"
#include "numeric/pattern.h"

typedef struct spectrum_pencil {
    const pattern *pattern; /* places of A and E together */
    const double *a, *e;    /* entries: values of each there */
    double shift;           /* real, no eigenvalue itself */
} spectrum_pencil;

typedef struct spectrum_answer {
    int count;        /* eigenvalues found, one of each conjugate pair */
    double *value;    /* complex pairs, closest to the shift first; imaginary parts not negative */
    double *vector;   /* count x size complex pairs, largest component one */
    double *residual; /* count: largest |A x - lambda E x| of a row over the row's sum of |A| and
                         |lambda E| and the largest |x| */
    double reach;     /* every eigenvalue closer to the shift than this is among them; HUGE_VAL */
    int all;          /* how many there are, conjugates counted; -1 where that is not known */
} spectrum_answer;

/* Pencils up to this size go to LAPACK, which finds all eigenvalues. */
enum { SPECTRUM_DENSE = 320 };

/* What a residual is sharpened to where it can be. */
#define SPECTRUM_TOLERANCE 1e-13

/* Fills `out` with all eigenvalues closer to the shift than `radius`; where a pencil is large,
   `most` of them at most, and `reach` says how far that goes. Memory of the answer and the work is
   the arena's. SINGULAR where the shift is an eigenvalue, NOT_CONVERGED, NOT_FINITE. */
BARONET_CHECKED baronet_status spectrum_solve(const spectrum_pencil *p, double radius, int most,
                                              spectrum_answer *out, arena *a);

/* The same, with the size up to which LAPACK is asked: for tests that compare the two ways. */
BARONET_CHECKED baronet_status spectrum_solve_by(const spectrum_pencil *p, double radius, int most,
                                                 int dense, spectrum_answer *out, arena *a);

#endif
