/* The page of `spread`. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <string.h>

#include "ask.h"
#include "solved.h"
#include "studies/rig.h"

Test(spread_page, says_what_matters) {
    static const baronet_change changes[] = {{"RL.load=+-6%", NULL},
                                             {"sleeve.area=+-3%", NULL},
                                             {"left-tank.volume=+-0.1%", NULL},
                                             {"ambient.altitude=0m..1500m", NULL}};
    static const char *const wishes[] = {"gauge_pressure of left-air below 5.3 bar in soft",
                                         "settle_time_63 of roll in firm"};
    const baronet_question question = {
        .change = changes, .changes = 4, .wish = wishes, .wishes = 2, .runs = 200, .seed = 9};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = ask(netlist, baronet_spread, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("spread", page);
    ask_expect(page, "nine vehicles in ten lie from");
    ask_expect(page, "of the vehicles are below 5.30 bar (with 95 % confidence");
    ask_expect(page, "(2) settle_time_63 of roll settled in firm: does not exist here.");
    ask_expect(page, "200 vehicles drawn with seed 9");
    ask_expect(page, "97.0 % to 103 %");
    solved_expect(page, "netlists/rear.air", NULL, LEVEL_NONE, 0.0, " as the netlist is ");
    /* The tank's size does not touch the pressure. */
    cr_expect_null(strstr(page, "left-tank.volume"));
    ask_table t = ask_read_csv("spread", ask_render(answer, BARONET_CSV, false));
    cr_assert_eq(t.rows, 201);
    cr_assert_eq(t.columns, 7);
    cr_expect_str_eq(t.field[0], "vehicle");
    cr_expect_str_eq(t.field[7 * 200], "200");
    ask_free_csv(&t);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(spread_page, memory_may_run_out_anywhere) {
    static const baronet_change change = {"vehicle.cg-height=0.5m..0.7m", NULL};
    static const char *const wish[] = {"roll_gradient settled"};
    const baronet_question question = {.change = &change,
                                       .changes = 1,
                                       .wish = wish,
                                       .wishes = 1,
                                       .workers = 1,
                                       .runs = 3,
                                       .state = "apart"};
    rig_starve(baronet_spread, &question);
}

/* Of many tolerances not every corner is looked at; of vehicles some fail, and the first says why.
 */
Test(spread_page, many_tolerances_and_some_failures) {
    static const baronet_change many[] = {
        {"RL.load=+-4%", NULL},          {"RR.load=+-4%", NULL},
        {"left-tank.volume=+-3%", NULL}, {"right-tank.volume=+-3%", NULL},
        {"left-gate.bore=+-2%", NULL},   {"right-gate.bore=+-2%", NULL},
        {"cross.bore=+-2%", NULL},       {"rear-bar.roll=+-5%", NULL},
        {"RL.tyre=+-6%", NULL},          {"RR.tyre=+-6%", NULL},
        {"RL.unsprung=+-6%", NULL},      {"RR.unsprung=+-6%", NULL},
        {"left-air.height=+-1%", NULL},  {"right-air.height=+-1%", NULL}};
    static const char *const wishes[] = {"roll_rate settled in soft"};
    baronet_question question = {.change = many,
                                 .changes = sizeof many / sizeof *many,
                                 .wish = wishes,
                                 .wishes = 1,
                                 .runs = 12,
                                 .seed = 5};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = ask(netlist, baronet_spread, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false),
               "note: the worst is that of 2 corners, to which the drawn vehicles point");
    baronet_answer_destroy(answer);
    static const baronet_change heights = {"left-air.height=100mm..205mm", NULL};
    question.change = &heights;
    question.changes = 1;
    question.runs = 40;
    answer = ask(netlist, baronet_spread, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_expect(page, " of 40 vehicles have no answer in some state; the first: ");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}
