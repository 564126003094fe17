/* `baronet parts` */
#include "program.h"

#include <criterion/criterion.h>

Test(command_parts, lists_what_to_buy) {
    expect_run("parts netlists/bench.air", 0, "port-hose");
    expect_run("parts netlists/bench.air --units imperial", 0, "psi");
    expect_run("parts netlists/trailer.air --as csv --units si", 0,
               "hose,\"bore 0.00900 m, length 3.500 m\",,coupling-hose,");
}

Test(command_parts, looks_at_every_state_and_case_itself) {
    expect_run("parts netlists/camper.air --state easy", 2, "there is no option `--state` here");
    expect_run("parts netlists/camper.air --case holiday", 2, "there is no option `--case` here");
}
