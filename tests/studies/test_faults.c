/* Tests of solver/studies/faults.c. */
#include "studies/faults.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/rig.h"
#include "support.h"

static const fault *find(const faults_answer *a, fault_kind kind, int item) {
    for (int k = 0; k < a->faults; k++) {
        if (a->fault[k].kind == kind && a->fault[k].item == item) {
            return &a->fault[k];
        }
    }
    return NULL;
}

Test(faults, a_burst_takes_down_what_is_linked_and_nothing_else) {
    rig r = rig_open_file("netlists/rear.air");
    (void)rig_answer(&r, "soft", NULL);
    faults_answer a;
    cr_assert_eq(faults_solve(&a, r.rates, r.charge, rig_state(&r, "soft"), 0.02, NULL),
                 BARONET_OK);
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
    (void)rig_answer(&r, "gentle", NULL);
    faults_answer a;
    cr_assert_eq(faults_solve(&a, r.rates, r.charge, rig_state(&r, "gentle"), 0.02, NULL),
                 BARONET_OK);
    const network *net = &r.model->network;
    for (int i = 0; i < net->nodes; i++) {
        const node_kind kind = net->node[i].kind;
        if (kind == NODE_SPRING || kind == NODE_TANK || kind == NODE_HOSE) {
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
