/* `baronet spread`. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SPREAD                                                                                     \
    "spread netlists/rear.air --change RL.load=+-20kg --change cross.bore=+-0.1mm --of "           \
    "'roll_rate "                                                                                  \
    "settled in linked' --runs 50 --as csv"

/* Shares put one behind another are the whole table, to the byte. */
Test(command_spread, shares_make_the_whole) {
    ran whole = program(NULL, SPREAD " --workers 2");
    cr_assert_eq(whole.code, 0, "%s", whole.err);
    char *joined = calloc(whole.length + 1000, 1);
    for (int share = 1; share <= 3; share++) {
        char words[400];
        snprintf(words, sizeof words, SPREAD " --workers 1 --share %d/3", share);
        ran part = program(NULL, words);
        cr_assert_eq(part.code, 0, "%s", part.err);
        strcat(joined, part.out);
        ran_free(&part);
    }
    cr_expect_str_eq(joined, whole.out);
    free(joined);
    ran_free(&whole);
}

Test(command_spread, what_is_wrong_is_said) {
    expect_run("spread netlists/rear.air --change sleeve.area=+-3cm2 --of roll_rate", 2,
               "by per cent");
    expect_run("spread netlists/rear.air --change RL.load=+-5% --of roll_rate --runs 3", 2,
               "--runs");
}
