/* Tests of solver/netlist/build_corner.c.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sample.h"
#include "support.h"

#define AS_WRITTEN "as written in the sample"
#define GRAVITY    9.80665

Test(build_corner, fields) {
    baronet_netlist *const n = sample(sample_van);
    const vehicle *const v = &netlist_model(n)->vehicle;
    cr_assert_eq(v->wheels, 2);
    cr_assert_eq(v->corners, 3);
    const corner *const c = &v->corner[0];
    cr_expect_str_eq(c->name, "RL");
    cr_expect_not(c->bench);
    CHECK_REL(c->x, -1.62, 1e-15, AS_WRITTEN);
    CHECK_REL(c->y, 0.81, 1e-15, AS_WRITTEN);
    CHECK_REL(c->load, 445.0 * GRAVITY, 1e-15, AS_WRITTEN);
    CHECK_REL(c->unsprung, 55.0, 1e-15, AS_WRITTEN);
    CHECK_REL(c->tyre, 260e3, 1e-15, AS_WRITTEN);
    CHECK_REL(c->damper, 2100.0, 1e-15, AS_WRITTEN);
    CHECK_REL(c->coil, 12e3, 1e-15, AS_WRITTEN);
    CHECK_REL(c->carries, 60.0 * GRAVITY, 1e-15, AS_WRITTEN);
    CHECK_REL(c->bump_at, 0.07, 1e-15, AS_WRITTEN);
    CHECK_REL(c->bump_rate, 90e3, 1e-15, AS_WRITTEN);
    CHECK_REL(c->rebound_at, 0.085, 1e-15, AS_WRITTEN);
    CHECK_REL(c->rebound_rate, 80e3, 1e-15, AS_WRITTEN);
    cr_expect(c->load_given && c->coil_given && c->carries_given);
    cr_expect_not(v->corner[1].coil_given || v->corner[1].carries_given);
    cr_expect_eq(v->corner[1].tyre, 0.0);
    baronet_netlist_destroy(n);
}

Test(build_corner, a_spring_on_a_bench_gets_one) {
    baronet_netlist *const n = sample(sample_van);
    const corner *const c = &netlist_model(n)->vehicle.corner[2];
    cr_expect_str_eq(c->name, "bench");
    cr_expect(c->bench && c->load_given);
    cr_expect_eq(c->axle, -1);
    CHECK_REL(c->load, 300.0 * GRAVITY, 1e-15, AS_WRITTEN);
    baronet_netlist_destroy(n);
}

#define CORNER(name, x, more) "corner " name " at " x " m 0.8 m load 400 kg coil 20 N/mm" more "\n"

Test(build_corner, axles_by_label_and_by_place) {
    baronet_netlist *const n =
        sample("tank t volume 3 L\n" CORNER("A", "1.40", "") CORNER("B", "1.33", "")
                   CORNER("C", "-1.2", " axle rear") CORNER("D", "1.26", "") /* 0.14 m from A */
               CORNER("E", "-1.9", " axle rear"));
    const vehicle *const v = &netlist_model(n)->vehicle;
    cr_assert_eq(v->axles, 3);
    cr_expect_str_eq(v->axle[0].name, "A+B");
    cr_expect_str_eq(v->axle[1].name, "rear");
    cr_expect_str_eq(v->axle[2].name, "D");
    CHECK_REL(v->axle[0].x, 1.365, 1e-14, "the mean");
    CHECK_REL(v->axle[1].x, -1.55, 1e-14, "the mean");
    cr_expect_eq(v->axle[1].corners, 2);
    cr_expect_eq(v->corner[1].axle, 0);
    cr_expect_eq(v->corner[3].axle, 2);
    cr_expect_eq(v->corner[4].axle, 1);
    baronet_netlist_destroy(n);
}

Test(build_corner, labels_are_no_names) {
    baronet_netlist *const n = sample("tank rear volume 3 L\n" CORNER("A", "1.4", " axle rear")
                                          CORNER("B", "-1.4", " axle A"));
    cr_expect_str_eq(netlist_model(n)->vehicle.axle[1].name, "A");
    baronet_netlist_destroy(n);
}

/* Of two in one place the second is warned of, unless more is wrong with it. */
Test(build_corner, two_in_one_place) {
    static const struct {
        const char *more;
        bool warned;
    } cases[] = {{"", true}, {" coil 3 N/mm", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[400];
        snprintf(text, sizeof text, "tank t volume 3 L\n" CORNER("A", "1.4", "") "%s%s\n",
                 "corner B at 1.4 m 0.8 m load 400 kg coil 20 N/mm", cases[i].more);
        char *const said = sample_said(text, NULL);
        cr_expect_eq(strstr(said, "`B` stands in the same place as `A`") != NULL, cases[i].warned,
                     "%s", said);
        cr_expect_eq(strstr(said, "`coil` is given twice") == NULL, cases[i].warned, "%s", said);
        free(said);
    }
}

Test(build_corner, benches_have_a_limit) {
    char *const text = malloc(60 * (size_t)(VEHICLE_CORNERS_MAX + 3));
    size_t used = (size_t)sprintf(text, "profile p area 95 cm2 volume 2 L at 15 cm\n");
    for (int i = 0; i <= VEHICLE_CORNERS_MAX; i++)
        used += (size_t)sprintf(text + used, "spring s%d profile p height 15 cm load 3 kN\n", i);
    sample_refused(text, "x.air:402:8: error: there are 401 corners and springs on a bench");
    free(text);
}

Test(build_corner, their_number_has_a_limit) {
    for (int count = VEHICLE_CORNERS_MAX; count <= VEHICLE_CORNERS_MAX + 1; count++) {
        char *const text = malloc(100 * (size_t)(count + 1));
        size_t used = 0;
        for (int i = 0; i < count - 1; i++)
            used += (size_t)sprintf(text + used,
                                    "corner c%d at %d m 0 m load 40 kg coil 2 N/mm axle a\n", i, i);
        sprintf(text + used, "profile p area 95 cm2 volume 2 L at 15 cm\n"
                             "spring s profile p height 15 cm load 300 kg\n");
        if (count <= VEHICLE_CORNERS_MAX) {
            baronet_netlist *const n = sample(text);
            cr_expect_eq(netlist_model(n)->vehicle.corners, count);
            baronet_netlist_destroy(n);
        } else {
            sample_refused(text, "401 corners and springs on a bench; 400 are the most");
        }
        free(text);
    }
}
