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
    for (int i = 0; i < FLEET; i++) {
        rig r = twin_open(fleet[i]);
        for (int k = 0; k < fleet[i]->states * FLEET_CASES; k++) {
            double mass[TWIN_CORNERS];
            const load_case with = fleet_case(fleet[i], k % FLEET_CASES, mass);
            check_state(fleet[i], &r, &fleet[i]->state[k / FLEET_CASES], &with);
        }
        rig_close(&r);
    }
}
