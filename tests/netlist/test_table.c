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
