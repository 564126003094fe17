/* SPDX-License-Identifier: MIT */
#include "studies/balance.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "studies/fleet.h"
#include "studies/laws.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */

/* The charged standing of a rig in a form that laws_of_air takes; freed by the caller. */
static double *charged_air(const rig *r, state_standing *out) {
    const int nodes = r->model->network.nodes;
    double *const air = malloc((size_t)nodes * sizeof *air);
    cr_assert(air != NULL);
    for (int i = 0; i < nodes; i++)
        air[i] = r->charge->node_amount[i] / (287.053072047065 * r->model->ambient.temperature);
    *out = (state_standing){.given = true, .node_air = air};
    return air;
}

static void check_standings(rig *r, const char *state, const load_case *with) {
    const rates_answer *const answer = rig_answer_for(r, state, with);
    const bool *const open = r->model->state[rig_state(r, state)].open;
    state_standing charged;
    double *const air = charged_air(r, &charged);
    laws_of_forces(r, &answer->settled, with);
    laws_of_groups(r, &answer->settled, open, false);
    laws_of_air(r, &charged, &answer->settled, open, false);
    if (answer->parked.given) {
        laws_of_forces(r, &answer->parked, with);
        laws_of_groups(r, &answer->parked, open, true);
        laws_of_air(r, &answer->settled, &answer->parked, open, true);
    }
    free(air);
}

Test(balance, the_fleet_stands_by_the_laws_of_statics_and_keeps_its_air) {
    for (int i = 0; i < FLEET; i++) {
        rig r = twin_open(fleet[i]);
        for (int k = 0; k < fleet[i]->states * FLEET_CASES; k++) {
            double mass[TWIN_CORNERS];
            const load_case with = fleet_case(fleet[i], k % FLEET_CASES, mass);
            check_standings(&r, fleet[i]->state[k / FLEET_CASES].name, &with);
        }
        rig_close(&r);
    }
}

/* The loads of the answer against the twin's own profiles, levers, steel and pressures. */
static void check_twin(const twin *t, rig *r, const twin_state *state, const load_case *with) {
    const rates_answer *const answer = rig_answer_for(r, state->name, with);
    const twin_air air = twin_air_of(t, r, &state->settled, &answer->settled);
    double force[TWIN_CORNERS];
    twin_force(t, &air, 1.0, answer->settled.travel, force);
    for (int c = 0; c < twin_corners(t); c++) {
        const double unsprung = c < t->wheels ? t->corner[c].unsprung * g : 0.0;
        CHECK_REL(answer->settled.load[c], force[c] + unsprung, 1e-9, "the twin's own force");
    }
}

Test(balance, the_fleet_s_loads_are_those_of_its_twins) {
    for (int i = 0; i < FLEET; i++) {
        rig r = twin_open(fleet[i]);
        for (int k = 0; k < fleet[i]->states * FLEET_CASES; k++) {
            double mass[TWIN_CORNERS];
            const load_case with = fleet_case(fleet[i], k % FLEET_CASES, mass);
            check_twin(fleet[i], &r, &fleet[i]->state[k / FLEET_CASES], &with);
        }
        rig_close(&r);
    }
}

/* Steel alone, so that all is linear: two corners whose coils carry the whole of their loads. */
static rig open_steel(const char *body, const char *tyres) {
    return rig_open("%scorner Left at 0 m 0.83 m load 4100 N unsprung 31 kg coil 37 N/mm %s axle one\n"
                    "corner Right at 0 m -0.71 m load 5200 N unsprung 33 kg coil 41 N/mm %s axle one\n"
                    "tank can volume 1 L pressure 2 bar\n"
                    "case off Left 60 kg Right 15 kg\n",
                    body, tyres, tyres);
}

typedef struct lean_case {
    const char *body, *tyres;
    double arm, tyre;
} lean_case;

static const lean_case leans[] = {
    {"", "", 0.0, 0.0},
    {"vehicle cg-height 0.93 m roll-axis 0.21 m\n", "", 0.72, 0.0},
    {"", "tyre 210 N/mm", 0.0, 2.1e5},
    {"vehicle cg-height 0.93 m roll-axis 0.21 m\n", "tyre 210 N/mm", 0.72, 2.1e5},
};

Test(balance, a_lean_is_that_of_the_couple_over_the_stiffness_less_gravity) {
    for (size_t i = 0; i < sizeof leans / sizeof *leans; i++) {
        rig r = open_steel(leans[i].body, leans[i].tyres);
        const double soft = leans[i].tyre > 0.0 ? 1.0 / leans[i].tyre : 0.0;
        const double kl = 1.0 / (1.0 / 37e3 + soft), kr = 1.0 / (1.0 / 41e3 + soft);
        /* Rise z at y = 0 and lean a: forces -k (z + y a) over the charged ones; the body's weight
           adds m g h a to the moments. Two equations by Cramer's rule. */
        const double W = 4100.0 + 5200.0 - 64.0 * g + 75.0 * g;
        const double F = -75.0 * g, M = 0.83 * -60.0 * g - 0.71 * -15.0 * g;
        const double a11 = kl + kr, a12 = 0.83 * kl - 0.71 * kr;
        const double a22 = 0.83 * 0.83 * kl + 0.71 * 0.71 * kr - W * leans[i].arm;
        const double lean = (a11 * M - a12 * F) / (a11 * a22 - a12 * a12);
        const double rise = (a22 * F - a12 * M) / (a11 * a22 - a12 * a12);
        const rates_answer *const answer = rig_answer(&r, NULL, "off");
        CHECK_REL(answer->settled.lean, lean, 1e-9, "Cramer's rule");
        const double left = -kl * (rise + 0.83 * lean);
        CHECK_REL(answer->settled.load[0], 4100.0 + left, 1e-9, "Hooke");
        CHECK_REL(answer->settled.travel[0], left / 37e3, 1e-9, "the coil's part of it");
        rig_close(&r);
    }
}

Test(balance, positive_lean_and_rake_are_those_of_iso_8855) {
    rig r = twin_open(&fleet_van);
    double mass[TWIN_CORNERS] = {90.0, 0.0, 90.0, 0.0};
    const load_case left = {.name = "left", .mass = mass};
    const double level_lean = rig_answer(&r, "apart", NULL)->settled.lean;
    cr_assert_lt(rig_answer_for(&r, "apart", &left)->settled.lean, level_lean - 1e-3,
                 "the left goes down, and positive roll lifts it");
    mass[2] = 0.0;
    mass[1] = 90.0;
    const double level_rake = rig_answer(&r, "apart", NULL)->settled.rake;
    cr_assert_gt(rig_answer_for(&r, "apart", &left)->settled.rake, level_rake + 1e-3,
                 "the nose goes down, and positive pitch lowers it");
    rig_close(&r);
}

/* Slow loading on a closed path, through load cases on a circle: heights and loads at N points of
   it. The work of the springs is the sum of F dx, with dx by the trigonometric series through the
   points. */
enum { POINTS = 24 };

static void round_trip(const twin *t, const char *state, double force[][TWIN_CORNERS],
                       double travel[][TWIN_CORNERS]) {
    rig r = twin_open(t);
    for (int k = 0; k < POINTS; k++) {
        double mass[TWIN_CORNERS];
        const double angle = 6.283185307179586 * k / POINTS;
        for (int c = 0; c < t->wheels; c++)
            mass[c] = t->corner[c].load / g * 0.06 * cos(angle + 1.3 * c);
        const load_case with = {.name = "circle", .mass = mass};
        const rates_answer *const answer = rig_answer_for(&r, state, &with);
        memcpy(force[k], answer->settled.load, (size_t)t->wheels * sizeof(double));
        memcpy(travel[k], answer->settled.travel, (size_t)t->wheels * sizeof(double));
    }
    rig_close(&r);
}

/* Derivative of a periodic series at its points, for an even number of them (Trefethen, Spectral
   Methods in MATLAB, 2000, equation 3.9). */
static double periodic_slope(double travel[][TWIN_CORNERS], int c, int at) {
    double sum = 0.0;
    for (int k = 1; k < POINTS; k++) {
        const double h = 3.141592653589793 * k / POINTS;
        const int other = (at - k + POINTS) % POINTS;
        sum += 0.5 * (k % 2 == 0 ? 1.0 : -1.0) / tan(h) * travel[other][c];
    }
    return sum;
}

/* Work done round the circle, relative to the sum of its pieces' sizes. */
static double work_round(const twin *t, const char *state) {
    double force[POINTS][TWIN_CORNERS], travel[POINTS][TWIN_CORNERS];
    round_trip(t, state, force, travel);
    double work = 0.0, size = 0.0;
    for (int k = 0; k < POINTS; k++) {
        for (int c = 0; c < t->wheels; c++) {
            const double slope = periodic_slope(travel, c, k);
            work += (force[k][c] - t->corner[c].load) * slope;
            size += fabs((force[k][c] - t->corner[c].load) * slope);
        }
    }
    return work / size;
}

Test(balance, slow_loading_round_a_closed_path_does_no_work) {
    CHECK_ABS(work_round(&fleet_van, "apart"), 0.0, 1e-9, "isothermal air has an energy");
    CHECK_ABS(work_round(&fleet_van, "linked"), 0.0, 1e-9, "isothermal air has an energy");
    CHECK_ABS(work_round(&fleet_van, "paired"), 0.0, 1e-9, "isothermal air has an energy");
}

Test(balance, an_air_column_that_is_not_the_area_does_work_round_a_path) {
    /* So that the check above can fail: here area and breathing differ by 7 per cent. */
    cr_assert_gt(fabs(work_round(&fleet_trailer, "gentle")), 1e-5);
}

typedef struct failure {
    const char *what, *netlist, *state, *load_case;
    baronet_status status;
    int item;
    double amount; /* NAN: not looked at */
} failure;

#define SIDES                                                                                      \
    "ambient pressure 99 kPa temperature 20 C\n"                                                   \
    "profile piston area 121 cm2 volume 1.9 L at 150 mm\n"                                         \
    "profile bag volume 2.2 L at 160 mm\n"                                                         \
    "  height mm  area cm2\n  110 153\n  150 141\n  180 132\n  230 117\n"
#define PAIR(type)                                                                                 \
    "corner Left at 0 m 0.8 m load 4810 N axle one\ncorner Right at 0 m -0.8 m load 4570 N axle "  \
    "one\n"                                                                                        \
    "spring a on Left ratio 0.9 profile " type " height 150 mm\n"                                  \
    "spring b on Right ratio 0.9 profile " type " height 150 mm\n"                                 \
    "solenoid cross from a to b normally closed bore 5 mm\n"                                       \
    "solenoid dump from a to atmosphere normally closed bore 5 mm\n"                               \
    "solenoid feed from b to line normally closed bore 5 mm\n"                                     \
    "supply line pressure 8 bar\n"                                                                 \
    "state apart shut cross\nstate linked open cross\nstate down open dump\n"                      \
    "state both open dump cross feed\nstate fed open feed\n"

static const failure failures[] = {
    {"linked pistons and no bar", SIDES PAIR("piston"), "linked", NULL, BARONET_NEUTRAL,
     MOTION_ROLL, (double)NAN},
    {"a high body on soft sides",
     "vehicle cg-height 4.9 m roll-axis 0.1 m\n" SIDES PAIR("piston"), "apart", NULL,
     BARONET_UNSTABLE, MOTION_ROLL, (double)NAN},
    {"a side let down", SIDES PAIR("bag"), "down", NULL, BARONET_FLAT, 0, (double)NAN},
    {"a supply that leads to the open air", SIDES PAIR("bag"), "both", NULL, BARONET_TWO_SOURCES,
     0, (double)NAN},
    {"a load that no height holds", SIDES PAIR("bag") "case more Left 290 kg Right 290 kg\n",
     "apart", "more", BARONET_OFF_PROFILE, 1, (double)NAN},
    {"a load taken off the piston's whole travel",
     SIDES "spring s profile bag height 150 mm load 4200 N rubber 40 N/mm\ncase less s -421 kg\n",
     NULL, "less", BARONET_SLACK, 0, (double)NAN},
};

Test(balance, what_does_not_stand_is_named) {
    for (size_t i = 0; i < sizeof failures / sizeof *failures; i++) {
        const failure *const want = &failures[i];
        rig r = rig_open("%s", want->netlist);
        const baronet_status status = rig_solve(&r, want->state, want->load_case);
        cr_assert_eq(status, want->status, "%s: %s, item %d, amount %g", want->what,
                     baronet_status_text(status), r.problem.item, r.problem.amount);
        cr_assert_eq(r.problem.item, want->item, "%s: item %d", want->what, r.problem.item);
        rig_close(&r);
    }
}
