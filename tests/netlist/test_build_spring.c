/* Tests of solver/netlist/build_spring.c.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "sample.h"
#include "support.h"

#define AS_WRITTEN "as written in the sample"

Test(build_spring, fields) {
    baronet_netlist *const n = sample(sample_van);
    const model *const m = netlist_model(n);
    const vehicle *const v = &m->vehicle;
    cr_assert_eq(v->springs, 3);
    const spring *const left = &v->spring[0], *const right = &v->spring[1];
    cr_expect_str_eq(left->name, "left");
    cr_expect_str_eq(m->network.node[left->node].name, "left");
    cr_expect_eq(m->network.node[left->node].kind, NODE_SPRING);
    cr_expect_eq(m->network.node[left->node].item, 0);
    CHECK_REL(m->network.node[left->node].rated, 8e5, 1e-15, AS_WRITTEN);
    cr_expect_str_eq(v->profile[left->profile].name, "sleeve");
    CHECK_REL(left->height, 0.165, 1e-15, AS_WRITTEN);
    CHECK_REL(left->rubber, 3e3, 1e-15, AS_WRITTEN);
    CHECK_REL(left->rated, 8e5, 1e-15, AS_WRITTEN);
    cr_expect(left->height_given && !left->pressure_given && !left->bench);
    cr_expect_eq(left->levers, 1);
    cr_expect_eq(left->lever[0].corner, 0);
    cr_expect_eq(left->lever[0].ratio, 0.95);
    CHECK_REL(right->pressure, 4.2e5, 1e-15, AS_WRITTEN);
    cr_expect(!right->height_given && right->pressure_given);
    cr_expect_eq(right->lever[0].ratio, 1.0);
    baronet_netlist_destroy(n);
}

Test(build_spring, on_a_bench) {
    baronet_netlist *const n = sample(sample_van);
    const spring *const s = &netlist_model(n)->vehicle.spring[2];
    cr_expect(s->bench);
    cr_assert_eq(s->levers, 1);
    cr_expect_eq(s->lever[0].corner, 2);
    cr_expect_eq(s->lever[0].ratio, 1.0);
    baronet_netlist_destroy(n);
}

#define AXLE                                                                                       \
    "profile p area 95 cm2 volume 1.9 L at 150 mm\n"                                               \
    "corner RL at 0 m 0.8 m load 400 kg\ncorner RR at 0 m -0.8 m load 400 kg\n"

Test(build_spring, a_beam_axle_has_a_number_for_each_wheel) {
    baronet_netlist *const n =
        sample("let r 0.15\n" AXLE "spring s on RL 0.85 RR r profile p height 150 mm\n"
               "spring t on RL -0.1, RR 1.1 height 150 mm profile p\n"
               "spring u on RL 0.9 profile p height 150 mm\n");
    const spring *const s = netlist_model(n)->vehicle.spring;
    cr_assert_eq(s[0].levers, 2);
    cr_expect_eq(s[0].lever[0].ratio, 0.85);
    cr_expect_eq(s[0].lever[1].corner, 1);
    cr_expect_eq(s[0].lever[1].ratio, 0.15);
    cr_expect_eq(s[1].lever[0].ratio, -0.1);
    cr_expect_eq(s[2].levers, 1);
    cr_expect_eq(s[2].lever[0].ratio, 0.9);
    baronet_netlist_destroy(n);
}

Test(build_spring, pressures_are_against_ambient) {
    baronet_netlist *const n = sample("ambient pressure 95 kPa\n" AXLE
                                      "spring s on RL profile p height 150 mm pressure 5 bara\n"
                                      "spring t on RR profile p height 150 mm pressure 60 psig\n");
    const spring *const s = netlist_model(n)->vehicle.spring;
    CHECK_REL(s[0].pressure, 4.05e5, 1e-14, "5 bar less 95 kPa");
    CHECK_REL(s[1].pressure, 60.0 * 6894.757293168361, 1e-12, "psi of NIST SP 811");
    baronet_netlist_destroy(n);
}

Test(build_spring, bars) {
    baronet_netlist *const n = sample(sample_van);
    const bar *const b = netlist_model(n)->vehicle.bar;
    cr_expect_str_eq(b->name, "rear-bar");
    cr_expect_eq(b->left, 0);
    cr_expect_eq(b->right, 1);
    CHECK_REL(b->roll, 300.0 * 180.0 / 3.14159265358979323846, 1e-14, AS_WRITTEN);
    baronet_netlist_destroy(n);
}

/* What the charge can solve is let through: its numbers are not judged here. */
Test(build_spring, two_of_three_are_enough) {
    static const char *const sound[] = {
        AXLE "spring s on RL profile p height 150 mm\nspring t on RR profile p height 150 mm\n",
        AXLE "spring s on RL profile p height 150 mm pressure 9 bar\n"
             "spring t on RR profile p height 150 mm\n",
        "profile p area 95 cm2 volume 1.9 L at 150 mm\n"
        "spring s profile p height 150 mm pressure 3 bar\n",
        "profile p area 95 cm2 volume 1.9 L at 150 mm\n"
        "corner C at 0 m 0 m\nspring s on C profile p height 150 mm pressure 3 bar\n",
        "tank t volume 1 L\ncorner C at 0 m 0 m load 300 kg coil 30 N/mm\n",
    };
    for (size_t i = 0; i < sizeof sound / sizeof *sound; i++)
        baronet_netlist_destroy(sample(sound[i]));
}

static int errors_in(const char *text, const char *wanted) {
    char *const said = sample_said(text, NULL);
    cr_expect_not_null(strstr(said, wanted), "wanted: %s\nsaid: %s", wanted, said);
    int errors = 0;
    for (const char *at = said; (at = strstr(at, "error:")) != NULL; at++)
        errors++;
    free(said);
    return errors;
}

/* What follows from an error is not complained of as well. */
Test(build_spring, one_mistake_is_one_error) {
    /* two wheels that are not there are not one wheel twice */
    cr_expect_eq(errors_in(AXLE "spring s on FL 0.85 FR 0.15 profile p height 150 mm\n",
                           "there is no corner `FL`"),
                 2);
    /* of a profile that could not be made nothing is known */
    cr_expect_eq(errors_in("profile p\n height mm area cm2 volume L\n 120 78 1\n"
                           "spring s profile p height 150 mm load 3 kN\n"
                           "spring t profile p pressure 3 bar load 3 kN\n",
                           "needs two rows or more"),
                 1);
}

Test(build_spring, a_bench_needs_two_of_three) {
    sample_refused("profile p area 95 cm2 volume 1.9 L at 150 mm\n"
                   "spring s profile p height 150 mm\n",
                   "`s` needs two of `load`, `height` and `pressure`");
    sample_refused("profile p\n height mm area cm2 volume L\n 120 78 1\n 160 75 1.3\n"
                   "spring s profile p pressure 3 bar\n",
                   "`s` needs two of `load`, `height` and `pressure`");
}

Test(build_spring, what_is_missing) {
    sample_refused(AXLE "spring s on RL height 150 mm\n", "a spring has no `profile`");
    sample_refused(AXLE "bar b roll 300 N.m/deg\n", "has no `between`");
    cr_expect_eq(errors_in("tank t volume 1 L\ncorner RL at 0 m 1 m load 3 kN coil 9 N/mm\n"
                           "bar b between RL RR roll 300 N.m/deg\n",
                           "there is no corner `RR`"),
                 1);
}
