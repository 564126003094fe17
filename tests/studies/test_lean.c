/* SPDX-License-Identifier: MIT */
#include "studies/lean.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/demos.h"
#include "studies/fleet.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */

#define SPARE_TANK "tank spare volume 1 L pressure 1 bar\n"
/* What stands in for a rigid tyre gives way by a part of this. */
#define NEARLY 1e-5

/* One axle on coils: K = k t^2/2 (Gillespie 1992, equation 6-19), phi = m a h/(K - m g h). */
Test(lean, roll_in_closed_form) {
    csv *t = csv_read("ride");
    int checked = 0;
    for (size_t row = 0; row < csv_rows(t); row++) {
        if (!csv_is(t, row, "quantity", "K_roll"))
            continue;
        const double k = csv_number(t, row, "k_s_N_per_m"), track = csv_number(t, row, "track_m");
        const double mass = 640.0, arm = 0.62, axis = 0.17, a = 2.3;
        rig r = rig_open(SPARE_TANK "vehicle cg-height %.17g m roll-axis %.17g m\n"
                                    "corner L at 0 m %.17g m load 320 kg coil %.17g N/m\n"
                                    "corner R at 0 m %.17g m load 320 kg coil %.17g N/m\n",
                         arm + axis, axis, 0.5 * track, k, -0.5 * track, k);
        const rates_answer *const answer = rig_answer(&r, NULL, NULL);
        CHECK_ROW(answer->level[LEVEL_SETTLED].body_rate[MOTION_ROLL], t, row);
        const double K = csv_number(t, row, "expected_si");
        lean *l = NULL;
        lean_answer at;
        cr_assert_eq(lean_create(&l, r.rates, AIR_ALONE, NULL), BARONET_OK);
        cr_assert_eq(lean_solve(l, (lean_push){.lateral = a}, &at), BARONET_OK);
        cr_assert_eq(at.problem.status, BARONET_OK);
        const double phi = mass * a * arm / (K - mass * g * arm);
        CHECK_REL(at.body[MOTION_ROLL], phi, 100.0 * NEARLY, "m a h/(K - m g h)");
        /* All moments about the ground: the right wheel of a left-hand bend gains. */
        const double shift = mass * (a * (arm + axis) + g * arm * phi) / track;
        CHECK_REL(at.load[1], 0.5 * mass * g + shift, NEARLY, "moments about the ground");
        CHECK_REL(at.load[0], 0.5 * mass * g - shift, NEARLY, "moments about the ground");
        lean_destroy(l);
        rig_close(&r);
        checked++;
    }
    cr_assert_eq(checked, 4);
    csv_free(t);
}

/* A push so small that curves do not matter leans the body by the level's own gradient, where the
   links carry nothing. */
static void check_gradient(const char *plumbing, stiffness_air air, level at_level) {
    rig r = rig_open("profile sleeve\n  height mm area cm2 volume L\n"
                     "  110 79.0 0.98\n  160 76.5 1.37\n  210 75.5 1.75\n"
                     "vehicle cg-height 0.7 m roll-axis 0 m\n"
                     "corner FL at 1.4 m 0.8 m load 460 kg axle f tyre 220 N/mm coil 2 N/mm\n"
                     "corner FR at 1.4 m -0.8 m load 430 kg axle f tyre 220 N/mm coil 2 N/mm\n"
                     "corner RL at -1.3 m 0.75 m load 480 kg axle r tyre 230 N/mm\n"
                     "corner RR at -1.3 m -0.75 m load 455 kg axle r tyre 230 N/mm\n"
                     "bar b between FL FR roll 700 N.m/deg\nbar c between RL RR roll 500 N.m/deg\n"
                     "spring fl on FL profile sleeve height 160 mm\n"
                     "spring fr on FR profile sleeve height 158 mm\n"
                     "spring rl on RL profile sleeve height 163 mm\n"
                     "spring rr on RR profile sleeve height 160 mm\n%s",
                     plumbing);
    const rates_answer *const answer = rig_answer(&r, NULL, NULL);
    lean *l = NULL;
    lean_answer at;
    const double a = 2e-3;
    cr_assert_eq(lean_create(&l, r.rates, air, NULL), BARONET_OK);
    cr_assert_eq(lean_solve(l, (lean_push){.lateral = a}, &at), BARONET_OK);
    cr_assert_eq(at.problem.status, BARONET_OK);
    const level_rates *const now = &answer->level[at_level];
    /* The gradient holds roll alone; a vehicle that is not alike left and right heaves and pitches
       a little as well, which makes it softer by 1e-3 of itself. */
    CHECK_REL(at.body[MOTION_ROLL] / a, now->roll_gradient, 3e-3, "the level's gradient");
    lean_destroy(l);
    rig_close(&r);
}

Test(lean, small_pushes_follow_the_rates) {
    check_gradient("", AIR_ALONE, LEVEL_INSTANT);
    check_gradient("tank t volume 2 L\nrestrictor a from rl to t bore 3 mm\n"
                   "restrictor b2 from rr to t bore 3 mm\n",
                   AIR_GROUP, LEVEL_SETTLED);
    check_gradient("tank t volume 2 L\nrestrictor a from rl to t bore 3 mm\n"
                   "restrictor b2 from rr to t bore 3 mm\n",
                   AIR_ALONE, LEVEL_INSTANT);
}

/* What the suspension gives is what p V^n gives, by the twin's own formulas. */
static void check_twin(const twin *t, const twin_state *state, bool grouped) {
    rig r = twin_open(t);
    const rates_answer *const answer = rig_answer(&r, state->name, NULL);
    lean *l = NULL;
    lean_answer at;
    cr_assert_eq(lean_create(&l, r.rates, grouped ? AIR_GROUP : AIR_ALONE, NULL), BARONET_OK);
    cr_assert_eq(lean_solve(l, (lean_push){.lateral = 1.7, .braking = 0.8}, &at), BARONET_OK);
    if (at.problem.status == BARONET_OK) {
        const twin_air air = twin_air_of(t, &r, grouped ? &state->settled : NULL, &answer->settled);
        double travel[TWIN_CORNERS], before[TWIN_CORNERS], after[TWIN_CORNERS];
        twin_force(t, &air, t->exponent, air.travel, before);
        memcpy(travel, air.travel, sizeof travel);
        for (int c = 0; c < t->wheels; c++)
            travel[c] += at.travel[c];
        twin_force(t, &air, t->exponent, travel, after);
        for (int c = 0; c < t->wheels; c++)
            CHECK_ABS(at.force[c], after[c] - before[c], 1e-5 * fabs(before[c]),
                      "p V^n by the twin's formulas");
    }
    lean_destroy(l);
    rig_close(&r);
}

Test(lean, forces_are_those_of_the_twins) {
    static const twin *const twins[] = {&fleet_van, &fleet_pickup};
    for (int i = 0; i < 2; i++) {
        for (int k = 0; k < twins[i]->states; k++) {
            check_twin(twins[i], &twins[i]->state[k], false);
            check_twin(twins[i], &twins[i]->state[k], true);
        }
    }
}

/* On every demonstration: loads add up to the weight, moments about the ground balance. */
static void check_moments(rig *r, const char *state) {
    const vehicle *v = &r->model->vehicle;
    const state_standing *rest = &rates_result(r->rates)->settled;
    if (v->wheels == 0 || !v->body.cg_height_given || !v->body.roll_axis_given)
        return;
    for (int air = 0; air < 2; air++) {
        lean *l = NULL;
        lean_answer at;
        const double a = 1.9;
        cr_assert_eq(lean_create(&l, r->rates, air == 0 ? AIR_ALONE : AIR_GROUP, NULL), BARONET_OK);
        cr_assert_eq(lean_solve(l, (lean_push){.lateral = a}, &at), BARONET_OK);
        cr_assert_eq(at.problem.status, BARONET_OK, "%s", state);
        double loads = 0.0, weight = 0.0, couple = 0.0, expected = 0.0;
        for (int c = 0; c < v->wheels; c++) {
            loads += at.load[c];
            weight += rest->load[c];
            couple -= v->corner[c].y * (at.load[c] - rest->load[c]);
            expected += v->corner[c].unsprung * VEHICLE_WHEEL_CENTRE * a;
        }
        expected += rest->mass.mass * a * v->body.cg_height +
                    rest->mass.mass * g * rest->mass.arm * at.body[MOTION_ROLL];
        CHECK_REL(loads, weight, 1e-8, state);
        CHECK_REL(couple, expected, 1e-7, state);
        cr_assert_gt(at.body[MOTION_ROLL], 0.0, "it leans to the right, the left side rises");
        lean_destroy(l);
    }
}

Test(lean, moments_balance_on_the_demonstrations) {
    demos_each(check_moments);
}

Test(lean, braking_in_closed_form) {
    const double mass = 900.0, h = 0.55, a = 3.1, kf = 24e3, kr = 31e3, front = 1.2, rear = 1.5;
    rig r = rig_open(SPARE_TANK "vehicle cg-height %.17g m\n"
                                "corner F at %.17g m 0 m load %.17g kg axle f coil %.17g N/m\n"
                                "corner R at %.17g m 0 m load %.17g kg axle r coil %.17g N/m\n",
                     h, front, mass * rear / (front + rear), kf, -rear,
                     mass * front / (front + rear), kr);
    rig_answer(&r, NULL, NULL);
    lean *l = NULL;
    lean_answer at;
    cr_assert_eq(lean_create(&l, r.rates, AIR_GROUP, NULL), BARONET_OK);
    cr_assert_eq(lean_solve(l, (lean_push){.braking = a}, &at), BARONET_OK);
    const double shift = mass * a * h / (front + rear);
    CHECK_REL(at.travel[0], shift / kf, NEARLY, "by hand");
    CHECK_REL(at.travel[1], -shift / kr, NEARLY, "by hand");
    CHECK_REL(at.body[MOTION_PITCH], (shift / kf + shift / kr) / (front + rear), NEARLY, "by hand");
    lean_destroy(l);
    rig_close(&r);
}

/* A wheel in a hole that is too deep for the axle hangs; in one that is not, it follows. */
Test(lean, tyres_only_push) {
    rig r =
        rig_open(SPARE_TANK "vehicle cg-height 0.9 m roll-axis 0.2 m\n"
                            "corner L at 0 m 0.7 m load 300 kg unsprung 20 kg tyre 200 N/mm coil "
                            "60 N/mm\n"
                            "corner R at 0 m -0.7 m load 300 kg unsprung 20 kg tyre 200 N/mm "
                            "coil 60 N/mm\n");
    rig_answer(&r, NULL, NULL);
    lean *l = NULL;
    lean_answer at;
    const double road[2] = {-0.2, 0.0};
    cr_assert_eq(lean_create(&l, r.rates, AIR_ALONE, NULL), BARONET_OK);
    /* On one axle the body cannot be held with one wheel in the air: it tips. */
    cr_assert_eq(lean_solve(l, (lean_push){.lateral = 9.0}, &at), BARONET_OK);
    cr_assert_neq(at.problem.status, BARONET_OK);
    lean_restart(l);
    cr_assert_eq(lean_solve(l, (lean_push){.road = road}, &at), BARONET_OK);
    cr_assert_eq(at.problem.status, BARONET_OK);
    for (int c = 0; c < 2; c++)
        cr_assert_geq(at.load[c], 0.0);
    lean_destroy(l);
    rig_close(&r);
}

/* A supply holds its pressure however the body leans: carcass and coils alone give force. */
Test(lean, air_that_is_held_does_not_change) {
    rig r = rig_open("vehicle cg-height 0.83 m roll-axis 0.21 m\n"
                     "profile piston area 83 cm2 volume 1.7 L at 158 mm\n"
                     "corner L at 0 m 0.83 m load 430 kg coil 31 N/mm\n"
                     "corner R at 0 m -0.71 m load 410 kg coil 37 N/mm\n"
                     "spring left on L ratio 0.9 profile piston height 158 mm rubber 3 N/mm\n"
                     "spring right on R ratio 0.8 profile piston height 158 mm rubber 4 N/mm\n"
                     "supply line pressure 5.2 bar\nrestrictor in from line to left bore 3 mm\n"
                     "restrictor on from line to right bore 3 mm\n");
    rig_answer(&r, NULL, NULL);
    lean *l = NULL;
    lean_answer at;
    cr_assert_eq(lean_create(&l, r.rates, AIR_GROUP, NULL), BARONET_OK);
    cr_assert_eq(lean_solve(l, (lean_push){.lateral = 1.9}, &at), BARONET_OK);
    cr_assert_eq(at.problem.status, BARONET_OK);
    cr_assert(fabs(at.travel[0]) > 5e-3 && fabs(at.travel[1]) > 5e-3);
    CHECK_REL(at.force[0], (31e3 + 0.81 * 3e3) * at.travel[0], 1e-9, "Hooke");
    CHECK_REL(at.force[1], (37e3 + 0.64 * 4e3) * at.travel[1], 1e-9, "Hooke");
    lean_destroy(l);
    rig_close(&r);
}

/* What goes over on its nose is named by that motion; in the bend it is not found to stand. */
Test(lean, what_tips_over_is_named) {
    rig r = rig_open(SPARE_TANK
                     "vehicle cg-height 1.9 m roll-axis 0.2 m\n"
                     "corner FL at 0.61 m 0.63 m load 300 kg tyre 210 N/mm coil 41 N/mm\n"
                     "corner FR at 0.61 m -0.61 m load 310 kg tyre 210 N/mm coil 43 N/mm\n"
                     "corner RL at -0.62 m 0.63 m load 320 kg tyre 210 N/mm coil 47 N/mm\n"
                     "corner RR at -0.62 m -0.61 m load 330 kg tyre 210 N/mm coil 45 N/mm\n");
    rig_answer(&r, NULL, NULL);
    lean *l = NULL;
    lean_answer at;
    cr_assert_eq(lean_create(&l, r.rates, AIR_ALONE, NULL), BARONET_OK);
    cr_assert_eq(lean_solve(l, (lean_push){.braking = 7.1}, &at), BARONET_OK);
    cr_expect_eq(at.problem.status, BARONET_UNSTABLE, "%s", baronet_status_text(at.problem.status));
    cr_expect_eq(at.problem.item, MOTION_PITCH);
    /* No more than half the track over the height of the middle can be borne (statics). */
    cr_assert_eq(lean_solve(l, (lean_push){.lateral = g * 0.63 / 1.9}, &at), BARONET_OK);
    cr_expect_neq(at.problem.status, BARONET_OK);
    lean_destroy(l);
    rig_close(&r);
}
