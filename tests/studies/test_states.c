/* SPDX-License-Identifier: MIT */
#include "studies/states.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "studies/fleet.h"
#include "studies/laws.h"
#include "support.h"

/* States of a rig; the charge must stand. */
static states_answer solve(rig *r, states_choice choice, int one) {
    states_answer out;
    cr_assert_eq(charge_solve(r->charge, &r->problem), BARONET_OK);
    cr_assert_eq(states_solve(&out, r->charge, NULL, choice, one, 0.0, NULL), BARONET_OK);
    return out;
}

static void check_same(const rig *r, const rates_answer *a, const rates_answer *b) {
    const int corners = r->model->vehicle.corners;
    for (int i = 0; i < r->model->network.nodes; i++)
        CHECK_REL(a->settled.node_pressure[i], b->settled.node_pressure[i], 1e-12, "alone");
    for (int at = LEVEL_INSTANT; at <= LEVEL_PARKED; at++)
        for (int c = 0; c < corners * corners; c++)
            CHECK_ABS(a->level[at].stiffness[c], b->level[at].stiffness[c], 1e-6, "alone");
}

Test(states, each_is_what_it_is_alone) {
    for (int i = 0; i < FLEET; i++) {
        rig r = twin_open(fleet[i]), alone = twin_open(fleet[i]);
        states_answer all = solve(&r, STATES_NAMED, 0);
        for (int k = 0; k < all.count; k++) {
            cr_assert_eq(all.entry[k].problem.status, BARONET_OK, "%s", all.entry[k].name);
            check_same(&r, rates_result(all.entry[k].rates),
                       rig_answer(&alone, all.entry[k].name, NULL));
        }
        states_free(&all);
        rig_close(&r);
        rig_close(&alone);
    }
}

Test(states, air_is_the_same_in_all_of_them) {
    /* Every state is reached from the charged one, so that nothing depends on their order. */
    for (int i = 0; i < FLEET; i++) {
        rig r = twin_open(fleet[i]);
        states_answer all = solve(&r, STATES_ALL, 0);
        double charged = 0.0;
        for (int n = 0; n < r.model->network.nodes; n++)
            charged += r.charge->node_amount[n] / (287.053072047065 * r.model->ambient.temperature);
        for (int k = 0; k < all.count; k++) {
            double air = 0.0;
            if (all.entry[k].problem.status != BARONET_OK)
                continue;
            for (int n = 0; n < r.model->network.nodes; n++)
                air += rates_result(all.entry[k].rates)->settled.node_air[n];
            CHECK_REL(air, charged, 1e-12, all.entry[k].name);
        }
        states_free(&all);
        rig_close(&r);
    }
}

Test(states, the_base_is_the_charge_s_state) {
    rig r = rig_open("profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                     "spring s profile p load 5870 N height 164 mm\ntank can volume 1 L\n"
                     "solenoid v from s to can normally closed bore 4 mm\n"
                     "state hard shut v\nstate soft open v\ncharge in soft\n");
    states_answer all = solve(&r, STATES_NAMED, 0);
    cr_assert_eq(all.count, 2, "`rest` is `hard` by another name");
    cr_assert_str_eq(all.entry[all.base].name, "soft");
    cr_assert(all.entry[0].rest && !all.entry[1].rest);
    states_free(&all);
    all = solve(&r, STATES_ONE, 0);
    cr_assert_eq(all.count, 1);
    cr_assert_str_eq(all.entry[all.base].name, "hard");
    states_free(&all);
    rig_close(&r);
}

Test(states, rest_is_always_there) {
    rig r = twin_open(&fleet_bench); /* `apart` shuts its only solenoid, which is what rest does */
    states_answer all = solve(&r, STATES_NAMED, 0);
    cr_assert_eq(all.count, 2);
    states_free(&all);
    rig_close(&r);
    r = rig_open("profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                 "spring s profile p load 5870 N height 164 mm\ntank can volume 1 L\n"
                 "solenoid v from s to can normally open bore 4 mm\nstate hard shut v\n"
                 "charge in rest\n");
    all = solve(&r, STATES_NAMED, 0);
    cr_assert_eq(all.count, 2);
    cr_assert_str_eq(all.entry[1].name, "rest");
    cr_assert(all.entry[1].rest && all.entry[1].open[0]);
    states_free(&all);
    rig_close(&r);
}

/* True where one entry has the rates of this position. */
static bool has_rates(const rig *r, const states_answer *all, const rates_answer *wanted) {
    const int count = r->model->vehicle.corners * r->model->vehicle.corners;
    for (int k = 0; k < all->count; k++) {
        const rates_answer *const one =
            all->entry[k].rates != NULL ? rates_result(all->entry[k].rates) : NULL;
        if (one == NULL || one->problem.status != wanted->problem.status)
            continue;
        bool same = true;
        for (int at = LEVEL_INSTANT; at <= LEVEL_PARKED; at++)
            for (int c = 0; c < count && wanted->level[at].given; c++)
                same &= fabs(one->level[at].stiffness[c] - wanted->level[at].stiffness[c]) < 1e-4;
        if (same)
            return true;
    }
    return false;
}

Test(states, all_combinations_leave_none_out) {
    /* Folding may only leave out positions whose rates another one has. */
    static const twin *const some[] = {&fleet_van, &fleet_trailer, &fleet_six};
    for (int i = 0; i < 3; i++) {
        rig r = twin_open(some[i]);
        states_answer all = solve(&r, STATES_ALL, 0);
        const int solenoids = r.model->network.solenoids;
        int combinations = 0;
        for (int k = 0; k < all.count; k++)
            combinations += all.entry[k].combinations;
        cr_assert_eq(combinations, 1 << solenoids);
        for (unsigned bits = 0; bits < 1u << solenoids; bits++) {
            bool open[8];
            rates *one = NULL;
            for (int k = 0; k < solenoids; k++)
                open[k] = (bits >> k & 1u) != 0;
            cr_assert_eq(rates_create(&one, r.charge, open, NULL, &r.problem), BARONET_OK);
            (void)!rates_solve(one, NULL); /* some are neutral, which must be an entry too */
            cr_assert(has_rates(&r, &all, rates_result(one)), "position %u", bits);
            rates_destroy(one);
        }
        states_free(&all);
        rig_close(&r);
    }
}

Test(states, named_ones_keep_their_names_among_all) {
    rig r = twin_open(&fleet_van);
    states_answer all = solve(&r, STATES_ALL, 0);
    for (int s = 0; s < fleet_van.states; s++) {
        int found = 0;
        for (int k = 0; k < all.count; k++)
            found += strcmp(all.entry[k].name, fleet_van.state[s].name) == 0;
        cr_assert_eq(found, 1, "%s", fleet_van.state[s].name);
    }
    int rest = 0;
    for (int k = 0; k < all.count; k++)
        rest += all.entry[k].rest;
    cr_assert_eq(rest, 1, "and one is the de-energised one");
    states_free(&all);
    rig_close(&r);
}

Test(states, an_impossible_position_is_an_entry_and_no_failure) {
    rig r = rig_open("profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                     "spring s profile p load 5870 N height 164 mm rubber 30 N/mm\n"
                     "supply low pressure 4 bar\nsupply high pressure 7 bar\n"
                     "solenoid a from low to s normally closed bore 4 mm\n"
                     "solenoid b from high to s normally closed bore 4 mm\n"
                     "state none shut a b\nstate both open a b\nstate one open a\n");
    states_answer all = solve(&r, STATES_NAMED, 0);
    cr_assert_eq(all.count, 3);
    cr_assert_eq(all.entry[1].problem.status, BARONET_TWO_SOURCES);
    cr_assert_eq(all.entry[0].problem.status, BARONET_OK);
    cr_assert_eq(all.entry[2].problem.status, BARONET_OK);
    states_free(&all);
    rig_close(&r);
}

static rig open_many(int solenoids) {
    char *words = NULL;
    size_t length = 0;
    FILE *const to = open_memstream(&words, &length);
    cr_assert(to != NULL);
    fprintf(to,
            "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
            "spring s profile p load 5870 N height 164 mm\ntank can volume 1 L pressure 1 bar\n");
    for (int i = 0; i < solenoids; i++)
        fprintf(to, "solenoid v%d from s to can normally closed bore 4 mm\n", i);
    fclose(to);
    const rig r = rig_open("%s", words);
    free(words);
    return r;
}

Test(states, too_many_combinations_are_refused) {
    rig r = open_many(STATES_SOLENOIDS_MAX + 1);
    states_answer all;
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    cr_assert_eq(states_solve(&all, r.charge, NULL, STATES_ALL, 0, 0.0, NULL), BARONET_TOO_MANY);
    states_free(&all);
    cr_assert_eq(states_solve(&all, r.charge, NULL, STATES_NAMED, 0, 0.0, NULL), BARONET_OK);
    cr_assert_eq(all.count, 1, "rest alone");
    states_free(&all);
    rig_close(&r);
}

/* Twelve valves are not too many, but nodes count as well. */
Test(states, combinations_times_nodes_have_a_limit) {
    text_buffer words = {0};
    text_buffer_add(&words, "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                            "spring s profile p load 5870 N height 164 mm\n");
    for (int i = 0; i < STATES_SOLENOIDS_MAX; i++)
        text_buffer_format(&words,
                           "tank c%d volume 1 L pressure 1 bar\n"
                           "solenoid v%d from s to c%d normally closed bore 4 mm\n",
                           i, i, i);
    for (int i = 0; i < 5000; i++)
        text_buffer_format(&words, "tank t%d volume 1 L pressure 1 bar\n", i);
    rig r = rig_open("%s", words.bytes);
    states_answer all;
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    cr_assert_eq(states_solve(&all, r.charge, NULL, STATES_ALL, 0, 0.0, NULL), BARONET_TOO_MANY);
    states_free(&all);
    text_buffer_free(&words);
    rig_close(&r);
}

/* A valve between tanks where no spring breathes changes nothing: with it open or shut the position
   is one, under the name that either has; of states that are alike the first gives it, and `rest`
   the last. */
Test(states, positions_that_join_the_same_are_one) {
    rig r = rig_open("profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                     "spring s profile p load 5870 N height 164 mm\n"
                     "tank can volume 1 L pressure 1 bar\n"
                     "tank one volume 1.3 L pressure 2 bar\ntank two volume 0.9 L pressure 2 bar\n"
                     "solenoid v from s to can normally closed bore 4 mm\n"
                     "solenoid w from one to two normally closed bore 3 mm\n"
                     "state shut shut v w\nstate tight shut v w\nstate both open v w\n");
    states_answer all = solve(&r, STATES_ALL, 0);
    cr_assert_eq(all.count, 2);
    cr_expect_str_eq(all.entry[0].name, "shut");
    cr_expect_eq(all.entry[0].combinations, 2);
    cr_expect(all.entry[0].rest);
    cr_expect_str_eq(all.entry[1].name, "both");
    cr_expect_eq(all.entry[1].combinations, 2);
    cr_expect_not(all.entry[1].rest);
    states_free(&all);
    rig_close(&r);
}

Test(states, a_want_of_memory_is_told_wherever_it_comes) {
    static const baronet_question questions[] = {
        {.state = NULL}, {.all = true}, {.load_case = "more"}};
    for (size_t i = 0; i < sizeof questions / sizeof *questions; i++)
        rig_starve(baronet_states, &questions[i]);
}

/* Standings are joined by their levels, and the one that may be out the most gives its name. */
Test(states, the_worst_of_how_they_were_solved_is_that_of_one_of_them) {
    rig r = rig_open_file("netlists/camper.air");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    states_answer all;
    cr_assert_eq(states_solve(&all, r.charge, NULL, STATES_NAMED, -1, 0.0, NULL), BARONET_OK);
    for (level at = LEVEL_NONE; at <= LEVEL_PARKED; at++) {
        balance_worst got = {0}, want = {0};
        for (int k = 0; k < all.count; k++) {
            rates *const one = all.entry[k].rates;
            for (int other = 0; other < 2; other++) {
                const bool apart = rates_result(one)->parked.given;
                const bool wanted = at == LEVEL_NONE     ? other == 0 || apart
                                    : at == LEVEL_PARKED ? other == apart
                                                         : other == 0;
                double condition;
                balance *const b = rates_balance(one, other != 0);
                cr_assert_eq(balance_condition(b, &condition), BARONET_OK);
                const double residual = balance_report(b).residual;
                const double error = condition * fmax(residual, 2.220446049250313e-16);
                if (wanted && error > want.error) {
                    want.error = error;
                    want.where = all.entry[k].name;
                }
                want.residual = fmax(want.residual, wanted ? residual : 0.0);
                want.condition = fmax(want.condition, wanted ? condition : 0.0);
            }
        }
        cr_assert_eq(states_join(&got, &all, at), BARONET_OK);
        cr_expect_eq(got.residual, want.residual);
        CHECK_REL(got.condition, want.condition, 1e-12, "the largest of all");
        CHECK_REL(got.error, want.error, 1e-12, "the largest product of the two");
        cr_expect_str_eq(got.where, want.where);
    }
    states_free(&all);
    rig_close(&r);
}
