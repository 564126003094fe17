/* The page of `vary`. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
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
