/* SPDX-License-Identifier: MIT */
#include "studies/caution.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/rig.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */

typedef struct found {
    rig rig;
    states_answer states;
    caution_list list;
} found;

static found look(rig r, const load_case *with) {
    found f = {.rig = r};
    cr_assert_eq(charge_solve(f.rig.charge, &f.rig.problem), BARONET_OK);
    cr_assert_eq(states_solve(&f.states, f.rig.charge, with, STATES_NAMED, 0, 0.0, NULL),
                 BARONET_OK);
    caution_find(&f.list, f.rig.charge, &f.states);
    cr_assert_not(f.list.failed);
    return f;
}

static void leave(found *f) {
    caution_free(&f->list);
    states_free(&f->states);
    rig_close(&f->rig);
}

/* The one caution of a kind, NULL where there is none; two fail the test. */
static const caution *only(const found *f, caution_kind kind) {
    const caution *one = NULL;
    for (size_t i = 0; i < f->list.count; i++) {
        if (f->list.caution[i].kind == kind) {
            cr_assert(one == NULL, "caution %d is there twice", (int)kind);
            one = &f->list.caution[i];
        }
    }
    return one;
}

static const caution *need(const found *f, caution_kind kind) {
    const caution *const one = only(f, kind);
    cr_assert(one != NULL, "caution %d is missing", (int)kind);
    return one;
}

#define GROUND "ambient pressure 99 kPa temperature 20 C\ngas adiabatic\n"
#define PISTON                                                                                     \
    "profile p area 119 cm2 volume 2.03 L at 164 mm\n"                                             \
    "spring s profile p load 5870 N height 164 mm rated %s\n"

Test(caution, nothing_is_said_where_there_is_nothing) {
    found f = look(rig_open(GROUND PISTON "tank can volume 1 L rated 9 bar\n"
                                          "restrictor x from s to can bore 4 mm cd 0.7\n",
                            "9 bar"),
                   NULL);
    cr_assert_eq(f.list.count, 0, "kind %d", f.list.count > 0 ? (int)f.list.caution[0].kind : -1);
    leave(&f);
}

Test(caution, a_pressure_above_a_rating_is_told_at_its_highest) {
    /* The tank is at 8 bar by itself, and at the spring's pressure once open. */
    found f =
        look(rig_open(GROUND PISTON "tank can volume 1 L pressure 8 bar rated 7.5 bar\n"
                                    "solenoid x from s to can normally closed bore 4 mm cd 0.7\n"
                                    "state shut shut x\nstate open open x\n",
                      "9 bar"),
             NULL);
    const caution *const one = need(&f, CAUTION_OVER_RATED);
    cr_assert_eq(one->item, rig_node(&f.rig, "can"));
    CHECK_REL(one->amount, 8e5, 1e-12, "its own pressure");
    CHECK_REL(one->limit, 7.5e5, 1e-14, "its rating");
    leave(&f);
}

Test(caution, a_case_that_passes_a_rating_is_told) {
    rig r = rig_open(GROUND PISTON "case more s 150 kg\n", "6 bar");
    found f = look(r, &r.model->load_case[0]);
    const caution *const one = need(&f, CAUTION_OVER_RATED);
    CHECK_REL(one->amount, (5870.0 + 150.0 * g) / 0.0119, 1e-9, "statics");
    leave(&f);
    f = look(rig_open(GROUND PISTON, "6 bar"), NULL);
    cr_assert(only(&f, CAUTION_OVER_RATED) == NULL, "4.9 bar is below 6");
    leave(&f);
}

Test(caution, parts_without_a_rating_are_counted) {
    found f = look(rig_open(GROUND PISTON "tank can volume 1 L\ntank two volume 1 L\n"
                                          "restrictor x from s to can bore 4 mm cd 0.7\n"
                                          "restrictor y from s to two bore 4 mm cd 0.7\n",
                            "9 bar"),
                   NULL);
    const caution *const one = need(&f, CAUTION_UNRATED);
    cr_assert_eq(one->item, rig_node(&f.rig, "can"));
    CHECK_REL(one->amount, 2.0, 0.0, "two tanks");
    leave(&f);
}

Test(caution, a_piloted_valve_without_its_difference_is_told) {
    /* The tank stands 0.21 bar above the spring while shut; the valve needs 0.3. */
    const double P = 5870.0 / 0.0119 + 21e3;
    found f =
        look(rig_open(GROUND PISTON "tank can volume 1 L pressure %.17g Pa rated 9 bar\n"
                                    "solenoid x from s to can normally closed bore 4 mm cd 0.7 "
                                    "opens-above 0.3 bar\nstate shut shut x\nstate open open x\n",
                      "9 bar", P),
             NULL);
    const caution *const one = need(&f, CAUTION_PILOT_STARVED);
    cr_assert_eq(one->item, rig_edge(&f.rig, "x"));
    cr_assert_str_eq(f.states.entry[one->state].name, "open");
    CHECK_REL(one->amount, 21e3, 1e-9, "what it sees");
    CHECK_REL(one->limit, 3e4, 1e-12, "what it needs");
    leave(&f);
    f = look(rig_open(GROUND PISTON "tank can volume 1 L pressure %.17g Pa rated 9 bar\n"
                                    "solenoid x from s to can normally closed bore 4 mm cd 0.7 "
                                    "opens-above 0.2 bar\nstate shut shut x\nstate open open x\n",
                      "9 bar", P),
             NULL);
    cr_assert(only(&f, CAUTION_PILOT_STARVED) == NULL, "0.21 bar are enough for 0.2");
    leave(&f);
}

Test(caution, a_piloted_valve_sees_what_stands_while_it_is_shut) {
    /* Open when charged, it was opened by the difference before that; shut then, by the one that
       the charged state left, which here is not that of the filling: `y` has let the spring down.
     */
    static const char *const charges[] = {"both", "one"};
    for (int i = 0; i < 2; i++) {
        found f = look(rig_open(GROUND "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                                       "corner Q at 0 m 0 m load 5.8 kN coil 60 N/mm carries 2 kN\n"
                                       "spring s on Q ratio 1 profile p height 164 mm rated 9 bar\n"
                                       "tank can volume 1 L pressure 3.4 bar rated 9 bar\n"
                                       "tank dip volume 2 L pressure 2.9 bar rated 9 bar\n"
                                       "solenoid x from s to can normally closed bore 4 mm cd 0.7 "
                                       "opens-above 2 bar\n"
                                       "solenoid y from s to dip normally closed bore 4 mm cd 0.7\n"
                                       "state both open x y\nstate one open y\ncharge in %s\n",
                                charges[i]),
                       NULL);
        const charge *const c = f.rig.charge;
        const double *const p = i == 0 ? c->filled_pressure : c->node_pressure;
        const double seen = fabs(p[rig_node(&f.rig, "can")] - p[rig_node(&f.rig, "s")]);
        CHECK_REL(need(&f, CAUTION_PILOT_STARVED)->amount, seen, 1e-12, charges[i]);
        if (i == 0)
            CHECK_REL(seen, 3.4e5 - 3800.0 / 0.0119, 1e-12, "the spring filled alone");
        else
            cr_assert_gt(fabs(seen - (3.4e5 - 3800.0 / 0.0119)), 1e3);
        leave(&f);
    }
}

Test(caution, a_valve_that_cannot_hold_reverse_flow_is_told) {
    static const char *const ways[] = {"from s to can", "from can to s"};
    for (int i = 0; i < 2; i++) {
        /* The tank is above the spring: behind the valve where the spring is its inlet. */
        found f =
            look(rig_open(GROUND PISTON "tank can volume 1 L pressure 7 bar rated 9 bar\n"
                                        "solenoid x %s normally closed bore 4 mm cd 0.7 one-way\n"
                                        "state shut shut x\nstate open open x\n",
                          "9 bar", ways[i]),
                 NULL);
        if (i == 0) {
            const caution *const one = need(&f, CAUTION_REVERSE);
            cr_assert_eq(one->item, rig_edge(&f.rig, "x"));
            cr_assert_str_eq(f.states.entry[one->state].name, "shut");
            CHECK_REL(one->amount, 7e5 - 5870.0 / 0.0119, 1e-9, "the difference behind it");
        } else {
            cr_assert(only(&f, CAUTION_REVERSE) == NULL);
        }
        leave(&f);
    }
}

Test(caution, a_spring_open_to_the_air_is_told) {
    found f =
        look(rig_open(GROUND "corner Q at 0 m 0.8 m load 4310 N coil 110 N/mm carries 1040 N\n"
                             "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                             "spring s on Q ratio 0.9 profile p height 150 mm rated 9 bar\n"
                             "solenoid dump from s to atmosphere normally closed bore 5 mm cd 0.7\n"
                             "state up shut dump\nstate down open dump\n"),
             NULL);
    const caution *const one = need(&f, CAUTION_FLAT);
    cr_assert_eq(one->item, 0);
    cr_assert_str_eq(f.states.entry[one->state].name, "down");
    leave(&f);
}

Test(caution, a_pressure_above_the_tests_is_told) {
    found f =
        look(rig_open(GROUND "profile house\n"
                             "  height mm load-2bar N load-4bar N volume L\n"
                             "  100 2400 4800 1.1\n  200 2400 4800 2.3\n"
                             "spring s profile house load 5870 N height 164 mm rated 9 bar\n"),
             NULL);
    const caution *const one = need(&f, CAUTION_ABOVE_TESTS);
    CHECK_REL(one->amount, 5870.0 / 0.012, 1e-9, "a proportion");
    CHECK_REL(one->limit, 4e5, 1e-14, "the last test");
    leave(&f);
}

Test(caution, a_corner_on_a_stop_is_told_with_its_side) {
    static const char *const masses[] = {"210", "-170"};
    for (int i = 0; i < 2; i++) {
        rig r = rig_open(GROUND
                         "tank can volume 1 L pressure 1 bar rated 2 bar\n"
                         "corner Q at 0 m 0.8 m load 4310 N coil 40 N/mm\n"
                         "  bump-stop at 31 mm rate 150 N/mm rebound-stop at 27 mm rate 130 N/mm\n"
                         "case more Q %s kg\n",
                         masses[i]);
        found f = look(r, &r.model->load_case[0]);
        const caution *const one = need(&f, CAUTION_ON_STOP);
        cr_assert_eq(one->item, 0);
        /* Beyond where the stop begins both rates act. */
        const double pressed = (210.0 * g - 40e3 * 0.031) / 190e3;
        const double rebound = (170.0 * g - 40e3 * 0.027) / 170e3;
        CHECK_REL(one->amount, i == 0 ? pressed : -rebound, 1e-9, "Hooke");
        leave(&f);
    }
}

Test(caution, what_linear_figures_take_as_shut_is_told) {
    found f = look(rig_open(GROUND PISTON "supply line pressure 8 bar\n"
                                          "check-valve v from line to s bore 4 mm cd 0.7\n",
                            "9 bar"),
                   NULL);
    cr_assert_eq(need(&f, CAUTION_COUNTS_SHUT)->item, rig_edge(&f.rig, "v"));
    leave(&f);
}

Test(caution, what_is_left_at_ambient_pressure_is_told) {
    found f =
        look(rig_open(GROUND PISTON "tee t volume 10 cm3\n"
                                    "solenoid x from s to t normally closed bore 4 mm cd 0.7\n",
                      "9 bar"),
             NULL);
    cr_assert_eq(need(&f, CAUTION_AT_AMBIENT)->item, rig_node(&f.rig, "t"));
    leave(&f);
}

Test(caution, assumptions_are_told) {
    found f =
        look(rig_open("corner A at 1 m 0.8 m load 4310 N\ncorner B at 1 m -0.7 m load 4110 N\n"
                      "corner C at -1 m 0.1 m load 5110 N\n"
                      "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                      "spring a on A ratio 0.9 profile p height 150 mm rated 9 bar\n"
                      "spring b on B ratio 0.9 profile p height 150 mm rated 9 bar\n"
                      "spring c on C ratio 0.9 profile p height 150 mm rated 9 bar\n"
                      "tee t\nrestrictor x from a to t bore 4 mm\n"),
             NULL);
    need(&f, CAUTION_GAS_ASSUMED);
    need(&f, CAUTION_AMBIENT_ASSUMED);
    need(&f, CAUTION_NO_ARM);
    cr_assert_eq(need(&f, CAUTION_LAW_ASSUMED)->item, rig_edge(&f.rig, "x"));
    const double y = (4310.0 * 0.8 - 4110.0 * 0.7 + 511.0) / 13530.0;
    const double roll =
        4310.0 * pow(0.8 - y, 2.0) + 4110.0 * pow(0.7 + y, 2.0) + 5110.0 * pow(0.1 - y, 2.0);
    CHECK_REL(need(&f, CAUTION_ROLL_INERTIA)->amount, roll / g, 1e-12, "masses over the wheels");
    const double x = (4310.0 + 4110.0 - 5110.0) / 13530.0;
    const double pitch = 8420.0 * pow(1.0 - x, 2.0) + 5110.0 * pow(1.0 + x, 2.0);
    CHECK_REL(need(&f, CAUTION_PITCH_INERTIA)->amount, pitch / g, 1e-12, "masses over the wheels");
    leave(&f);
}

Test(caution, a_thing_found_in_several_states_is_told_once_at_its_worst) {
    /* Shut in two states against 7 bar; the spring's pressure differs between them. */
    found f =
        look(rig_open(GROUND "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                             "corner Q at 0 m 0 m load 5.8 kN coil 60 N/mm carries 2 kN\n"
                             "spring s on Q ratio 1 profile p height 164 mm rated 9 bar\n"
                             "tank can volume 1 L pressure 7 bar rated 9 bar\n"
                             "tank dip volume 2 L pressure 0.2 bar rated 9 bar\n"
                             "solenoid x from s to can normally closed bore 4 mm cd 0.7 one-way\n"
                             "solenoid y from s to dip normally closed bore 4 mm cd 0.7\n"
                             "state apart shut x y\nstate low open y\n"),
             NULL);
    const caution *const one = need(&f, CAUTION_REVERSE);
    cr_assert_str_eq(f.states.entry[one->state].name, "low");
    const double *const p = rates_result(f.states.entry[1].rates)->settled.node_pressure;
    CHECK_REL(one->amount, p[rig_node(&f.rig, "can")] - p[rig_node(&f.rig, "s")], 1e-12, "worst");
    leave(&f);
}

Test(caution, a_want_of_memory_is_remembered) {
    found f = look(rig_open("profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                            "spring s profile p load 5870 N height 164 mm\n"),
                   NULL);
    failing memory = {.failed = true};
    for (size_t k = 1; memory.failed; k++) {
        caution_list list = {.allocator = failing_start(&memory, k)};
        caution_find(&list, f.rig.charge, &f.states);
        cr_assert_eq(list.failed, memory.failed);
        caution_free(&list);
        cr_assert_eq(memory.live, 0);
    }
    leave(&f);
}
