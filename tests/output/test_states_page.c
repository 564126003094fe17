/* The page of `states`: states side by side, or many of them as a list. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "base/text.h"
#include "solved.h"
#include "support.h"

/* The page of every combination; to be freed. */
static char *all_page(const char *words, baronet_unit_system units) {
    baronet_netlist *netlist = ask_text(words);
    const baronet_question question = {.all = true, .units = units};
    baronet_answer *answer = ask(netlist, baronet_states, &question);
    char *const page = strdup(ask_render(answer, BARONET_TEXT, false));
    ask_check_page("states --all", page);
    ask_check_figures("states --all", answer, units);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    return page;
}

Test(states_page, states_stand_side_by_side_with_their_changes) {
    char *const got = ask_page(AXLE AXLE_TANKS, baronet_states);
    ask_check_page("axle", got);
    ask_expect(got, "soft: ride ");
    ask_expect(got, "Ride, as felt soft firm ");
    ask_expect(got, "Changes from soft");
    ask_expect(got, "soft open: left-gate and right-gate; charged here");
    ask_expect(got, "firm every solenoid shut; de-energised");
    ask_expect(got, "note: equilibria: residual at most 1e-10, condition about ");
    free(got);
}

/* Changes are from the state that was charged, wherever it stands in the netlist. */
Test(states_page, changes_are_from_the_charged_state) {
    char *const got =
        ask_page(AXLE "tank pot volume 1 L pressure 3 bar rated 9 bar\n"
                      "solenoid gate from left to pot normally closed bore 9 mm\n"
                      "state opened open gate\nstate closed shut gate\ncharge in closed\n",
                 baronet_states);
    ask_expect(got, "Changes from closed");
    ask_expect(got, "closed every solenoid shut; de-energised; charged here");
    free(got);
}

Test(states_page, one_state_has_no_changes) {
    char *const got = ask_page(AXLE, baronet_states);
    ask_check_page("axle", got);
    cr_expect_null(strstr(got, "Changes"));
    ask_expect(got, "rest no solenoids; de-energised; charged here");
    free(got);
}

Test(states_page, air_without_springs_is_a_page_too) {
    char *const got = ask_page(TANKS, baronet_states);
    ask_check_page("tanks", got);
    ask_expect(got, "rest: no spring, so nothing to ride on.");
    cr_expect_null(strstr(got, "equilibria"));
    free(got);
}

Test(states_page, an_unanswered_state_says_why_and_the_others_stand) {
    char *const got = ask_page(AXLE AXLE_TANKS AXLE_DUMP, baronet_states);
    ask_check_page("dump", got);
    ask_expect(got, "down: no answer: flat: `left` is open to the atmosphere");
    ask_expect(got, "soft: ride ");
    free(got);
}

/* A combination is named by what it opens, a named state by its name. */
Test(states_page, every_combination_has_a_name) {
    char *const got = all_page(AXLE AXLE_TANKS, BARONET_METRIC);
    ask_expect(got, "firm: ride ");
    ask_expect(got, "left-gate: ride ");
    ask_expect(got, "right-gate: ride ");
    ask_expect(got, "soft: ride ");
    cr_expect_null(strstr(got, "left-gate+right-gate"), "it is called soft");
    free(got);
}

static char *rig_with_pots(int count) {
    text_buffer words = {0};
    text_buffer_add(&words, BENCH);
    for (int k = 0; k < count; k++) {
        text_buffer_format(&words,
                           "tank pot-%d volume %d mL pressure 3 bar rated 12 bar\n"
                           "solenoid gate-%d from bag to pot-%d normally closed bore 6 mm\n",
                           k, 1000 + 370 * k, k, k);
    }
    text_buffer_add(&words, "state ready open gate-0 gate-2\n");
    cr_assert_not(words.failed);
    return words.bytes;
}

/* More than fit side by side are a list: softest first, each with its valves. */
Test(states_page, many_combinations_are_a_list) {
    char *const words = rig_with_pots(4);
    char *const got = all_page(words, BARONET_METRIC);
    ask_expect(got, "Every combination, softest first (ride in Hz)");
    cr_expect_null(strstr(got, "Changes"));
    ask_expect(got, "1 gate-0, 2 gate-1, 3 gate-2, 4 gate-3.");
    ask_expect(got, " 1 . 3 . ready, charged here");
    ask_expect(got, " . . . . rest, de-energised");
    const char *row = strstr(got, "open\n");
    cr_assert_not_null(row);
    double before = 0.0;
    int rows = 0;
    for (row += strlen("open\n"); *row == ' '; row += strcspn(row, "\n") + 1) {
        const double ride = strtod(row, NULL);
        if (ride > 0.0) {
            cr_expect_geq(ride, before);
            before = ride;
            rows++;
        }
    }
    cr_expect_eq(rows, 16, "%d of 16 combinations, none without its number:\n%s", rows, got);
    free(got);
    free(words);
}

/* The same list where states are named and there are many of them. */
Test(states_page, many_named_states_are_a_list) {
    char *const rig = rig_with_pots(4);
    text_buffer words = {0};
    text_buffer_add(&words, rig);
    for (int k = 1; k < 12; k++) {
        text_buffer_format(&words, "state s%d open", k);
        for (int v = 0; v < 4; v++) {
            if ((k >> v & 1) != 0) {
                text_buffer_format(&words, " gate-%d", v);
            }
        }
        text_buffer_add(&words, "\n");
    }
    cr_assert_not(words.failed);
    char *const got = ask_page(words.bytes, baronet_states);
    ask_check_page("named", got);
    ask_expect(got, "Every state, softest first");
    ask_expect(got, " 1 2 . 4 s11");
    free(got);
    text_buffer_free(&words);
    free(rig);
}

/* A position without an answer still says which valves it is, and why by a number. */
Test(states_page, a_listed_combination_without_an_answer_says_which) {
    char *const got = all_page(AXLE AXLE_TANKS AXLE_DUMP
                               "solenoid cross from left to right normally closed bore 4 mm\n",
                               BARONET_IMPERIAL);
    ask_expect(got, "1 left-gate, 2 right-gate, 3 dump, 4 cross.");
    ask_expect(got, " 1 . 3 . no answer (");
    const char *said = strstr(got, "(1) flat: `left` is open to the atmosphere");
    cr_assert_not_null(said, "%s", got);
    cr_expect_null(strstr(said + 5, "flat:"), "a reason is said once: %s", got);
    ask_expect(got, "in lbf.ft/deg");
    free(got);
}

/* Reasons of two kinds, one of them by several amounts: pots of high pressure lift the left side
   off its profile, each by its own. */
Test(states_page, reasons_are_told_apart_and_amounts_are_not) {
    char *const got = all_page(
        AXLE AXLE_DUMP "tank p volume 2 L pressure 11 bar\ntank q volume 3 L pressure 12 bar\n"
                       "solenoid vp from left to p normally closed bore 4 mm\n"
                       "solenoid vq from left to q normally closed bore 4 mm\n"
                       "solenoid empty from right to atmosphere normally closed bore 4 mm\n"
                       "charge in rest\n",
        BARONET_METRIC);
    ask_expect(got, "(1) flat: `left` is open to the atmosphere and carries nothing\n");
    ask_expect(got, ") flat: `right` is open to the atmosphere and carries nothing\n");
    ask_expect(got, ") `left` ran off its profile: ");
    ask_expect(got, "; or by another amount\n");
    free(got);
}

/* One spring open to two supplies at once: which two tells the reasons apart. */
Test(states_page, reasons_of_other_supplies_are_others) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, BENCH "tank pot volume 1 L pressure 3 bar\n"
                                    "solenoid v0 from bag to pot normally closed bore 4 mm\n");
    for (int k = 1; k <= 3; k++) {
        text_buffer_format(&netlist,
                           "supply s%d pressure %d.1 bar\n"
                           "solenoid v%d from bag to s%d normally closed bore 4 mm\n",
                           k, k + 1, k, k);
    }
    char *const got = all_page(netlist.bytes, BARONET_METRIC);
    static const char *const pairs[] = {"`s1` and `s2`", "`s1` and `s3`", "`s2` and `s3`"};
    for (size_t k = 0; k < 3; k++) {
        ask_expect(got, pairs[k]);
    }
    free(got);
    text_buffer_free(&netlist);
}

/* Gates far from all springs: one line for all that they make no difference to. */
Test(states_page, positions_alike_are_counted) {
    static const char *const words[] = {
        "every solenoid shut; de-energised; charged here; 1 other alike",
        "every solenoid shut; de-energised; charged here; 3 others alike"};
    text_buffer netlist = {0};
    text_buffer_add(&netlist, BENCH);
    for (int k = 0; k < 2; k++) {
        text_buffer_format(
            &netlist, "tee t%d\ntee u%d\nsolenoid v%d from t%d to u%d normally closed bore 4 mm\n",
            k, k, k, k, k);
        char *const got = all_page(netlist.bytes, BARONET_METRIC);
        ask_expect(got, words[k]);
        free(got);
    }
    text_buffer_free(&netlist);
}

Test(states_page, of_many_masses_the_first_are_shown) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, "profile piston area 95 cm2 volume 2.9 L at 150 mm\n");
    for (int k = 1; k <= 13; k++) {
        text_buffer_format(&netlist, "spring bag%d profile piston height 150 mm load %d kg\n", k,
                           290 + 7 * k);
    }
    char *const got = ask_page(netlist.bytes, baronet_states);
    ask_expect(got, "ride frequency bag12");
    cr_expect_null(strstr(got, "ride frequency bag13"));
    free(got);
    text_buffer_free(&netlist);
}

/* Two wheels in a row have no roll in which states could differ. */
Test(states_page, states_equal_in_heave_alone_are_said_to_be) {
    char *const got =
        ask_page("corner F at 1.1 m 0 m load 310 kg\ncorner R at 0 m 0 m load 290 kg\n"
                 "profile piston area 95 cm2 volume 2.9 L at 150 mm\n"
                 "spring f on F profile piston height 150 mm\n"
                 "spring r on R profile piston height 151 mm\n"
                 "tee end\nsolenoid vain from f to end normally closed bore 4 mm\n"
                 "state a shut vain\nstate b open vain\n",
                 baronet_states);
    ask_expect(got, "note: a and b give the same heave and roll");
    free(got);
}

/* Sides alike: what joins them changes roll and not heave. */
Test(states_page, states_that_differ_in_roll_are_not_equal) {
    char *const got =
        ask_page("corner L at 0 m 0.7 m load 415 kg\ncorner R at 0 m -0.7 m load 415 kg\n"
                 "bar steel between L R roll 350 N.m/deg\n"
                 "profile piston area 95 cm2 volume 2.9 L at 150 mm\n"
                 "spring l on L profile piston height 150 mm\n"
                 "spring r on R profile piston height 150 mm\n"
                 "solenoid cross from l to r normally closed bore 4 mm\n"
                 "state a shut cross\nstate b open cross\n",
                 baronet_states);
    cr_expect_null(strstr(got, "give the same"));
    free(got);
}

/* Where the charged state falls in a case, nothing can be told against it. */
Test(states_page, no_changes_from_a_state_that_does_not_stand) {
    baronet_netlist *netlist =
        ask_text(AXLE_SLEEVE "corner RL at 0 m 0.8 m load 443 kg\n"
                             "corner RR at 0 m -0.8 m load 441 kg\n"
                             "bar rear-bar between RL RR roll 130 N.m/deg\n"
                             "spring left on RL profile sleeve height 160 mm\n"
                             "spring right on RR profile sleeve height 160 mm\n"
                             "solenoid cross from left to right normally open bore 6 mm\n"
                             "state joined open cross\nstate apart shut cross\n"
                             "state also shut cross\ncharge in joined\n"
                             "case laden RL +60 kg RR +140 kg\n");
    baronet_answer *answer =
        ask(netlist, baronet_states, &(baronet_question){.load_case = "laden"});
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_expect(page, "joined: no answer: ");
    ask_expect(page, "apart: ride ");
    cr_expect_null(strstr(page, "Changes from"));
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* A switch that changes nothing is said to: a gate to a tank that is there twice. */
Test(states_page, equal_states_are_said_to_be) {
    char *const got = ask_page(AXLE "tee end\n"
                                    "solenoid nothing from left to end normally closed bore 4 mm\n"
                                    "state a shut nothing\nstate b open nothing\n",
                               baronet_states);
    ask_expect(got, "note: a and b give the same heave and roll");
    free(got);
}

/* The table's numbers in another system, by the exact factor. */
Test(states_page, figures_have_all_states) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    const baronet_question question = {.units = BARONET_METRIC};
    baronet_answer *states = ask(netlist, baronet_states, &question);
    baronet_answer *rates = ask(netlist, baronet_rates, &question);
    cr_expect_eq(baronet_answer_figures(states), baronet_answer_figures(rates));
    for (size_t i = 0; i < baronet_answer_figures(rates); i++) {
        const baronet_figure *f = baronet_answer_figure(rates, i);
        const double other =
            baronet_answer_value(states, f->state, f->level, f->quantity, f->subject);
        CHECK_REL(other, f->value, 1e-12, "two studies of one state");
    }
    baronet_answer_destroy(states);
    baronet_answer_destroy(rates);
    baronet_netlist_destroy(netlist);
}

Test(states_page, tells_how_well_the_worst_of_all_standings_was_solved) {
    static const char *const path[] = {"netlists/camper.air", "netlists/trailer.air",
                                       "netlists/bench.air"};
    for (size_t i = 0; i < sizeof path / sizeof *path; i++) {
        baronet_netlist *netlist = ask_file(path[i]);
        baronet_answer *answer = ask(netlist, baronet_states, &(baronet_question){0});
        solved_expect(ask_render(answer, BARONET_TEXT, false), path[i], NULL, LEVEL_NONE, 0.0, " ");
        baronet_answer_destroy(answer);
        baronet_netlist_destroy(netlist);
    }
}
