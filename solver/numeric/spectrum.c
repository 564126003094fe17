/* SPDX-License-Identifier: MIT */
#include "numeric/spectrum.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"
#include "numeric/dense.h"
#include "numeric/krylov.h"
#include "numeric/sparse.h"

/* ARPACK's own measure of an eigenvalue that is done; the residual in the pencil decides. */
#define SPECTRUM_KRYLOV 1e-12
/* First window; it doubles until the radius is reached. */
enum { SPECTRUM_WINDOW = 24 };
/* Of the operator's eigenvalues those below this part of the largest are rounding of infinite ones.
   A double root of nought comes out as large as the square root of rounding. */
#define SPECTRUM_INFINITE 1e-9
/* A shift that hits its eigenvalue to the last digit cannot be solved with. */
#define SPECTRUM_ASIDE 1e-9
enum { SPECTRUM_ROUNDS = 4 };

typedef struct window {
    const spectrum_pencil *pencil;
    int size;
    arena *arena;
    sparse *shifted; /* A - shift E */
    double *shifted_values;
    sparse *turned; /* A - lambda E, complex; made when first wanted */
    double *turned_values;
    double *sums;   /* size: row sums of magnitudes */
    double *work;   /* 4 size */
    int found;      /* of the operator */
    double *theta;  /* complex pairs */
    double *vector; /* complex pairs */
} window;

/* y = (A - shift E)^-1 E x */
static baronet_status apply(void *context, const double *x, double *y) {
    window *w = context;
    pattern_multiply(w->pencil->pattern, w->pencil->e, x, y);
    return sparse_solve_unchecked(w->shifted, y);
}

static baronet_status open_window(window *w, const spectrum_pencil *p, arena *a) {
    const size_t n = (size_t)p->pattern->size, entries = (size_t)p->pattern->entries;
    *w = (window){.pencil = p,
                  .size = p->pattern->size,
                  .arena = a,
                  .shifted_values = ARENA_ARRAY(a, double, entries),
                  .turned_values = ARENA_ARRAY(a, double, 2 * entries),
                  .sums = ARENA_ARRAY(a, double, n),
                  .work = ARENA_ARRAY(a, double, 4 * n)};
    if (!arena_complete(a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (size_t i = 0; i < entries; i++) {
        w->shifted_values[i] = p->a[i] - p->shift * p->e[i];
    }
    baronet_status status = sparse_create(&w->shifted, p->pattern, false, NULL);
    if (status == BARONET_OK) {
        status = sparse_factor(w->shifted, w->shifted_values, NULL);
    }
    return status;
}

static void close_window(window *w) {
    sparse_destroy(w->shifted);
    sparse_destroy(w->turned);
}

/* The operator as a full matrix, and all of its eigenvalues. */
static baronet_status solve_dense(window *w) {
    const size_t n = (size_t)w->size;
    double *const matrix = ARENA_ARRAY(w->arena, double, n *n);
    w->theta = ARENA_ARRAY(w->arena, double, 2 * n);
    w->vector = ARENA_ARRAY(w->arena, double, 2 * n * n);
    if (!arena_complete(w->arena)) {
        return BARONET_OUT_OF_MEMORY;
    }
    baronet_status status = BARONET_OK;
    double *const unit = w->work, *const column = w->work + n;
    for (size_t j = 0; j < n && status == BARONET_OK; j++) {
        memset(unit, 0, n * sizeof *unit);
        unit[j] = 1.0;
        status = apply(w, unit, column);
        for (size_t i = 0; i < n; i++) {
            matrix[i * n + j] = column[i];
        }
    }
    w->found = w->size;
    return status == BARONET_OK ? dense_eigen(w->size, matrix, w->theta, w->vector) : status;
}

static baronet_status solve_sparse(window *w, int wanted) {
    const size_t n = (size_t)w->size;
    double *const start = ARENA_ARRAY(w->arena, double, n);
    w->theta = ARENA_ARRAY(w->arena, double, 2 * (size_t)(wanted + 1));
    w->vector = ARENA_ARRAY(w->arena, double, 2 * n * (size_t)(wanted + 1));
    if (!arena_complete(w->arena)) {
        return BARONET_OUT_OF_MEMORY;
    }
    const double golden = 0.6180339887498949; /* uneven without being random */
    for (size_t i = 0; i < n; i++) {
        w->work[i] = fmod((double)(i + 1) * golden, 1.0) - 0.5;
    }
    /* Out of the operator's own range, so that what is infinite is not in it. */
    const baronet_status status = apply(w, w->work, start);
    const krylov k = {w->size, wanted, SPECTRUM_KRYLOV, start, apply, w};
    return status == BARONET_OK ? krylov_general(&k, w->arena, &w->found, w->theta, w->vector)
                                : status;
}

/* Largest magnitude of the operator's eigenvalues, and the smallest. */
static void extent(const window *w, double *largest, double *smallest) {
    *largest = 0.0;
    *smallest = HUGE_VAL;
    for (int k = 0; k < w->found; k++) {
        const double size = hypot(w->theta[2 * k], w->theta[2 * k + 1]);
        *largest = fmax(*largest, size);
        *smallest = fmin(*smallest, size);
    }
}

/* Windows of growing size until the radius is reached. */
static baronet_status search(window *w, double radius, int most, int dense, double *reach) {
    *reach = HUGE_VAL;
    if (w->size <= dense || w->size < SPECTRUM_WINDOW + 2) {
        return solve_dense(w);
    }
    const int limit = most < w->size - 2 ? most : w->size - 2;
    for (int wanted = SPECTRUM_WINDOW < limit ? SPECTRUM_WINDOW : limit;;) {
        const baronet_status status = solve_sparse(w, wanted);
        double largest, smallest;
        extent(w, &largest, &smallest);
        *reach = 1.0 / smallest;
        if (status != BARONET_OK || *reach > radius || wanted == limit) {
            return status;
        }
        wanted = 2 * wanted < limit ? 2 * wanted : limit;
    }
}

static double complex part(const double *x, size_t i) {
    return x[2 * i] + J * x[2 * i + 1];
}

/* Scales a vector so that its largest component is one; of components as good as equal the first.
 */
static void scale_vector(size_t n, double *x) {
    size_t largest = 0;
    for (size_t i = 0; i < n; i++) {
        largest = cabs(part(x, i)) > cabs(part(x, largest)) * (1.0 + 1e-6) ? i : largest;
    }
    const double complex by = part(x, largest);
    for (size_t i = 0; i < n; i++) {
        const double complex scaled = part(x, i) / by;
        x[2 * i] = creal(scaled);
        x[2 * i + 1] = cimag(scaled);
    }
}

/* The measure described in the header. `x` has its largest component one. */
static double residual_of(window *w, double complex value, const double *x) {
    const pattern *p = w->pencil->pattern;
    const size_t n = (size_t)w->size;
    double *const left = w->work;
    memset(left, 0, 2 * n * sizeof *left);
    memset(w->sums, 0, n * sizeof *w->sums);
    for (size_t j = 0; j < n; j++) {
        for (int k = p->start[j]; k < p->start[j + 1]; k++) {
            const size_t i = (size_t)p->row[k];
            const double complex factor = w->pencil->a[k] - value * w->pencil->e[k];
            const double complex add = factor * part(x, j);
            left[2 * i] += creal(add);
            left[2 * i + 1] += cimag(add);
            w->sums[i] += fabs(w->pencil->a[k]) + cabs(value) * fabs(w->pencil->e[k]);
        }
    }
    double worst = 0.0;
    for (size_t i = 0; i < n; i++) {
        worst = fmax(worst, w->sums[i] > 0.0 ? cabs(part(left, i)) / w->sums[i] : 0.0);
    }
    return worst;
}

/* out = E x, complex. */
static void weigh(const window *w, const double *x, double *out) {
    const pattern *p = w->pencil->pattern;
    memset(out, 0, 2 * (size_t)w->size * sizeof *out);
    for (int j = 0; j < w->size; j++) {
        for (int k = p->start[j]; k < p->start[j + 1]; k++) {
            out[2 * p->row[k]] += w->pencil->e[k] * x[2 * j];
            out[2 * p->row[k] + 1] += w->pencil->e[k] * x[2 * j + 1];
        }
    }
}

/* One step of inverse iteration, with the eigenvalue that is best for the new vector: from
   (A - s E) y = E x it is s + (Ey)'(Ex)/(Ey)'(Ey). Both stay as they are where there are no
   factors. */
static baronet_status sharpen(window *w, double complex *value, double *x) {
    const size_t n = (size_t)w->size, entries = (size_t)w->pencil->pattern->entries;
    const double complex aside = *value * (1.0 + SPECTRUM_ASIDE);
    double *const before = w->work, *const after = w->work + 2 * n;
    for (size_t i = 0; i < entries; i++) {
        const double complex v = w->pencil->a[i] - aside * w->pencil->e[i];
        w->turned_values[2 * i] = creal(v);
        w->turned_values[2 * i + 1] = cimag(v);
    }
    baronet_status status =
        w->turned == NULL ? sparse_create(&w->turned, w->pencil->pattern, true, NULL) : BARONET_OK;
    if (status == BARONET_OK) {
        status = sparse_factor(w->turned, w->turned_values, NULL);
    }
    if (status != BARONET_OK) {
        return status;
    }
    weigh(w, x, before);
    memcpy(x, before, 2 * n * sizeof *x);
    status = sparse_solve_unchecked(w->turned, x);
    if (status != BARONET_OK) {
        return status;
    }
    weigh(w, x, after);
    double complex along = 0.0;
    double square = 0.0;
    for (size_t i = 0; i < n; i++) {
        along += conj(part(after, i)) * part(before, i);
        square += creal(part(after, i)) * creal(part(after, i)) +
                  cimag(part(after, i)) * cimag(part(after, i));
    }
    *value = aside + along / square;
    scale_vector(n, x);
    return BARONET_OK;
}

/* Takes one eigenvalue into the answer, sharpened where its residual asks for it. */
static baronet_status take_one(window *w, int k, spectrum_answer *out) {
    const size_t n = (size_t)w->size;
    double *const x = out->vector + 2 * n * (size_t)out->count;
    memcpy(x, w->vector + 2 * n * (size_t)k, 2 * n * sizeof *x);
    const double complex theta = part(w->theta, (size_t)k);
    const bool real = w->theta[2 * k + 1] == 0.0;
    double complex value = w->pencil->shift + 1.0 / theta;
    scale_vector(n, x);
    double residual = residual_of(w, value, x);
    for (int round = 0; round < SPECTRUM_ROUNDS && residual > SPECTRUM_TOLERANCE; round++) {
        const baronet_status status = sharpen(w, &value, x);
        if (status == BARONET_OUT_OF_MEMORY) {
            return status;
        }
        if (status != BARONET_OK) {
            break; /* the residual tells */
        }
        value = real ? creal(value) : value;
        residual = residual_of(w, value, x);
    }
    out->value[2 * out->count] = creal(value);
    out->value[2 * out->count + 1] = cimag(value);
    out->residual[out->count++] = residual;
    return isfinite(residual) ? BARONET_OK : BARONET_NOT_FINITE;
}

/* Largest of the operator first: closest to the shift. */
static int *sorted(const window *w) {
    int *order = ARENA_ARRAY(w->arena, int, w->found);
    for (int k = 0; k < w->found && order != NULL; k++) {
        const double own = hypot(w->theta[2 * k], w->theta[2 * k + 1]);
        int place = k;
        while (place > 0 &&
               hypot(w->theta[2 * order[place - 1]], w->theta[2 * order[place - 1] + 1]) < own) {
            order[place] = order[place - 1];
            place--;
        }
        order[place] = k;
    }
    return order;
}

static baronet_status collect(window *w, double radius, spectrum_answer *out) {
    const size_t n = (size_t)w->size, found = (size_t)w->found;
    int *order = sorted(w);
    out->value = ARENA_ARRAY(w->arena, double, 2 * found);
    out->vector = ARENA_ARRAY(w->arena, double, 2 * n * found);
    out->residual = ARENA_ARRAY(w->arena, double, found);
    if (!arena_complete(w->arena)) {
        return BARONET_OUT_OF_MEMORY;
    }
    double largest, smallest;
    extent(w, &largest, &smallest);
    const bool all = out->reach == HUGE_VAL;
    out->all = all ? 0 : -1;
    baronet_status status = BARONET_OK;
    for (int k = 0; k < w->found && status == BARONET_OK; k++) {
        const double *theta = w->theta + 2 * order[k];
        const double size = hypot(theta[0], theta[1]);
        const bool finite = size > SPECTRUM_INFINITE * largest;
        out->all += all && finite;
        /* 1/theta has the sign of its imaginary part turned. */
        if (finite && theta[1] <= 0.0 && 1.0 / size < radius) {
            status = take_one(w, order[k], out);
        }
    }
    return status;
}

baronet_status spectrum_solve_by(const spectrum_pencil *p, double radius, int most, int dense,
                                 spectrum_answer *out, arena *a) {
    *out = (spectrum_answer){.reach = HUGE_VAL};
    window w = {0};
    if (p->pattern->size == 0) {
        return BARONET_OK;
    }
    baronet_status status = open_window(&w, p, a);
    if (status == BARONET_OK) {
        status = search(&w, radius, most, dense, &out->reach);
    }
    if (status == BARONET_OK) {
        status = collect(&w, radius, out);
    }
    close_window(&w);
    return status;
}

baronet_status spectrum_solve(const spectrum_pencil *p, double radius, int most,
                              spectrum_answer *out, arena *a) {
    return spectrum_solve_by(p, radius, most, SPECTRUM_DENSE, out, a);
}
