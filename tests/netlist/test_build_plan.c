/* Tests of solver/netlist/build_plan.c.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <stdio.h>

#include "sample.h"
#include "support.h"

Test(build_plan, states) {
    baronet_netlist *const n = sample(sample_van);
    const model *const m = netlist_model(n);
    static const struct {
        const char *name;
        bool open[3], rest;
    } expected[] = {{"easy", {true, true, true}, false},
                    {"taut", {false, false, false}, false},
                    {"usual", {false, true, false}, true}, /* as without current */
                    {"rest", {false, true, false}, true}};
    cr_assert_eq(m->states, 4);
    for (int i = 0; i < m->states; i++) {
        cr_expect_str_eq(m->state[i].name, expected[i].name);
        cr_expect_eq(m->state[i].rest, expected[i].rest);
        for (int k = 0; k < 3; k++)
            cr_expect_eq(m->state[i].open[k], expected[i].open[k], "%s %d", expected[i].name, k);
    }
    cr_expect_eq(m->rest_state, 3);
    cr_expect_eq(m->charge_state, 1);
    baronet_netlist_destroy(n);
}

Test(build_plan, rest_is_the_only_state_of_a_netlist_without_any) {
    baronet_netlist *const n = sample("tank a volume 1 L\ntank b volume 2 L\n"
                                      "solenoid v from a to b normally open bore 3 mm\n");
    const model *const m = netlist_model(n);
    cr_expect_eq(m->states, 1);
    cr_expect_eq(m->rest_state, 0);
    cr_expect_eq(m->charge_state, 0);
    cr_expect_str_eq(m->state[0].name, "rest");
    cr_expect(m->state[0].open[0]);
    baronet_netlist_destroy(n);
}

Test(build_plan, charge_may_be_at_rest) {
    baronet_netlist *const n = sample("tank a volume 1 L\ntank b volume 2 L\ncharge in rest\n"
                                      "solenoid v from a to b normally open bore 3 mm\n"
                                      "state tight shut v\n");
    cr_expect_eq(netlist_model(n)->charge_state, 1);
    baronet_netlist_destroy(n);
}

Test(build_plan, motions_and_cases) {
    baronet_netlist *const n = sample(sample_van);
    const model *const m = netlist_model(n);
    cr_assert_eq(m->motions, 1);
    cr_expect_str_eq(m->motion[0].name, "twist");
    cr_expect_eq(m->motion[0].travel[0], 1.0);
    cr_expect_eq(m->motion[0].travel[1], -1.0);
    cr_expect_eq(m->motion[0].travel[2], 0.0);
    cr_assert_eq(m->cases, 2);
    cr_expect_str_eq(m->load_case[0].name, "laden");
    cr_expect(m->load_case[0].levelled);
    cr_expect_eq(m->load_case[0].mass[0], 150.0);
    cr_expect_eq(m->load_case[0].mass[1], 140.0);
    cr_expect_not(m->load_case[1].levelled);
    CHECK_REL(m->load_case[1].mass[2], 20.0 * 0.45359237, 1e-15, "pound of NIST SP 811");
    baronet_netlist_destroy(n);
}

/* A small file must not ask for all memory: 9000 states of 9000 solenoids are refused. */
Test(build_plan, states_times_solenoids_have_a_limit) {
    enum { COUNT = 9000 };
    char *const text = malloc(COUNT * 100);
    size_t used = (size_t)sprintf(text, "tank a volume 1 L\ntank b volume 2 L\n");
    for (int i = 0; i < COUNT; i++)
        used += (size_t)sprintf(
            text + used, "solenoid v%d from a to b normally open bore 3 mm\nstate s%d\n", i, i);
    sample_refused(text, "there are too many of this kind: 9000 times 9000");
    free(text);
}

/* The same for travels and masses; the complaint stands where the first too many one does. */
Test(build_plan, motions_and_cases_times_corners_have_a_limit) {
    enum { CORNERS = 399, COUNT = 42100 }; /* 2^24 / 399 = 42048.2 */
    static const char *const kinds[] = {"motion m%d c%d 1\n", "case m%d c%d 3 kg\n"};
    char *const text = malloc(CORNERS * 70 + COUNT * 40);
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++) {
        size_t used = 0;
        for (int i = 0; i < CORNERS; i++)
            used += (size_t)sprintf(text + used,
                                    "corner c%d at %d m 0 m load 40 kg coil 2 N/mm axle a\n", i, i);
        used += (size_t)sprintf(text + used, "tank t volume 3 L\n");
        for (int i = 0; i < COUNT; i++)
            used += (size_t)sprintf(text + used, kinds[k], i, i % CORNERS);
        sample_refused(text, k == 0 ? "x.air:42449:8: error: there are too many of this kind: "
                                      "42100 times 399"
                                    : "x.air:42449:6: error: there are too many of this kind: "
                                      "42100 times 399");
    }
    free(text);
}
