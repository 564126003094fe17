/* `baronet stroke`. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

Test(command_stroke, moves_by_the_motion_that_is_asked_for) {
    static const char *const lines[] = {
        "stroke netlists/camper.air --state easy --motion heave",
        "stroke netlists/camper.air --state easy --motion roll",
        "stroke netlists/camper.air --state easy --motion pitch",
        "stroke netlists/camper.air --state easy --motion warp",
        "stroke netlists/camper.air --state easy --motion gateway",
        "stroke netlists/camper.air --state easy --motion one-wheel:RL",
        "stroke netlists/expedition.air --state tarmac --motion warp:2"};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        const char *motion = strstr(lines[i], "--motion ") + strlen("--motion ");
        expect_run(lines[i], 0, motion);
    }
}

Test(command_stroke, each_level_has_its_own_curve) {
    ran r[3] = {
        program(NULL, "stroke netlists/bench.air --state with-small --level instant --as csv"),
        program(NULL, "stroke netlists/bench.air --state with-small --level settled --as csv"),
        program(NULL, "stroke netlists/bench.air --state with-small --level parked --as csv")};
    double most[3];
    for (int k = 0; k < 3; k++) {
        cr_assert_eq(r[k].code, 0, "%s", r[k].err);
        r[k].out[r[k].length - 1] = '\0';
        most[k] = strtod(strrchr(r[k].out, ',') + 1, NULL);
        ran_free(&r[k]);
    }
    cr_expect(most[0] > most[1] && most[1] > most[2],
              "less air is stiffer, and slow is softer: %g, %g, %g", most[0], most[1], most[2]);
}

Test(command_stroke, points_are_as_many_as_asked_for) {
    ran few = program(NULL, "stroke netlists/bench.air --state bare --points 3 --as csv");
    ran many = program(NULL, "stroke netlists/bench.air --state bare --points 100000 --as csv");
    cr_expect_eq(few.code, 0, "%s", few.err);
    cr_expect_eq(many.code, 0, "%s", many.err);
    cr_expect_gt(many.length, 1000 * few.length);
    ran_free(&few);
    ran_free(&many);
}
