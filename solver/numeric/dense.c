/* dense.c: LAPACK through LAPACKE, column-major underneath, but for plain systems. Workspace is on
   the stack for the sizes of a vehicle, so that a small problem costs no allocation.
   SPDX-License-Identifier: MIT */
#include "numeric/dense.h"

#include <assert.h>
#include <float.h>
#include <lapacke.h>
#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

#include "base/memory.h"

/* A column of length 1 counts as dependent on others when less than this sticks out of their span:
   far above rounding, far below what measured positions could mean. */
#define DEPENDENT 1e-9

/* A pivot below this part of what stands above it in its column is what rounding left of zero, as
   in sparse.c: rows are of size one. */
#define NO_PIVOT (16.0 * DBL_EPSILON)

/* Relative difference up to which components count as equally large. */
#define AS_LARGE 1e-9

/* Doubles of workspace on the stack: enough for every routine here at n = 16. */
#define STACK_ROOM 1024

typedef struct workspace {
    double stack[STACK_ROOM];
    double *block; /* the heap's, where the stack's is too small */
} workspace;

/* Room for `count` doubles, NULL for want of memory; given back by workspace_free. */
static double *workspace_take(workspace *w, size_t count) {
    w->block = count > STACK_ROOM ? memory_resize(NULL, NULL, count * sizeof *w->block) : NULL;
    return count > STACK_ROOM ? w->block : w->stack;
}

static void workspace_free(workspace *w) {
    memory_resize(NULL, w->block, 0);
}

/* LAPACK may loop on what is not finite. */
static bool all_finite(const double *values, size_t count) {
    bool finite = true;
    for (size_t i = 0; i < count; i++)
        finite &= fabs(values[i]) <= DBL_MAX;
    return finite;
}

/* to (columns x rows) = from (rows x columns) transposed, both row-major. */
static void transpose(int rows, int columns, const double *from, double *to) {
    for (int i = 0; i < rows; i++) {
        for (int j = 0; j < columns; j++)
            to[j * rows + i] = from[i * columns + j];
    }
}

/* Turns a vector so that its largest component is positive; of components as good as equal, the
   first, so that rounding does not decide. */
static void fix_sign(int n, double *vector) {
    double largest = 0.0;
    for (int i = 0; i < n; i++)
        largest = fmax(largest, fabs(vector[i]));
    int first = 0;
    while (fabs(vector[first]) < largest * (1.0 - AS_LARGE))
        first++;
    if (vector[first] >= 0.0)
        return;
    for (int i = 0; i < n; i++)
        vector[i] = -vector[i];
}

baronet_status dense_symmetric_eigen(int n, double *matrix, double *values) {
    assert(n > 0);
    const size_t entries = (size_t)n * (size_t)n;
    const int work = 3 * n; /* at least 3 n - 1 (LAPACK Users' Guide, dsyev) */
    if (!all_finite(matrix, entries))
        return BARONET_NOT_FINITE;
    workspace w;
    double *const vectors = workspace_take(&w, entries + (size_t)work);
    if (!vectors)
        return BARONET_OUT_OF_MEMORY;
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++)
            vectors[i * n + j] = 0.5 * (matrix[i * n + j] + matrix[j * n + i]);
    }
    const int info = LAPACKE_dsyev_work(LAPACK_COL_MAJOR, 'V', 'U', n, vectors, n, values,
                                        vectors + entries, work);
    for (int j = 0; j < n; j++)
        fix_sign(n, vectors + j * n);
    transpose(n, n, vectors, matrix);
    workspace_free(&w);
    return info == 0 ? BARONET_OK : BARONET_NOT_CONVERGED;
}

baronet_status dense_least_squares(int rows, int columns, double *a, double *b, double cut,
                                   int *rank) {
    assert(rows > 0 && columns > 0);
    const size_t entries = (size_t)rows * (size_t)columns;
    const int small = rows < columns ? rows : columns, large = rows < columns ? columns : rows;
    const int work = 3 * small + (2 * small > large ? 2 * small : large); /* dgelss, one vector */
    if (!all_finite(a, entries) || !all_finite(b, (size_t)rows))
        return BARONET_NOT_FINITE;
    workspace w;
    double *const singular = workspace_take(&w, (size_t)small + (size_t)work + entries);
    if (!singular)
        return BARONET_OUT_OF_MEMORY;
    double *const a_columns = singular + small + work;
    transpose(rows, columns, a, a_columns);
    lapack_int found = 0;
    const int info = LAPACKE_dgelss_work(LAPACK_COL_MAJOR, rows, columns, 1, a_columns, rows, b,
                                         large, singular, cut, &found, singular + small, work);
    workspace_free(&w);
    *rank = found;
    return info == 0 ? BARONET_OK : BARONET_NOT_CONVERGED;
}

static void exchange_rows(int columns, double *a, double *b) {
    for (int j = 0; j < columns; j++) {
        const double kept = a[j];
        a[j] = b[j];
        b[j] = kept;
    }
}

/* Brings the largest entry of each row to 1, so that pivots do not depend on the units of
   equations; false where a row is zero. */
static bool scale_rows(int n, double *a, int count, double *b) {
    for (int i = 0; i < n; i++) {
        double largest = 0.0;
        for (int j = 0; j < n; j++)
            largest = fabs(a[i * n + j]) > largest ? fabs(a[i * n + j]) : largest;
        if (largest == 0.0)
            return false;
        for (int j = 0; j < n; j++)
            a[i * n + j] /= largest;
        for (int j = 0; j < count; j++)
            b[i * count + j] /= largest;
    }
    return true;
}

/* Clears column k of a below the diagonal, by the largest pivot left; false where that is zero but
   for rounding. */
static bool eliminate(int k, int n, double *a, int count, double *b) {
    int largest = k;
    double above = 0.0;
    for (int i = 0; i < k; i++)
        above = fabs(a[i * n + k]) > above ? fabs(a[i * n + k]) : above;
    for (int i = k + 1; i < n; i++)
        largest = fabs(a[i * n + k]) > fabs(a[largest * n + k]) ? i : largest;
    if (fabs(a[largest * n + k]) <= NO_PIVOT * above)
        return false;
    if (largest != k) {
        exchange_rows(n, a + k * n, a + largest * n);
        exchange_rows(count, b + k * count, b + largest * count);
    }
    for (int i = k + 1; i < n; i++) {
        const double factor = a[i * n + k] / a[k * n + k];
        for (int j = k + 1; j < n; j++)
            a[i * n + j] -= factor * a[k * n + j];
        for (int j = 0; j < count; j++)
            b[i * count + j] -= factor * b[k * count + j];
    }
    return true;
}

/* Gaussian elimination in plain loops: for the few wheels of a vehicle they are done before LAPACK
   has chosen its blocks, and this stands in the loop of every evaluation. */
baronet_status dense_solve(int n, double *a, int count, double *b) {
    assert(n > 0 && count > 0);
    if (!all_finite(a, (size_t)n * (size_t)n) || !all_finite(b, (size_t)n * (size_t)count))
        return BARONET_NOT_FINITE;
    bool regular = scale_rows(n, a, count, b);
    for (int k = 0; k < n && regular; k++)
        regular = eliminate(k, n, a, count, b);
    if (!regular)
        return BARONET_SINGULAR;
    for (int k = n - 1; k >= 0; k--) {
        for (int j = 0; j < count; j++) {
            double sum = b[k * count + j];
            for (int i = k + 1; i < n; i++)
                sum -= a[k * n + i] * b[i * count + j];
            b[k * count + j] = sum / a[k * n + k];
        }
    }
    return BARONET_OK;
}

/* Copies the columns of `given` (n x count, row-major) to consecutive vectors of length 1; those
   that are zero stay so. */
static void copy_unit_columns(int n, int count, const double *given, double *vectors) {
    transpose(n, count, given, vectors);
    for (int j = 0; j < count; j++) {
        double *const v = vectors + (ptrdiff_t)j * n;
        double largest = 0.0, sum = 0.0;
        for (int i = 0; i < n; i++)
            largest = fmax(largest, fabs(v[i]));
        for (int i = 0; i < n && largest > 0.0; i++)
            sum += (v[i] / largest) * (v[i] / largest);
        for (int i = 0; i < n && largest > 0.0; i++)
            v[i] = v[i] / largest / sqrt(sum);
    }
}

/* Rank from the diagonal of R, which pivoting lets fall in size. */
static int rank_of_triangle(int n, int count, const double *vectors) {
    int rank = 0;
    while (rank < n && rank < count && fabs(vectors[rank * n + rank]) > DEPENDENT)
        rank++;
    return rank;
}

/* LAPACK keeps a conjugate pair as real and imaginary part in two columns. */
static void unpack_vectors(int n, const double *imaginary, const double *columns, double *vectors) {
    for (int j = 0; j < n; j++) {
        const bool second = imaginary[j] < 0.0;
        const double *const re = columns + (second ? j - 1 : j) * n;
        for (int i = 0; i < n; i++) {
            double *const at = vectors + 2 * (j * n + i);
            at[0] = re[i];
            at[1] = imaginary[j] == 0.0 ? 0.0 : (second ? -re[n + i] : re[n + i]);
        }
    }
}

baronet_status dense_eigen(int n, double *matrix, double *values, double *vectors) {
    assert(n > 0);
    const size_t entries = (size_t)n * (size_t)n;
    const int work = 8 * n; /* dgeev needs 4 n */
    if (!all_finite(matrix, entries))
        return BARONET_NOT_FINITE;
    workspace w;
    double *const a = workspace_take(&w, 2 * entries + (size_t)(work + 2 * n));
    if (!a)
        return BARONET_OUT_OF_MEMORY;
    double *const columns = a + entries, *const real = columns + entries;
    double *const imaginary = real + n, *const room = imaginary + n;
    transpose(n, n, matrix, a);
    const int info = LAPACKE_dgeev_work(LAPACK_COL_MAJOR, 'N', 'V', n, a, n, real, imaginary, NULL,
                                        1, columns, n, room, work);
    for (int j = 0; j < n; j++) {
        values[2 * j] = real[j];
        values[2 * j + 1] = imaginary[j];
    }
    unpack_vectors(n, imaginary, columns, vectors);
    workspace_free(&w);
    return info == 0 ? BARONET_OK : BARONET_NOT_CONVERGED;
}

/* Householder vectors with pivoting give an orthonormal basis of the whole space, whose first
   `rank` vectors span what is given and the others its complement. */
baronet_status dense_complement(int n, int count, double *given, double *basis, int *rank) {
    assert(n > 0 && count >= 0);
    const int most = count > n ? count : n, reflections = count < n ? count : n;
    const int work = 3 * most + 1; /* dgeqp3; dorgqr needs n */
    const size_t entries = (size_t)n * (size_t)most;
    if (!all_finite(given, (size_t)n * (size_t)count))
        return BARONET_NOT_FINITE;
    workspace w;
    double *const vectors = workspace_take(&w, entries + (size_t)(work + 2 * most));
    if (!vectors)
        return BARONET_OUT_OF_MEMORY;
    double *const scale = vectors + entries, *const room = scale + most;
    lapack_int *const pivots = (lapack_int *)(void *)(room + work);
    memset(pivots, 0, (size_t)most * sizeof *pivots); /* 0: any column may come first */
    copy_unit_columns(n, count, given, vectors);
    if (count > 0)
        LAPACKE_dgeqp3_work(LAPACK_COL_MAJOR, n, count, vectors, n, pivots, scale, room, work);
    *rank = rank_of_triangle(n, count, vectors);
    LAPACKE_dorgqr_work(LAPACK_COL_MAJOR, n, n, reflections, vectors, n, scale, room, work);
    for (int j = *rank; j < n; j++)
        fix_sign(n, vectors + j * n);
    transpose(n - *rank, n, vectors + *rank * n, basis);
    workspace_free(&w);
    return BARONET_OK;
}
