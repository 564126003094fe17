/* tests of record */
#include "studies/record.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/rig.h"
#include "support.h"

typedef struct kept {
    rig rig;
    dynamics *dynamics;
    record *record;
    double y[32];
    int at; /* of the mass's height among them */
} kept;

/* One mass on a bench, which the tests move by hand. */
static void open(kept *k, double drop) {
    *k = (kept){0};
    k->rig = rig_open("ambient pressure 100 kPa temperature 20 C\ngas isothermal\n"
                      "profile p area 80 cm2 volume 1.7 L at 160 mm\n"
                      "spring s load 400 kg profile p height 160 mm\ntank t volume 2 L\n"
                      "solenoid v from s to t normally closed bore 3 mm\nstate joined open v\n");
    (void)rig_answer(&k->rig, NULL, NULL);
    const dynamics_setup setup = {0};
    cr_assert_eq(dynamics_create(&k->dynamics, k->rig.rates, &setup, NULL), BARONET_OK);
    cr_assert_leq(k->dynamics->size, 32);
    dynamics_start(k->dynamics, k->rig.rates, k->y);
    k->at = k->dynamics->first_position + k->dynamics->corner_position[0];
    cr_assert_eq(record_create(&k->record, k->dynamics, k->rig.charge->travel, drop), BARONET_OK);
}

static void close(kept *k) {
    record_destroy(k->record);
    dynamics_destroy(k->dynamics);
    rig_close(&k->rig);
}

static void take(kept *k, double t, double rise, bool keep) {
    k->y[k->at] = rise;
    cr_assert(dynamics_see(k->dynamics, t, k->y));
    record_take(k->record, t, k->y, keep);
}

Test(record, a_summit_between_samples_is_that_of_a_parabola) {
    kept k;
    open(&k, 1.0);
    /* 5 mm (1 - (t - 0.13)^2/0.04), sampled unevenly on both sides of its summit. */
    static const double times[] = {0.0, 0.08, 0.19, 0.3};
    for (int i = 0; i < 4; i++) {
        const double away = times[i] - 0.13;
        take(&k, times[i], 5e-3 * (1.0 - away * away / 0.04), false);
    }
    const channel *c = record_find(k.record, CHANNEL_HEIGHT_SHIFT, 0);
    CHECK_REL(c->highest, 5e-3, 1e-9, "the parabola itself");
    CHECK_REL(c->highest_at, 0.13, 1e-9, "the parabola itself");
    close(&k);
}

Test(record, nothing_is_read_across_a_jump) {
    kept k;
    open(&k, 1.0);
    take(&k, 0.0, 0.0, false);
    take(&k, 0.1, 1e-3, false);
    record_jump(k.record);
    take(&k, 0.1, 4e-3, false);
    take(&k, 0.2, 2e-3, false);
    CHECK_REL(record_find(k.record, CHANNEL_HEIGHT_SHIFT, 0)->highest, 4e-3, 1e-9, "as sampled");
    close(&k);
}

Test(record, a_fall_is_timed_between_samples) {
    kept k;
    open(&k, 6e-3);
    take(&k, 0.0, 1e-3, false);
    take(&k, 0.5, -3e-3, false);
    cr_expect(isnan(k.record->fell[0]), "4 mm are not 6");
    take(&k, 0.7, -9e-3, false); /* 6 mm below the start after a third of it */
    take(&k, 0.9, 2e-3, false);
    take(&k, 1.1, -9e-3, false); /* the first time counts */
    CHECK_REL(k.record->fell[0], 0.5 + 0.2 / 3.0, 1e-9, "a straight line between two samples");
    close(&k);
}

Test(record, rows_are_those_that_were_asked_for) {
    kept k;
    open(&k, 1.0);
    for (int i = 0; i < 50; i++) {
        take(&k, 0.01 * i, 1e-4 * i, i % 7 == 0);
    }
    cr_assert_eq(k.record->rows, 8);
    const size_t width = (size_t)k.record->channels + 1;
    const channel *c = record_find(k.record, CHANNEL_HEIGHT_SHIFT, 0);
    for (size_t row = 0; row < 8; row++) {
        CHECK_ABS(k.record->row[row * width], 0.07 * (double)row, 1e-12, "its time");
        CHECK_ABS(k.record->row[row * width + 1 + (size_t)(c - k.record->channel)],
                  7e-4 * (double)row, 1e-12, "and what was then");
    }
    cr_expect_null(record_find(k.record, CHANNEL_BODY, MOTION_ROLL), "a bench does not roll");
    cr_expect_str_eq(channel_quantity(c), "height_shift");
    cr_expect_str_eq(channel_subject(k.rig.model, c), "s");
    cr_expect_eq(channel_dimension(c), BARONET_LENGTH);
    close(&k);
}

Test(record, settled_is_near_its_end_for_good) {
    kept k;
    open(&k, 1.0);
    /* 20 mm e^-t: within 0.5 mm of the end from ln 40 = 3.69 s on; within 2 % from ln 50 on. */
    for (int i = 0; i <= 1000; i++) {
        take(&k, 0.01 * i, 20e-3 * exp(-0.01 * i), false);
    }
    CHECK_ABS(record_settled(k.record, 0.0, 0.5e-3, 0.0), log(40.0), 0.02, "the exponential");
    CHECK_ABS(record_settled(k.record, 0.0, 0.0, 0.02), log(50.0), 0.02, "the exponential");
    close(&k);
}

Test(record, a_fall_at_a_jump_is_timed_there) {
    kept k;
    open(&k, 6e-3);
    take(&k, 0.0, 1e-3, false);
    take(&k, 0.5, 2e-3, false);
    record_jump(k.record);
    take(&k, 0.5, -8e-3, false);
    take(&k, 0.9, -9e-3, false);
    CHECK_REL(k.record->fell[0], 0.5, 1e-12, "not between what stands on both sides of it");
    close(&k);
}

Test(record, two_samples_at_one_time_have_no_summit_between_them) {
    kept k;
    open(&k, 1.0);
    take(&k, 0.0, 1e-3, false);
    take(&k, 0.2, 4e-3, false);
    take(&k, 0.2, 3e-3, false);
    take(&k, 0.4, 5e-3, false);
    const channel *c = record_find(k.record, CHANNEL_HEIGHT_SHIFT, 0);
    CHECK_REL(c->highest, 5e-3, 1e-9, "as sampled");
    CHECK_REL(c->lowest, 1e-3, 1e-9, "as sampled");
    close(&k);
}

Test(record, what_was_never_away_has_settled_from_the_start) {
    kept k;
    open(&k, 1.0);
    for (int i = 0; i < 9; i++) {
        take(&k, 0.1 * i, 1e-4 * i, false);
    }
    CHECK_ABS(record_settled(k.record, -0.3, 0.5e-2, 0.0), -0.3, 0.0, "0.8 mm are within 5 mm");
    close(&k);
}
