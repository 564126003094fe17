/* Tests of solver/netlist/build_event.c.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <string.h>

#include "sample.h"
#include "support.h"

#define AS_WRITTEN "as written in the sample"

static const script *find_script(const model *m, const char *name) {
    for (int i = 0; i < m->scripts; i++) {
        if (strcmp(m->script[i].name, name) == 0)
            return &m->script[i];
    }
    cr_assert_fail("no event %s", name);
    return NULL;
}

Test(build_event, triggers_hold_for_what_follows) {
    baronet_netlist *const n = sample(sample_van);
    const script *const s = find_script(netlist_model(n), "bend");
    cr_expect_eq(s->state, 0);
    CHECK_REL(s->until, 10.0, 1e-15, AS_WRITTEN);
    cr_assert_eq(s->actions, 4);
    const action *const a = s->action;
    cr_expect_eq(a[0].kind, ACTION_LATERAL);
    cr_expect_eq(a[0].trigger, TRIGGER_TIME);
    CHECK_REL(a[0].value, 4.0, 1e-15, AS_WRITTEN);
    CHECK_REL(a[0].over, 0.5, 1e-15, AS_WRITTEN);
    cr_expect_eq(a[1].kind, ACTION_HOLD);
    cr_expect_eq(a[1].time, 0.0);
    cr_expect_eq(a[2].kind, ACTION_SHUT);
    cr_expect_eq(a[2].trigger, TRIGGER_ABOVE);
    cr_expect_eq(a[2].watched, 0);
    CHECK_REL(a[2].height, 0.19, 1e-15, AS_WRITTEN);
    cr_expect_str_eq(netlist_model(n)->network.edge[a[2].item].name, "cross");
    cr_expect_eq(a[3].kind, ACTION_STATE);
    cr_expect_eq(a[3].trigger, TRIGGER_ABOVE);
    cr_expect_eq(a[3].item, netlist_model(n)->rest_state);
    baronet_netlist_destroy(n);
}

static char text[8192];

static baronet_netlist *with_event(const char *event) {
    strcpy(text, sample_van);
    strcat(text, event);
    return sample(text);
}

Test(build_event, every_action) {
    baronet_netlist *const n =
        with_event("event all at 1 s lateral -3 m/s2 braking 0.5 g over 200 ms\n"
                   " bump RR 40 mm over 0.15 s step roll 10 mm step twist 5 mm load RL 80 kg\n"
                   " at 2 s state taut open cross shut left-gate burst left-hose bore 6 mm hold\n"
                   " when height of bench below 100 mm temperature -10 C over 3 h\n"
                   " supply shop lost load bench 10 kg until 2 min\n");
    const model *const m = netlist_model(n);
    const script *const s = find_script(m, "all");
    const action *const a = s->action;
    cr_expect_eq(s->state, m->charge_state);
    cr_assert_eq(s->actions, 14);
    static const struct {
        action_kind kind;
        double value, over;
    } expected[] = {{ACTION_LATERAL, -3.0, 0.0},    {ACTION_BRAKING, 0.5 * 9.80665, 0.2},
                    {ACTION_BUMP, 0.04, 0.15},      {ACTION_STEP, 0.01, 0.0},
                    {ACTION_STEP, 0.005, 0.0},      {ACTION_LOAD, 80.0, 0.0},
                    {ACTION_STATE, 0.0, 0.0},       {ACTION_OPEN, 0.0, 0.0},
                    {ACTION_SHUT, 0.0, 0.0},        {ACTION_BURST, 0.006, 0.0},
                    {ACTION_HOLD, 0.0, 0.0},        {ACTION_TEMPERATURE, 263.15, 10800.0},
                    {ACTION_SUPPLY_LOST, 0.0, 0.0}, {ACTION_LOAD, 10.0, 0.0}};
    for (int i = 0; i < s->actions; i++) {
        cr_expect_eq(a[i].kind, expected[i].kind, "action %d", i);
        CHECK_REL(a[i].value, expected[i].value, 1e-14, AS_WRITTEN);
        CHECK_REL(a[i].over, expected[i].over, 1e-14, AS_WRITTEN);
        cr_expect_eq(a[i].trigger, i < 11 ? TRIGGER_TIME : TRIGGER_BELOW);
        cr_expect_eq(a[i].time, i < 6 ? 1.0 : i < 11 ? 2.0 : 0.0);
    }
    cr_expect_eq(a[2].item, 1);
    cr_expect_eq(a[3].item, SCRIPT_ROLL);
    cr_expect_eq(a[4].item, 0);
    cr_expect_str_eq(m->network.node[a[9].item].name, "left-hose");
    cr_expect_eq(m->network.node[a[9].item].kind, NODE_HOSE);
    cr_expect_eq(a[11].watched, 2);
    cr_expect_str_eq(m->network.node[a[12].item].name, "shop");
    cr_expect_eq(a[13].item, 2); /* the bench's own corner */
    CHECK_REL(s->until, 120.0, 1e-15, AS_WRITTEN);
    baronet_netlist_destroy(n);
}

Test(build_event, the_motions_of_every_vehicle) {
    baronet_netlist *const n =
        with_event("event e at 0 s step heave 1 mm step roll 1 mm step pitch "
                   "1 mm step warp 1 mm until 1 s\n");
    const action *const a = find_script(netlist_model(n), "e")->action;
    static const int items[] = {SCRIPT_HEAVE, SCRIPT_ROLL, SCRIPT_PITCH, SCRIPT_WARP};
    for (int i = 0; i < 4; i++)
        cr_expect_eq(a[i].item, items[i]);
    baronet_netlist_destroy(n);
}
