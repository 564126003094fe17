/* test_demonstrations.c: one contract over all demonstration netlists, in all their states and
   cases: the laws of statics hold, air is kept, and the studies agree with one another.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "studies/laws.h"
#include "studies/states.h"
#include "studies/stroke.h"
#include "support.h"

/* One standing to be looked at: a demonstration in a state, for a case (NULL: the base case). */
typedef void look(rig *r, const char *where, const valve_state *state, const load_case *with);

static void in_all_states_and_cases(rig *r, const char *path, look *then) {
    for (int s = 0; s < r->model->states; s++) {
        for (int k = -1; k < r->model->cases; k++) {
            const load_case *const with = k >= 0 ? &r->model->load_case[k] : NULL;
            char where[400];
            snprintf(where, sizeof where, "%s, %s, %s", path, r->model->state[s].name,
                     with != NULL ? with->name : "as it is");
            then(r, where, &r->model->state[s], with);
        }
    }
}

/* Calls `then` for every state and case of every demonstration; there are some. */
static void in_all_demonstrations(look *then) {
    DIR *const folder = opendir("netlists");
    cr_assert(folder != NULL);
    int met = 0;
    for (const struct dirent *one; (one = readdir(folder)) != NULL;) {
        const char *const end = strrchr(one->d_name, '.');
        if (end == NULL || strcmp(end, ".air") != 0)
            continue;
        char path[300];
        snprintf(path, sizeof path, "netlists/%s", one->d_name);
        rig r = rig_open_file(path);
        in_all_states_and_cases(&r, path, then);
        rig_close(&r);
        met++;
    }
    closedir(folder);
    cr_assert_geq(met, 5);
}

static const rates_answer *solve(rig *r, const char *where, const valve_state *state,
                                 const load_case *with) {
    const baronet_status status = rig_solve_for(r, state->name, with);
    cr_assert_eq(status, BARONET_OK, "%s: %s, item %d, amount %g", where,
                 baronet_status_text(status), r->problem.item, r->problem.amount);
    return rates_result(r->rates);
}

static void check_statics(rig *r, const char *where, const valve_state *state,
                          const load_case *with) {
    const rates_answer *const answer = solve(r, where, state, with);
    laws_of_forces(r, &answer->settled, with);
    laws_of_groups(r, &answer->settled, state->open, false);
    cr_assert_eq(answer->parked_problem.status, BARONET_OK, "%s", where);
    if (answer->parked.given) {
        laws_of_forces(r, &answer->parked, with);
        laws_of_groups(r, &answer->parked, state->open, true);
    }
}

Test(demonstrations, stand_by_the_laws_of_statics) {
    in_all_demonstrations(check_statics);
}

static void check_air(rig *r, const char *where, const valve_state *state, const load_case *with) {
    const rates_answer *const answer = solve(r, where, state, with);
    const size_t nodes = (size_t)r->model->network.nodes;
    double *const air = malloc(nodes * sizeof *air);
    cr_assert(air != NULL);
    for (size_t i = 0; i < nodes; i++)
        air[i] = r->charge->node_amount[i] / (287.053072047065 * r->model->ambient.temperature);
    const state_standing charged = {.given = true, .node_air = air};
    if (with == NULL || !with->levelled)
        laws_of_air(r, &charged, &answer->settled, state->open, false);
    if (answer->parked.given)
        laws_of_air(r, &answer->settled, &answer->parked, state->open, true);
    free(air);
}

Test(demonstrations, keep_their_air) {
    in_all_demonstrations(check_air);
}

/* Springs that share no air stand at their design height after a levelled case: exactly on rigid
   tyres, and else but for what a body has to warp. */
static void check_levels(rig *r, const char *where, const valve_state *state,
                         const load_case *with) {
    if (with == NULL || !with->levelled)
        return;
    const rates_answer *const answer = solve(r, where, state, with);
    const vehicle *const v = &r->model->vehicle;
    for (int i = 0; i < v->springs; i++) {
        bool shares = false;
        for (int k = 0; k < v->springs; k++)
            shares |= k != i && answer->settled.group[v->spring[k].node] ==
                                    answer->settled.group[v->spring[i].node];
        if (!shares && v->springs == v->corners)
            CHECK_ABS(answer->settled.spring_height[i], r->charge->fill.height[i], 2e-3, where);
    }
}

Test(demonstrations, are_levelled_by_levelled_cases) {
    in_all_demonstrations(check_levels);
}

/* The stroke of one wheel starts where the state stands, and its loads have K as their slope. */
static void check_wheel(rig *r, const char *where, const rates_answer *answer, level at,
                        int wheel) {
    double shape[64] = {0.0};
    const int corners = r->model->vehicle.corners;
    cr_assert_leq(corners, 64);
    shape[wheel] = 1.0;
    stroke_answer s;
    cr_assert_eq(stroke_solve(&s, r->arena, r->rates, shape, at, 800), BARONET_OK);
    int rest = 1;
    while (rest + 2 < s.rows && fabs(s.row[rest].travel) > 1e-9)
        rest++;
    const double width = s.row[rest + 1].travel - s.row[rest - 1].travel;
    double largest = 0.0;
    for (int c = 0; c < corners; c++)
        largest = fmax(largest, fabs(rig_stiffness(r, answer, at, c, wheel)));
    for (int c = 0; c < corners; c++) {
        const double slope = (s.row[rest + 1].load[c] - s.row[rest - 1].load[c]) / width;
        CHECK_ABS(slope, rig_stiffness(r, answer, at, c, wheel), 2e-3 * largest, where);
    }
    CHECK_REL(s.row[rest].rate[wheel], answer->level[at].one_wheel_rate[wheel], 1e-9, where);
}

static void check_strokes(rig *r, const char *where, const valve_state *state,
                          const load_case *with) {
    const rates_answer *const answer = solve(r, where, state, with);
    for (int at = LEVEL_INSTANT; at <= LEVEL_PARKED; at++)
        for (int c = 0; c < r->model->vehicle.corners; c++)
            check_wheel(r, where, answer, (level)at, c);
}

Test(demonstrations, have_rates_that_are_slopes_of_their_strokes) {
    in_all_demonstrations(check_strokes);
}

/* Whatever is open, air is softer the longer one waits, and nothing is softer than no air. */
static void check_order(rig *r, const char *where, const valve_state *state,
                        const load_case *with) {
    const rates_answer *const answer = solve(r, where, state, with);
    const level_rates *const quick = &answer->level[LEVEL_INSTANT];
    const level_rates *const slow = &answer->level[LEVEL_SETTLED];
    for (int c = 0; c < r->model->vehicle.corners; c++) {
        cr_assert_leq(slow->one_wheel_rate[c], quick->one_wheel_rate[c] * (1.0 + 1e-12), "%s",
                      where);
        cr_assert_gt(slow->one_wheel_rate[c], 0.0, "%s", where);
    }
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (!answer->has[k])
            continue;
        cr_assert_leq(slow->body_rate[k], quick->body_rate[k] * (1.0 + 1e-12), "%s", where);
        cr_assert_leq(slow->body_rate_tyres[k], slow->body_rate[k] * (1.0 + 1e-12), "%s", where);
        cr_assert(isfinite(slow->body_frequency[k]), "%s", where);
    }
}

Test(demonstrations, soften_as_air_has_time_to_move) {
    in_all_demonstrations(check_order);
}

/* Asks a public study and renders what it says. */
static void ask(rig *r, const char *where, baronet_study *study, const baronet_question *question) {
    baronet_answer *answer = NULL;
    const char *what = NULL;
    const baronet_status status = study(r->netlist, question, &answer, &what);
    cr_assert_eq(status, BARONET_OK, "%s: %s (%s)", where, baronet_status_text(status),
                 what != NULL ? what : "");
    for (int format = 0; format < BARONET_FORMATS; format++) {
        const char *bytes = NULL;
        size_t length = 0;
        cr_assert_eq(baronet_answer_render(answer, (baronet_format)format, false, &bytes, &length),
                     BARONET_OK);
        cr_assert_gt(length, 100, "%s", where);
    }
    baronet_answer_destroy(answer);
}

/* The public studies answer and render, and rates and states have the same values. */
static void check_public(rig *r, const char *where, const valve_state *state,
                         const load_case *with) {
    const char *const load_case_name = with != NULL ? with->name : NULL;
    const baronet_question one = {.state = state->name, .load_case = load_case_name};
    ask(r, where, baronet_rates, &one);
    ask(r, where, baronet_stroke, &one);
    baronet_answer *rates_page = NULL, *states_page = NULL;
    cr_assert_eq(baronet_rates(r->netlist, &one, &rates_page, NULL), BARONET_OK);
    cr_assert_eq(baronet_states(r->netlist, &one, &states_page, NULL), BARONET_OK);
    for (size_t i = 0; i < baronet_answer_figures(rates_page); i++) {
        const baronet_figure *const f = baronet_answer_figure(rates_page, i);
        const double other =
            baronet_answer_value(states_page, f->state, f->level, f->quantity, f->subject);
        if (!isnan(other))
            CHECK_REL(other, f->value, 1e-12, where);
    }
    baronet_answer_destroy(rates_page);
    baronet_answer_destroy(states_page);
}

Test(demonstrations, answer_the_public_studies_alike) {
    in_all_demonstrations(check_public);
}
