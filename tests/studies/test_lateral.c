/* SPDX-License-Identifier: MIT */
#include "studies/lateral.h"

#include <criterion/criterion.h>
#include <math.h>

#include "studies/rig.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */

/* Two axles on coils, alike left and right, rigid tyres. */
static const double mass = 1500.0, arm = 0.5, axis = 0.1, track = 1.5, base = 2.6;
static const double kf = 28e3, kr = 33e3; /* N/m, a wheel */

static rig car(void) {
    return rig_open("tank spare volume 1 L pressure 1 bar\n"
                    "vehicle cg-height %.17g m roll-axis %.17g m\n"
                    "corner FL at %.17g m %.17g m load 375 kg axle front coil %.17g N/m\n"
                    "corner FR at %.17g m %.17g m load 375 kg axle front coil %.17g N/m\n"
                    "corner RL at %.17g m %.17g m load 375 kg axle rear coil %.17g N/m\n"
                    "corner RR at %.17g m %.17g m load 375 kg axle rear coil %.17g N/m\n",
                    arm + axis, axis, 0.5 * base, 0.5 * track, kf, 0.5 * base, -0.5 * track, kf,
                    -0.5 * base, 0.5 * track, kr, -0.5 * base, -0.5 * track, kr);
}

static double roll_at(double a) {
    const double K = 0.5 * (kf + kr) * track * track;
    return mass * a * arm / (K - mass * g * arm);
}

/* What a rear wheel loses in a bend: its axle's part of the springs' couple, and half of what the
   links carry. */
static double rear_loss(double a) {
    return kr * 0.5 * track * roll_at(a) + 0.5 * mass * a * axis / track;
}

Test(lateral, the_table_by_hand) {
    rig r = car();
    rig_answer(&r, NULL, NULL);
    lateral_answer got;
    cr_assert_eq(lateral_solve(&got, r.arena, r.rates, NULL), BARONET_OK);
    cr_assert(got.bends && got.brakes && got.warps);
    for (int air = 0; air < LATERAL_AIRS; air++) {
        for (int k = 0; k < LATERAL_ROWS; k++) {
            const lateral_row *row = &got.row[air][k];
            cr_assert(row->given);
            CHECK_REL(row->lateral, 0.1 * (k + 1) * g, 1e-12, "rows of a tenth of g");
            CHECK_REL(row->roll, roll_at(row->lateral), 1e-4, "m a h/(K - m g h)");
            CHECK_REL(row->roll_share[0], kf / (kf + kr), 1e-4, "by stiffness");
            CHECK_REL(row->roll_share[0] + row->roll_share[1], 1.0, 1e-9, "all of it");
            CHECK_REL(row->load_share[0] + row->load_share[1], 1.0, 1e-9, "all of it");
            CHECK_REL(row->load[2], 375.0 * g - rear_loss(row->lateral), 1e-4, "by hand");
            cr_assert_eq(row->lightest, 2);
            cr_assert_eq(row->lifted, 0);
        }
        /* Both rear wheels have the same to lose. */
        const double lift = 375.0 * g / rear_loss(1.0);
        for (int side = 0; side < 2; side++) {
            cr_assert(got.bend[air][side].lifts);
            cr_assert_eq(got.bend[air][side].wheel, side == 0 ? 2 : 3);
            CHECK_REL(got.bend[air][side].at, lift, 1e-4, "by hand");
        }
        const braking_row *brake = &got.braking[air][1];
        const double shift = mass * lateral_braking(1) * (arm + axis) / base / 2.0;
        CHECK_REL(brake->dip, shift / kf, 1e-4, "by hand");
        CHECK_REL(brake->rise, shift / kr, 1e-4, "by hand");
    }
    rig_close(&r);
}

/* Two opposite wheels go up by d: by symmetry the body rises by half of it, so that each spring is
   pressed or let out by half of it, but for what front and rear share as heave, roll and pitch.
   With all k alike the loads change by k d/2. */
Test(lateral, warp_by_hand) {
    const double k = 30e3;
    rig r = rig_open("tank spare volume 1 L pressure 1 bar\n"
                     "corner FL at 1.3 m 0.7 m load 300 kg axle front coil %.17g N/m\n"
                     "corner FR at 1.3 m -0.7 m load 300 kg axle front coil %.17g N/m\n"
                     "corner RL at -1.3 m 0.7 m load 300 kg axle rear coil %.17g N/m\n"
                     "corner RR at -1.3 m -0.7 m load 300 kg axle rear coil %.17g N/m\n",
                     k, k, k, k);
    rig_answer(&r, NULL, NULL);
    lateral_answer got;
    cr_assert_eq(lateral_solve(&got, r.arena, r.rates, NULL), BARONET_OK);
    cr_assert(!got.bends && !got.brakes && got.warps);
    cr_assert(got.raised[0] && !got.raised[1] && !got.raised[2] && got.raised[3]);
    for (int i = 0; i < LATERAL_HEIGHTS; i++) {
        const warp_row *row = &got.warp[LATERAL_EVENED][i];
        const double change = 0.5 * k * lateral_height(i);
        if (!row->given || change > 300.0 * g)
            continue;
        CHECK_REL(row->load[0], 300.0 * g + change, 1e-4, "by symmetry");
        CHECK_REL(row->load[1], 300.0 * g - change, 1e-4, "by symmetry");
    }
    cr_assert(got.obstacle[LATERAL_AT_ONCE].lifts);
    CHECK_REL(got.obstacle[LATERAL_AT_ONCE].at, 2.0 * 300.0 * g / k, 1e-4, "by symmetry");
    rig_close(&r);
}

Test(lateral, says_what_ended_the_search) {
    rig r = rig_open_file("netlists/rear.air");
    rig_answer(&r, "linked", NULL);
    lateral_answer got;
    cr_assert_eq(lateral_solve(&got, r.arena, r.rates, NULL), BARONET_OK);
    const lateral_limit *limit = &got.bend[LATERAL_EVENED][0];
    cr_assert_not(limit->lifts);
    cr_assert_eq(limit->problem.status, BARONET_OFF_PROFILE);
    cr_assert(!got.warps && !got.brakes);
    /* Linked sides lean more once evened out, and never less at once. */
    cr_assert_gt(got.row[LATERAL_EVENED][0].roll, 1.5 * got.row[LATERAL_AT_ONCE][0].roll);
    rig_close(&r);
}

Test(lateral, holds_its_memory) {
    rig r = car();
    rig_answer(&r, NULL, NULL);
    failing f;
    for (size_t k = 1;; k++) {
        const baronet_allocator *allocator = failing_start(&f, k);
        arena *a = arena_create(allocator);
        lateral_answer got;
        if (a != NULL) {
            const baronet_status status = lateral_solve(&got, a, r.rates, allocator);
            cr_assert(status == BARONET_OK || status == BARONET_OUT_OF_MEMORY);
        }
        arena_destroy(a);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    rig_close(&r);
}

/* A roll axis as high as the centre of gravity: links carry all, and springs have no couple to
   share. */
Test(lateral, springs_without_a_couple_have_no_shares) {
    rig r = rig_open("tank spare volume 1 L pressure 1 bar\n"
                     "vehicle cg-height 0.6 m roll-axis 0.6 m\n"
                     "corner FL at 1.3 m 0.7 m load 375 kg axle front coil 28 N/mm\n"
                     "corner FR at 1.3 m -0.7 m load 375 kg axle front coil 28 N/mm\n"
                     "corner RL at -1.3 m 0.7 m load 375 kg axle rear coil 33 N/mm\n"
                     "corner RR at -1.3 m -0.7 m load 375 kg axle rear coil 33 N/mm\n");
    rig_answer(&r, NULL, NULL);
    lateral_answer got;
    cr_assert_eq(lateral_solve(&got, r.arena, r.rates, NULL), BARONET_OK);
    const lateral_row *const row = &got.row[0][1];
    cr_assert(row->given);
    cr_expect(isnan(row->roll_share[0]) && isnan(row->roll_share[1]));
    CHECK_ABS(row->roll, 0.0, 1e-6, "nothing leans it");
    CHECK_REL(row->load_share[0], 0.5, 1e-9, "links carry each axle's own mass");
    CHECK_REL(row->load[1] - 375.0 * g, 750.0 * row->lateral * 0.6 / 1.4, 1e-9,
              "moments about the ground");
    rig_close(&r);
}
