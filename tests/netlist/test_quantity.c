/* Tests of solver/netlist/quantity.c, through what netlists say. The messages are in tests/golden.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <float.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "baronet/units.h"
#include "sample.h"
#include "support.h"

static double tank_volume(const char *volume) {
    char text[400];
    snprintf(text, sizeof text, "let four 4 L\nlet also four\ntank t volume %s\n", volume);
    baronet_netlist *const n = sample(text);
    const double V = netlist_model(n)->network.node[1].volume;
    baronet_netlist_destroy(n);
    return V;
}

Test(quantity, the_same_volume_in_many_words) {
    static const char *const same[] = {"4 L",      "4L",           "4e0 L", "+4.0 L", "4000 mL",
                                       "4000 cm3", "0.004 m3",     "four",  "also",   "4,L",
                                       "4\n  L",   "4 # four\n L", ".4e1 L"};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++)
        CHECK_REL(tank_volume(same[i]), 4e-3, 4 * DBL_EPSILON, "a litre is 1e-3 m3");
    CHECK_REL(tank_volume("1 gal"), 231.0 * 0.0254 * 0.0254 * 0.0254, 1e-15, "the US gallon");
}

/* Every unit is read where its dimension is wanted, and its SI value kept. */
Test(quantity, every_unit_may_be_named_by_let) {
    size_t count;
    const baronet_unit *const units = baronet_unit_table(&count);
    for (size_t i = 0; i < count; i++) {
        char text[200];
        snprintf(text, sizeof text, "let x 2.5 %s\nlet y 2.5%s\ntank t volume 1 L\n", units[i].name,
                 units[i].name);
        baronet_netlist_destroy(sample(text));
    }
}

Test(quantity, a_load_is_a_force_or_a_mass) {
    static const struct {
        const char *load;
        double newton;
    } cases[] = {{"400 kg", 400 * 9.80665},
                 {"4.1 kN", 4100.0},
                 {"900 lb", 900 * 0.45359237 * 9.80665},
                 {"900 lbf", 900 * 0.45359237 * 9.80665}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char text[200];
        snprintf(
            text, sizeof text,
            "let w %s\ntank t volume 1 L\n"
            "corner A at 0 m 1 m load %s coil 2 N/mm\ncorner B at 0 m 0 m load w coil 2 N/mm\n",
            cases[i].load, cases[i].load);
        baronet_netlist *const n = sample(text);
        const corner *const c = netlist_model(n)->vehicle.corner;
        CHECK_REL(c[0].load, cases[i].newton, 1e-15, "NIST SP 811");
        CHECK_REL(c[1].load, cases[i].newton, 1e-15, "NIST SP 811");
        baronet_netlist_destroy(n);
    }
}

Test(quantity, absurd_numbers_are_refused) {
    static const char *const absurd[] = {"1e31 m3",
                                         "1e999 L",
                                         "-1e999 L",
                                         "1e-31 m3",
                                         "1e-400 L",
                                         "nan L",
                                         "inf L",
                                         "infinity L",
                                         "0x10 L",
                                         "1_000 L",
                                         "1.2.3 L",
                                         "1,000,L",
                                         "--1 L",
                                         "1e L",
                                         "four hundred",
                                         "\xE2\x88\x92"
                                         "4 L",
                                         "4 \xC2\xB5L",
                                         "0 L",
                                         "-0 L"};
    for (size_t i = 0; i < sizeof absurd / sizeof *absurd; i++) {
        char text[200];
        snprintf(text, sizeof text, "tank t volume %s\n", absurd[i]);
        sample_refused(text, "error: ");
    }
    char *const long_number = malloc(1 << 20);
    memset(long_number, '9', 1 << 20);
    memcpy(long_number, "tank t volume ", 14);
    strcpy(long_number + (1 << 20) - 4, " L\n");
    sample_refused(long_number, "is beyond all reason");
    free(long_number);
}

Test(quantity, a_let_counts_from_the_next_statement_on) {
    sample_refused("tank t volume v\nlet v 4 L\n", "`v` is used before its `let`");
    sample_refused("let v v\ntank t volume 1 L\n", "`v` is used before its `let`");
    sample_refused("let v w\nlet w 4 L\ntank t volume 1 L\n", "`let` wants a number");
}

/* Corners may be called as units are: what follows a bare number is then the next corner. */
Test(quantity, a_corner_after_a_bare_number_is_no_unit) {
    static const char beam[] = "profile p area 95 cm2 volume 1.9 L at 150 mm\n"
                               "corner R at 0 m -0.8 m\n"
                               "corner L at 0 m 0.8 m\n"
                               "spring a on R 0.87 L 0.13 profile p height 150 mm pressure 3 bar\n"
                               "spring b on L 0.79 R 0.21 profile p height 150 mm pressure 4 bar\n"
                               "motion twist R -0.7 L 0.9\n";
    baronet_netlist *netlist = sample(beam);
    const model *m = netlist_model(netlist);
    cr_assert_eq(m->vehicle.spring[0].levers, 2);
    cr_assert_eq(m->vehicle.spring[1].levers, 2);
    cr_assert_eq(m->motions, 1);
    cr_expect_eq(m->motion[0].travel[0], -0.7);
    cr_expect_eq(m->motion[0].travel[1], 0.9);
    baronet_netlist_destroy(netlist);
    char text[sizeof beam + 40];
    snprintf(text, sizeof text, "%smotion glued R 1L L 1\n", beam);
    sample_refused(text, "`motion` wants a bare number, without `L`");
    snprintf(text, sizeof text, "%smotion mm R 1 mm 1\n", beam);
    sample_refused(text, "`motion` wants a bare number, without `mm`");
}
