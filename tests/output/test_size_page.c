/* The page of `size`: its answer, put back, is what `rates` says. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "solved.h"
#include "studies/rig.h"
#include "support.h"

Test(size_page, put_back_into_rates_meets_its_targets) {
    static const baronet_change changes[] = {{"left-tank.volume=1L..8L", NULL},
                                             {"rear-bar.roll=200N.m/deg..900N.m/deg", NULL}};
    static const char *const wishes[] = {"ride_frequency of RL = 0.97 Hz ride in soft",
                                         "roll_rate above 800 N.m/deg settled in soft"};
    const baronet_question question = {
        .change = changes, .changes = 2, .wish = wishes, .wishes = 2};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = ask(netlist, baronet_size, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("size", page);
    ask_expect(page, "What is wanted is met with: left-tank.volume");
    solved_expect(page, "netlists/rear.air", NULL, LEVEL_NONE, 0.0, " as the netlist is ");
    const char *written = baronet_answer_netlist(answer);
    cr_assert_not_null(written);
    cr_expect_not_null(strstr(written, "# from the maker's curve: three rows are enough to start"));
    baronet_netlist *fresh = ask_text(written);
    const baronet_question plain = {.units = BARONET_METRIC};
    baronet_answer *rates_page = ask(fresh, baronet_rates, &plain);
    CHECK_REL(baronet_answer_value(rates_page, "soft", "ride", "ride_frequency", "RL"), 0.97, 5e-3,
              "what was asked for");
    const double roll = baronet_answer_value(rates_page, "soft", "settled", "roll_rate", "");
    cr_expect(roll > 800.0 * 180.0 / 3.14159265358979323846 && roll < 820.0 * 57.3, "%g", roll);
    ask_table t = ask_read_csv("size", ask_render(answer, BARONET_CSV, false));
    cr_assert_eq(t.rows, 3);
    cr_expect_str_eq(t.field[t.columns], "found");
    const char *said = strstr(ask_render(answer, BARONET_TEXT, false), "residual at most ");
    cr_assert_not_null(said);
    const double residual = fabs(strtod(t.field[t.columns + 3], NULL) / 0.97 - 1.0);
    const double bound = strtod(said + strlen("residual at most "), NULL);
    cr_expect(bound >= residual && bound < 2.01 * residual, "%g for %g", bound, residual);
    ask_free_csv(&t);
    baronet_answer_destroy(rates_page);
    baronet_netlist_destroy(fresh);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(size_page, says_what_cannot_be_met) {
    static const baronet_change change = {"left-tank.volume=1L..3L", NULL};
    static const char *const wishes[] = {"ride_frequency of RL = 0.7 Hz settled in soft"};
    const baronet_question question = {
        .change = &change, .changes = 1, .wish = wishes, .wishes = 1};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = ask(netlist, baronet_size, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("size", page);
    cr_expect_eq(baronet_answer_status(answer), BARONET_NOT_MET);
    ask_expect(page, "It cannot be met; nearest with: left-tank.volume 3 L");
    ask_expect(page, "residual at most 0.3;");
    ask_expect(page, "0.885 Hz is the nearest that these bounds allow");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* One axle alone has nothing against roll once both sides share their air. */
Test(size_page, says_why_a_state_has_no_answer) {
    static const baronet_change change = {"l.height=140mm..160mm", NULL};
    static const char *const wishes[] = {"gauge_pressure of l below 9 bar"};
    const baronet_question question = {
        .change = &change, .changes = 1, .wish = wishes, .wishes = 1};
    baronet_netlist *netlist = ask_text("corner A at 0 m 0.8 m load 400 kg\n"
                                        "corner B at 0 m -0.8 m load 430 kg\n"
                                        "profile p area 90 cm2 volume 1.9 L at 150 mm\n"
                                        "spring l on A profile p height 150 mm\n"
                                        "spring r on B profile p height 150 mm\n"
                                        "solenoid x from l to r normally closed bore 4 mm\n"
                                        "state apart shut x\nstate one open x\n");
    baronet_answer *answer = ask(netlist, baronet_size, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("size", page);
    cr_expect_eq(baronet_answer_status(answer), BARONET_NEUTRAL);
    ask_expect(page, "within 0.5 %; a limit binds"); /* and nothing of a residual */
    ask_expect(page, "as the netlist is, one has no answer: nothing holds roll");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(size_page, memory_may_run_out_anywhere) {
    static const baronet_change change = {"vehicle.cg-height=0.5m,0.7m", NULL};
    static const char *const wish[] = {"roll_gradient lowest settled"};
    const baronet_question question = {
        .change = &change, .changes = 1, .wish = wish, .wishes = 1, .workers = 1, .state = "apart"};
    rig_starve(baronet_size, &question);
}

/* What is wanted to be nought is measured outright, and what does not exist is not missed. */
Test(size_page, wanted_nought_and_wanted_what_is_not_there) {
    static const baronet_change change = {"left-tank.volume=1L..8L", NULL};
    static const char *const wishes[] = {"height_shift of RL = 0 mm settled in soft",
                                         "settle_time_63 of roll = 1 s in firm"};
    const baronet_question question = {
        .change = &change, .changes = 1, .wish = wishes, .wishes = 2};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = ask(netlist, baronet_size, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_expect(page, "no figure");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(size_page, a_column_is_no_size) {
    static const baronet_change change = {"sleeve.area=+-5%", NULL};
    static const char *const wish[] = {"roll_rate = 735 N.m/deg settled in soft"};
    const baronet_question question = {.change = &change, .changes = 1, .wish = wish, .wishes = 1};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = NULL;
    const char *what = NULL;
    cr_expect_eq(baronet_size(netlist, &question, &answer, &what), BARONET_BAD_USAGE);
    cr_expect_str_eq(what, "a column of a profile is no size that can be chosen");
    cr_expect_null(answer);
    baronet_netlist_destroy(netlist);
}
