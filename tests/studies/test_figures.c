/* SPDX-License-Identifier: MIT */
#include "studies/figures.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "studies/fleet.h"
#include "support.h"

static figure_list list_of(const rig *r) {
    figure_list list = {.allocator = NULL};
    figures_of_rates(&list, r->model, rates_result(r->rates));
    cr_assert_not(list.failed);
    return list;
}

/* The value of the one figure of that name. */
static double value(const figure_list *list, const rig *r, figure_quantity quantity, level at,
                    const char *subject) {
    const figure *const found = rig_figure(r, list, quantity, at, subject);
    cr_assert(found != NULL, "there is no %s of `%s`", figure_at(quantity)->name, subject);
    return found->value;
}

Test(figures, of_the_standing_are_its_numbers) {
    rig r = twin_open(&fleet_six);
    const state_standing *const s = &rig_answer(&r, "shared", NULL)->settled;
    figure_list list = list_of(&r);
    const int rr = rig_node(&r, "rr");
    const char *const same = "the standing";
    CHECK_REL(value(&list, &r, FIGURE_PRESSURE, LEVEL_NONE, "rr"), s->node_pressure[rr], 0.0, same);
    CHECK_REL(value(&list, &r, FIGURE_GAUGE_PRESSURE, LEVEL_NONE, "rr"),
              s->node_pressure[rr] - 87700.0, 1e-14, "less the ambient pressure");
    CHECK_REL(value(&list, &r, FIGURE_HEIGHT, LEVEL_NONE, "ml2"), s->spring_height[3], 0.0, same);
    CHECK_REL(value(&list, &r, FIGURE_VOLUME, LEVEL_NONE, "tail-tank"), 3.9e-3, 1e-14, "given");
    CHECK_REL(value(&list, &r, FIGURE_LOAD, LEVEL_NONE, "MR"), s->load[3], 0.0, same);
    CHECK_REL(value(&list, &r, FIGURE_LOAD, LEVEL_NONE, "mr"), s->spring_load[4], 0.0, same);
    CHECK_REL(value(&list, &r, FIGURE_HEIGHT_SHIFT, LEVEL_NONE, "RL"), s->height_shift[4], 0.0,
              same);
    CHECK_REL(value(&list, &r, FIGURE_AIR_MASS, LEVEL_NONE, "front-tank"),
              s->node_pressure[rig_node(&r, "front-tank")] * 5.1e-3 / (287.053072047065 * 287.3),
              1e-12, "p V/(R T)");
    double air = 0.0;
    for (int i = 1; i < r.model->network.nodes; i++)
        air += s->node_air[i];
    CHECK_REL(value(&list, &r, FIGURE_AIR_MASS, LEVEL_NONE, ""), air, 1e-13, "the sum");
    figure_list_free(&list);
    rig_close(&r);
}

Test(figures, what_is_no_number_does_not_leave_and_is_told) {
    const double inf = (double)INFINITY, nan = (double)NAN;
    const struct {
        figure figure;
        bool listed, sound;
    } cases[] = {
        {{FIGURE_LOAD, LEVEL_NONE, SUBJECT_CORNER, 1, -1, 4.1e3}, true, true},
        {{FIGURE_LOAD, LEVEL_NONE, SUBJECT_CORNER, 1, -1, nan}, false, false},
        {{FIGURE_LOAD, LEVEL_NONE, SUBJECT_CORNER, 1, -1, -inf}, false, false},
        {{FIGURE_STIFFNESS, LEVEL_INSTANT, SUBJECT_PAIR, 1, 0, nan}, false, false},
        /* What is felt may be missing, and roll where nothing holds it; but not without end. */
        {{FIGURE_WHEEL_RATE, LEVEL_SETTLED, SUBJECT_CORNER, 0, -1, nan}, false, false},
        {{FIGURE_WHEEL_RATE, LEVEL_RIDE, SUBJECT_CORNER, 0, -1, nan}, false, true},
        {{FIGURE_WHEEL_RATE, LEVEL_RIDE, SUBJECT_CORNER, 0, -1, inf}, false, false},
        {{FIGURE_ROLL_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1, -1, nan}, false, true},
        {{FIGURE_SETTLE_TIME_95, LEVEL_SETTLED, SUBJECT_MOTION, 0, -1, nan}, false, true},
        {{FIGURE_SETTLE_TIME_95, LEVEL_SETTLED, SUBJECT_MOTION, 0, -1, inf}, false, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        figure_list list = {.allocator = NULL};
        figure_list_add(&list, cases[i].figure);
        cr_expect_eq(list.count, cases[i].listed ? 1 : 0, "%zu", i);
        cr_expect_eq(list.unsound, !cases[i].sound, "%zu", i);
        figure later = cases[i].figure;
        later.quantity = FIGURE_HEIGHT;
        later.level = LEVEL_NONE;
        later.value = nan;
        figure_list_add(&list, later);
        cr_expect(list.unsound);
        cr_expect_eq(list.culprit.quantity,
                     cases[i].sound ? FIGURE_HEIGHT : cases[i].figure.quantity, "the first: %zu",
                     i);
        figure_list_free(&list);
    }
}

Test(figures, of_a_level_are_its_numbers) {
    rig r = twin_open(&fleet_six);
    const rates_answer *const answer = rig_answer(&r, "apart", NULL);
    figure_list list = list_of(&r);
    for (int at = LEVEL_INSTANT; at <= LEVEL_PARKED; at++) {
        const level l = (level)at;
        const level_rates *const k = &answer->level[at];
        const struct {
            figure_quantity quantity;
            const char *subject;
            double value;
        } rows[] = {{FIGURE_SPRING_RATE, "ml1", k->spring_rate[2]},
                    {FIGURE_WHEEL_RATE, "RR", k->wheel_rate[5]},
                    {FIGURE_RIDE_RATE, "FL", k->ride_rate[0]},
                    {FIGURE_ONE_WHEEL_RATE, "MR", k->one_wheel_rate[3]},
                    {FIGURE_STIFFNESS, "ML/MR", k->stiffness[6 * 2 + 3]},
                    {FIGURE_STIFFNESS, "MR/ML", k->stiffness[6 * 3 + 2]},
                    {FIGURE_HEAVE_RATE, "", k->body_rate[MOTION_HEAVE]},
                    {FIGURE_PITCH_RATE, "", k->body_rate[MOTION_PITCH]},
                    {FIGURE_ROLL_RATE, "", k->body_rate[MOTION_ROLL]},
                    {FIGURE_WARP_RATE, "1", k->warp_rate[0]},
                    {FIGURE_WARP_RATE, "3", k->warp_rate[2]},
                    {FIGURE_MOTION_RATE, "ledge", k->motion_rate[0]},
                    {FIGURE_RIDE_FREQUENCY, "RL", k->ride_frequency[4]},
                    {FIGURE_RIDE_FREQUENCY, "heave", k->body_frequency[MOTION_HEAVE]},
                    {FIGURE_RIDE_FREQUENCY, "roll", k->body_frequency[MOTION_ROLL]},
                    {FIGURE_RIDE_FREQUENCY, "pitch", k->body_frequency[MOTION_PITCH]},
                    {FIGURE_ROLL_GRADIENT, "", k->roll_gradient},
                    {FIGURE_ROLL_SHARE, "FL+FR", k->roll_share[0]}};
        for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
            CHECK_REL(value(&list, &r, rows[i].quantity, l, rows[i].subject), rows[i].value, 0.0,
                      rows[i].subject);
    }
    figure_list_free(&list);
    rig_close(&r);
}

Test(figures, one_warp_needs_no_number) {
    rig r = twin_open(&fleet_van);
    const rates_answer *const answer = rig_answer(&r, "linked", NULL);
    figure_list list = list_of(&r);
    CHECK_REL(value(&list, &r, FIGURE_WARP_RATE, LEVEL_SETTLED, ""),
              answer->level[LEVEL_SETTLED].warp_rate[0], 0.0, "the only one");
    cr_assert(rig_figure(&r, &list, FIGURE_WARP_RATE, LEVEL_SETTLED, "1") == NULL);
    figure_list_free(&list);
    rig_close(&r);
}

Test(figures, each_stands_once_and_is_a_number) {
    for (int i = 0; i < FLEET; i++) {
        rig r = twin_open(fleet[i]);
        rig_answer(&r, fleet[i]->state[0].name, NULL);
        figure_list list = list_of(&r);
        for (size_t k = 0; k < list.count; k++) {
            const figure *const f = &list.figure[k];
            text_buffer name = {.allocator = NULL};
            figure_subject_text(r.model, f, &name);
            const char *const subject = name.length > 0 ? name.bytes : "";
            cr_assert(isfinite(f->value));
            cr_assert(figure_at(f->quantity)->subjects & (unsigned)f->kind, "%s",
                      figure_at(f->quantity)->name);
            cr_assert_eq(rig_figure(&r, &list, f->quantity, f->level, subject), f,
                         "%s of `%s` stands twice", figure_at(f->quantity)->name, subject);
            text_buffer_free(&name);
        }
        figure_list_free(&list);
        rig_close(&r);
    }
}

Test(figures, what_does_not_exist_is_left_out) {
    rig r =
        twin_open(&fleet_quarter); /* one corner: no roll, no pitch, no warp, no heights given */
    rig_answer(&r, "soft", NULL);
    figure_list list = list_of(&r);
    static const figure_quantity none[] = {FIGURE_PITCH_RATE, FIGURE_ROLL_RATE, FIGURE_WARP_RATE,
                                           FIGURE_ROLL_GRADIENT, FIGURE_ROLL_SHARE};
    for (size_t k = 0; k < list.count; k++)
        for (size_t i = 0; i < sizeof none / sizeof *none; i++)
            cr_assert_neq(list.figure[k].quantity, none[i]);
    for (size_t k = 0; k < list.count; k++)
        cr_assert_neq(list.figure[k].level, LEVEL_RIDE, "no swing was asked for");
    figure_list_free(&list);
    rig_close(&r);
}

Test(figures, a_parked_standing_of_its_own_has_its_figures) {
    rig r = twin_open(&fleet_van);
    const rates_answer *answer = rig_answer(&r, "apart", NULL); /* the cross-link leaks */
    figure_list list = list_of(&r);
    CHECK_REL(value(&list, &r, FIGURE_PRESSURE, LEVEL_PARKED, "rl"),
              answer->parked.node_pressure[rig_node(&r, "rl")], 0.0, "parked");
    cr_assert_gt(fabs(value(&list, &r, FIGURE_PRESSURE, LEVEL_PARKED, "rl") -
                      value(&list, &r, FIGURE_PRESSURE, LEVEL_NONE, "rl")),
                 100.0);
    figure_list_free(&list);
    rig_answer(&r, "linked", NULL);
    list = list_of(&r);
    cr_assert(rig_figure(&r, &list, FIGURE_PRESSURE, LEVEL_PARKED, "rl") == NULL,
              "nothing leaks here");
    figure_list_free(&list);
    rig_close(&r);
}

Test(figures, a_mass_on_a_bench_has_one_load) {
    rig r = twin_open(&fleet_bench);
    rig_answer(&r, "apart", NULL);
    figure_list list = list_of(&r);
    int loads = 0;
    for (size_t k = 0; k < list.count; k++)
        loads += list.figure[k].quantity == FIGURE_LOAD;
    cr_assert_eq(loads, 3);
    CHECK_REL(value(&list, &r, FIGURE_LOAD, LEVEL_NONE, "b"), 5900.0, 1e-9, "its mass");
    figure_list_free(&list);
    rig_close(&r);
}

Test(figures, the_public_answer_has_the_same_values) {
    rig r = twin_open(&fleet_trailer);
    rig_answer(&r, "gentle", NULL);
    figure_list list = list_of(&r);
    baronet_answer *answer = NULL;
    const baronet_question question = {.state = "gentle"};
    cr_assert_eq(baronet_rates(r.netlist, &question, &answer, NULL), BARONET_OK);
    for (size_t k = 0; k < list.count; k++) {
        const figure *const f = &list.figure[k];
        text_buffer name = {.allocator = NULL};
        figure_subject_text(r.model, f, &name);
        const double public_value =
            baronet_answer_value(answer, "gentle", level_name(f->level),
                                 figure_at(f->quantity)->name, name.length > 0 ? name.bytes : "");
        CHECK_REL(public_value, f->value, 0.0, figure_at(f->quantity)->name);
        text_buffer_free(&name);
    }
    baronet_answer_destroy(answer);
    figure_list_free(&list);
    rig_close(&r);
}

Test(figures, a_want_of_memory_is_remembered) {
    rig r = twin_open(&fleet_six);
    rig_answer(&r, "apart", NULL);
    failing f = {.failed = true};
    for (size_t k = 1; f.failed; k++) {
        figure_list list = {.allocator = failing_start(&f, k)};
        figures_of_rates(&list, r.model, rates_result(r.rates));
        cr_assert_eq(list.failed, f.failed);
        figure_list_free(&list);
        cr_assert_eq(f.live, 0);
    }
    rig_close(&r);
}
