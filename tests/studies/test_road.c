/* SPDX-License-Identifier: MIT */
#include "studies/road.h"

#include <complex.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "studies/demos.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */
static const double two_pi = 6.283185307179586;
/* The imaginary unit in double precision. */
#define J ((double complex)I)

typedef struct quarter {
    double sprung, unsprung; /* kg */
    double stiffness, damper, tyre;
} quarter;

/* A wheel under its share of a body; the tank is there because a netlist needs air. */
static rig open_quarter(const quarter *q) {
    char tyre[64] = "";
    if (q->tyre > 0.0)
        snprintf(tyre, sizeof tyre, "tyre %.17g N/m", q->tyre);
    rig r = rig_open("corner Q at 0.2 m 0.1 m load %.17g N unsprung %.17g kg coil %.17g N/m\n"
                     "  damper %.17g N.s/m %s\ntank can volume 1 L pressure 2 bar\n",
                     (q->sprung + q->unsprung) * g, q->unsprung, q->stiffness, q->damper, tyre);
    rig_answer(&r, NULL, NULL);
    return r;
}

static double complex answer_of(road *w, body_motion k, const double *K, double frequency) {
    double pair[2];
    cr_assert_eq(road_answer(w, k, K, frequency, pair), BARONET_OK);
    return pair[0] + J * pair[1];
}

/* Body over road of a quarter car; rigid tyres have none of their own. */
static double complex closed_form(const quarter *q, double frequency) {
    const double complex s = J * two_pi * frequency;
    const double complex strut = q->stiffness + s * q->damper;
    const double complex mass = q->sprung * s * s + strut;
    if (q->tyre == 0.0)
        return strut / mass;
    const double complex wheel = q->unsprung * s * s + q->tyre;
    return q->tyre * strut / (mass * wheel + q->sprung * s * s * strut);
}

static void check_quarter(const quarter *q) {
    rig r = open_quarter(q);
    road *w;
    cr_assert_eq(road_create(&w, r.rates, NULL), BARONET_OK);
    const double K[2] = {q->stiffness, 0.0};
    for (double f = 1e-3; f < 300.0; f *= 1.7) {
        const double complex expected = closed_form(q, f);
        const double complex got = answer_of(w, MOTION_HEAVE, K, f);
        CHECK_ABS(cabs(got - expected), 0.0, 1e-9 * cabs(expected),
                  "quarter car: Gillespie, Fundamentals of Vehicle Dynamics, ch. 5");
    }
    CHECK_ABS(cabs(answer_of(w, MOTION_HEAVE, K, 1e-5) - 1.0), 0.0, 1e-6, "a slow road lifts all");
    cr_assert_lt(cabs(answer_of(w, MOTION_HEAVE, K, 1e4)), 1e-2, "a quick one lifts nothing");
    road_destroy(w);
    rig_close(&r);
}

static double number(const csv *table, size_t row, const char *column) {
    return csv_number(table, row, column);
}

Test(road, is_a_quarter_car_on_one_wheel) {
    csv *const table = csv_read("ride");
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (!csv_is(table, i, "kind", "quarter_car") ||
            !csv_is(table, i, "quantity", "omega_undamped_1"))
            continue;
        quarter q = {number(table, i, "m_s_kg"), number(table, i, "m_u_kg"),
                     number(table, i, "k_s_N_per_m"), number(table, i, "c_s_Ns_per_m"),
                     number(table, i, "k_t_N_per_m")};
        check_quarter(&q);
        q.unsprung = 0.0; /* a tyre gives way though nothing hangs on it */
        check_quarter(&q);
        q.unsprung = 41.0;
        q.tyre = 0.0; /* rigid: the wheel is the road */
        check_quarter(&q);
        met++;
    }
    cr_assert_eq(met, 3);
    csv_free(table);
}

/* The least of |p(s)| for a quarter car's own polynomial is where its answer has its pole: at the
   table's eigenvalues the closed form's denominator is zero, and so is ours. */
static void check_poles(const csv *table, size_t row) {
    const quarter q = {number(table, row, "m_s_kg"), number(table, row, "m_u_kg"),
                       number(table, row, "k_s_N_per_m"), 0.0, number(table, row, "k_t_N_per_m")};
    rig r = open_quarter(&q);
    road *w;
    cr_assert_eq(road_create(&w, r.rates, NULL), BARONET_OK);
    const double K[2] = {q.stiffness, 0.0};
    const double f = number(table, row, "expected_si") / two_pi;
    const double before = creal(answer_of(w, MOTION_HEAVE, K, f * (1.0 - 1e-8)));
    const double after = creal(answer_of(w, MOTION_HEAVE, K, f * (1.0 + 1e-8)));
    cr_assert(before * after < 0.0 && fabs(before) > 1e3 && fabs(after) > 1e3, "%g, %g", before,
              after);
    road_destroy(w);
    rig_close(&r);
}

Test(road, has_its_poles_at_the_reference_eigenvalues) {
    csv *const table = csv_read("ride");
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++)
        if (csv_is(table, i, "quantity", "omega_undamped_1") ||
            csv_is(table, i, "quantity", "omega_undamped_2")) {
            check_poles(table, i);
            met++;
        }
    cr_assert_eq(met, 6);
    csv_free(table);
}

/* Complex system by elimination with pivots: columns n to n + sides are right-hand sides. */
static void eliminate(int n, int sides, double complex a[][16]) {
    for (int i = 0; i < n; i++) {
        int pivot = i;
        for (int j = i; j < n; j++)
            pivot = cabs(a[j][i]) > cabs(a[pivot][i]) ? j : pivot;
        for (int c = 0; c < n + sides; c++) {
            const double complex held = a[i][c];
            a[i][c] = a[pivot][c];
            a[pivot][c] = held;
        }
        for (int j = 0; j < n; j++) {
            const double complex part = j != i ? a[j][i] / a[i][i] : 0.0;
            for (int c = 0; c < n + sides; c++)
                a[j][c] -= part * a[i][c];
        }
    }
    for (int i = 0; i < n; i++)
        for (int c = n; c < n + sides; c++)
            a[i][c] /= a[i][i];
}

enum { WHEELS = 6 };

/* A vehicle from its wheels up: first what force on the body each wheel's contact gives for
   movements of the body and of the road over it, then the body on those. */
typedef struct whole {
    const rig *rig;
    double complex body[WHEELS][BODY_MOTIONS]; /* force up on the body per motion of it */
    double complex road[WHEELS];               /* and per motion of the road */
    double rise[WHEELS][BODY_MOTIONS];
} whole;

static void stand_on_wheels(whole *v, body_motion k, const double *K, double complex s) {
    const vehicle *const on = &v->rig->model->vehicle;
    const body_mass *const mass = &rates_result(v->rig->rates)->settled.mass;
    const int n = on->wheels;
    double complex a[WHEELS][16] = {{0.0}}, joint[WHEELS][WHEELS];
    for (int c = 0; c < n; c++) {
        v->rise[c][MOTION_HEAVE] = 1.0;
        v->rise[c][MOTION_ROLL] = on->corner[c].y - mass->y;  /* left side up, ISO 8855 */
        v->rise[c][MOTION_PITCH] = mass->x - on->corner[c].x; /* nose down */
        for (int d = 0; d < n; d++)
            joint[c][d] = K[2 * (c * on->corners + d)] + J * K[2 * (c * on->corners + d) + 1] +
                          (c == d ? s * on->corner[c].damper : 0.0);
    }
    /* Compressions u: force joint u also comes from the tyre, k (r - w) - m s^2 w = joint u with
       wheel's rise w = u + rise of the body. */
    for (int c = 0; c < n; c++) {
        const double complex wheel =
            on->corner[c].tyre > 0.0 ? on->corner[c].tyre + on->corner[c].unsprung * s * s : 1.0;
        for (int d = 0; d < n; d++)
            a[c][d] = (on->corner[c].tyre > 0.0 ? joint[c][d] : 0.0) + (c == d ? wheel : 0.0);
        for (int j = 0; j < BODY_MOTIONS; j++)
            a[c][n + j] = -wheel * v->rise[c][j];
        a[c][n + BODY_MOTIONS] =
            (on->corner[c].tyre > 0.0 ? on->corner[c].tyre : 1.0) * v->rise[c][k];
    }
    eliminate(n, BODY_MOTIONS + 1, a);
    for (int c = 0; c < n; c++) {
        v->road[c] = 0.0;
        memset(v->body[c], 0, sizeof v->body[c]);
        for (int d = 0; d < n; d++) {
            v->road[c] += joint[c][d] * a[d][n + BODY_MOTIONS];
            for (int j = 0; j < BODY_MOTIONS; j++)
                v->body[c][j] += joint[c][d] * a[d][n + j];
        }
    }
}

static double complex whole_answer(whole *v, body_motion k, const double *K, double frequency) {
    const double complex s = J * two_pi * frequency;
    const rates_answer *const answer = rates_result(v->rig->rates);
    const body_mass *const mass = &answer->settled.mass;
    const double inertia[BODY_MOTIONS] = {
        mass->mass, mass->roll_inertia + mass->mass * mass->arm * mass->arm, mass->pitch_inertia};
    double complex a[BODY_MOTIONS][16] = {{0.0}};
    stand_on_wheels(v, k, K, s);
    for (int i = 0; i < BODY_MOTIONS; i++) {
        a[i][i] = answer->has[i] ? inertia[i] * s * s : 1.0;
        a[i][i] -= i == MOTION_ROLL && answer->has[i] ? mass->mass * g * mass->arm : 0.0;
        for (int c = 0; c < v->rig->model->vehicle.wheels && answer->has[i]; c++) {
            a[i][BODY_MOTIONS] += v->rise[c][i] * v->road[c];
            for (int j = 0; j < BODY_MOTIONS; j++)
                a[i][j] -= answer->has[j] ? v->rise[c][i] * v->body[c][j] : 0.0;
        }
    }
    eliminate(BODY_MOTIONS, 1, a);
    return a[k][BODY_MOTIONS];
}

static void check_whole(rig *r, const char *state) {
    whole v = {.rig = r};
    double K[2 * WHEELS * WHEELS], shape[WHEELS];
    road *w;
    airnet *n;
    airnet_answer swing;
    if (r->model->vehicle.wheels == 0)
        return;
    cr_assert_leq(r->model->vehicle.corners, WHEELS);
    cr_assert_eq(road_create(&w, r->rates, NULL), BARONET_OK);
    cr_assert_eq(airnet_create(&n, r->rates, rates_open(r->rates), 50.0, NULL), BARONET_OK);
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (!rates_result(r->rates)->has[k])
            continue;
        rates_body_shape(r->rates, (body_motion)k, shape);
        for (double f = 0.03; f < 60.0; f *= 2.3) {
            cr_assert_eq(airnet_swing(n, shape, 0.01, f, &swing), BARONET_OK);
            cr_assert_eq(airnet_matrix(n, f, K), BARONET_OK);
            const double complex expected = whole_answer(&v, (body_motion)k, K, f);
            CHECK_ABS(cabs(answer_of(w, (body_motion)k, K, f) - expected), 0.0,
                      1e-9 * cabs(expected), state);
        }
    }
    airnet_destroy(n);
    road_destroy(w);
}

Test(road, is_body_wheels_and_tyres_together) {
    demos_each(check_whole);
}

/* A plane road that moves slowly takes the body along: in roll, a body that stands above its roll
   axis leans on by m g h/(K - m g h). */
static void check_slow(rig *r, const char *state) {
    double K[2 * WHEELS * WHEELS];
    const rates_answer *const answer = rates_result(r->rates);
    const level_rates *const settled = &answer->level[LEVEL_SETTLED];
    const body_mass *const mass = &answer->settled.mass;
    road *w;
    cr_assert_eq(road_create(&w, r->rates, NULL), BARONET_OK);
    for (int i = 0; i < r->model->vehicle.corners * r->model->vehicle.corners; i++) {
        K[2 * i] = settled->stiffness[i];
        K[2 * i + 1] = 0.0;
    }
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (!answer->has[k])
            continue;
        const double complex slow = answer_of(w, (body_motion)k, K, 1e-4);
        const double complex quick = answer_of(w, (body_motion)k, K, 3e3);
        const double tips = k == MOTION_ROLL ? mass->mass * g * mass->arm : 0.0;
        if (k != MOTION_ROLL || tips == 0.0)
            CHECK_ABS(cabs(slow - 1.0), 0.0, 1e-5, state);
        else
            cr_assert(creal(slow) > 1.0 && creal(slow) < 1.3 * settled->body_rate_tyres[k] /
                                                             (settled->body_rate_tyres[k] - tips),
                      "%s: %g", state, creal(slow));
        cr_assert_lt(cabs(quick), 1e-2, "%s", state);
    }
    road_destroy(w);
}

Test(road, a_slow_road_takes_the_body_along_and_a_quick_one_does_not) {
    demos_each(check_slow);
}

Test(road, takes_all_its_memory_at_once) {
    rig r = rig_open_file("netlists/expedition.air");
    rig_answer(&r, NULL, NULL);
    failing f;
    road *w = NULL;
    cr_assert_eq(road_create(&w, r.rates, failing_start(&f, 0)), BARONET_OK);
    const size_t calls = f.calls;
    double K[2 * WHEELS * WHEELS] = {0.0}, pair[2];
    for (int i = 0; i < WHEELS; i++)
        K[2 * (i * WHEELS + i)] = 1e5;
    cr_assert_eq(road_answer(w, MOTION_ROLL, K, 1.3, pair), BARONET_OK);
    cr_assert_eq(f.calls, calls);
    road_destroy(w);
    cr_assert_eq(f.live, 0);
    for (size_t k = 1; k <= calls; k++) {
        cr_assert_eq(road_create(&w, r.rates, failing_start(&f, k)), BARONET_OUT_OF_MEMORY);
        cr_assert_null(w);
        cr_assert_eq(f.live, 0);
    }
    road_destroy(NULL);
    rig_close(&r);
}
