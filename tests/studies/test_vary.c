/* Figures against values, beside what is known in closed form. */
#include "studies/vary.h"

#include <criterion/criterion.h>
#include <math.h>

#include "netlist/wish.h"
#include "studies/rig.h"
#include "support.h"

/* One mass on a piston of constant area, with a tank: K = n p A^2/(V + Vt) settled. */
static const char bench[] = "gas isothermal\nprofile p area 88 cm2 volume 2.2 L at 150 mm\n"
                            "spring s profile p height 150 mm load 410 kg rubber 0 N/mm\n"
                            "tank t volume 3.3 L\nhose h from s to t bore 9 mm length 0.001 mm\n";

typedef struct asked {
    rig r;
    arena *arena;
    dial dial[2];
    gauge gauge;
    vary_question question;
    vary_answer answer;
} asked;

static void ask_bench(asked *a, int dials, const char *const *said, const char *figure_words) {
    *a = (asked){.r = rig_open("%s", bench), .arena = arena_create(NULL)};
    requirement wish;
    for (int k = 0; k < dials; k++) {
        cr_assert_eq(
            netlist_dial(a->r.netlist, "--change", said[k], NULL, a->arena, NULL, &a->dial[k]),
            BARONET_OK);
    }
    cr_assert_eq(
        netlist_wish(a->r.netlist, "--of", figure_words, WISH_FIGURE, a->arena, NULL, &wish),
        BARONET_OK);
    cr_assert(gauge_find(&a->gauge, a->r.model, &wish, 0));
    a->question = (vary_question){.all = {.netlist = a->r.netlist,
                                          .dials = dials,
                                          .dial = a->dial,
                                          .gauges = 1,
                                          .gauge = &a->gauge,
                                          .amplitude = 0.01,
                                          .workers = 2},
                                  .points = 7};
}

static void solve(asked *a) {
    cr_assert_eq(vary_solve(&a->answer, a->arena, &a->question, NULL), BARONET_OK);
}

static void close_bench(asked *a) {
    arena_destroy(a->arena);
    rig_close(&a->r);
}

static double pressure_of(double load) {
    return load / 88e-4 + 101325.0;
}

static double rate_of(double tank_volume, double load) {
    return pressure_of(load) * 88e-4 * 88e-4 / (2.2e-3 + tank_volume);
}

Test(vary, is_the_closed_form_at_each_point) {
    static const char *const said[] = {"t.volume=1L..7L", "s.load=350kg,410kg,500kg"};
    asked a;
    ask_bench(&a, 2, said, "wheel_rate of s settled");
    solve(&a);
    cr_assert_eq(a.answer.all, 21);
    cr_assert_eq(a.answer.row.done, 21);
    for (long i = 0; i < 21; i++) {
        const double tank = 1e-3 + 1e-3 * (double)(i / 3);
        static const double loads[] = {350.0, 410.0, 500.0};
        CHECK_REL(a.answer.row.x[2 * i], tank, 1e-12, "equal steps");
        CHECK_REL(a.answer.row.x[2 * i + 1], loads[i % 3] * 9.80665, 1e-12, "as listed");
        CHECK_REL(a.answer.row.value[i], rate_of(tank, loads[i % 3] * 9.80665), 1e-6,
                  "n p A^2/(V + Vt), airspring stiffness of constant area");
    }
    CHECK_REL(a.answer.now[0], rate_of(3.3e-3, 410 * 9.80665), 1e-6, "the same at the base");
    close_bench(&a);
}

/* d ln K / d ln Vt = -Vt/(V + Vt); d ln K / d ln F = (p - p0)/p: derivatives of the closed form. */
Test(vary, sensitivity_is_the_derivative) {
    static const char *const said[] = {"t.volume=1L..7L", "s.load=350kg..500kg"};
    asked a;
    ask_bench(&a, 2, said, "wheel_rate of s settled");
    solve(&a);
    const double p = pressure_of(410 * 9.80665);
    CHECK_REL(a.answer.sensitivity[0], -3.3 / 5.5, 1e-5, "derivative of n p A^2/(V + Vt)");
    CHECK_REL(a.answer.sensitivity[1], (p - 101325.0) / p, 1e-5, "likewise");
    close_bench(&a);
}

Test(vary, by_ratio) {
    static const char *const said[] = {"t.volume=1L..64L"};
    asked a;
    ask_bench(&a, 1, said, "wheel_rate of s settled");
    a.question.by_ratio = true;
    solve(&a);
    for (long i = 0; i < 7; i++)
        CHECK_REL(a.answer.row.x[i], 1e-3 * pow(2.0, (double)i), 1e-12,
                  "each twice the one before");
    close_bench(&a);
}

Test(vary, a_share_is_those_rows_of_all) {
    static const char *const said[] = {"t.volume=1L..7L", "s.load=350kg..500kg"};
    asked all, part;
    ask_bench(&all, 2, said, "wheel_rate of s settled");
    ask_bench(&part, 2, said, "wheel_rate of s settled");
    part.question.share = 2;
    part.question.shares = 3;
    solve(&all);
    solve(&part);
    cr_assert_eq(part.answer.row.first, 16);
    cr_assert_eq(part.answer.row.done, 16);
    for (long i = 0; i < 16; i++)
        cr_expect_eq(part.answer.row.value[i], all.answer.row.value[16 + i]);
    close_bench(&part);
    close_bench(&all);
}

Test(vary, too_many_rows_are_refused) {
    static const char *const said[] = {"t.volume=1L..7L", "s.load=350kg..500kg"};
    asked a;
    ask_bench(&a, 2, said, "wheel_rate of s settled");
    a.question.points = 2000;
    cr_expect_eq(vary_solve(&a.answer, a.arena, &a.question, NULL), BARONET_TOO_MANY);
    close_bench(&a);
}

/* Equal ratios from nothing are not to be had: such a value goes in equal steps. Where the netlist
   has nothing there is nothing to take one per cent of. */
Test(vary, from_nothing_by_equal_steps) {
    static const char *const said[] = {"s.rubber=0N/mm..3N/mm", "t.volume=1L..64L"};
    asked a;
    ask_bench(&a, 2, said, "wheel_rate of s settled");
    a.question.by_ratio = true;
    solve(&a);
    for (long i = 0; i < 49; i++) {
        const double rubber = 500.0 * (double)(i / 7);
        CHECK_ABS(a.answer.row.x[2 * i], rubber, 1e-9, "equal steps");
        CHECK_REL(a.answer.row.x[2 * i + 1], 1e-3 * pow(2.0, (double)(i % 7)), 1e-12, "ratios");
        CHECK_REL(a.answer.row.value[i], rate_of(a.answer.row.x[2 * i + 1], 410 * 9.80665) + rubber,
                  1e-6, "the carcass stands beside the air");
    }
    cr_expect(isnan(a.answer.sensitivity[0]));
    CHECK_REL(a.answer.sensitivity[1], -3.3 / 5.5, 1e-5, "derivative of n p A^2/(V + Vt)");
    close_bench(&a);
}

static bool stop_at_once(void *context, double part) {
    (void)context;
    return part < 0.0;
}

/* Five variants tell the sensitivities of two values, and dear ones are read two at a time. */
Test(vary, ended_early_has_no_sensitivity) {
    static const char *const said[] = {"t.volume=1L..7L", "s.load=350kg..500kg"};
    asked a;
    ask_bench(&a, 2, said, "damping_ratio of 1");
    a.question.all.workers = 1;
    a.question.all.progress = stop_at_once;
    solve(&a);
    cr_expect(isnan(a.answer.now[0]));
    cr_expect(isnan(a.answer.sensitivity[0]) && isnan(a.answer.sensitivity[1]));
    cr_expect_lt(a.answer.row.done, a.answer.row.count);
    close_bench(&a);
}

/* Rows of the grid, then the netlist as it is and either side of it. */
static void looked_at(const void *context, long index, double *values) {
    const asked *const a = context;
    const long past = index - a->answer.row.done;
    values[0] = past < 0 ? a->answer.row.x[index]
                         : a->dial[0].now * (past == 0   ? 1.0
                                             : past == 1 ? 1.0 - 1e-3
                                                         : 1.0 + 1e-3);
}

Test(vary, the_residual_is_the_worst_of_all_that_was_looked_at) {
    static const char *const said[] = {"s.load=350kg..500kg"};
    asked a;
    ask_bench(&a, 1, said, "wheel_rate of s settled");
    solve(&a);
    double got[10];
    long done = 0;
    variants *v = NULL;
    cr_assert_eq(variants_create(&v, &a.question.all, NULL), BARONET_OK);
    cr_assert_eq(variants_read(v, looked_at, &a, 0, a.answer.row.done + 3, got, NULL, &done),
                 BARONET_OK);
    cr_expect(a.answer.residual > 0.0);
    cr_expect_eq(a.answer.residual, variants_residual(v));
    variants_destroy(v);
    close_bench(&a);
}
