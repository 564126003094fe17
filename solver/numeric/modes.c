/* SPDX-License-Identifier: MIT */
#include "numeric/modes.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "numeric/dense.h"
#include "numeric/krylov.h"
#include "numeric/sparse.h"

/* ARPACK stops where eigenvalues of the inverse are good to this part; each then gets one more step
   of inverse iteration. */
#define MODES_TOLERANCE 1e-13

/* The inverse on the unknowns with weight: w -> P B^1/2 A^-1 B^1/2 P w. Where the pencil is sealed
   A is inverted with its heaviest unknown pinned, and P takes out what all have in common. */
typedef struct inverse {
    const modes_pencil *pencil;
    arena *arena;
    int heavy;      /* unknowns with weight */
    int *of_heavy;  /* heavy: unknown */
    double *root;   /* heavy: sqrt of its weight */
    double *common; /* heavy: B^1/2 times equal entries, of length one */
    int pinned;     /* unknown; -1 for none */
    pattern own;    /* of A without the pinned unknown */
    double *values;
    sparse *sparse;
    double *right; /* size */
} inverse;

static int count_heavy(const modes_pencil *p) {
    int heavy = 0;
    for (int i = 0; i < p->pattern->size; i++) {
        heavy += p->weight[i] > 0.0;
    }
    return heavy;
}

int modes_count(const modes_pencil *p) {
    const int heavy = count_heavy(p);
    return p->sealed && heavy > 0 ? heavy - 1 : heavy;
}

static void list_heavy(inverse *v) {
    const modes_pencil *p = v->pencil;
    double whole = 0.0;
    v->pinned = -1;
    for (int i = 0; i < p->pattern->size; i++) {
        if (p->weight[i] > 0.0) {
            v->of_heavy[v->heavy] = i;
            v->root[v->heavy++] = sqrt(p->weight[i]);
            whole += p->weight[i];
        }
        if (p->sealed && (v->pinned < 0 || p->weight[i] > p->weight[v->pinned])) {
            v->pinned = i;
        }
    }
    for (int k = 0; k < v->heavy; k++) {
        v->common[k] = v->root[k] / sqrt(whole);
    }
}

/* Place of an unknown once the pinned one is taken out; -1 for that one. */
static int place(const inverse *v, int unknown) {
    if (v->pinned < 0 || unknown < v->pinned) {
        return unknown;
    }
    return unknown == v->pinned ? -1 : unknown - 1;
}

static baronet_status take_matrix(inverse *v, const baronet_allocator *allocator) {
    const pattern *p = v->pencil->pattern;
    int *row = ARENA_ARRAY(v->arena, int, p->entries);
    int *column = ARENA_ARRAY(v->arena, int, p->entries);
    v->values = ARENA_ARRAY(v->arena, double, p->entries);
    if (!arena_complete(v->arena)) {
        return BARONET_OUT_OF_MEMORY;
    }
    int count = 0;
    for (int j = 0; j < p->size; j++) {
        for (int k = p->start[j]; k < p->start[j + 1] && place(v, j) >= 0; k++) {
            if (place(v, p->row[k]) >= 0) {
                row[count] = place(v, p->row[k]);
                column[count] = place(v, j);
                v->values[count++] = v->pencil->values[k];
            }
        }
    }
    /* Listed by columns with rising rows and without repeats, so slots are the list's own order. */
    const int size = p->size - (v->pinned >= 0);
    baronet_status status = pattern_make(&v->own, allocator, size, count, row, column);
    if (status == BARONET_OK && size > 0) {
        status = sparse_create(&v->sparse, &v->own, false, NULL);
    }
    if (status == BARONET_OK && size > 0) {
        status = sparse_factor(v->sparse, v->values, NULL);
    }
    return status;
}

static void inverse_free(inverse *v) {
    sparse_destroy(v->sparse);
    if (v->own.start != NULL) {
        pattern_free(&v->own);
    }
    arena_destroy(v->arena);
}

static baronet_status inverse_make(inverse *v, const modes_pencil *p,
                                   const baronet_allocator *allocator) {
    const int heavy = count_heavy(p);
    *v = (inverse){.pencil = p, .arena = arena_create(allocator)};
    if (v->arena == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    v->of_heavy = ARENA_ARRAY(v->arena, int, heavy);
    v->root = ARENA_ARRAY(v->arena, double, heavy);
    v->common = ARENA_ARRAY(v->arena, double, heavy);
    v->right = ARENA_ARRAY(v->arena, double, p->pattern->size);
    if (!arena_complete(v->arena)) {
        return BARONET_OUT_OF_MEMORY;
    }
    list_heavy(v);
    return take_matrix(v, allocator);
}

/* v->right = A^-1 b for b there, with the pinned unknown at zero. */
static baronet_status solve(inverse *v) {
    double *b = v->right;
    const int size = v->pencil->pattern->size;
    if (v->pinned < 0) {
        return sparse_solve(v->sparse, b);
    }
    memmove(b + v->pinned, b + v->pinned + 1, (size_t)(size - 1 - v->pinned) * sizeof *b);
    const baronet_status status = size > 1 ? sparse_solve(v->sparse, b) : BARONET_OK;
    memmove(b + v->pinned + 1, b + v->pinned, (size_t)(size - 1 - v->pinned) * sizeof *b);
    b[v->pinned] = 0.0;
    return status;
}

/* Takes out what all have in common. */
static void project(const inverse *v, double *w) {
    double part = 0.0;
    for (int k = 0; k < v->heavy && v->pencil->sealed; k++) {
        part += v->common[k] * w[k];
    }
    for (int k = 0; k < v->heavy && v->pencil->sealed; k++) {
        w[k] -= part * v->common[k];
    }
}

/* w and out may be the same. */
static baronet_status apply(inverse *v, const double *w, double *out) {
    memmove(out, w, (size_t)v->heavy * sizeof *w);
    project(v, out);
    memset(v->right, 0, (size_t)v->pencil->pattern->size * sizeof *v->right);
    for (int k = 0; k < v->heavy; k++) {
        v->right[v->of_heavy[k]] = v->root[k] * out[k];
    }
    const baronet_status status = solve(v);
    for (int k = 0; k < v->heavy; k++) {
        out[k] = v->root[k] * v->right[v->of_heavy[k]];
    }
    project(v, out);
    return status;
}

/* Largest |A x - lambda B x| over the largest |A||x|, with lambda = x'A x for x'B x = 1. */
static double measure(const modes_pencil *p, const double *x, double *Ax, double *value) {
    const int size = p->pattern->size;
    pattern_multiply(p->pattern, p->values, x, Ax);
    double energy = 0.0;
    for (int i = 0; i < size; i++) {
        energy += x[i] * Ax[i];
    }
    *value = energy;
    double worst = 0.0, scale = 0.0;
    for (int j = 0; j < size; j++) {
        worst = fmax(worst, fabs(Ax[j] - energy * p->weight[j] * x[j]));
        for (int k = p->pattern->start[j]; k < p->pattern->start[j + 1]; k++) {
            scale = fmax(scale, fabs(p->values[k] * x[j]));
        }
    }
    return scale > 0.0 ? worst / scale : 0.0;
}

/* Components that differ by less than this part count as equally large: the first of them gives the
   sign, and rounding does not. */
#define MODES_AS_LARGE 1e-6

static void fix_sign(int size, double *x) {
    int largest = 0;
    for (int i = 0; i < size; i++) {
        largest = fabs(x[i]) > fabs(x[largest]) * (1.0 + MODES_AS_LARGE) ? i : largest;
    }
    for (int i = 0; i < size && x[largest] < 0.0; i++) {
        x[i] = i == largest ? x[i] : -x[i];
    }
    x[largest] = fabs(x[largest]);
}

/* From a vector of the inverse to one of the pencil with its value and residual: one step of
   inverse iteration gives the unknowns without weight too, and sharpens all. */
static baronet_status finish_mode(inverse *v, double *w, double *value, double *x,
                                  double *residual) {
    const modes_pencil *p = v->pencil;
    const int size = p->pattern->size;
    const baronet_status status = apply(v, w, w);
    double length = 0.0;
    for (int k = 0; k < v->heavy; k++) {
        length += w[k] * w[k];
    }
    /* The pinned unknown was held at zero: what all have in common goes out again. */
    const double common = v->right[v->of_heavy[0]] - w[0] / v->root[0];
    for (int i = 0; i < size; i++) {
        x[i] = (v->right[i] - (p->sealed ? common : 0.0)) / sqrt(length);
    }
    fix_sign(size, x);
    *residual = measure(p, x, v->right, value);
    return status;
}

static baronet_status finish_modes(inverse *v, int wanted, double *vectors, modes_answer *out) {
    const size_t size = (size_t)v->pencil->pattern->size;
    baronet_status status = BARONET_OK;
    for (int k = 0; k < wanted && status == BARONET_OK; k++) {
        status = finish_mode(v, vectors + (size_t)k * (size_t)v->heavy, &out->value[k],
                             out->vector + (size_t)k * size, &out->residual[k]);
    }
    return status;
}

/* All of them from the inverse as a full matrix. */
static baronet_status solve_dense(inverse *v, int wanted, modes_answer *out) {
    const int n = v->heavy;
    double *matrix = ARENA_ARRAY(v->arena, double, (size_t)n *(size_t)n);
    double *theta = ARENA_ARRAY(v->arena, double, n);
    double *vectors = ARENA_ARRAY(v->arena, double, (size_t)n *(size_t)n);
    if (!arena_complete(v->arena)) {
        return BARONET_OUT_OF_MEMORY;
    }
    baronet_status status = BARONET_OK;
    for (int k = 0; k < n && status == BARONET_OK; k++) {
        matrix[k * n + k] = 1.0;
        status = apply(v, matrix + k * n, matrix + k * n);
    }
    if (status == BARONET_OK) {
        status = dense_symmetric_eigen(n, matrix, theta);
    }
    for (int k = 0; k < wanted; k++) {
        for (int i = 0; i < n; i++) {
            vectors[k * n + i] = matrix[i * n + n - 1 - k];
        }
    }
    return status == BARONET_OK ? finish_modes(v, wanted, vectors, out) : status;
}

static baronet_status apply_inverse(void *context, const double *x, double *y) {
    return apply(context, x, y);
}

static void reverse(int n, int count, double *vectors) {
    for (int a = 0, b = count - 1; a < b; a++, b--) {
        double *first = vectors + (size_t)a * (size_t)n;
        double *last = vectors + (size_t)b * (size_t)n;
        for (int i = 0; i < n; i++) {
            const double swapped = first[i];
            first[i] = last[i];
            last[i] = swapped;
        }
    }
}

/* The largest eigenvalues of the inverse by Lanczos iteration; they come rising, the slowest mode
   last. */
static baronet_status solve_sparse(inverse *v, int wanted, modes_answer *out) {
    const int n = v->heavy;
    double *start = ARENA_ARRAY(v->arena, double, n);
    double *theta = ARENA_ARRAY(v->arena, double, wanted);
    double *vectors = ARENA_ARRAY(v->arena, double, (size_t)wanted *(size_t)n);
    if (!arena_complete(v->arena)) {
        return BARONET_OUT_OF_MEMORY;
    }
    const double golden = 0.6180339887498949; /* uneven without being random */
    for (int i = 0; i < n; i++) {
        start[i] = v->root[i] * (fmod((i + 1) * golden, 1.0) - 0.5);
    }
    project(v, start);
    const krylov k = {n, wanted, MODES_TOLERANCE, start, apply_inverse, v};
    const baronet_status status = krylov_symmetric(&k, v->arena, theta, vectors);
    if (status != BARONET_OK) {
        return status;
    }
    reverse(n, wanted, vectors);
    return finish_modes(v, wanted, vectors, out);
}

baronet_status modes_solve(const modes_pencil *p, int wanted, modes_answer *out,
                           const baronet_allocator *allocator) {
    assert(wanted >= 0 && wanted <= modes_count(p));
    if (wanted == 0) {
        return BARONET_OK;
    }
    inverse v;
    baronet_status status = inverse_make(&v, p, allocator);
    if (status == BARONET_OK) {
        /* Lanczos needs room beyond what is wanted of it. */
        const bool few = v.heavy <= MODES_DENSE || 2 * wanted > v.heavy;
        status = few ? solve_dense(&v, wanted, out) : solve_sparse(&v, wanted, out);
    }
    inverse_free(&v);
    return status;
}
