/* The page of `times`: paths in play, motions softening, cross-links in a bend. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
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
