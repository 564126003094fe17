/* The page of `draw`: a drawing, and in words what joins what.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "base/text.h"

Test(draw_page, as_text_it_lists_what_joins_what) {
    char *page = ask_page("profile p area 95 cm2 volume 2.9 L at 150 mm\n"
                          "spring bag profile p height 150 mm load 300 kg\n"
                          "tank can volume 2 L\n"
                          "solenoid gate from bag to can normally open bore 5 mm\n",
                          baronet_draw);
    ask_expect(page, "gate  solenoid  bag   can");
    free(page);
}

Test(draw_page, pressures_are_those_of_a_state) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    const baronet_question question = {.state = "linked", .show = "pressures"};
    baronet_answer *answer = ask(netlist, baronet_draw, &question);
    const baronet_question same = {.state = "linked"};
    baronet_answer *rates = ask(netlist, baronet_rates, &same);
    char words[64];
    snprintf(words, sizeof words, ">%.2f bar</text>",
             baronet_answer_value(rates, "linked", "", "gauge_pressure", "left-air") / 1e5);
    cr_expect_not_null(strstr(ask_render(answer, BARONET_SVG, false), words), "%s", words);
    baronet_answer_destroy(rates);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* What cannot be charged can be drawn; only its pressures cannot. */
Test(draw_page, a_netlist_without_an_equilibrium_can_be_drawn) {
    baronet_netlist *netlist =
        ask_text("profile p area 95 cm2 volume 2.9 L at 150 mm\n"
                 "spring bag profile p height 150 mm load 300 kg\ntank can volume 2 L\n"
                 "solenoid gate from bag to can normally closed bore 5 mm\n");
    const baronet_question plain = {0}, full = {.show = "pressures"};
    baronet_answer *answer = ask(netlist, baronet_draw, &plain);
    cr_expect_eq(baronet_answer_status(answer), BARONET_OK);
    baronet_answer_destroy(answer);
    answer = ask(netlist, baronet_draw, &full);
    cr_expect_neq(baronet_answer_status(answer), BARONET_OK);
    cr_expect_not_null(strstr(ask_render(answer, BARONET_SVG, false), ">can</text>"));
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(draw_page, unknown_names_are_refused) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = NULL;
    const char *what = NULL;
    const baronet_question state = {.state = "sofd"}, show = {.show = "bores,colours"};
    cr_expect_eq(baronet_draw(netlist, &state, &answer, &what), BARONET_NO_SUCH_NAME);
    cr_expect_str_eq(what, "sofd");
    cr_expect_eq(baronet_draw(netlist, &show, &answer, &what), BARONET_NO_SUCH_NAME);
    cr_expect_null(answer);
    baronet_netlist_destroy(netlist);
}

/* Both may be asked for; a state that does not stand has no pressures, and the plan is drawn. */
Test(draw_page, a_state_that_does_not_stand_is_drawn_without_pressures) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS AXLE_DUMP);
    const baronet_question question = {.state = "down", .show = "pressures,bores,pressures"};
    baronet_answer *answer = ask(netlist, baronet_draw, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false),
               "caution: down: no pressures: flat: `left` is open to the atmosphere");
    cr_expect_not_null(strstr(ask_render(answer, BARONET_SVG, false), ">left-gate</text>"));
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(draw_page, too_many_parts_are_refused) {
    text_buffer words = {0};
    text_buffer_add(&words, TANKS);
    for (int k = 0; k < 400; k++) {
        text_buffer_format(&words, "restrictor r%d from small to large bore 1 mm\n", k);
    }
    baronet_netlist *netlist = ask_text(words.bytes);
    baronet_answer *answer = NULL;
    const char *what = NULL;
    cr_expect_eq(baronet_draw(netlist, &(baronet_question){0}, &answer, &what), BARONET_TOO_MANY);
    cr_expect_str_eq(what, "a drawing has 400 parts at most");
    cr_expect_null(answer);
    baronet_netlist_destroy(netlist);
    text_buffer_free(&words);
}
