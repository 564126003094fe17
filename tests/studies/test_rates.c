/* SPDX-License-Identifier: MIT */
#include "studies/rates.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/fleet.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */
static const double two_pi = 6.283185307179586;

/* A profile whose area is straight about 0.2 m, by the signs of the reference: x in compression. */
static rig open_single(const csv *table, size_t row, double load_factor, bool levelled) {
    const double A = csv_number(table, row, "A_m2"), s = csv_number(table, row, "dAdx_m2_per_m");
    const double P = csv_number(table, row, "p_abs_Pa") - csv_number(table, row, "p_atm_Pa");
    const double tank = csv_number(table, row, "V_aux_m3");
    return rig_open("ambient pressure %.17g Pa temperature 20 C\ngas exponent %.17g\n"
                    "profile p volume %.17g m3 at 0.2 m\n  height m  area m2\n"
                    "  0.1 %.17g\n  0.188 %.17g\n  0.219 %.17g\n  0.357 %.17g\n"
                    "spring s profile p height 0.2 m pressure %.17g Pa\n"
                    "tank can volume %.17g m3 pressure %.17g Pa\n%s"
                    "case loaded s %.17g kg %s\n",
                    csv_number(table, row, "p_atm_Pa"), csv_number(table, row, "n"),
                    csv_number(table, row, "V_m3"), A + 0.1 * s, A + 0.012 * s, A - 0.019 * s,
                    A - 0.157 * s, P, tank > 0.0 ? tank : 1e-3, P,
                    tank > 0.0 ? "restrictor choke from s to can bore 4 mm\n" : "",
                    (load_factor - 1.0) * A * P / g, levelled ? "levelled" : "unlevelled");
}

static void check_single(const csv *table, size_t row) {
    rig r = open_single(table, row, 1.0, false);
    const rates_answer *const answer = rig_answer(&r, NULL, NULL);
    const level_rates *const l = &answer->level[LEVEL_SETTLED];
    if (csv_is(table, row, "quantity", "k")) {
        CHECK_ROW(l->spring_rate[0], table, row);
        CHECK_ROW(l->stiffness[0], table, row);
        CHECK_ROW(l->wheel_rate[0], table, row);
    } else if (csv_is(table, row, "quantity", "load")) {
        CHECK_ROW(answer->settled.load[0], table, row);
    } else {
        CHECK_ROW(l->ride_frequency[0], table, row);
    }
    rig_close(&r);
}

/* With the gas let in at constant height, or the load changed slowly on the gas that is there. */
static void check_loaded(const csv *table, size_t row) {
    const bool levelled = csv_is(table, row, "kind", "levelled_load");
    rig r = open_single(table, row, csv_number(table, row, "load_factor"), levelled);
    const rates_answer *const answer = rig_answer(&r, NULL, "loaded");
    CHECK_ROW(answer->level[LEVEL_SETTLED].ride_frequency[0], table, row);
    if (levelled)
        CHECK_REL(answer->settled.spring_height[0], 0.2, 1e-12, "levelled");
    rig_close(&r);
}

Test(rates, meet_the_reference_rows_of_single_springs) {
    csv *const table = csv_read("airspring_theory");
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "single")) {
            check_single(table, i);
            met++;
        } else if (csv_is(table, i, "kind", "levelled_load") ||
                   csv_is(table, i, "kind", "fixed_gas_mass")) {
            check_loaded(table, i);
            met++;
        }
    }
    cr_assert_eq(met, 24 + 6);
    csv_free(table);
}

/* A body on coils alone; the tank is there because a netlist needs air. */
static double coil_frequency(double deflection) {
    rig r = rig_open("corner Q at 0.2 m 0.1 m load 3170 N coil %.17g N/m\n"
                     "tank can volume 1 L pressure 2 bar\n",
                     3170.0 / deflection);
    const rates_answer *const answer = rig_answer(&r, NULL, NULL);
    const double f = answer->level[LEVEL_SETTLED].ride_frequency[0];
    CHECK_REL(answer->level[LEVEL_SETTLED].body_frequency[MOTION_HEAVE], f, 1e-14, "one corner");
    rig_close(&r);
    return f;
}

static double axle_of_coils(double k, double track) {
    rig r = rig_open("corner L at 0 m %.17g m load 3170 N coil %.17g N/m axle one\n"
                     "corner R at 0 m %.17g m load 3170 N coil %.17g N/m axle one\n"
                     "tank can volume 1 L pressure 2 bar\n",
                     0.5 * track, k, -0.5 * track, k);
    const double roll = rig_answer(&r, NULL, NULL)->level[LEVEL_SETTLED].body_rate[MOTION_ROLL];
    rig_close(&r);
    return roll;
}

Test(rates, meet_the_reference_rows_of_ride) {
    csv *const table = csv_read("ride");
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "static_deflection")) {
            CHECK_ROW(coil_frequency(csv_number(table, i, "static_deflection_m")), table, i);
            met++;
        } else if (csv_is(table, i, "kind", "roll_rate")) {
            const bool degrees = csv_is(table, i, "quantity", "K_roll_per_deg");
            CHECK_ROW(axle_of_coils(csv_number(table, i, "k_s_N_per_m"),
                                    csv_number(table, i, "track_m")) *
                          (degrees ? two_pi / 360.0 : 1.0),
                      table, i);
            met++;
        }
    }
    cr_assert_eq(met, 8 + 8);
    csv_free(table);
}

Test(rates, altitude_softens_a_spring_by_the_standard_s_pressure) {
    /* A load is carried by gauge pressure, so what the air weighs is all that changes. */
    csv *const table = csv_read("air");
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (!csv_is(table, i, "kind", "ussa1976") || !csv_is(table, i, "quantity", "p"))
            continue;
        rig r = rig_open("ambient altitude %.17g m\ngas adiabatic\n"
                         "profile p area 121 cm2 volume 1.93 L at 150 mm\n"
                         "spring s profile p height 150 mm load 6230 N\n",
                         csv_number(table, i, "altitude_m"));
        const rates_answer *const answer = rig_answer(&r, NULL, NULL);
        const double p0 = csv_number(table, i, "expected_si");
        const double p = 6230.0 / 0.0121 + p0;
        CHECK_ROW(r.model->ambient.pressure, table, i);
        CHECK_REL(answer->settled.node_pressure[rig_node(&r, "s")], p, 1e-6, "statics");
        CHECK_REL(answer->level[LEVEL_SETTLED].spring_rate[0], 1.4 * p * 0.0121 * 0.0121 / 1.93e-3,
                  1e-6, "n p A^2/V");
        rig_close(&r);
    }
    csv_free(table);
}

/* The rates of a twin by geometry and linear algebra of the tests' own. */
typedef struct own_rates {
    int wheels;
    double K[TWIN_CORNERS * TWIN_CORNERS];      /* at the wheels, tyres left out */
    double series[TWIN_CORNERS * TWIN_CORNERS]; /* with tyres in series */
    double weight[TWIN_CORNERS];                /* N, sprung */
    double mass, x, y, roll_inertia, pitch_inertia;
} own_rates;

/* X in M X = B by Gauss and Jordan's elimination with the largest pivot of each column. */
static void eliminate(int n, double *M, double *B) {
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int i = k; i < n; i++)
            best = fabs(M[i * n + k]) > fabs(M[best * n + k]) ? i : best;
        for (int j = 0; j < n; j++) {
            const double m = M[k * n + j], b = B[k * n + j];
            M[k * n + j] = M[best * n + j], B[k * n + j] = B[best * n + j];
            M[best * n + j] = m, B[best * n + j] = b;
        }
        for (int i = 0; i < n; i++) {
            const double factor = i == k ? 0.0 : M[i * n + k] / M[k * n + k];
            for (int j = 0; j < n; j++) {
                M[i * n + j] -= factor * M[k * n + j];
                B[i * n + j] -= factor * B[k * n + j];
            }
        }
    }
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            B[i * n + j] /= M[i * n + i];
}

/* Travel of the wheel hubs u and of the ground under the tyres w: K u = kt (w - u), so that the
   force per w is (I + K C)^-1 K with the tyres' compliances C. */
static void put_tyres_in_series(const twin *t, own_rates *o) {
    const int n = o->wheels;
    double M[TWIN_CORNERS * TWIN_CORNERS];
    memcpy(o->series, o->K, sizeof o->K);
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            M[i * n + j] =
                (i == j) + (t->corner[j].tyre > 0.0 ? o->K[i * n + j] / t->corner[j].tyre : 0.0);
    eliminate(n, M, o->series);
}

static void find_body(const twin *t, const double *mass, own_rates *o) {
    for (int c = 0; c < o->wheels; c++) {
        o->weight[c] = t->corner[c].load - t->corner[c].unsprung * g + mass[c] * g;
        o->mass += o->weight[c] / g;
        o->x += o->weight[c] / g * t->corner[c].x;
        o->y += o->weight[c] / g * t->corner[c].y;
    }
    o->x /= o->mass;
    o->y /= o->mass;
    for (int c = 0; c < o->wheels; c++) {
        o->roll_inertia += o->weight[c] / g * pow(t->corner[c].y - o->y, 2.0);
        o->pitch_inertia += o->weight[c] / g * pow(t->corner[c].x - o->x, 2.0);
    }
}

static own_rates find_own(const twin *t, const rig *r, level at, const twin_state *state,
                          const double *mass) {
    const rates_answer *const answer = rates_result(r->rates);
    const bool leaks = at == LEVEL_PARKED && state->leaks;
    const twin_air air = twin_air_of(t, r,
                                     at == LEVEL_INSTANT ? NULL
                                     : leaks             ? &state->parked
                                                         : &state->settled,
                                     leaks ? &answer->parked : &answer->settled);
    own_rates o = {.wheels = t->wheels};
    twin_stiffness(t, &air, at == LEVEL_PARKED ? 1.0 : t->exponent, o.K);
    find_body(t, mass, &o);
    put_tyres_in_series(t, &o);
    return o;
}

static double quadratic(int n, const double *K, const double *v) {
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            sum += v[i] * K[i * n + j] * v[j];
    return sum;
}

#define OWN "own geometry and own derivative"

static void check_corners(const twin *t, const level_rates *l, const own_rates *o) {
    for (int c = 0; c < o->wheels; c++) {
        double row = 0.0;
        for (int d = 0; d < o->wheels; d++)
            row += o->K[c * o->wheels + d];
        const double tyre = t->corner[c].tyre;
        const double ride = tyre > 0.0 ? 1.0 / (1.0 / row + 1.0 / tyre) : row;
        CHECK_REL(l->wheel_rate[c], row, 1e-7, OWN);
        CHECK_REL(l->one_wheel_rate[c], o->K[c * o->wheels + c], 1e-7, OWN);
        CHECK_REL(l->ride_rate[c], ride, 1e-7, "springs in series");
        CHECK_REL(l->ride_frequency[c], sqrt(ride * g / o->weight[c]) / two_pi, 1e-7,
                  "f = sqrt(k/m)/2 pi");
    }
}

static void shape_of(const twin *t, const own_rates *o, body_motion k, double *v) {
    for (int c = 0; c < o->wheels; c++)
        v[c] = k == MOTION_HEAVE  ? 1.0
               : k == MOTION_ROLL ? t->corner[c].y - o->y
                                  : t->corner[c].x - o->x;
}

static void check_body(const twin *t, const level_rates *l, const own_rates *o, const bool *has) {
    const double tips = o->mass * g * t->arm;
    const double inertia[] = {o->mass, o->roll_inertia + o->mass * t->arm * t->arm,
                              o->pitch_inertia};
    for (int k = 0; k < BODY_MOTIONS; k++) {
        double v[TWIN_CORNERS];
        shape_of(t, o, (body_motion)k, v);
        if (!has[k]) {
            cr_assert(isnan(l->body_rate[k]) && isnan(l->body_frequency[k]));
            continue;
        }
        const double rate = quadratic(o->wheels, o->K, v);
        const double soft = quadratic(o->wheels, o->series, v);
        const double left = soft - (k == MOTION_ROLL ? tips : 0.0);
        CHECK_REL(l->body_rate[k], rate, 1e-7, OWN);
        CHECK_REL(l->body_rate_tyres[k], soft, 1e-7, "own dense inverse");
        CHECK_REL(l->body_frequency[k], sqrt(left / inertia[k]) / two_pi, 1e-7,
                  "f = sqrt(k/I)/2 pi; roll about the roll axis, with gravity on its arm");
    }
}

static void check_roll(const twin *t, const rig *r, const level_rates *l, const own_rates *o) {
    double v[TWIN_CORNERS], share[TWIN_CORNERS] = {0.0}, sum = 0.0;
    shape_of(t, o, MOTION_ROLL, v);
    const double whole = quadratic(o->wheels, o->series, v);
    for (int c = 0; c < o->wheels; c++)
        for (int d = 0; d < o->wheels; d++)
            share[r->model->vehicle.corner[c].axle] +=
                v[c] * o->series[c * o->wheels + d] * v[d] / whole;
    for (int k = 0; k < r->model->vehicle.axles; k++) {
        CHECK_ABS(l->roll_share[k], share[k], 1e-7, OWN);
        sum += l->roll_share[k];
    }
    CHECK_REL(sum, 1.0, 1e-12, "shares of a whole");
    /* Steady bend: m a h and m g h phi against K phi (Gillespie 1992, chapter 6). */
    const double left = whole - o->mass * g * t->arm;
    if (t->arm > 0.0)
        CHECK_REL(l->roll_gradient, o->mass * t->arm / left, 1e-7, "m h/(K - m g h)");
    else
        cr_assert(isnan(l->roll_gradient));
}

static void check_motions(const rig *r, const level_rates *l, const own_rates *o) {
    for (int k = 0; k < r->model->motions; k++) {
        const double *const v = r->model->motion[k].travel;
        double square = 0.0;
        for (int c = 0; c < o->wheels; c++)
            square += v[c] * v[c];
        CHECK_REL(l->motion_rate[k], quadratic(o->wheels, o->K, v) / square, 1e-7, OWN);
    }
}

static void check_state(const twin *t, rig *r, const twin_state *state, const load_case *with) {
    if (t->wheels == 0)
        return;
    const rates_answer *const answer = rig_answer_for(r, state->name, with);
    for (int at = LEVEL_INSTANT; at <= LEVEL_PARKED; at++) {
        const level_rates *const l = &answer->level[at];
        const own_rates o = find_own(t, r, (level)at, state, with->mass);
        cr_assert(l->given);
        check_corners(t, l, &o);
        check_body(t, l, &o, answer->has);
        if (answer->has[MOTION_ROLL])
            check_roll(t, r, l, &o);
        check_motions(r, l, &o);
    }
}

Test(rates, are_those_of_own_geometry) {
    fleet_each_case(check_state);
}

Test(rates, springs_on_a_bench_ride_on_their_own_rate) {
    rig r = twin_open(&fleet_bench);
    for (int k = 0; k < fleet_bench.states; k++) {
        const rates_answer *const answer = rig_answer(&r, fleet_bench.state[k].name, NULL);
        double K[9];
        const twin_air air =
            twin_air_of(&fleet_bench, &r, &fleet_bench.state[k].settled, &answer->settled);
        twin_stiffness(&fleet_bench, &air, fleet_bench.exponent, K);
        const level_rates *const l = &answer->level[LEVEL_SETTLED];
        for (int c = 0; c < 3; c++) {
            CHECK_REL(l->wheel_rate[c], K[4 * c], 1e-7, "the mass alone moves");
            CHECK_REL(l->spring_rate[c], K[4 * c], 1e-7, "its spring");
            CHECK_REL(l->ride_frequency[c],
                      sqrt(K[4 * c] / (fleet_bench.spring[c].load / g)) / two_pi, 1e-7,
                      "f = sqrt(k/m)/2 pi");
        }
        for (int m = 0; m < BODY_MOTIONS; m++)
            cr_assert(!answer->has[m] && isnan(l->body_rate[m]));
        cr_assert_eq(answer->warps, 0);
    }
    rig_close(&r);
}

/* The one warp of four wheels: cofactors of the rows 1, x, y are square to all three. */
static void four_wheel_warp(const twin *t, double *w) {
    for (int c = 0; c < 4; c++) {
        const twin_corner *p[3];
        int k = 0;
        for (int d = 0; d < 4; d++)
            if (d != c)
                p[k++] = &t->corner[d];
        const double area =
            (p[1]->x - p[0]->x) * (p[2]->y - p[0]->y) - (p[2]->x - p[0]->x) * (p[1]->y - p[0]->y);
        w[c] = c % 2 == 0 ? area : -area;
    }
}

Test(rates, warp_of_four_wheels_is_that_of_cofactors) {
    static const twin *const fours[] = {&fleet_van, &fleet_pickup};
    for (int i = 0; i < 2; i++) {
        const twin *const t = fours[i];
        rig r = twin_open(t);
        const rates_answer *const answer = rig_answer(&r, t->state[1].name, NULL);
        const double none[TWIN_CORNERS] = {0.0};
        const own_rates o = find_own(t, &r, LEVEL_SETTLED, &t->state[1], none);
        double w[4], square = 0.0;
        four_wheel_warp(t, w);
        for (int c = 0; c < 4; c++)
            square += w[c] * w[c];
        cr_assert_eq(answer->warps, 1);
        CHECK_REL(answer->level[LEVEL_SETTLED].warp_rate[0], quadratic(4, o.K, w) / square, 1e-7,
                  "the null vector of 1, x, y by cofactors");
        rig_close(&r);
    }
}

/* N = I - Q Q', with Q from 1, x, y by Gram and Schmidt's process, done twice over. */
static void warp_projector(const twin *t, double *N) {
    const int n = t->wheels;
    double Q[3][TWIN_CORNERS];
    for (int k = 0; k < 3; k++) {
        for (int c = 0; c < n; c++)
            Q[k][c] = k == 0 ? 1.0 : k == 1 ? t->corner[c].x : t->corner[c].y;
        for (int pass = 0; pass < 2 * k + 1; pass++) {
            const double *const other = Q[pass % (k > 0 ? k : 1)];
            double dot = 0.0;
            for (int c = 0; c < n && k > 0; c++)
                dot += Q[k][c] * other[c];
            for (int c = 0; c < n && k > 0; c++)
                Q[k][c] -= dot * other[c];
        }
        double square = 0.0;
        for (int c = 0; c < n; c++)
            square += Q[k][c] * Q[k][c];
        for (int c = 0; c < n; c++)
            Q[k][c] /= sqrt(square);
    }
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            N[i * n + j] = (i == j) - Q[0][i] * Q[0][j] - Q[1][i] * Q[1][j] - Q[2][i] * Q[2][j];
}

static void multiply(int n, const double *A, const double *B, double *out) {
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++) {
            out[i * n + j] = 0.0;
            for (int k = 0; k < n; k++)
                out[i * n + j] += A[i * n + k] * B[k * n + j];
        }
}

Test(rates, warps_of_six_wheels_have_the_right_power_sums) {
    /* Sums of the first three powers fix three eigenvalues: traces of powers of N K N, K made
       symmetric. */
    const twin *const t = &fleet_six;
    rig r = twin_open(t);
    const rates_answer *const answer = rig_answer(&r, "across", NULL);
    const double none[TWIN_CORNERS] = {0.0};
    const own_rates o = find_own(t, &r, LEVEL_SETTLED, &t->state[2], none);
    double N[36], S[36], NS[36], M[36], power[36];
    for (int i = 0; i < 6; i++)
        for (int j = 0; j < 6; j++)
            S[6 * i + j] = 0.5 * (o.K[6 * i + j] + o.K[6 * j + i]);
    warp_projector(t, N);
    multiply(6, N, S, NS);
    multiply(6, NS, N, M);
    memcpy(power, M, sizeof power);
    cr_assert_eq(answer->warps, 3);
    const double *const rate = answer->level[LEVEL_SETTLED].warp_rate;
    cr_assert(rate[0] < rate[1] && rate[1] < rate[2], "softest first");
    for (int k = 1; k <= 3; k++) {
        double trace = 0.0, next[36];
        for (int i = 0; i < 6; i++)
            trace += power[7 * i];
        CHECK_REL(pow(rate[0], k) + pow(rate[1], k) + pow(rate[2], k), trace, 1e-7, "trace");
        multiply(6, power, M, next);
        memcpy(power, next, sizeof power);
    }
    rig_close(&r);
}

/* All numbers of two answers, to the bits or nearly so. */
static void check_same(const rig *r, const rates_answer *a, const rates_answer *b, double tol) {
    const int corners = r->model->vehicle.corners;
    for (int i = 0; i < r->model->network.nodes; i++)
        CHECK_REL(a->settled.node_pressure[i], b->settled.node_pressure[i], tol, "the same");
    for (int c = 0; c < corners; c++) {
        CHECK_REL(a->settled.load[c], b->settled.load[c], tol, "the same");
        CHECK_ABS(a->settled.height_shift[c], b->settled.height_shift[c], tol, "the same");
    }
    for (int at = LEVEL_INSTANT; at <= LEVEL_PARKED; at++)
        for (int c = 0; c < corners * corners; c++)
            CHECK_ABS(a->level[at].stiffness[c], b->level[at].stiffness[c], tol * 1e6, "the same");
}

Test(rates, a_warm_start_ends_where_a_cold_one_does) {
    for (int i = 0; i < FLEET; i++) {
        const twin *const t = fleet[i];
        rig warm = twin_open(t), cold = twin_open(t);
        double mass[TWIN_CORNERS];
        for (int s = 0; s < t->states; s++) {
            rig_answer(&warm, t->state[s].name, NULL);
            for (int k = FLEET_CASES - 1; k >= 0; k--) {
                const load_case with = fleet_case(t, k, mass);
                cr_assert_eq(rates_solve(warm.rates, &with), BARONET_OK);
                check_same(&warm, rates_result(warm.rates),
                           rig_answer_for(&cold, t->state[s].name, &with), 1e-9);
            }
        }
        rig_close(&warm);
        rig_close(&cold);
    }
}

Test(rates, a_failure_leaves_nothing_behind) {
    /* A case that runs off the profile, then one that does not, on the same rates. */
    rig r = twin_open(&fleet_van), fresh = twin_open(&fleet_van);
    double mass[TWIN_CORNERS] = {900.0, 900.0, 1900.0, 1900.0};
    const load_case heavy = {.name = "heavy", .mass = mass};
    rig_answer(&r, "linked", NULL);
    cr_assert_neq(rates_solve(r.rates, &heavy), BARONET_OK);
    cr_assert(!rates_result(r.rates)->settled.given);
    cr_assert(!rates_result(r.rates)->level[LEVEL_SETTLED].given);
    cr_assert_eq(rates_solve(r.rates, NULL), BARONET_OK);
    check_same(&r, rates_result(r.rates), rig_answer(&fresh, "linked", NULL), 0.0);
    rig_close(&r);
    rig_close(&fresh);
}

Test(rates, height_shift_counts_from_the_settled_charged_state) {
    rig r = twin_open(&fleet_van);
    const rates_answer *answer = rig_answer(&r, NULL, NULL);
    for (int c = 0; c < 4; c++)
        CHECK_ABS(answer->settled.height_shift[c], 0.0, 1e-12, "the charged state itself");
    double at_charge[4];
    memcpy(at_charge, r.charge->travel, sizeof at_charge);
    answer = rig_answer(&r, "linked", NULL);
    for (int c = 0; c < 4; c++)
        CHECK_ABS(answer->settled.height_shift[c], at_charge[c] - answer->settled.travel[c], 1e-15,
                  "up positive, hub to arch");
    cr_assert_gt(fabs(answer->settled.height_shift[2]), 1e-4, "the link moves it");
    rig_close(&r);
}

Test(rates, a_want_of_memory_is_told_wherever_it_comes) {
    static const baronet_question questions[] = {{0}, {.state = "apart", .load_case = "more"}};
    for (size_t i = 0; i < 2; i++)
        rig_starve(baronet_rates, &questions[i]);
}

/* What design commands do: the model's numbers change between two questions, its layout does not.
 */
Test(rates, follow_the_numbers_of_the_model) {
    rig r = rig_open("ambient pressure 98.6 kPa temperature 291.7 K\ngas adiabatic\n"
                     "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                     "spring s profile p load 5870 N height 164 mm rubber 31 N/mm\n"
                     "spring t profile p load 5230 N height 151 mm rubber 27 N/mm\n"
                     "supply line pressure 4.1 bar\ntank can volume 2 L pressure 3 bar\n"
                     "restrictor y from s to line bore 4 mm\n");
    const network *const net = &r.model->network;
    node nodes[8];
    memcpy(nodes, net->node, (size_t)net->nodes * sizeof *nodes);
    model m = *r.model;
    m.network.node = nodes;
    problem why;
    charge *c = NULL;
    rates *warm = NULL;
    cr_assert_eq(charge_create(&c, &m, NULL), BARONET_OK);
    cr_assert_eq(charge_solve(c, &why), BARONET_OK);
    cr_assert_eq(rates_create(&warm, c, m.state[0].open, NULL, &why), BARONET_OK);
    cr_assert_eq(rates_solve(warm, NULL), BARONET_OK);
    nodes[rig_node(&r, "line")].pressure = 4.6e5 + 98600.0;
    nodes[rig_node(&r, "can")].pressure = 3.3e5 + 98600.0;
    cr_assert_eq(charge_solve(c, &why), BARONET_OK);
    cr_assert_eq(rates_solve(warm, NULL), BARONET_OK);
    const state_standing *const s = &rates_result(warm)->settled;
    CHECK_REL(s->node_pressure[rig_node(&r, "s")], 4.6e5 + 98600.0, 1e-13, "the supply's");
    CHECK_REL(s->travel[0], (5870.0 - 4.6e5 * 0.0119) / 31e3, 1e-9, "Hooke");
    CHECK_REL(s->node_pressure[rig_node(&r, "can")], 3.3e5 + 98600.0, 1e-13, "its own");
    rates_destroy(warm);
    charge_destroy(c);
    rig_close(&r);
}

/* A body that is stiff stands on the other wheels as well: the corner that has lost more than its
   own sprung mass has no mass left to ride on its spring. */
Test(rates, a_corner_without_mass_has_no_ride_frequency) {
    rig r = rig_open(
        "tank spare volume 1 L pressure 1 bar\n"
        "corner FL at 1.3 m 0.7 m load 375 kg unsprung 35 kg tyre 210 N/mm coil 28 N/mm\n"
        "corner FR at 1.3 m -0.7 m load 395 kg unsprung 35 kg tyre 210 N/mm coil 29 N/mm\n"
        "corner RL at -1.3 m 0.7 m load 385 kg unsprung 35 kg tyre 210 N/mm coil 33 N/mm\n"
        "corner RR at -1.3 m -0.7 m load 365 kg unsprung 35 kg tyre 210 N/mm coil 34 N/mm\n"
        "case out FL -351 kg\n");
    const rates_answer *const answer = rig_answer(&r, NULL, "out");
    const level_rates *const l = &answer->level[LEVEL_SETTLED];
    cr_expect(isnan(l->ride_frequency[0]));
    for (int c = 1; c < 4; c++)
        cr_expect(l->ride_frequency[c] > 0.5 && l->ride_frequency[c] < 3.0);
    CHECK_REL(l->wheel_rate[0], 28e3, 1e-9, "its coil");
    double load = 0.0;
    for (int c = 0; c < 4; c++)
        load += answer->settled.load[c];
    CHECK_REL(load, (1520.0 - 351.0) * 9.80665, 1e-9, "what is left of the weight");
    rig_close(&r);
}
