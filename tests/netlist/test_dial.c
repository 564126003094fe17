/* SPDX-License-Identifier: MIT */
#include "netlist/dial.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "desk.h"
#include "sample.h"
#include "support.h"

static const struct {
    const char *said, *list;
    dial_form form;
    double now, low, high;
    int values;
    bool scale;
} cases[] = {
    {"left-tank.volume=1L..8L", NULL, DIAL_RANGE, 4e-3, 1e-3, 8e-3, 0, false},
    {"left-tank.volume = 61 in3 .. 8L", NULL, DIAL_RANGE, 4e-3, 61 * 0.0254 * 0.0254 * 0.0254, 8e-3,
     0, false},
    {"left-tank.volume + right-tank.volume=1.5L..8.5L", NULL, DIAL_RANGE, 4e-3, 1.5e-3, 8.5e-3, 0,
     false},
    {"w=4mm,6mm,8.5mm", NULL, DIAL_LIST, 9.5e-3, 4e-3, 8.5e-3, 3, false},
    {"left-gate.cd=+-0.2", NULL, DIAL_TOLERANCE, 0.72, 0.52, 0.92, 0, false},
    {"choke.critical=+-0.2", NULL, DIAL_TOLERANCE, 0.25, 0.05, 0.45, 0, false},
    {"left-gate.cd=0.7,0.8", NULL, DIAL_LIST, 0.72, 0.7, 0.8, 2, false},
    {"left-hose.length", "0.2m,0.4m", DIAL_LIST, 0.45, 0.2, 0.4, 2, false},
    {"RL.load=+-5%", NULL, DIAL_TOLERANCE, 445 * 9.80665, 445 * 9.80665 * 0.95,
     445 * 9.80665 * 1.05, 0, false},
    {"RL.load=\xC2\xB1 20 kg", NULL, DIAL_TOLERANCE, 445 * 9.80665, 425 * 9.80665, 465 * 9.80665, 0,
     false},
    {"ambient.temperature=+-10C", NULL, DIAL_TOLERANCE, 288.15, 278.15, 298.15, 0, false},
    {"ambient.temperature=-10C..35C", NULL, DIAL_RANGE, 288.15, 263.15, 308.15, 0, false},
    {"ambient.altitude=0m..1500m", NULL, DIAL_RANGE, 0.0, 0.0, 1500.0, 0, false},
    {"sleeve.area=+-3%", NULL, DIAL_TOLERANCE, 1.0, 0.97, 1.03, 0, true},
    {"sleeve.volume=+/-4%", NULL, DIAL_TOLERANCE, 1.0, 0.96, 1.04, 0, true},
    {"piston.area=90cm2..99cm2", NULL, DIAL_RANGE, 95e-4, 90e-4, 99e-4, 0, false},
    {"left.on=0.9..1", NULL, DIAL_RANGE, 0.95, 0.9, 1.0, 0, false},
    {"right-gate.bypass=0.005 L/s.bar..0.02 L/s.bar", NULL, DIAL_RANGE, 0.01e-8, 0.005e-8, 0.02e-8,
     0, false},
};

Test(dial, reads_what_is_said) {
    desk k = desk_open(sample_van);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        dial got;
        cr_assert_eq(netlist_dial(k.netlist, "--change", cases[i].said, cases[i].list, k.arena,
                                  k.diagnostics, &got),
                     BARONET_OK, "%s: %s", cases[i].said,
                     baronet_diagnostics_text(k.diagnostics, false));
        cr_expect_eq(got.form, cases[i].form, "%s", cases[i].said);
        CHECK_REL(got.now, cases[i].now, 1e-12, "as written in the sample");
        CHECK_REL(got.low, cases[i].low, 1e-12, "as said");
        CHECK_REL(got.high, cases[i].high, 1e-12, "as said");
        cr_expect_eq(got.values, cases[i].values, "%s", cases[i].said);
        cr_expect_eq(got.scale, cases[i].scale, "%s", cases[i].said);
    }
    desk_close(&k);
}

Test(dial, a_value_in_words) {
    desk k = desk_open(sample_van);
    static const struct {
        const char *said;
        double value;
        const char *words;
    } words[] = {{"left-tank.volume=1L..8L", 3.47612e-3, "3.476 L"},
                 {"RL.load=400kg..450kg", 431.25 * 9.80665, "431.2 kg"},
                 {"ambient.temperature=-10C..35C", 270.65, "-2.5 C"},
                 {"left-gate.cd=0.7..0.9", 0.8123456, "0.8123"}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        dial got;
        cr_assert_eq(desk_dial(&k, words[i].said, &got), BARONET_OK);
        text_buffer out = {0};
        dial_words(&got, words[i].value, 4, &out);
        cr_expect_str_eq(out.bytes, words[i].words);
        text_buffer_free(&out);
    }
    desk_close(&k);
}

Test(dial, what_is_wrong_is_said_with_its_place) {
    desk k = desk_open(sample_van);
    static const struct {
        const char *said, *list, *part;
    } wrong[] = {
        {"", NULL, "there is no"},
        {"left-tonk.volume=1L..2L", NULL, "did you mean `left-tank`?"},
        {"left-tank.valume=1L..2L", NULL, "did you mean `volume`?"},
        {"left-tank=1L..2L", NULL, "say which value of `left-tank`"},
        {"right-tank.pressure=1bar..2bar", NULL, "gives no `pressure`"},
        {"left-gate.normally=1..2", NULL, "is no number"},
        {"left-tank.volume=1mm..2L", NULL, "is a unit of length"},
        {"left-tank.volume=1..2L", NULL, "the unit is missing"},
        {"left-tank.volume=2L..1L", NULL, "is to be below the second"},
        {"left-tank.volume=-1L..1L", NULL, "is to be more than 0"},
        {"left-tank.volume=1L..2L..3L", NULL, "does not belong here"},
        {"left-tank.volume", NULL, "how far may"},
        {"left-tank.volume=+-0%", NULL, "more than nothing"},
        {"left-tank.volume=+-100%", NULL, "beyond what the value can be"},
        {"left-tank.volume+left-hose.bore=1L..2L", NULL, "another kind of quantity"},
        {"sleeve.height=+-3%", NULL, "a profile has no"},
        {"sleeve.area=+-3cm2", NULL, "by per cent"},
        {"left-hose.bore", "4mm,6kg", "is a unit of mass"},
        {"left-tank.volume=,", NULL, "how far may `left-tank.volume` change?"},
        {"left-tank.volume", "", "how far may `left-tank.volume` change?"},
        {"left-tank.volume", "\n#\n", "how far may `left-tank.volume` change?"},
        {"left-tank.volume=+-%", NULL, "wants a volume"},
        {"left-tank.volume=+-3mm", NULL, "is a unit of length"},
        {"left-tank.volume=+-4L", NULL, "beyond what the value can be"},
        {"left-tank.volume=1L..2mm", NULL, "is a unit of length"},
        {"left-gate.cd=+-0.5", NULL, "beyond what the value can be"},
        {"choke.critical=+-0.3", NULL, "beyond what the value can be"},
        {"choke.critical=+-0.8", NULL, "beyond what the value can be"},
        {"left-hose.fittings=+-1.3", NULL, "beyond what the value can be"},
        {"RL.load+left-tank.volume=3kg..5kg", NULL, "another kind of quantity"},
        {"ambient.humidity=1..2", NULL, "has no `humidity`"},
        {"lost.volume=1L..2L", NULL, "there is no `lost`"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        dial got;
        baronet_diagnostics *const said = baronet_diagnostics_create(NULL, 0);
        cr_expect_eq(
            netlist_dial(k.netlist, "--change", wrong[i].said, wrong[i].list, k.arena, said, &got),
            BARONET_BAD_NETLIST, "%s", wrong[i].said);
        const char *const words = baronet_diagnostics_text(said, false);
        cr_expect_not_null(strstr(words, wrong[i].part), "%s: %s", wrong[i].said, words);
        cr_expect_eq(strncmp(words, wrong[i].list ? "--from-list:1:" : "--change:1:", 11), 0, "%s",
                     words);
        baronet_diagnostics_destroy(said);
    }
    desk_close(&k);
}

/* Where the netlist does not speak of the air outside, and has a table of loads. */
Test(dial, what_may_be_changed_elsewhere) {
    desk k =
        desk_open("tank a volume 1 L\nprofile p\n height mm volume L load-3bar N\n"
                  " 120 1.2 2100\n 160 1.5 1900\nrestrictor r from a to atmosphere sonic 1 L/s.bar "
                  "critical 0.6\n");
    static const char *const wrong[][2] = {{"ambient.humidity=1..2", "there is no `ambient`"},
                                           {"r.critical=+-0.45", "beyond what the value can be"},
                                           {"p.width=+-3%", "it gives: volume"}};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        dial got;
        baronet_diagnostics *const told = baronet_diagnostics_create(NULL, 0);
        cr_expect_eq(netlist_dial(k.netlist, "--change", wrong[i][0], NULL, k.arena, told, &got),
                     BARONET_BAD_NETLIST);
        const char *const words = baronet_diagnostics_text(told, false);
        cr_expect_not_null(strstr(words, wrong[i][1]), "%s", words);
        baronet_diagnostics_destroy(told);
    }
    desk_close(&k);
}

Test(dial, memory_may_run_out_anywhere) {
    desk k = desk_open(sample_van);
    failing f;
    for (size_t at = 1;; at++) {
        const baronet_allocator *const allocator = failing_start(&f, at);
        arena *const own = arena_create(allocator);
        dial got;
        const baronet_status status =
            own ? netlist_dial(k.netlist, "--change", "left-tank.volume+w=1L,2L,3L", NULL, own,
                               NULL, &got)
                : BARONET_OUT_OF_MEMORY;
        cr_assert(status == BARONET_BAD_NETLIST || status == BARONET_OUT_OF_MEMORY);
        arena_destroy(own);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    desk_close(&k);
}

/* What stands in the netlist, and in which unit, whatever the dial is of. */
Test(dial, of_all_kinds_of_values) {
    static const char words[] = "let n 3\nlet none 0 mm\nlet cold -5 C\nlet deep 2 bara\n"
                                "tank a volume 1 L pressure 3 bar\ntank b volume 2 L\n"
                                "corner C at 0 m 0 m load 3 kN coil 30 N/mm\n"
                                "hose h from a to b bore 9 mm length 1 m fittings n\n"
                                "profile p\n height mm volume L load-3bar N load-5bara N\n"
                                " 120 1.2 2100 2900\n 160 1.5 1900 2700\n";
    static const struct {
        const char *said;
        double now, low, high;
        baronet_dimension dimension;
    } of[] = {
        {"n=+-40%", 3.0, 1.8, 4.2, BARONET_NUMBER},
        {"n=+-0.5", 3.0, 2.5, 3.5, BARONET_NUMBER},
        {"n=2;4;3", 3.0, 2.0, 4.0, BARONET_NUMBER},
        {"n=2.,4.", 3.0, 2.0, 4.0, BARONET_NUMBER},
        {"none=-1mm..1mm", 0.0, -1e-3, 1e-3, BARONET_LENGTH},
        {"cold=-15C..5C", 268.15, 258.15, 278.15, BARONET_TEMPERATURE},
        {"ambient.pressure=90kPa..103kPa", 101325.0, 90e3, 103e3, BARONET_PRESSURE},
        {"a.pressure=2bara..5bara", 401325.0, 2e5, 5e5, BARONET_PRESSURE},
        {"deep=1bar..3bar", 98675.0, 1e5, 3e5, BARONET_PRESSURE},
        {"C.load=2kN..4kN", 3e3, 2e3, 4e3, BARONET_FORCE},
        {"C.load=200kg..400kg", 3e3, 1961.33, 3922.66, BARONET_MASS},
        {"p.load=+-3%", 1.0, 0.97, 1.03, BARONET_NUMBER},
        {"p.volume=+-3%", 1.0, 0.97, 1.03, BARONET_NUMBER},
    };
    desk k = desk_open(words);
    for (size_t i = 0; i < sizeof of / sizeof *of; i++) {
        dial got;
        cr_assert_eq(desk_dial(&k, of[i].said, &got), BARONET_OK, "%s: %s", of[i].said,
                     baronet_diagnostics_text(k.diagnostics, false));
        CHECK_REL(got.now, of[i].now, 1e-12, "as written above");
        CHECK_REL(got.low, of[i].low, 1e-12, "as said");
        CHECK_REL(got.high, of[i].high, 1e-12, "as said");
        cr_expect_eq(dial_dimension(&got), of[i].dimension, "%s", of[i].said);
    }
    desk_close(&k);
}

/* Each take of the caller's arena is refused in turn. */
Test(dial, any_take_may_be_refused) {
    desk k = desk_open(sample_van);
    static const char *const said[][2] = {{"left-tank.volume+right-tank.volume=1L,2L,3L", NULL},
                                          {"left-tank.volume+right-tank.volume=1L..3L", NULL},
                                          {"RL.load=+-3kg", NULL},
                                          {"w", "5mm,6mm"},
                                          {"left-tonk.volume=1L..2L", NULL}};
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        for (size_t before = 0; before < 4096; before += 16) {
            refusal r;
            arena *const own = arena_create(refusal_start(&r, 2));
            cr_assert_not_null(arena_take(own, before, 1));
            dial got;
            const baronet_status status =
                netlist_dial(k.netlist, "--change", said[i][0], said[i][1], own, NULL, &got);
            cr_expect_eq(status, r.done   ? BARONET_OUT_OF_MEMORY
                                 : i == 4 ? BARONET_BAD_NETLIST
                                          : BARONET_OK);
            arena_destroy(own);
        }
    }
    desk_close(&k);
}

/* A name may be longer than any line. */
Test(dial, a_long_name) {
    char words[400], said[400];
    snprintf(words, sizeof words, "tank t%0300d volume 3 L\n", 7);
    snprintf(said, sizeof said, "t%0300d.volume=1L..4L", 7);
    desk k = desk_open(words);
    dial got;
    cr_assert_eq(desk_dial(&k, said, &got), BARONET_OK);
    CHECK_REL(got.now, 3e-3, 1e-12, "as written above");
    desk_close(&k);
}
