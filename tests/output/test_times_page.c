/* The page of `times`: paths in play, motions softening, cross-links in a bend. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "base/text.h"
#include "support.h"

#define CROSS                                                                                      \
    "solenoid cross from left to right normally closed bore 1.5 mm\n"                              \
    "state level open left-gate right-gate cross\n"

static baronet_answer *times_of(const baronet_netlist *netlist, const char *state, double bend) {
    const baronet_question question = {.state = state, .bend = bend};
    return ask(netlist, baronet_times, &question);
}

Test(times_page, says_what_is_in_play_and_how_soon) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS CROSS);
    baronet_answer *answer = times_of(netlist, "level", 0.0);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("level", page);
    ask_expect(page, "State level (open: left-gate, right-gate and cross)");
    ask_expect(page, "Softening of heave: 63 % is there after 0.00");
    ask_expect(page, "In play: left-gate and right-gate.");
    ask_expect(page, "Cross-link cross: ");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(times_page, tells_how_well_it_was_solved) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS CROSS);
    for (int slow = 0; slow < 2; slow++) {
        const baronet_question question = {
            .state = "level", .swing_amplitude = 0.01, .swing_frequency = slow == 1 ? 1e-9 : 1.0};
        baronet_answer *answer = ask(netlist, baronet_times, &question);
        const char *page = ask_render(answer, BARONET_TEXT, false);
        ask_expect(page, "; linear condition about ");
        ask_expect(page, "; each constant fulfils its equation within 1e-08");
        cr_expect_eq(ask_says(page, "caution: the equations are nearly singular"), slow == 1);
        baronet_answer_destroy(answer);
    }
    baronet_netlist_destroy(netlist);
}

Test(times_page, gives_its_figures) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS CROSS);
    baronet_answer *answer = times_of(netlist, "level", 0.0);
    ask_check_figures("times", answer, BARONET_METRIC);
    const double first = baronet_answer_value(answer, "level", "settled", "settle_time_63", "roll");
    const double last = baronet_answer_value(answer, "level", "settled", "settle_time_95", "roll");
    cr_expect(first > 0.0 && last > first, "%g, %g", first, last);
    const double wide = baronet_answer_value(answer, "level", "", "path_frequency", "left-gate");
    const double narrow = baronet_answer_value(answer, "level", "", "path_frequency", "cross");
    cr_expect(narrow > 0.0 && wide > 10.0 * narrow, "%g, %g", wide, narrow);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* The bend that a cross-link is judged by is the one that was asked about. */
Test(times_page, speaks_of_the_bend_that_is_asked_about) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS CROSS);
    char *pages[2];
    for (int k = 0; k < 2; k++) {
        baronet_answer *answer = times_of(netlist, "level", k == 0 ? 0.0 : 0.3);
        pages[k] = strdup(ask_render(answer, BARONET_TEXT, false));
        baronet_answer_destroy(answer);
    }
    cr_expect_str_neq(pages[0], pages[1]);
    free(pages[0]);
    free(pages[1]);
    baronet_netlist_destroy(netlist);
}

Test(times_page, where_nothing_is_open_nothing_softens) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    baronet_answer *answer = times_of(netlist, "firm", 0.0);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("firm", page);
    ask_expect(page, "Softening of heave: none; no open path leads its air anywhere.");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(times_page, an_unanswered_state_says_why) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS AXLE_DUMP);
    baronet_answer *answer = times_of(netlist, "down", 0.0);
    cr_expect_eq(baronet_answer_status(answer), BARONET_FLAT);
    cr_expect_eq(baronet_answer_figures(answer), 0);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("down", page);
    ask_expect(page, "flat: `left` is open to the atmosphere");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(times_page, air_without_springs_is_a_page_too) {
    char *const got = ask_page(TANKS, baronet_times);
    ask_check_page("tanks", got);
    free(got);
}

/* Two hoses side by side have no frequency of their own; a valve that is shut passes its bypass; a
   thin cross-link comes too late for a bend. */
Test(times_page, paths_of_odd_kinds) {
    static const char axle_with[] =
        "corner RL at 0 m 0.9 m load 1000 kg\ncorner RR at 0 m -0.9 m load 980 kg\n"
        "bar b between RL RR roll 500 N.m/deg\n"
        "profile p area 150 cm2 volume 9 L at 300 mm\n"
        "spring l on RL profile p height 300 mm rated 12 bar\n"
        "spring r on RR profile p height 300 mm\n"
        "tank t volume 4 L pressure 5 bar\ntee j\n"
        "hose h from t to j bore 6 mm length 2 m\nhose g from t to j bore 5 mm length 2 m\n"
        "solenoid v from j to l normally closed bore 3 mm bypass 0.4 mm\n"
        "restrictor cross from l to r bore 0.25 mm\nstate shut-off\nstate all open v\n";
    baronet_netlist *netlist = ask_text(axle_with);
    baronet_answer *answer = times_of(netlist, "all", 0.0);
    ask_expect(ask_render(answer, BARONET_TEXT, false), "part of a loop");
    baronet_answer_destroy(answer);
    answer = times_of(netlist, "shut-off", 0.0);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("shut-off", page);
    ask_expect(page, "v (shut) *");
    ask_expect(page, "Cross-link cross: too slow for a bend of 3 s:");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* Behind tanks that large a cross-link has nothing left to take. */
Test(times_page, a_link_that_cannot_be_felt_is_in_no_table) {
    char *page = ask_page(AXLE "tank a volume 90 L\ntank b volume 80 L\n"
                               "restrictor ra from left to a bore 12 mm\n"
                               "restrictor rb from right to b bore 12 mm\n"
                               "restrictor cross from left to right bore 3 mm\n",
                          baronet_times);
    ask_expect(page, "Cross-link cross: does nothing that can be felt in roll");
    cr_expect_null(strstr(page, "cross in the end takes"));
    cr_expect_null(strstr(page, "cross-link: there after"));
    free(page);
}

/* A bypass through which it cannot stand once parked: to the outside, or to the other side where
   nothing else holds roll. */
Test(times_page, a_bypass_that_ends_badly_is_said) {
    char *page = ask_page(AXLE "solenoid dump from left to atmosphere normally closed bore 4 mm\n"
                               "  bypass 0.3 mm\n",
                          baronet_times);
    ask_expect(page, "caution: parked it has no answer: flat: `left` is open to the atmosphere");
    free(page);
    page = ask_page("corner RL at 0 m 0.8 m load 443 kg\ncorner RR at 0 m -0.8 m load 443 kg\n"
                    "vehicle cg-height 0.91 m roll-axis 0.2 m\n" AXLE_SLEEVE
                    "spring left on RL profile sleeve height 160 mm\n"
                    "spring right on RR profile sleeve height 160 mm\n"
                    "solenoid cross from left to right normally closed bore 6 mm bypass 0.4 mm\n",
                    baronet_times);
    ask_expect(page, "caution: cross-link cross, shut, through its bypass has no answer: unstable "
                     "in roll");
    ask_expect(page, "caution: parked it has no answer: unstable in roll");
    free(page);
}

/* Springs in the middle of their axles: what joins them is felt when the vehicle pitches. */
Test(times_page, a_link_from_front_to_rear_is_judged_in_a_move) {
    static const struct {
        const char *bore, *words;
    } cases[] = {{"0.2", "Cross-link link: too slow for a move of 3 s: "},
                 {"0.4", "Cross-link link: part of the way in a move of 3 s: "},
                 {"1", "Cross-link link: evens out in a move of 3 s: "},
                 {"7", "already gone when a move begins"}};
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        text_buffer netlist = {0};
        text_buffer_format(&netlist,
                           "corner FL at 2.3 m 0.7 m load 365 kg coil 4 N/mm carries 40 kg\n"
                           "corner FR at 2.3 m -0.7 m load 365 kg coil 4 N/mm carries 40 kg\n"
                           "corner RL at 0 m 0.7 m load 415 kg coil 4 N/mm carries 40 kg\n"
                           "corner RR at 0 m -0.7 m load 415 kg coil 4 N/mm carries 40 kg\n"
                           "profile piston area 95 cm2 volume 2.9 L at 150 mm\n"
                           "spring front on FL 0.8 FR 0.8 profile piston height 150 mm\n"
                           "spring rear on RL 0.7 RR 0.7 profile piston height 150 mm\n"
                           "restrictor link from front to rear bore %s mm\n",
                           cases[k].bore);
        char *page = ask_page(netlist.bytes, baronet_times);
        ask_expect(page, cases[k].words);
        free(page);
        text_buffer_free(&netlist);
    }
}

/* Right of the axle the rate is below nought once the pot is open to it, which a strong bar holds:
   there is no ride frequency to be in play at, and the path is no dead end. */
Test(times_page, a_path_to_what_has_no_ride_frequency) {
    char *page = ask_page(AXLE_BULGING "tank pot volume 20 L\n"
                                       "restrictor gate from right to pot bore 6 mm\n",
                          baronet_times);
    ask_expect(page, "gate *  heave       41.1 ");
    ask_expect(page, "       -      -  no ride\n");
    free(page);
}

/* Both sides the same: what flows across makes roll softer, and heave not. */
Test(times_page, roll_alone_may_soften) {
    char *page =
        ask_page("corner RL at 0 m 0.7 m load 415 kg\ncorner RR at 0 m -0.7 m load 415 kg\n"
                 "bar b between RL RR roll 350 N.m/deg\n"
                 "profile piston area 95 cm2 volume 2.9 L at 150 mm\n"
                 "spring bag on RL profile piston height 150 mm\n"
                 "spring bog on RR profile piston height 150 mm\n"
                 "restrictor c from bag to bog bore 1.3 mm\n",
                 baronet_times);
    ask_expect(page, "Softening of heave: none; no open path leads its air anywhere.");
    ask_expect(page, "Softening of roll: 63 % is there after 0.57");
    ask_expect(page, "63 % after a bump of     2.00 mm  5.00 mm  10.0 mm  20.0 mm  40.0 mm\n"
                     "  roll ");
    free(page);
}

/* A supply takes and gives what a spring and its tank move. */
Test(times_page, constants_may_end_in_a_supply) {
    char *page = ask_page("corner RL at 0 m 0.7 m load 415 kg coil 14 N/mm carries 240 kg\n"
                          "corner RR at 0 m -0.7 m load 405 kg coil 13 N/mm carries 230 kg\n"
                          "profile piston area 95 cm2 volume 2.9 L at 150 mm\n"
                          "spring bag on RL profile piston height 150 mm\n"
                          "spring bog on RR profile piston height 150 mm\n"
                          "supply shop pressure 1.8 bar\ntank t volume 2 L\n"
                          "restrictor a from shop to t bore 0.7 mm\n"
                          "restrictor b from t to bag bore 0.9 mm\n"
                          "restrictor c from shop to bog bore 0.8 mm\n",
                          baronet_times);
    ask_expect(page, "  bag and t into shop\n");
    ask_expect(page, "  bog into shop\n");
    ask_expect(page, "  t into bag\n");
    free(page);
}

/* Of 66 paths and constants some are shown; 5000 volumes get no table of swings. */
Test(times_page, shows_what_can_be_read_of_many_volumes) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, BENCH);
    for (int k = 1; k <= 66; k++) {
        text_buffer_format(&netlist,
                           "tank t%d volume %d mL\nrestrictor r%d from bag to t%d bore %d um\n", k,
                           300 + 17 * k, k, k, 200 + 30 * k);
    }
    char *page = ask_page(netlist.bytes, baronet_times);
    ask_expect(page, "In play: ");
    ask_expect(page, " more.");
    ask_expect(page, "note: and 26 more of the paths; `--as csv` has all");
    ask_expect(page, "t1 into bag, t2, t66 and others\n");
    ask_expect(page, "note: 56 quicker, of hoses and blocks mostly; `--as csv` has the slowest");
    free(page);
    text_buffer_free(&netlist);
    text_buffer_add(&netlist,
                    BENCH "tank pot volume 1.2 L\nrestrictor r from bag to pot bore 3 mm\n");
    for (int k = 0; k <= 5000; k++) {
        text_buffer_format(&netlist, "supply s%d pressure 3 bar\n", k);
    }
    page = ask_page(netlist.bytes, baronet_times);
    ask_expect(page, "note: no table of swings for a network of so many volumes");
    free(page);
    text_buffer_free(&netlist);
}

typedef struct told {
    int calls, count;
    char names[100];
} told;

static void note_part(void *context, const char *part, int done, int count) {
    told *const t = context;
    cr_expect_eq(done, t->calls, "in order");
    t->count = count;
    t->calls++;
    strcat(strcat(t->names, part), " ");
}

/* Whoever watches is told each state, or event, before it is looked at. */
Test(times_page, parts_of_the_work_are_told) {
    static const struct {
        baronet_study *study;
        const char *names;
    } cases[] = {{baronet_times, "soft firm "},
                 {baronet_response, "soft firm "},
                 {baronet_ride, "soft firm "},
                 {baronet_play, "sag bump "}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        told t = {0};
        baronet_netlist *netlist =
            ask_text(AXLE AXLE_TANKS "event sag until 1 s\n  at 0.1 s shut left-gate\n"
                                     "event bump until 1 s\n  at 0.2 s open left-gate\n");
        const baronet_question question = {.progress = note_part, .progress_context = &t};
        baronet_answer *answer = ask(netlist, cases[i].study, &question);
        cr_expect_str_eq(t.names, cases[i].names);
        cr_expect_eq(t.count, 2);
        baronet_answer_destroy(answer);
        baronet_netlist_destroy(netlist);
    }
}
