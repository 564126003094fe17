/* `baronet faults`. */
#include "program.h"

#include <criterion/criterion.h>
#include <string.h>

Test(command_faults, breaks_each_part_in_turn) {
    expect_run("faults netlists/bench.air", 0, "bench-air bursts");
    expect_run("faults netlists/bench.air --state bare", 0, "State bare");
    expect_run("faults netlists/bench.air --as csv --units si", 0, "bench-air.height_shift [m]");
}

/* A deeper drop is reached later. */
Test(command_faults, a_drop_may_be_stated) {
    ran few = program(NULL, "faults netlists/bench.air --drop 11mm");
    ran many = program(NULL, "faults netlists/bench.air --drop 2in");
    cr_expect_eq(few.code, 0, "%s", few.err);
    cr_expect_eq(many.code, 0, "%s", many.err);
    cr_expect_not_null(strstr(few.out, "11.0 mm"), "%s", few.out);
    cr_expect_not_null(strstr(many.out, "50.8 mm"), "%s", many.out);
    ran_free(&few);
    ran_free(&many);
    expect_run("faults netlists/bench.air --drop 10", 2, "baronet faults: --drop cannot be `10`");
}
