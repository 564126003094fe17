/* Tests of solver/netlist/table.c. The messages are in tests/golden, the numbers in
   test_build_profile.c.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sample.h"

#define TANK "tank t volume 1 L\n"

Test(table, rows_are_physical_lines) {
    sample_refused(TANK "profile p\n height mm area cm2 volume L\n 120 78\n 1.2\n 160 74 1.5\n",
                   "x.air:4:2: error: this row has 2 numbers for 3 columns");
    sample_refused(TANK "profile p\n height mm area cm2\n volume L\n 120 78 1.2\n 160 74 1.5\n",
                   "a row has numbers only, not `volume`");
    sample_refused(TANK "profile p height mm area cm2 volume L\n 120 78 1.2\n 160 74 1.5\n",
                   "`height` is no attribute of a profile");
}

Test(table, every_wrong_row_is_told) {
    char *const said = sample_said(TANK "profile p\n height mm area cm2 volume L\n"
                                        " 120 x 1.2\n 140 75\n 160 74 1.5\n 180 -1 1.6\n 190 1 2\n",
                                   NULL);
    cr_expect_not_null(strstr(said, "x.air:4:6"));
    cr_expect_not_null(strstr(said, "x.air:5:2"));
    cr_expect_not_null(strstr(said, "x.air:7:6"));
    free(said);
}

Test(table, large_ones_are_read) {
    enum { ROWS = 100000 };
    char *const text = malloc(ROWS * 40);
    size_t used = (size_t)sprintf(text, TANK "profile p\n height mm area cm2 volume L\n");
    for (int i = 0; i < ROWS; i++)
        used += (size_t)sprintf(text + used, " %d 100 %.2f\n", i, 500.0 + i * 0.01);
    baronet_netlist *const n = sample(text);
    cr_expect_eq(netlist_model(n)->vehicle.profile->rows, ROWS);
    baronet_netlist_destroy(n);
    free(text);
}

Test(table, a_header_is_checked) {
    static const struct {
        const char *header, *said;
    } cases[] = {
        {"height mm load-bar N", "`load-bar` is no column of a profile"},
        {"height mm load-3mm N", "`load-3mm` is no column of a profile"},
        {"height mm load-3 N", "`load-3` is no column of a profile"},
        {"height mm load-1e999bar N", "`load-1e999bar` is no column of a profile"},
        {"height mm area\n volume L", "the column `area` has no unit"},
        {"height mm area cm2 height mm", "the column `height` stands twice"},
        {"area cm2 volume L", "the table has no column `height`"},
        {"height mm area L", "`L` is a unit of volume"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char whole[300];
        snprintf(whole, sizeof whole, TANK "profile p\n %s\n 120 78\n 160 74\n", cases[i].header);
        sample_refused(whole, cases[i].said);
    }
}

Test(table, its_columns_have_a_limit) {
    char *const whole = malloc(10000);
    size_t used = (size_t)sprintf(whole, TANK "profile p\n height mm volume L area cm2");
    for (int i = 1; i <= 200; i++)
        used += (size_t)sprintf(whole + used, " load-%dbar N", i);
    sprintf(whole + used, "\n 120 1 1\n 160 1.3 1\n");
    sample_refused(whole, "a table has at most");
    free(whole);
}

Test(table, numbers_are_within_reason) {
    sample_refused(TANK "profile p\n height mm area cm2 volume L\n 120 1e40 1\n 160 74 1.3\n",
                   "`area` is to be more than 0, not `1e40`");
    sample_refused(TANK "compressor c to t\n pressure bar flow L/min\n 0 60\n 8 -2\n",
                   "`flow` is to be 0 or more, not `-2`");
}
