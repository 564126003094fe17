/* SPDX-License-Identifier: MIT */
#include "output/view.h"

#include <criterion/criterion.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"

#define HEADER "study,state,case,level,quantity,subject,value,unit\n"

static void expect_csv(const page *p, const char *expected) {
    text_buffer out = {0};
    view_csv(p, &out);
    cr_assert_not(out.failed);
    cr_expect_str_eq(out.bytes, expected, "%s", out.bytes);
    text_buffer_free(&out);
}

/* A page with one figure, as a study would make it. */
static page *page_with(baronet_figure *one, baronet_unit_system units) {
    page *p = page_create(NULL, units);
    p->figure = malloc(sizeof *one);
    cr_assert_not_null(p->figure);
    *p->figure = *one;
    p->figures = p->figure_capacity = 1;
    return p;
}

Test(view_csv, an_answer_without_figures_is_a_header) {
    page *p = page_create(NULL, BARONET_METRIC);
    expect_csv(p, HEADER);
    baronet_answer_destroy(p);
}

Test(view_csv, values_have_nine_digits_and_the_unit_of_the_system) {
    static const struct {
        baronet_dimension dimension;
        double value;
        const char *shown[3]; /* value,unit in metric, imperial, SI */
    } cases[] = {
        {BARONET_LENGTH, 0.0254, {"25.4,mm", "1,in", "0.0254,m"}},
        {BARONET_STIFFNESS,
         12345.6789012,
         {"12.3456789,N/mm", "70.4956433,lbf/in", "12345.6789,N/m"}},
        {BARONET_PRESSURE, 101325.0, {"1.01325,bar", "14.6959488,psi", "101325,Pa"}},
        {BARONET_FORCE, 4.4482216152605, {"4.44822162,N", "1,lbf", "4.44822162,N"}},
        {BARONET_AIR_MASS, 0.45359237, {"453.59237,g", "1,lb", "0.45359237,kg"}},
        {BARONET_VOLUME, 1.6387064e-05, {"0.016387064,L", "1,in3", "1.6387064e-05,m3"}},
        {BARONET_TEMPERATURE, 253.15, {"-20,C", "-4,F", "253.15,K"}},
        {BARONET_NUMBER, 1.0 / 3.0, {"0.333333333,", "0.333333333,", "0.333333333,"}},
        {BARONET_FORCE, -0.0, {"0,N", "0,lbf", "0,N"}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        for (int units = 0; units < 3; units++) {
            baronet_figure one = {
                "rates", "easy", "", "settled", "load", "RL", cases[i].value, cases[i].dimension};
            page *p = page_with(&one, (baronet_unit_system)units);
            char expected[256];
            snprintf(expected, sizeof expected, HEADER "rates,easy,,settled,load,RL,%s\n",
                     cases[i].shown[units]);
            expect_csv(p, expected);
            baronet_answer_destroy(p);
        }
    }
}

Test(view_csv, fields_that_need_it_are_quoted) {
    baronet_figure one = {"a,b",   "say \"x\"", "two\nlines", "\r",
                          "plain", "RL/RR",     1.0,          BARONET_NUMBER};
    page *p = page_with(&one, BARONET_SI);
    expect_csv(p, HEADER "\"a,b\",\"say \"\"x\"\"\",\"two\nlines\",\"\r\",plain,RL/RR,1,\n");
    text_buffer out = {0};
    view_csv(p, &out);
    ask_table read = ask_read_csv("quoted", out.bytes);
    cr_assert_eq(read.rows, 2);
    cr_expect_str_eq(read.field[8], "a,b");
    cr_expect_str_eq(read.field[9], "say \"x\"");
    cr_expect_str_eq(read.field[10], "two\nlines");
    ask_free_csv(&read);
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}

Test(view_csv, a_series_is_a_table_with_units_in_its_header) {
    static const char *const labels[] = {"state", "corner"};
    static const series_column columns[] = {
        {"travel", BARONET_LENGTH}, {"body_per_road", BARONET_NUMBER}, {"load", BARONET_FORCE}};
    page *p = page_create(NULL, BARONET_IMPERIAL);
    series *s = page_series(p, 2, labels, 3, columns);
    static const char *const row[] = {"easy", "RL"};
    series_add(s, row, (const double[]){0.0254, 0.5, 4.4482216152605});
    series_add(s, row, (const double[]){-0.0, (double)NAN, -8.896443230521});
    series_add(s, row, (const double[]){0.0127, 0.25, (double)NAN});
    expect_csv(p, "state,corner,travel [in],body_per_road,load [lbf]\n"
                  "easy,RL,1,0.5,1\n"
                  "easy,RL,0,,-2\n"
                  "easy,RL,0.5,0.25,\n");
    baronet_answer_destroy(p);
}

/* The lines of a page, byte by byte, under a locale with a decimal comma. */
Test(view_csv, a_comma_locale_changes_nothing) {
    const char *folder = getenv("COMMA_LOCALES");
    if (folder == NULL) {
        cr_log_warn("no comma locale to test under");
        return;
    }
    for (const ask_study *study = ask_studies; study->name != NULL; study++) {
        const baronet_question question = {.state = "linked", .swing_amplitude = 0.0125};
        char *before[BARONET_FORMATS];
        for (int pass = 0; pass < 2; pass++) {
            setenv("LOCPATH", folder, 1);
            cr_assert_not_null(setlocale(LC_ALL, pass == 0 ? "C" : "de_DE.UTF-8"));
            cr_expect_str_eq(localeconv()->decimal_point, pass == 0 ? "." : ",");
            baronet_netlist *netlist = ask_file("netlists/rear.air");
            baronet_answer *answer = ask(netlist, study->study, &question);
            for (int k = 0; k < BARONET_FORMATS; k++) {
                const char *bytes = ask_render(answer, (baronet_format)k, false);
                if (pass == 0) {
                    before[k] = strdup(bytes);
                } else {
                    cr_expect_str_eq(bytes, before[k], "%s as %s", study->name,
                                     baronet_format_name((baronet_format)k));
                    free(before[k]);
                }
            }
            baronet_answer_destroy(answer);
            baronet_netlist_destroy(netlist);
        }
    }
}
