/* Sizes beside what is known in closed form. */
#include "studies/size.h"

#include <criterion/criterion.h>
#include <math.h>
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

static void size_bench(sized *s, int dials, const char *const *said, int wishes,
                       const char *const *wanted, int workers) {
    *s = (sized){.r = rig_open("%s", bench), .arena = arena_create(NULL)};
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
    const size_question ask = {.all = {.netlist = s->r.netlist,
                                       .dials = dials,
                                       .dial = s->dial,
                                       .gauges = wishes,
                                       .gauge = s->gauge,
                                       .amplitude = 0.01,
                                       .workers = workers},
                               .wish = s->wish};
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
