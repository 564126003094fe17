/* Tests of solver/studies/forcing.c. */
#include "studies/forcing.h"

#include <criterion/criterion.h>
#include <math.h>

#include "support.h"

Test(forcing, a_ramp_goes_to_its_target_and_stays) {
    arena *a = arena_create(NULL);
    forcing f;
    cr_assert_eq(forcing_make(&f, a, 3, 2, 293.0), BARONET_OK);
    forcing_ramp(&f.lateral, 1.0, 4.0, 0.5);
    CHECK_ABS(ramp_at(&f.lateral, 1.25), 2.0, 1e-12, "half-way");
    CHECK_ABS(forcing_next(&f, 1.0), 1.5, 1e-12, "its end is a kink");
    cr_expect(isinf(forcing_next(&f, 1.5)), "which is behind it then");
    forcing_pass(&f, 1.5);
    CHECK_ABS(ramp_at(&f.lateral, 7.0), 4.0, 1e-12, "it stays");
    cr_expect(isinf(forcing_next(&f, 1.5)));
    forcing_ramp(&f.lateral, 2.0, -1.0, 0.0);
    CHECK_ABS(ramp_at(&f.lateral, 2.0), -1.0, 1e-12, "at once");
    arena_destroy(a);
}

Test(forcing, bumps_are_haversines_that_add_up) {
    arena *a = arena_create(NULL);
    forcing f;
    cr_assert_eq(forcing_make(&f, a, 3, 2, 293.0), BARONET_OK);
    f.base[1] = 0.002;
    forcing_bump(&f, (bump){1, 0.04, 1.0, 0.2});
    forcing_bump(&f, (bump){1, 0.01, 1.1, 0.4});
    double height[3], speed[3];
    forcing_road(&f, 1.1, height, speed);
    CHECK_REL(height[1], 0.042, 1e-12, "the first one's summit, the second one's start");
    CHECK_ABS(speed[1], 0.0, 1e-12, "flat there");
    forcing_bump(&f, (bump){0, 0.03, 1.0, 0.4});
    cr_expect_eq(f.bumps, 2, "there was room for two");
    CHECK_ABS(forcing_next(&f, 1.3), 1.5, 1e-12, "the first is over");
    forcing_road(&f, 1.05, height, speed);
    forcing_pass(&f, 1.2);
    cr_expect_eq(f.bumps, 1);
    CHECK_ABS(forcing_next(&f, 1.2), 1.5, 1e-12, "the end of the second");
    cr_expect_eq(height[0], 0.0);
    arena_destroy(a);
}

Test(forcing, what_takes_no_time_happens_at_once) {
    ramp r = {0};
    forcing_ramp(&r, 0.2, 2.1, 1e-30);
    cr_expect_eq(ramp_at(&r, 0.2), 2.1);
    arena *a = arena_create(NULL);
    forcing f;
    cr_assert_eq(forcing_make(&f, a, 3, 2, 293.0), BARONET_OK);
    forcing_bump(&f, (bump){1, 0.04, 1.0, 1e-30});
    cr_expect_eq(f.bumps, 0);
    cr_expect_eq(forcing_next(&f, 0.0), HUGE_VAL);
    arena_destroy(a);
}
