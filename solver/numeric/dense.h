/* dense.h: small dense problems, through LAPACK where they are hard. Matrices are row-major here;
   sizes are those of a vehicle (tens), never of a network.
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_DENSE_H
#define NUMERIC_DENSE_H

#include "baronet/status.h"

/* Eigenvalues (rising) and vectors of a symmetric matrix; only its symmetric part is read. On
   return `matrix` (n x n) holds the unit eigenvectors as columns, each with its largest component
   positive. */
BARONET_CHECKED baronet_status dense_symmetric_eigen(int n, double *matrix, double *values);

/* Least-squares solution of least norm of A x = b, A rows x columns (overwritten), b of
   max(rows, columns) entries, overwritten by x. Singular values below `cut` times the largest count
   as zero; `*rank` receives the rank. */
BARONET_CHECKED baronet_status dense_least_squares(int rows, int columns, double *a, double *b,
                                                   double cut, int *rank);

/* Solves A x = b for `count` right-hand sides (row-major n x count, overwritten by x); A
   overwritten. BARONET_SINGULAR where a pivot is zero but for rounding. */
BARONET_CHECKED baronet_status dense_solve(int n, double *a, int count, double *b);

/* Eigenvalues (n complex pairs; conjugates follow one another, positive imaginary part first) and
   right eigenvectors of any real matrix (overwritten), which LAPACK balances first. `vectors` holds
   n complex pairs for each value, one vector after another, of length one. */
BARONET_CHECKED baronet_status dense_eigen(int n, double *matrix, double *values, double *vectors);

/* Fills `basis` (n x (n - rank), row-major, columns orthonormal) with the complement of the span of
   the `count` columns of `given` (n x count, row-major, overwritten); `*rank` receives the rank.
   `basis` must have room for n x n. */
BARONET_CHECKED baronet_status dense_complement(int n, int count, double *given, double *basis,
                                                int *rank);

#endif
