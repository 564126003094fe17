/* What every design page reads of its question. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "base/text.h"

static baronet_status refuse(const baronet_question *question, baronet_diagnostics *said,
                             const char **what) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_question q = *question;
    baronet_answer *answer = NULL;
    q.said = said;
    const baronet_status status = baronet_vary(netlist, &q, &answer, what);
    cr_expect_null(answer);
    baronet_netlist_destroy(netlist);
    return status;
}

Test(design, all_that_is_wrong_is_said_in_one_run) {
    static const baronet_change changes[] = {{"left-tank.volume=1L..2kg", NULL},
                                             {"left-tonk.volume=1L..2L", NULL}};
    static const char *const wishes[] = {"roll_rote", "ride_frequincy of RL", "roll_rate"};
    const baronet_question question = {
        .change = changes, .changes = 2, .wish = wishes, .wishes = 3};
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    const char *what = NULL;
    cr_expect_eq(refuse(&question, said, &what), BARONET_BAD_USAGE);
    cr_expect_null(what);
    const char *words = baronet_diagnostics_text(said, false);
    static const char *const parts[] = {"`kg` is a unit of mass",
                                        "did you mean `left-tank`?",
                                        "did you mean `roll_rate`?",
                                        "did you mean `ride_frequency`?",
                                        "--change:1:",
                                        "--of:1:1:"};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        cr_expect_not_null(strstr(words, parts[i]), "%s in %s", parts[i], words);
    }
    baronet_diagnostics_destroy(said);
}

Test(design, what_is_missing_is_asked_for) {
    static const baronet_change change = {"left-tank.volume=1L..2L", NULL};
    static const char *const wishes[] = {"roll_rate"};
    const char *what = NULL;
    const baronet_question none = {.wish = wishes, .wishes = 1};
    cr_expect_eq(refuse(&none, NULL, &what), BARONET_BAD_USAGE);
    cr_expect_not_null(strstr(what, "--change"));
    const baronet_question aimless = {.change = &change, .changes = 1};
    what = NULL;
    cr_expect_eq(refuse(&aimless, NULL, &what), BARONET_BAD_USAGE);
    cr_expect_str_eq(what, "say which figure, as in --of 'ride_frequency of heave'");
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_answer *answer = NULL;
    cr_expect_eq(baronet_size(netlist, &aimless, &answer, &what), BARONET_BAD_USAGE);
    cr_expect_str_eq(what, "say which figure, as in --want 'ride_frequency of heave = 1.1 Hz'");
    baronet_netlist_destroy(netlist);
}

/* A volume is that of something, and a system that cannot be charged has no figures at all. */
Test(design, what_is_not_there_is_said) {
    static const baronet_change change = {"s.height=+-1%", NULL};
    static const char *const wish[] = {"volume"};
    const baronet_question question = {.change = &change, .changes = 1, .wish = wish, .wishes = 1};
    const char *what = NULL;
    baronet_answer *answer = NULL;
    baronet_netlist *netlist = ask_text("profile p area 90 cm2 volume 1.9 L at 150 mm\n"
                                        "spring s load 400 kg profile p height 150 mm\n");
    cr_expect_eq(baronet_vary(netlist, &question, &answer, &what), BARONET_BAD_USAGE);
    cr_expect_str_eq(what, "say what the figure is of, as in 'ride_frequency of heave'");
    baronet_netlist_destroy(netlist);
    netlist = ask_text("corner A at 0 m 0 m load 400 kg\n"
                       "profile p area 90 cm2 volume 1.9 L at 150 mm\n"
                       "spring s on A profile p height 150 mm\n"
                       "restrictor leak from s to atmosphere bore 1 mm\n");
    answer = ask(netlist, baronet_vary, &question);
    cr_expect_eq(baronet_answer_status(answer), BARONET_FLAT);
    ask_expect(ask_render(answer, BARONET_TEXT, false), "The system cannot be charged: flat");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* No more than can be read: 64 values, 400 figures with each state counted. */
Test(design, too_many_are_refused) {
    static baronet_change changes[65];
    static const char *wishes[401];
    for (int k = 0; k < 65; k++) {
        changes[k] = (baronet_change){"left-tank.volume=1L..2L", NULL};
    }
    for (int k = 0; k < 401; k++) {
        wishes[k] = "roll_rate in soft";
    }
    const char *what = NULL;
    const baronet_question values = {.change = changes, .changes = 65, .wish = wishes, .wishes = 1};
    cr_expect_eq(refuse(&values, NULL, &what), BARONET_TOO_MANY);
    cr_expect_str_eq(what, "64 values at most may change at once");
    const baronet_question figures = {
        .change = changes, .changes = 1, .wish = wishes, .wishes = 401};
    cr_expect_eq(refuse(&figures, NULL, &what), BARONET_TOO_MANY);
    cr_expect_str_eq(what, "400 figures at most, each state counted");
    static const char *of_states[136]; /* in three states each, and `rest` */
    for (int k = 0; k < 136; k++) {
        of_states[k] = "roll_rate";
    }
    const baronet_question counted = {
        .change = changes, .changes = 1, .wish = of_states, .wishes = 136};
    what = NULL;
    cr_expect_eq(refuse(&counted, NULL, &what), BARONET_TOO_MANY);
    cr_expect_str_eq(what, "400 figures at most, each state counted");
}

/* The same for what a netlist requires, the last of which are not read any more. */
Test(design, too_many_requirements_are_refused) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, BENCH "state only\n");
    for (int k = 0; k < 402; k++) {
        text_buffer_format(&netlist, "require wheel_rate of bag above 1%d N/m settled in only\n",
                           k);
    }
    baronet_netlist *read = ask_text(netlist.bytes);
    static const baronet_change change = {"bag.load=290kg..310kg", NULL};
    const baronet_question question = {.change = &change, .changes = 1};
    baronet_answer *answer = NULL;
    const char *what = NULL;
    cr_expect_eq(baronet_vary(read, &question, &answer, &what), BARONET_TOO_MANY);
    cr_expect_str_eq(what, "400 figures at most, each state counted");
    baronet_netlist_destroy(read);
    text_buffer_free(&netlist);
}

/* A figure for which no case is named is of the case that is asked about. */
Test(design, the_case_of_the_question_counts) {
    static const baronet_change change = {"rear-size=3L..4L", NULL};
    static const char *const wishes[] = {"roll_rate settled in firm"};
    const baronet_question question = {.change = &change,
                                       .changes = 1,
                                       .points = 2,
                                       .wish = wishes,
                                       .wishes = 1,
                                       .load_case = "holiday"};
    baronet_netlist *netlist = ask_file("netlists/camper.air");
    baronet_answer *answer = ask(netlist, baronet_vary, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false), "roll_rate settled in firm with holiday");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* A netlist's requirements are what is asked where nothing else is; each state has its figure. */
Test(design, requirements_are_the_usual_figures) {
    static const baronet_change change = {"rear-size=3L..4L", NULL};
    const baronet_question question = {.change = &change, .changes = 1, .points = 2};
    baronet_netlist *netlist = ask_file("netlists/camper.air");
    baronet_answer *answer = ask(netlist, baronet_vary, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("vary", page);
    ask_expect(page, "roll_rate settled in firm");
    ask_expect(page, "gauge_pressure of rear-left-air in steady with holiday");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}
