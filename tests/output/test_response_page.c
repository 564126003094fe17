/* The page of `response`: stiffness and the body's answer to the road against frequency. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "support.h"

static ask_table response_of(const char *words, const baronet_question *question) {
    baronet_netlist *netlist = ask_text(words);
    baronet_answer *answer = ask(netlist, baronet_response, question);
    ask_check_page("response", ask_render(answer, BARONET_TEXT, false));
    ask_table read = ask_read_csv("response", ask_render(answer, BARONET_CSV, false));
    cr_assert_eq(read.columns, 6);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    return read;
}

static void expect_header(const ask_table *read, const char *const *header) {
    for (size_t k = 0; k < read->columns; k++) {
        cr_expect_str_eq(read->field[k], header[k]);
    }
}

Test(response_page, the_series_has_units_in_its_header) {
    static const char *const header[3][6] = {
        {"state", "case", "motion", "frequency [Hz]", "storage [N/mm]", "loss [N/mm]"},
        {"state", "case", "motion", "frequency [Hz]", "storage [lbf/in]", "loss [lbf/in]"},
        {"state", "case", "motion", "frequency [Hz]", "storage [N/m]", "loss [N/m]"}};
    static const char *const road[] = {"state",          "case",          "motion",
                                       "frequency [Hz]", "body_per_road", "phase [deg]"};
    for (int units = 0; units < 3; units++) {
        const baronet_question question = {
            .units = (baronet_unit_system)units, .points = 5, .state = "soft", .motion = "heave"};
        ask_table read = response_of(AXLE AXLE_TANKS, &question);
        expect_header(&read, header[units]);
        cr_expect_eq(read.rows, 6);
        ask_free_csv(&read);
    }
    const baronet_question question = {.points = 5, .state = "soft", .road = true};
    ask_table read = response_of(AXLE AXLE_TANKS, &question);
    expect_header(&read, road);
    ask_free_csv(&read);
}

/* From settled, through the whole range that was asked for, towards instant. */
Test(response_page, the_series_spans_what_was_asked_for) {
    const baronet_question question = {.state = "soft",
                                       .motion = "roll",
                                       .from = 0.02,
                                       .to = 2000.0,
                                       .points = 20,
                                       .units = BARONET_SI};
    ask_table read = response_of(AXLE AXLE_TANKS, &question);
    cr_assert_eq(read.rows, 21);
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    baronet_answer *stroke = ask(netlist, baronet_rates, &question);
    CHECK_REL(strtod(read.field[6 + 3], NULL), 0.02, 1e-8, "asked for");
    CHECK_REL(strtod(read.field[20 * 6 + 3], NULL), 2000.0, 1e-8, "asked for");
    for (size_t k = 1; k < read.rows; k++) {
        cr_expect_str_eq(read.field[k * 6 + 2], "roll");
        cr_expect_gt(strtod(read.field[k * 6 + 4], NULL), 0.0);
    }
    cr_expect_gt(strtod(read.field[20 * 6 + 4], NULL), strtod(read.field[6 + 4], NULL));
    baronet_answer_destroy(stroke);
    baronet_netlist_destroy(netlist);
    ask_free_csv(&read);
}

static char *page_of(baronet_question question) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    question.state = "soft";
    question.motion = "heave";
    baronet_answer *answer = ask(netlist, baronet_response, &question);
    char *const page = strdup(ask_render(answer, BARONET_TEXT, false));
    ask_check_page("response", page);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    return page;
}

static int table_rows(const char *page) {
    const char *row = strstr(page, "storage N/mm");
    cr_assert_not_null(row, "%s", page);
    int rows = 0;
    for (row += strcspn(row, "\n") + 1; *row == ' '; row += strcspn(row, "\n") + 1) {
        rows++;
    }
    return rows;
}

/* Round frequencies where they are known well enough, else those that were worked out. */
Test(response_page, the_table_shows_what_was_worked_out) {
    char *const whole = page_of((baronet_question){.units = BARONET_METRIC});
    cr_expect_eq(table_rows(whole), 12);
    ask_expect(whole, "\n         0.0100 ");
    ask_expect(whole, "\n           20.0 ");
    char *const narrow = page_of((baronet_question){.from = 3.0, .to = 4.0});
    cr_expect_geq(table_rows(narrow), 4, "%s", narrow);
    char *const coarse = page_of((baronet_question){.points = 3});
    cr_expect_eq(table_rows(coarse), 3, "nothing is guessed between three points:\n%s", coarse);
    free(whole);
    free(narrow);
    free(coarse);
}

Test(response_page, rounding_that_may_show_has_a_caution) {
    char *const usual = page_of((baronet_question){.units = BARONET_METRIC});
    ask_expect(usual, "linear residual at most 1e-10, condition about ");
    cr_expect(!ask_says(usual, "nearly singular"), "%s", usual);
    char *const slow = page_of((baronet_question){.from = 1e-9, .to = 1.0});
    ask_expect(slow, "caution: the equations are nearly singular: rounding may show as ");
    free(usual);
    free(slow);
}

Test(response_page, wrong_questions_are_refused) {
    static const char motion[] = "sway";
    const struct {
        baronet_question question;
        baronet_status status;
    } cases[] = {
        {{.motion = motion}, BARONET_NO_SUCH_NAME}, {{.from = 5.0, .to = 4.0}, BARONET_BAD_USAGE},
        {{.from = 60.0}, BARONET_BAD_USAGE},        {{.points = 1}, BARONET_BAD_USAGE},
        {{.points = 1000000}, BARONET_TOO_MANY},    {{.from = 1e-15}, BARONET_SINGULAR},
    };
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        baronet_answer *answer = NULL;
        const char *what = NULL;
        const baronet_status status = baronet_response(netlist, &cases[i].question, &answer, &what);
        cr_expect_eq(status, cases[i].status, "%zu: %s", i, baronet_status_text(status));
        cr_expect_null(answer);
        cr_expect(status != BARONET_NO_SUCH_NAME || what == motion);
        cr_expect(status != BARONET_SINGULAR || strstr(what, "--from") != NULL);
    }
    baronet_netlist_destroy(netlist);
}

Test(response_page, air_without_springs_has_no_response) {
    char *const got = ask_page(TANKS, baronet_response);
    ask_check_page("tanks", got);
    free(got);
}

Test(response_page, draws_what_is_asked_for) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    const baronet_question storage = {.state = "soft", .points = 7, .plot = "roll.storage"};
    baronet_answer *answer = ask(netlist, baronet_response, &storage);
    cr_expect_not_null(strstr(ask_render(answer, BARONET_TEXT, false), "\xE2\xA0"), "braille");
    baronet_answer_destroy(answer);
    const baronet_question unknown = {.state = "soft", .points = 7, .plot = "roll.storm"};
    const char *what = NULL;
    answer = NULL;
    cr_expect_eq(baronet_response(netlist, &unknown, &answer, &what), BARONET_NO_SUCH_NAME);
    cr_expect_str_eq(what, "roll.storm");
    cr_expect_null(answer);
    baronet_netlist_destroy(netlist);
}

/* A curve that is named with its motion is drawn whether it is on the page or not. */
Test(response_page, draws_a_motion_by_its_name) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    const baronet_question question = {
        .state = "soft", .plot = "one-wheel:RL.storage", .points = 9};
    baronet_answer *answer = ask(netlist, baronet_response, &question);
    ask_expect(ask_render(answer, BARONET_TEXT, false), "(one-wheel:RL), N/mm");
    baronet_answer_destroy(answer);
    const baronet_question all = {.state = "soft", .plot = "storage", .points = 9};
    answer = ask(netlist, baronet_response, &all);
    cr_expect_null(strstr(ask_render(answer, BARONET_TEXT, false), "(one-wheel:RL), N/mm"));
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}
