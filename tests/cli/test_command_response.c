/* `baronet response`. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

Test(command_response, spans_the_range_that_is_asked_for) {
    ran r = program(NULL, "response netlists/rear.air --state soft --motion heave --as csv "
                          "--from 0.5Hz --to 20Hz --points 4");
    cr_assert_eq(r.code, 0, "%s", r.err);
    cr_expect_eq(strncmp(r.out,
                         "state,case,motion,frequency [Hz],storage [N/mm],loss [N/mm]\n"
                         "soft,,heave,0.5,",
                         72),
                 0, "%s", r.out);
    cr_expect_not_null(strstr(r.out, "\nsoft,,heave,20,"), "%s", r.out);
    ran_free(&r);
}

Test(command_response, gives_the_road_instead_where_asked) {
    expect_run("response netlists/rear.air --state soft --as csv --road --points 5", 0,
               "state,case,motion,frequency [Hz],body_per_road,phase [deg]\n");
}

Test(command_response, an_empty_range_is_refused) {
    expect_run("response netlists/rear.air --from 5Hz --to 4Hz", 2,
               "baronet: wrong usage: --from, --to: the range is empty\n");
}
