/* SPDX-License-Identifier: MIT */
#include "studies/paths.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>

#include "studies/demos.h"
#include "studies/swung.h"
#include "support.h"

static const double two_pi = 6.283185307179586;

typedef struct lot {
    swung by;
    paths_answer paths;
} lot;

static lot find(rig *r, double amplitude, double frequency) {
    lot l = {.by = swung_by(r, amplitude, frequency)};
    cr_assert_eq(paths_solve(&l.paths, r->arena, r->rates, l.by.swing), BARONET_OK);
    return l;
}

static const path_answer *path_named(const rig *r, const lot *l, const char *name) {
    for (int k = 0; k < l->paths.count; k++) {
        if (l->paths.path[k].edge == rig_edge(r, name)) {
            return &l->paths.path[k];
        }
    }
    cr_assert_fail("no path %s", name);
    return NULL;
}

static const char *const bench = "ambient pressure 98 kPa temperature 291.15 K\n"
                                 "gas adiabatic\n"
                                 "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                                 "spring bag load 431 kg profile piston height 158 mm\n"
                                 "tank can volume 3.3 L\n"
                                 "%s\n";

static double capacity(double volume) {
    return volume / (1.4 * GAS_CONSTANT * 291.15);
}

Test(paths, one_path_has_the_frequency_of_its_two_sides) {
    rig r = rig_open(bench, "restrictor way from bag to can sonic 0.12 L/s.bar critical 0.27");
    rig_answer(&r, "rest", NULL);
    const lot l = find(&r, 0.01, 1.0);
    const path_answer *p = path_named(&r, &l, "way");
    const double C = capacity(1.37e-3) * capacity(3.3e-3) / capacity(1.37e-3 + 3.3e-3);
    CHECK_REL(p->frequency, l.by.swing[0].conductance / (two_pi * C), 1e-12, "1/(2 pi R C)");
    cr_assert_not(p->loop || p->link || p->stub);
    cr_assert_eq(p->nearest, 0);
    CHECK_REL(p->present, 1.0 / (1.0 + pow(p->ride / p->frequency, 2.0)), 1e-14, "one pole");
    rig_close(&r);
}

/* The share of the softening that the path's frequency promises is what the dynamic stiffness has,
   at the swing and frequency that the conductance belongs to. */
Test(paths, the_dynamic_stiffness_has_that_much_of_the_softening) {
    static const double bores[] = {0.5, 0.8, 1.3, 2.6};
    for (size_t k = 0; k < 4; k++) {
        char way[128];
        snprintf(way, sizeof way, "restrictor way from bag to can bore %g mm cd 0.74", bores[k]);
        rig r = rig_open(bench, way);
        const rates_answer *answer = rig_answer(&r, "rest", NULL);
        const double f = 1.31, instant = answer->level[LEVEL_INSTANT].stiffness[0];
        const double settled = answer->level[LEVEL_SETTLED].stiffness[0];
        const lot l = find(&r, 0.007, f);
        const path_answer *p = path_named(&r, &l, "way");
        airnet *n;
        airnet_answer swing;
        cr_assert_eq(airnet_create(&n, r.rates, rates_open(r.rates), f, NULL), BARONET_OK);
        cr_assert_eq(airnet_swing(n, (const double[]){1.0}, 0.007, f, &swing), BARONET_OK);
        CHECK_REL((instant - swing.storage) / (instant - settled),
                  1.0 / (1.0 + pow(f / p->frequency, 2.0)), 1e-7, "the linear air network");
        airnet_destroy(n);
        rig_close(&r);
    }
}

Test(paths, a_wider_way_puts_more_of_a_tank_in_play) {
    double last = 0.0, last_narrow = 0.0;
    for (double bore = 0.6; bore < 6.0; bore *= 1.37) {
        char way[160];
        snprintf(way, sizeof way,
                 "tee half\nhose first from bag to half bore %g mm length 0.6 m fittings 1.1\n"
                 "restrictor way from half to can bore 4.4 mm",
                 bore);
        rig r = rig_open(bench, way);
        rig_answer(&r, "rest", NULL);
        const lot l = find(&r, 0.01, 1.0);
        const double now = path_named(&r, &l, "first")->present;
        cr_assert(now > last, "common practice, no source");
        cr_assert(now > 0.0,
                  "a narrow fitting still softens, but less: common practice, no source");
        last = now;
        last_narrow = bore < 0.7 ? now : last_narrow;
        rig_close(&r);
    }
    cr_assert(last > 0.99 && last_narrow < 0.2);
}

Test(paths, what_another_path_joins_too_is_a_loop) {
    rig r = rig_open(bench, "restrictor one from bag to can bore 1.3 mm\n"
                            "restrictor two from bag to can bore 0.9 mm\n"
                            "tank far volume 0.8 L\n"
                            "restrictor on from can to far bore 1.1 mm");
    rig_answer(&r, "rest", NULL);
    const lot l = find(&r, 0.01, 1.0);
    cr_assert(path_named(&r, &l, "one")->loop && isnan(path_named(&r, &l, "one")->frequency));
    cr_assert(path_named(&r, &l, "two")->loop);
    const path_answer *on = path_named(&r, &l, "on");
    const double C = capacity(0.8e-3) * capacity(4.67e-3) / capacity(5.47e-3);
    CHECK_REL(on->capacity, C, 1e-12, "all that is open on each side");
    rig_close(&r);
}

Test(paths, half_of_a_hoses_air_counts_to_each_side) {
    rig r = rig_open(bench, "hose way from bag to can bore 11 mm length 1.9 m");
    rig_answer(&r, "rest", NULL);
    const lot l = find(&r, 0.01, 1.0);
    const double half = 0.5 * 0.25 * 3.141592653589793 * 0.011 * 0.011 * 1.9;
    const double a = capacity(1.37e-3 + half), b = capacity(3.3e-3 + half);
    CHECK_REL(path_named(&r, &l, "way")->capacity, a * b / (a + b), 1e-12, "by hand");
    rig_close(&r);
}

Test(paths, a_held_side_counts_as_endless) {
    rig r = rig_open("ambient pressure 98 kPa temperature 291.15 K\n"
                     "gas adiabatic\n"
                     "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                     "spring bag load 431 kg profile piston height 158 mm rubber 5 N/mm\n"
                     "supply rail pressure 5.1 bar\n"
                     "tank can volume 0.7 L\n"
                     "restrictor in from bag to can bore 1.2 mm\n"
                     "restrictor out from can to rail bore 1.4 mm\n");
    rig_answer(&r, "rest", NULL);
    const double V = rates_result(r.rates)->settled.node_volume[rig_node(&r, "bag")];
    const lot l = find(&r, 0.01, 1.0);
    CHECK_REL(path_named(&r, &l, "in")->capacity, capacity(V), 1e-12, "by hand");
    CHECK_REL(path_named(&r, &l, "out")->capacity, capacity(V + 0.7e-3), 1e-12, "by hand");
    rig_close(&r);
}

/* Bridges by taking each path out and flooding from one end. */
static bool reaches(const rig *r, const lot *l, int without, int from, int to) {
    const network *net = &r->model->network;
    bool *wet = ARENA_ARRAY(r->arena, bool, net->nodes);
    wet[from] = true;
    for (bool spread = true; spread;) {
        spread = false;
        for (int i = 0; i < net->edges; i++) {
            const edge *e = &net->edge[i];
            if (i != without && l->by.swing[i].passes && !l->by.swing[i].shut &&
                wet[e->from] != wet[e->to]) {
                wet[e->from] = wet[e->to] = spread = true;
            }
        }
    }
    return wet[to];
}

static void compare_bridges(rig *r, const char *state) {
    if (rates_result(r->rates)->problem.status != BARONET_OK) {
        return;
    }
    const lot l = find(r, 0.01, 1.0);
    for (int k = 0; k < l.paths.count; k++) {
        const path_answer *p = &l.paths.path[k];
        const edge *e = &r->model->network.edge[p->edge];
        cr_assert_eq(p->loop, reaches(r, &l, p->edge, e->from, e->to), "%s: %s", state, e->name);
        cr_assert(p->loop || p->capacity >= 0.0);
        cr_assert(isnan(p->present) || (p->present > 0.0 && p->present <= 1.0));
    }
}

Test(paths, bridges_are_what_nothing_else_joins) {
    demos_each(compare_bridges);
}

Test(paths, the_vans_links_part_its_rear_springs) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    lot l = find(&r, 0.01, 1.0);
    static const char *const linked[] = {"cross-left",  "throttle",       "cross",
                                         "cross-right", "rear-left-hose", "rear-right-hose"};
    for (size_t k = 0; k < 6; k++) {
        cr_assert(path_named(&r, &l, linked[k])->link, "%s", linked[k]);
        cr_assert_eq(path_named(&r, &l, linked[k])->parted, path_named(&r, &l, "throttle")->parted);
    }
    cr_assert_not(path_named(&r, &l, "rear-left-gate")->link);
    cr_assert_not(path_named(&r, &l, "front-left-hose")->link);
    cr_assert(path_named(&r, &l, "throttle")->present < 0.2);
    cr_assert(path_named(&r, &l, "rear-left-gate")->present > 0.9);
    rig_answer(&r, "town", NULL);
    l = find(&r, 0.01, 1.0);
    cr_assert(path_named(&r, &l, "cross")->link && l.by.swing[rig_edge(&r, "cross")].shut);
    cr_assert(path_named(&r, &l, "cross-left")->stub);
    rig_close(&r);
}

/* What keeps its pressure takes all of a path's air; between two of them nothing gives way. */
Test(paths, a_held_side_leaves_the_other_s_capacity) {
    rig r = rig_open(
        "ambient pressure 98 kPa temperature 291.15 K\ngas adiabatic\n"
        "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
        "spring bag load 431 kg profile piston height 158 mm rubber 29 N/mm\n"
        "spring sack load 431 kg profile piston height 158 mm rubber 23 N/mm\n"
        "supply line pressure 5.09 bar\nsupply other pressure 5.09 bar\n"
        "supply third pressure 5.09 bar\n"
        "restrictor in from line to bag bore 2 mm\nrestrictor out from sack to other bore 2 mm\n"
        "restrictor between from line to third bore 3 mm\n"
        "spring bale load 417 kg profile piston height 158 mm\nsupply fourth pressure 5.5 bar\n"
        "solenoid slow from bale to fourth normally closed bore 3 mm bypass 0.4 mm\n");
    rig_answer(&r, "rest", NULL);
    const lot l = find(&r, 0.01, 1.0);
    static const char *const names[] = {"in", "out", "slow"}, *const own[] = {"bag", "sack",
                                                                              "bale"};
    for (int k = 0; k < 3; k++) {
        const path_answer *const p = path_named(&r, &l, names[k]);
        const double V = rates_result(r.rates)->settled.node_volume[rig_node(&r, own[k])];
        CHECK_REL(p->capacity, capacity(V), 1e-12, "V/(n R T)");
        CHECK_REL(p->frequency,
                  l.by.swing[rig_edge(&r, names[k])].conductance / (two_pi * capacity(V)), 1e-12,
                  "1/(2 pi R C)");
    }
    cr_expect(isnan(path_named(&r, &l, "between")->frequency), "neither gives way");
    rig_close(&r);
}

/* Front and rear in line do not roll; what links them rides as they pitch. */
Test(paths, a_link_of_front_and_rear_rides_as_they_pitch) {
    rig r = rig_open("gas adiabatic\nprofile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                     "corner F at 1.1 m 0 m load 430 kg coil 19 N/mm\n"
                     "corner B at -1.3 m 0 m load 410 kg coil 23 N/mm\n"
                     "spring front on F ratio 0.9 profile piston height 158 mm\n"
                     "spring rear on B ratio 0.8 profile piston height 158 mm\n"
                     "restrictor link from front to rear bore 2 mm\n");
    const rates_answer *const answer = rig_answer(&r, "rest", NULL);
    const lot l = find(&r, 0.01, 1.0);
    const path_answer *const p = path_named(&r, &l, "link");
    cr_assert(p->link);
    CHECK_REL(p->ride, answer->level[LEVEL_SETTLED].body_frequency[MOTION_PITCH], 1e-12, "pitch");
    rig_close(&r);
}
