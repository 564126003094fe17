/* SPDX-License-Identifier: MIT */
#include "studies/relaxation.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "numeric/dense.h"
#include "studies/constants.h"
#include "studies/course.h"
#include "studies/demos.h"
#include "studies/swung.h"
#include "support.h"

static relaxation_answer ask(rig *r, relaxation_question q) {
    relaxation_answer answer;
    cr_assert_eq(relaxation_solve(r->rates, &q, &answer, NULL), BARONET_OK);
    return answer;
}

/* A step of one motion by its name. */
static relaxation_answer step(rig *r, const char *name, relaxation_question q) {
    course_list courses;
    cr_assert_eq(course_all(&courses, r->arena, r->rates), BARONET_OK);
    const course *c = course_find(&courses, name);
    cr_assert(c != NULL, "%s", name);
    q.shape = c->shape;
    const relaxation_answer answer = ask(r, q);
    return answer;
}

/* One piston with a tank behind an ISO 6358 path. */
static const char *const bench = "ambient pressure 98 kPa temperature 291.15 K\n"
                                 "gas %s\n"
                                 "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                                 "spring bag load 431 kg profile piston height 158 mm\n"
                                 "tank can volume 1.1 L\n"
                                 "restrictor way from bag to can %s\n";

/* Two isothermal vessels 1 and 2 of given air S = p1 V1 + p2 V2, p1 > p2, joined by C and b: the
   ratio r = p2/p1 follows dr/dt = k R T (V1 + r V2)/(V1 V2) sqrt(1 - ((r-b)/(1-b))^2) with k = C
   rho0 sqrt(T0/T). With r = b + (1-b) sin u its time is an integral of 1/(A + B sin u). */
static double time_between(double V1, double V2, double C, double b, double T, double from,
                           double to) {
    const double k = C * 1.185 * sqrt(293.15 / T);
    const double A = V1 + b * V2, B = (1.0 - b) * V2, root = sqrt(A * A - B * B);
    double part[2];
    for (int i = 0; i < 2; i++) {
        const double u = asin(((i == 0 ? from : to) - b) / (1.0 - b));
        part[i] = 2.0 / root * atan((A * tan(0.5 * u) + B) / root);
    }
    return (1.0 - b) * V1 * V2 / (k * GAS_CONSTANT * T) * (part[1] - part[0]);
}

Test(relaxation, two_vessels_by_an_iso_6358_path_have_a_closed_form) {
    rig r = rig_open(bench, "isothermal", "sonic 1.9 L/s.bar critical 0.27");
    const rates_answer *answer = rig_answer(&r, "rest", NULL);
    const double p0 = answer->settled.node_pressure[rig_node(&r, "bag")];
    static const double amplitudes[] = {0.004, 0.013, 0.045};
    const double A = 83e-4, T = 291.15, C = 1.9e-8, b = 0.27, V2 = 1.1e-3;
    for (size_t k = 0; k < 3; k++) {
        const double V1 = 1.37e-3 - A * amplitudes[k];
        const double p1 = p0 * 1.37e-3 / V1, end = (p1 * V1 + p0 * V2) / (V1 + V2);
        const relaxation_answer got = step(
            &r, "one-wheel:bag",
            (relaxation_question){.amplitude = amplitudes[k], .without = -1, .tolerance = 1e-11});
        CHECK_REL(got.instant, (p1 - 98e3) * A, 1e-12, "p V is kept");
        CHECK_REL(got.end, (end - 98e3) * A, 1e-12, "p V is kept");
        const double shares[] = {RELAXATION_63, RELAXATION_95};
        const double times[] = {got.time_63, got.time_95};
        for (int i = 0; i < 2; i++) {
            const double p = p1 + shares[i] * (end - p1);
            const double other = (p1 * V1 + p0 * V2 - p * V1) / V2;
            CHECK_REL(times[i], time_between(V1, V2, C, b, T, p0 / p1, other / p), 1e-7,
                      "closed form of ISO 6358-1 between two vessels");
        }
        cr_assert(got.mass_error < 1e-15);
    }
    rig_close(&r);
}

/* Within the zone in which a law's slope is finite everything is linear, and a step of two vessels
   is one exponential with the time constant of the linear study. */
Test(relaxation, a_step_within_the_linear_zone_has_the_time_constant) {
    static const char *const gases[] = {"isothermal", "adiabatic", "exponent 1.27"};
    static const char *const ways[] = {"bore 2.7 mm cd 0.71", "sonic 3.1 L/s.bar critical 0.4",
                                       "kv 0.13 m3/h xt 0.6"};
    for (size_t k = 0; k < 3; k++) {
        rig r = rig_open(bench, gases[k], ways[k]);
        rig_answer(&r, "rest", NULL);
        constants_answer constants;
        const double amplitude = 1e-10;
        const swung by = swung_by(&r, amplitude, 1.0);
        cr_assert_eq(constants_solve(&constants, r.arena, r.rates, by.swing, NULL), BARONET_OK);
        cr_assert_eq(constants.count, 1);
        const relaxation_answer got =
            step(&r, "one-wheel:bag", (relaxation_question){.amplitude = amplitude, .without = -1});
        CHECK_REL(got.time_63, constants.constant[0].time, 1e-4, "a linear network");
        CHECK_REL(got.time_95, constants.constant[0].time * log(20.0), 1e-4, "a linear network");
        rig_close(&r);
    }
}

/* Hoses are laminar at their small end: three cells, of which the slowest is seen late. */
Test(relaxation, late_decay_is_the_slowest_constant) {
    rig r = rig_open("gas adiabatic\n"
                     "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                     "spring bag load 431 kg profile piston height 158 mm\n"
                     "tank can volume 3.3 L\n"
                     "tank jar volume 0.9 L\n"
                     "hose one from bag to can bore 3 mm length 2.1 m\n"
                     "hose two from can to jar bore 2.5 mm length 3.4 m\n");
    rig_answer(&r, "rest", NULL);
    constants_answer constants;
    const swung by = swung_by(&r, 1e-9, 1.0);
    cr_assert_eq(constants_solve(&constants, r.arena, r.rates, by.swing, NULL), BARONET_OK);
    cr_assert_eq(constants.count, 4, "five volumes less one that is kept");
    const double slowest = constants.constant[0].time;
    const double moments[] = {11.0 * slowest, 12.0 * slowest};
    double force[2];
    const relaxation_answer got = step(&r, "one-wheel:bag",
                                       (relaxation_question){.amplitude = 1e-6,
                                                             .without = -1,
                                                             .samples = 2,
                                                             .sample = moments,
                                                             .force = force,
                                                             .tolerance = 1e-10});
    CHECK_REL((force[0] - got.end) / (force[1] - got.end), exp(1.0), 1e-4,
              "one time constant later");
    rig_close(&r);
}

/* Small steps end where the linear rates of `rates` say, in every demonstration and motion. */
static void compare_ends(rig *r, const char *state) {
    const rates_answer *answer = rates_result(r->rates);
    if (answer->problem.status != BARONET_OK)
        return;
    const int corners = r->model->vehicle.corners;
    course_list courses;
    cr_assert_eq(course_all(&courses, r->arena, r->rates), BARONET_OK);
    for (int k = 0; k < courses.count; k++) {
        const double *shape = courses.course[k].shape;
        const relaxation_answer got = ask(
            r,
            (relaxation_question){.shape = shape, .amplitude = 1e-6, .without = -1, .dry = true});
        double most = 0.0, soft = 0.0, size = 0.0;
        for (int c = 0; c < corners; c++) {
            most = fmax(most, fabs(shape[c]));
            for (int d = 0; d < corners; d++) {
                const double change = answer->level[LEVEL_INSTANT].stiffness[c * corners + d] -
                                      answer->level[LEVEL_SETTLED].stiffness[c * corners + d];
                soft += shape[c] * change * shape[d];
                size += fabs(shape[c] * shape[d] *
                             answer->level[LEVEL_INSTANT].stiffness[c * corners + d]);
            }
        }
        CHECK_ABS((got.instant - got.end) / 1e-6, soft / (most * most), 2e-4 * size / (most * most),
                  state);
    }
}

Test(relaxation, small_steps_soften_as_the_rates_say) {
    demos_each(compare_ends);
}

Test(relaxation, a_smaller_tolerance_changes_nothing_that_is_shown) {
    static const char *const motions[] = {"heave", "roll", "gateway"};
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    for (size_t k = 0; k < 3; k++) {
        relaxation_question q = {.amplitude = 0.0137, .without = -1};
        const relaxation_answer usual = step(&r, motions[k], q);
        q.tolerance = 1e-10;
        const relaxation_answer finer = step(&r, motions[k], q);
        CHECK_REL(usual.time_63, finer.time_63, 1e-6, "a tolerance a hundred times smaller");
        CHECK_REL(usual.time_95, finer.time_95, 1e-5, "a tolerance a hundred times smaller");
        cr_assert(usual.mass_error < 1e-12);
    }
    rig_close(&r);
}

Test(relaxation, where_nothing_leads_there_is_no_figure) {
    rig r = rig_open("gas adiabatic\n"
                     "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                     "spring bag load 431 kg profile piston height 158 mm\n"
                     "tank can volume 3.3 L pressure 5 bar\n"
                     "solenoid gate from bag to can normally closed bore 5 mm\n");
    rig_answer(&r, "rest", NULL);
    const relaxation_answer got =
        step(&r, "one-wheel:bag", (relaxation_question){.amplitude = 0.01, .without = -1});
    cr_assert_not(got.settles);
    cr_assert(isnan(got.time_63) && isnan(got.time_95));
    cr_assert(got.instant > got.before);
    rig_close(&r);
}

/* A line that is held is a tank without end: the same time constant, and the pressure it had. */
Test(relaxation, a_step_beside_a_supply_comes_back_to_its_pressure) {
    rig r = rig_open("gas isothermal\n"
                     "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                     "spring bag load 431 kg profile piston height 158 mm rubber 29 N/mm\n"
                     "tank can volume 0.9 L\nsupply line pressure 4.9 bar\n"
                     "supply other pressure 4.9 bar\n"
                     "restrictor way from bag to line bore 2.7 mm cd 0.71\n"
                     "restrictor by from bag to can bore 1.3 mm\n"
                     "restrictor between from line to other bore 3 mm\n");
    const rates_answer *answer = rig_answer(&r, "rest", NULL);
    constants_answer constants;
    const double amplitude = 1e-10;
    const swung by = swung_by(&r, amplitude, 1.0);
    cr_assert_eq(constants_solve(&constants, r.arena, r.rates, by.swing, NULL), BARONET_OK);
    cr_assert_eq(constants.count, 2);
    const double moments[] = {5.0 * constants.constant[0].time, 6.0 * constants.constant[0].time};
    double force[2];
    const relaxation_answer small = step(&r, "one-wheel:bag",
                                         (relaxation_question){.amplitude = amplitude,
                                                               .without = -1,
                                                               .samples = 2,
                                                               .sample = moments,
                                                               .force = force});
    CHECK_REL((force[0] - small.end) / (force[1] - small.end), exp(1.0), 2e-2,
              "the slower of two exponentials");
    const relaxation_answer got =
        step(&r, "one-wheel:bag", (relaxation_question){.amplitude = 0.011, .without = -1});
    const double P = 4.9e5, V = answer->settled.node_volume[rig_node(&r, "bag")];
    CHECK_REL(got.before, got.end, 1e-9, "the line's pressure, and no carcass");
    CHECK_REL(got.instant - got.end, (P + 101325.0) * (V / (V - 83e-4 * 0.011) - 1.0) * 83e-4, 1e-9,
              "p V is kept at first");
    rig_close(&r);
}

/* A hair of a hole into a house: what takes longer than anybody waits has no time. */
Test(relaxation, what_never_settles_is_over_budget) {
    rig r = rig_open(bench, "isothermal", "bore 0.00001 mm");
    rig_answer(&r, "rest", NULL);
    const relaxation_answer got =
        step(&r, "one-wheel:bag", (relaxation_question){.amplitude = 0.01, .without = -1});
    cr_assert(got.settles);
    cr_expect_eq(got.problem.status, BARONET_OVER_BUDGET);
    cr_expect(isnan(got.time_95));
    rig_close(&r);
}

/* Parked it leaks into the open, and stands nowhere from which it could be stirred. */
Test(relaxation, without_a_standing_there_is_the_reason) {
    rig r =
        rig_open("gas isothermal\n"
                 "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                 "spring bag load 431 kg profile piston height 158 mm\n"
                 "solenoid out from bag to atmosphere normally closed bore 4 mm bypass 0.2 mm\n");
    rig_answer(&r, "rest", NULL);
    const relaxation_answer got =
        step(&r, "one-wheel:bag",
             (relaxation_question){.amplitude = 0.01, .without = -1, .parked = true});
    cr_expect_eq(got.problem.status, BARONET_FLAT);
    cr_expect_eq(got.problem.item, 0);
    cr_expect(isnan(got.time_63));
    rig_close(&r);
}

Test(relaxation, a_step_off_the_profile_names_the_spring) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    const relaxation_answer got =
        step(&r, "one-wheel:RR", (relaxation_question){.amplitude = 0.3, .without = -1});
    cr_assert_eq(got.problem.status, BARONET_OFF_PROFILE);
    cr_assert_eq(got.problem.item, rig_spring(&r, "rear-right-air"));
    cr_assert(got.problem.amount < -0.1);
    rig_close(&r);
}

Test(relaxation, an_edge_held_tight_is_the_state_without_it) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    const relaxation_answer linked =
        step(&r, "roll", (relaxation_question){.amplitude = 0.01, .without = -1, .dry = true});
    const relaxation_answer apart = step(
        &r, "roll",
        (relaxation_question){.amplitude = 0.01, .without = rig_edge(&r, "throttle"), .dry = true});
    CHECK_REL(apart.instant, linked.instant, 1e-15, "the same step");
    cr_assert(linked.end < apart.end, "less is left of it with the link");
    cr_assert(apart.time_95 < linked.time_95, "what is left is quick");
    rig_close(&r);
}

/* An implicit integrator of the tests' own over the whole network, with volumeless tees eliminated
   as algebraic equations: pressures and temperatures of all nodes, linearly implicit Euler steps
   extrapolated (Deuflhard, SIAM Review 27 (1985) 505; Hairer and Wanner, Solving Ordinary
   Differential Equations II, section IV.9), the Jacobian by differences. */
enum { MOST = 60, ORDER = 5 };

typedef struct other {
    const rig *rig;
    const double *shape;
    int nodes, node[MOST];              /* those with air in motion */
    int place[MOST];                    /* of a node of the network, -1 for none */
    double volume[MOST];                /* m3; 0: a tee */
    double start[2 * MOST];             /* Pa, K */
    double squeeze[MOST], height[MOST]; /* springs */
    double J[4 * MOST * MOST];
} other;

static void add_flow(const other *o, const double *y, const law *l, int a, int b, double *out) {
    const double c_p = 1.4 / 0.4 * GAS_CONSTANT;
    const double q =
        flow_at(l, (flow_side){y[2 * a], y[2 * a + 1]}, (flow_side){y[2 * b], y[2 * b + 1]}).mass;
    const double heat = q * c_p * (q >= 0.0 ? y[2 * a + 1] : y[2 * b + 1]);
    (void)o;
    out[2 * a] -= q;
    out[2 * b] += q;
    out[2 * a + 1] -= heat;
    out[2 * b + 1] += heat;
}

/* dp/dt and dT/dt of volumes from what they gain, and what is left over at tees. */
static void other_rate(const other *o, const double *y, double *rate) {
    const model *m = o->rig->model;
    const bool *open = rates_open(o->rig->rates);
    const double c_v = GAS_CONSTANT / 0.4, wall = m->ambient.temperature;
    memset(rate, 0, 2 * (size_t)o->nodes * sizeof *rate);
    for (int i = 0; i < m->network.edges; i++) {
        const edge *e = &m->network.edge[i];
        const int a = o->place[e->from], b = o->place[e->to];
        if (!network_joins(&m->network, i, open, false) || a < 0 || b < 0)
            continue;
        if (e->air >= 0) {
            law half = e->path;
            half.length = 0.5 * e->path.length;
            half.fittings = 0.5 * (1.5 + e->path.fittings) - 1.5;
            add_flow(o, y, &half, a, o->place[e->air], rate);
            add_flow(o, y, &half, o->place[e->air], b, rate);
        } else {
            add_flow(o, y, &e->path, a, b, rate);
        }
    }
    for (int k = 0; k < o->nodes; k++) {
        const double p = y[2 * k], T = y[2 * k + 1], V = o->volume[k];
        if (V > 0.0) {
            const double mass = p * V / (GAS_CONSTANT * T), gain = rate[2 * k];
            const double heat =
                rate[2 * k + 1] -
                (m->gas.kind == GAS_THERMAL ? mass * c_v * (T - wall) / m->gas.tau : 0.0);
            rate[2 * k] = 0.4 * heat / V;
            rate[2 * k + 1] = (heat - c_v * T * gain) / (c_v * mass);
        } else {
            /* A tee that nothing flows through takes the walls' temperature. */
            rate[2 * k + 1] += 1e-5 * (wall - T);
        }
    }
}

static void other_jacobian(other *o, const double *y) {
    const int n = 2 * o->nodes;
    double moved[2 * MOST], up[2 * MOST], down[2 * MOST];
    memcpy(moved, y, (size_t)n * sizeof *y);
    for (int j = 0; j < n; j++) {
        const double by = 2e-9 * y[j];
        moved[j] = y[j] + by;
        other_rate(o, moved, up);
        moved[j] = y[j] - by;
        other_rate(o, moved, down);
        moved[j] = y[j];
        for (int i = 0; i < n; i++) {
            o->J[i * n + j] = (up[i] - down[i]) / (2.0 * by);
        }
    }
}

/* So many linearly implicit Euler steps with one Jacobian. */
static void euler(const other *o, const double *y, double step_size, int count, double *out) {
    const int n = 2 * o->nodes;
    double matrix[4 * MOST * MOST], f[2 * MOST];
    const double h = step_size / count;
    memcpy(out, y, (size_t)n * sizeof *y);
    for (int s = 0; s < count; s++) {
        for (int i = 0; i < n; i++) {
            for (int j = 0; j < n; j++) {
                const bool own = i == j && o->volume[i / 2] > 0.0;
                matrix[i * n + j] = (own ? 1.0 : 0.0) - h * o->J[i * n + j];
            }
        }
        other_rate(o, out, f);
        for (int i = 0; i < n; i++) {
            f[i] *= h;
        }
        const bool solved = dense_solve(n, matrix, 1, f) == BARONET_OK;
        for (int i = 0; i < n; i++) {
            out[i] = solved ? out[i] + f[i] : (double)NAN;
        }
    }
}

/* One extrapolated step; the error in parts of what the step's air is disturbed by. */
static double other_step(const other *o, const double *y, double step_size, double *next) {
    const int n = 2 * o->nodes;
    static double table[ORDER][ORDER][2 * MOST];
    for (int j = 0; j < ORDER; j++) {
        euler(o, y, step_size, j + 1, table[j][0]);
        for (int k = 0; k < j; k++) {
            const double ratio = (j + 1.0) / (j - k);
            for (int i = 0; i < n; i++) {
                table[j][k + 1][i] =
                    table[j][k][i] + (table[j][k][i] - table[j - 1][k][i]) / (ratio - 1.0);
            }
        }
    }
    double error = 0.0;
    for (int i = 0; i < n; i++) {
        next[i] = table[ORDER - 1][ORDER - 1][i];
        if (o->volume[i / 2] > 0.0) {
            error = fmax(error, fabs(next[i] - table[ORDER - 1][ORDER - 2][i]) / fabs(next[i]));
        }
        error = isfinite(next[i]) && next[i] > 0.0 ? error : 1.0;
    }
    return error;
}

static double other_force(const other *o, const double *y) {
    const vehicle *v = &o->rig->model->vehicle;
    double sum = 0.0;
    for (int i = 0; i < v->springs; i++) {
        const double P = y[2 * o->place[v->spring[i].node]] - o->rig->model->ambient.pressure;
        sum += o->squeeze[i] * profile_at(&v->profile[v->spring[i].profile], o->height[i], P).load;
    }
    return sum;
}

static void other_start(other *o, double amplitude) {
    const model *m = o->rig->model;
    const state_standing *s = &rates_result(o->rig->rates)->settled;
    for (int i = 0; i < m->network.nodes; i++) {
        const node *one = &m->network.node[i];
        o->place[i] = -1;
        if (one->kind == NODE_ATMOSPHERE || one->kind == NODE_SUPPLY)
            continue;
        const int k = o->place[i] = o->nodes++;
        cr_assert(o->nodes <= MOST);
        o->volume[k] = s->node_volume[i];
        o->start[2 * k] = s->node_pressure[i];
        o->start[2 * k + 1] = m->ambient.temperature;
    }
    double most = 0.0;
    for (int c = 0; c < m->vehicle.corners; c++) {
        most = fabs(o->shape[c]) > fabs(most) ? o->shape[c] : most;
    }
    for (int i = 0; i < m->vehicle.springs; i++) {
        const spring *one = &m->vehicle.spring[i];
        for (int k = 0; k < one->levers; k++) {
            o->squeeze[i] += one->lever[k].ratio * o->shape[one->lever[k].corner] / most;
        }
        const int k = o->place[one->node];
        o->height[i] = s->spring_height[i] - amplitude * o->squeeze[i];
        const double V = profile_at(&m->vehicle.profile[one->profile], o->height[i],
                                    o->start[2 * k] - m->ambient.pressure)
                             .volume;
        o->start[2 * k] *= pow(o->volume[k] / V, 1.4);
        o->start[2 * k + 1] *= pow(o->volume[k] / V, 0.4);
        o->volume[k] = V;
    }
}

/* When the force has fallen to a value, by bisection of the step in which it does. */
static double other_time(other *o, double *t, double *y, double *size, double wanted) {
    double next[2 * MOST];
    for (;;) {
        other_jacobian(o, y);
        double error = other_step(o, y, *size, next);
        while (error > 1e-9) {
            cr_assert(*size > 1e-14, "stuck at %g s", *t);
            *size *= fmax(0.1, 0.8 * pow(1e-9 / error, 1.0 / ORDER));
            error = other_step(o, y, *size, next);
        }
        if (other_force(o, next) <= wanted) {
            break;
        }
        *t += *size;
        memcpy(y, next, 2 * (size_t)o->nodes * sizeof *y);
        *size *= fmin(2.5, 0.8 * pow(1e-9 / (error + 1e-30), 1.0 / ORDER));
    }
    double low = 0.0, high = *size;
    for (int k = 0; k < 30; k++) {
        const double middle = 0.5 * (low + high);
        other_step(o, y, middle, next);
        *(other_force(o, next) <= wanted ? &high : &low) = middle;
    }
    return *t + low;
}

static void compare_with_other(const char *state, const char *name) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, state, NULL);
    course_list courses;
    cr_assert_eq(course_all(&courses, r.arena, r.rates), BARONET_OK);
    static other o;
    memset(&o, 0, sizeof o);
    o.rig = &r;
    o.shape = course_find(&courses, name)->shape;
    const relaxation_answer got =
        ask(&r, (relaxation_question){.shape = o.shape, .amplitude = 0.01, .without = -1});
    other_start(&o, 0.01);
    double y[2 * MOST], t = 0.0, size = 1e-7;
    memcpy(y, o.start, sizeof y);
    CHECK_REL(other_force(&o, y), got.instant, 1e-12, "the same step");
    const double way = got.end - got.instant;
    CHECK_REL(got.time_63, other_time(&o, &t, y, &size, got.instant + RELAXATION_63 * way), 2e-5,
              "extrapolated implicit Euler, tees eliminated");
    CHECK_REL(got.time_95, other_time(&o, &t, y, &size, got.instant + RELAXATION_95 * way), 2e-5,
              "extrapolated implicit Euler, tees eliminated");
    rig_close(&r);
}

Test(relaxation, another_integrator_agrees_on_the_linked_van) {
    compare_with_other("easy", "roll");
}

Test(relaxation, another_integrator_agrees_on_the_firm_van) {
    compare_with_other("firm", "heave");
}

Test(relaxation, every_refusal_of_memory_is_survived) {
    rig r = rig_open(bench, "adiabatic", "bore 3 mm");
    rig_answer(&r, "rest", NULL);
    failing f;
    static const double shape[1] = {1.0};
    const relaxation_question q = {.shape = shape, .amplitude = 0.01, .without = -1};
    for (size_t k = 1;; k++) {
        relaxation_answer answer;
        const baronet_status status = relaxation_solve(r.rates, &q, &answer, failing_start(&f, k));
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
    rig_close(&r);
}
