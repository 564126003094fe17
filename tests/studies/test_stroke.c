/* SPDX-License-Identifier: MIT */
#include "studies/stroke.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/fleet.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */

/* The stroke of a rig's last answer; the arena is the caller's. */
static stroke_answer follow(rig *r, const double *shape, level at, int points) {
    stroke_answer out;
    cr_assert_eq(stroke_solve(&out, r->arena, r->rates, shape, at, points), BARONET_OK);
    cr_assert_gt(out.rows, 2);
    return out;
}

/* A row at a round travel. */
static const stroke_row *row_at(const stroke_answer *s, double travel) {
    for (int i = 0; i < s->rows; i++)
        if (fabs(s->row[i].travel - travel) < 1e-9)
            return &s->row[i];
    cr_assert_fail("there is no row at %g m", travel);
    return NULL;
}

/* Motions of a twin that move its corners unevenly. */
static const double shapes[][TWIN_CORNERS] = {{1.0, 1.0, 1.0, 1.0, 1.0, 1.0},
                                              {1.0, -0.7, 0.4, -0.9, 0.2, 0.6},
                                              {0.0, 0.0, 1.0, 0.0, 0.0, 0.3}};
enum { SHAPES = sizeof shapes / sizeof *shapes };

/* Beyond its last test pressure (9 bar) a load table is a straight line, and no longer its twin. */
static bool beyond_tests(const twin *t, const stroke_row *row) {
    bool beyond = false;
    for (int i = 0; i < t->springs; i++)
        beyond |= t->spring[i].bend != 0.0 && row->pressure[i] - t->ambient > 9e5;
    return beyond;
}

/* Load and rate of every row against the twin's own force and its own derivative. */
static void check_rows(const twin *t, const stroke_answer *s, const twin_air *air, double n,
                       const double *shape) {
    for (int i = 0; i < s->rows; i++) {
        const stroke_row *const row = &s->row[i];
        double travel[TWIN_CORNERS], force[TWIN_CORNERS], up[TWIN_CORNERS], down[TWIN_CORNERS];
        if (beyond_tests(t, row))
            continue;
        for (int k = 0; k < 3; k++) {
            const double step = k == 0 ? 0.0 : k == 1 ? 1e-5 : -1e-5;
            for (int c = 0; c < twin_corners(t); c++)
                travel[c] = air->travel[c] + (row->travel + step) * shape[c];
            twin_force(t, air, n, travel, k == 0 ? force : k == 1 ? up : down);
        }
        for (int c = 0; c < twin_corners(t); c++) {
            const double unsprung = c < t->wheels ? t->corner[c].unsprung * g : 0.0;
            CHECK_ABS(row->load[c], force[c] + unsprung, 1e-6, "the twin's own force");
            if (shape[c] == 0.0)
                cr_assert(isnan(row->rate[c]));
            else
                CHECK_ABS(row->rate[c], (up[c] - down[c]) / 2e-5 / shape[c],
                          1e-5 * fabs(row->rate[c]) + 2.0, "the twin's own derivative");
        }
    }
}

static void check_state(const twin *t, rig *r, const twin_state *state) {
    const rates_answer *const answer = rig_answer(r, state->name, NULL);
    for (int k = 0; k < 3 * SHAPES; k++) {
        const level at = (level)(LEVEL_INSTANT + k % 3);
        const bool leaks = at == LEVEL_PARKED && state->leaks;
        const twin_groups *const in = at == LEVEL_INSTANT ? NULL
                                      : leaks             ? &state->parked
                                                          : &state->settled;
        const twin_air air = twin_air_of(t, r, in, leaks ? &answer->parked : &answer->settled);
        const stroke_answer s = follow(r, shapes[k / 3], at, 17);
        check_rows(t, &s, &air, at == LEVEL_PARKED ? 1.0 : t->exponent, shapes[k / 3]);
    }
}

Test(stroke, the_fleet_s_loads_and_rates_are_those_of_its_twins) {
    for (int i = 0; i < FLEET; i++) {
        const twin *t = fleet[i];
        if (t == &fleet_pickup)
            continue; /* whose stops have a corner in their force: below */
        rig r = twin_open(t);
        for (int k = 0; k < t->states; k++)
            check_state(t, &r, &t->state[k]);
        rig_close(&r);
    }
}

Test(stroke, stops_are_met_on_the_way) {
    rig r = twin_open(&fleet_pickup);
    const rates_answer *const answer = rig_answer(&r, "joined", NULL);
    const twin_air air =
        twin_air_of(&fleet_pickup, &r, &fleet_pickup.state[1].settled, &answer->settled);
    static const double heave[] = {1.0, 1.0, 1.0, 1.0};
    const stroke_answer s = follow(&r, heave, LEVEL_SETTLED, 21);
    bool before = false, after = false;
    for (int i = 0; i < s.rows; i++) {
        double travel[TWIN_CORNERS], force[TWIN_CORNERS];
        for (int c = 0; c < 4; c++)
            travel[c] = air.travel[c] + s.row[i].travel;
        twin_force(&fleet_pickup, &air, 1.4, travel, force);
        for (int c = 0; c < 4; c++)
            CHECK_ABS(s.row[i].load[c], force[c] + fleet_pickup.corner[c].unsprung * g, 1e-6,
                      "the twin's own force");
        before |= travel[2] < 0.011 && s.row[i].rate[2] < 1.5e5;
        after |= travel[2] > 0.011 && s.row[i].rate[2] > 1.7e5;
    }
    cr_assert(before && after, "both sides of the bump stop");
    rig_close(&r);
}

Test(stroke, meets_the_reference_rows_of_a_piston) {
    csv *const table = csv_read("airspring_theory");
    static const double down[] = {1.0};
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (!csv_is(table, i, "kind", "constant_area_force"))
            continue;
        const double tank = csv_number(table, i, "V_aux_m3");
        const double P = csv_number(table, i, "p_abs_Pa") - csv_number(table, i, "p_atm_Pa");
        rig r = rig_open("ambient pressure %.17g Pa temperature 20 C\ngas exponent %.17g\n"
                         "profile p area %.17g m2 volume %.17g m3 at 0.2 m\n"
                         "spring s profile p height 0.2 m pressure %.17g Pa\n"
                         "tank can volume %.17g m3 pressure %.17g Pa\n%s",
                         csv_number(table, i, "p_atm_Pa"), csv_number(table, i, "n"),
                         csv_number(table, i, "A_m2"), csv_number(table, i, "V_m3"), P,
                         tank > 0.0 ? tank : 1e-3, P,
                         tank > 0.0 ? "restrictor choke from s to can bore 4 mm\n" : "");
        rig_answer(&r, NULL, NULL);
        const stroke_answer s = follow(&r, down, LEVEL_SETTLED, 402);
        CHECK_ROW(row_at(&s, csv_number(table, i, "x_m"))->load[0], table, i);
        rig_close(&r);
        met++;
    }
    cr_assert_eq(met, 5);
    csv_free(table);
}

Test(stroke, starts_at_the_state_s_own_loads_and_rates) {
    for (int i = 0; i < FLEET; i++) {
        const twin *const t = fleet[i];
        rig r = twin_open(t);
        const rates_answer *const answer = rig_answer(&r, t->state[0].name, NULL);
        for (int at = LEVEL_INSTANT; at <= LEVEL_PARKED; at++) {
            const stroke_answer s = follow(&r, shapes[1], (level)at, 21);
            const stroke_row *const rest = row_at(&s, 0.0);
            const state_standing *const from =
                at == LEVEL_PARKED && answer->parked.given ? &answer->parked : &answer->settled;
            for (int c = 0; c < twin_corners(t); c++) {
                double force = 0.0;
                for (int d = 0; d < twin_corners(t); d++)
                    force += rig_stiffness(&r, answer, (level)at, c, d) * shapes[1][d];
                CHECK_REL(rest->load[c], from->load[c], 1e-12, "where it stands");
                CHECK_REL(rest->rate[c], force / shapes[1][c], 1e-9, "K of that level");
            }
            for (int k = 0; k < t->springs; k++)
                CHECK_REL(rest->pressure[k], from->node_pressure[rig_node(&r, t->spring[k].name)],
                          1e-13, "where it stands");
        }
        rig_close(&r);
    }
}

Test(stroke, instant_is_stiffer_than_settled) {
    rig r = twin_open(&fleet_quarter);
    rig_answer(&r, "soft", NULL);
    static const double up[] = {1.0};
    const stroke_answer quick = follow(&r, up, LEVEL_INSTANT, 21);
    const stroke_answer slow = follow(&r, up, LEVEL_SETTLED, 21);
    cr_assert_gt(row_at(&quick, 0.02)->load[0], row_at(&slow, 0.02)->load[0] + 100.0);
    cr_assert_lt(row_at(&quick, -0.02)->load[0], row_at(&slow, -0.02)->load[0] - 100.0);
    cr_assert_gt(row_at(&quick, 0.02)->pressure[0], row_at(&slow, 0.02)->pressure[0]);
    rig_close(&r);
}

/* Work (J) of the loads from the lowest to the highest of evenly spaced rows, by Simpson's rule. */
static double work_of(const twin *t, const stroke_answer *s, const double *shape, int first,
                      int last) {
    double work = 0.0;
    for (int i = first; i <= last; i++) {
        const double weight = i == first || i == last ? 1.0 : (i - first) % 2 == 1 ? 4.0 : 2.0;
        for (int c = 0; c < t->wheels; c++)
            work += weight / 3.0 * (s->row[i].load[c] - t->corner[c].unsprung * g) * shape[c];
    }
    return work * (s->row[first + 1].travel - s->row[first].travel);
}

/* Energy (J) of all that the van stands on, air slowly: p V ln(1/V) of each group and the
   atmosphere's share p0 V, carcasses, coils and bars. */
static double energy_of(const twin *t, const twin_air *air, double along, const double *shape) {
    double energy = 0.0, was[TWIN_SPRINGS], is[TWIN_SPRINGS], travel[TWIN_CORNERS];
    memcpy(was, air->in.fixed, sizeof was);
    memcpy(is, air->in.fixed, sizeof is);
    for (int c = 0; c < t->wheels; c++) {
        travel[c] = air->travel[c] + along * shape[c];
        energy += t->corner[c].carries * travel[c] + 0.5 * t->corner[c].coil * pow(travel[c], 2.0);
    }
    for (int i = 0; i < t->springs; i++) {
        const twin_spring *const s = &t->spring[i];
        const double x = s->lever[0].ratio * travel[s->lever[0].corner];
        was[air->in.group[i]] +=
            twin_volume(s, s->height - s->lever[0].ratio * air->travel[s->lever[0].corner]);
        is[air->in.group[i]] += twin_volume(s, s->height - x);
        energy += 0.5 * s->rubber * x * x;
    }
    for (int k = 0; k < t->springs; k++)
        if (was[k] > 0.0)
            energy += t->ambient * is[k] - air->pressure[k] * was[k] * log(is[k]);
    for (int i = 0; i < t->bars; i++) {
        const double track = t->corner[t->bar[i].left].y - t->corner[t->bar[i].right].y;
        const double twist = (travel[t->bar[i].left] - travel[t->bar[i].right]) / track;
        energy += 0.5 * t->bar[i].roll * twist * twist;
    }
    return energy;
}

Test(stroke, work_is_the_energy_that_the_air_takes_up) {
    const twin *const t = &fleet_van;
    rig r = twin_open(t);
    const rates_answer *const answer = rig_answer(&r, "firm", NULL);
    const twin_air air = twin_air_of(t, &r, &t->state[2].parked, &answer->parked);
    for (int k = 0; k < 2; k++) {
        const stroke_answer s = follow(&r, shapes[k], LEVEL_PARKED, 200);
        const int first = 2, last = 2 + (s.rows - 5) / 2 * 2; /* even, ends left out */
        const double low = s.row[first].travel, high = s.row[last].travel;
        cr_assert_gt(high - low, 0.08);
        CHECK_REL(work_of(t, &s, shapes[k], first, last),
                  energy_of(t, &air, high, shapes[k]) - energy_of(t, &air, low, shapes[k]), 1e-8,
                  "isothermal air: p V ln(V/V')");
    }
    rig_close(&r);
}

typedef struct ending {
    const char *what, *netlist;
    double shape;
    stroke_end low, high;
    int low_item, high_item;
    double low_travel, high_travel; /* NAN: not looked at */
} ending;

#define TABLE                                                                                      \
    "ambient pressure 99 kPa temperature 20 C\n"                                                   \
    "profile piston area 121 cm2 volume 1.9 L at 150 mm\n"                                         \
    "profile bag volume 2.2 L at 160 mm\n"                                                         \
    "  height mm  area cm2\n  110 153\n  150 141\n  180 132\n  230 117\n"

static const ending endings[] = {
    {"a table",
     TABLE "corner Q at 0 m 0 m load 4.1 kN\nspring s on Q ratio 0.8 profile bag height 157 mm\n",
     1.0, STROKE_PROFILE, STROKE_PROFILE, 0, 0, -0.073 / 0.8, 0.047 / 0.8},
    {"a table, moved twice as far",
     TABLE "corner Q at 0 m 0 m load 4.1 kN\nspring s on Q ratio 0.8 profile bag height 157 mm\n",
     2.0, STROKE_PROFILE, STROKE_PROFILE, 0, 0, -0.073 / 1.6, 0.047 / 1.6},
    {"a table upside down",
     TABLE "corner Q at 0 m 0 m load 4.1 kN\nspring s on Q ratio 0.8 profile bag height 157 mm\n",
     -1.0, STROKE_PROFILE, STROKE_PROFILE, 0, 0, -0.047 / 0.8, 0.073 / 0.8},
    {"a piston: its air would be gone but for a thousandth, or no end",
     TABLE
     "corner Q at 0 m 0 m load 4.1 kN\nspring s on Q ratio 0.9 profile piston height 150 mm\n",
     1.0, STROKE_LIMIT, STROKE_PROFILE, -1, 0, -0.2,
     (1.0 - PROFILE_DEAD_VOLUME) * 1.9e-3 / 0.0121 / 0.9},
    {"a limp piston sucks",
     TABLE "corner Q at 0 m 0 m load 220 N\nspring s on Q ratio 0.9 profile piston height 150 mm\n",
     1.0, STROKE_SLACK, STROKE_PROFILE, 0, 0, (double)NAN,
     (1.0 - PROFILE_DEAD_VOLUME) * 1.9e-3 / 0.0121 / 0.9},
    {"a coil that hangs the wheel",
     TABLE "corner Q at 0 m 0 m load 4.1 kN unsprung 30 kg coil 41 N/mm\ntank can volume 1 L "
           "pressure 2 bar\n",
     1.0, STROKE_LIFT, STROKE_LIMIT, 0, -1, -0.1, 0.2},
};

Test(stroke, says_what_ends_it_and_where) {
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        const ending *const want = &endings[i];
        rig r = rig_open("%s", want->netlist);
        rig_answer(&r, NULL, NULL);
        const stroke_answer s = follow(&r, &want->shape, LEVEL_SETTLED, 21);
        cr_assert_eq(s.low_end, want->low, "%s: %d", want->what, (int)s.low_end);
        cr_assert_eq(s.high_end, want->high, "%s: %d", want->what, (int)s.high_end);
        cr_assert_eq(s.low_spring, want->low_item, "%s: %d", want->what, s.low_spring);
        cr_assert_eq(s.high_spring, want->high_item, "%s: %d", want->what, s.high_spring);
        if (!isnan(want->low_travel))
            CHECK_REL(s.row[0].travel, want->low_travel, 1e-9, want->what);
        CHECK_REL(s.row[s.rows - 1].travel, want->high_travel, 1e-9, want->what);
        rig_close(&r);
    }
}

Test(stroke, a_spring_goes_slack_where_its_air_is_as_thin_as_that_outside) {
    /* p V^1.4 of 220/(0.9 0.0121) Pa gauge, down to ambient. */
    rig r = rig_open("%s", endings[4].netlist);
    rig_answer(&r, NULL, NULL);
    const double p = 220.0 / 0.9 / 0.0121 + 99000.0;
    const double V = 1.9e-3 * pow(p / 99000.0, 1.0 / 1.4);
    static const double up[] = {1.0};
    const stroke_answer s = follow(&r, up, LEVEL_SETTLED, 21);
    CHECK_REL(s.row[0].travel, -(V - 1.9e-3) / 0.0121 / 0.9, 1e-9, "p V^n");
    rig_close(&r);
}

/* One is let out and stands by the other and a bar: shut in, it ends where no more than a
   thousandth of its air's room is left. */
Test(stroke, a_flat_spring_ends_it_where_it_has_no_room) {
    static const double up[] = {0.8, 1.0};
    rig r = rig_open("%s", TABLE "corner P at 0 m 0.7 m load 3.7 kN axle X\n"
                                 "corner Q at 0 m -0.6 m load 4.1 kN axle X\n"
                                 "bar b between P Q roll 81000 N.m/rad\n"
                                 "spring o on P ratio 0.95 profile piston height 150 mm\n"
                                 "spring s on Q ratio 0.9 profile piston height 150 mm\n"
                                 "solenoid vent from s to atmosphere normally open bore 4 mm\n"
                                 "state tight shut vent\nstate slack open vent\n"
                                 "charge in tight\n");
    const rates_answer *const a = rig_answer(&r, "slack", NULL);
    const stroke_answer s = follow(&r, up, LEVEL_INSTANT, 21);
    /* The volume is a straight line of the height. */
    const double room = 1.9e-3 - 0.0121 * (0.15 - a->settled.spring_height[1]);
    cr_assert_eq(s.high_end, STROKE_PROFILE);
    cr_assert_eq(s.high_spring, 1);
    CHECK_REL(s.row[s.rows - 1].travel, (1.0 - PROFILE_DEAD_VOLUME) * room / 0.0121 / 0.9, 1e-6,
              "where its air has no room");
    for (int i = 0; i < s.rows; i++)
        cr_assert(isfinite(s.row[i].load[1]) && isfinite(s.row[i].pressure[1]));
    CHECK_REL(s.row[s.rows - 1].pressure[1], 99000.0 * pow(1e3, 1.4), 1e-4, "p V^n");
    rig_close(&r);
}

Test(stroke, rows_rise_and_stand_at_round_travels) {
    rig r = twin_open(&fleet_six);
    rig_answer(&r, "shared", NULL);
    static const int points[] = {9, 21, 60, 333};
    for (int i = 0; i < 4; i++) {
        const stroke_answer s = follow(&r, shapes[0], LEVEL_SETTLED, points[i]);
        cr_assert_leq(s.rows, points[i] + 2);
        cr_assert_geq(s.rows, points[i] / 3);
        const double step = s.row[2].travel - s.row[1].travel;
        const double first = step / pow(10.0, floor(log10(step * 1.000001)));
        cr_assert(fabs(first - 1.0) < 1e-6 || fabs(first - 2.0) < 1e-6 || fabs(first - 5.0) < 1e-6,
                  "steps of 1, 2 or 5: %g", step);
        for (int k = 1; k < s.rows; k++) {
            cr_assert_gt(s.row[k].travel, s.row[k - 1].travel);
            if (k + 1 < s.rows)
                CHECK_ABS(s.row[k].travel / step, round(s.row[k].travel / step), 1e-6, "round");
        }
        (void)row_at(&s, 0.0);
    }
    rig_close(&r);
}

/* Rate in 20 mm of bump over the rate at rest. */
static double stiffening(const char *part, const char *profile_name, double height) {
    rig r = rig_open("gas adiabatic\ninclude \"netlists/parts/%s.air\"\n"
                     "corner Q at 0 m 0 m load 5.6 kN\n"
                     "spring s on Q ratio 1 profile %s height %.17g mm\n",
                     part, profile_name, height);
    rig_answer(&r, NULL, NULL);
    static const double up[] = {1.0};
    const stroke_answer s = follow(&r, up, LEVEL_SETTLED, 60);
    const double ratio = row_at(&s, 0.02)->rate[0] / row_at(&s, 0.0)->rate[0];
    rig_close(&r);
    return ratio;
}

Test(stroke, a_convoluted_spring_stiffens_quickly_in_compression) {
    /* Common practice, no source: a bellows gains area as it is pressed, a rolling sleeve hardly.
     */
    const double bellows = stiffening("single", "single-160", 94.0);
    const double sleeve = stiffening("sleeve", "sleeve-small", 164.0);
    cr_assert_gt(bellows, 1.4, "%g", bellows);
    cr_assert_gt(bellows, sleeve + 0.1, "%g and %g", bellows, sleeve);
}

Test(stroke, a_want_of_memory_is_told_wherever_it_comes) {
    static const baronet_question questions[] = {{.motion = "roll", .level = "parked"},
                                                 {.state = "linked", .points = 9}};
    for (size_t i = 0; i < 2; i++)
        rig_starve(baronet_stroke, &questions[i]);
}
