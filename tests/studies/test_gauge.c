/* What a gauge reads has to be what the studies list.
   SPDX-License-Identifier: MIT */
#include "studies/gauge.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "netlist/wish.h"
#include "studies/demos.h"
#include "studies/felt.h"
#include "studies/rig.h"
#include "support.h"

enum { MOST = 2000 };

/* A wish for each figure of a list. */
static size_t wish_all(const figure_list *list, const model *m, arena *a, requirement *out) {
    size_t count = 0;
    for (size_t i = 0; i < list->count && count < MOST; i++) {
        const figure *const f = &list->figure[i];
        text_buffer subject = {0};
        text_buffer_add(&subject, "");
        figure_subject_text(m, f, &subject);
        out[count++] = (requirement){.quantity = figure_at(f->quantity)->name,
                                     .subject = arena_copy_text(a, subject.bytes, subject.length),
                                     .level = (int)f->level,
                                     .state = -1,
                                     .load_case = -1};
        text_buffer_free(&subject);
    }
    return count;
}

static void compare(const char *path, const char *state_name) {
    rig r = rig_open_file(path);
    const int state = rig_state(&r, state_name);
    if (rig_solve(&r, state_name, NULL) != BARONET_OK) {
        rig_close(&r);
        return;
    }
    cr_assert_eq(felt_solve(r.rates, 0.012, NULL), BARONET_OK);
    figure_list list = {0};
    figures_of_rates(&list, r.model, rates_result(r.rates));
    static requirement wishes[MOST];
    static gauge wanted[MOST];
    static double value[MOST];
    const size_t count = wish_all(&list, r.model, r.arena, wishes);
    for (size_t i = 0; i < count; i++)
        cr_assert(gauge_find(&wanted[i], r.model, &wishes[i], state), "%s of %s",
                  wishes[i].quantity, wishes[i].subject);
    gauges *g = NULL;
    cr_assert_eq(gauges_create(&g, r.model, (int)count, wanted, 0.012, NULL), BARONET_OK);
    /* The first reading is what a study of its own gives, to the bit. */
    cr_assert_eq(gauges_read(g, value), BARONET_OK);
    for (size_t i = 0; i < count; i++)
        cr_expect_eq(value[i], list.figure[i].value, "%s, %s: %s of %s, %s: %.17g, not %.17g", path,
                     state_name, wishes[i].quantity, wishes[i].subject,
                     level_name((level)wishes[i].level), value[i], list.figure[i].value);
    static double again[MOST];
    cr_assert_eq(gauges_read(g, again), BARONET_OK);
    for (size_t i = 0; i < count; i++)
        CHECK_ABS(again[i], value[i], 1e-9 * fmax(1e-3, fabs(value[i])), "the same figure");
    gauges_destroy(g);
    figure_list_free(&list);
    rig_close(&r);
}

Test(gauge, reads_what_rates_lists) {
    compare("netlists/camper.air", "easy");
    compare("netlists/camper.air", "town");
    compare("netlists/bench.air", "rest");
    compare("netlists/beam.air", "rest");
    compare("netlists/trailer.air", "rest");
    compare("netlists/expedition.air", "rest");
}

static double read_one(const model *m, const baronet_netlist *n, const char *said, int state) {
    arena *const a = arena_create(NULL);
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    requirement wish;
    gauge wanted;
    gauges *g = NULL;
    double value = 0.0;
    cr_assert_eq(netlist_wish(n, "--of", said, WISH_FIGURE, a, d, &wish), BARONET_OK, "%s",
                 baronet_diagnostics_text(d, false));
    cr_assert(gauge_find(&wanted, m, &wish, state), "%s", said);
    cr_assert_eq(gauges_create(&g, m, 1, &wanted, 0.01, NULL), BARONET_OK);
    cr_assert_eq(gauges_read(g, &value), BARONET_OK);
    gauges_destroy(g);
    baronet_diagnostics_destroy(d);
    arena_destroy(a);
    return value;
}

/* The studies of time and ride are asked one figure at a time; their own tests say that they are
   right. Levels that a figure does not have mean its own. */
Test(gauge, reads_figures_of_other_studies) {
    rig r = rig_open_file("netlists/camper.air");
    const int easy = rig_state(&r, "easy"), firm = rig_state(&r, "firm");
    cr_expect(read_one(r.model, r.netlist, "settle_time_95 of roll", easy) > 1.0);
    cr_expect(read_one(r.model, r.netlist, "settle_time_95 of roll parked", firm) > 10.0);
    cr_expect(read_one(r.model, r.netlist, "time_constant of 1", easy) > 0.1);
    cr_expect(isnan(read_one(r.model, r.netlist, "time_constant of 99", easy)));
    cr_expect(read_one(r.model, r.netlist, "path_frequency of throttle", easy) > 0.0);
    cr_expect(read_one(r.model, r.netlist, "damping_ratio of 1", easy) > 0.0);
    cr_expect(read_one(r.model, r.netlist, "comfort", easy) > 0.1);
    const double gauge_pressure =
        read_one(r.model, r.netlist, "gauge_pressure of rear-left-air", easy);
    CHECK_REL(read_one(r.model, r.netlist, "gauge_pressure of rear-left-air settled", easy),
              gauge_pressure, 0.0, "there is one standing for all levels but parked");
    CHECK_REL(read_one(r.model, r.netlist, "pressure of rear-left-air", easy) - 101325.0,
              gauge_pressure, 1e-12, "absolute less ambient");
    rig_close(&r);
}

/* No netlist is known that does it, so a model is spoilt behind the program's back. */
Test(gauge, what_is_no_number_is_a_problem_of_its_state) {
    rig r = rig_open("profile p area 95 cm2 volume 1.9 L at 150 mm\n"
                     "spring bag profile p height 150 mm load 300 kg\n");
    const requirement wish[] = {
        {.quantity = "spring_rate", .subject = "bag", .level = LEVEL_INSTANT, .load_case = -1},
        {.quantity = "height", .subject = "bag", .load_case = -1}};
    gauge wanted[2];
    for (int spoil = 0; spoil < 2; spoil++) {
        model *const spoilt = (model *)r.model;
        spoilt->gas = (gas){.kind = GAS_EXPONENT, .exponent = spoil ? (double)INFINITY : 1.3};
        gauges *g = NULL;
        double value[2];
        cr_assert(gauge_find(&wanted[0], r.model, &wish[0], 0));
        cr_assert(gauge_find(&wanted[1], r.model, &wish[1], 0));
        cr_assert_eq(gauges_create(&g, r.model, 2, wanted, 0.01, NULL), BARONET_OK);
        cr_assert_eq(gauges_read(g, value), BARONET_OK);
        cr_expect_eq(gauges_problem(g, 0)->status, spoil ? BARONET_NOT_FINITE : BARONET_OK);
        cr_expect_eq((bool)isnan(value[0]), spoil == 1);
        CHECK_REL(value[1], 0.15, 1e-9, "the air has no say in it");
        gauges_destroy(g);
    }
    rig_close(&r);
}

/* Each state and case once more by itself, those that have no answer left out. */
Test(gauge, tells_the_worst_of_how_its_equilibria_were_solved) {
    static const struct {
        const char *state, *load_case;
    } asked[] = {{"easy", NULL}, {"town", "holiday"}, {"easy", "holiday"}, {"firm", NULL}};
    rig r = rig_open_file("netlists/camper.air"), own = rig_open_file("netlists/camper.air");
    const requirement wish = {.quantity = "roll_rate", .subject = "", .level = LEVEL_PARKED};
    gauge wanted[4];
    double value[4], residual = 0.0, condition = 0.0;
    for (int k = 0; k < 4; k++) {
        cr_assert(gauge_find(&wanted[k], r.model, &wish, rig_state(&r, asked[k].state)));
        wanted[k].load_case = asked[k].load_case == NULL
                                  ? -1
                                  : (int)(rig_case(&r, asked[k].load_case) - r.model->load_case);
        rig_answer(&own, asked[k].state, asked[k].load_case);
        for (int other = 0; other < 2; other++) {
            balance *const b = rates_balance(own.rates, other != 0);
            double one;
            cr_assert_eq(balance_condition(b, &one), BARONET_OK);
            residual = fmax(residual, balance_report(b).residual);
            condition = fmax(condition, one);
        }
    }
    gauges *g = NULL;
    balance_worst worst = {0};
    cr_assert_eq(gauges_create(&g, r.model, 4, wanted, 0.01, NULL), BARONET_OK);
    cr_assert_eq(gauges_read(g, value), BARONET_OK);
    cr_assert_eq(gauges_join(&worst, g), BARONET_OK);
    cr_expect(residual > 0.0);
    cr_expect_eq(gauges_residual(g), residual, "%g for %g", gauges_residual(g), residual);
    cr_expect_eq(worst.residual, residual);
    CHECK_REL(worst.condition, condition, 1e-9, "the largest of all");
    /* So heavy that its spring cannot carry it. */
    ((corner *)r.model->vehicle.corner)[0].load *= 40.0;
    cr_assert_eq(gauges_read(g, value), BARONET_OK);
    cr_assert(gauges_problem(g, 0)->status != BARONET_OK);
    cr_expect_eq(gauges_residual(g), 0.0);
    gauges_destroy(g);
    rig_close(&own);
    rig_close(&r);
}

Test(gauge, refuses_what_is_not_there) {
    rig r = rig_open_file("netlists/camper.air");
    static const struct {
        const char *quantity, *subject;
    } none[] = {{"wheel_rate", "XX"},   {"wheel_rate", ""},       {"roll_rate", "RL"},
                {"stiffness", "RL/X"},  {"stiffness", "RL"},      {"motion_rate", "one-wheel:X"},
                {"height", "RL"},       {"path_frequency", "RL"}, {"nonsense", ""},
                {"time_constant", "0"}, {"time_constant", "x"},   {"roll_share", "middle"}};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        const requirement wish = {.quantity = none[i].quantity, .subject = none[i].subject};
        gauge out;
        cr_expect_not(gauge_find(&out, r.model, &wish, 0), "%s of %s", none[i].quantity,
                      none[i].subject);
    }
    rig_close(&r);
}

Test(gauge, memory_may_run_out_anywhere) {
    rig r = rig_open_file("netlists/rear.air");
    static const struct {
        const char *quantity, *subject;
    } some[] = {{"wheel_rate", "RL"},
                {"ride_frequency", "heave"},
                {"settle_time_63", "roll"},
                {"damping_ratio", "1"}};
    gauge wanted[4];
    double value[4];
    for (int i = 0; i < 4; i++) {
        const requirement wish = {.quantity = some[i].quantity,
                                  .subject = some[i].subject,
                                  .level = i == 1 ? LEVEL_RIDE : LEVEL_NONE,
                                  .load_case = -1};
        cr_assert(gauge_find(&wanted[i], r.model, &wish, rig_state(&r, "linked")));
    }
    failing f;
    for (size_t k = 1;; k = k < 200 ? k + 1 : k + k / 16) {
        const baronet_allocator *const allocator = failing_start(&f, k);
        gauges *g = NULL;
        baronet_status status = gauges_create(&g, r.model, 4, wanted, 0.01, allocator);
        if (status == BARONET_OK)
            status = gauges_read(g, value);
        cr_assert(status == BARONET_OK || status == BARONET_OUT_OF_MEMORY, "%zu", k);
        gauges_destroy(g);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    rig_close(&r);
}

/* Figures that exist somewhere, and not there. */
Test(gauge, what_does_not_exist_is_no_number) {
    rig r = rig_open_file("netlists/camper.air"), six = rig_open_file("netlists/expedition.air");
    const int easy = rig_state(&r, "easy");
    cr_expect(isnan(read_one(r.model, r.netlist, "ride_frequency of warp", easy)));
    cr_expect(isnan(read_one(r.model, r.netlist, "motion_rate of heave", easy)));
    cr_expect(isnan(read_one(r.model, r.netlist, "warp_rate of 3", easy)), "four wheels have one");
    cr_expect(isnan(read_one(r.model, r.netlist, "warp_rate of 1", easy)), "it needs no number");
    cr_expect(isnan(read_one(six.model, six.netlist, "warp_rate", rig_state(&six, "rest"))),
              "which of them?");
    cr_expect(isnan(read_one(six.model, six.netlist, "warp_rate of 9", rig_state(&six, "rest"))));
    cr_expect(read_one(six.model, six.netlist, "warp_rate of 2", rig_state(&six, "rest")) > 0.0);
    rig_close(&six);
    rig_close(&r);
}

static const char *const supplied =
    "gas isothermal\nprofile p area 88 cm2 volume 2.2 L at 150 mm\n"
    "spring s profile p height 150 mm load 410 kg\n"
    "supply high pressure 8.3 bar\nsupply low pressure 6.1 bar\ntee middle\n"
    "solenoid a from high to middle normally closed bore 4 mm\n"
    "solenoid b from low to middle normally closed bore 5 mm\n"
    "state apart shut a b\nstate both open a b\ncharge in apart\n";

/* Two supplies at different pressures cannot be joined; the other states are read all the same. */
Test(gauge, a_state_that_cannot_be_leaves_its_figures_open) {
    rig r = rig_open("%s", supplied);
    const requirement wish = {.quantity = "height", .subject = "s", .load_case = -1};
    gauge wanted[2];
    gauges *g = NULL;
    double value[2];
    cr_assert(gauge_find(&wanted[0], r.model, &wish, rig_state(&r, "both")));
    cr_assert(gauge_find(&wanted[1], r.model, &wish, rig_state(&r, "apart")));
    cr_assert_eq(gauges_create(&g, r.model, 2, wanted, 0.01, NULL), BARONET_OK);
    cr_assert_eq(gauges_read(g, value), BARONET_OK);
    cr_expect_eq(gauges_problem(g, 0)->status, BARONET_TWO_SOURCES);
    cr_expect(isnan(value[0]));
    cr_expect_eq(gauges_problem(g, 1)->status, BARONET_OK);
    CHECK_REL(value[1], 0.150, 1e-9, "as it was built");
    CHECK_REL(read_one(r.model, r.netlist, "height of s parked", wanted[1].state), 0.150, 1e-9,
              "nothing leaks, so it stands parked as before");
    gauges_destroy(g);
    rig_close(&r);
}

/* What leaks into the open, or from one supply into another, stands nowhere once it has. */
Test(gauge, what_has_no_parked_standing_has_no_parked_figures) {
    static const char *const leaks[] = {
        "solenoid out from s to atmosphere normally closed bore 4 mm bypass 0.2 mm\n",
        "supply high pressure 8.3 bar\nsupply low pressure 6.1 bar\n"
        "solenoid across from high to low normally closed bore 4 mm bypass 0.2 mm\n"};
    for (int k = 0; k < 2; k++) {
        rig r = rig_open("gas isothermal\nprofile p area 88 cm2 volume 2.2 L at 150 mm\n"
                         "spring s profile p height 150 mm load 410 kg\n%s",
                         leaks[k]);
        cr_expect(isnan(read_one(r.model, r.netlist, "spring_rate of s parked", 0)));
        cr_expect(isnan(read_one(r.model, r.netlist, "height of s parked", 0)));
        cr_expect(isnan(read_one(r.model, r.netlist, "gauge_pressure of s parked", 0)));
        CHECK_REL(read_one(r.model, r.netlist, "height of s settled", 0), 0.150, 1e-9, "built");
        cr_expect(read_one(r.model, r.netlist, "spring_rate of s", 0) > 0.0);
        rig_close(&r);
    }
}

/* A supply has as much air as is asked of it. */
Test(gauge, a_supply_has_no_volume) {
    rig r = rig_open("%s", supplied);
    const int apart = rig_state(&r, "apart");
    cr_expect(isnan(read_one(r.model, r.netlist, "volume of high", apart)));
    cr_expect(isnan(read_one(r.model, r.netlist, "air_mass of high", apart)));
    CHECK_REL(read_one(r.model, r.netlist, "gauge_pressure of low", apart), 6.1e5, 1e-12,
              "as said");
    CHECK_REL(read_one(r.model, r.netlist, "air_mass", apart),
              read_one(r.model, r.netlist, "air_mass of s", apart), 1e-12, "the spring's alone");
    rig_close(&r);
}

/* Figures of one study are found once for all who ask, and each gets its own. */
Test(gauge, figures_found_together_are_told_apart) {
    rig r = rig_open_file("netlists/camper.air");
    const int firm = rig_state(&r, "firm");
    static const struct {
        const char *quantity, *subject, *said;
    } some[] = {{"comfort", "", "comfort"},
                {"comfort", "RL", "comfort of RL"},
                {"comfort", "FR", "comfort of FR"},
                {"time_constant", "1", "time_constant of 1"},
                {"time_constant", "2", "time_constant of 2"},
                {"settle_time_63", "roll", "settle_time_63 of roll"},
                {"settle_time_63", "roll", "settle_time_63 of roll parked"}};
    enum { SOME = sizeof some / sizeof *some };
    gauge wanted[SOME];
    double value[SOME];
    gauges *g = NULL;
    for (int i = 0; i < SOME; i++) {
        const requirement wish = {.quantity = some[i].quantity,
                                  .subject = some[i].subject,
                                  .level = i == SOME - 1 ? LEVEL_PARKED : LEVEL_NONE,
                                  .load_case = -1};
        cr_assert(gauge_find(&wanted[i], r.model, &wish, firm));
    }
    cr_assert_eq(gauges_create(&g, r.model, SOME, wanted, 0.01, NULL), BARONET_OK);
    cr_assert_eq(gauges_read(g, value), BARONET_OK);
    for (int i = 0; i < SOME; i++) {
        CHECK_REL(value[i], read_one(r.model, r.netlist, some[i].said, firm), 1e-12, some[i].said);
        cr_expect(i == 0 || value[i] != value[i - 1]);
    }
    gauges_destroy(g);
    rig_close(&r);
}
