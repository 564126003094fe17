/* SPDX-License-Identifier: MIT */
#include "numeric/ode.h"

#include <criterion/criterion.h>
#include <math.h>

#include "model/gas.h"
#include "support.h"

/* A full Jacobian, column by column. */
static void full_pattern(pattern *p, int size, const baronet_allocator *allocator) {
    int rows[16], columns[16];
    for (int k = 0; k < size * size; k++) {
        rows[k] = k % size;
        columns[k] = k / size;
    }
    cr_assert_eq(pattern_make(p, allocator, size, size * size, rows, columns), BARONET_OK);
}

/* Two fixed isothermal volumes joined by G (p1 - p2); y are their masses. */
typedef struct pair {
    double volume[2], temperature, conductance;
} pair;

static double pressure(const pair *q, const double *y, int k) {
    return y[k] * GAS_CONSTANT * q->temperature / q->volume[k];
}

static bool pair_rate(void *context, double t, const double *y, double *dydt) {
    (void)t;
    const pair *q = context;
    dydt[0] = -q->conductance * (pressure(q, y, 0) - pressure(q, y, 1));
    dydt[1] = -dydt[0];
    return true;
}

static void pair_slope(void *context, double t, const double *y, double *values) {
    (void)t;
    (void)y;
    const pair *q = context;
    for (int k = 0; k < 2; k++) {
        const double g = q->conductance * GAS_CONSTANT * q->temperature / q->volume[k];
        values[2 * k + k] = -g;
        values[2 * k + 1 - k] = g;
    }
}

Test(ode, two_volumes_even_out_as_in_the_reference) {
    csv *table = csv_read("tank_blowdown");
    pattern p;
    full_pattern(&p, 2, NULL);
    int compared = 0;
    for (size_t row = 0; row < csv_rows(table); row++) {
        if (!csv_is(table, row, "kind", "linear_equalise") ||
            !csv_is(table, row, "quantity", "p1_at_t")) {
            continue;
        }
        pair q = {{csv_number(table, row, "V_m3"), csv_number(table, row, "V2_m3")},
                  csv_number(table, row, "T_K"),
                  csv_number(table, row, "G_kg_per_sPa")};
        const double start[2] = {csv_number(table, row, "p0_Pa"),
                                 csv_number(table, row, "p_back_Pa")};
        double y[2], absolute[2];
        for (int k = 0; k < 2; k++) {
            y[k] = start[k] * q.volume[k] / (GAS_CONSTANT * q.temperature);
            absolute[k] = 1e-12 * y[k];
        }
        const double air = y[0] + y[1];
        const ode_problem problem = {.size = 2,
                                     .pattern = &p,
                                     .rate = pair_rate,
                                     .slope = pair_slope,
                                     .context = &q,
                                     .relative = 1e-11,
                                     .absolute = absolute};
        ode *o;
        int event;
        cr_assert_eq(ode_create(&o, &problem, NULL), BARONET_OK);
        cr_assert_eq(ode_start(o, 0.0, y), BARONET_OK);
        cr_assert_eq(ode_advance(o, csv_number(table, row, "t_s"), &event), BARONET_OK);
        cr_assert_eq(event, -1);
        CHECK_ROW(pressure(&q, ode_state(o), 0), table, row);
        CHECK_REL(ode_state(o)[0] + ode_state(o)[1], air, 1e-15, "conservation of mass");
        ode_destroy(o);
        compared++;
    }
    cr_assert_eq(compared, 3);
    pattern_free(&p);
    csv_free(table);
}

/* Three reactions of very different speed (Robertson 1966), the usual stiff example. */
static bool robertson_rate(void *context, double t, const double *y, double *dydt) {
    (void)context;
    (void)t;
    dydt[0] = -0.04 * y[0] + 1e4 * y[1] * y[2];
    dydt[2] = 3e7 * y[1] * y[1];
    dydt[1] = -dydt[0] - dydt[2];
    return true;
}

static void robertson_slope(void *context, double t, const double *y, double *values) {
    (void)context;
    (void)t;
    const double fast = 6e7 * y[1];
    const double columns[9] = {-0.04, 0.04,       0.0,         1e4 * y[2], -1e4 * y[2] - fast,
                               fast,  1e4 * y[1], -1e4 * y[1], 0.0};
    for (int k = 0; k < 9; k++) {
        values[k] = columns[k];
    }
}

Test(ode, a_stiff_problem_is_solved_and_its_sum_kept) {
    pattern p;
    full_pattern(&p, 3, NULL);
    static const double absolute[3] = {1e-12, 1e-16, 1e-12}, start[3] = {1.0, 0.0, 0.0};
    const ode_problem problem = {.size = 3,
                                 .pattern = &p,
                                 .rate = robertson_rate,
                                 .slope = robertson_slope,
                                 .relative = 1e-10,
                                 .absolute = absolute};
    ode *o;
    int event;
    cr_assert_eq(ode_create(&o, &problem, NULL), BARONET_OK);
    cr_assert_eq(ode_start(o, 0.0, start), BARONET_OK);
    cr_assert_eq(ode_advance(o, 40.0, &event), BARONET_OK);
    CHECK_REL(ode_state(o)[0], 0.7158270688, 1e-8, "Robertson at t = 40, from memory");
    CHECK_REL(ode_state(o)[1], 9.185534765e-6, 1e-7, "Robertson at t = 40, from memory");
    const double sum = ode_state(o)[0] + ode_state(o)[1] + ode_state(o)[2];
    CHECK_REL(sum, 1.0, 1e-14, "the reactions keep the sum");
    cr_assert(ode_account_of(o).steps < 2000);
    /* A second run of the same kind gives the same, bit by bit. */
    const double first = ode_state(o)[1];
    cr_assert_eq(ode_start(o, 0.0, start), BARONET_OK);
    cr_assert_eq(ode_advance(o, 40.0, &event), BARONET_OK);
    cr_assert_eq(ode_state(o)[1], first);
    ode_destroy(o);
    pattern_free(&p);
}

/* A pendulum of small swings: y = (cos t, -sin t). */
static bool swing_rate(void *context, double t, const double *y, double *dydt) {
    (void)context;
    (void)t;
    dydt[0] = y[1];
    dydt[1] = -y[0];
    return true;
}

static void swing_slope(void *context, double t, const double *y, double *values) {
    (void)context;
    (void)t;
    (void)y;
    values[1] = -1.0;
    values[2] = 1.0;
}

static void swing_root(void *context, double t, const double *y, double *g) {
    (void)context;
    (void)t;
    g[0] = y[0] - 0.3;
    g[1] = y[0];
}

static ode_problem swing_problem(const pattern *p) {
    static const double absolute[2] = {1e-12, 1e-12};
    return (ode_problem){.size = 2,
                         .pattern = p,
                         .rate = swing_rate,
                         .slope = swing_slope,
                         .roots = 2,
                         .root = swing_root,
                         .relative = 1e-11,
                         .absolute = absolute};
}

Test(ode, events_are_located_once_each_and_in_order) {
    pattern p;
    full_pattern(&p, 2, NULL);
    static const double start[2] = {1.0, 0.0};
    const ode_problem problem = swing_problem(&p);
    ode *o;
    int event;
    cr_assert_eq(ode_create(&o, &problem, NULL), BARONET_OK);
    cr_assert_eq(ode_start(o, 0.0, start), BARONET_OK);
    cr_assert_eq(ode_advance(o, 20.0, &event), BARONET_OK);
    cr_assert_eq(event, 0);
    CHECK_REL(ode_time(o), acos(0.3), 1e-9, "cos t = 0.3");
    cr_assert_eq(ode_advance(o, 20.0, &event), BARONET_OK);
    cr_assert_eq(event, 1);
    CHECK_REL(ode_time(o), 1.5707963267948966, 1e-9, "cos t = 0");
    cr_assert_eq(ode_advance(o, 20.0, &event), BARONET_OK);
    cr_assert_eq(event, -1);
    CHECK_REL(ode_time(o), 20.0, 1e-15, "asked for");
    CHECK_ABS(ode_state(o)[0], cos(20.0), 1e-8, "cosine");
    cr_assert_eq(ode_start(o, 0.0, start), BARONET_OK);
    cr_assert_eq(ode_advance(o, 20.0, &event), BARONET_OK);
    cr_assert_eq(event, 0, "a new run looks for all of them again");
    ode_destroy(o);
    pattern_free(&p);
}

Test(ode, steps_are_a_budget) {
    pattern p;
    full_pattern(&p, 2, NULL);
    static const double start[2] = {1.0, 0.0};
    ode_problem problem = swing_problem(&p);
    problem.roots = 0;
    problem.steps = 700;
    ode *o;
    int event;
    cr_assert_eq(ode_create(&o, &problem, NULL), BARONET_OK);
    cr_assert_eq(ode_start(o, 0.0, start), BARONET_OK);
    cr_assert_eq(ode_advance(o, 1e6, &event), BARONET_NOT_CONVERGED);
    cr_assert(ode_account_of(o).steps >= 700 && ode_account_of(o).steps <= 1200);
    cr_assert_eq(ode_start(o, 0.0, (const double[]){(double)NAN, 0.0}), BARONET_NOT_FINITE);
    ode_destroy(o);
    pattern_free(&p);
}

/* y' = -sqrt(y) + 1/4, which is not defined below zero; y tends to 1/16. */
static bool root_rate(void *context, double t, const double *y, double *dydt) {
    (void)t;
    ++*(int *)context;
    dydt[0] = y[0] >= 0.0 ? 0.25 - sqrt(y[0]) : 0.0;
    return y[0] >= 0.0;
}

static void root_slope(void *context, double t, const double *y, double *values) {
    (void)context;
    (void)t;
    values[0] = -0.5 / sqrt(y[0]);
}

Test(ode, a_state_out_of_bounds_is_stepped_around) {
    pattern p;
    full_pattern(&p, 1, NULL);
    static const double absolute[1] = {1e-10}, start[1] = {3.7};
    int calls = 0;
    const ode_problem problem = {.size = 1,
                                 .pattern = &p,
                                 .rate = root_rate,
                                 .slope = root_slope,
                                 .context = &calls,
                                 .relative = 1e-8,
                                 .absolute = absolute};
    ode *o;
    int event;
    cr_assert_eq(ode_create(&o, &problem, NULL), BARONET_OK);
    cr_assert_eq(ode_start(o, 0.0, start), BARONET_OK);
    cr_assert_eq(ode_advance(o, 200.0, &event), BARONET_OK);
    CHECK_REL(ode_state(o)[0], 0.0625, 1e-7, "where the rate is zero");
    cr_assert(calls > 10);
    ode_destroy(o);
    pattern_free(&p);
}

Test(ode, every_refusal_of_memory_is_survived) {
    failing f;
    pattern p;
    full_pattern(&p, 2, NULL);
    const ode_problem problem = swing_problem(&p);
    for (size_t k = 1;; k++) {
        const baronet_allocator *allocator = failing_start(&f, k);
        ode *o = NULL;
        const baronet_status status = ode_create(&o, &problem, allocator);
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        ode_destroy(o);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
    pattern_free(&p);
}
