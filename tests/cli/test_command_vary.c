/* `baronet vary`. */
#include "program.h"

#include <criterion/criterion.h>

#define VARY                                                                                       \
    "vary netlists/rear.air --change cross.bore=2mm..9mm --of roll_rate --points 11 --as csv"

/* Shares put one behind another are the whole table, to the byte, whoever worked them out. */
Test(command_vary, shares_make_the_whole) {
    expect_shares(VARY, 4, 1, 2);
}

Test(command_vary, what_is_wrong_is_said) {
    expect_run("vary netlists/rear.air --change cross.boar=2mm..9mm --of roll_rate", 2,
               "did you mean `bore`?");
    expect_run("vary netlists/rear.air --of roll_rate", 2, "say what may change");
    expect_run("vary netlists/rear.air --change cross.bore=2mm..9mm --of roll_rate --share 1/2", 2,
               "--as csv");
    expect_run("vary netlists/rear.air --from-list 2mm,3mm --of roll_rate", 2, "--from-list");
    expect_run("vary netlists/rear.air --change cross.bore=2mm..9mm --of roll_rate --share 3/2", 2,
               "--share cannot be");
    expect_run(
        "vary netlists/rear.air --change cross.bore=1mm..2mm --change left-tank.volume=1L..2L"
        " --change RL.load=+-5% --of roll_rate",
        2, "one thing or two");
}

Test(command_vary, a_list_may_stand_apart) {
    ran one = program(NULL, "vary netlists/rear.air --change cross.bore --from-list 2mm,4mm --of "
                            "roll_rate --as csv");
    ran other = program(NULL, "vary netlists/rear.air --change cross.bore=2mm,4mm --of roll_rate "
                              "--as csv");
    cr_assert_eq(one.code, 0, "%s", one.err);
    cr_expect_str_eq(one.out, other.out);
    ran_free(&one);
    ran_free(&other);
}
