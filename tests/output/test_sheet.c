/* SPDX-License-Identifier: MIT */
#include "output/sheet.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "ask.h"
#include "netlist/netlist.h"

static const char bench[] = "profile p area 95 cm2 volume 1.9 L at 150 mm\n"
                            "spring bag profile p height 150 mm load 300 kg rated 8 bar\n";

/* Three states with figures that differ in every way that a row has to show. */
static figure figures[3][5] = {{{FIGURE_SPRING_RATE, LEVEL_RIDE, SUBJECT_SPRING, 0, -1, 20e3},
                                {FIGURE_HEIGHT_SHIFT, LEVEL_NONE, SUBJECT_CORNER, 0, -1, 0.001},
                                {FIGURE_ROLL_SHARE, LEVEL_RIDE, SUBJECT_AXLE, 0, -1, 0.55},
                                {FIGURE_LOAD, LEVEL_NONE, SUBJECT_CORNER, 0, -1, -5.0},
                                {FIGURE_AIR_MASS, LEVEL_NONE, SUBJECT_NONE, -1, -1, 0.1}},
                               {{FIGURE_SPRING_RATE, LEVEL_RIDE, SUBJECT_SPRING, 0, -1, 30e3},
                                {FIGURE_HEIGHT_SHIFT, LEVEL_NONE, SUBJECT_CORNER, 0, -1, -0.004},
                                {FIGURE_ROLL_SHARE, LEVEL_RIDE, SUBJECT_AXLE, 0, -1, 0.50},
                                {FIGURE_LOAD, LEVEL_NONE, SUBJECT_CORNER, 0, -1, 5.0},
                                {FIGURE_AIR_MASS, LEVEL_NONE, SUBJECT_NONE, -1, -1, 0.1000001}},
                               {{FIGURE_SPRING_RATE, LEVEL_RIDE, SUBJECT_SPRING, 0, -1, 19.9e3}}};

static sheet three_states(page *p, const model *m, const char **names, figure_list *lists) {
    for (int k = 0; k < 3; k++) {
        lists[k] = (figure_list){.figure = figures[k], .count = k < 2 ? 5 : 1};
    }
    return (sheet){.page = p, .model = m, .count = 3, .name = names, .list = lists};
}

static void expect_row(const table_row *row, const char *const *cells, int columns) {
    cr_assert_not_null(row, "no row %s", cells[0]);
    for (int c = 0; c < columns; c++) {
        const char *got = row->cell[c] != NULL ? row->cell[c] : "(blank)";
        cr_expect_str_eq(got, cells[c], "%s, column %d: %s, not %s", cells[0], c, got, cells[c]);
    }
}

Test(sheet, rows_show_values_and_changes) {
    baronet_netlist *netlist = ask_text(bench);
    page *p = page_create(NULL, BARONET_METRIC);
    const char *names[] = {"a", "b", "c"};
    figure_list lists[3];
    const sheet s = three_states(p, netlist_model(netlist), names, lists);
    cr_expect_float_eq(sheet_value(&s, 1, FIGURE_SPRING_RATE, LEVEL_RIDE, SUBJECT_SPRING, 0), 30e3,
                       1e-9);
    cr_expect(isnan(sheet_value(&s, 2, FIGURE_LOAD, LEVEL_NONE, SUBJECT_CORNER, 0)));
    cr_expect(isnan(sheet_value(&s, 1, FIGURE_SPRING_RATE, LEVEL_SETTLED, SUBJECT_SPRING, 0)));
    static const char *const header[] = {"what", NULL, "a", "b", "c"};
    table *values = page_table(p, 5, 2, header);
    sheet_row(&s, values, "rate", FIGURE_SPRING_RATE, LEVEL_RIDE, SUBJECT_SPRING, 0);
    sheet_row(&s, values, "heave", FIGURE_HEAVE_RATE, LEVEL_RIDE, SUBJECT_NONE, -1);
    sheet_row(&s, values, "shift", FIGURE_HEIGHT_SHIFT, LEVEL_NONE, SUBJECT_CORNER, 0);
    expect_row(values->first, (const char *const[]){"rate", "N/mm", "20.0", "30.0", "19.9"}, 5);
    expect_row(values->first->next, (const char *const[]){"shift", "mm", "1.00", "-4.00", "-"}, 5);
    cr_expect_eq(values->rows, 2, "no state has a heave rate, so there is no row");

    table *changes = page_table(p, 4, 2, (const char *const[]){"what", NULL, "b", "c"});
    sheet_change_row(&s, changes, "rate", 0, FIGURE_SPRING_RATE, LEVEL_RIDE, SUBJECT_SPRING, 0);
    sheet_change_row(&s, changes, "heave", 0, FIGURE_HEAVE_RATE, LEVEL_RIDE, SUBJECT_NONE, -1);
    sheet_change_row(&s, changes, "shift", 0, FIGURE_HEIGHT_SHIFT, LEVEL_NONE, SUBJECT_CORNER, 0);
    sheet_change_row(&s, changes, "share", 0, FIGURE_ROLL_SHARE, LEVEL_RIDE, SUBJECT_AXLE, 0);
    sheet_change_row(&s, changes, "load", 0, FIGURE_LOAD, LEVEL_NONE, SUBJECT_CORNER, 0);
    sheet_change_row(&s, changes, "air", 0, FIGURE_AIR_MASS, LEVEL_NONE, SUBJECT_NONE, -1);
    static const char *const expected[][4] = {
        {"rate", "N/mm", "+10.0 +50%", "-0.1 -0.5%"}, /* a small change in per cent is not 0 % */
        {"shift", "mm", "-5.00", "-"},                /* no per cent of where zero is chosen */
        {"share", "", "-0.050", "-"},
        {"load", "N", "+10.00", "-"}, /* nor of what is negative */
        {"air", "g", "=", "-"},       /* what the digits do not show */
    };
    const table_row *row = changes->first;
    for (int r = 0; r < 5; r++, row = row->next) {
        expect_row(row, expected[r], 4);
    }
    cr_expect_eq(changes->rows, 5);
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}

/* The base state need not be the first; its own column is left out. */
Test(sheet, changes_are_from_the_base_state) {
    baronet_netlist *netlist = ask_text(bench);
    page *p = page_create(NULL, BARONET_IMPERIAL);
    const char *names[] = {"a", "b", "c"};
    figure_list lists[3];
    const sheet s = three_states(p, netlist_model(netlist), names, lists);
    table *t = page_table(p, 4, 2, (const char *const[]){"what", NULL, "a", "c"});
    sheet_change_row(&s, t, "rate", 1, FIGURE_SPRING_RATE, LEVEL_RIDE, SUBJECT_SPRING, 0);
    /* 10000 and 10100 N/m less, at 175.126835 N/m to the lbf/in. */
    expect_row(t->first, (const char *const[]){"rate", "lbf/in", "-57 -33%", "-58 -34%"}, 4);
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}
