/* Spreads beside what is known in closed form. */
#include "studies/spread.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "netlist/wish.h"
#include "studies/rig.h"
#include "support.h"

/* A wheel on a piston of constant area, part of its load carried by a coil: the pressure is linear
   in the load, in the unsprung mass and in what the coil carries, p = (F - m g - C)/A. */
static const char wheel[] =
    "corner c at 0 m 0 m load 410 kg unsprung 40 kg coil 5 N/mm carries 60 kg\n"
    "profile p area 88 cm2 volume 2.2 L at 150 mm\n"
    "spring s on c profile p height 150 mm\n";
enum { DIALS = 3 };
static const char *const tolerances[DIALS] = {"c.load=+-5%", "c.unsprung=30kg..50kg",
                                              "c.carries=+-12kg"};
static const double half_kg[DIALS] = {20.5, 10.0, 12.0};

typedef struct drawn {
    rig r;
    arena *arena;
    dial dial[16];
    requirement wish;
    gauge gauge;
    spread_question question;
    spread_answer answer;
} drawn;

static void open_wheel(drawn *d, int dials, const char *const *said, const char *figure_words,
                       long runs) {
    *d = (drawn){.r = rig_open("%s", wheel), .arena = arena_create(NULL)};
    for (int k = 0; k < dials; k++)
        cr_assert_eq(
            netlist_dial(d->r.netlist, "--change", said[k], NULL, d->arena, NULL, &d->dial[k]),
            BARONET_OK, "%s", said[k]);
    cr_assert_eq(
        netlist_wish(d->r.netlist, "--of", figure_words, WISH_FIGURE, d->arena, NULL, &d->wish),
        BARONET_OK);
    cr_assert(gauge_find(&d->gauge, d->r.model, &d->wish, 0));
    d->question = (spread_question){.all = {.netlist = d->r.netlist,
                                            .dials = dials,
                                            .dial = d->dial,
                                            .gauges = 1,
                                            .gauge = &d->gauge,
                                            .amplitude = 0.01,
                                            .workers = 1},
                                    .wish = &d->wish,
                                    .runs = runs,
                                    .seed = 3};
}

static void solve(drawn *d) {
    cr_assert_eq(spread_solve(&d->answer, d->arena, &d->question, NULL), BARONET_OK);
}

static void close_wheel(drawn *d) {
    arena_destroy(d->arena);
    rig_close(&d->r);
}

static double pascal(double kg) {
    return kg * 9.80665 / 88e-4;
}

/* The variance of a sum of even ones is the sum of (2 half)^2/12. */
Test(spread, variance_of_a_linear_figure) {
    drawn d;
    open_wheel(&d, DIALS, tolerances, "gauge_pressure of s", 40000);
    solve(&d);
    const spread_figure *const f = &d.answer.figure[0];
    double variance = 0.0;
    for (int k = 0; k < DIALS; k++)
        variance += pow(pascal(half_kg[k]), 2.0) / 3.0;
    cr_assert_eq(f->count, 40000);
    CHECK_REL(f->now, pascal(310.0), 1e-9, "(F - m g - C)/A");
    CHECK_ABS(f->mean, pascal(310.0), 4.0 * sqrt(variance / 40000.0), "the middle of each");
    CHECK_REL(f->deviation, sqrt(variance), 0.015, "sum of the variances of even numbers");
    CHECK_REL(f->worst_low, pascal(310.0 - 42.5), 1e-9, "all at their worst ends");
    CHECK_REL(f->worst_high, pascal(310.0 + 42.5), 1e-9, "all at their worst ends");
    cr_expect(f->least >= f->worst_low && f->most <= f->worst_high);
    for (int k = 0; k < DIALS; k++)
        CHECK_ABS(d.answer.part[k],
                  (k == 0 ? 1.0 : -1.0) * pow(pascal(half_kg[k]), 2.0) / 3.0 / variance, 0.015,
                  "its own variance over the sum");
    close_wheel(&d);
}

/* One even number alone: percentiles are places in its range. */
Test(spread, percentiles_of_an_even_figure) {
    drawn d;
    open_wheel(&d, 1, tolerances, "gauge_pressure of s below 3.5 bar", 5000);
    solve(&d);
    const spread_figure *const f = &d.answer.figure[0];
    const double low = pascal(310.0 - 20.5), wide = pascal(41.0);
    const spread_bounds *const all[] = {&f->low, &f->middle, &f->high};
    static const double parts[] = {0.05, 0.5, 0.95};
    for (int i = 0; i < 3; i++) {
        const double exact = low + parts[i] * wide;
        cr_expect(all[i]->from <= exact && exact <= all[i]->to, "%g", parts[i]);
        cr_expect(all[i]->from < all[i]->value && all[i]->value < all[i]->to);
        CHECK_ABS(all[i]->to - all[i]->from,
                  2.0 * 1.96 * wide * sqrt(parts[i] * (1.0 - parts[i]) / 5000.0), 0.012 * wide,
                  "binomial, in its normal form");
    }
    const double below = (3.5e5 - low) / wide;
    cr_expect(f->bounded);
    CHECK_ABS(f->met.value, below, 0.03, "the part of the range below the bound");
    cr_expect(f->met.from <= below && below <= f->met.to);
    close_wheel(&d);
}

/* To the bit for any number of workers, and in shares; another seed draws others. */
Test(spread, is_the_same_for_all_who_draw_it) {
    drawn one, two, part, other;
    open_wheel(&one, DIALS, tolerances, "gauge_pressure of s", 700);
    open_wheel(&two, DIALS, tolerances, "gauge_pressure of s", 700);
    open_wheel(&part, DIALS, tolerances, "gauge_pressure of s", 700);
    open_wheel(&other, DIALS, tolerances, "gauge_pressure of s", 700);
    two.question.all.workers = 2;
    part.question.share = 2;
    part.question.shares = 3;
    other.question.seed = 4;
    solve(&one);
    solve(&two);
    solve(&part);
    solve(&other);
    const size_t bytes = 700 * sizeof(double);
    cr_expect_eq(memcmp(one.answer.run.value, two.answer.run.value, bytes), 0);
    cr_expect_eq(memcmp(&one.answer.figure[0], &two.answer.figure[0], sizeof(spread_figure)), 0);
    cr_assert_eq(part.answer.run.first, 233);
    cr_expect_eq(memcmp(one.answer.run.value + 233, part.answer.run.value,
                        (size_t)part.answer.run.done * sizeof(double)),
                 0);
    cr_expect_neq(memcmp(one.answer.run.value, other.answer.run.value, bytes), 0);
    close_wheel(&other);
    close_wheel(&part);
    close_wheel(&two);
    close_wheel(&one);
}

/* With many tolerances the corners are those that the drawn vehicles point to. */
Test(spread, corners_of_many_tolerances) {
    static const char *const many[] = {"c.load=+-5%",
                                       "c.unsprung=30kg..50kg",
                                       "c.carries=+-12kg",
                                       "c.coil=+-3%",
                                       "c.coil=+-4%",
                                       "c.coil=+-5%",
                                       "c.coil=+-6%",
                                       "c.coil=+-7%",
                                       "c.coil=+-8%",
                                       "c.coil=+-9%",
                                       "ambient.temperature=0C..30C"};
    drawn d;
    open_wheel(&d, 11, many, "gauge_pressure of s", 500);
    solve(&d);
    cr_expect_not(d.answer.every_corner);
    cr_expect_eq(d.answer.corners, 2);
    CHECK_REL(d.answer.figure[0].worst_low, pascal(310.0 - 42.5), 1e-9, "as of all corners");
    CHECK_REL(d.answer.figure[0].worst_high, pascal(310.0 + 42.5), 1e-9, "as of all corners");
    close_wheel(&d);
}

Test(spread, what_does_not_vary_has_no_parts) {
    static const char *const said[] = {"c.coil=+-5%"};
    drawn d;
    open_wheel(&d, 1, said, "gauge_pressure of s", 50);
    solve(&d);
    cr_expect(isnan(d.answer.part[0]));
    CHECK_REL(d.answer.figure[0].high.value, d.answer.figure[0].low.value, 1e-9, "it stands still");
    close_wheel(&d);
}

/* Values of a list are drawn as often as one another; one that stands still explains nothing. */
Test(spread, of_listed_values) {
    static const char *const said[] = {"c.load=380kg,410kg,470kg", "c.carries=60kg,60kg"};
    drawn d;
    open_wheel(&d, 2, said, "gauge_pressure of s", 3000);
    solve(&d);
    int of_each[3] = {0};
    for (long i = 0; i < 3000; i++) {
        const double load = d.answer.run.x[2 * i] / 9.80665;
        of_each[load < 381.0 ? 0 : load < 411.0 ? 1 : 2]++;
        CHECK_REL(d.answer.run.value[i], pascal(load - 100.0), 1e-9, "(F - m g - C)/A");
    }
    for (int k = 0; k < 3; k++)
        CHECK_ABS((double)of_each[k], 1000.0, 4.0 * sqrt(3000.0 / 3.0 * 2.0 / 3.0),
                  "binomial, four deviations");
    CHECK_REL(d.answer.part[0], 1.0, 1e-9, "all of it");
    cr_expect(isnan(d.answer.part[1]));
    CHECK_REL(d.answer.figure[0].worst_high, pascal(370.0), 1e-9, "the heaviest");
    close_wheel(&d);
}

/* One vehicle has no spread, and is each of its own percentiles. */
Test(spread, of_one_vehicle) {
    drawn d;
    open_wheel(&d, 1, tolerances, "gauge_pressure of s", 1);
    solve(&d);
    const spread_figure *const f = &d.answer.figure[0];
    const double only = d.answer.run.value[0];
    cr_assert_eq(f->count, 1);
    CHECK_REL(only, pascal(d.answer.run.x[0] / 9.80665 - 100.0), 1e-9, "(F - m g - C)/A");
    cr_expect_eq(f->deviation, 0.0);
    cr_expect(f->mean == only && f->low.value == only && f->high.value == only);
    cr_expect(isnan(d.answer.part[0]));
    close_wheel(&d);
}

/* Vehicles that are drawn, then the corners and the netlist as it is: all three have a say in it.
 */
static void looked_at(const void *context, long index, double *values) {
    const drawn *const d = context;
    const long past = index - d->answer.run.done;
    for (int k = 0; k < DIALS; k++) {
        const dial *const one = &d->dial[k];
        values[k] = past < 0               ? d->answer.run.x[index * DIALS + k]
                    : past == 1 << DIALS   ? one->now
                    : (past >> k & 1) != 0 ? one->high
                                           : one->low;
    }
}

Test(spread, the_residual_is_the_worst_of_all_that_was_looked_at) {
    enum { RUNS = 25, ALL = RUNS + (1 << DIALS) + 1 };
    drawn d;
    open_wheel(&d, DIALS, tolerances, "gauge_pressure of s", RUNS);
    solve(&d);
    double got[ALL];
    long done = 0;
    variants *v = NULL;
    cr_assert_eq(variants_create(&v, &d.question.all, NULL), BARONET_OK);
    cr_assert_eq(variants_read(v, looked_at, &d, 0, ALL, got, NULL, &done), BARONET_OK);
    cr_expect(d.answer.residual > 0.0);
    cr_expect_eq(d.answer.residual, variants_residual(v));
    variants_destroy(v);
    close_wheel(&d);
}
