/* SPDX-License-Identifier: MIT */
#include "studies/stiffness.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/fleet.h"
#include "support.h"

/* Compares K of a level with the derivative of the twin's own force, relative to its largest entry.
 */
static void check_level(const twin *t, const rig *r, level at, const twin_groups *in,
                        const state_standing *standing_now, double n) {
    const int corners = twin_corners(t);
    double K[TWIN_CORNERS * TWIN_CORNERS];
    const twin_air air = twin_air_of(t, r, in, standing_now);
    twin_stiffness(t, &air, n, K);
    double largest = 0.0;
    for (int i = 0; i < corners * corners; i++)
        largest = fmax(largest, fabs(K[i]));
    for (int i = 0; i < corners * corners; i++)
        CHECK_ABS(rates_result(r->rates)->level[at].stiffness[i], K[i], 1e-8 * largest,
                  "numerical derivative of the force with p V^n constant");
}

static void check_state(const twin *t, rig *r, const twin_state *state, const load_case *with) {
    const rates_answer *const answer = rig_answer_for(r, state->name, with);
    check_level(t, r, LEVEL_INSTANT, NULL, &answer->settled, t->exponent);
    check_level(t, r, LEVEL_SETTLED, &state->settled, &answer->settled, t->exponent);
    cr_assert_eq(answer->parked.given, state->leaks, "%s", state->name);
    check_level(t, r, LEVEL_PARKED, state->leaks ? &state->parked : &state->settled,
                state->leaks ? &answer->parked : &answer->settled, 1.0);
}

Test(stiffness, is_the_derivative_of_the_force) {
    fleet_each_case(check_state);
}

Test(stiffness, the_fleet_meets_its_stops) {
    /* So that the check above is also one of a bump stop that is pressed. */
    rig r = twin_open(&fleet_pickup);
    double mass[TWIN_CORNERS];
    const load_case with = fleet_case(&fleet_pickup, 1, mass);
    const rates_answer *const answer = rig_answer_for(&r, "joined", &with);
    cr_assert_gt(answer->settled.travel[2], 0.011 + 1e-3);
    rig_close(&r);
}

Test(stiffness, is_symmetric_where_area_is_what_breathes) {
    /* With A = dV/dh the air has an energy, of which K is the second derivative. */
    static const twin *const conservative[] = {&fleet_van, &fleet_pickup, &fleet_quarter};
    for (int i = 0; i < 3; i++) {
        const twin *const t = conservative[i];
        rig r = twin_open(t);
        double mass[TWIN_CORNERS];
        const load_case with = fleet_case(t, 2, mass);
        for (int k = 0; k < t->states * 3; k++) {
            const level at = (level)(LEVEL_INSTANT + k % 3);
            const rates_answer *const answer = rig_answer_for(&r, t->state[k / 3].name, &with);
            for (int c = 0; c < t->wheels; c++)
                for (int d = 0; d < c; d++)
                    CHECK_ABS(rig_stiffness(&r, answer, at, c, d),
                              rig_stiffness(&r, answer, at, d, c), 1e-9, "an energy exists");
        }
        rig_close(&r);
    }
}

/* Of a spring of the trailer at its standing: ratio times dF/dp, or times dV/dh. */
static double air_part(const rig *r, const state_standing *s, int i, bool breathing) {
    const twin_spring *const one = &fleet_trailer.spring[i];
    const double P = s->node_pressure[rig_node(r, one->name)] - fleet_trailer.ambient;
    const double A = twin_area(one, s->spring_height[i]);
    return one->lever[0].ratio * (breathing ? one->breathing : A * (1.0 + 2.0 * one->bend * P));
}

Test(stiffness, is_as_unsymmetric_as_area_and_breathing_are_unlike) {
    rig r = twin_open(&fleet_trailer);
    const rates_answer *const answer = rig_answer(&r, "gentle", NULL);
    const state_standing *const s = &answer->settled;
    const double held = 2.4e4 / (1.79 * 1.79);
    const double first = rig_stiffness(&r, answer, LEVEL_SETTLED, 0, 1) + held;
    const double second = rig_stiffness(&r, answer, LEVEL_SETTLED, 1, 0) + held;
    const double wanted = air_part(&r, s, 0, false) * air_part(&r, s, 1, true) /
                          (air_part(&r, s, 1, false) * air_part(&r, s, 0, true));
    CHECK_REL(first / second, wanted, 1e-11, "K_ij = n p dF_i/dp B_j / V");
    cr_assert_gt(fabs(wanted - 1.0), 0.03, "or the check would prove nothing");
    rig_close(&r);
}

/* A profile whose area is straight about 0.2 m, by the signs of the reference: x in compression. */
#define REFERENCE_PROFILE                                                                          \
    "profile %s volume %.17g m3 at 0.2 m\n"                                                        \
    "  height m  area m2\n"                                                                        \
    "  0.163  %.17g\n  0.191  %.17g\n  0.207  %.17g\n  0.241  %.17g\n"
#define REFERENCE_AREAS(A, dAdx)                                                                   \
    (A) + 0.037 * (dAdx), (A) + 0.009 * (dAdx), (A)-0.007 * (dAdx), (A)-0.041 * (dAdx)

/* Two corners of an axle and a bar of 1 kN m/rad, which has to hold what the air may leave. */
static rig open_pair(const csv *table, size_t row) {
    const double P = csv_number(table, row, "p_abs_Pa") - csv_number(table, row, "p_atm_Pa");
    const double t = csv_number(table, row, "track_m");
    const bool linked = csv_is(table, row, "kind", "pair_linked");
    return rig_open(
        "ambient pressure %.17g Pa temperature 20 C\ngas exponent %.17g\n"
        "corner L at 0 m %.17g m axle one\ncorner R at 0 m %.17g m axle one\n"
        "bar hold between L R roll 1000 N.m/rad\n" REFERENCE_PROFILE REFERENCE_PROFILE
        "spring a on L ratio 1 profile one height 0.2 m pressure %.17g Pa\n"
        "spring b on R ratio 1 profile two height 0.2 m pressure %.17g Pa\n"
        "tee middle volume %.17g m3\n%s",
        csv_number(table, row, "p_atm_Pa"), csv_number(table, row, "n"), 0.5 * t, -0.5 * t, "one",
        csv_number(table, row, "V_m3"),
        REFERENCE_AREAS(csv_number(table, row, "A_m2"), csv_number(table, row, "dAdx_m2_per_m")),
        "two", csv_number(table, row, "V2_m3"),
        REFERENCE_AREAS(csv_number(table, row, "A2_m2"), csv_number(table, row, "dA2dx_m2_per_m")),
        P, P, csv_number(table, row, "V_aux_m3"),
        linked
            ? "restrictor x from a to middle bore 9 mm\nrestrictor y from middle to b bore 9 mm\n"
            : "");
}

static void check_pair(const csv *table, size_t row) {
    rig r = open_pair(table, row);
    const rates_answer *const answer = rig_answer(&r, NULL, NULL);
    const double t = csv_number(table, row, "track_m");
    const double held = 1000.0 / (t * t);
    const double K11 = rig_stiffness(&r, answer, LEVEL_SETTLED, 0, 0) - held;
    const double K12 = rig_stiffness(&r, answer, LEVEL_SETTLED, 0, 1) + held;
    const double K21 = rig_stiffness(&r, answer, LEVEL_SETTLED, 1, 0) + held;
    const double K22 = rig_stiffness(&r, answer, LEVEL_SETTLED, 1, 1) - held;
    const bool even = csv_number(table, row, "A_m2") == csv_number(table, row, "A2_m2");
    const bool roll = csv_is(table, row, "quantity", "roll_rate");
    if (csv_is(table, row, "quantity", "K11"))
        CHECK_ROW(K11, table, row);
    else if (csv_is(table, row, "quantity", "K12"))
        CHECK_ROW(K12, table, row);
    else if (csv_is(table, row, "quantity", "K22"))
        CHECK_ROW(K22, table, row);
    else if (csv_is(table, row, "quantity", "heave_rate"))
        CHECK_ROW(answer->level[LEVEL_SETTLED].body_rate[MOTION_HEAVE], table, row);
    else
        CHECK_ROW(0.25 * t * t * (K11 - K12 - K21 + K22), table, row);
    if (roll && even) /* the centre of gravity is then in the middle, as the reference has it */
        CHECK_ROW(answer->level[LEVEL_SETTLED].body_rate[MOTION_ROLL] - 1000.0, table, row);
    rig_close(&r);
}

typedef struct linking {
    const char *kind, *paths;
} linking;

static const linking linkings[] = {
    {"four_isolated", ""},
    {"four_front_linked", "restrictor w from a to b bore 9 mm\n"},
    {"four_axle_linked",
     "restrictor w from a to b bore 9 mm\nrestrictor x from c to d bore 9 mm\n"},
    {"four_side_linked",
     "restrictor w from a to c bore 9 mm\nrestrictor x from b to d bore 9 mm\n"},
    {"four_diagonal_linked",
     "restrictor w from a to d bore 9 mm\nrestrictor x from b to c bore 9 mm\n"},
    {"four_all_linked", "restrictor w from a to b bore 9 mm\nrestrictor x from b to c bore 9 mm\n"
                        "restrictor y from c to d bore 9 mm\n"}};

static rig open_four(const csv *table, size_t row, const char *paths) {
    const double P = csv_number(table, row, "p_abs_Pa") - csv_number(table, row, "p_atm_Pa");
    const double y = 0.5 * csv_number(table, row, "track_m");
    const double x = 0.5 * csv_number(table, row, "wheelbase_m");
    return rig_open(
        "ambient pressure %.17g Pa temperature 20 C\ngas exponent %.17g\n"
        "corner A at %.17g m %.17g m\ncorner B at %.17g m %.17g m\n"
        "corner C at %.17g m %.17g m\ncorner D at %.17g m %.17g m\n" REFERENCE_PROFILE
        "spring a on A ratio 1 profile one height 0.2 m pressure %.17g Pa\n"
        "spring b on B ratio 1 profile one height 0.2 m pressure %.17g Pa\n"
        "spring c on C ratio 1 profile one height 0.2 m pressure %.17g Pa\n"
        "spring d on D ratio 1 profile one height 0.2 m pressure %.17g Pa\n%s",
        csv_number(table, row, "p_atm_Pa"), csv_number(table, row, "n"), x, y, x, -y, -x, y, -x, -y,
        "one", csv_number(table, row, "V_m3"),
        REFERENCE_AREAS(csv_number(table, row, "A_m2"), csv_number(table, row, "dAdx_m2_per_m")), P,
        P, P, P, paths);
}

static void check_four(const csv *table, size_t row, const char *paths) {
    rig r = open_four(table, row, paths);
    const level_rates *const l = &rig_answer(&r, NULL, NULL)->level[LEVEL_SETTLED];
    if (csv_is(table, row, "quantity", "warp_rate"))
        CHECK_ROW(4.0 * l->warp_rate[0], table, row); /* of +1 -1 -1 +1, ours is a wheel's */
    else
        CHECK_ROW(l->body_rate[csv_is(table, row, "quantity", "heave_rate")  ? MOTION_HEAVE
                               : csv_is(table, row, "quantity", "roll_rate") ? MOTION_ROLL
                                                                             : MOTION_PITCH],
                  table, row);
    rig_close(&r);
}

Test(stiffness, meets_the_reference_rows_of_linked_springs) {
    csv *const table = csv_read("airspring_theory");
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (strncmp(csv_text(table, i, "kind"), "pair_", 5) == 0) {
            check_pair(table, i);
            met++;
        }
        for (size_t k = 0; k < sizeof linkings / sizeof *linkings; k++) {
            if (csv_is(table, i, "kind", linkings[k].kind)) {
                check_four(table, i, linkings[k].paths);
                met++;
            }
        }
    }
    cr_assert_eq(met, 40 + 24);
    csv_free(table);
}

/* One spring under a weight with a tank of some size behind it, as in limits and facts below. */
static rig open_with_tank(double litres, const char *air) {
    return rig_open(
        "ambient pressure 99.2 kPa temperature 17 C\ngas %s\n"
        "profile p volume 2.07 L at 0.161 m\n"
        "  height m  area m2\n  0.1 0.0162\n  0.14 0.0151\n  0.19 0.0137\n  0.22 0.0131\n"
        "spring s profile p height 0.161 m load 6230 N\n"
        "tank can volume %.17g L\nrestrictor choke from s to can bore 4 mm\n",
        air, litres);
}

static double rate_with_tank(double litres, const char *air, level at) {
    rig r = open_with_tank(litres, air);
    const double k = rig_answer(&r, NULL, NULL)->level[at].spring_rate[0];
    rig_close(&r);
    return k;
}

Test(stiffness, a_huge_tank_leaves_the_area_term) {
    rig r = open_with_tank(4e9, "adiabatic");
    const double k = rig_answer(&r, NULL, NULL)->level[LEVEL_SETTLED].spring_rate[0];
    const profile *const p = &r.model->vehicle.profile[0];
    const double e = 1e-6;
    const double slope =
        (profile_at(p, 0.161 + e, 0.0).area - profile_at(p, 0.161 - e, 0.0).area) / (2.0 * e);
    const double P = 6230.0 / profile_at(p, 0.161, 0.0).area;
    CHECK_REL(k, -P * slope, 1e-7, "limit: constant pressure");
    cr_assert_gt(k, 1e4);
    rig_close(&r);
}

Test(stiffness, a_tiny_tank_changes_nothing) {
    CHECK_REL(rate_with_tank(1e-9, "adiabatic", LEVEL_SETTLED),
              rate_with_tank(3.3, "adiabatic", LEVEL_INSTANT), 1e-9, "limit: its own volume alone");
}

Test(stiffness, parked_is_settled_and_slow_where_nothing_leaks) {
    CHECK_REL(rate_with_tank(2.9, "exponent 1.29", LEVEL_PARKED),
              rate_with_tank(2.9, "isothermal", LEVEL_SETTLED), 1e-13, "n = 1");
    cr_assert_gt(rate_with_tank(2.9, "exponent 1.29", LEVEL_SETTLED),
                 rate_with_tank(2.9, "exponent 1.29", LEVEL_PARKED));
}

Test(stiffness, more_open_volume_is_softer) {
    /* Common practice, no source. */
    double last = rate_with_tank(0.3, "adiabatic", LEVEL_INSTANT);
    for (double litres = 0.3; litres < 40.0; litres *= 1.7) {
        const double k = rate_with_tank(litres, "adiabatic", LEVEL_SETTLED);
        cr_assert_lt(k, last * 0.999, "%g L", litres);
        last = k;
    }
}

#define PLATES "  height m  area m2\n  0.1 0.0162\n  0.14 0.0151\n  0.19 0.0137\n  0.22 0.0131\n"

/* An axle whose right load and height are given, so that its sides are alike or not. */
static rig open_axle(double right_load, double right_height, const char *bypass) {
    return rig_open("ambient pressure 99.2 kPa temperature 17 C\ngas adiabatic\n"
                    "corner L at 0 m 0.81 m load 5100 N\ncorner R at 0 m -0.81 m load %.17g N\n"
                    "bar hold between L R roll 21000 N.m/rad\n"
                    "profile p volume 2.07 L at 0.161 m\n" PLATES
                    "spring a on L ratio 0.93 profile p height 0.158 m\n"
                    "spring b on R ratio 0.93 profile p height %.17g m\n"
                    "solenoid cross from a to b normally closed bore 4 mm %s\n"
                    "state shut shut cross\nstate open open cross\n",
                    right_load, right_height, bypass);
}

typedef struct axle_rates {
    double heave, roll, one_wheel;
} axle_rates;

static axle_rates rates_of_axle(rig *r, const char *state, level at) {
    const level_rates *const l = &rig_answer(r, state, NULL)->level[at];
    return (axle_rates){l->body_rate[MOTION_HEAVE], l->body_rate[MOTION_ROLL],
                        l->one_wheel_rate[0]};
}

Test(stiffness, a_cross_link_softens_roll_and_one_wheel_and_leaves_heave) {
    /* Common practice, no source; where the sides are alike heave keeps all of its rate. */
    rig r = open_axle(5100.0, 0.158, "");
    const axle_rates shut = rates_of_axle(&r, "shut", LEVEL_SETTLED);
    const axle_rates open = rates_of_axle(&r, "open", LEVEL_SETTLED);
    CHECK_REL(open.heave, shut.heave, 1e-12, "alike sides pass no air in heave");
    cr_assert_lt(open.roll, 0.7 * shut.roll);
    cr_assert_lt(open.one_wheel, 0.8 * shut.one_wheel);
    rig_close(&r);
}

Test(stiffness, a_cross_link_changes_heave_a_little_where_sides_are_unlike) {
    /* Common practice, no source: unlike sides pass a little air in heave too. */
    rig r = open_axle(4600.0, 0.171, "");
    const axle_rates shut = rates_of_axle(&r, "shut", LEVEL_SETTLED);
    const axle_rates open = rates_of_axle(&r, "open", LEVEL_SETTLED);
    cr_assert_gt(fabs(open.heave / shut.heave - 1.0), 1e-6);
    cr_assert_lt(fabs(open.heave / shut.heave - 1.0), 0.02);
    cr_assert_lt(open.roll, 0.7 * shut.roll);
    rig_close(&r);
}

Test(stiffness, a_leaking_valve_is_stiff_at_once_and_soft_when_parked) {
    /* Common practice, no source. */
    rig r = open_axle(5100.0, 0.158, "bypass 0.4 mm");
    const axle_rates tight = rates_of_axle(&r, "shut", LEVEL_SETTLED);
    const axle_rates parked = rates_of_axle(&r, "shut", LEVEL_PARKED);
    const axle_rates open = rates_of_axle(&r, "open", LEVEL_SETTLED);
    cr_assert_lt(parked.roll, 0.7 * tight.roll);
    CHECK_REL(parked.roll, open.roll, 1e-9, "in roll, alike sides keep the area term alone");
    rig_close(&r);
}

Test(stiffness, a_held_pressure_has_no_air_term) {
    rig r =
        rig_open("ambient pressure 99.2 kPa temperature 17 C\ngas exponent 1.37\n"
                 "profile p volume 2.07 L at 0.161 m\n" PLATES
                 "spring s profile p height 0.161 m load 6230 N rubber 1700 N/m\n"
                 "supply line pressure 430 kPa\n"
                 "solenoid feed from line to s normally closed bore 4 mm\nstate on open feed\n");
    const rates_answer *const answer = rig_answer(&r, "on", NULL);
    const profile *const p = &r.model->vehicle.profile[0];
    const double h = answer->settled.spring_height[0], e = 1e-6;
    const double slope =
        (profile_at(p, h + e, 0.0).area - profile_at(p, h - e, 0.0).area) / (2.0 * e);
    const profile_point at = profile_at(p, h, 0.0);
    const double area_term = -4.3e5 * slope + 1700.0;
    CHECK_REL(answer->level[LEVEL_SETTLED].spring_rate[0], area_term, 1e-6, "constant pressure");
    CHECK_REL(answer->level[LEVEL_INSTANT].spring_rate[0],
              area_term + 1.37 * (4.3e5 + 99200.0) * at.area * at.area / at.volume, 1e-6,
              "its own volume, before the supply answers");
    rig_close(&r);
}
