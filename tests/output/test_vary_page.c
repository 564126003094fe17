/* The page of `vary`. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "solved.h"
#include "studies/rig.h"
#include "support.h"

static const char *const figures[] = {"ride_frequency of RL settled in soft",
                                      "roll_rate ride in linked"};

static baronet_answer *vary(const baronet_netlist *netlist, const baronet_change *changes,
                            int count, int points) {
    const baronet_question question = {
        .change = changes, .changes = count, .wish = figures, .wishes = 2, .points = points};
    return ask(netlist, baronet_vary, &question);
}

/* What stands in the table is what `rates` says of the netlist with that value. */
Test(vary_page, agrees_with_rates) {
    static const baronet_change change = {"left-tank.volume=2L..5L", NULL};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = vary(netlist, &change, 1, 4);
    ask_check_page("vary", ask_render(answer, BARONET_TEXT, false));
    solved_expect(ask_render(answer, BARONET_TEXT, false), "netlists/rear.air", NULL, LEVEL_NONE,
                  0.0, " as the netlist is ");
    ask_table t = ask_read_csv("vary", ask_render(answer, BARONET_CSV, false));
    cr_assert_eq(t.rows, 5);
    cr_assert_eq(t.columns, 3);
    cr_expect_str_eq(t.field[0], "left-tank.volume [L]");
    cr_expect_str_eq(t.field[1], "ride_frequency of RL settled in soft [Hz]");
    cr_expect_str_eq(t.field[3], "2");
    /* 3 L is what the file has. */
    const baronet_question plain = {.units = BARONET_METRIC};
    baronet_answer *rates_page = ask(netlist, baronet_rates, &plain);
    CHECK_REL(strtod(t.field[3 * 2 + 1], NULL),
              baronet_answer_value(rates_page, "soft", "settled", "ride_frequency", "RL"), 1e-8,
              "`rates` of the same netlist");
    CHECK_REL(strtod(t.field[3 * 2 + 2], NULL) * 180.0 / 3.14159265358979323846,
              baronet_answer_value(rates_page, "linked", "ride", "roll_rate", ""), 1e-8,
              "`rates` of the same netlist");
    baronet_answer_destroy(rates_page);
    ask_free_csv(&t);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(vary_page, a_grid_is_a_table_of_its_own) {
    static const baronet_change changes[] = {{"left-tank.volume+right-tank.volume=2L..5L", NULL},
                                             {"cross.bore", "2mm,4mm,8mm"}};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = vary(netlist, changes, 2, 3);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("vary", page);
    ask_expect(page, "left-tank.volume+right-tank.volume L down, cross.bore mm across");
    ask_expect(page, "2.00  4.00  8.00");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(vary_page, says_where_there_is_no_answer) {
    static const baronet_change change = {"RL.load=20kg..455kg", NULL};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = vary(netlist, &change, 1, 4);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("vary", page);
    ask_expect(page, "2 of 4 points have no answer in some state; at 20 kg");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(vary_page, memory_may_run_out_anywhere) {
    static const baronet_change change = {"vehicle.cg-height=0.5m..0.9m", NULL};
    static const char *const wish[] = {"roll_gradient settled"};
    const baronet_question question = {.change = &change,
                                       .changes = 1,
                                       .wish = wish,
                                       .wishes = 1,
                                       .points = 2,
                                       .workers = 1,
                                       .state = "apart"};
    rig_starve(baronet_vary, &question);
}

/* Steps of equal ratio, drawn over their logarithm; a column of a table in per cent. */
Test(vary_page, steps_and_columns) {
    static const baronet_change tank = {"left-tank.volume=2L..5.4L", NULL},
                                column = {"sleeve.area=+-5%", NULL};
    static const char *const wish[] = {"roll_rate settled in soft"};
    baronet_question question = {.change = &tank,
                                 .changes = 1,
                                 .wish = wish,
                                 .wishes = 1,
                                 .points = 4,
                                 .by_ratio = true,
                                 .plot = "roll_rate"};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = ask(netlist, baronet_vary, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false), "roll_rate against left-tank.volume");
    ask_table t = ask_read_csv("vary", ask_render(answer, BARONET_CSV, false));
    cr_assert_eq(t.rows, 5);
    for (size_t k = 0; k < 4; k++) {
        CHECK_REL(strtod(t.field[t.columns * (k + 1)], NULL), 2.0 * pow(2.7, (double)k / 3.0), 1e-8,
                  "equal ratios by definition");
    }
    ask_free_csv(&t);
    baronet_answer_destroy(answer);
    question =
        (baronet_question){.change = &column, .changes = 1, .wish = wish, .wishes = 1, .points = 3};
    answer = ask(netlist, baronet_vary, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("vary", page);
    ask_expect(page, "sleeve.area %");
    ask_expect(page, "(at 105 %)");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

static bool end_at_once(void *context, double part) {
    (void)part;
    ++*(int *)context;
    return false;
}

/* Work that is told to end shows what it has, and says that this is not all. */
Test(vary_page, work_that_is_ended_early_says_so) {
    static const baronet_change range = {"left-tank.volume=2L..5L", NULL},
                                chance = {"left-tank.volume=+-3%", NULL};
    static const char *const wish[] = {"roll_rate settled in soft"},
                             *const goal[] = {"roll_rate = 735 N.m/deg settled in soft"};
    int asked = 0;
    const baronet_question question = {.change = &range,
                                       .changes = 1,
                                       .wish = wish,
                                       .wishes = 1,
                                       .points = 100000,
                                       .runs = 100000,
                                       .workers = 1,
                                       .go_on = end_at_once,
                                       .go_on_context = &asked};
    const struct {
        baronet_study *study;
        const baronet_change *change;
        const char *const *wish;
        const char *words;
    } cases[] = {{baronet_vary, &range, wish, "ended early: "},
                 {baronet_spread, &chance, wish, "ended early: "},
                 {baronet_size, &range, goal, "ended early, after "}};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    for (int k = 0; k < 3; k++) {
        baronet_question own = question;
        own.change = cases[k].change;
        own.wish = cases[k].wish;
        asked = 0;
        baronet_answer *answer = ask(netlist, cases[k].study, &own);
        cr_expect(asked >= 1 && asked <= 3, "study %d asked %d times", k, asked);
        cr_expect_eq(baronet_answer_status(answer), BARONET_OVER_BUDGET, "study %d", k);
        ask_expect(ask_render(answer, BARONET_TEXT, false), cases[k].words);
        baronet_answer_destroy(answer);
    }
    baronet_netlist_destroy(netlist);
}

/* Right of the axle the rate is below nought with a large pot, so that there is no frequency as the
   netlist has it; with a small one there is. */
Test(vary_page, a_figure_that_the_netlist_has_not) {
    static const baronet_change pots = {"pot.volume", "1L,1.5L,20L"};
    static const char *const wish[] = {"ride_frequency of RR settled in soft"};
    const baronet_question question = {.change = &pots, .changes = 1, .wish = wish, .wishes = 1};
    baronet_netlist *netlist =
        ask_text(AXLE_BULGING "tank pot volume 20 L\n"
                              "solenoid gate from right to pot normally closed bore 6 mm\n"
                              "state soft open gate\n");
    baronet_answer *answer = ask(netlist, baronet_vary, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_expect(page, "(at 1 L).\n");
    cr_expect_null(strstr(page, "as the netlist has it"), "%s", page);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* A share has no unit; a grid of two ranges, and one that ends in its first row. */
Test(vary_page, figures_without_a_unit_and_grids_that_end) {
    static const baronet_change tanks[] = {{"left-tank.volume=2L..5L", NULL},
                                           {"right-tank.volume=2L..6L", NULL}};
    static const char *const wish[] = {"roll_share of RL+RR settled in soft"};
    baronet_question question = {
        .change = tanks, .changes = 1, .wish = wish, .wishes = 1, .points = 3};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = ask(netlist, baronet_vary, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false), "left-tank.volume L   (1)\n");
    baronet_answer_destroy(answer);
    question.changes = 2;
    answer = ask(netlist, baronet_vary, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false),
               "(1): left-tank.volume L down, right-tank.volume L across\n\n"
               "        2.00  4.00  6.00\n");
    baronet_answer_destroy(answer);
    int asked = 0;
    question.points = 1000;
    question.workers = 1;
    question.go_on = end_at_once;
    question.go_on_context = &asked;
    answer = ask(netlist, baronet_vary, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false), "ended early: ");
    baronet_answer_destroy(answer);
    question.points = 1001;
    const char *what = NULL;
    cr_expect_eq(baronet_vary(netlist, &question, &answer, &what), BARONET_TOO_MANY);
    cr_expect_str_eq(what, "a grid has 1000000 points at most");
    baronet_netlist_destroy(netlist);
}

Test(vary_page, a_value_without_a_unit) {
    static const baronet_change ratio = {"leak.critical=0.2..0.4", NULL};
    static const char *const wish[] = {"heave_rate settled in only"};
    const baronet_question question = {
        .change = &ratio, .changes = 1, .wish = wish, .wishes = 1, .points = 3};
    baronet_netlist *netlist = ask_text(
        AXLE "tank pot volume 2 L\n"
             "restrictor leak from left to pot sonic 0.1 L/s.bar critical 0.3\nstate only\n");
    baronet_answer *answer = ask(netlist, baronet_vary, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false), "  leak.critical  (1) N/mm\n");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* From nought there are no equal ratios; a plot of another figure leaves the picture as it is. */
Test(vary_page, no_ratios_from_nought) {
    static const baronet_change height = {"ambient.altitude=0m..600m", NULL};
    static const char *const wish[] = {"roll_rate settled in only"};
    const baronet_question question = {.change = &height,
                                       .changes = 1,
                                       .wish = wish,
                                       .wishes = 1,
                                       .points = 3,
                                       .by_ratio = true,
                                       .plot = "heave_rate"};
    baronet_netlist *netlist = ask_text(AXLE "ambient altitude 10 m\nstate only\n");
    baronet_answer *answer = NULL;
    const char *what = NULL;
    const baronet_status status = baronet_vary(netlist, &question, &answer, &what);
    cr_expect_eq(status, BARONET_OK, "%s: %s", baronet_status_text(status),
                 what != NULL ? what : "");
    if (status == BARONET_OK) {
        ask_table t = ask_read_csv("vary", ask_render(answer, BARONET_CSV, false));
        cr_expect_str_eq(t.field[2 * t.columns], "300000");
        ask_free_csv(&t);
        baronet_answer_destroy(answer);
    }
    baronet_netlist_destroy(netlist);
}
