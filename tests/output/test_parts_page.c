/* The page of `parts`: the schedule, pressures beside ratings, energy, the truth table, cautions */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "base/text.h"
#include "support.h"

static char *page_of(const char *path, baronet_unit_system units) {
    baronet_netlist *netlist = ask_file(path);
    const baronet_question question = {.units = units};
    baronet_answer *answer = ask(netlist, baronet_parts, &question);
    cr_expect_eq(baronet_answer_status(answer), BARONET_OK);
    char *page = strdup(ask_render(answer, BARONET_TEXT, false));
    ask_check_page(path, page);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    return page;
}

Test(parts_page, says_what_a_fitter_must_know) {
    char *page = page_of("netlists/expedition.air", BARONET_METRIC);
    static const char *const wanted[] = {
        "profile sleeve-large: mid-left-air, mid-right-air, rear-left-air, rear-right-air",
        "power off (tarmac)",
        "off open", /* a normally open one without current */
        "ON shut",
        "normally open, so that current shuts them: `left-share`, `right-share`",
        "A at 24.0 V",
        "(p - pa) V/(k - 1) (Brode)",
        "ASME PCC-2",
        "no `rated` pressure: `front-left-tee`",
        "proof-tested",
        "support the vehicle on stands",
        "let the pressure out before opening a line",
        "local codes and a licensed practitioner decide"};
    for (size_t k = 0; k < sizeof wanted / sizeof *wanted; k++) {
        ask_expect(page, wanted[k]);
    }
    free(page);
}

Test(parts_page, a_rating_that_is_passed_is_the_first_thing_said) {
    char *page = ask_page("profile p area 80 cm2 volume 1.7 L at 160 mm\n"
                          "spring s load 400 kg profile p height 160 mm rated 4.5 bar\n"
                          "tank t volume 3 L pressure 8 bar rated 12 bar\n"
                          "solenoid v from s to t normally closed bore 4 mm\n"
                          "state apart shut v\n",
                          baronet_parts);
    ask_expect(page, "OVER its rating: s, 4.90 bar of 4.50 bar");
    ask_expect(page, "caution: `s` meets 4.90 bar (when filled, before valves open) and is rated");
    free(page);
}

/* 1.235 m is 4.052 ft, by the definition of the foot (0.3048 m). */
Test(parts_page, hose_is_measured_in_metres_or_feet) {
    static const char *const words = "profile p area 80 cm2 volume 1.7 L at 160 mm\n"
                                     "spring s load 400 kg profile p height 160 mm\n"
                                     "tank t volume 3 L\n"
                                     "hose h from s to t bore 8 mm length 1235 mm\n";
    char *page = ask_page(words, baronet_parts);
    ask_expect(page, "; 1.24 m of hose;");
    ask_expect(page, "bore 8.00 mm, length 1.235 m: h");
    ask_expect(page, "longest m  together m");
    free(page);
    baronet_netlist *netlist = ask_text(words);
    const baronet_question question = {.units = BARONET_IMPERIAL};
    baronet_answer *answer = ask(netlist, baronet_parts, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false), "length 4.052 ft: h");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(parts_page, no_fuse_is_named_for_coils_of_unknown_current) {
    char *page = ask_page("profile p area 80 cm2 volume 1.7 L at 160 mm\n"
                          "spring s load 400 kg profile p height 160 mm\n"
                          "tank t volume 3 L\n"
                          "solenoid v from s to t normally closed bore 4 mm\n"
                          "state joined open v\n",
                          baronet_parts);
    ask_expect(page, "not every coil says its `current`");
    cr_expect_null(strstr(page, "0.0 A"), "%s", page);
    free(page);
}

Test(parts_page, a_compressor_that_can_burst_its_tank_is_cautioned) {
    static const char *const words =
        "tank t volume 20 L pressure 6 bar rated 8 bar\n"
        "compressor c from atmosphere to t\n  pressure bar  flow L/min\n  0  60\n  10 20\n%s";
    char netlist[512];
    snprintf(netlist, sizeof netlist, words, "");
    char *page = ask_page(netlist, baronet_parts);
    ask_expect(page, "`c` can press more than the 8.00 bar that `t` is rated for");
    free(page);
    snprintf(netlist, sizeof netlist, words,
             "relief r from t to atmosphere set 7.5 bar bore 6 mm\n");
    page = ask_page(netlist, baronet_parts);
    cr_expect_null(strstr(page, "can press more"), "the relief opens before");
    free(page);
    snprintf(netlist, sizeof netlist, words,
             "relief r from t to atmosphere set 8.5 bar bore 6 mm\n"
             "tank u volume 1 L pressure 2 bar\nrelief q from u set 7.5 bar bore 6 mm\n");
    page = ask_page(netlist, baronet_parts);
    ask_expect(page, "`c` can press more than the 8.00 bar that `t` is rated for");
    free(page);
}

Test(parts_page, an_event_that_ends_early_is_said_to_leave_a_gap) {
    char *page = ask_page("profile p area 80 cm2 volume 1.7 L at 160 mm\n"
                          "spring s load 400 kg profile p height 160 mm\n"
                          "event lift at 0.5 s load s -400 kg until 2 s\n",
                          baronet_parts);
    ask_expect(page, "event lift ends early");
    free(page);
}

static size_t column(const ask_table *t, const char *name) {
    for (size_t k = 0; k < t->columns; k++) {
        if (strcmp(t->field[k], name) == 0) {
            return k;
        }
    }
    cr_assert_fail("no column %s", name);
    return 0;
}

Test(parts_page, the_csv_is_a_purchase_list) {
    baronet_netlist *netlist = ask_file("netlists/camper.air");
    const baronet_question question = {0};
    baronet_answer *answer = ask(netlist, baronet_parts, &question);
    ask_table t = ask_read_csv("parts", ask_render(answer, BARONET_CSV, false));
    cr_expect_str_eq(t.field[0], "kind");
    double parts = 0.0;
    bool found = false;
    for (size_t row = 1; row < t.rows; row++) {
        const char *const *field = t.field + row * t.columns;
        parts += strtod(field[column(&t, "quantity")], NULL);
        if (strcmp(field[column(&t, "names")], "rear-left-tank rear-right-tank") == 0) {
            found = true;
            cr_expect_str_eq(field[0], "tank");
            cr_expect_str_eq(field[column(&t, "quantity")], "2");
            cr_expect_str_eq(field[column(&t, "volume [L]")], "3.7");
            cr_expect_str_eq(field[column(&t, "rated_pressure [bar]")], "12");
            cr_expect_str_eq(field[column(&t, "bore [mm]")], "", "a tank has none");
            CHECK_REL(strtod(field[column(&t, "rated_bar_litres")], NULL), 44.4, 1e-9, "12 x 3.7");
            CHECK_REL(strtod(field[column(&t, "energy_at_rated [kJ]")], NULL),
                      1e-3 * 1301325.0 * 3.7e-3 / 0.4 *
                          (1.0 - pow(101325.0 / 1301325.0, 0.4 / 1.4)),
                      1e-8, "safety.csv's formula");
        }
    }
    cr_expect(found);
    /* 4 springs, 4 tanks, 7 tees, 6 hoses, 1 restrictor, 6 solenoids. */
    cr_expect_eq((int)parts, 28);
    ask_free_csv(&t);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* A pump whose flow does not fall has no pressure where it ends, and what is at ambient no energy.
 */
Test(parts_page, a_flow_without_end_and_a_tank_without_pressure) {
    baronet_netlist *netlist =
        ask_text("tank t volume 20 L pressure 0 bar\n"
                 "compressor c from atmosphere to t\n  pressure bar  flow L/min\n  0 60\n  9 60\n");
    const baronet_question question = {0};
    baronet_answer *answer = ask(netlist, baronet_parts, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_expect(page, "60.0 L/min of free air at 0.0 bar: c\n");
    cr_expect_null(strstr(page, "Brode"), "%s", page);
    ask_table read = ask_read_csv("parts", ask_render(answer, BARONET_CSV, false));
    cr_expect_str_eq(read.field[2 * read.columns + column(&read, "no_flow_pressure [bar]")], "");
    ask_free_csv(&read);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* Many parts alike are one line, of which the first are named. */
Test(parts_page, the_first_of_many_alike_are_named) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, "profile piston area 95 cm2 volume 2.9 L at 150 mm\n");
    for (int k = 1; k <= 20; k++) {
        text_buffer_format(&netlist, "spring bag%d profile piston height 150 mm load 300 kg\n", k);
    }
    char *page = ask_page(netlist.bytes, baronet_parts);
    ask_expect(page, "20 parts in 1 line; ");
    ask_expect(page, "bag11, bag12 and 8 more\n");
    free(page);
    page = ask_page("tank pot volume 1 L pressure 2 bar\n", baronet_parts);
    ask_expect(page, "1 part in 1 line; ");
    free(page);
    text_buffer_free(&netlist);
}
