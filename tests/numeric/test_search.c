/* SPDX-License-Identifier: MIT */
#include "numeric/search.h"

#include <criterion/criterion.h>
#include <math.h>

#include "support.h"

/* A long valley between two hollows, the deeper one far from the start; lowest at the bound. */
static double hollows(void *context, const double *x, bool *stop) {
    int *const count = context;
    const double a = x[0] - 0.2, b = x[0] - 0.83, c = x[1] - 0.4;
    *stop = ++*count == 100000;
    return fmin(3.0 * a * a + 0.1, 40.0 * b * b) + 5.0 * c * c - 0.2 * x[2];
}

Test(search, finds_the_deeper_hollow) {
    int count = 0;
    const search_question ask = {3, hollows, &count, 1500, 600, 1e-8};
    double x[3] = {0.21, 0.9, 0.3}, lowest = 0.0;
    cr_assert_eq(search_lowest(&ask, x, &lowest), BARONET_OK);
    CHECK_ABS(x[0], 0.83, 1e-5, "lowest by construction");
    CHECK_ABS(x[1], 0.4, 1e-5, "lowest by construction");
    CHECK_ABS(x[2], 1.0, 1e-6, "at its bound");
    CHECK_ABS(lowest, -0.2, 1e-8, "lowest by construction");
    double again[3] = {0.21, 0.9, 0.3};
    cr_assert_eq(search_lowest(&ask, again, &lowest), BARONET_OK);
    cr_expect(again[0] == x[0] && again[1] == x[1] && again[2] == x[2], "the same each time");
}

static double broken(void *context, const double *x, bool *stop) {
    int *const count = context;
    *stop = ++*count >= 50;
    return x[0] < 0.5 ? (double)NAN : (x[0] - 0.7) * (x[0] - 0.7);
}

Test(search, goes_round_what_has_no_value_and_stops_when_told) {
    int count = 0;
    const search_question ask = {1, broken, &count, 40, 400, 1e-9};
    double x = 0.1, lowest = 0.0;
    cr_assert_eq(search_lowest(&ask, &x, &lowest), BARONET_OK);
    cr_expect_eq(count, 50);
    CHECK_ABS(x, 0.7, 0.03, "lowest by construction");
}

/* Mass on a spring k with, beside it, a dashpot in series with a spring N k: largest
   transmissibility over all frequencies, absolute or relative, for a damping zeta (README of
   tests/reference, 9). */
typedef struct isolator {
    double N;
    bool relative;
} isolator;

static double transmissibility(const isolator *i, double zeta, double r) {
    const double c = 2.0 * zeta, d = c * r;
    /* K = 1 + j d N/(N + j d), in units of k */
    const double size = i->N * i->N + d * d;
    const double re = 1.0 + i->N * d * d / size, im = i->N * i->N * d / size;
    const double below = hypot(re - r * r, im);
    return (i->relative ? r * r : hypot(re, im)) / below;
}

static double largest(void *context, const double *x, bool *stop) {
    double most = 0.0;
    (void)stop;
    for (double r = 0.6; r < 4.0; r += 2e-4)
        most = fmax(most, transmissibility(context, 2.0 * x[0], r));
    return most;
}

Test(search, finds_the_isolators_optimum) {
    csv *const table = csv_read("isolator_optimum");
    int met = 0;
    for (size_t row = 0; row < csv_rows(table); row++) {
        isolator i = {csv_number(table, row, "N"),
                      csv_is(table, row, "kind", "rel_transmissibility")};
        if (!csv_is(table, row, "quantity", "zeta_opt") || i.N < 0.9 || i.N > 8.5)
            continue;
        const search_question ask = {1, largest, &i, 40, 60, 1e-7};
        double x = 0.5, lowest = 0.0;
        cr_assert_eq(search_lowest(&ask, &x, &lowest), BARONET_OK);
        CHECK_REL(2.0 * x, csv_number(table, row, "expected_si"), 2e-3,
                  csv_text(table, row, "source"));
        CHECK_REL(lowest, 1.0 + 2.0 / i.N, 1e-4, "height of the fixed point, 1 + 2/N");
        met++;
    }
    csv_free(table);
    cr_expect_geq(met, 8);
}
