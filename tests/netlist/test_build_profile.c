/* Tests of solver/netlist/build_profile.c.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "sample.h"
#include "support.h"

#define AS_WRITTEN "as written in the sample"
#define SOURCE     "tank t volume 3 L\n"

Test(build_profile, a_table) {
    baronet_netlist *const n = sample(sample_van);
    const profile *const p = &netlist_model(n)->vehicle.profile[0];
    cr_expect_str_eq(p->name, "sleeve");
    cr_expect_eq(p->rows, 3);
    CHECK_REL(p->lowest, 0.12, 1e-15, AS_WRITTEN);
    CHECK_REL(p->highest, 0.2, 1e-15, AS_WRITTEN);
    const profile_point at = profile_at(p, 0.16, 3e5);
    CHECK_REL(at.area, 74.5e-4, 1e-13, AS_WRITTEN);
    CHECK_REL(at.volume, 1.515e-3, 1e-13, AS_WRITTEN);
    baronet_netlist_destroy(n);
}

Test(build_profile, a_piston) {
    baronet_netlist *const n = sample(sample_van);
    const profile *const p = &netlist_model(n)->vehicle.profile[1];
    cr_expect_eq(p->rows, 0);
    CHECK_REL(p->area, 95e-4, 1e-15, AS_WRITTEN);
    CHECK_REL(profile_at(p, 0.16, 0.0).volume, 1.9e-3 + 95e-4 * 0.01, 1e-13, "a cylinder");
    baronet_netlist_destroy(n);
}

/* The same table in every order of its columns and rows, in other units, and with comments. */
Test(build_profile, columns_rows_and_units_in_any_order) {
    static const char *const same[] = {
        "profile p\n height mm area cm2 volume L\n 120 78 1.2\n 160 75 1.5\n 190 74 1.72\n",
        "profile p\n volume L height mm area cm2\n 1.2 120 78\n 1.5 160 75\n 1.72 190 74\n",
        ("profile p # a type\n  # with remarks\n area cm2, volume mL, height cm # so\n"
         "\n 74, 1720, 19 # high\n 75 1500 16\n# between\n 78 1200 12\n"),
    };
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        char text[400];
        snprintf(text, sizeof text, SOURCE "%s", same[i]);
        baronet_netlist *const n = sample(text);
        const profile *const p = netlist_model(n)->vehicle.profile;
        cr_assert_eq(p->rows, 3);
        CHECK_REL(profile_at(p, 0.16, 1e5).area, 75e-4, 1e-12, AS_WRITTEN);
        CHECK_REL(profile_at(p, 0.19, 1e5).volume, 1.72e-3, 1e-12, AS_WRITTEN);
        baronet_netlist_destroy(n);
    }
}

Test(build_profile, an_anchor_in_place_of_a_volume_column) {
    baronet_netlist *const n = sample(SOURCE "profile p volume 1.5 L at 160 mm\n"
                                             " height mm area cm2\n 120 80\n 160 80\n 190 80\n");
    const profile *const p = netlist_model(n)->vehicle.profile;
    CHECK_REL(profile_at(p, 0.17, 1e5).volume, 1.5e-3 + 80e-4 * 0.01, 1e-12, "a cylinder");
    baronet_netlist_destroy(n);
}

Test(build_profile, loads_at_test_pressures) {
    baronet_netlist *const n =
        sample("ambient pressure 1 bar\n" SOURCE "profile p volume 1.5 L at 160 mm\n"
               " load-5bar N height mm load-3bar kN load-8bara N\n"
               " 3900 120 2.31 5400\n 3700 160 2.2 5200\n");
    const profile *const p = netlist_model(n)->vehicle.profile;
    cr_assert_eq(p->tests, 3);
    CHECK_REL(p->pressure[0], 3e5, 1e-15, AS_WRITTEN);
    CHECK_REL(p->pressure[1], 5e5, 1e-15, AS_WRITTEN);
    CHECK_REL(p->pressure[2], 7e5, 1e-15, "8 bar absolute at 1 bar");
    CHECK_REL(profile_at(p, 0.12, 3e5).load, 2310.0, 1e-12, AS_WRITTEN);
    CHECK_REL(profile_at(p, 0.16, 5e5).load, 3700.0, 1e-12, AS_WRITTEN);
    CHECK_REL(profile_at(p, 0.16, 7e5).load, 5200.0, 1e-12, AS_WRITTEN);
    baronet_netlist_destroy(n);
}

Test(build_profile, test_pressures_have_a_limit) {
    char text[2000] = SOURCE "profile p volume 1.5 L at 160 mm\n height mm";
    for (int i = 0; i <= PROFILE_TESTS_MAX; i++)
        sprintf(text + strlen(text), " load-%dbar N", i + 1);
    for (int row = 0; row < 2; row++) {
        sprintf(text + strlen(text), "\n %d", 120 + row * 80);
        for (int i = 0; i <= PROFILE_TESTS_MAX; i++)
            sprintf(text + strlen(text), " %d", 1000 + 900 * i);
    }
    sample_refused(text, "at most 16 test pressures");
}

/* Loads against height in rows that fall are those in rows that rise. */
Test(build_profile, loads_in_falling_rows) {
    static const char *const same[] = {
        "profile p\n height mm volume L load-3bar N load-5bar N\n 120 1.2 2100 3500\n"
        " 160 1.5 1900 3300\n 190 1.72 1850 3150\n",
        "profile p\n height mm volume L load-5bar N load-3bar N\n 190 1.72 3150 1850\n"
        " 160 1.5 3300 1900\n 120 1.2 3500 2100\n"};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        char text[400];
        snprintf(text, sizeof text, "%s%s", SOURCE, same[i]);
        baronet_netlist *const n = sample(text);
        const profile *const p = &netlist_model(n)->vehicle.profile[0];
        CHECK_REL(profile_at(p, 0.16, 3e5).load, 1900.0, 1e-12, "as written");
        CHECK_REL(profile_at(p, 0.19, 5e5).load, 3150.0, 1e-12, "as written");
        CHECK_REL(profile_at(p, 0.12, 4e5).load, 2800.0, 1e-12, "halfway between two pressures");
        baronet_netlist_destroy(n);
    }
}
