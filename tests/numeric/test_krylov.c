/* SPDX-License-Identifier: MIT */
#include "numeric/krylov.h"

#include <criterion/criterion.h>
#include <math.h>

#include "support.h"

enum { N = 80 };

/* Rotations by blocks of two: eigenvalues r exp(+-i phi), r rising. */
static double radius(int block) {
    return 1.0 + 0.037 * block * block;
}

static baronet_status turn(void *context, const double *x, double *y) {
    (void)context;
    for (int k = 0; k < N / 2; k++) {
        const double r = radius(k), c = r * cos(0.3 + 0.01 * k), s = r * sin(0.3 + 0.01 * k);
        y[2 * k] = c * x[2 * k] - s * x[2 * k + 1];
        y[2 * k + 1] = s * x[2 * k] + c * x[2 * k + 1];
    }
    return BARONET_OK;
}

static baronet_status scale(void *context, const double *x, double *y) {
    (void)context;
    for (int i = 0; i < N; i++)
        y[i] = radius(i) * x[i];
    return BARONET_OK;
}

static baronet_status refuse(void *context, const double *x, double *y) {
    (void)context;
    (void)x;
    y[0] = 0.0;
    return BARONET_SINGULAR;
}

static void fill_start(double *start) {
    for (int i = 0; i < N; i++)
        start[i] = fmod((i + 1) * 0.618, 1.0) - 0.5;
}

Test(krylov, finds_the_largest_of_a_symmetric_matrix) {
    double start[N], values[6], vectors[6 * N];
    fill_start(start);
    const krylov k = {N, 6, 1e-12, start, scale, NULL};
    arena *a = arena_create(NULL);
    cr_assert_eq(krylov_symmetric(&k, a, values, vectors), BARONET_OK);
    for (int i = 0; i < 6; i++) {
        CHECK_REL(values[i], radius(N - 6 + i), 1e-10, "diagonal");
        CHECK_REL(fabs(vectors[i * N + N - 6 + i]), 1.0, 1e-8, "its own axis");
    }
    arena_destroy(a);
}

Test(krylov, finds_the_largest_pairs_of_any_matrix) {
    double start[N], values[2 * 7], vectors[2 * 7 * N];
    fill_start(start);
    const krylov k = {N, 6, 1e-12, start, turn, NULL};
    arena *a = arena_create(NULL);
    int found = 0;
    cr_assert_eq(krylov_general(&k, a, &found, values, vectors), BARONET_OK);
    cr_assert_geq(found, 6);
    int seen[3] = {0};
    for (int j = 0; j < found && j < 6; j++) {
        const double r = hypot(values[2 * j], values[2 * j + 1]);
        for (int b = 0; b < 3; b++)
            seen[b] += fabs(r / radius(N / 2 - 1 - b) - 1.0) < 1e-9;
        double y[2][N], x[2][N];
        for (int i = 0; i < N; i++) {
            x[0][i] = vectors[2 * (j * N + i)];
            x[1][i] = vectors[2 * (j * N + i) + 1];
        }
        cr_assert_eq(turn(NULL, x[0], y[0]), BARONET_OK);
        cr_assert_eq(turn(NULL, x[1], y[1]), BARONET_OK);
        for (int i = 0; i < N; i++) {
            CHECK_ABS(y[0][i], values[2 * j] * x[0][i] - values[2 * j + 1] * x[1][i], 1e-8,
                      "A x = lambda x");
            CHECK_ABS(y[1][i], values[2 * j] * x[1][i] + values[2 * j + 1] * x[0][i], 1e-8,
                      "A x = lambda x");
        }
    }
    for (int b = 0; b < 3; b++)
        cr_assert_eq(seen[b], 2);
    arena_destroy(a);
}

Test(krylov, passes_on_what_its_matrix_says) {
    double start[N], values[14], vectors[2 * 7 * N];
    fill_start(start);
    const krylov k = {N, 6, 1e-12, start, refuse, NULL};
    arena *a = arena_create(NULL);
    int found;
    cr_assert_eq(krylov_general(&k, a, &found, values, vectors), BARONET_SINGULAR);
    cr_assert_eq(krylov_symmetric(&k, a, values, vectors), BARONET_SINGULAR);
    arena_destroy(a);
}

/* A matrix that maps reals to reals has real eigenvalues among its pairs. */
Test(krylov, finds_real_ones_beside_pairs) {
    double start[N], values[2 * 9], vectors[2 * 9 * N];
    fill_start(start);
    const krylov k = {N, 8, 1e-12, start, scale, NULL};
    arena *a = arena_create(NULL);
    int found = 0;
    cr_assert_eq(krylov_general(&k, a, &found, values, vectors), BARONET_OK);
    cr_assert_geq(found, 8);
    for (int j = 0; j < found; j++) {
        CHECK_REL(values[2 * j], radius(N - 1 - j), 1e-9, "diagonal");
        cr_expect_eq(values[2 * j + 1], 0.0);
    }
    arena_destroy(a);
}

Test(krylov, tells_of_want_of_memory) {
    enum { LARGE = 4000 };
    static double start[LARGE], values[14], vectors[7 * 2 * LARGE];
    const krylov k = {LARGE, 6, 1e-12, start, refuse, NULL};
    refusal r;
    arena *a = arena_create(refusal_start(&r, 1));
    int found;
    cr_expect_eq(krylov_general(&k, a, &found, values, vectors), BARONET_OUT_OF_MEMORY);
    cr_expect_eq(krylov_symmetric(&k, a, values, vectors), BARONET_OUT_OF_MEMORY);
    arena_destroy(a);
}
