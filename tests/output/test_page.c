/* SPDX-License-Identifier: MIT */
#include "output/page.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "ask.h"
#include "netlist/netlist.h"
#include "support.h"

#define DEFINITION "inch, pound, standard gravity and the degree Celsius by definition"

static const char bench[] = "profile p area 95 cm2 volume 1.9 L at 150 mm\n"
                            "spring bag profile p height 150 mm load 300 kg rated 8 bar\n";

Test(page, numbers_have_three_significant_digits) {
    static const struct {
        baronet_dimension dimension;
        baronet_unit_system units;
        double value;
        const char *shown;
    } cases[] = {
        {BARONET_LENGTH, BARONET_METRIC, 0.1653, "165 mm"},
        {BARONET_LENGTH, BARONET_METRIC, 0.01653, "16.5 mm"},
        {BARONET_LENGTH, BARONET_METRIC, -0.001653, "-1.65 mm"},
        {BARONET_LENGTH, BARONET_IMPERIAL, 0.0254 * 6.508, "6.51 in"},
        {BARONET_LENGTH, BARONET_SI, 0.1653, "0.165 m"},
        {BARONET_PRESSURE, BARONET_METRIC, 503456.0, "5.03 bar"},
        {BARONET_PRESSURE, BARONET_IMPERIAL, 6894.757293168 * 71.234, "71.2 psi"},
        {BARONET_PRESSURE, BARONET_SI, 503456.4, "503456 Pa"},
        {BARONET_FORCE, BARONET_METRIC, 6874.6, "6875 N"},
        {BARONET_STIFFNESS, BARONET_METRIC, 9994.0, "9.99 N/mm"},
        {BARONET_STIFFNESS, BARONET_METRIC, 9996.0, "10.0 N/mm"},
        {BARONET_STIFFNESS, BARONET_METRIC, 99960.0, "100 N/mm"},
        {BARONET_STIFFNESS, BARONET_METRIC, 99.97, "0.100 N/mm"},
        {BARONET_FREQUENCY, BARONET_METRIC, 1.0, "1.00 Hz"},
        {BARONET_FREQUENCY, BARONET_METRIC, 0.98829, "0.988 Hz"},
        {BARONET_NUMBER, BARONET_METRIC, 0.4567, "0.457"},
        {BARONET_VOLUME, BARONET_SI, 0.000031, "0.000031 m3"},
        {BARONET_AIR_MASS, BARONET_METRIC, 0.0001901, "0.190 g"},
        {BARONET_TIME, BARONET_METRIC, (double)NAN, "- s"},
        {BARONET_FORCE, BARONET_METRIC, (double)INFINITY, "- N"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        page *p = page_create(NULL, cases[i].units);
        const char *shown = page_quantity(p, cases[i].dimension, cases[i].value);
        cr_expect_str_eq(shown, cases[i].shown, "%s, not %s", shown, cases[i].shown);
        baronet_answer_destroy(p);
    }
}

Test(page, a_figure_that_is_no_number_is_refused_by_name) {
    baronet_netlist *netlist = ask_text(bench);
    page *p = page_create(NULL, BARONET_METRIC);
    figure_list list = {.allocator = NULL};
    figure_list_add(&list, (figure){FIGURE_HEIGHT, LEVEL_NONE, SUBJECT_SPRING, 0, -1, 0.15});
    page_figures(p, "rates", "rest", "", netlist_model(netlist), &list);
    cr_expect_eq(baronet_answer_status(p), BARONET_OK);
    figure_list_add(
        &list, (figure){FIGURE_SPRING_RATE, LEVEL_INSTANT, SUBJECT_SPRING, 0, -1, (double)NAN});
    page_figures(p, "rates", "rest", "", netlist_model(netlist), &list);
    cr_expect_eq(baronet_answer_status(p), BARONET_NOT_FINITE);
    cr_expect_eq(baronet_answer_figures(p), 2, "the height, twice");
    ask_expect(ask_render(p, BARONET_TEXT, false),
               "caution: no number was found for `spring_rate`");
    figure_list_free(&list);
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}

Test(page, a_series_refuses_what_is_no_number) {
    static const char *const label[] = {"state"}, *const row[] = {"soft"};
    static const series_column column[] = {{"time", BARONET_TIME}, {"heave", BARONET_LENGTH}};
    const double inf = (double)INFINITY, nan = (double)NAN;
    const struct {
        double value[2];
        int whole;
        const char *named; /* NULL where it is let through */
    } cases[] = {
        {{0.3, 0.7}, 2, NULL},     {{0.3, nan}, 1, NULL}, {{0.3, nan}, 2, "`heave`"},
        {{nan, 0.7}, 1, "`time`"}, {{nan, nan}, 0, NULL}, {{0.3, -inf}, 0, "`heave`"},
        {{inf, nan}, 2, "`time`"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        page *p = page_create(NULL, BARONET_METRIC);
        series *s = page_series(p, 1, label, 2, column);
        series_set_whole(s, cases[i].whole);
        series_add(s, row, cases[i].value);
        series_add(s, row, cases[i].value);
        const char *got = ask_render(p, BARONET_TEXT, false);
        cr_expect_eq(baronet_answer_status(p),
                     cases[i].named != NULL ? BARONET_NOT_FINITE : BARONET_OK, "%zu", i);
        cr_expect_eq(ask_says(got, "no number was found for"), cases[i].named != NULL, "%zu", i);
        cr_expect(cases[i].named == NULL || ask_says(got, cases[i].named), "%zu: %s", i, got);
        cr_expect_null(strstr(ask_render(p, BARONET_CSV, false), "inf"));
        cr_expect_null(strstr(ask_render(p, BARONET_CSV, false), "nan"));
        baronet_answer_destroy(p);
    }
}

/* No netlist is known that does it, so a model is spoilt behind the program's back. */
Test(page, no_study_lets_out_what_is_no_number) {
    baronet_netlist *netlist = ask_text(bench);
    model *const spoilt = (model *)netlist_model(netlist);
    spoilt->gas = (gas){.kind = GAS_EXPONENT, .exponent = (double)INFINITY};
    const baronet_question question = {.units = BARONET_METRIC};
    baronet_answer *answer = ask(netlist, baronet_rates, &question);
    cr_expect_eq(baronet_answer_status(answer), BARONET_NOT_FINITE);
    for (size_t i = 0; i < baronet_answer_figures(answer); i++) {
        cr_expect(isfinite(baronet_answer_figure(answer, i)->value), "%s",
                  baronet_answer_figure(answer, i)->quantity);
    }
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(page, a_nought_is_a_nought_whatever_its_sign) {
    page *p = page_create(NULL, BARONET_METRIC);
    static const double noughts[] = {0.0, -0.0, 1e-13, -1e-13, -1e-300};
    for (size_t i = 0; i < sizeof noughts / sizeof *noughts; i++) {
        cr_expect_str_eq(page_quantity(p, BARONET_LENGTH, noughts[i]), "0.0 mm");
        cr_expect_str_eq(page_change(p, BARONET_LENGTH, noughts[i]), "0.0 mm");
        cr_expect_str_eq(page_number(p, BARONET_LENGTH, noughts[i], 2), "0.00");
    }
    cr_expect_str_eq(page_number(p, BARONET_LENGTH, -4e-6, 2), "0.00");
    cr_expect_str_eq(page_slight(p, 0.0), "0");
    baronet_answer_destroy(p);
}

Test(page, changes_have_a_sign) {
    page *p = page_create(NULL, BARONET_METRIC);
    cr_expect_str_eq(page_change(p, BARONET_STIFFNESS, 2344.0), "+2.34 N/mm");
    cr_expect_str_eq(page_change(p, BARONET_STIFFNESS, -2346.0), "-2.35 N/mm");
    cr_expect_str_eq(page_change(p, BARONET_STIFFNESS, (double)NAN), "- N/mm");
    baronet_answer_destroy(p);
}

/* A temperature is a point on a scale, a change of temperature is a length on it. */
Test(page, temperatures_have_an_offset_and_their_changes_none) {
    static const struct {
        baronet_unit_system units;
        const char *absolute, *change;
    } cases[] = {{BARONET_METRIC, "20.0 C", "+10.0 C"},
                 {BARONET_IMPERIAL, "68.0 F", "+18.0 F"},
                 {BARONET_SI, "293 K", "+10.0 K"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        page *p = page_create(NULL, cases[i].units);
        cr_expect_str_eq(page_quantity(p, BARONET_TEMPERATURE, 293.15), cases[i].absolute);
        cr_expect_str_eq(page_change(p, BARONET_TEMPERATURE, 10.0), cases[i].change);
        baronet_answer_destroy(p);
    }
}

Test(page, residuals_are_told_by_a_bound) {
    page *p = page_create(NULL, BARONET_METRIC);
    cr_expect_str_eq(page_slight(p, 4.71e-16), "1e-10");
    cr_expect_str_eq(page_slight(p, 4.71e-7), "5e-07");
    cr_expect_str_eq(page_slight(p, 2e-8), "2e-08");
    cr_expect_str_eq(page_slight(p, 0.0123), "0.02");
    cr_expect_str_eq(page_slight(p, (double)NAN), "-");
    baronet_answer_destroy(p);
}

Test(page, a_row_has_one_number_of_decimals) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double values[] = {0.9, 11.23, (double)NAN, -3.0};
    cr_expect_eq(page_decimals(p, BARONET_NUMBER, 4, values), 1);
    static const char *const header[] = {"what", NULL, "a", "b", "c", "d"};
    table *t = page_table(p, 6, 2, header);
    table_values(t, "numbers", BARONET_NUMBER, 4, values);
    table_values(t, "rates", BARONET_STIFFNESS, 4, (const double[]){1e3, 1e5, 0.0, -2e3});
    static const char *const expected[2][6] = {{"numbers", "", "0.9", "11.2", "-", "-3.0"},
                                               {"rates", "N/mm", "1", "100", "0", "-2"}};
    const table_row *row = t->first;
    for (int r = 0; r < 2; r++, row = row->next) {
        for (int c = 0; c < 6; c++) {
            cr_expect_str_eq(row->cell[c], expected[r][c], "row %d, column %d: %s", r, c,
                             row->cell[c]);
        }
    }
    cr_expect_eq(t->rows, 2);
    baronet_answer_destroy(p);
}

Test(page, keeps_the_first_status) {
    page *p = page_create(NULL, BARONET_METRIC);
    cr_expect_eq(baronet_answer_status(p), BARONET_OK);
    page_set_status(p, BARONET_OK);
    page_set_status(p, BARONET_FLAT);
    page_set_status(p, BARONET_NOT_MET);
    cr_expect_eq(baronet_answer_status(p), BARONET_FLAT);
    baronet_answer_destroy(p);
    baronet_answer_destroy(NULL);
}

Test(page, figures_are_copied_with_all_their_names) {
    baronet_netlist *netlist = ask_text(bench);
    const model *m = netlist_model(netlist);
    page *p = page_create(NULL, BARONET_SI);
    figure one = {FIGURE_SPRING_RATE, LEVEL_SETTLED, SUBJECT_SPRING, 0, -1, 54321.0};
    const figure_list list = {.figure = &one, .count = 1};
    char state[] = "open", with[] = "laden";
    page_figures(p, "rates", state, with, m, &list);
    memset(state, 'x', sizeof state - 1);
    memset(with, 'x', sizeof with - 1);
    one.value = 1.0;
    cr_assert_eq(baronet_answer_figures(p), 1);
    const baronet_figure *f = baronet_answer_figure(p, 0);
    cr_expect_str_eq(f->study, "rates");
    cr_expect_str_eq(f->state, "open");
    cr_expect_str_eq(f->load_case, "laden");
    cr_expect_str_eq(f->level, "settled");
    cr_expect_str_eq(f->quantity, "spring_rate");
    cr_expect_str_eq(f->subject, "bag");
    cr_expect_eq((int)f->dimension, BARONET_STIFFNESS);
    CHECK_REL(f->value, 54321.0, 0.0, "as given");
    CHECK_REL(baronet_answer_value(p, "open", "settled", "spring_rate", "bag"), 54321.0, 0.0,
              "as given");
    cr_expect(isnan(baronet_answer_value(p, "open", "parked", "spring_rate", "bag")));
    cr_expect(isnan(baronet_answer_value(p, "open", "settled", "spring_rate", "tank")));
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}

Test(page, strings_are_its_own) {
    page *p = page_create(NULL, BARONET_METRIC);
    char words[] = "words";
    page_add(p, BLOCK_TITLE, words);
    const char *const header[] = {words, words};
    table *t = page_table(p, 2, 1, header);
    table_add(t, header);
    static const series_column column[] = {{"load", BARONET_FORCE}};
    series *s = page_series(p, 1, header, 1, column);
    series_add(s, header, (const double[]){2.0});
    memset(words, 'x', sizeof words - 1);
    cr_expect_str_eq(p->first->text, "words");
    cr_expect_str_eq(t->header[1], "words");
    cr_expect_str_eq(t->first->cell[1], "words");
    cr_expect_str_eq(s->label[0], "words");
    cr_expect_str_eq(s->first->label[0], "words");
    baronet_answer_destroy(p);
}

/* Two pages in one, the second with sections of two states. */
static page *two_pages(const baronet_allocator *allocator, const model *m) {
    page *p = page_create(allocator, BARONET_METRIC);
    page *part = p != NULL ? page_create(allocator, BARONET_METRIC) : NULL;
    if (part == NULL) {
        baronet_answer_destroy(p);
        return NULL;
    }
    page_set_state(p, "soft");
    page_add(p, BLOCK_HEADING, "first");
    page_set_state(part, "soft");
    page_add(part, BLOCK_HEADING, "second");
    page_add(part, BLOCK_LEAD, "words");
    page_set_state(part, "hard");
    page_add(part, BLOCK_HEADING, "third");
    page_set_state(part, NULL);
    page_add(part, BLOCK_NOTE, "of all");
    figure one = {FIGURE_LOAD, LEVEL_NONE, SUBJECT_SPRING, 0, -1, 3.0};
    const figure_list list = {.figure = &one, .count = 1};
    page_figures(part, "rates", "soft", "", m, &list);
    page_adopt(p, part);
    for (const block *b = part->first; b != NULL; b = b->next) {
        page_repeat(p, part, b);
    }
    return p;
}

Test(page, a_part_is_repeated_with_its_sections_and_figures) {
    baronet_netlist *netlist = ask_text(bench);
    page *p = two_pages(NULL, netlist_model(netlist));
    static const struct {
        const char *text, *state;
        int section;
    } expected[] = {{"first", "soft", 1},
                    {"second", "soft", 2},
                    {"words", "soft", 2},
                    {"third", "hard", 3},
                    {"of all", NULL, 0}};
    const block *b = p->first;
    for (size_t k = 0; k < sizeof expected / sizeof expected[0]; k++, b = b->next) {
        cr_assert_not_null(b);
        cr_expect_str_eq(b->text, expected[k].text);
        cr_expect_eq(b->section, expected[k].section, "%s: %d", b->text, b->section);
        cr_expect_eq(b->state == NULL, expected[k].state == NULL);
        cr_expect(b->state == NULL || strcmp(b->state, expected[k].state) == 0);
    }
    cr_expect_null(b);
    cr_assert_eq(baronet_answer_figures(p), 1);
    cr_expect_str_eq(baronet_answer_figure(p, 0)->state, "soft");
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}

Test(page, parts_survive_running_out_of_memory) {
    baronet_netlist *netlist = ask_text(bench);
    bool refused = true;
    for (size_t k = 1; refused; k++) {
        failing f;
        page *p = two_pages(failing_start(&f, k), netlist_model(netlist));
        cr_expect(p == NULL || p->failed == f.failed, "request %zu", k);
        baronet_answer_destroy(p);
        cr_expect_eq(f.live, 0, "request %zu", k);
        refused = f.failed;
        cr_expect(refused || k > 5);
    }
    baronet_netlist_destroy(netlist);
}

static void write_page(page *p, const model *m) {
    static const char *const header[] = {"what", NULL, "got"};
    page_addf(p, BLOCK_TITLE, "%s", "a title");
    page_add(p, BLOCK_LEAD, page_quantity(p, BARONET_PRESSURE, 1e5));
    table *t = page_table(p, 3, 2, header);
    table_set_prose(t);
    table_values(t, "rate", BARONET_STIFFNESS, 1, (const double[]){2e4});
    table_add(t, header);
    figure one = {FIGURE_LOAD, LEVEL_NONE, SUBJECT_SPRING, 0, -1, 3.0};
    const figure_list list = {.figure = &one, .count = 1};
    page_figures(p, "rates", "rest", "", m, &list);
    static const series_column column[] = {{"load", BARONET_FORCE}};
    series *s = page_series(p, 1, header, 1, column);
    series_add(s, header, (const double[]){2.0});
}

/* The first refusal is kept, all that follows is ignored, and nothing is lost. */
Test(page, survives_running_out_of_memory) {
    baronet_netlist *netlist = ask_text(bench);
    for (size_t k = 1;; k++) {
        failing f;
        const baronet_allocator *allocator = failing_start(&f, k);
        page *p = page_create(allocator, BARONET_METRIC);
        if (p != NULL) {
            write_page(p, netlist_model(netlist));
            cr_expect_eq(p->failed, f.failed, "request %zu", k);
        }
        cr_expect(p != NULL || f.failed);
        baronet_answer_destroy(p);
        cr_expect_eq(f.live, 0, "request %zu", k);
        if (!f.failed) {
            cr_expect_gt(k, 5);
            break;
        }
    }
    baronet_netlist_destroy(netlist);
}

Test(page, what_happens_in_time_has_no_finer_digits_than_it_deserves) {
    static const struct {
        baronet_dimension dimension;
        baronet_unit_system units;
        double value;
        const char *words;
    } cases[] = {
        {BARONET_LENGTH, BARONET_METRIC, -0.0384712, "-38.5 mm"},
        {BARONET_LENGTH, BARONET_METRIC, 8.94e-6, "0.0 mm"},
        {BARONET_LENGTH, BARONET_IMPERIAL, 0.0254, "+1.000 in"},
        {BARONET_LENGTH, BARONET_SI, 0.0384712, "+0.0385 m"},
        {BARONET_PRESSURE, BARONET_METRIC, 295.0, "0.00 bar"},
        {BARONET_PRESSURE, BARONET_SI, 475096.3, "+475096 Pa"},
        {BARONET_ANGLE, BARONET_METRIC, -0.0108, "-0.62 deg"},
    };
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        page *p = page_create(NULL, cases[k].units);
        cr_expect_str_eq(page_fine_change(p, cases[k].dimension, cases[k].value), cases[k].words);
        baronet_answer_destroy(p);
    }
}

/* A number that is none has no unit; other dimensions are fine at one; what is beyond a table's
   columns is left out. */
Test(page, odd_numbers_and_values_beyond_the_columns) {
    page *p = page_create(NULL, BARONET_METRIC);
    text_buffer words = {0};
    page_write(p, BARONET_LENGTH, (double)NAN, &words);
    cr_expect_str_eq(words.bytes, "-");
    text_buffer_free(&words);
    cr_expect_eq(page_fine(p, BARONET_TIME), page_decimals(p, BARONET_TIME, 1, &(double){1.0}));
    static const char *const header[] = {"figure", NULL, "soft"};
    static const double values[] = {0.113, 0.127};
    table *t = page_table(p, 3, 2, header);
    table_values(t, "height", BARONET_LENGTH, 2, values);
    const char *said = ask_render(p, BARONET_TEXT, false);
    ask_expect(said, "height  mm   113\n");
    cr_expect_null(strstr(said, "127"));
    baronet_answer_destroy(p);
}
