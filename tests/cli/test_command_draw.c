/* `baronet draw`.
   SPDX-License-Identifier: MIT */
#include "program.h"

#include <criterion/criterion.h>
#include <string.h>

Test(command_draw, gives_a_drawing_unless_told_otherwise) {
    ran r = program(NULL, "draw netlists/bench.air --state with-small --show bores,pressures");
    cr_expect_eq(r.code, 0, "%s", r.err);
    cr_expect_eq(strncmp(r.out, "<?xml", 5), 0);
    cr_expect_not_null(strstr(r.out, "valves in state with-small"));
    ran_free(&r);
    expect_run("draw netlists/bench.air --as text", 0, "large-valve  solenoid");
}

Test(command_draw, refuses_what_it_has_no_use_for) {
    expect_run("draw netlists/bench.air --show colours", 2, "--show cannot be `colours`");
    expect_run("draw netlists/bench.air --state with-smal", 2, "did you mean `with-small`?");
    expect_run("draw netlists/bench.air --plot height", 2, "there is no option `--plot` here");
}
