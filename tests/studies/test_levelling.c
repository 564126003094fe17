/* SPDX-License-Identifier: MIT */
#include "studies/levelling.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "studies/fleet.h"
#include "studies/laws.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */

/* A levelled case that loads a twin unevenly. */
static load_case levelled(const twin *t, int k, double *mass) {
    load_case with = fleet_case(t, k, mass);
    with.levelled = true;
    return with;
}

/* Gauge pressure that a spring with air of its own needs, by its own corner's weight. */
static double needed(const twin *t, int i, const double *mass) {
    const twin_spring *const s = &t->spring[i];
    const twin_corner *const c = &t->corner[s->lever[0].corner];
    const double W = c->load - c->unsprung * g + mass[s->lever[0].corner] * g - c->carries;
    return W / (s->lever[0].ratio * s->area);
}

Test(levelling, springs_with_air_of_their_own_take_their_corner_s_mass) {
    static const char *const states[] = {"apart", "firm"};
    rig r = twin_open(&fleet_van);
    for (int k = 0; k < 2 * FLEET_CASES; k++) {
        double mass[TWIN_CORNERS];
        const load_case with = levelled(&fleet_van, k % FLEET_CASES, mass);
        const state_standing *const s =
            &rig_answer_for(&r, states[k / FLEET_CASES], &with)->settled;
        for (int i = 0; i < 4; i++) {
            const double P =
                s->node_pressure[rig_node(&r, fleet_van.spring[i].name)] - fleet_van.ambient;
            CHECK_ABS(s->spring_height[i], fleet_van.spring[i].height, 1e-9, "back at design");
            CHECK_REL(P, needed(&fleet_van, i, mass), 1e-9, "P = W/(r A)");
        }
        laws_of_forces(&r, s, &with);
    }
    rig_close(&r);
}

Test(levelling, a_beam_s_springs_share_by_their_levers) {
    rig r = twin_open(&fleet_pickup);
    double mass[TWIN_CORNERS] = {0.0, 0.0, 61.0, 27.0};
    const load_case with = {.name = "bed", .mass = mass, .levelled = true};
    const state_standing *const s = &rig_answer_for(&r, "split", &with)->settled;
    const double Wl = 5390.0 - 88.0 * g + 61.0 * g, Wr = 5110.0 - 85.0 * g + 27.0 * g;
    const double det = 0.84 * 0.87 - 0.17 * 0.14; /* R'F = W by Cramer's rule */
    const double left = (0.87 * Wl - 0.17 * Wr) / det / 0.0141 + fleet_pickup.ambient;
    const double right = (0.84 * Wr - 0.14 * Wl) / det / 0.0148 + fleet_pickup.ambient;
    const double RT = 287.053072047065 * 287.3;
    const double *const air = s->node_air;
    CHECK_REL(air[rig_node(&r, "left")] + air[rig_node(&r, "can")], left * (1.61e-3 + 2.4e-3) / RT,
              1e-9, "filled alone, by Cramer's rule");
    CHECK_REL(air[rig_node(&r, "right")] + air[rig_node(&r, "cross")],
              right * (1.72e-3 + 0.25 * 3.141592653589793 * 0.007 * 0.007 * 1.9) / RT, 1e-9,
              "filled alone, by Cramer's rule");
    /* The tyres give way unevenly, and the coils in front take a little of that lean. */
    double off = 0.0;
    for (int i = 0; i < 2; i++) {
        CHECK_ABS(s->spring_height[i], fleet_pickup.spring[i].height, 3e-4, "nearly at design");
        off = fmax(off, fabs(s->spring_height[i] - fleet_pickup.spring[i].height));
    }
    const levelling_account *const account = &rates_result(r.rates)->levelled;
    cr_assert_eq(account->rounds, 0, "each by itself");
    CHECK_REL(account->off, off, 1e-12, "as the springs stand");
    laws_of_forces(&r, s, &with);
    rig_close(&r);
}

Test(levelling, a_refill_fills_what_is_open_to_the_spring) {
    rig r = twin_open(&fleet_quarter);
    double mass[TWIN_CORNERS];
    const load_case with = levelled(&fleet_quarter, 1, mass);
    const state_standing *const s = &rig_answer_for(&r, "soft", &with)->settled;
    const double p = needed(&fleet_quarter, 0, mass) + fleet_quarter.ambient;
    const double RT = 287.053072047065 * 287.3;
    CHECK_REL(s->node_air[rig_node(&r, "q")], p * 1.83e-3 / RT, 1e-9, "p V/(R T)");
    CHECK_REL(s->node_air[rig_node(&r, "can")], p * 2.9e-3 / RT, 1e-9, "p V/(R T)");
    CHECK_ABS(s->height_shift[0], 0.0, 1e-9, "hub to arch as charged, the tyre gives way");
    rig_close(&r);
}

Test(levelling, a_tank_that_is_shut_off_keeps_its_air) {
    rig r = twin_open(&fleet_quarter);
    double mass[TWIN_CORNERS];
    const load_case with = levelled(&fleet_quarter, 1, mass);
    const double before = rig_answer(&r, "hard", NULL)->settled.node_air[rig_node(&r, "can")];
    const state_standing *const s = &rig_answer_for(&r, "hard", &with)->settled;
    CHECK_REL(s->node_air[rig_node(&r, "can")], before, 1e-13, "nothing passes");
    CHECK_ABS(s->spring_height[0], 0.149, 1e-9, "back at design");
    rig_close(&r);
}

Test(levelling, no_mass_needs_no_air_where_the_charge_stands_at_design) {
    rig r = twin_open(&fleet_van);
    double mass[TWIN_CORNERS];
    const load_case with = levelled(&fleet_van, 0, mass);
    double before[32];
    const size_t bytes = (size_t)r.model->network.nodes * sizeof *before;
    memcpy(before, rig_answer(&r, "apart", NULL)->settled.node_air, bytes);
    const double *const after = rig_answer_for(&r, "apart", &with)->settled.node_air;
    for (int i = 0; i < r.model->network.nodes; i++)
        CHECK_ABS(after[i], before[i], 1e-15, "nothing to do");
    rig_close(&r);
}

/* Mean compression of the springs of each group of a twin's state. */
static void check_means(const twin *t, const char *name, const state_standing *s,
                        const twin_groups *in) {
    for (int group = 0; group < t->springs; group++) {
        double sum = 0.0;
        for (int i = 0; i < t->springs; i++)
            sum += in->group[i] == group ? s->spring_height[i] - t->spring[i].height : 0.0;
        CHECK_ABS(sum, 0.0, 4e-8, name);
    }
}

static void check_shared(const twin *t, const char *name, const twin_groups *in) {
    rig r = twin_open(t);
    for (int k = 0; k < FLEET_CASES; k++) {
        double mass[TWIN_CORNERS];
        const load_case with = levelled(t, k, mass);
        const state_standing *const s = &rig_answer_for(&r, name, &with)->settled;
        check_means(t, name, s, in);
        const levelling_account *const account = &rates_result(r.rates)->levelled;
        cr_assert(account->rounds >= 1 && account->rounds <= 8, "%d", account->rounds);
        cr_assert_leq(account->off, LEVELLING_TOLERANCE);
        laws_of_forces(&r, s, &with);
        laws_of_groups(&r, s, r.model->state[rig_state(&r, name)].open, false);
    }
    rig_close(&r);
}

Test(levelling, springs_that_share_air_are_brought_back_in_their_mean) {
    check_shared(&fleet_van, "linked", &fleet_van.state[1].settled);
    check_shared(&fleet_van, "paired", &fleet_van.state[3].settled);
    check_shared(&fleet_pickup, "joined", &fleet_pickup.state[1].settled);
    check_shared(&fleet_six, "across", &fleet_six.state[2].settled);
    check_shared(&fleet_trailer, "gentle", &fleet_trailer.state[1].settled);
    check_shared(&fleet_bench, "joined", &fleet_bench.state[1].settled);
}

Test(levelling, linked_sides_still_lean_to_the_heavier) {
    rig r = twin_open(&fleet_van);
    double mass[TWIN_CORNERS] = {70.0, 0.0, 110.0, 0.0};
    const load_case with = {.name = "left", .mass = mass, .levelled = true};
    const state_standing *const s = &rig_answer_for(&r, "paired", &with)->settled;
    cr_assert_lt(s->spring_height[2], fleet_van.spring[2].height - 1e-3);
    cr_assert_gt(s->spring_height[3], fleet_van.spring[3].height + 1e-3);
    rig_close(&r);
}

Test(levelling, more_weight_needs_more_air) {
    rig r = twin_open(&fleet_van);
    double mass[TWIN_CORNERS];
    static const char *const states[] = {"apart", "linked", "paired"};
    for (int k = 0; k < 3; k++) {
        const load_case with = levelled(&fleet_van, 1, mass);
        double before = 0.0, after = 0.0;
        const double *air = rig_answer(&r, states[k], NULL)->settled.node_air;
        for (int i = 0; i < r.model->network.nodes; i++)
            before += air[i];
        air = rig_answer_for(&r, states[k], &with)->settled.node_air;
        for (int i = 0; i < r.model->network.nodes; i++)
            after += air[i];
        cr_assert_gt(after, before * 1.02, "%s", states[k]);
    }
    rig_close(&r);
}

Test(levelling, a_held_pressure_is_left_alone) {
    rig r = rig_open("ambient pressure 98.6 kPa temperature 291.7 K\n"
                     "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                     "spring s profile p load 5870 N height 164 mm rubber 31 N/mm\n"
                     "spring t profile p load 5230 N height 151 mm\n"
                     "supply line pressure 4.1 bar\nrestrictor y from s to line bore 4 mm\n"
                     "case more s 40 kg t 30 kg levelled\n");
    const state_standing *const s = &rig_answer(&r, NULL, "more")->settled;
    CHECK_REL(s->node_pressure[rig_node(&r, "s")], 4.1e5 + 98600.0, 1e-13, "held");
    CHECK_REL(s->travel[0], (5870.0 + 40.0 * g - 4.1e5 * 0.0119) / 31e3, 1e-9, "Hooke");
    CHECK_ABS(s->spring_height[1], 0.151, 1e-9, "levelled");
    rig_close(&r);
}

Test(levelling, a_spring_that_would_have_to_suck_is_named) {
    rig r = rig_open("ambient pressure 98.6 kPa temperature 291.7 K\n"
                     "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                     "corner Q at 0 m 0 m load 5870 N coil 30 N/mm carries 4100 N\n"
                     "spring s on Q ratio 0.9 profile p height 164 mm\n"
                     "case less Q -210 kg levelled\n");
    cr_assert_eq(rig_solve(&r, NULL, "less"), BARONET_SLACK);
    cr_assert_eq(r.problem.item, 0);
    CHECK_REL(r.problem.amount, (5870.0 - 210.0 * g - 4100.0) / (0.9 * 0.0119), 1e-9, "statics");
    rig_close(&r);
}

/* So many springs on one corner, the first two of which share their air. */
static rig open_crowd(int springs) {
    char *words = NULL;
    size_t length = 0;
    FILE *const to = open_memstream(&words, &length);
    cr_assert(to != NULL);
    fprintf(to, "profile p area 19 cm2 volume 0.3 L at 164 mm\ncorner Q at 0 m 0 m load 90 kN\n");
    for (int i = 0; i < springs; i++)
        fprintf(to, "spring s%d on Q ratio 0.9 profile p height 164 mm\n", i);
    fprintf(to, "restrictor x from s0 to s1 bore 4 mm\ncase more Q 40 kg levelled\n");
    fclose(to);
    const rig r = rig_open("%s", words);
    free(words);
    return r;
}

Test(levelling, too_many_groups_are_refused) {
    rig r = open_crowd(LEVELLING_GROUPS_MAX + 2);
    cr_assert_eq(rig_solve(&r, NULL, "more"), BARONET_TOO_MANY);
    cr_assert_eq(r.problem.item, LEVELLING_GROUPS_MAX + 1);
    CHECK_REL(r.problem.amount, LEVELLING_GROUPS_MAX, 0.0, "the limit");
    rig_close(&r);
    r = open_crowd(LEVELLING_GROUPS_MAX + 1);
    cr_assert_eq(rig_solve(&r, NULL, "more"), BARONET_OK);
    rig_close(&r);
}

/* Two sides share their air, on a spring that loses area as it rises: before the mean is back at
   design the light side has risen out of its table. Rounds that would lead beyond are cut short. */
Test(levelling, a_spring_that_rises_out_of_its_table_is_named) {
    rig r = rig_open("gas isothermal\n"
                     "profile p volume 1.86 L at 160 mm\n height mm area cm2\n"
                     " 133 120\n 155 160\n 165 137\n 176 103\n"
                     "profile q area 126 cm2 volume 2.50 L at 160 mm\n"
                     "corner A at 0 m 0.8 m load 429 kg coil 19.4 N/mm carries 54 kg\n"
                     "corner B at 0 m -0.75 m load 369 kg coil 34.5 N/mm carries 22 kg\n"
                     "spring a on A ratio 0.71 profile q height 162 mm\n"
                     "spring b on B ratio 0.84 profile p height 158 mm\n"
                     "restrictor x from a to b bore 4 mm\n"
                     "case less A -12 kg B -121 kg levelled\n");
    cr_assert_eq(rig_solve(&r, NULL, "less"), BARONET_OFF_PROFILE);
    cr_expect_eq(r.problem.item, rig_spring(&r, "b"));
    cr_expect(r.problem.amount > 0.0 && r.problem.amount < 1e-3, "%g m too high", r.problem.amount);
    CHECK_REL(r.problem.wanted, 0.176 + r.problem.amount, 1e-12, "above the last row");
    rig_close(&r);
}

/* Springs of which some lose area and others win it: what the rounds do not bring back is told, not
   taken for level. */
Test(levelling, what_is_not_level_after_all_rounds_is_told) {
    rig r = rig_open("gas isothermal\n"
                     "profile p volume 1.64 L at 160 mm\n height mm area cm2\n"
                     " 118 141\n 155 160\n 165 132\n 183 134\n"
                     "profile q volume 1.72 L at 160 mm\n height mm area cm2\n"
                     " 123 118\n 155 159\n 165 150\n 177 124\n"
                     "corner A at 0 m 0.8 m load 399 kg coil 11.3 N/mm carries 40 kg\n"
                     "corner B at 0 m -0.75 m load 272 kg coil 0.4 N/mm carries 57 kg\n"
                     "corner C at -2.1 m 0.7 m load 251 kg coil 32.2 N/mm carries 41 kg\n"
                     "corner D at -2.2 m -0.72 m load 363 kg coil 18.4 N/mm carries 58 kg\n"
                     "spring a on A ratio 0.85 profile q height 165 mm\n"
                     "spring b on B ratio 0.75 profile p height 159 mm\n"
                     "spring c on C ratio 0.87 profile q height 156 mm\n"
                     "spring d on D ratio 0.97 profile p height 166 mm\n"
                     "restrictor x from b to c bore 4 mm\n"
                     "case more A -117 kg B 222 kg C 185 kg D 13 kg levelled\n");
    cr_assert_eq(rig_solve(&r, NULL, "more"), BARONET_NOT_CONVERGED);
    cr_expect_eq(r.problem.item, -1);
    const levelling_account *const account = &rates_result(r.rates)->levelled;
    cr_expect(account->rounds > 20, "%d rounds", account->rounds);
    rig_close(&r);
}
