/* `baronet states`. */
#include "program.h"

#include <criterion/criterion.h>
#include <string.h>

Test(command_states, named_states_or_every_combination) {
    expect_run("states netlists/rear.air", 0, "Changes from soft");
    ran r = program(NULL, "states netlists/rear.air --all --as csv");
    cr_expect_eq(r.code, 0, "%s", r.err);
    cr_expect_not_null(strstr(r.out, "\nstates,left-gate,,"), "a combination without a name");
    cr_expect_not_null(strstr(r.out, "\nstates,left-gate+cross,,"));
    cr_expect_not_null(strstr(r.out, "\nstates,linked,,"), "a named one keeps its name");
    cr_expect_null(strstr(r.out, "left-gate+right-gate+cross"));
    ran_free(&r);
}

Test(command_states, one_state_alone_has_nothing_to_compare) {
    ran r = program(NULL, "states netlists/rear.air --state soft");
    cr_expect_eq(r.code, 0);
    cr_expect_null(strstr(r.out, "Changes"), "%s", r.out);
    ran_free(&r);
}

Test(command_states, takes_a_case_and_units) {
    expect_run("states netlists/trailer.air --case huddled --units imperial", 0, "lbf.ft/deg");
}
