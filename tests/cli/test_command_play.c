/* `baronet play`. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

Test(command_play, plays_one_event_or_all_of_them) {
    expect_run("play netlists/bench.air --event even-out", 0, "Event even-out in bare");
    ran r = program(NULL, "play netlists/bench.air");
    cr_expect_eq(r.code, 0, "%s", r.err);
    cr_expect_not_null(strstr(r.out, "Event even-out"));
    cr_expect_not_null(strstr(r.out, "Event warm-up"));
    ran_free(&r);
    expect_run("play netlists/rear.air", 0, "This netlist has no events");
}

Test(command_play, draws_what_is_asked_for) {
    expect_run("play netlists/bench.air --event push --plot bench-air.height", 0,
               "Event push: height (bench-air), mm");
    expect_run("play netlists/bench.air --event push --plot height --as svg", 0, "<svg");
    expect_run("rates netlists/bench.air --as svg", 2, "there is nothing to draw for `--as svg`");
    expect_run("play netlists/bench.air --event push --plot bench-air.weight", 2,
               "baronet: there is no quantity `bench-air.weight`\n"
               "  the first line of --as csv names them all, as in vehicle.roll height\n    "
               "gauge_pressure load flow\n");
}

Test(command_play, gives_a_series_with_as_many_rows_as_asked_for) {
    ran r = program(NULL, "play netlists/bench.air --event push --points 40 --as csv");
    cr_assert_eq(r.code, 0, "%s", r.err);
    cr_expect_eq(strncmp(r.out, "time [s],bench-air.height [mm],", 31), 0, "%.60s", r.out);
    int rows = -1;
    for (const char *c = r.out; *c != '\0'; c++) {
        rows += *c == '\n';
    }
    cr_expect(rows >= 20 && rows <= 80, "%d rows", rows);
    ran_free(&r);
}

Test(command_play, refuses_what_it_has_no_use_for) {
    expect_run("play netlists/bench.air --event pusch", 2,
               "baronet: there is no event `pusch`\n  did you mean `push`?\n"
               "  events of this netlist: even-out creep push warm-up\n");
    expect_run("play netlists/bench.air --state bare", 2, "there is no option `--state` here");
}
