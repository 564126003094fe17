/* SPDX-License-Identifier: MIT */
#include "numeric/spectrum.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numeric/dense.h"
#include "support.h"

/* A chain of masses, springs and dampers, x' = v, m v' = ...: uneven, and with `massless` every
   fourth mass taken away, so that E is singular. */
typedef struct chain {
    int n;
    pattern pattern;
    double *a, *e, *dense; /* dense: E^-1 A where E can be inverted */
} chain;

static double mass(int i, bool massless) {
    return massless && i % 4 == 3 ? 0.0 : 1.0 + 0.3 * (i % 3);
}

static chain chain_make(int masses, bool massless) {
    chain c = {.n = 2 * masses};
    const size_t most = 16 * (size_t)masses;
    int *row = calloc(most, sizeof *row), *column = calloc(most, sizeof *column), count = 0;
    double *a = calloc(most, sizeof *a), *e = calloc(most, sizeof *e);
#define PUT(r, s, av, ev)                                                                          \
    (row[count] = (r), column[count] = (s), a[count] = (av), e[count++] = (ev))
    for (int i = 0; i < masses; i++) {
        PUT(i, masses + i, 1.0, 0.0);
        PUT(i, i, 0.0, 1.0);
        PUT(masses + i, masses + i, -0.05, mass(i, massless));
        for (int d = -1; d <= 1; d++) {
            const double k = 40.0 + 7.0 * ((i + (d < 0 ? d : 0) + 5) % 4);
            const double damper = 0.01 * (1 + i % 2) * k;
            if (d == 0) {
                PUT(masses + i, i, -3.0, 0.0);
                continue;
            }
            PUT(masses + i, i, -k, 0.0);
            PUT(masses + i, masses + i, -damper, 0.0);
            if (i + d >= 0 && i + d < masses) {
                PUT(masses + i, i + d, k, 0.0);
                PUT(masses + i, masses + i + d, damper, 0.0);
            }
        }
    }
#undef PUT
    cr_assert_eq(pattern_make(&c.pattern, NULL, c.n, count, row, column), BARONET_OK);
    c.a = calloc((size_t)c.pattern.entries, sizeof *c.a);
    c.e = calloc((size_t)c.pattern.entries, sizeof *c.e);
    c.dense = calloc((size_t)c.n * (size_t)c.n, sizeof *c.dense);
    for (int k = 0; k < count; k++) {
        c.a[c.pattern.slot[k]] += a[k];
        c.e[c.pattern.slot[k]] += e[k];
        if (!massless)
            c.dense[row[k] * c.n + column[k]] +=
                a[k] / (row[k] < masses ? 1.0 : mass(row[k] - masses, false));
    }
    free(row);
    free(column);
    free(a);
    free(e);
    return c;
}

static void chain_free(chain *c) {
    pattern_free(&c->pattern);
    free(c->a);
    free(c->e);
    free(c->dense);
}

/* Distance to the nearest of some eigenvalues (complex pairs). */
static double nearest(const double *value, int count, const double *list) {
    double best = HUGE_VAL;
    for (int k = 0; k < count; k++)
        best = fmin(best, hypot(value[0] - list[2 * k], value[1] - list[2 * k + 1]));
    return best;
}

static void check_against_lapack(int masses, int dense, double radius) {
    chain c = chain_make(masses, false);
    double *values = calloc(2 * (size_t)c.n, sizeof *values);
    double *vectors = calloc(2 * (size_t)c.n * (size_t)c.n, sizeof *vectors);
    cr_assert_eq(dense_eigen(c.n, c.dense, values, vectors), BARONET_OK);
    const spectrum_pencil p = {&c.pattern, c.a, c.e, 0.7};
    arena *a = arena_create(NULL);
    spectrum_answer out;
    cr_assert_eq(spectrum_solve_by(&p, radius, 200, dense, &out, a), BARONET_OK);
    int expected = 0;
    for (int k = 0; k < c.n; k++)
        expected +=
            values[2 * k + 1] >= 0.0 && hypot(values[2 * k] - 0.7, values[2 * k + 1]) < radius;
    cr_assert_gt(expected, 8);
    cr_assert_geq(out.reach, radius);
    cr_assert_eq(out.count, expected, "nothing is lost: %d of %d", out.count, expected);
    for (int k = 0; k < out.count; k++) {
        CHECK_ABS(nearest(out.value + 2 * k, c.n, values), 0.0, 1e-9, "LAPACK of E^-1 A");
        cr_assert_leq(out.residual[k], 1e-12);
    }
    arena_destroy(a);
    free(values);
    free(vectors);
    chain_free(&c);
}

Test(spectrum, small_pencils_have_all_their_eigenvalues) {
    check_against_lapack(23, SPECTRUM_DENSE, 12.0);
    check_against_lapack(23, SPECTRUM_DENSE, 1e9);
}

Test(spectrum, a_window_of_a_large_one_loses_none) {
    check_against_lapack(90, 0, 6.0);
}

Test(spectrum, infinite_eigenvalues_are_left_out) {
    chain c = chain_make(16, true);
    const spectrum_pencil p = {&c.pattern, c.a, c.e, 0.7};
    arena *a = arena_create(NULL);
    spectrum_answer out;
    cr_assert_eq(spectrum_solve(&p, HUGE_VAL, 100, &out, a), BARONET_OK);
    /* Four massless ones, held by dampers: one eigenvalue each instead of two. */
    cr_assert_eq(out.all, c.n - 4);
    for (int k = 0; k < out.count; k++)
        cr_assert_leq(out.residual[k], 1e-12);
    arena_destroy(a);
    chain_free(&c);
}

Test(spectrum, says_how_far_it_came_where_there_are_too_many) {
    chain c = chain_make(200, false);
    const spectrum_pencil p = {&c.pattern, c.a, c.e, 0.7};
    arena *a = arena_create(NULL);
    spectrum_answer out;
    cr_assert_eq(spectrum_solve_by(&p, 1e3, 30, 0, &out, a), BARONET_OK);
    cr_assert_lt(out.reach, 1e3);
    cr_assert_eq(out.all, -1);
    for (int k = 0; k < out.count; k++)
        cr_assert_leq(hypot(out.value[2 * k] - 0.7, out.value[2 * k + 1]),
                      out.reach * (1.0 + 1e-9));
    arena_destroy(a);
    chain_free(&c);
}

Test(spectrum, a_shift_that_is_an_eigenvalue_is_refused) {
    const int at[] = {0, 1};
    pattern places;
    cr_assert_eq(pattern_make(&places, NULL, 2, 2, at, at), BARONET_OK);
    const double a[] = {3.0, 5.0}, e[] = {1.0, 1.0};
    const spectrum_pencil p = {&places, a, e, 3.0};
    arena *memory = arena_create(NULL);
    spectrum_answer out;
    cr_assert_eq(spectrum_solve(&p, 10.0, 4, &out, memory), BARONET_SINGULAR);
    arena_destroy(memory);
    pattern_free(&places);
}
