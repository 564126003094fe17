/* SPDX-License-Identifier: MIT */
#include "studies/airnet.h"

#include <complex.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "model/flow.h"
#include "studies/course.h"
#include "studies/demos.h"
#include "studies/fleet.h"
#include "studies/laws.h"
#include "studies/truth.h"
#include "support.h"

static const double pi = 3.14159265358979323846;
/* The imaginary unit in double precision. */
#define J ((double complex)I)
static const double R = 287.053072047065; /* J/(kg K) */

/* A solved state's network and motions. */
typedef struct air {
    const rig *rig;
    airnet *net;
    arena *arena;
    course_list courses;
} air;

static air air_open(rig *r, double highest_frequency) {
    air a = {.rig = r, .arena = arena_create(NULL)};
    cr_assert(a.arena != NULL);
    cr_assert_eq(course_all(&a.courses, a.arena, r->rates), BARONET_OK);
    cr_assert_eq(airnet_create(&a.net, r->rates, rates_open(r->rates), highest_frequency, NULL),
                 BARONET_OK);
    return a;
}

static void air_close(air *a) {
    airnet_destroy(a->net);
    arena_destroy(a->arena);
}

/* From the conductances of the last swing instead of from rest. */
static baronet_status swing_on(airnet *net, const double *shape, double amplitude, double frequency,
                               airnet_answer *out) {
    return airnet_swing_within(net, shape, (airnet_drive){amplitude, frequency, false},
                               AIRNET_TOLERANCE, out);
}

static airnet_answer swing(air *a, const double *shape, double amplitude, double frequency) {
    airnet_answer answer;
    const baronet_status status = airnet_swing(a->net, shape, amplitude, frequency, &answer);
    cr_assert_eq(status, BARONET_OK, "%s at %g m and %g Hz: residual %g after %d rounds",
                 baronet_status_text(status), amplitude, frequency, answer.account.residual,
                 answer.account.iterations);
    return answer;
}

/* K(jw) of a swing: corners x corners. */
static void matrix_at(air *a, const double *shape, double amplitude, double frequency,
                      double complex *K) {
    const int entries = a->rig->model->vehicle.corners * a->rig->model->vehicle.corners;
    double *const pairs = malloc(2 * (size_t)entries * sizeof *pairs);
    cr_assert(pairs != NULL);
    swing(a, shape, amplitude, frequency);
    cr_assert_eq(airnet_matrix(a->net, frequency, pairs), BARONET_OK);
    for (int i = 0; i < entries; i++)
        K[i] = pairs[2 * i] + J * pairs[2 * i + 1];
    free(pairs);
}

static double complex *take_matrix(const rig *r) {
    const size_t corners = (size_t)r->model->vehicle.corners;
    double complex *const K = calloc(corners * corners, sizeof *K);
    cr_assert(K != NULL);
    return K;
}

/* What does not follow from the air's pressure: coils, stops that are touched, bars, the carcass,
   and the load's change with height at constant pressure. */
static void add_steel(const rig *r, const state_standing *s, double complex *K) {
    const vehicle *const v = &r->model->vehicle;
    const int n = v->corners;
    for (int c = 0; c < n; c++) {
        const corner *const at = &v->corner[c];
        K[c * n + c] += at->coil + (s->travel[c] > at->bump_at ? at->bump_rate : 0.0) +
                        (-s->travel[c] > at->rebound_at ? at->rebound_rate : 0.0);
    }
    for (int i = 0; i < v->bars; i++) {
        const int left = v->bar[i].left, right = v->bar[i].right;
        const double track = v->corner[left].y - v->corner[right].y;
        const double k = v->bar[i].roll / (track * track);
        K[left * n + left] += k;
        K[right * n + right] += k;
        K[left * n + right] -= k;
        K[right * n + left] -= k;
    }
}

static profile_point spring_at(const rig *r, const state_standing *s, int spring_index) {
    const spring *const one = &r->model->vehicle.spring[spring_index];
    const double P = s->node_pressure[one->node] - r->model->ambient.pressure;
    return profile_at(&r->model->vehicle.profile[one->profile], s->spring_height[spring_index], P);
}

/* Adds levers' i' k j at all pairs of corners of two springs. */
static void add_pair(const rig *r, int i, int j, double k, double complex *K) {
    const vehicle *const v = &r->model->vehicle;
    for (int a = 0; a < v->spring[i].levers; a++)
        for (int b = 0; b < v->spring[j].levers; b++)
            K[v->spring[i].lever[a].corner * v->corners + v->spring[j].lever[b].corner] +=
                v->spring[i].lever[a].ratio * k * v->spring[j].lever[b].ratio;
}

/* Stiffness where the air within each set of joined nodes has evened out: a mass p B dx/(R T) that
   a spring gives up raises the pressure of the whole set by n R T over its volume. */
static void evened(const rig *r, const state_standing *s, const int *set, double n,
                   double complex *K) {
    const vehicle *const v = &r->model->vehicle;
    const network *const net = &r->model->network;
    memset(K, 0, (size_t)(v->corners * v->corners) * sizeof *K);
    add_steel(r, s, K);
    for (int i = 0; i < v->springs; i++) {
        const profile_point at = spring_at(r, s, i);
        double volume = 0.0;
        bool held = false;
        for (int k = 0; k < net->nodes; k++) {
            if (set[k] != set[v->spring[i].node])
                continue;
            volume += s->node_volume[k];
            held |= net->node[k].kind == NODE_SUPPLY || net->node[k].kind == NODE_ATMOSPHERE;
        }
        add_pair(r, i, i, v->spring[i].rubber - at.load_height, K);
        for (int j = 0; j < v->springs && !held; j++)
            if (set[v->spring[j].node] == set[v->spring[i].node])
                add_pair(r, i, j,
                         n * s->node_pressure[v->spring[j].node] * at.load_pressure *
                             spring_at(r, s, j).breathing / volume,
                         K);
    }
}

static double quadratic(const rig *r, const double complex *K, const double *shape) {
    const int n = r->model->vehicle.corners;
    double sum = 0.0, square = 0.0;
    for (int a = 0; a < n; a++) {
        square += shape[a] * shape[a];
        for (int b = 0; b < n; b++)
            sum += shape[a] * creal(K[a * n + b]) * shape[b];
    }
    return sum / square;
}

/* Every motion at a frequency against a stiffness; parts of the largest entry. */
static void check_limit(rig *r, const double complex *K, double frequency, double tolerance,
                        const char *source) {
    static const double amplitudes[] = {0.0, 2.3e-3};
    const int n = r->model->vehicle.corners;
    double largest = 0.0;
    for (int i = 0; i < n * n; i++)
        largest = fmax(largest, cabs(K[i]));
    air a = air_open(r, 50.0);
    for (int c = 0; c < a.courses.count; c++) {
        for (int k = 0; k < 2; k++) {
            const double *const shape = a.courses.course[c].shape;
            const airnet_answer answer = swing(&a, shape, amplitudes[k], frequency);
            CHECK_ABS(answer.storage, quadratic(r, K, shape), tolerance * largest, source);
            CHECK_ABS(answer.loss, 0.0, tolerance * largest * 1e2, source);
        }
    }
    air_close(&a);
}

static void check_slow(rig *r, const char *state) {
    (void)state;
    const state_standing *const s = &rates_result(r->rates)->settled;
    double complex *const K = take_matrix(r);
    int *const set = malloc((size_t)r->model->network.nodes * sizeof *set);
    cr_assert(set != NULL);
    laws_flood(r, rates_open(r->rates), true, set);
    evened(r, s, set, r->model->gas.kind == GAS_THERMAL ? 1.0 : gas_exponent(r->model->gas), K);
    check_limit(r, K, 1e-7, 1e-6, "all that is joined, leaks too, has evened out");
    free(set);
    free(K);
}

static void check_quick(rig *r, const char *state) {
    (void)state;
    const rates_answer *const answer = rates_result(r->rates);
    double complex *const K = take_matrix(r);
    int *const set = malloc((size_t)r->model->network.nodes * sizeof *set);
    cr_assert(set != NULL);
    for (int i = 0; i < r->model->network.nodes; i++)
        set[i] = i;
    evened(r, &answer->settled, set, gas_exponent(r->model->gas), K);
    check_limit(r, K, 1e9, 1e-5, "no air has had time to move");
    for (int i = 0; i < r->model->vehicle.corners * r->model->vehicle.corners; i++)
        CHECK_ABS(answer->level[LEVEL_INSTANT].stiffness[i], creal(K[i]), 1e-3, "instant");
    free(set);
    free(K);
}

static double condition_seen(air *a, double frequency) {
    double condition;
    cr_assert_eq(airnet_condition(a->net, frequency, &condition), BARONET_OK);
    return condition;
}

/* The worst that was looked at against an estimate at each frequency. */
static void check_condition(rig *r, const char *state) {
    air a = air_open(r, 80.0);
    double seen = 0.0, worst = 0.0;
    for (int k = 0; k < 40 && airnet_unknowns(a.net) > 0; k++) {
        const double frequency = 0.01 * pow(8000.0, k / 39.0);
        swing(&a, a.courses.course[0].shape, 0.007, frequency);
        seen = condition_seen(&a, frequency);
        double one;
        cr_assert_eq(sparse_condition(airnet_system_at(a.net, frequency).solver, NULL, &one),
                     BARONET_OK);
        worst = fmax(worst, one);
    }
    cr_assert(seen >= 0.5 * worst && seen <= worst, "%s: %g of %g", state, seen, worst);
    cr_assert_lt(worst, 1e8, "%s", state);
    air_close(&a);
}

Test(airnet, the_worst_condition_of_a_sweep_is_found) {
    demos_each(check_condition);
    fleet_each(check_condition);
}

Test(airnet, loses_the_digits_that_its_condition_says) {
    /* A spring and a tank through a pipe so short and wide that they are one volume: the loss is
       straight in frequency, until rounding hides it. */
    rig r = rig_open("gas adiabatic\nprofile p area 117 cm2 volume 2.1 L at 150 mm\n"
                     "spring s profile p height 150 mm load 500 kg\n"
                     "tank can volume 3.7 L\nrestrictor hole from s to can bore 8 mm\n"
                     "charge in rest\n");
    rig_answer(&r, NULL, NULL);
    air a = air_open(&r, 1.0);
    const double *const shape = a.courses.course[0].shape;
    const airnet_answer known = swing(&a, shape, 0.0, 1e-3);
    for (double frequency = 1e-3; frequency > 1e-11; frequency *= 0.037) {
        const airnet_answer got = swing(&a, shape, 0.0, frequency);
        const double out = fabs(got.loss - known.loss * frequency / 1e-3) / known.storage;
        const double said = condition_seen(&a, frequency) * 2.2e-16;
        cr_assert_leq(out, said, "%g Hz: out by %g, said %g", frequency, out, said);
    }
    cr_assert_gt(condition_seen(&a, 1.0) * 2.2e-16, 1e-6, "it was that bad");
    air_close(&a);
    rig_close(&r);
}

Test(airnet, tends_to_settled_when_slow) {
    demos_each(check_slow);
    fleet_each(check_slow);
}

Test(airnet, tends_to_instant_when_quick) {
    demos_each(check_quick);
    fleet_each(check_quick);
}

static const law *law_of(const rig *r, int edge_index) {
    const edge *const e = &r->model->network.edge[edge_index];
    if (e->kind == EDGE_HOSE || e->kind == EDGE_RESTRICTOR)
        return &e->path;
    if (e->kind != EDGE_SOLENOID)
        return NULL;
    return rates_open(r->rates)[e->solenoid] ? &e->path : &e->bypass;
}

/* Largest difference of mean pressures across a path that passes air, as across a shut valve that
   leaks; in parts of the lower one. */
static double largest_step(const rig *r) {
    const double *const p = rates_result(r->rates)->settled.node_pressure;
    double largest = 0.0;
    for (int i = 0; i < r->model->network.edges; i++) {
        const edge *const e = &r->model->network.edge[i];
        const law *const l = law_of(r, i);
        if (l != NULL && l->kind != LAW_NONE)
            largest = fmax(largest, fabs(p[e->from] - p[e->to]) / fmin(p[e->from], p[e->to]));
    }
    return largest;
}

/* A leak between unequal pressures is fed by what flows on the mean, so that its path need not be
   passive; all others take energy out. */
static void check_loss(rig *r, const char *state) {
    air a = air_open(r, 50.0);
    const double source = 1e-9 + 0.1 * largest_step(r);
    for (int c = 0; c < a.courses.count; c++) {
        for (double f = 0.013; f < 60.0; f *= 4.1) {
            for (double amplitude = 0.0; amplitude < 0.02; amplitude += 9e-3) {
                const airnet_answer answer = swing(&a, a.courses.course[c].shape, amplitude, f);
                cr_assert(answer.loss >= -source * fabs(answer.storage), "%s, %s: %g at %g Hz, %g",
                          state, a.courses.course[c].name, answer.loss / answer.storage, f, source);
            }
        }
    }
    air_close(&a);
}

Test(airnet, never_gives_out_energy) {
    demos_each(check_loss);
    fleet_each(check_loss);
}

static void check_symmetry(const twin *t, const char *state) {
    static const double frequencies[] = {0.021, 0.9, 7.7, 41.0};
    rig r = twin_open(t);
    rig_answer(&r, state, NULL);
    air a = air_open(&r, 50.0);
    double complex *const K = take_matrix(&r);
    const int n = r.model->vehicle.corners;
    for (size_t k = 0; k < 4; k++) {
        matrix_at(&a, a.courses.course[1].shape, k % 2 ? 8e-3 : 0.0, frequencies[k], K);
        for (int i = 0; i < n * n; i++)
            CHECK_ABS(cabs(K[i] - K[(i % n) * n + i / n]), 0.0, 1e-9 * cabs(K[0]), state);
    }
    free(K);
    air_close(&a);
    rig_close(&r);
}

Test(airnet, is_symmetric_where_the_area_moves_the_air) {
    /* A = B, and one pressure in each set of joined springs. */
    check_symmetry(&fleet_van, "linked");
    check_symmetry(&fleet_van, "paired");
    check_symmetry(&fleet_pickup, "split");
    check_symmetry(&fleet_pickup, "joined");
}

/* The matrix and the motion's own figure are one answer. */
static void check_parts(rig *r, const char *state) {
    air a = air_open(r, 50.0);
    double complex *const K = take_matrix(r);
    const int n = r->model->vehicle.corners;
    for (int c = 0; c < a.courses.count; c++) {
        const double *const shape = a.courses.course[c].shape;
        const airnet_answer answer = swing(&a, shape, 4e-3, 1.7);
        matrix_at(&a, shape, 4e-3, 1.7, K);
        double complex whole = 0.0;
        double square = 0.0;
        for (int i = 0; i < n; i++) {
            double complex force = 0.0;
            for (int j = 0; j < n; j++)
                force += K[i * n + j] * shape[j];
            whole += shape[i] * force;
            square += shape[i] * shape[i];
        }
        CHECK_REL(answer.storage, creal(whole) / square, 1e-9, state);
        CHECK_ABS(answer.loss, cimag(whole) / square, 1e-9 * fabs(answer.storage), state);
    }
    free(K);
    air_close(&a);
}

Test(airnet, gives_one_answer_in_all_its_forms) {
    demos_each(check_parts);
}

Test(airnet, the_wheel_that_moves_most_moves_the_amplitude) {
    /* However a motion is scaled, and whichever its sign. */
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    air a = air_open(&r, 50.0);
    const double shape[2][4] = {{0.3, -1.0, 0.7, -0.2}, {-0.81, 2.7, -1.89, 0.54}};
    const airnet_answer one = swing(&a, shape[0], 0.009, 1.3);
    const double conductance = airnet_conductances(a.net)[0];
    const double passed = airnet_flows(a.net)[0];
    const airnet_answer other = swing(&a, shape[1], 0.009, 1.3);
    CHECK_REL(other.storage, one.storage, 1e-7, "a wheel's rate");
    CHECK_REL(other.loss, one.loss, 1e-7, "a wheel's rate");
    CHECK_REL(airnet_conductances(a.net)[0], conductance, 1e-7, "the same swing");
    CHECK_REL(airnet_flows(a.net)[0], 2.7 * passed, 1e-7, "of a longer metre");
    airnet_answer on;
    cr_assert_eq(swing_on(a.net, shape[0], 0.009, 1.3, &on), BARONET_OK);
    CHECK_REL(on.storage, one.storage, 1e-7, "a wheel's rate");
    air_close(&a);
    rig_close(&r);
}

Test(airnet, a_spring_s_own_rate_is_its_corner_s) {
    rig r = twin_open(&fleet_van);
    rig_answer(&r, "linked", NULL);
    air a = air_open(&r, 50.0);
    double complex *const K = take_matrix(&r);
    double rate = 0.0;
    matrix_at(&a, course_find(&a.courses, "one-wheel:RL")->shape, 3e-3, 1.3, K);
    const int c = rig_corner(&r, "RL"), n = r.model->vehicle.corners;
    cr_assert_eq(airnet_spring_rate(a.net, rig_spring(&r, "rl"), 1.3, &rate), BARONET_OK);
    /* At the rear left there is no coil, but the bar. */
    CHECK_REL(0.96 * 0.96 * rate + 1.9e4 / (1.53 * 1.53), creal(K[c * n + c]), 1e-9, "levers");
    free(K);
    air_close(&a);
    rig_close(&r);
}

/* First harmonic of a law's flow over the amplitude, by brute force: midpoints of a whole period.
 */
static double harmonic(const law *l, flow_side first, flow_side second, double amplitude) {
    enum { STEPS = 2000 };
    double sum = 0.0;
    for (int k = 0; k < STEPS; k++) {
        const double sine = sin(2.0 * pi * (k + 0.5) / STEPS);
        const flow_side one = {first.pressure + 0.5 * amplitude * sine, first.temperature};
        const flow_side two = {second.pressure - 0.5 * amplitude * sine, second.temperature};
        sum += flow_at(l, one, two).mass * sine;
    }
    return 2.0 * sum / (STEPS * amplitude);
}

/* Every edge that carries something has the conductance that belongs to the drop it sees. */
static void check_edges(const air *a, double amplitude) {
    const rig *const r = a->rig;
    const state_standing *const s = &rates_result(r->rates)->settled;
    const double T = r->model->ambient.temperature;
    for (int i = 0; i < r->model->network.edges; i++) {
        const edge *const e = &r->model->network.edge[i];
        const law *const l = law_of(r, i);
        const double G = airnet_conductances(a->net)[i];
        const double drop = G > 0.0 ? amplitude * airnet_flows(a->net)[i] / G : 0.0;
        if (l == NULL || l->kind == LAW_NONE) {
            cr_assert_eq(G, 0.0, "%s passes nothing", e->name);
        } else if (drop > 1.0) {
            /* Where the swing just reaches a kink, twelve points are good to 3e-4; between unequal
               pressures, 64 are to 2e-3 (theory.md). */
            const bool apart =
                fabs(s->node_pressure[e->from] - s->node_pressure[e->to]) > 1e-6 * 1e5;
            CHECK_REL(G,
                      harmonic(l, (flow_side){s->node_pressure[e->from], T},
                               (flow_side){s->node_pressure[e->to], T}, drop),
                      apart ? 2e-3 : 3e-4, e->name);
        }
    }
}

static void check_consistency(rig *r, const char *state) {
    (void)state;
    air a = air_open(r, 50.0);
    for (int c = 0; c < a.courses.count; c++) {
        swing(&a, a.courses.course[c].shape, 0.01, 1.1);
        check_edges(&a, 0.01);
    }
    swing(&a, a.courses.course[0].shape, 0.02, 13.0);
    check_edges(&a, 0.02);
    air_close(&a);
}

Test(airnet, each_path_has_the_first_harmonic_of_its_own_law) {
    demos_each(check_consistency);
}

/* A swing that goes on from another ends where one from rest does. */
static void check_starts(rig *r, const char *state) {
    air a = air_open(r, 50.0);
    for (int c = 0; c < a.courses.count; c++) {
        const double *const shape = a.courses.course[c].shape;
        for (double f = 0.11; f < 45.0; f *= 7.3) {
            const airnet_answer cold = swing(&a, shape, 0.011, f);
            airnet_answer warm;
            swing(&a, a.courses.course[(c + 1) % a.courses.count].shape, 0.006, 1.9 * f);
            cr_assert_eq(swing_on(a.net, shape, 0.011, f, &warm), BARONET_OK, "%s", state);
            CHECK_ABS(warm.storage, cold.storage, 1e-6 * hypot(cold.storage, cold.loss), state);
            CHECK_ABS(warm.loss, cold.loss, 1e-6 * hypot(cold.storage, cold.loss), state);
        }
    }
    air_close(&a);
}

Test(airnet, ends_at_one_answer_wherever_it_starts) {
    demos_each(check_starts);
}

/* The answer has no jump as the swing grows, and begins with the laws' slopes at no flow. */
static void check_growth(rig *r, const char *state) {
    air a = air_open(r, 50.0);
    const rates_answer *const answer = rates_result(r->rates);
    for (int c = 0; c < a.courses.count; c++) {
        const double *const shape = a.courses.course[c].shape;
        const double band = answer->level[LEVEL_INSTANT].stiffness[0];
        airnet_answer before = swing(&a, shape, 0.0, 1.1);
        CHECK_ABS(swing(&a, shape, 1e-11, 1.1).storage, before.storage, 1e-7 * band, state);
        before = swing(&a, shape, 1e-7, 1.1);
        for (double amplitude = 1e-7; amplitude < 0.03; amplitude *= 1.4) {
            const airnet_answer now = swing(&a, shape, amplitude, 1.1);
            const double jump = hypot(now.storage - before.storage, now.loss - before.loss);
            cr_assert(jump < 0.15 * band, "%s, %s: from %g%+gj to %g%+gj N/m at %g m", state,
                      a.courses.course[c].name, before.storage, before.loss, now.storage, now.loss,
                      amplitude);
            before = now;
        }
    }
    air_close(&a);
}

Test(airnet, is_continuous_in_the_swing) {
    demos_each(check_growth);
}

/* A piston on a bench over `rest`, at an absolute pressure; constant area, so that all its rate is
   the air's. */
static rig open_piston(double p, const char *gas_words, double A, double V, const char *rest) {
    rig r = rig_open("ambient pressure 101325 Pa temperature 293.15 K\ngas %s\n"
                     "profile piston area %.17g m2 volume %.17g m3 at 150 mm\n"
                     "spring s profile piston height 150 mm pressure %.17g Pa\n%s",
                     gas_words, A, V, p - 101325.0, rest);
    rig_answer(&r, NULL, NULL);
    return r;
}

static double complex rate_of(air *a, double amplitude, double frequency) {
    const airnet_answer answer = swing(a, a->courses.course[0].shape, amplitude, frequency);
    return answer.storage + J * answer.loss;
}

static void meet_relaxation(const csv *table, size_t row) {
    const double tau = 3.7, p = 6.3e5, A = 0.0113, V = 2.3e-3;
    rig r = open_piston(p, "thermal 3.7 s", A, V, "");
    air a = air_open(&r, 50.0);
    const double f = csv_number(table, row, "omega_tau") / (2.0 * pi * tau);
    const double complex n = rate_of(&a, 0.01, f) / (p * A * A / V);
    CHECK_ROW(csv_is(table, row, "quantity", "n_real")   ? creal(n)
              : csv_is(table, row, "quantity", "n_imag") ? cimag(n)
                                                         : cimag(n) / creal(n),
              table, row);
    air_close(&a);
    rig_close(&r);
}

Test(airnet, meets_the_reference_rows_of_air_that_exchanges_heat) {
    csv *const table = csv_read("acoustics");
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "relaxation") || csv_is(table, i, "kind", "relaxation_peak")) {
            meet_relaxation(table, i);
            met++;
        }
    }
    cr_assert_eq(met, 3 * 8 + 1);
    csv_free(table);
}

/* Spring and tank of a row of isolator_optimum through a hole whose slope at no flow is that of a
   linear resistance Rv (Pa s/m3). A hole's slope goes with its area. */
static rig open_isolator(const csv *table, size_t row, double Rv) {
    const double p = csv_number(table, row, "p_abs_Pa"), T = 293.15;
    const law hole = {.kind = LAW_BORE, .bore = 1e-3, .discharge = LAW_DEFAULT_DISCHARGE};
    const double bore = 1e-3 * sqrt(p / (R * T) / Rv / flow_conductance(&hole, p, T, 0.0));
    char gas_words[64], rest[256];
    snprintf(gas_words, sizeof gas_words, "exponent %.17g", csv_number(table, row, "n"));
    snprintf(rest, sizeof rest,
             "tank can volume %.17g m3 pressure %.17g Pa\n"
             "restrictor hole from s to can bore %.17g m\n",
             csv_number(table, row, "V2_m3"), p - 101325.0, bore);
    return open_piston(p, gas_words, csv_number(table, row, "A_m2"),
                       csv_number(table, row, "V1_m3"), rest);
}

static void meet_isolator(const csv *table, size_t row) {
    rig r = open_isolator(table, row, csv_number(table, row, "Rv_Pas_per_m3"));
    air a = air_open(&r, 50.0);
    const double complex K = rate_of(&a, 0.0, csv_number(table, row, "f_Hz"));
    CHECK_ROW(csv_is(table, row, "quantity", "K_dyn_abs") ? cabs(K) : cimag(K) / creal(K), table,
              row);
    air_close(&a);
    rig_close(&r);
}

static double transmissibility(air *a, double mass, double frequency) {
    const double omega = 2.0 * pi * frequency;
    const double complex K = rate_of(a, 0.0, frequency);
    return cabs(K / (K - mass * omega * omega));
}

/* All curves of transmissibility, whatever the resistance, pass through one point; the best
   resistance has its peak there (README of the reference, section 9). */
static void meet_optimum(const csv *table, size_t row) {
    const double N = csv_number(table, row, "N"), mass = csv_number(table, row, "mass_kg");
    const double best = csv_number(table, row, "expected_si");
    const double parts[] = {0.31, 1.0, 2.9};
    for (int k = 0; k < 3; k++) {
        rig r = open_isolator(table, row, parts[k] * best);
        air a = air_open(&r, 50.0);
        const double f0 =
            sqrt(rates_result(r.rates)->level[LEVEL_SETTLED].stiffness[0] / mass) / (2.0 * pi);
        const double fixed = f0 * sqrt(2.0 * (N + 1.0) / (N + 2.0));
        CHECK_REL(transmissibility(&a, mass, fixed), 1.0 + 2.0 / N, 1e-7, "Ruzicka, Harris ch. 30");
        const double slope =
            transmissibility(&a, mass, fixed * 1.001) - transmissibility(&a, mass, fixed * 0.999);
        if (k == 1)
            CHECK_ABS(slope, 0.0, 2e-5, "the best resistance has its peak at the fixed point");
        else
            cr_assert_gt(fabs(slope), 1e-4, "others have not");
        air_close(&a);
        rig_close(&r);
    }
}

static void meet_level(const csv *table, size_t row) {
    rig r = open_isolator(table, row, 1e7);
    const bool low = csv_is(table, row, "quantity", "k_low");
    CHECK_ROW(rates_result(r.rates)->level[low ? LEVEL_SETTLED : LEVEL_INSTANT].stiffness[0], table,
              row);
    rig_close(&r);
}

Test(airnet, meets_the_reference_rows_of_a_damped_isolator) {
    csv *const table = csv_read("isolator_optimum");
    int dynamic = 0, best = 0, levels = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "pneumatic_dyn")) {
            meet_isolator(table, i);
            dynamic++;
        } else if (csv_is(table, i, "quantity", "Rv_opt")) {
            meet_optimum(table, i);
            best++;
        } else if (csv_is(table, i, "quantity", "k_low") ||
                   csv_is(table, i, "quantity", "k_high")) {
            meet_level(table, i);
            levels++;
        }
    }
    cr_assert(dynamic == 36 && best == 3 && levels == 6, "%d %d %d", dynamic, best, levels);
    csv_free(table);
}

/* Pressure at a node over that in the spring, both of small swings. */
static double complex pressure_ratio(air *a, const char *name, double frequency) {
    const int nodes = a->rig->model->network.nodes;
    double *const pairs = calloc(2 * (size_t)nodes, sizeof *pairs);
    cr_assert(pairs != NULL);
    swing(a, a->courses.course[0].shape, 0.0, frequency);
    airnet_pressures(a->net, pairs);
    const int from = rig_node(a->rig, "s"), to = rig_node(a->rig, name);
    const double complex ratio =
        (pairs[2 * to] + J * pairs[2 * to + 1]) / (pairs[2 * from] + J * pairs[2 * from + 1]);
    free(pairs);
    return ratio;
}

/* Where the far pressure swings a quarter period late, between two frequencies: the resonance of a
   tube with little friction. */
static double quarter_late(air *a, const char *name, double low, double high) {
    const bool falls = creal(1.0 / pressure_ratio(a, name, low)) > 0.0;
    for (int k = 0; k < 60; k++) {
        const double middle = sqrt(low * high);
        if ((creal(1.0 / pressure_ratio(a, name, middle)) > 0.0) == falls)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static rig open_tube(const csv *table, size_t row) {
    const double p = fmax(csv_number(table, row, "p_Pa"), 101330.0); /* a spring has to carry */
    char rest[256];
    snprintf(rest, sizeof rest,
             "tank can volume %.17g m3\nhose tube from s to can bore %.17g m length %.17g m\n",
             csv_number(table, row, "V_m3"), csv_number(table, row, "d_m"),
             csv_number(table, row, "L_m"));
    return open_piston(p, "adiabatic", 0.01, 2e-3, rest);
}

/* A tube of N T-segments closed by a volume: its resonance lies high by mu/(24 N^2), mu being the
   tube's volume over the other, and below that without the tube's own air by mu/6. What friction
   there is takes less than 1e-5. */
static void meet_tube(const csv *table, size_t row, double highest_frequency) {
    const double expected = csv_number(table, row, "expected_si");
    const double d = csv_number(table, row, "d_m"), L = csv_number(table, row, "L_m");
    const double mu = 0.25 * pi * d * d * L / csv_number(table, row, "V_m3");
    rig r = open_tube(table, row);
    air a = air_open(&r, highest_frequency);
    const int N = airnet_unknowns(a.net) - 2;
    const double f = quarter_late(&a, "can", 0.8 * expected, 1.2 * expected);
    if (csv_is(table, row, "kind", "helmholtz"))
        CHECK_REL(f, expected, 1.05 * mu / 6.0, csv_text(table, row, "source"));
    else
        CHECK_REL(f, expected, 1.05 * mu / (24.0 * N * N) + 1e-5, csv_text(table, row, "source"));
    air_close(&a);
    rig_close(&r);
}

Test(airnet, meets_the_reference_rows_of_tubes_with_little_friction) {
    csv *const table = csv_read("acoustics");
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "quantity", "f_no_end_correction") ||
            csv_is(table, i, "kind", "tube_volume_lossless")) {
            meet_tube(table, i, 50.0);
            meet_tube(table, i, 700.0);
            met++;
        }
    }
    cr_assert_eq(met, 10);
    csv_free(table);
}

Test(airnet, a_hose_is_out_by_what_its_segments_cost_and_no_more) {
    /* A row of T-segments has cos(theta) = 1 - (w t)^2/2 in place of cos(w t), t being the time of
       sound through one: theta is 1 + (w t)^2/24 times what it should be. At the highest frequency
       asked for that is 0.64 %, or 2.3 degrees a wavelength of the hose. */
    const double L = 8.3, S = 0.25 * pi * 0.012 * 0.012, V = 1.3e-4, top = 190.0;
    rig r =
        open_piston(6.7e5, "adiabatic", 0.01, 2e-3,
                    "tank can volume 130 cm3\nhose tube from s to can bore 12 mm length 8.3 m\n");
    air a = air_open(&r, top);
    const double sound = sqrt(1.4 * R * 293.15);
    const double step = 2.0 * pi * top * L / (airnet_unknowns(a.net) - 2) / sound;
    cr_assert(step < 2.0 * pi / AIRNET_SEGMENTS_A_WAVELENGTH);
    /* Lossless: p2/p1 = 1/[cos(kL) - (kV/S) sin(kL)] (Kinsler and others, ch. 10). Its resonances
       below the highest frequency, each with its own error: */
    int found = 0;
    double before = 1.0;
    for (double f = 1.0; f < top; f += 0.05) {
        const double k = 2.0 * pi * f / sound;
        const double now = cos(k * L) - k * V / S * sin(k * L);
        if (now * before < 0.0) {
            const double part = f / top;
            const double late = quarter_late(&a, "can", 0.98 * f, 1.02 * f);
            CHECK_REL(late, f - 0.025, 1.1 * part * part * step * step / 24.0 + 0.03 / f,
                      "segments");
            found++;
        }
        before = now;
    }
    cr_assert_gt(found, 7);
    air_close(&a);
    rig_close(&r);
}

/* Still air in a narrow tube swings with a viscous layer at the wall, which the exact theory has:
   it adds up to a third to the inertance, and to the loss. Steady friction on a slug of air, as
   here, leaves it out, which tells from resonance upward; in tubes of suspension size the gain is
   within 2.5 % below 0.3 of the resonance and within 10 % below 0.55. Capillaries (cases A and B)
   and all at resonance are beyond it. True if the row is within. */
static bool meet_bergh(const csv *table, size_t row) {
    static const char *const columns[][3] = {
        {"V1_m3", "d1_m", "L1_m"}, {"V2_m3", "d2_m", "L2_m"}, {"V3_m3", "d3_m", "L3_m"}};
    static const char *const volumes[] = {"s", "first", "second", "third"};
    char rest[1024] = "", gas_words[64];
    int tubes = 0;
    for (; tubes < 3 && !isnan(csv_number(table, row, columns[tubes][0])); tubes++)
        snprintf(rest + strlen(rest), sizeof rest - strlen(rest),
                 "tank %s volume %.17g m3\nhose h%d from %s to %s bore %.17g m length %.17g m\n",
                 volumes[tubes + 1], csv_number(table, row, columns[tubes][0]), tubes,
                 volumes[tubes], volumes[tubes + 1], csv_number(table, row, columns[tubes][1]),
                 csv_number(table, row, columns[tubes][2]));
    snprintf(gas_words, sizeof gas_words, "exponent %.17g", csv_number(table, row, "k_poly"));
    rig r =
        open_piston(fmax(csv_number(table, row, "p_Pa"), 101330.0), gas_words, 0.01, 2e-3, rest);
    air a = air_open(&r, 500.0);
    const double f = csv_number(table, row, "f_Hz");
    double resonance = 0.1;
    while (creal(1.0 / pressure_ratio(&a, volumes[tubes], resonance)) > 0.0)
        resonance *= 1.02;
    const bool low = f < 0.3 * resonance;
    if (low || f < 0.55 * resonance) {
        const double complex ratio = pressure_ratio(&a, volumes[tubes], f);
        const double lag = csv_number(table, row + 1, "expected_si");
        CHECK_REL(cabs(ratio), csv_number(table, row, "expected_si"), low ? 0.025 : 0.1,
                  csv_text(table, row, "source"));
        CHECK_ABS(carg(ratio), lag, low ? 0.01 : 0.07, csv_text(table, row, "source"));
    }
    air_close(&a);
    rig_close(&r);
    return low || f < 0.55 * resonance;
}

Test(airnet, meets_the_reference_rows_of_still_air_below_resonance) {
    csv *const table = csv_read("acoustics");
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++)
        if (csv_is(table, i, "kind", "bergh_tijdeman") && csv_is(table, i, "quantity", "gain") &&
            strcmp(csv_text(table, i, "case"), "bt_B") > 0)
            met += meet_bergh(table, i);
    cr_assert_eq(met, 11);
    csv_free(table);
}

typedef struct trial {
    const char *gas, *path; /* from s to can */
    double amplitude, frequency;
    double tolerance; /* part of |K| */
} trial;

static void check_trial(const trial *tried) {
    const double p = 6.1e5;
    char rest[256];
    snprintf(rest, sizeof rest, "tank can volume 3.4 L\n%s\n", tried->path);
    rig r = open_piston(p, tried->gas, 0.0121, 2.1e-3, rest);
    air a = air_open(&r, tried->frequency);
    const edge *const e = &r.model->network.edge[0];
    const double area = 0.25 * pi * e->path.bore * e->path.bore;
    const truth t = {.A = 0.0121,
                     .spring = 2.1e-3,
                     .tank = 3.4e-3,
                     .hose = e->kind == EDGE_HOSE ? area * e->path.length : 0.0,
                     .temperature = 293.15,
                     .gamma = r.model->gas.kind == GAS_ISOTHERMAL ? 1.0 : 1.4,
                     .law = e->path,
                     .inertance = 0.5 * e->path.length / area,
                     .amplitude = tried->amplitude,
                     .omega = 2.0 * pi * tried->frequency};
    const double complex K = rate_of(&a, tried->amplitude, tried->frequency);
    double force[2];
    truth_force(&t, p, force);
    const double complex exact = force[0] + J * force[1];
    CHECK_ABS(cabs(K - exact), 0.0, tried->tolerance * cabs(exact), tried->path);
    air_close(&a);
    rig_close(&r);
}

Test(airnet, a_finite_swing_is_near_the_full_laws_in_time) {
    /* What higher harmonics, the size of the swing and the gas's warming take: up to 2 % for a law
       that goes with the square, up to 4 % where the hose's air resonates. */
    static const trial trials[] = {
        {"isothermal", "restrictor x from s to can bore 4 mm", 0.003, 1.1, 0.01},
        {"isothermal", "restrictor x from s to can bore 4 mm", 0.012, 1.1, 0.025},
        {"isothermal", "restrictor x from s to can bore 4 mm", 0.03, 1.1, 0.025},
        {"adiabatic", "restrictor x from s to can bore 4 mm", 0.012, 3.3, 0.025},
        {"adiabatic", "restrictor x from s to can bore 5 mm", 0.012, 1.1, 0.01},
        {"adiabatic", "restrictor x from s to can sonic 1.3 L/s.bar critical 0.3", 0.009, 0.7,
         0.025},
        {"adiabatic", "restrictor x from s to can kv 0.4 m3/h", 0.009, 1.3, 0.025},
        {"isothermal", "hose x from s to can bore 7 mm length 1.3 m", 0.01, 1.2, 0.015},
        {"isothermal", "hose x from s to can bore 7 mm length 1.3 m", 0.004, 4.2, 0.045},
        {"adiabatic", "hose x from s to can bore 9 mm length 0.6 m", 0.008, 3.2, 0.01}};
    for (size_t k = 0; k < sizeof trials / sizeof *trials; k++)
        check_trial(&trials[k]);
}

Test(airnet, tees_that_hold_no_air_and_lead_nowhere_do_not_matter) {
    /* A valve block between shut valves has neither air nor a path to any: nothing says what its
       pressure is, and nothing asks. */
    static const char *const block = "tee a\ntee b\ntee c\ntee lone\n"
                                     "restrictor in from a to b bore 2 mm\n"
                                     "restrictor out from b to c bore 3 mm\n"
                                     "solenoid one from s to a normally closed bore 4 mm\n"
                                     "solenoid two from c to can normally closed bore 4 mm\n";
    char rest[512];
    double complex K[2];
    for (int k = 0; k < 2; k++) {
        snprintf(rest, sizeof rest,
                 "tank can volume 1.3 L\nrestrictor x from s to can bore 3 mm\n%s",
                 k == 0 ? "" : block);
        rig r = open_piston(5.7e5, "adiabatic", 0.0117, 2.1e-3, rest);
        air a = air_open(&r, 50.0);
        K[k] = rate_of(&a, 4e-3, 2.3);
        air_close(&a);
        rig_close(&r);
    }
    CHECK_ABS(cabs(K[1] - K[0]), 0.0, 1e-12 * cabs(K[0]), "shut off");
}

Test(airnet, a_held_pressure_is_a_tank_without_end) {
    double complex K[2];
    for (int k = 0; k < 2; k++) {
        rig r = rig_open("profile p area 117 cm2 volume 2.1 L at 150 mm\n"
                         "spring s profile p height 150 mm pressure 4.7 bar rubber 9 N/mm\n"
                         "%s\nhose x from s to line bore 6 mm length 0.8 m\n",
                         k == 0 ? "supply line pressure 4.7 bar" : "tank line volume 4000 m3");
        rig_answer(&r, NULL, NULL);
        air a = air_open(&r, 50.0);
        K[k] = rate_of(&a, 4e-3, 2.3);
        air_close(&a);
        rig_close(&r);
    }
    CHECK_ABS(cabs(K[1] - K[0]), 0.0, 1e-5 * cabs(K[0]), "the end's pressure does not move");
}

Test(airnet, says_when_a_pressure_would_pass_below_vacuum) {
    rig r = open_piston(1.3e5, "adiabatic", 0.0117, 2.1e-3, "");
    air a = air_open(&r, 50.0);
    /* n p A x/V reaches p where x is V/(n A). */
    const double far = 2.1e-3 / (1.4 * 0.0117);
    cr_assert_not(swing(&a, a.courses.course[0].shape, 0.99 * far, 1.0).account.below_vacuum);
    cr_assert(swing(&a, a.courses.course[0].shape, 1.01 * far, 1.0).account.below_vacuum);
    air_close(&a);
    rig_close(&r);
}

Test(airnet, takes_all_its_memory_at_once) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    failing f;
    airnet *net = NULL;
    cr_assert_eq(airnet_create(&net, r.rates, rates_open(r.rates), 50.0, failing_start(&f, 0)),
                 BARONET_OK);
    const size_t calls = f.calls;
    const double shape[4] = {1.0, -0.8, 0.3, 0.6};
    double K[32], pressures[256], rate = 0.0;
    airnet_answer answer;
    for (double frequency = 0.02; frequency < 50.0; frequency *= 2.0) {
        cr_assert_eq(airnet_swing(net, shape, 0.01, frequency, &answer), BARONET_OK);
        cr_assert_eq(swing_on(net, shape, 0.011, frequency, &answer), BARONET_OK);
        cr_assert_eq(airnet_matrix(net, frequency, K), BARONET_OK);
        cr_assert_eq(airnet_spring_rate(net, 0, frequency, &rate), BARONET_OK);
        airnet_pressures(net, pressures);
    }
    cr_assert_eq(f.calls, calls, "nothing is taken in a swing");
    airnet_destroy(net);
    cr_assert_eq(f.live, 0);
    for (size_t k = 1; k <= calls; k++) {
        const baronet_status status =
            airnet_create(&net, r.rates, rates_open(r.rates), 50.0, failing_start(&f, k));
        cr_assert_eq(status, BARONET_OUT_OF_MEMORY, "request %zu of %zu", k, calls);
        cr_assert_null(net);
        cr_assert_eq(f.live, 0, "request %zu: blocks are left", k);
    }
    rig_close(&r);
}

static double seconds(void) {
    return (double)clock() / CLOCKS_PER_SEC; /* of this process: others do not count */
}

Test(airnet, a_chain_of_ten_thousand_tanks_takes_a_second) {
    enum { LINKS = 10000 };
    char *words = NULL;
    size_t length = 0;
    FILE *const to = open_memstream(&words, &length);
    cr_assert(to != NULL);
    for (int k = 0; k < LINKS; k++) {
        fprintf(to, "tank t%d volume %d cm3\n", k, 11 + k % 7);
        if (k == 0)
            fprintf(to, "restrictor r0 from s to t0 bore 3 mm\n");
        else
            fprintf(to, "restrictor r%d from t%d to t%d bore %d mm\n", k, k - 1, k, 2 + k % 3);
    }
    fclose(to);
    rig r = open_piston(5.7e5, "adiabatic", 0.0117, 2.1e-3, words);
    free(words);
    const double start = seconds();
    air a = air_open(&r, 50.0);
    const double complex K = rate_of(&a, 4e-3, 1.1);
    const double taken = seconds() - start;
    const rates_answer *const answer = rates_result(r.rates);
    cr_assert_eq(airnet_unknowns(a.net), LINKS + 1);
    cr_assert(creal(K) > answer->level[LEVEL_SETTLED].stiffness[0] &&
              creal(K) < answer->level[LEVEL_INSTANT].stiffness[0] && cimag(K) > 0.0);
#ifdef __SANITIZE_ADDRESS__
    const double limit = 10.0;
#else
    const double limit = 1.0;
#endif
    cr_assert_lt(taken, limit, "%g s", taken);
    air_close(&a);
    rig_close(&r);
}
