/* `baronet times`. */
#include "program.h"

#include <criterion/criterion.h>
#include <string.h>

Test(command_times, answers_whether_a_tank_is_in_play) {
    expect_run("times netlists/rear.air --state linked", 0, "In play: left-gate and right-gate.");
    expect_run("times netlists/rear.air --state linked --as csv", 0,
               "\ntimes,linked,,,path_frequency,cross,");
}

Test(command_times, a_bend_may_be_short_or_long) {
    ran brief = program(NULL, "times netlists/rear.air --state linked --bend 0.1s");
    ran usual = program(NULL, "times netlists/rear.air --state linked");
    cr_expect_eq(brief.code, 0, "%s", brief.err);
    cr_expect_str_neq(brief.out, usual.out);
    ran_free(&brief);
    ran_free(&usual);
}
