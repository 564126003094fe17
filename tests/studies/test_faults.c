/* Tests of solver/studies/faults.c. */
#include "studies/faults.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/rig.h"
#include "support.h"

static const faults_settings twenty = {.drop = 0.02};

static const fault *find(const faults_answer *a, fault_kind kind, int item) {
    for (int k = 0; k < a->faults; k++) {
        if (a->fault[k].kind == kind && a->fault[k].item == item) {
            return &a->fault[k];
        }
    }
    return NULL;
}

/* All that can fail in a state. */
static faults_answer faults_in(rig *r, const char *state, const faults_settings *with) {
    faults_answer a;
    (void)rig_answer(r, state, NULL);
    cr_assert_eq(faults_solve(&a, r->rates, r->charge, rig_state(r, state), with, NULL),
                 BARONET_OK);
    return a;
}

Test(faults, a_burst_takes_down_what_is_linked_and_nothing_else) {
    rig r = rig_open_file("netlists/rear.air");
    faults_answer a = faults_in(&r, "soft", &twenty);
    const fault *f = find(&a, FAULT_BURST, rig_node(&r, "left-tank"));
    cr_assert_not_null(f);
    cr_expect(f->harm != 0);
    cr_expect_eq(f->worst, rig_corner(&r, "RL"));
    cr_expect_eq(f->first, rig_corner(&r, "RL"));
    cr_expect_gt(f->drop_time, 0.0);
    faults_free(&a);
    rig_close(&r);
}

Test(faults, every_part_is_broken_once) {
    rig r = rig_open_file("netlists/trailer.air");
    faults_answer a = faults_in(&r, "gentle", &twenty);
    const network *net = &r.model->network;
    for (int i = 0; i < net->nodes; i++) {
        const node_kind kind = net->node[i].kind;
        if (kind == NODE_SPRING || kind == NODE_TANK || kind == NODE_HOSE || kind == NODE_TEE) {
            cr_expect_not_null(find(&a, FAULT_BURST, i), "%s", net->node[i].name);
        } else if (kind == NODE_SUPPLY) {
            cr_expect_not_null(find(&a, FAULT_SUPPLY_LOST, i), "%s", net->node[i].name);
        }
    }
    cr_expect_not_null(find(&a, FAULT_NO_CURRENT, -1));
    cr_expect_not_null(find(&a, FAULT_NO_CURRENT, rig_edge(&r, "tank-gate")));
    cr_expect_not_null(find(&a, FAULT_STUCK_OPEN, rig_edge(&r, "left-dump")));
    cr_expect_not_null(find(&a, FAULT_STUCK_SHUT, rig_edge(&r, "pump")));
    for (int k = 1; k < a.faults; k++) {
        cr_expect(a.fault[k - 1].harm != 0 || a.fault[k].harm == 0, "the worst first");
    }
    faults_free(&a);
    rig_close(&r);
}

/* A tee takes its widest hose's bore; in `gentle` it lets both sides down, a valve that lets fill
   pressure in lifts them. */
Test(faults, what_a_tee_and_a_valve_do) {
    rig r = rig_open_file("netlists/trailer.air");
    faults_answer a = faults_in(&r, "gentle", &twenty);
    const fault *tee = find(&a, FAULT_BURST, rig_node(&r, "left-tee"));
    CHECK_REL(tee->bore, 8e-3, 1e-12, "its hoses");
    cr_expect(tee->harm & HARM_FLAT);
    cr_expect(tee->drawn[0] && tee->drawn[1], "the tee is neither corner's own");
    const fault *middle = find(&a, FAULT_BURST, rig_node(&r, "middle"));
    CHECK_REL(middle->bore, FAULTS_HOLE, 1e-12, "no hose ends there");
    cr_expect(find(&a, FAULT_STUCK_OPEN, rig_edge(&r, "left-fill"))->harm & HARM_TOPPED);
    cr_expect(find(&a, FAULT_BURST, rig_node(&r, "rail"))->moving);
    cr_expect_not(find(&a, FAULT_SUPPLY_LOST, rig_node(&r, "tow-line"))->moving);
    faults_free(&a);
    rig_close(&r);
}

/* Without current the state is another: its rates are that state's own, which rates_solve finds. */
Test(faults, rates_at_the_end_are_those_of_where_it_ends) {
    rig r = rig_open_file("netlists/camper.air");
    const rates_answer *firm = rig_answer(&r, "firm", NULL);
    const double instant = firm->level[LEVEL_INSTANT].body_rate[MOTION_ROLL];
    const double settled = firm->level[LEVEL_SETTLED].body_rate[MOTION_ROLL];
    faults_answer a = faults_in(&r, "town", &twenty);
    /* `town` and `firm` stand alike: shutting valves moves no air but what leaks past `cross`. */
    const fault *f = find(&a, FAULT_NO_CURRENT, -1);
    CHECK_REL(f->held.roll[HOLD_INSTANT], instant, 1e-3, "rates in firm");
    CHECK_REL(f->held.roll[HOLD_SETTLED], settled, 1e-3, "rates in firm");
    cr_expect_lt(a.held.roll[HOLD_SETTLED], 0.8 * settled, "softer before");
    faults_free(&a);
    rig_close(&r);
}

Test(faults, a_budget_of_steps_ends_them) {
    rig r = rig_open_file("netlists/trailer.air");
    const faults_settings quick = {.budget = 1e-3}; /* 300 steps */
    faults_answer all = faults_in(&r, "gentle", &twenty), some = faults_in(&r, "gentle", &quick);
    cr_expect_eq(all.unplayed, 0);
    cr_expect_gt(some.unplayed, 0);
    cr_expect_eq(some.unplayed + some.faults, all.faults);
    faults_free(&all);
    faults_free(&some);
    rig_close(&r);
}

/* A compressor that runs in events blows its spring up until its table ends; one that has stuck
   leaves it as it was. */
Test(faults, a_compressor_that_stops_gives_no_air) {
    rig r = rig_open("gas isothermal\nprofile p area 80 cm2 volume 1.7 L at 160 mm\n"
                     "spring s load 400 kg profile p height 160 mm rubber 31 N/mm\n"
                     "tank o volume 2.1 L pressure 3 bar\n"
                     "compressor pump to s\n pressure bar flow L/min\n 3 60\n 5.5 0\n");
    faults_answer a = faults_in(&r, "rest", &twenty);
    const fault *const stuck = find(&a, FAULT_STUCK_SHUT, rig_edge(&r, "pump"));
    const fault *const other = find(&a, FAULT_BURST, rig_node(&r, "o"));
    cr_assert_not_null(stuck);
    cr_assert_not_null(other);
    const double before = 400.0 * 9.80665 / 80e-4;
    CHECK_REL(stuck->pressure[0], before, 1e-6, "load over area");
    CHECK_ABS(stuck->shift[0], 0.0, 1e-6, "it stays");
    CHECK_REL(other->pressure[0], 5.5e5, 1e-3, "until it delivers no more");
    CHECK_REL(other->shift[0], (5.5e5 - before) * 80e-4 / 31e3, 5e-3, "Hooke, the carcass");
    faults_free(&a);
    rig_close(&r);
}
