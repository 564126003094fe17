/* SPDX-License-Identifier: MIT */
#include "studies/charge.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/fleet.h"
#include "studies/laws.h"
#include "support.h"

/* A piston under a dead weight keeps its pressure whatever joins it, so that only its height says
   what air went where. */
#define PISTON                                                                                     \
    "ambient pressure 98.6 kPa temperature 291.7 K\ngas adiabatic\n"                               \
    "profile p area 119 cm2 volume 2.03 L at 164 mm\n"                                             \
    "spring s profile p load 5870 N height 164 mm\n"

static const double p_spring = 5870.0 / 0.0119 + 98600.0; /* Pa absolute, all along */

Test(charge, a_tank_takes_the_mean_of_the_springs_it_is_open_to) {
    rig r = rig_open(PISTON "tank can volume 3.1 L\nrestrictor x from s to can bore 4 mm\n");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    const int s = rig_node(&r, "s"), can = rig_node(&r, "can");
    CHECK_REL(r.charge->node_pressure[s], p_spring, 1e-12, "statics");
    CHECK_REL(r.charge->node_pressure[can], p_spring, 1e-12, "the spring's");
    CHECK_REL(r.charge->node_amount[can], p_spring * 3.1e-3, 1e-12, "p V");
    CHECK_ABS(r.charge->travel[0], 0.0, 1e-12, "nothing moves");
    rig_close(&r);
}

Test(charge, a_tank_with_a_pressure_of_its_own_keeps_that_air) {
    rig r = rig_open(PISTON "tank can volume 3.1 L pressure 6.3 bar\n"
                            "hose x from s to can bore 9 mm length 0.8 m\n");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    const double hose = 0.25 * 3.141592653589793 * 0.009 * 0.009 * 0.8;
    /* p V of the spring, of the hose at the spring's pressure, of the tank at its own. */
    const double amount = p_spring * (2.03e-3 + hose) + (6.3e5 + 98600.0) * 3.1e-3;
    const double rise = (amount / p_spring - 3.1e-3 - hose - 2.03e-3) / 0.0119;
    CHECK_REL(-r.charge->travel[0], rise, 1e-10, "the piston rises by what the tank had more");
    cr_assert_gt(rise, 0.01);
    CHECK_REL(r.charge->node_pressure[rig_node(&r, "can")], p_spring, 1e-11, "statics");
    CHECK_REL(r.charge->filled_pressure[rig_node(&r, "can")], 6.3e5 + 98600.0, 1e-13, "before");
    rig_close(&r);
}

Test(charge, a_tank_that_is_shut_off_keeps_its_pressure) {
    rig r = rig_open(PISTON "tank can volume 3.1 L pressure 5.2 bar\n"
                            "solenoid v from s to can normally closed bore 4 mm\n");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    CHECK_REL(r.charge->node_pressure[rig_node(&r, "can")], 5.2e5 + 98600.0, 1e-13, "its own");
    CHECK_ABS(r.charge->travel[0], 0.0, 1e-12, "nothing moves");
    rig_close(&r);
}

Test(charge, a_tank_shut_off_without_a_pressure_has_no_air) {
    rig r = rig_open(PISTON "tank other volume 1 L pressure 2 bar\ntank can volume 3.1 L\n"
                            "solenoid v from s to can normally closed bore 4 mm\n");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_NO_AIR);
    cr_assert_eq(r.problem.item, rig_node(&r, "can"));
    rig_close(&r);
}

Test(charge, tanks_that_are_joined_and_shut_off_even_out) {
    rig r = rig_open(PISTON "tank one volume 3.1 L pressure 5.2 bar\ntank two volume 1.3 L\n"
                            "tank three volume 0.7 L pressure 1.9 bar\ntee t\n"
                            "restrictor x from one to t bore 4 mm\n"
                            "restrictor y from t to two bore 4 mm\n"
                            "restrictor z from two to three bore 4 mm\n");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    /* `two` has no pressure of its own and takes the mean of those that have. */
    const double mean = (5.2e5 * 3.1 + 1.9e5 * 0.7) / 3.8 + 98600.0;
    static const char *const names[] = {"one", "two", "three", "t"};
    for (int i = 0; i < 4; i++)
        CHECK_REL(r.charge->node_pressure[rig_node(&r, names[i])], mean, 1e-12, "by volume");
    rig_close(&r);
}

Test(charge, hoses_and_tees_that_are_shut_off_are_at_ambient_pressure) {
    rig r =
        rig_open(PISTON "tee t volume 20 cm3\ntee u\nhose x from t to u bore 9 mm length 0.8 m\n"
                        "tee near\nrestrictor y from s to near bore 4 mm\n"
                        "solenoid v from near to t normally closed bore 4 mm\n");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    static const char *const shut[] = {"t", "u", "x"};
    for (int i = 0; i < 3; i++) {
        const int at = rig_node(&r, shut[i]);
        CHECK_REL(r.charge->node_pressure[at], 98600.0, 1e-14, "ambient");
        cr_assert(r.charge->at_ambient[at], "%s", shut[i]);
    }
    cr_assert_not(r.charge->at_ambient[rig_node(&r, "near")]);
    CHECK_REL(r.charge->node_pressure[rig_node(&r, "near")], p_spring, 1e-12, "the spring's");
    rig_close(&r);
}

Test(charge, springs_that_are_joined_bring_their_own_air) {
    /* Two pistons of unlike pressures: the heavier sinks until its table would end, unless a bar or
       a spring holds it; carcasses do here. p V is conserved and the pressure one. */
    rig r = rig_open("ambient pressure 98.6 kPa temperature 291.7 K\n"
                     "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                     "spring s profile p load 5870 N height 164 mm rubber 31 N/mm\n"
                     "spring t profile p load 5230 N height 151 mm rubber 27 N/mm\n"
                     "restrictor x from s to t bore 4 mm\n");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    const double Vs = 2.03e-3, Vt = 2.03e-3 - 0.013 * 0.0119;
    const double amount = (5870.0 / 0.0119 + 98600.0) * Vs + (5230.0 / 0.0119 + 98600.0) * Vt;
    /* Each piston: (p - p0) A + rubber x = load; V = V0 - A x. Bisection in the one pressure. */
    double low = 98600.0, high = 9e5;
    for (int k = 0; k < 200; k++) {
        const double p = 0.5 * (low + high), F = (p - 98600.0) * 0.0119;
        const double V = Vs - 0.0119 * (5870.0 - F) / 31e3 + Vt - 0.0119 * (5230.0 - F) / 27e3;
        *(p * V < amount ? &low : &high) = p;
    }
    const double F = (low - 98600.0) * 0.0119;
    CHECK_REL(r.charge->node_pressure[rig_node(&r, "s")], low, 1e-10, "bisection");
    CHECK_REL(r.charge->travel[0], (5870.0 - F) / 31e3, 1e-8, "Hooke");
    CHECK_REL(r.charge->travel[1], (5230.0 - F) / 27e3, 1e-8, "Hooke");
    rig_close(&r);
}

Test(charge, a_supply_that_is_open_holds_its_pressure) {
    rig r = rig_open("ambient pressure 98.6 kPa temperature 291.7 K\n"
                     "profile p area 119 cm2 volume 2.03 L at 164 mm\n"
                     "spring s profile p load 5870 N height 164 mm rubber 31 N/mm\n"
                     "supply line pressure 4.1 bar\ntank can volume 2 L\n"
                     "restrictor x from s to can bore 4 mm\n"
                     "restrictor y from can to line bore 4 mm\n");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    CHECK_REL(r.charge->node_pressure[rig_node(&r, "can")], 4.1e5 + 98600.0, 1e-14, "held");
    CHECK_REL(r.charge->travel[0], (5870.0 - 4.1e5 * 0.0119) / 31e3, 1e-10, "Hooke");
    cr_assert_not(r.charge->flat);
    rig_close(&r);
}

/* What each group of the charge's position should hold: its springs' p V at their design, and the
   rest of its volume at their mean or at pressures of its own, in Pa m3. */
static double fleet_amount(const twin *t, const rig *r, const twin_groups *in, int group) {
    double amount = 0.0, volume = 0.0;
    for (int i = 0; i < t->springs; i++) {
        if (in->group[i] == group) {
            amount += (r->charge->fill.pressure[i] + t->ambient) * t->spring[i].volume;
            volume += t->spring[i].volume;
        }
    }
    return amount + amount / volume * in->fixed[group];
}

Test(charge, the_fleet_is_charged_by_the_volume_weighted_mean) {
    /* The first state of each is the charge's; the tanks that it leaves shut have a pressure. */
    for (int i = 0; i < FLEET; i++) {
        const twin *const t = fleet[i];
        rig r = twin_open(t);
        cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
        const twin_groups *const in = &t->state[0].settled;
        const groups *const g = balance_groups(r.charge->balance);
        for (int k = 0; k < t->springs; k++) {
            const int node_index = rig_node(&r, t->spring[k].name);
            double is = 0.0;
            for (int n = 0; n < r.model->network.nodes; n++)
                if (g->of_node[n] == g->of_node[node_index])
                    is += r.charge->node_amount[n];
            CHECK_REL(is, fleet_amount(t, &r, in, in->group[k]), 1e-12, "p V by hand");
        }
        rig_close(&r);
    }
}

Test(charge, the_state_that_is_named_is_the_one_it_is_filled_in) {
    rig r = rig_open(PISTON "tank can volume 3.1 L pressure 6.3 bar\n"
                            "solenoid v from s to can normally closed bore 4 mm\n"
                            "state shut shut v\nstate open open v\ncharge in open\n");
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    CHECK_REL(r.charge->node_pressure[rig_node(&r, "can")], p_spring, 1e-11, "open to the spring");
    const double before = r.charge->travel[0];
    const rates_answer *const answer = rig_answer(&r, "shut", NULL);
    CHECK_ABS(answer->settled.height_shift[0], 0.0, 1e-10, "shut afterwards, nothing moves");
    CHECK_REL(answer->settled.travel[0], before, 1e-9, "from the charged state, not from design");
    rig_close(&r);
}

Test(charge, may_be_asked_again) {
    rig r = twin_open(&fleet_van);
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    double before[32];
    const size_t nodes = (size_t)r.model->network.nodes;
    memcpy(before, r.charge->node_amount, nodes * sizeof *before);
    cr_assert_eq(charge_solve(r.charge, &r.problem), BARONET_OK);
    for (size_t i = 0; i < nodes; i++)
        CHECK_REL(r.charge->node_amount[i], before[i], 1e-14, "the same question");
    rig_close(&r);
}

Test(charge, a_want_of_memory_is_told) {
    rig r = twin_open(&fleet_van);
    failing f = {.failed = true};
    for (size_t k = 1; f.failed; k++) {
        charge *c = NULL;
        problem why;
        baronet_status status = charge_create(&c, r.model, failing_start(&f, k));
        if (status == BARONET_OK)
            status = charge_solve(c, &why);
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
        charge_destroy(c);
        cr_assert_eq(f.live, 0);
    }
    rig_close(&r);
}
