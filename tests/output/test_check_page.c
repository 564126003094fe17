/* The page of `check`: what is in a netlist, and whether its requirements are met. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "solved.h"
#include "support.h"

Test(check_page, says_what_is_in_a_netlist) {
    static const struct {
        const char *netlist, *words;
    } cases[] = {
        {BENCH, "The netlist is sound: 1 spring, 1 state."},
        {TANKS, "The netlist is sound: 2 tanks, 1 hose, 1 state."},
        {AXLE, "The netlist is sound: 2 corners, 1 axle, 2 springs, 1 state."},
        /* `firm` is the de-energised state, so `rest` is no other. */
        {AXLE AXLE_TANKS, "2 corners, 1 axle, 2 springs, 2 tanks, 2 solenoids, 2 states."},
        {AXLE
         "tank t volume 1 L pressure 3 bar\nsolenoid g from left to t normally closed bore 4 mm\n"
         "state only open g\ncharge in only\n",
         "2 springs, 1 tank, 1 solenoid, 2 states."},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char *const got = ask_page(cases[i].netlist, baronet_check);
        ask_check_page(cases[i].netlist, got);
        ask_expect(got, cases[i].words);
        free(got);
    }
}

/* The status, the verdict's words and the figure that decided, for one requirement. */
static void expect_verdict(const char *requirement, baronet_status status, const char *verdict,
                           const char *row) {
    char words[2048];
    snprintf(words, sizeof words, "%srequire %s\n",
             AXLE AXLE_TANKS "case laden RL +60 kg RR +50 kg levelled\n"
                             "case heavy RL +60 kg RR +50 kg unlevelled\n",
             requirement);
    baronet_netlist *netlist = ask_text(words);
    const baronet_question question = {.units = BARONET_METRIC};
    baronet_answer *answer = ask(netlist, baronet_check, &question);
    cr_expect_eq(baronet_answer_status(answer), status, "%s: %s", requirement,
                 baronet_status_text(baronet_answer_status(answer)));
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page(requirement, page);
    ask_expect(page, verdict);
    ask_check_figures(requirement, answer, BARONET_METRIC);
    ask_expect(ask_render(answer, BARONET_CSV, false), row);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(check_page, judges_each_kind_of_requirement) {
    expect_verdict("spring_rate of left below 20 N/mm settled in soft", BARONET_OK,
                   "1 of 1 requirements met.", "check,soft,,settled,spring_rate,left,14.58");
    /* In no state in particular: the worst of them. */
    expect_verdict("spring_rate of left below 20 N/mm settled", BARONET_NOT_MET,
                   "0 of 1 requirements met, 1 NOT MET",
                   "check,firm,,settled,spring_rate,left,42.8");
    /* A figure of where it stands needs no level, one of rates is then the settled one. */
    expect_verdict("load of RL above 4 kN", BARONET_OK, "met soft", "check,soft,,,load,RL,4462");
    expect_verdict("spring_rate of left above 40 N/mm in firm", BARONET_OK, "met firm",
                   "check,firm,,settled,spring_rate,left,42.8");
    expect_verdict("load of RL above 5000 N with laden", BARONET_OK, "met soft",
                   "check,soft,laden,,load,RL,5050");
    expect_verdict("height_shift of RL above -20 mm in soft with heavy", BARONET_NOT_MET,
                   "NOT MET soft -43", "check,soft,heavy,,height_shift,RL,-43");
    expect_verdict("ride_frequency of RL below 1.4 Hz ride in soft", BARONET_OK, "met soft",
                   "check,soft,,ride,ride_frequency,RL,0.9");
    expect_verdict("settle_time_63 of heave below 1 s in soft", BARONET_OK, "met soft",
                   "check,soft,,settled,settle_time_63,heave,0.0");
}

Test(check_page, says_what_it_cannot_judge) {
    char *const got =
        ask_page(AXLE AXLE_TANKS "require roll_gradient below 6 deg/g in soft\n", baronet_check);
    ask_expect(got, "0 of 1 requirements met, 1 not judged.");
    ask_expect(got, "not judged ");
    ask_expect(got, "the figure does not exist in that state");
    free(got);
}

/* Margins are positive where there is room left, whichever way the requirement looks. */
Test(check_page, margins_are_what_is_left) {
    char *const got = ask_page(AXLE "require load of RL above 4 kN\nrequire load of RL below 5 kN\n"
                                    "require load of RL below 4 kN\n",
                               baronet_check);
    ask_expect(got, "met rest 4462 N +462 N load of RL above 4 kN");
    ask_expect(got, "met rest 4462 N +538 N load of RL below 5 kN");
    ask_expect(got, "NOT MET rest 4462 N -462 N load of RL below 4 kN");
    ask_expect(got, "caution: 2 of 3 requirements met, 1 NOT MET");
    free(got);
}

/* Their own words stay as written, what was got is in the reader's units. */
Test(check_page, requirements_are_judged_in_any_units) {
    baronet_netlist *netlist = ask_text(AXLE "require load of RL above 900 lbf\n");
    static const char *const got[] = {"4462 N", "1003 lbf", "4462 N"};
    static const char *const margin[] = {"+459 N", "+103 lbf", "+459 N"};
    for (int units = 0; units < 3; units++) {
        const baronet_question question = {.units = (baronet_unit_system)units};
        baronet_answer *answer = ask(netlist, baronet_check, &question);
        const char *page = ask_render(answer, BARONET_TEXT, false);
        ask_expect(page, got[units]);
        ask_expect(page, margin[units]);
        ask_expect(page, "load of RL above 900 lbf");
        baronet_answer_destroy(answer);
    }
    baronet_netlist_destroy(netlist);
}

Test(check_page, a_state_that_does_not_stand_is_named) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS AXLE_DUMP);
    const baronet_question question = {.units = BARONET_METRIC};
    baronet_answer *answer = ask(netlist, baronet_check, &question);
    cr_expect_eq(baronet_answer_status(answer), BARONET_FLAT);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("down", page);
    ask_expect(page, "down does not stand open: dump");
    ask_expect(page, "caution: down: flat: `left` is open to the atmosphere");
    ask_expect(page, "soft stands ");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* Requirements with a case have equilibria of their own: the camper's is held least in one. */
Test(check_page, tells_how_well_all_equilibria_were_solved) {
    static const char path[] = "netlists/camper.air";
    baronet_netlist *netlist = ask_file(path);
    baronet_answer *answer = ask(netlist, baronet_check, &(baronet_question){0});
    const char *const page = ask_render(answer, BARONET_TEXT, false);
    solved_expect(page, path, "holiday", LEVEL_NONE, 0.0, " ");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    netlist = ask_file("netlists/bench.air");
    answer = ask(netlist, baronet_check, &(baronet_question){0});
    solved_expect(ask_render(answer, BARONET_TEXT, false), "netlists/bench.air", NULL, LEVEL_NONE,
                  0.0, " ");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}
