/* SPDX-License-Identifier: MIT */
#include "studies/ridemodes.h"

#include <complex.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numeric/dense.h"
#include "studies/demos.h"
#include "studies/felt.h"
#include "studies/paths.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */
static const double two_pi = 6.283185307179586;

/* A solved state's modes. */
typedef struct found {
    rig rig;
    ridemodes_answer answer;
} found;

static found solve(rig r, const char *state) {
    found f = {.rig = r};
    rig_answer(&f.rig, state, NULL);
    cr_assert_eq(ridemodes_solve(&f.answer, f.rig.arena, f.rig.rates, 0.01, 1.0, NULL), BARONET_OK);
    return f;
}

static void end(found *f) {
    rig_close(&f->rig);
}

/* The k-th mode that swings, slowest first. */
static const ride_mode *swinging(const found *f, int k) {
    for (int i = 0; i < f->answer.modes; i++)
        if (f->answer.mode[i].frequency > 0.0 && k-- == 0)
            return &f->answer.mode[i];
    cr_assert_fail("there is no such mode");
    return NULL;
}

#define SPARE_TANK "tank spare volume 1 L pressure 1 bar\n"

/* One corner on a coil: the textbook's quarter car. */
static rig quarter(const csv *t, size_t row) {
    const double sprung = csv_number(t, row, "m_s_kg"), unsprung = csv_number(t, row, "m_u_kg");
    return rig_open(SPARE_TANK "corner Q at 0 m 0 m load %.17g kg unsprung %.17g kg tyre %.17g N/m "
                               "damper %.17g N.s/m coil %.17g N/m\n",
                    sprung + unsprung, unsprung, csv_number(t, row, "k_t_N_per_m"),
                    csv_number(t, row, "c_s_Ns_per_m"), csv_number(t, row, "k_s_N_per_m"));
}

static void check_quarter(const csv *t, size_t row) {
    const char *quantity = csv_text(t, row, "quantity");
    if (strcmp(quantity, "ride_rate") == 0 || strncmp(quantity, "omega", 5) == 0)
        return;
    found f = solve(quarter(t, row), NULL);
    cr_assert_eq(f.answer.swinging, 2);
    const ride_mode *mode = swinging(&f, quantity[strlen(quantity) - 1] - '1');
    const double got = strncmp(quantity, "lambda_real", 11) == 0   ? mode->value[0]
                       : strncmp(quantity, "lambda_imag", 11) == 0 ? mode->value[1]
                                                                   : mode->damping;
    CHECK_ROW(got, t, row);
    CHECK_REL(mode->damper, 1.0, 1e-12, "nothing else loses");
    cr_assert_eq(swinging(&f, 0)->shape, SHAPE_HEAVE);
    cr_assert_eq(swinging(&f, 1)->shape, SHAPE_WHEEL);
    end(&f);
}

/* Two axles in a line on coils, no dampers. */
static rig bicycle(const csv *t, size_t row) {
    const double m = csv_number(t, row, "m_s_kg"), a = csv_number(t, row, "a_front_m");
    const double b = csv_number(t, row, "b_rear_m"), r = csv_number(t, row, "radius_gyration_m");
    return rig_open(SPARE_TANK "vehicle pitch-inertia %.17g kg.m2\n"
                               "corner F at %.17g m 0 m load %.17g kg axle front coil %.17g N/m\n"
                               "corner R at %.17g m 0 m load %.17g kg axle rear coil %.17g N/m\n",
                    m * r * r, a, m * b / (a + b), csv_number(t, row, "k_front_N_per_m"), -b,
                    m * a / (a + b), csv_number(t, row, "k_rear_N_per_m"));
}

static void check_bicycle(const csv *t, size_t row) {
    const char *quantity = csv_text(t, row, "quantity");
    const int which = quantity[strlen(quantity) - 1] - '1';
    found f = solve(bicycle(t, row), NULL);
    cr_assert_eq(f.answer.swinging, 2);
    const ride_mode *mode = swinging(&f, which);
    if (strncmp(quantity, "omega", 5) == 0)
        CHECK_ROW(two_pi * mode->frequency, t, row);
    CHECK_ABS(mode->damping, 0.0, 1e-13, "nothing damps it");
    coupled *s = NULL;
    cr_assert_eq(coupled_create(&s, f.rig.rates, 50.0, NULL), BARONET_OK);
    spectrum_pencil p = coupled_pencil(s);
    p.shift = 1.0;
    spectrum_answer all;
    cr_assert_eq(spectrum_solve(&p, 1e3, 10, &all, f.rig.arena), BARONET_OK);
    for (int k = 0; k < all.count && strncmp(quantity, "z_over", 6) == 0; k++) {
        if (fabs(all.value[2 * k + 1] - mode->value[1]) < 1e-6) {
            const double *x = all.vector + 2 * (size_t)coupled_size(s) * (size_t)k;
            CHECK_ROW((x[0] * x[2] + x[1] * x[3]) / (x[2] * x[2] + x[3] * x[3]), t, row);
        }
    }
    coupled_destroy(s);
    end(&f);
}

Test(ridemodes, worked_examples) {
    csv *t = csv_read("ride");
    int quarters = 0, bicycles = 0;
    for (size_t row = 0; row < csv_rows(t); row++) {
        if (csv_is(t, row, "kind", "quarter_car")) {
            check_quarter(t, row);
            quarters++;
        } else if (csv_is(t, row, "kind", "pitch_bounce")) {
            check_bicycle(t, row);
            bicycles++;
        }
    }
    cr_assert_eq(quarters, 27);
    cr_assert_eq(bicycles, 8);
    csv_free(t);
}

#define PISTON "profile piston area 82 cm2 volume 1.7 L at 150 mm\n"

/* An uneven van whose area is what breathes, so that an energy exists. */
#define VAN(gas_words, damper)                                                                     \
    gas_words PISTON                                                                               \
        "vehicle cg-height 0.9 m roll-axis 0.2 m roll-inertia 1100 kg.m2 pitch-inertia 5200 "      \
        "kg.m2\n"                                                                                  \
        "corner FL at 1.6 m 0.84 m load 640 kg axle front unsprung 48 kg tyre 230 N/mm" damper     \
        "corner FR at 1.6 m -0.84 m load 610 kg axle front unsprung 48 kg tyre 230 N/mm" damper    \
        "corner RL at -1.7 m 0.80 m load 720 kg axle rear unsprung 60 kg tyre 250 N/mm" damper     \
        "corner RR at -1.7 m -0.80 m load 690 kg axle rear unsprung 60 kg tyre 250 N/mm" damper    \
        "bar front-bar between FL FR roll 500 N.m/deg\n"                                           \
        "bar rear-bar between RL RR roll 420 N.m/deg\n"                                            \
        "spring fl on FL ratio 0.92 profile piston height 150 mm\n"                                \
        "spring fr on FR ratio 0.92 profile piston height 150 mm\n"                                \
        "spring rl on RL ratio 0.97 profile piston height 160 mm\n"                                \
        "spring rr on RR ratio 0.97 profile piston height 160 mm\n"

#define VAN_AIR                                                                                    \
    "tank left volume 3.1 L\ntank right volume 2.7 L\n"                                            \
    "hose lh from rl to left bore 8 mm length 0.7 m fittings 1\n"                                  \
    "hose rh from rr to right bore 8 mm length 0.9 m fittings 1\n"                                 \
    "restrictor cross from left to right bore 3 mm\n"

Test(ridemodes, nothing_damps_without_dampers_flow_and_heat) {
    found f = solve(rig_open(VAN("gas adiabatic\n", "\n")), NULL);
    cr_assert_eq(f.answer.swinging, 7);
    for (int k = 0; k < f.answer.modes; k++)
        CHECK_ABS(f.answer.mode[k].damping, 0.0, 1e-12, "energy is kept");
    end(&f);
}

/* With an energy H = x'(M |l|^2 + K)x/2 and losses x'C x |l|^2, l^2 M + l C + K = 0 gives that what
   is lost is -4 Re(l) times the kinetic energy: the damping is the sum of what loses. */
static void check_losses(const char *gas_words, const char *damper) {
    rig r = rig_open("%s%s", gas_words, damper);
    found f = {.rig = r};
    rig_answer(&f.rig, NULL, NULL);
    coupled *s = NULL;
    cr_assert_eq(coupled_create(&s, f.rig.rates, 50.0, NULL), BARONET_OK);
    spectrum_pencil p = coupled_pencil(s);
    p.shift = 1.0;
    spectrum_answer all;
    cr_assert_eq(spectrum_solve(&p, 600.0, 100, &all, f.rig.arena), BARONET_OK);
    int seen = 0;
    for (int k = 0; k < all.count; k++) {
        const double *x = all.vector + 2 * (size_t)coupled_size(s) * (size_t)k;
        if (all.value[2 * k + 1] < 1.0)
            continue;
        const coupled_budget b = coupled_account(s, all.value + 2 * k, x, NULL, NULL, NULL);
        const double kinetic = b.body + b.wheel + b.bench + b.air;
        CHECK_REL(b.damper + b.flow + b.wall, -4.0 * all.value[2 * k] * kinetic, 2e-3,
                  "balance of energy; densities are means of both ends");
        seen++;
    }
    cr_assert_geq(seen, 7);
    coupled_destroy(s);
    end(&f);
}

Test(ridemodes, what_is_lost_is_what_damps) {
    check_losses(VAN("gas adiabatic\n", " damper 1.9 kN.s/m\n"), "");
    check_losses(VAN("gas adiabatic\n", " damper 1.9 kN.s/m\n"), VAN_AIR);
    check_losses(VAN("gas adiabatic\n", "\n"), VAN_AIR);
    check_losses(VAN("gas thermal 3 s\n", "\n"), VAN_AIR);
}

/* A bench mass m on a piston with a tank behind a straight path of conductance G, by a Runge-Kutta
   of its own in height, speed and both pressures: its maxima tell frequency and decay. */
typedef struct bench {
    double m, A, V, W, p, n, G, RT;
} bench;

static void bench_rate(const bench *b, const double y[4], double dy[4]) {
    /* y: fall of the mass, its speed, pressure changes of spring and tank */
    const double q = b->G * (y[2] - y[3]);
    const double rho = b->p / b->RT;
    dy[0] = y[1];
    dy[1] = -b->A * y[2] / b->m;
    dy[2] = b->n * b->RT / b->V * (rho * b->A * y[1] - q);
    dy[3] = b->n * b->RT / b->W * q;
}

static void bench_step(const bench *b, double y[4], double dt) {
    double k[4][4], at[4];
    for (int s = 0; s < 4; s++) {
        const double part = s == 0 ? 0.0 : (s == 3 ? dt : 0.5 * dt);
        for (int i = 0; i < 4; i++)
            at[i] = y[i] + (s > 0 ? part * k[s - 1][i] : 0.0);
        bench_rate(b, at, k[s]);
    }
    for (int i = 0; i < 4; i++)
        y[i] += dt / 6.0 * (k[0][i] + 2.0 * k[1][i] + 2.0 * k[2][i] + k[3][i]);
}

/* Frequency (Hz) and damping from passings of zero speed, after `skipped` of them. */
static void bench_decay(const bench *b, int skipped, double *frequency, double *damping) {
    const double dt = 2e-5;
    double y[4] = {0.01, 0.0, 0.01 * b->n * b->p * b->A / b->V, 0.0};
    double first_time = 0.0, last_time = 0.0, first = 0.0, last = 0.0, mean = 0.0;
    int turns = 0;
    /* What the mass ends at, from what is conserved: the sum of both p V. */
    for (double t = 0.0; turns < skipped + 9; t += dt) {
        const double before[2] = {y[0], y[1]};
        bench_step(b, y, dt);
        if (before[1] * y[1] < 0.0) {
            const double part = before[1] / (before[1] - y[1]);
            const double height = before[0] + 0.5 * part * dt * before[1];
            turns++;
            if (turns >= skipped) {
                /* Swing from one turn to the next, free of any drift to first order. */
                const double size = fabs(height - mean);
                if (turns == skipped + 1) {
                    first = size;
                    first_time = t + part * dt;
                }
                last = size;
                last_time = t + part * dt;
            }
            mean = height;
        }
    }
    const int half_turns = skipped + 9 - (skipped + 1);
    *frequency = 0.5 * half_turns / (last_time - first_time);
    const double decay = log(first / last) / (last_time - first_time);
    *damping = decay / hypot(decay, two_pi * *frequency);
}

Test(ridemodes, a_simulation_in_time_decays_as_they_say) {
    const double mass = 350.0;
    found f =
        solve(rig_open("ambient pressure 101.325 kPa temperature 20 C\ngas exponent 1.3\n" PISTON
                       "spring s profile piston height 150 mm load %.17g kg\n"
                       "tank can volume 2.3 L\nrestrictor choke from s to can bore 6 mm\n",
                       mass),
              NULL);
    coupled *s = NULL;
    cr_assert_eq(coupled_create(&s, f.rig.rates, 50.0, NULL), BARONET_OK);
    double G = 2.4e-7; /* kg/(s Pa) */
    coupled_set(s, &G);
    cr_assert_eq(ridemodes_find(&f.answer, f.rig.arena, s, f.rig.rates), BARONET_OK);
    const ride_mode *mode = swinging(&f, 0);
    const bench b = {mass,
                     82e-4,
                     1.7e-3,
                     2.3e-3,
                     101325.0 + mass * g / 82e-4,
                     1.3,
                     G,
                     287.053072047065 * 293.15};
    double frequency, damping;
    bench_decay(&b, 3, &frequency, &damping);
    cr_assert_gt(mode->damping, 0.02);
    CHECK_REL(mode->frequency, frequency, 1e-4, "fourth-order Runge-Kutta of this test's own");
    CHECK_REL(mode->damping, damping, 2e-3, "fourth-order Runge-Kutta of this test's own");
    CHECK_REL(mode->flow, 1.0, 1e-12, "nothing else loses");
    cr_assert_eq(mode->shape, SHAPE_BENCH);
    coupled_destroy(s);
    end(&f);
}

/* LAPACK on the pencil as a full matrix, which shares nothing with the shifts. */
static void check_dense(rig *r, const char *state) {
    coupled *s = NULL;
    ridemodes_answer answer;
    cr_assert_eq(coupled_create(&s, r->rates, 50.0, NULL), BARONET_OK);
    cr_assert_eq(ridemodes_find(&answer, r->arena, s, r->rates), BARONET_OK);
    const spectrum_pencil p = coupled_pencil(s);
    const size_t n = (size_t)coupled_size(s);
    double *A = calloc(n * n, sizeof *A), *B = calloc(n * n, sizeof *B);
    double *values = calloc(2 * n, sizeof *values), *vectors = calloc(2 * n * n, sizeof *vectors);
    for (size_t j = 0; j < n; j++) {
        for (int k = p.pattern->start[j]; k < p.pattern->start[j + 1]; k++) {
            const size_t i = (size_t)p.pattern->row[k];
            A[i * n + j] = p.a[k] - 2.2 * p.e[k];
            B[i * n + j] = p.e[k];
        }
    }
    cr_assert_eq(dense_solve((int)n, A, (int)n, B), BARONET_OK);
    cr_assert_eq(dense_eigen((int)n, B, values, vectors), BARONET_OK);
    for (int m = 0; m < answer.modes; m++) {
        const double *own = answer.mode[m].value;
        double best = HUGE_VAL;
        for (size_t k = 0; k < n; k++) {
            const double size =
                values[2 * k] * values[2 * k] + values[2 * k + 1] * values[2 * k + 1];
            best = fmin(best, hypot(own[0] - 2.2 - values[2 * k] / size,
                                    own[1] + values[2 * k + 1] / size));
        }
        CHECK_ABS(best, 0.0, 1e-6 * fmax(1.0, two_pi * answer.mode[m].natural), state);
        cr_assert_leq(answer.mode[m].residual, 1e-10);
        cr_assert_geq(answer.mode[m].damping, -1e-9);
    }
    free(A);
    free(B);
    free(values);
    free(vectors);
    coupled_destroy(s);
}

Test(ridemodes, agree_with_lapack_on_the_demonstrations) {
    demos_each(check_dense);
}

Test(ridemodes, shapes_are_named) {
    found f = solve(rig_open(VAN("gas adiabatic\n", " damper 1.9 kN.s/m\n") VAN_AIR), NULL);
    bool exchange = false, tramp = false, together = false, roll = false;
    for (int k = 0; k < f.answer.modes; k++) {
        const ride_mode *m = &f.answer.mode[k];
        exchange = exchange || m->shape == SHAPE_EXCHANGE;
        tramp = tramp || m->shape == SHAPE_TRAMP;
        together = together || m->shape == SHAPE_TOGETHER;
        roll = roll || m->shape == SHAPE_ROLL;
        CHECK_REL(m->damper + m->flow + m->wall, 1.0, 1e-12, "shares of all that is lost");
    }
    cr_assert(exchange && tramp && together && roll);
    end(&f);
}

Test(ridemodes, flat_ride_is_by_rate_over_mass) {
    rig r = rig_open(SPARE_TANK "corner F at 1.3 m 0 m load 400 kg axle front coil 14 N/mm\n"
                                "corner R at -1.4 m 0 m load 500 kg axle rear coil 25 N/mm\n");
    const rates_answer *const answer = rig_answer(&r, NULL, NULL);
    cr_assert_eq(felt_solve(r.rates, 0.01, NULL), BARONET_OK);
    const flat_ride flat = ridemodes_flat(r.model, answer);
    cr_assert(flat.given);
    CHECK_REL(flat.softer, 1.0 - (14.0 / 400.0) / (25.0 / 500.0), 1e-9, "by hand");
    CHECK_REL(flat.ratio, sqrt((25.0 / 500.0) / (14.0 / 400.0)), 1e-9, "by hand");
    csv *t = csv_read("ride");
    for (size_t row = 0; row < csv_rows(t); row++)
        if (csv_is(t, row, "quantity", "front_ride_rate_below_rear_fraction"))
            CHECK_ROW(FLAT_RIDE_SOFTER, t, row);
    csv_free(t);
    rig_close(&r);
}

static void check_straight(rig *r, const char *state) {
    const network *net = &r->model->network;
    ridemodes_answer got;
    course_list courses;
    swing_account want;
    cr_assert_eq(ridemodes_solve(&got, r->arena, r->rates, 0.007, 1.3, NULL), BARONET_OK);
    path_swing *const swing = calloc((size_t)net->edges + 1, sizeof *swing);
    cr_assert_eq(course_all(&courses, r->arena, r->rates), BARONET_OK);
    cr_assert_eq(paths_swing(swing, &want, r->rates, &courses, 0.007, 1.3, NULL), BARONET_OK);
    cr_expect(got.straight.linear == want.linear && got.straight.residual == want.residual &&
                  got.straight.condition == want.condition &&
                  got.straight.unsettled == want.unsettled,
              "%s", state);
    free(swing);
}

Test(ridemodes, tell_how_well_paths_were_made_straight) {
    demos_each(check_straight);
}
