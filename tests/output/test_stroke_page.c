/* The page of `stroke`: curves over the travel, on the page and as a series. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "solved.h"
#include "support.h"

enum { STATE, CASE, LEVEL, MOTION, CORNER, TRAVEL, LOAD, GAUGE, RATE, COLUMNS };

/* The series of one question; close with ask_free_csv. */
static ask_table stroke_of(const char *words, const baronet_question *question) {
    baronet_netlist *netlist = ask_text(words);
    baronet_answer *answer = ask(netlist, baronet_stroke, question);
    ask_check_page("stroke", ask_render(answer, BARONET_TEXT, false));
    ask_table read = ask_read_csv("stroke", ask_render(answer, BARONET_CSV, false));
    cr_assert_eq(read.columns, COLUMNS);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    return read;
}

static double number(const ask_table *read, size_t row, int column) {
    return strtod(read->field[row * COLUMNS + (size_t)column], NULL);
}

/* The row of a corner at no travel; 0 where there is none. */
static size_t rest_row(const ask_table *read, const char *corner_name) {
    for (size_t k = 1; k < read->rows; k++) {
        if (strcmp(read->field[k * COLUMNS + CORNER], corner_name) == 0 &&
            number(read, k, TRAVEL) == 0.0) {
            return k;
        }
    }
    return 0;
}

Test(stroke_page, the_series_has_units_in_its_header) {
    static const char *const travel[] = {"travel [mm]", "travel [in]", "travel [m]"};
    static const char *const load[] = {"load [N]", "load [lbf]", "load [N]"};
    static const char *const gauge[] = {"gauge_pressure [bar]", "gauge_pressure [psi]",
                                        "gauge_pressure [Pa]"};
    static const char *const rate[] = {"wheel_rate [N/mm]", "wheel_rate [lbf/in]",
                                       "wheel_rate [N/m]"};
    for (int units = 0; units < 3; units++) {
        const baronet_question question = {.units = (baronet_unit_system)units, .points = 5};
        ask_table read = stroke_of(BENCH, &question);
        const char *const header[] = {"state",     "case",       "level",
                                      "motion",    "corner",     travel[units],
                                      load[units], gauge[units], rate[units]};
        for (int k = 0; k < COLUMNS; k++) {
            cr_expect_str_eq(read.field[k], header[k]);
        }
        ask_free_csv(&read);
    }
}

/* At no travel it stands where `rates` says. */
Test(stroke_page, begins_where_the_state_stands) {
    const baronet_question question = {.state = "soft", .units = BARONET_SI};
    ask_table read = stroke_of(AXLE AXLE_TANKS, &question);
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    baronet_answer *rates = ask(netlist, baronet_rates, &question);
    static const char *const corners[] = {"RL", "RR"};
    static const char *const springs[] = {"left", "right"};
    for (int k = 0; k < 2; k++) {
        const size_t row = rest_row(&read, corners[k]);
        cr_assert_gt(row, 0);
        cr_expect_str_eq(read.field[row * COLUMNS + MOTION], "heave");
        cr_expect_str_eq(read.field[row * COLUMNS + LEVEL], "settled");
        CHECK_REL(number(&read, row, LOAD),
                  baronet_answer_value(rates, "soft", "", "load", corners[k]), 1e-8, "rates");
        CHECK_REL(number(&read, row, GAUGE),
                  baronet_answer_value(rates, "soft", "", "gauge_pressure", springs[k]), 1e-8,
                  "rates");
        CHECK_REL(number(&read, row, RATE),
                  baronet_answer_value(rates, "soft", "settled", "wheel_rate", corners[k]), 1e-5,
                  "rates, all wheels moving together");
    }
    baronet_answer_destroy(rates);
    baronet_netlist_destroy(netlist);
    ask_free_csv(&read);
}

/* Travel is a wheel's own, up towards the body: in roll one side's goes up where the other's goes
   down, and the load with it. */
Test(stroke_page, travel_is_the_wheels_own) {
    static const char words[] = AXLE "motion twist RL +1 RR -0.4\n";
    static const char *const motions[] = {"roll", "twist", "heave", "one-wheel:RR"};
    for (size_t i = 0; i < 4; i++) {
        const baronet_question question = {.motion = motions[i], .points = 9};
        ask_table read = stroke_of(words, &question);
        double least[2] = {0.0, 0.0}, most[2] = {0.0, 0.0};
        for (size_t k = 1; k < read.rows; k++) {
            const char *name = read.field[k * COLUMNS + CORNER];
            const size_t rest = rest_row(&read, name);
            const double travel = number(&read, k, TRAVEL);
            const double more = number(&read, k, LOAD) - number(&read, rest, LOAD);
            cr_expect(travel == 0.0 || travel * more > 0.0, "%s: %s moves %g, its load by %g",
                      motions[i], name, travel, more);
            const int side = name[1] == 'R';
            least[side] = fmin(least[side], travel);
            most[side] = fmax(most[side], travel);
        }
        if (strcmp(motions[i], "twist") == 0) {
            CHECK_REL(most[1], -0.4 * least[0], 1e-8, "the motion's own shape");
            CHECK_REL(least[1], -0.4 * most[0], 1e-8, "the motion's own shape");
        }
        cr_expect(least[1] < 0.0 && most[1] > 0.0);
        ask_free_csv(&read);
    }
}

Test(stroke_page, the_page_says_where_and_why_it_ends) {
    baronet_netlist *netlist = ask_text(AXLE);
    const baronet_question question = {.motion = "roll"};
    baronet_answer *answer = ask(netlist, baronet_stroke, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_expect(page, "State rest, roll, settled");
    ask_expect(page, "The motion ends at -");
    ask_expect(page, "the end of `");
    ask_expect(page, "rest, roll, RL: ");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* A bench mass has no other name to its travel than its own. */
Test(stroke_page, a_bench_is_named_once) {
    char *const got = ask_page(BENCH, baronet_stroke);
    ask_check_page("bench", got);
    ask_expect(got, "rest, one-wheel:bag: ");
    cr_expect_null(strstr(got, "bag, bag"));
    free(got);
}

Test(stroke_page, air_without_springs_does_not_move) {
    char *const got = ask_page(TANKS, baronet_stroke);
    ask_check_page("tanks", got);
    ask_expect(got, "Nothing moves: there is no spring.");
    free(got);
}

Test(stroke_page, wrong_questions_are_refused) {
    static const char motion[] = "sway", felt[] = "felt";
    const struct {
        baronet_question question;
        baronet_status status;
        const char *what; /* the very pointer, or NULL for a sentence */
    } cases[] = {
        {{.motion = motion}, BARONET_NO_SUCH_NAME, motion},
        {{.level = felt}, BARONET_NO_SUCH_NAME, felt},
        {{.level = "ride"}, BARONET_NO_SUCH_NAME, NULL},
        {{.points = 100001}, BARONET_TOO_MANY, NULL},
    };
    baronet_netlist *netlist = ask_text(AXLE);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        baronet_answer *answer = NULL;
        const char *what = NULL;
        cr_expect_eq(baronet_stroke(netlist, &cases[i].question, &answer, &what), cases[i].status);
        cr_expect_null(answer);
        cr_expect(what != NULL && (cases[i].what == NULL || what == cases[i].what));
    }
    baronet_netlist_destroy(netlist);
}

/* Three rows at the least, and about as many as are asked for. */
Test(stroke_page, has_about_as_many_rows_as_asked_for) {
    static const int points[] = {3, 5, 21, 200};
    for (size_t i = 0; i < sizeof points / sizeof *points; i++) {
        const baronet_question question = {.points = points[i]};
        ask_table read = stroke_of(BENCH, &question);
        cr_expect_gt(rest_row(&read, "bag"), 0);
        cr_expect_geq(read.rows - 1, 3);
        cr_expect_geq((int)read.rows - 1, points[i] / 3, "%zu rows for %d", read.rows, points[i]);
        cr_expect_leq((int)read.rows - 1, 3 * points[i], "%zu rows for %d", read.rows, points[i]);
        for (size_t k = 2; k < read.rows; k++) {
            cr_expect_gt(number(&read, k, TRAVEL), number(&read, k - 1, TRAVEL));
        }
        ask_free_csv(&read);
    }
}

Test(stroke_page, draws_what_is_asked_for) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    const baronet_question load = {.state = "soft", .points = 7, .plot = "RL.load"};
    baronet_answer *answer = ask(netlist, baronet_stroke, &load);
    cr_expect_not_null(strstr(ask_render(answer, BARONET_TEXT, false), "\xE2\xA0"), "braille");
    baronet_answer_destroy(answer);
    const baronet_question unknown = {.state = "soft", .points = 7, .plot = "RL.loaf"};
    const char *what = NULL;
    answer = NULL;
    cr_expect_eq(baronet_stroke(netlist, &unknown, &answer, &what), BARONET_NO_SUCH_NAME);
    cr_expect_str_eq(what, "RL.loaf");
    cr_expect_null(answer);
    baronet_netlist_destroy(netlist);
}

Test(stroke_page, tells_how_well_the_standings_of_its_level_were_solved) {
    static const char path[] = "netlists/camper.air";
    static const char *const with[] = {NULL, "holiday"};
    baronet_netlist *netlist = ask_file(path);
    for (level at = LEVEL_INSTANT; at <= LEVEL_PARKED; at++) {
        for (size_t i = 0; i < 2; i++) {
            const baronet_question question = {.level = level_name(at), .load_case = with[i]};
            baronet_answer *answer = ask(netlist, baronet_stroke, &question);
            solved_expect(ask_render(answer, BARONET_TEXT, false), path, with[i], at, 0.0, " ");
            baronet_answer_destroy(answer);
        }
    }
    baronet_netlist_destroy(netlist);
}
