/* SPDX-License-Identifier: MIT */
#include "studies/links.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>

#include "studies/swung.h"
#include "support.h"

/* One axle whose springs a link of some bore joins, or not. */
static rig one_axle(const char *link) {
    return rig_open("gas adiabatic\n"
                    "corner L at 0 m 0.9 m load 620 kg\n"
                    "corner R at 0 m -0.9 m load 570 kg\n"
                    "bar b between L R roll 700 N.m/deg\n"
                    "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                    "spring left on L ratio 1 profile piston height 158 mm\n"
                    "spring right on R ratio 1 profile piston height 158 mm\n"
                    "tank left-tank volume 2.1 L\ntank right-tank volume 1.8 L\n"
                    "restrictor left-way from left to left-tank bore 9 mm\n"
                    "restrictor right-way from right to right-tank bore 9 mm\n"
                    "tee middle\n"
                    "restrictor out from left to middle bore 7 mm\n"
                    "%s\n",
                    link);
}

static links_answer find(rig *r, double bend) {
    const swung by = swung_by(r, 0.01, 1.0);
    paths_answer paths;
    links_answer links;
    cr_assert_eq(paths_solve(&paths, r->arena, r->rates, by.swing), BARONET_OK);
    cr_assert_eq(
        links_solve(&links, r->arena, r->rates, &by.courses, &paths, by.swing, 0.01, bend, NULL),
        BARONET_OK);
    return links;
}

Test(links, a_link_is_slower_the_narrower_it_is) {
    static const struct {
        double bore;
        link_verdict verdict;
    } cases[] = {
        {0.2, LINK_TOO_SLOW}, {0.5, LINK_PART_WAY}, {1.6, LINK_EVENS_OUT}, {6.0, LINK_GONE}};
    double last = 0.0;
    for (size_t k = 0; k < 4; k++) {
        char way[96];
        snprintf(way, sizeof way, "restrictor link from middle to right bore %g mm", cases[k].bore);
        rig r = one_axle(way);
        rig_answer(&r, "rest", NULL);
        const links_answer l = find(&r, 2.3);
        cr_assert_eq(l.count, 1);
        const link_answer *one = &l.link[0];
        cr_assert_eq(one->edges, 2, "two in a row are one link");
        cr_assert_eq(one->edge[0], rig_edge(&r, "link"));
        cr_assert(one->is_roll && !one->shut);
        cr_assert_eq(one->verdict, cases[k].verdict, "%g mm: %d", cases[k].bore, one->verdict);
        for (int i = 0; i < LINKS_MOMENTS; i++) {
            cr_assert(one->there[i] >= 0.0 && one->there[i] < 1.0 + 1e-6);
            cr_assert(i == 0 || (one->there[i] >= one->there[i - 1] - 1e-6 &&
                                 one->moment[i] > one->moment[i - 1]));
        }
        cr_assert(one->there[1] > last, "common practice, no source");
        last = one->there[1];
        rig_close(&r);
    }
}

/* In the end a link takes from roll what `rates` says with it and without it: y'Ky over y'y. The
   two states stand a little apart, and the step is not small. */
Test(links, what_it_takes_is_the_difference_of_two_settled_rates) {
    rig r = one_axle("solenoid link from middle to right normally closed bore 3 mm\n"
                     "state apart shut link\nstate linked open link");
    const double linked =
        rig_answer(&r, "linked", NULL)->level[LEVEL_SETTLED].body_rate[MOTION_ROLL];
    const links_answer l = find(&r, 3.0);
    const double apart = rig_answer(&r, "apart", NULL)->level[LEVEL_SETTLED].body_rate[MOTION_ROLL];
    const double middle = 0.9 * (620.0 - 570.0) / (620.0 + 570.0);
    const double square = pow(0.9 - middle, 2.0) + pow(0.9 + middle, 2.0);
    CHECK_REL(l.link[0].taken, (apart - linked) / square, 0.04, "settled rates");
    rig_close(&r);
}

Test(links, a_shut_link_that_leaks_is_slow_and_not_absent) {
    rig r = one_axle("solenoid link from middle to right normally closed bore 3 mm bypass 0.2 mm\n"
                     "state apart shut link\nstate linked open link");
    rig_answer(&r, "linked", NULL);
    const links_answer open = find(&r, 3.0);
    rig_answer(&r, "apart", NULL);
    const links_answer shut = find(&r, 3.0);
    cr_assert_eq(shut.count, 1);
    cr_assert(shut.link[0].shut);
    cr_assert(shut.link[0].there[5] > 0.0, "common practice, no source");
    cr_assert(shut.link[0].there[5] < 0.5 * open.link[0].there[5]);
    CHECK_REL(shut.link[0].taken, open.link[0].taken, 0.02,
              "in the end a leak takes as much as a link");
    rig_close(&r);
}

Test(links, springs_of_one_corner_are_no_link) {
    rig r = rig_open("gas adiabatic\n"
                     "corner L at 0 m 0.9 m load 620 kg coil 20 N/mm\n"
                     "corner R at 0 m -0.9 m load 570 kg coil 20 N/mm\n"
                     "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                     "spring fore on L ratio 1 profile piston height 158 mm pressure 2 bar\n"
                     "spring aft on L ratio 0.9 profile piston height 158 mm\n"
                     "spring other on R ratio 1 profile piston height 158 mm\n"
                     "restrictor way from fore to aft bore 3 mm\n");
    if (rig_solve(&r, "rest", NULL) == BARONET_OK) {
        const links_answer l = find(&r, 3.0);
        cr_assert_eq(l.count, 0);
    }
    rig_close(&r);
}

/* Masses on a bench do not roll: what the link does is seen at the one that it carries most in. */
Test(links, a_link_on_a_bench_is_looked_at_in_its_own_motion) {
    rig r = rig_open("gas adiabatic\n"
                     "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                     "spring a load 430 kg profile piston height 158 mm rubber 21 N/mm\n"
                     "spring b load 410 kg profile piston height 158 mm rubber 23 N/mm\n"
                     "solenoid link from a to b normally closed bore 3 mm\n"
                     "state linked open link\n");
    const rates_answer *const answer = rig_answer(&r, "linked", NULL);
    const links_answer l = find(&r, 3.0);
    cr_assert_eq(l.count, 1);
    cr_expect_not(l.link[0].is_roll);
    cr_expect_neq(l.link[0].verdict, LINK_NOTHING);
    const int own = l.link[0].course;
    cr_assert(own == 0 || own == 1);
    const double *const V = answer->settled.node_volume;
    const double one = V[r.model->vehicle.spring[own].node];
    const double other = V[r.model->vehicle.spring[1 - own].node];
    const double p = answer->settled.node_pressure[r.model->vehicle.spring[own].node];
    const double A = 83e-4, x = 0.01, left = one - A * x, alone = p * pow(one / left, 1.4);
    const double both = (alone * left + p * other) / (left + other);
    CHECK_REL(l.link[0].taken, (alone - both) * A / x, 1e-9,
              "p V^1.4 alone, and what is left of its energy once both are at one pressure");
    rig_close(&r);
}

/* The step of 10 mm leads beyond the table: nothing can be told, and why is kept. */
Test(links, a_step_off_the_table_tells_nothing) {
    rig r = rig_open("gas adiabatic\n"
                     "corner L at 0 m 0.9 m load 620 kg\ncorner R at 0 m -0.9 m load 600 kg\n"
                     "bar b between L R roll 700 N.m/deg\n"
                     "profile bag volume 1.37 L at 158 mm\n height mm area cm2\n"
                     " 154 83\n 158 82\n 162 81\n"
                     "spring left on L ratio 1 profile bag height 158 mm\n"
                     "spring right on R ratio 1 profile bag height 158 mm\n"
                     "restrictor link from left to right bore 3 mm\n");
    rig_answer(&r, "rest", NULL);
    const links_answer l = find(&r, 3.0);
    cr_assert_eq(l.count, 1);
    cr_expect_eq(l.link[0].verdict, LINK_NOTHING);
    cr_expect_eq(l.link[0].problem.status, BARONET_OFF_PROFILE);
    rig_close(&r);
}

Test(links, no_more_than_so_many_are_looked_at) {
    text_buffer words = {0};
    text_buffer_add(&words, "gas adiabatic\nprofile piston area 83 cm2 volume 1.37 L at 158 mm\n");
    for (int k = 0; k < LINKS_MOST + 2; k++)
        text_buffer_format(&words,
                           "spring a%d load 430 kg profile piston height 158 mm rubber 21 N/mm\n"
                           "spring b%d load %d kg profile piston height 158 mm rubber 23 N/mm\n"
                           "restrictor r%d from a%d to b%d bore 3 mm\n",
                           k, k, 410 + k, k, k, k);
    rig r = rig_open("%s", words.bytes);
    rig_answer(&r, "rest", NULL);
    const links_answer l = find(&r, 3.0);
    cr_expect_eq(l.count, LINKS_MOST);
    for (int k = 0; k < l.count; k++) {
        char name[16];
        snprintf(name, sizeof name, "r%d", k);
        cr_expect_eq(l.link[k].edge[0], rig_edge(&r, name), "the first, in their order");
    }
    text_buffer_free(&words);
    rig_close(&r);
}
