/* SPDX-License-Identifier: MIT */
#include "studies/balance.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
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

static void check_laws(const twin *t, rig *r, const twin_state *state, const load_case *with) {
    (void)t;
    const rates_answer *const answer = rig_answer_for(r, state->name, with);
    const bool *const open = r->model->state[rig_state(r, state->name)].open;
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
    fleet_each_case(check_laws);
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
    fleet_each_case(check_twin);
}

/* Steel alone, so that all is linear: two corners whose coils carry the whole of their loads. */
static rig open_steel(const char *line, const char *tyres) {
    return rig_open(
        "%scorner Left at 0 m 0.83 m load 4100 N unsprung 31 kg coil 37 N/mm %s axle one\n"
        "corner Right at 0 m -0.71 m load 5200 N unsprung 33 kg coil 41 N/mm %s axle one\n"
        "tank can volume 1 L pressure 2 bar\n"
        "case off Left 60 kg Right 15 kg\n",
        line, tyres, tyres);
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

static double condition_of(rig *r) {
    double condition;
    cr_assert_eq(balance_condition(rates_balance(r->rates, false), &condition), BARONET_OK);
    return condition;
}

Test(balance, the_condition_is_what_errors_of_whole_loads_move) {
    /* Rise and lean about the middle of the axle, by Cramer's rule, down to a body that hardly
       stands. */
    const double y = 0.77, left = 4100.0 - 31.0 * g, right = 5200.0 - 33.0 * g;
    const double a11 = 78e3, a12 = y * (37e3 - 41e3), tips = y * y * 78e3 - a12 * a12 / a11;
    for (double part = 1.0; part > 1e-4; part *= 0.13) {
        const double arm = (1.0 - part) * tips / (left + right);
        char line[96];
        (void)snprintf(line, sizeof line, "vehicle cg-height %.17g m roll-axis 0.21 m\n",
                       0.21 + arm);
        rig r = open_steel(line, "");
        rig_answer(&r, NULL, NULL);
        const double a22 = y * y * 78e3 - (left + right) * arm;
        const double F = left + right, M = y * (left + right), D = a11 * a22 - a12 * a12;
        const double rise = (a22 * F + fabs(a12) * M) / D, lean = (fabs(a12) * F + a11 * M) / D;
        CHECK_REL(condition_of(&r), fmax(rise, lean), 1e-9, "Cramer's rule");
        rig_close(&r);
    }
}

/* How far (m, rad or 100 kPa) a small change of loads moves what moves most. */
static double moved_by(const state_standing *from, const state_standing *to, const model *m) {
    double most = fmax(fabs(to->lean - from->lean), fabs(to->rake - from->rake));
    for (int c = 0; c < m->vehicle.corners; c++)
        most = fmax(most, fabs(to->height_shift[c] - from->height_shift[c]) / 4.0);
    for (int i = 0; i < m->network.nodes; i++)
        most = fmax(most, fabs(to->node_pressure[i] - from->node_pressure[i]) / 1e5);
    return most;
}

Test(balance, small_errors_of_loads_move_no_more_than_the_condition_says) {
    const double part = 1e-6;
    for (int i = 0; i < FLEET; i++) {
        rig r = twin_open(fleet[i]), other = twin_open(fleet[i]);
        for (int k = 0; k < fleet[i]->states; k++) {
            const char *const name = fleet[i]->state[k].name;
            const state_standing *const from = &rig_answer(&r, name, NULL)->settled;
            const double condition = condition_of(&r);
            cr_assert(condition > 0.01 && condition < 1e3, "%s: %g", name, condition);
            for (int way = 0; way < 4; way++) {
                double mass[TWIN_CORNERS];
                for (int c = 0; c < twin_corners(fleet[i]); c++)
                    mass[c] = part * (c & way ? -1.0 : 1.0) *
                              (c < fleet[i]->wheels ? fleet[i]->corner[c].load
                                                    : fleet[i]->spring[c].load) /
                              g;
                const load_case with = {.name = "error", .mass = mass};
                const double got =
                    moved_by(from, &rig_answer_for(&other, name, &with)->settled, r.model);
                cr_assert_leq(got, 1.5 * part * condition, "%s: %g of %g", name, got / part,
                              condition);
            }
        }
        rig_close(&r);
        rig_close(&other);
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

#define SIDES                                                                                      \
    "ambient pressure 99 kPa temperature 20 C\n"                                                   \
    "profile piston area 121 cm2 volume 1.9 L at 150 mm\n"                                         \
    "profile bag volume 2.2 L at 160 mm\n"                                                         \
    "  height mm  area cm2\n  110 153\n  150 141\n  180 132\n  230 117\n"                          \
    "profile horn volume 2.2 L at 160 mm\n  height mm  area cm2\n  110 113\n  230 149\n"
#define PAIR(type)                                                                                 \
    "corner Left at 0 m 0.8 m load 4810 N axle one\n"                                              \
    "corner Right at 0 m -0.8 m load 4570 N axle one\n"                                            \
    "spring a on Left ratio 0.9 profile " type " height 150 mm\n"                                  \
    "spring b on Right ratio 0.9 profile " type " height 150 mm\n"                                 \
    "solenoid cross from a to b normally closed bore 5 mm\n"                                       \
    "solenoid dump from a to atmosphere normally closed bore 5 mm\n"                               \
    "solenoid feed from b to line normally closed bore 5 mm\n"                                     \
    "supply line pressure 8 bar\n"                                                                 \
    "state apart shut cross\nstate linked open cross\nstate down open dump\n"                      \
    "state both open dump cross feed\nstate fed open feed\n"
#define ON_A_LINE(type)                                                                            \
    "spring s profile " type " height 150 mm load 4200 N\nsupply line pressure 3 bar\n"            \
    "solenoid feed from line to s normally closed bore 5 mm\nstate shut shut feed\n"               \
    "state fed open feed\n"

#define ON_A_VACUUM                                                                                \
    "corner Q at 0 m 0.8 m load 4310 N unsprung 31 kg coil 110 N/mm carries 1040 N\n"              \
    "spring s on Q ratio 0.9 profile piston height 150 mm\nsupply pump pressure 90 kPaa\n"         \
    "solenoid draw from s to pump normally closed bore 5 mm\nstate up shut draw\n"                 \
    "state drawn open draw\n"
/* Masses on a bench, each on a spring of its own. */
#define TWO(type, load)                                                                            \
    "spring a profile " type " height 150 mm load 4200 N\n"                                        \
    "spring b profile " type " height 150 mm load " load " N\n"                                    \
    "solenoid cross from a to b normally closed bore 5 mm\n"                                       \
    "state apart shut cross\nstate linked open cross\n"
#define BESIDE(tyre)                                                                               \
    "corner Q at 0 m 0.8 m load 4310 N " tyre "\nspring a on Q profile piston height 150 mm\n"     \
    "spring b profile piston height 150 mm load 4310 N\n"                                          \
    "solenoid cross from a to b normally closed bore 5 mm\n"                                       \
    "state apart shut cross\nstate linked open cross\n"

typedef struct failure {
    const char *what, *netlist, *state, *load_case;
    baronet_status status;
    int item;
} failure;

static const failure failures[] = {
    {"linked pistons and no bar", SIDES PAIR("piston"), "linked", NULL, BARONET_NEUTRAL,
     MOTION_ROLL},
    {"a high body on soft sides", "vehicle cg-height 4.9 m roll-axis 0.1 m\n" SIDES PAIR("piston"),
     "apart", NULL, BARONET_UNSTABLE, MOTION_ROLL},
    {"linked springs that lose area in bump", SIDES PAIR("horn"), "linked", NULL, BARONET_UNSTABLE,
     MOTION_ROLL},
    {"a side let down", SIDES PAIR("bag"), "down", NULL, BARONET_FLAT, 0},
    {"a supply that leads to the open air", SIDES PAIR("bag"), "both", NULL, BARONET_TWO_SOURCES,
     0},
    {"a piston on a line", SIDES ON_A_LINE("piston"), "fed", NULL, BARONET_NEUTRAL, -1},
    {"a spring on a line that loses area in bump", SIDES ON_A_LINE("horn"), "fed", NULL,
     BARONET_UNSTABLE, -1},
    {"a spring that is drawn empty", SIDES ON_A_VACUUM, "drawn", NULL, BARONET_FLAT, 0},
    {"two linked pistons on a bench", SIDES TWO("piston", "4200"), "linked", NULL, BARONET_NEUTRAL,
     -2},
    {"the same under unlike loads", SIDES TWO("piston", "4310"), "linked", NULL, BARONET_NEUTRAL,
     -2},
    {"two linked springs on a bench that lose area in bump", SIDES TWO("horn", "4200"), "linked",
     NULL, BARONET_UNSTABLE, -2},
    {"a vehicle's piston linked to one on a bench", SIDES BESIDE(""), "linked", NULL,
     BARONET_NEUTRAL, -2},
    {"the same on a tyre", SIDES BESIDE("tyre 210 N/mm"), "linked", NULL, BARONET_NEUTRAL, -2},
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

Test(balance, two_sources_are_named_by_their_nodes) {
    rig r = rig_open(SIDES PAIR("bag"));
    cr_assert_eq(rig_solve(&r, "both", NULL), BARONET_TWO_SOURCES);
    cr_assert_eq(r.problem.item, rig_node(&r, "atmosphere"));
    cr_assert_eq(r.problem.other, rig_node(&r, "line"));
    rig_close(&r);
}

Test(balance, a_body_that_tips_on_its_tyres_is_unstable) {
    /* Coils of 37 and 41 N/mm hold 4.2 m of height on rigid tyres (K = 46 kN m/rad against
       m g h = 36), but not on tyres of 60 N/mm (K = 28). */
    static const char *const tall = "vehicle cg-height 4.4 m roll-axis 0.2 m\n";
    rig r = open_steel(tall, "");
    cr_assert_eq(rig_solve(&r, NULL, "off"), BARONET_OK);
    rig_close(&r);
    r = open_steel(tall, "tyre 60 N/mm");
    cr_assert_eq(rig_solve(&r, NULL, "off"), BARONET_UNSTABLE);
    cr_assert_eq(r.problem.item, MOTION_ROLL);
    rig_close(&r);
}

Test(balance, a_wheel_that_lifts_is_named_with_what_is_missing) {
    rig r = open_steel("", "");
    double mass[TWIN_CORNERS] = {-430.0, 410.0};
    const load_case over = {.name = "over", .mass = mass};
    cr_assert_eq(rig_solve_for(&r, NULL, &over), BARONET_WHEEL_LIFTS);
    cr_assert_eq(r.problem.item, 0);
    CHECK_REL(r.problem.amount, 4100.0 - 430.0 * g, 1e-8, "statics: two wheels share by levers");
    rig_close(&r);
}

/* Beyond its table the bag keeps its end's area, so that where it would stand follows by hand. */
Test(balance, a_spring_off_its_profile_is_named_with_how_far) {
    rig r = rig_open(SIDES PAIR("bag"));
    double mass[TWIN_CORNERS] = {390.0, 20.0};
    const load_case more = {.name = "more", .mass = mass};
    cr_assert_eq(rig_solve_for(&r, "apart", &more), BARONET_OFF_PROFILE);
    cr_assert_eq(r.problem.item, 0);
    /* Areas fall by 0.3 cm2 a mm, a straight line: 153 at 110, 150 at 120 ... 117 at 230. */
    const double at_150 = 2.2e-3 - 0.01 * 0.01395, at_110 = at_150 - 0.04 * 0.0147;
    const double amount = (4810.0 / 0.9 / 0.0141 + 99000.0) * at_150;
    const double p = (4810.0 + 390.0 * g) / 0.9 / 0.0153 + 99000.0;
    CHECK_REL(r.problem.amount, (amount / p - at_110) / 0.0153, 1e-6, "p V and statics by hand");
    CHECK_REL(r.problem.wanted, 0.11 + r.problem.amount, 1e-9, "the height itself");
    rig_close(&r);
}

Test(balance, a_spring_that_goes_slack_is_named_with_its_pressure) {
    /* A coil carries most of a corner; a piston helps it. Once unloaded the coil lifts the body
       until the piston sucks. */
    rig r = rig_open("ambient pressure 99 kPa temperature 20 C\n"
                     "profile piston area 121 cm2 volume 1.9 L at 150 mm\n"
                     "corner Q at 0 m 0.8 m load 4310 N coil 11 N/mm carries 4040 N\n"
                     "spring s on Q ratio 0.9 profile piston height 150 mm\n"
                     "case less Q -103 kg\n");
    cr_assert_eq(rig_solve(&r, NULL, "less"), BARONET_SLACK);
    cr_assert_eq(r.problem.item, 0);
    const double amount = (270.0 / 0.9 / 0.0121 + 99000.0) * 1.9e-3;
    double low = 0.0, high = 0.2, P = 0.0;
    for (int k = 0; k < 100; k++) {
        const double rise = 0.5 * (low + high);
        P = amount / (1.9e-3 + 0.0121 * 0.9 * rise) - 99000.0;
        *(4040.0 - 11e3 * rise + 0.9 * 0.0121 * P > 4310.0 - 103.0 * g ? &low : &high) = rise;
    }
    cr_assert_lt(P, -1e3);
    CHECK_REL(r.problem.amount, P, 1e-7, "bisection");
    rig_close(&r);
}

Test(balance, a_flat_side_with_something_else_to_stand_on_is_an_answer) {
    /* Open to the air a spring carries nothing at any height; a coil holds the corner. */
    rig r =
        rig_open("ambient pressure 99 kPa temperature 20 C\n"
                 "profile piston area 121 cm2 volume 1.9 L at 150 mm\n"
                 "corner Q at 0 m 0.8 m load 4310 N unsprung 31 kg coil 110 N/mm carries 1040 N\n"
                 "spring s on Q ratio 0.9 profile piston height 150 mm\n"
                 "solenoid dump from s to atmosphere normally closed bore 5 mm\n"
                 "state up shut dump\nstate down open dump\n");
    const rates_answer *const answer = rig_answer(&r, "down", NULL);
    const double held = 4310.0 - 31.0 * g - 1040.0;
    CHECK_REL(answer->settled.travel[0], held / 110e3, 1e-10, "Hooke");
    CHECK_REL(answer->settled.node_pressure[rig_node(&r, "s")], 99000.0, 0.0, "ambient");
    CHECK_ABS(answer->settled.spring_load[0], 0.0, 1e-9, "nothing");
    CHECK_REL(answer->level[LEVEL_SETTLED].wheel_rate[0], 110e3, 1e-12, "the coil");
    rig_close(&r);
}

/* The coil gives way by 185 mm. What a table goes on to has no air left 95 mm down; a piston has no
   table to go on: its 1.9 L of 121 cm2 end 157 mm down. */
Test(balance, a_flat_spring_cannot_be_pressed_to_less_than_nothing) {
    static const char *const bags[] = {
        "profile bag volume 1.15 L at 150 mm\n height mm area cm2\n 130 121\n 170 121\n",
        "profile bag area 121 cm2 volume 1.9 L at 150 mm\n"};
    for (size_t k = 0; k < sizeof bags / sizeof *bags; k++) {
        rig r = rig_open("%scorner Q at 0 m 0.8 m load 4310 N unsprung 31 kg coil 16 N/mm "
                         "carries 1040 N\n"
                         "spring s on Q ratio 0.9 profile bag height 150 mm\n"
                         "solenoid dump from s to atmosphere normally closed bore 5 mm\n"
                         "state up shut dump\nstate down open dump\n",
                         bags[k]);
        cr_assert_eq(rig_solve(&r, "down", NULL), BARONET_FLAT, "%s", bags[k]);
        cr_expect_eq(r.problem.item, 0);
        rig_close(&r);
    }
}

Test(balance, volumes_that_are_joined_without_a_spring_even_out) {
    /* A tank with air opened to an empty pipe whose tees have no volume of their own. */
    rig r =
        rig_open("ambient pressure 99 kPa temperature 20 C\n"
                 "profile piston area 121 cm2 volume 1.9 L at 150 mm\n"
                 "spring s profile piston height 150 mm load 4200 N\n"
                 "tank full volume 2.3 L pressure 6.1 bar\n"
                 "tank low volume 1.1 L pressure 1.7 bar\n"
                 "tee near\ntee far\n"
                 "solenoid one from full to near normally closed bore 5 mm\n"
                 "solenoid two from near to far normally closed bore 5 mm\n"
                 "solenoid three from far to low normally closed bore 5 mm\n"
                 "state shut shut one\nstate half open one two\nstate open open one two three\n");
    const rates_answer *answer = rig_answer(&r, "half", NULL);
    const double *p = answer->settled.node_pressure;
    CHECK_REL(p[rig_node(&r, "near")], 6.1e5 + 99000.0, 1e-13, "that of the tank");
    CHECK_REL(p[rig_node(&r, "far")], 6.1e5 + 99000.0, 1e-13, "that of the tank");
    answer = rig_answer(&r, "open", NULL);
    p = answer->settled.node_pressure;
    const double mean = (6.1e5 * 2.3 + 1.7e5 * 1.1) / 3.4 + 99000.0;
    CHECK_REL(p[rig_node(&r, "near")], mean, 1e-13, "p V");
    CHECK_REL(p[rig_node(&r, "low")], mean, 1e-13, "p V");
    laws_of_groups(&r, &answer->settled, r.model->state[rig_state(&r, "open")].open, false);
    rig_close(&r);
}

/* Three springs on one air, two of which lose area on both sides of where they were built. */
Test(balance, what_is_not_found_is_told) {
    rig r = rig_open("gas isothermal\nprofile p area 81 cm2 volume 1.59 L at 160 mm\n"
                     "profile q volume 2.14 L at 160 mm\n height mm area cm2\n"
                     " 125 101\n 155 148\n 165 158\n 203 100\n"
                     "corner A at 0 m 0.8 m load 251 kg coil 33.3 N/mm carries 32 kg\n"
                     "corner B at 0 m -0.75 m load 393 kg coil 11.1 N/mm carries 11 kg\n"
                     "corner C at -2.1 m 0.7 m load 319 kg coil 3.2 N/mm carries 5 kg\n"
                     "spring a on A ratio 0.76 profile q height 155 mm\n"
                     "spring b on B ratio 0.95 profile p height 163 mm\n"
                     "spring c on C ratio 0.88 profile q height 163 mm\n"
                     "restrictor x from a to b bore 4 mm\nrestrictor y from b to c bore 4 mm\n");
    cr_assert_eq(rig_solve(&r, NULL, NULL), BARONET_NOT_CONVERGED);
    cr_expect_eq(r.problem.item, -1);
    cr_expect(r.problem.amount > 1e-9 && isfinite(r.problem.amount), "how far it came: %g",
              r.problem.amount);
    rig_close(&r);
}

/* Newton's method takes three or four steps, five where a stop is met; a wrong derivative would
   take more. */
static void check_steps(const twin *t, rig *r, const twin_state *state, const load_case *with) {
    const balance_account *const account = &rig_answer_for(r, state->name, with)->settled.account;
    cr_assert_leq(account->iterations, t == &fleet_pickup ? 6 : 5, "%d steps", account->iterations);
    cr_assert_leq(account->residual, 1e-12);
}

Test(balance, settles_in_a_few_steps) {
    fleet_each_case(check_steps);
}
