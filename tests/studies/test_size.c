/* Sizes beside what is known in closed form. */
#include "studies/size.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "netlist/wish.h"
#include "studies/rig.h"
#include "support.h"

/* One mass on a piston of constant area, with a tank behind a restrictor: K = n p A^2/(V + Vt)
   settled, n p A^2/V instant. */
static const char bench[] = "gas isothermal\nprofile p area 88 cm2 volume 2.2 L at 150 mm\n"
                            "spring s profile p height 150 mm load 410 kg\n"
                            "tank t volume 3.3 L\nrestrictor r from s to t bore 6 mm\n";

enum { MOST = 4 };

typedef struct sized {
    rig r;
    arena *arena;
    dial dial[MOST];
    requirement wish[MOST];
    gauge gauge[MOST];
    size_answer answer;
} sized;

static size_question ask_of(sized *s, const char *netlist, int dials, const char *const *said,
                            int wishes, const char *const *wanted, int workers) {
    *s = (sized){.r = rig_open("%s", netlist), .arena = arena_create(NULL)};
    for (int k = 0; k < dials; k++)
        cr_assert_eq(
            netlist_dial(s->r.netlist, "--change", said[k], NULL, s->arena, NULL, &s->dial[k]),
            BARONET_OK);
    for (int k = 0; k < wishes; k++) {
        cr_assert_eq(
            netlist_wish(s->r.netlist, "--want", wanted[k], WISH_GOAL, s->arena, NULL, &s->wish[k]),
            BARONET_OK);
        cr_assert(gauge_find(&s->gauge[k], s->r.model, &s->wish[k], 0));
    }
    return (size_question){.all = {.netlist = s->r.netlist,
                                   .dials = dials,
                                   .dial = s->dial,
                                   .gauges = wishes,
                                   .gauge = s->gauge,
                                   .amplitude = 0.01,
                                   .workers = workers},
                           .wish = s->wish};
}

static void size_bench(sized *s, int dials, const char *const *said, int wishes,
                       const char *const *wanted, int workers) {
    const size_question ask = ask_of(s, bench, dials, said, wishes, wanted, workers);
    cr_assert_eq(size_solve(&s->answer, s->arena, &ask, NULL), BARONET_OK);
}

static void close_bench(sized *s) {
    arena_destroy(s->arena);
    rig_close(&s->r);
}

static double pA2(double load) {
    return (load / 88e-4 + 101325.0) * 88e-4 * 88e-4;
}

Test(size, finds_the_tank_of_a_rate) {
    static const char *const said[] = {"t.volume=0.5L..9L"};
    static const char *const wanted[] = {"wheel_rate of s = 9 N/mm settled"};
    sized s;
    size_bench(&s, 1, said, 1, wanted, 1);
    cr_expect(s.answer.met);
    cr_expect_eq(s.answer.verdict[0], SIZE_MET);
    CHECK_REL(s.answer.x[0], pA2(410 * 9.80665) / 9000.0 - 2.2e-3, 2e-3,
              "V + Vt = n p A^2/K, to three digits");
    CHECK_REL(s.answer.value[0], 9000.0, SIZE_NEAR, "what was asked for");
    close_bench(&s);
}

/* Both follow: the load from the instant rate, then the tank from the settled one. */
Test(size, meets_two_targets_with_two_sizes) {
    static const char *const said[] = {"t.volume=0.5L..12L", "s.load=250kg..600kg"};
    static const char *const wanted[] = {"wheel_rate of s = 8 N/mm settled",
                                         "wheel_rate of s = 23 N/mm instant"};
    sized s;
    size_bench(&s, 2, said, 2, wanted, 1);
    const double load = (23e3 * 2.2e-3 / (88e-4 * 88e-4) - 101325.0) * 88e-4;
    cr_expect(s.answer.met);
    CHECK_REL(s.answer.x[1], load, 5e-3, "p = K V/(n A^2)");
    CHECK_REL(s.answer.x[0], 23.0 / 8.0 * 2.2e-3 - 2.2e-3, 1e-2, "volumes are as rates");
    close_bench(&s);
}

/* With room to spare the netlist's own value stays; a limit is gone to and no further. */
Test(size, stays_near_what_there_is) {
    static const char *const said[] = {"t.volume=0.5L..9L"};
    static const char *const slack[] = {"wheel_rate of s below 40 N/mm settled"};
    static const char *const tight[] = {"wheel_rate of s below 7.5 N/mm settled"};
    sized s;
    size_bench(&s, 1, said, 1, slack, 1);
    CHECK_REL(s.answer.x[0], 3.3e-3, 1e-3, "as the netlist has it");
    cr_expect_eq(s.answer.verdict[0], SIZE_MET);
    close_bench(&s);
    size_bench(&s, 1, said, 1, tight, 1);
    const double least = pA2(410 * 9.80665) / 7500.0 - 2.2e-3;
    cr_expect(s.answer.x[0] >= least && s.answer.x[0] < 1.01 * least, "%g", s.answer.x[0]);
    cr_expect_eq(s.answer.verdict[0], SIZE_BINDS);
    close_bench(&s);
}

Test(size, says_how_near_it_can_come) {
    static const char *const said[] = {"t.volume=1L..4L"};
    static const char *const wanted[] = {"wheel_rate of s = 4 N/mm settled",
                                         "wheel_rate of s above 30 N/mm settled"};
    sized s;
    size_bench(&s, 1, said, 2, wanted, 1);
    cr_expect_not(s.answer.met);
    CHECK_REL(s.answer.alone[0], pA2(410 * 9.80665) / 6.2e-3, 1e-3, "the largest tank");
    CHECK_REL(s.answer.alone[1], pA2(410 * 9.80665) / 3.2e-3, 1e-3, "the smallest tank");
    close_bench(&s);
}

/* The listed size that comes nearest, to the bit for any number of workers. */
Test(size, takes_what_can_be_bought) {
    static const char *const said[] = {"t.volume=1L,2L,3L,4L,5L,7.5L,10L",
                                       "s.load=400kg,410kg,430kg"};
    static const char *const wanted[] = {"wheel_rate of s = 9 N/mm settled"};
    sized one, two;
    size_bench(&one, 2, said, 1, wanted, 1);
    size_bench(&two, 2, said, 1, wanted, 2);
    double nearest = HUGE_VAL, tank = 0.0, load = 0.0;
    static const double tanks[] = {1, 2, 3, 4, 5, 7.5, 10}, loads[] = {400, 410, 430};
    for (int i = 0; i < 21; i++) {
        const double k = pA2(loads[i % 3] * 9.80665) / (2.2e-3 + 1e-3 * tanks[i / 3]);
        if (fabs(k - 9e3) < nearest) {
            nearest = fabs(k - 9e3);
            tank = 1e-3 * tanks[i / 3];
            load = loads[i % 3] * 9.80665;
        }
    }
    CHECK_REL(one.answer.x[0], tank, 1e-12, "all 21 by the closed form");
    CHECK_REL(one.answer.x[1], load, 1e-12, "all 21 by the closed form");
    cr_expect_eq(memcmp(one.answer.value, two.answer.value, sizeof(double)), 0);
    cr_expect_geq(one.answer.looked_at, 21);
    close_bench(&one);
    close_bench(&two);
}

/* Damping of the swinging pair of t s^3 + s^2 + (1 + N) t s + 1 = 0: mass, spring and tank behind a
   resistance of time constant t, in units of the settled frequency. */
static double pair_damping(double N, double t) {
    double s = -1.0 / t - 1.0;
    for (int i = 0; i < 200; i++) { /* the real root by Newton, from beyond it */
        const double f = ((t * s + 1.0) * s + (1.0 + N) * t) * s + 1.0;
        s -= f / ((3.0 * t * s + 2.0) * s + (1.0 + N) * t);
    }
    /* What is left is s^2 + b s + c. */
    const double b = 1.0 / t + s, c = -1.0 / (t * s);
    return b / (2.0 * sqrt(c));
}

Test(size, finds_the_restrictor_that_damps_best) {
    static const char *const said[] = {"r.bore=0.8mm..12mm"};
    static const char *const wanted[] = {"damping_ratio of 1 highest"};
    sized s;
    size_bench(&s, 1, said, 1, wanted, 1);
    double best = 0.0;
    for (double t = 0.02; t < 5.0; t *= 1.001)
        best = fmax(best, pair_damping(3.3 / 2.2, t));
    cr_expect_eq(s.answer.verdict[0], SIZE_BEST);
    cr_expect(s.answer.x[0] > 1e-3 && s.answer.x[0] < 11e-3, "%g", s.answer.x[0]);
    CHECK_REL(s.answer.value[0], best, 3e-3,
              "largest damping of an elastically coupled damper, N = 1.5, re-derived");
    close_bench(&s);
}

/* A listed value beside one with bounds: the search is made for each of the list. */
Test(size, searches_for_each_listed_value) {
    static const char *const said[] = {"s.load=410kg,300kg,520kg", "t.volume=1.1L..1.9L"};
    static const char *const wanted[] = {"wheel_rate of s = 9 N/mm settled"};
    sized s;
    size_bench(&s, 2, said, 1, wanted, 1);
    cr_expect(s.answer.met);
    CHECK_REL(s.answer.x[0], 300 * 9.80665, 1e-12,
              "410 kg need 2.53 L and more, 520 kg a larger one yet");
    CHECK_REL(s.answer.x[1], pA2(300 * 9.80665) / 9000.0 - 2.2e-3, 2e-3, "V + Vt = n p A^2/K");
    close_bench(&s);
}

/* A bare number: on a lever of ratio i the wheel's rate is i^2 n A^2 p/V, and p has F/(i A). */
Test(size, finds_a_number_without_unit) {
    static const char *const said[] = {"s.on=0.5..1.1"};
    static const char *const wanted[] = {"wheel_rate of c = 17 N/mm instant"};
    static const char on_arm[] = "gas isothermal\nprofile p area 88 cm2 volume 2.2 L at 150 mm\n"
                                 "corner c at 0 m 0 m load 410 kg\n"
                                 "spring s on c ratio 0.9 profile p height 150 mm\n";
    sized s;
    const size_question ask = ask_of(&s, on_arm, 1, said, 1, wanted, 1);
    cr_assert_eq(size_solve(&s.answer, s.arena, &ask, NULL), BARONET_OK);
    cr_expect(s.answer.met);
    /* 101325 i^2 + F/A i = K V/A^2 */
    const double half = 410 * 9.80665 / 88e-4 / 2.0, right = 17e3 * 2.2e-3 / (88e-4 * 88e-4);
    const double ratio = (sqrt(half * half + 101325.0 * right) - half) / 101325.0;
    CHECK_REL(s.answer.x[0], ratio, 3e-3, "the positive root");
    close_bench(&s);
}

/* More than three digits where fewer miss a narrow wish. */
Test(size, takes_the_digits_that_it_needs) {
    static const char *const said[] = {"t.volume=0.5L..9L"};
    static const char *const wanted[] = {"wheel_rate of s above 8999.2 N/m settled",
                                         "wheel_rate of s below 8999.9 N/m settled"};
    sized s;
    size_bench(&s, 1, said, 2, wanted, 1);
    cr_expect(s.answer.met);
    cr_expect(s.answer.value[0] > 8999.2 && s.answer.value[0] < 8999.9);
    CHECK_REL(s.answer.value[0], pA2(410 * 9.80665) / (2.2e-3 + s.answer.x[0]), 1e-9, "n p A^2/V");
    /* A step of three digits, 0.01 L of 6.7 L, is 13 N/m; of five 0.13 N/m. */
    cr_expect(s.answer.digits > 3 && s.answer.digits <= 5, "%d digits", s.answer.digits);
    close_bench(&s);
}

/* No more than nine: a wish that is narrower still is missed by what can be written down. */
Test(size, no_more_than_nine_digits_are_taken) {
    static const char fine[] = "gas isothermal\nprofile p area 88 cm2 volume 2.2 L at 150 mm\n"
                               "spring s profile p height 150 mm load 410 kg\n"
                               "tank t volume 3.141592653589793 L\n"
                               "restrictor r from s to t bore 6 mm\n";
    static const char *const said[] = {"t.volume=0.5L..9L"};
    const double now = pA2(410 * 9.80665) / (2.2e-3 + 3.141592653589793e-3);
    char above[64], below[64];
    snprintf(above, sizeof above, "wheel_rate of s above %.16g N/m settled", now * (1.0 - 1e-11));
    snprintf(below, sizeof below, "wheel_rate of s below %.16g N/m settled", now * (1.0 + 1e-11));
    const char *const wanted[] = {above, below};
    sized s;
    const size_question ask = ask_of(&s, fine, 1, said, 2, wanted, 1);
    cr_assert_eq(size_solve(&s.answer, s.arena, &ask, NULL), BARONET_OK);
    cr_expect_eq(s.answer.digits, 9);
    CHECK_REL(s.answer.x[0], 3.14159265e-3, 1e-15, "the netlist's own, in nine digits");
    cr_expect_not(s.answer.met);
    cr_expect_eq(s.answer.verdict[0], SIZE_BINDS, "the tank is a little small");
    cr_expect_eq(s.answer.verdict[1], SIZE_MISSED);
    close_bench(&s);
}

/* One value listed alone has no range to be moved in, and is what it is. */
Test(size, a_list_of_one_is_taken) {
    static const char *const said[] = {"t.volume=4.7L,4.7L"};
    static const char *const wanted[] = {"wheel_rate of s = 9 N/mm settled"};
    sized s;
    size_bench(&s, 1, said, 1, wanted, 1);
    cr_expect_eq(s.answer.verdict[0], SIZE_MISSED);
    CHECK_REL(s.answer.x[0], 4.7e-3, 1e-12, "there is no other");
    CHECK_REL(s.answer.alone[0], pA2(410 * 9.80665) / 6.9e-3, 1e-9, "n p A^2/V");
    close_bench(&s);
}

/* A mass, a spring and a tank have three motions at most. */
Test(size, a_goal_that_does_not_exist_is_absent) {
    static const char *const said[] = {"t.volume=0.5L..9L"};
    static const char *const wanted[] = {"damping_ratio of 9 highest"};
    sized s;
    size_bench(&s, 1, said, 1, wanted, 1);
    cr_expect_eq(s.answer.verdict[0], SIZE_ABSENT);
    cr_expect_not(s.answer.met);
    cr_expect(isnan(s.answer.value[0]) && isnan(s.answer.alone[0]));
    CHECK_REL(s.answer.x[0], 3.3e-3, 1e-3, "as the netlist has it");
    close_bench(&s);
}

/* A list of so many values with a unit, from one on. */
static char *list_values(const char *what, int count, double from, const char *unit) {
    char *const said = malloc(32 + 16 * (size_t)count);
    cr_assert_not_null(said);
    int length = sprintf(said, "%s=", what);
    for (int k = 0; k < count; k++)
        length += sprintf(said + length, "%s%.4f%s", k > 0 ? "," : "", from + 0.01 * k, unit);
    return said;
}

Test(size, too_many_combinations_are_refused) {
    static const char *const wanted[] = {"wheel_rate of s = 9 N/mm settled"};
    char *const tanks = list_values("t.volume", SIZE_SEARCHES_MAX + 1, 1.5, "L");
    char *const loads = list_values("s.load", 1 + SIZE_LISTED_MAX / SIZE_SEARCHES_MAX, 390, "kg");
    const char *const asked[][2] = {{tanks, "s.load=300kg..500kg"}, {tanks, loads}};
    for (int k = 0; k < 2; k++) {
        sized s;
        const size_question ask = ask_of(&s, bench, 2, asked[k], 1, wanted, 1);
        cr_expect_eq(size_solve(&s.answer, s.arena, &ask, NULL), BARONET_TOO_MANY);
        cr_expect_leq(s.answer.looked_at, 1, "none but the netlist as it is");
        close_bench(&s);
    }
    free(tanks);
    free(loads);
}

/* Stops when it has been told of so many parts. */
static bool stop_after(void *context, double part) {
    int *const left = context;
    cr_assert(part >= 0.0 && part <= 1.0);
    return --*left > 0;
}

Test(size, may_be_ended_early) {
    static const char *const said[] = {"s.load=410kg,300kg,520kg", "t.volume=1.1L..1.9L"};
    static const char *const wanted[] = {"wheel_rate of s = 33 N/mm settled",
                                         "wheel_rate of s = 3 N/mm settled"};
    sized s;
    size_question ask = ask_of(&s, bench, 2, said, 2, wanted, 1);
    int left = 7;
    ask.all.progress = stop_after;
    ask.all.progress_context = &left;
    cr_assert_eq(size_solve(&s.answer, s.arena, &ask, NULL), BARONET_OK);
    cr_expect(s.answer.stopped);
    cr_expect_lt(s.answer.looked_at, 20, "%ld were looked at", s.answer.looked_at);
    CHECK_REL(s.answer.x[0], 410 * 9.80665, 1e-12, "the first of the list, no other was begun");
    cr_expect(isnan(s.answer.alone[0]) && isnan(s.answer.alone[1]), "nor is each wish tried alone");
    close_bench(&s);
}

/* Refuses memory somewhere in the search, in the listed values, in what comes after them. */
static void starve(const char *const *said) {
    static const char *const wanted[] = {"damping_ratio of 1 above 0.9",
                                         "damping_ratio of 1 below 0.1"};
    failing f = {.failed = true};
    size_t last = 0;
    for (size_t k = 1; f.failed; k += 1 + k / 3) {
        sized s;
        const size_question ask = ask_of(&s, bench, 1, said, 2, wanted, 1);
        const baronet_status status = size_solve(&s.answer, s.arena, &ask, failing_start(&f, k));
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
        cr_assert_eq(f.live, 0, "request %zu: blocks are left", k);
        last = f.failed ? last : f.calls;
        close_bench(&s);
    }
    for (size_t k = last; k > last - last / 16; k -= 1 + last / 64) {
        sized s;
        const size_question ask = ask_of(&s, bench, 1, said, 2, wanted, 1);
        cr_assert_eq(size_solve(&s.answer, s.arena, &ask, failing_start(&f, k)),
                     BARONET_OUT_OF_MEMORY, "request %zu of %zu", k, last);
        cr_assert_eq(f.live, 0, "request %zu: blocks are left", k);
        close_bench(&s);
    }
}

Test(size, memory_may_run_out) {
    static const char *const bounds[] = {"r.bore=1mm..9mm"}, *const list[] = {"r.bore=1mm,2mm,5mm"};
    starve(bounds);
    starve(list);
}

/* What can be bought is looked at piece by piece, whoever does it. */
static void listed(const void *context, long index, double *values) {
    const sized *const s = context;
    values[0] = s->dial[0].value[index];
}

Test(size, the_residual_is_the_worst_of_all_that_was_looked_at) {
    static const char *const said[] = {"s.load=330kg,410kg,480kg,560kg"};
    static const char *const wanted[] = {"wheel_rate of s = 9 N/mm settled"};
    double got[4];
    for (int workers = 1; workers <= 3; workers++) {
        sized s;
        long done = 0;
        variants *v = NULL;
        const size_question ask = ask_of(&s, bench, 1, said, 1, wanted, workers);
        cr_assert_eq(size_solve(&s.answer, s.arena, &ask, NULL), BARONET_OK);
        cr_assert_eq(variants_create(&v, &ask.all, NULL), BARONET_OK);
        cr_assert_eq(variants_read(v, listed, &s, 0, 4, got, NULL, &done), BARONET_OK);
        cr_expect(s.answer.residual > 0.0);
        cr_expect_eq(s.answer.residual, variants_residual(v), "%g for %g", s.answer.residual,
                     variants_residual(v));
        variants_destroy(v);
        close_bench(&s);
    }
}
