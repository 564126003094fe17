/* tests of hold */
#include "studies/hold.h"

#include <criterion/criterion.h>
#include <math.h>

#include "studies/demos.h"
#include "support.h"

/* At the start of an event the body is held as rates says, which works from the groups of the
   balance: another way to the same figures. Tees borrow air here, hence the tolerance. */
static void same_as_rates(rig *r, const char *state) {
    const rates_answer *answer = rates_result(r->rates);
    dynamics *m = NULL;
    const dynamics_setup setup = {0};
    cr_assert_eq(dynamics_create(&m, r->rates, &setup, NULL), BARONET_OK);
    double *y = ARENA_ARRAY(r->arena, double, m->size);
    dynamics_start(m, r->rates, y);
    cr_assert(dynamics_see(m, 0.0, y));
    hold h;
    cr_assert_eq(hold_find(&h, m, 0, NULL, r->arena), BARONET_OK);
    static const level levels[HOLD_LEVELS] = {LEVEL_INSTANT, LEVEL_SETTLED};
    for (int k = 0; k < HOLD_LEVELS; k++) {
        const double *wanted = answer->level[levels[k]].body_rate;
        if (answer->has[MOTION_HEAVE]) {
            CHECK_REL(h.heave[k], wanted[MOTION_HEAVE], 2e-3, state);
        } else {
            cr_expect(isnan(h.heave[k]), "%s", state);
        }
        if (answer->has[MOTION_ROLL]) {
            CHECK_REL(h.roll[k], wanted[MOTION_ROLL], 2e-3, state);
        } else {
            cr_expect(isnan(h.roll[k]), "%s", state);
        }
    }
    dynamics_destroy(m);
}

Test(hold, is_what_rates_says_where_an_event_starts) {
    demos_each(same_as_rates);
}

static const char *const linked =
    "ambient pressure 100 kPa temperature 20 C\ngas exponent 1.3\n"
    "profile p area 80 cm2 volume 1.7 L at 160 mm\n"
    "corner L at 0 m 0.7 m load 410 kg axle x\ncorner R at 0 m -0.7 m load 410 kg axle x\n"
    "bar b between L R roll 100 N.m/deg\n"
    "spring l on L ratio 0.9 profile p height 160 mm\nspring r on R ratio 0.9 profile p height 160 "
    "mm\n"
    "solenoid v from l to r normally closed bore 4 mm\nstate apart shut v\nstate joined open v\n";

static hold held(rig *r, const dynamics_setup *setup) {
    dynamics *m = NULL;
    hold h;
    (void)rig_answer(r, "apart", NULL);
    cr_assert_eq(dynamics_create(&m, r->rates, setup, NULL), BARONET_OK);
    double *y = ARENA_ARRAY(r->arena, double, m->size);
    dynamics_start(m, r->rates, y);
    cr_assert(dynamics_see(m, 0.0, y));
    cr_assert_eq(hold_find(&h, m, setup->stucks, setup->stuck, r->arena), BARONET_OK);
    dynamics_destroy(m);
    return h;
}

/* n p A^2 r^2/V of each spring; two that are joined share their volume, and resist no roll. */
Test(hold, a_stuck_valve_and_a_hole_count) {
    rig r = rig_open("%s", linked);
    const double p = 1e5 + 410.0 * 9.80665 / (0.9 * 80e-4), A = 80e-4, V = 1.7e-3;
    const double one = 1.3 * p * A * A * 0.81 / V;
    const double steel = 100.0 * 180.0 / 3.14159265358979323846;
    const dynamics_setup sound = {0};
    const hold apart = held(&r, &sound);
    CHECK_REL(apart.heave[HOLD_SETTLED], 2.0 * one, 1e-9, "n p A^2/V");
    CHECK_REL(apart.roll[HOLD_SETTLED], 2.0 * one * 0.49 + steel, 1e-9, "y^2 of each, and the bar");
    const dynamics_stuck stuck = {.edge = rig_edge(&r, "v"), .kind = STUCK_OPEN};
    const dynamics_setup open = {.stucks = 1, .stuck = &stuck};
    const hold joined = held(&r, &open);
    CHECK_REL(joined.heave[HOLD_SETTLED], 2.0 * one, 1e-9,
              "both squeeze one volume twice as large");
    CHECK_REL(joined.roll[HOLD_SETTLED], steel, 1e-9, "the air passes across");
    CHECK_REL(joined.roll[HOLD_INSTANT], 2.0 * one * 0.49 + steel, 1e-9, "not at once");
    const dynamics_hole hole = {.node = rig_node(&r, "l"), .bore = 1e-3, .open = true};
    const dynamics_setup leaking = {.holes = 1, .hole = &hole};
    const hold one_side = held(&r, &leaking);
    CHECK_REL(one_side.heave[HOLD_SETTLED], one, 1e-9, "one spring's air is held at a pressure");
    rig_close(&r);
}
