/* SPDX-License-Identifier: MIT */
#include "netlist/address.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "netlist/parser.h"
#include "desk.h"
#include "sample.h"
#include "support.h"

Test(address, finds_values) {
    static const struct {
        const char *address, *text;
        double number;
    } cases[] = {
        {"left-tank.volume", "4 L", 4e-3},
        {"left-gate.bypass", "0.8 mm", 0.8e-3},
        {"right-gate.bypass", "0.01 L/s.bar", 0.01e-8},
        {"left-hose.bore", "w", 9.5e-3},
        {"w", "9.5 mm", 9.5e-3},
        {"ambient.temperature", "15 C", 288.15},
        {"gas.thermal", "6 s", 6.0},
        {"RL.bump-stop", "70 mm", 0.07},
        {"left.on", "0.95", 0.95},
        {"rear-bar.roll", "300 N.m/deg", 300.0 * 180.0 / 3.14159265358979323846},
        {"RL.carries", "60 kg", 60.0 * 9.80665},
    };
    desk k = desk_open(sample_van);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        address found;
        cr_assert_eq(netlist_address(k.netlist, cases[i].address, k.arena, &found), BARONET_OK,
                     "%s", cases[i].address);
        const text t = place_text(found.place);
        cr_expect(text_equals(t, cases[i].text), "%s: %.*s", cases[i].address, (int)t.length,
                  t.start);
        CHECK_REL(found.value.number, cases[i].number, 1e-14, "as written, by definition");
    }
    desk_close(&k);
}

Test(address, says_where_there_is_none) {
    static const char *const none[] = {"",
                                       ".",
                                       "left",
                                       "left-tank",
                                       "lost.bore",
                                       "left.bore",
                                       "left-tank.",
                                       "left-tank.volume.x",
                                       "tank.volume",
                                       "vehicle",
                                       "left-gate.one-way",
                                       "w.x"};
    desk k = desk_open(sample_van);
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        address found;
        cr_expect_eq(netlist_address(k.netlist, none[i], k.arena, &found), BARONET_NO_SUCH_NAME,
                     "%s", none[i]);
    }
    desk_close(&k);
}

/* What a design command does: other words in one place, the rest as it was, and read again. */
Test(address, a_value_is_written_anew_with_all_around_it_kept) {
    desk k = desk_open(sample_van);
    address found;
    cr_assert_eq(netlist_address(k.netlist, "RL.coil", k.arena, &found), BARONET_OK);
    static char fresh[8192];
    const size_t behind = found.place.start + found.place.length;
    snprintf(fresh, sizeof fresh, "%.*s14.5 N/mm%s", (int)found.place.start, sample_van,
             sample_van + behind);
    baronet_netlist *const again = sample(fresh);
    CHECK_REL(netlist_model(again)->vehicle.corner[0].coil, 14500.0, 1e-14, "as written");
    cr_expect_not_null(strstr(fresh, "14.5 N/mm carries 60 kg   # a coil beside the air"));
    baronet_netlist_destroy(again);
    desk_close(&k);
}

/* Words between the values of an attribute are no values. */
Test(address, each_value_has_its_slot) {
    desk k = desk_open(sample_van);
    reading r = {.netlist = k.netlist, .arena = k.arena};
    scratch x = {0};
    statement s;
    statement_read(&r, &x, reading_find(&r, text_of("bend")), &s);
    const attribute *const lateral = statement_find(&s, WORD_LATERAL);
    cr_assert_eq(lateral->values, 2);
    cr_expect_eq(attribute_slot(lateral, 0).dimension, BARONET_ACCELERATION);
    cr_expect_eq(attribute_slot(lateral, 1).dimension, BARONET_TIME);
    scratch_free(&r, &x);
    desk_close(&k);
}

/* Where an attribute holds no number its first word is found. */
Test(address, finds_words) {
    desk k = desk_open(sample_van);
    address found;
    cr_assert_eq(netlist_address(k.netlist, "left.profile", k.arena, &found), BARONET_OK);
    cr_expect_eq(found.value.kind, VALUE_NAME);
    cr_expect(text_equals(place_text(found.place), "sleeve"));
    cr_assert_eq(netlist_address(k.netlist, "right-gate.normally", k.arena, &found), BARONET_OK);
    cr_expect_eq(found.value.kind, VALUE_CHOICE);
    cr_expect(text_equals(place_text(found.place), "open"));
    desk_close(&k);
}
