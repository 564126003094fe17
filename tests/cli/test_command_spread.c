/* `baronet spread`. */
#include "program.h"

#include <criterion/criterion.h>

#define SPREAD                                                                                     \
    "spread netlists/rear.air --change RL.load=+-20kg --change cross.bore=+-0.1mm --of "           \
    "'roll_rate "                                                                                  \
    "settled in linked' --runs 50 --as csv"

/* Shares put one behind another are the whole table, to the byte. */
Test(command_spread, shares_make_the_whole) {
    expect_shares(SPREAD, 3, 2, 1);
}

Test(command_spread, what_is_wrong_is_said) {
    expect_run("spread netlists/rear.air --change sleeve.area=+-3cm2 --of roll_rate", 2,
               "by per cent");
    expect_run("spread netlists/rear.air --change RL.load=+-5% --of roll_rate --runs 3", 2,
               "--runs");
}
