/* SPDX-License-Identifier: MIT */
#include "netlist/wish.h"

#include <criterion/criterion.h>
#include <string.h>

#include "model/figure.h"
#include "desk.h"
#include "sample.h"
#include "support.h"

Test(wish, requirements_of_a_netlist) {
    baronet_netlist *const n = sample(sample_van);
    const model *const m = netlist_model(n);
    cr_assert_eq(m->requirements, 2);
    const requirement *const q = m->requirement;
    cr_expect_str_eq(q[0].text, "settle_time_63 of roll below 0.5 s in easy");
    cr_expect_str_eq(q[0].quantity, "settle_time_63");
    cr_expect_str_eq(q[0].subject, "roll");
    cr_expect_eq(q[0].relation, REQUIRE_BELOW);
    CHECK_REL(q[0].value, 0.5, 1e-15, "as written in the sample");
    cr_expect_eq(q[0].level, LEVEL_NONE);
    cr_expect_eq(q[0].state, 0);
    cr_expect_eq(q[0].load_case, -1);
    cr_expect_str_eq(q[0].file, "x.air");
    CHECK_REL(q[1].value, 8e5, 1e-15, "9 bar absolute at 100 kPa");
    cr_expect_eq(q[1].level, LEVEL_SETTLED);
    cr_expect_eq(q[1].state, -1);
    cr_expect_eq(q[1].load_case, 0);
    cr_expect_eq(q[1].line, q[0].line + 1);
    baronet_netlist_destroy(n);
}

static baronet_status wish(const desk *k, const char *called, const char *said, wish_form form,
                           requirement *out) {
    return netlist_wish(k->netlist, called, said, form, k->arena, k->diagnostics, out);
}

static const struct {
    const char *said, *subject;
    requirement_relation relation;
    double value;
    int level, state, load_case;
} wishes[] = {
    {"roll_rate above 300 N.m/rad", "", REQUIRE_ABOVE, 300.0, LEVEL_NONE, -1, -1},
    {"settle_time_63 of roll=0.5s in easy", "roll", REQUIRE_EQUAL, 0.5, LEVEL_NONE, 0, -1},
    {"stiffness of RL/RR = 3 N/mm instant", "RL/RR", REQUIRE_EQUAL, 3e3, LEVEL_INSTANT, -1, -1},
    {"roll_share of rear below 0.6 in rest with laden", "rear", REQUIRE_BELOW, 0.6, LEVEL_NONE, 3,
     0},
    {"wheel_rate of bench above 20 N/mm with laden parked in taut", "bench", REQUIRE_ABOVE, 20e3,
     LEVEL_PARKED, 1, 0},
    {"pressure of left-hose below 8 bar ride", "left-hose", REQUIRE_BELOW, 9e5, LEVEL_RIDE, -1, -1},
    {"gauge_pressure of atmosphere below 8 bar", "atmosphere", REQUIRE_BELOW, 8e5, LEVEL_NONE, -1,
     -1},
    {"ride_frequency of RL below 1.4 Hz", "RL", REQUIRE_BELOW, 1.4, LEVEL_NONE, -1, -1},
    {"ride_frequency of heave below 1.4 Hz", "heave", REQUIRE_BELOW, 1.4, LEVEL_NONE, -1, -1},
    {"motion_rate of one-wheel:RR below 2 lbf/in", "one-wheel:RR", REQUIRE_BELOW,
     2.0 * 0.45359237 * 9.80665 / 0.0254, LEVEL_NONE, -1, -1},
    {"motion_rate of twist below 1 N/m", "twist", REQUIRE_BELOW, 1.0, LEVEL_NONE, -1, -1},
    {"time_constant of 2 below 50 ms", "2", REQUIRE_BELOW, 0.05, LEVEL_NONE, -1, -1},
    {"path_frequency of cross above 1 Hz", "cross", REQUIRE_ABOVE, 1.0, LEVEL_NONE, -1, -1},
    {"spring_rate of left below 30 N/mm", "left", REQUIRE_BELOW, 30e3, LEVEL_NONE, -1, -1},
    {"air_mass below 0.2 kg", "", REQUIRE_BELOW, 0.2, LEVEL_NONE, -1, -1},
    {"height_shift of RL above -12 mm", "RL", REQUIRE_ABOVE, -0.012, LEVEL_NONE, -1, -1},
};

Test(wish, from_a_command_line) {
    desk k = desk_open(sample_van);
    for (size_t i = 0; i < sizeof wishes / sizeof *wishes; i++) {
        requirement q;
        cr_assert_eq(wish(&k, "--want", wishes[i].said, WISH_GOAL, &q), BARONET_OK, "%s: %s",
                     wishes[i].said, baronet_diagnostics_text(k.diagnostics, false));
        cr_expect_eq(strncmp(q.quantity, wishes[i].said, strlen(q.quantity)), 0);
        cr_expect_str_eq(q.subject, wishes[i].subject, "%s", wishes[i].said);
        cr_expect_eq(q.relation, wishes[i].relation, "%s", wishes[i].said);
        CHECK_REL(q.value, wishes[i].value, 1e-12, "as written");
        cr_expect_eq(q.level, wishes[i].level, "%s", wishes[i].said);
        cr_expect_eq(q.state, wishes[i].state, "%s", wishes[i].said);
        cr_expect_eq(q.load_case, wishes[i].load_case, "%s", wishes[i].said);
    }
    desk_close(&k);
}

/* What is only looked at needs no bound; what is sized may be wanted as high or low as can be. */
Test(wish, without_a_bound) {
    desk k = desk_open(sample_van);
    requirement q;
    cr_assert_eq(wish(&k, "--of", "roll_rate settled in taut", WISH_FIGURE, &q), BARONET_OK);
    cr_expect_eq(q.relation, REQUIRE_NOTHING);
    cr_expect_eq(q.level, LEVEL_SETTLED);
    cr_expect_eq(q.state, 1);
    cr_assert_eq(wish(&k, "--of", "roll_rate above 3 N.m/rad", WISH_FIGURE, &q), BARONET_OK);
    cr_expect_eq(q.relation, REQUIRE_ABOVE);
    cr_assert_eq(wish(&k, "--want", "damping_ratio of 1 highest in easy", WISH_GOAL, &q),
                 BARONET_OK);
    cr_expect_eq(q.relation, REQUIRE_HIGHEST);
    cr_expect_eq(q.state, 0);
    cr_expect_eq(wish(&k, "--want", "roll_rate", WISH_GOAL, &q), BARONET_BAD_NETLIST);
    cr_expect_eq(wish(&k, "--of", "roll_rate highest", WISH_FIGURE, &q), BARONET_BAD_NETLIST);
    desk_close(&k);
}

Test(wish, what_is_wrong_is_said_with_its_place) {
    desk k = desk_open(sample_van);
    static const char *const wrong[] = {"",
                                        "roll_rate",
                                        "roll_rate above",
                                        "roll_rate above 3",
                                        "roll_rate above 3 kg",
                                        "roll_rate of",
                                        "roll_rate of RL above 3 N.m/rad",
                                        "stiffness of RL above 3 N/m",
                                        "stiffness of RL/left above 3 N/m",
                                        "time_constant of 0 below 1 s",
                                        "time_constant of 1.5 below 1 s",
                                        "motion_rate of one-wheel:left below 1 N/m",
                                        "wheel_rate of left below 1 N/m",
                                        "roll_share above 0.5 in nowhere",
                                        "roll_share above 0.5 in",
                                        "roll_share above 0.5 in easy in taut",
                                        "roll_share above 0.5 \"",
                                        "roll_share above 0.5 with laden with laden",
                                        "roll_share above 0.5 with nothing",
                                        "stiffness of left/RL above 3 N/m",
                                        "wheel_rate of 3 below 1 N/m",
                                        "motion_rate of somewhere-else below 1 N/m",
                                        "spring_rate of left-tank below 1 N/m",
                                        "path_frequency of left-tank below 1 Hz",
                                        "roll_share above 0.5\nroll_share above 0.6"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        requirement q;
        const size_t before = baronet_diagnostics_total(k.diagnostics, BARONET_ERROR);
        cr_expect_eq(wish(&k, "--want", wrong[i], WISH_GOAL, &q), BARONET_BAD_NETLIST, "%s",
                     wrong[i]);
        cr_expect_eq(baronet_diagnostics_total(k.diagnostics, BARONET_ERROR), before + 1, "%s",
                     wrong[i]);
    }
    cr_expect_str_eq(baronet_diagnostics_at(k.diagnostics, 0)->file, "--want");
    desk_close(&k);
}

/* Each take of the caller's arena is refused in turn. */
Test(wish, any_take_may_be_refused) {
    desk k = desk_open(sample_van);
    static const char *const said[] = {"settle_time_63 of roll below 0.5 s in easy",
                                       "roll_rate of RL above 3 N.m/rad",
                                       "stiffness of left-tank above 3 N/m"};
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        for (size_t before = 0; before < 4096; before += 16) {
            refusal r;
            arena *const own = arena_create(refusal_start(&r, 2));
            cr_assert_not_null(arena_take(own, before, 1));
            requirement q;
            const baronet_status status =
                netlist_wish(k.netlist, "--want", said[i], WISH_GOAL, own, k.diagnostics, &q);
            cr_expect_eq(status, r.done   ? BARONET_OUT_OF_MEMORY
                                 : i == 0 ? BARONET_OK
                                          : BARONET_BAD_NETLIST);
            arena_destroy(own);
        }
    }
    desk_close(&k);
}
