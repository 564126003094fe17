/* SPDX-License-Identifier: MIT */
#include "studies/times.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>

#include "studies/rig.h"
#include "support.h"

typedef struct lot {
    times_answer times;
    figure_list list;
} lot;

static lot find(rig *r, times_question q) {
    lot l = {0};
    cr_assert_eq(times_solve(&l.times, r->arena, r->rates, &q, NULL), BARONET_OK);
    figures_of_times(&l.list, &l.times);
    cr_assert_not(l.list.failed);
    cr_assert_eq(l.times.unfinished, 0);
    return l;
}

static double value(const rig *r, const lot *l, figure_quantity q, level at, const char *subject) {
    const figure *f = rig_figure(r, &l->list, q, at, subject);
    return f != NULL ? f->value : (double)NAN;
}

Test(times, the_van_has_every_figure) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "town", NULL);
    lot l = find(&r, (times_question){.parts = TIMES_ALL});
    static const char *const motions[] = {"heave",        "roll",         "pitch",  "warp",
                                          "one-wheel:FL", "one-wheel:RR", "gateway"};
    for (size_t k = 0; k < sizeof motions / sizeof motions[0]; k++) {
        for (int at = LEVEL_SETTLED; at <= LEVEL_PARKED; at++) {
            const double a = value(&r, &l, FIGURE_SETTLE_TIME_63, (level)at, motions[k]);
            const double b = value(&r, &l, FIGURE_SETTLE_TIME_95, (level)at, motions[k]);
            cr_assert(a > 0.0 && b > a, "%s: %g %g", motions[k], a, b);
        }
    }
    cr_assert(value(&r, &l, FIGURE_TIME_CONSTANT, LEVEL_NONE, "1") >
              value(&r, &l, FIGURE_TIME_CONSTANT, LEVEL_NONE, "2"));
    cr_assert(value(&r, &l, FIGURE_PATH_FREQUENCY, LEVEL_NONE, "rear-left-gate") > 1.0);
    cr_assert(value(&r, &l, FIGURE_PATH_FREQUENCY, LEVEL_NONE, "cross") < 0.1);
    /* The bypass makes roll slower when it may take part, and leaves heave all but alone. */
    cr_assert(value(&r, &l, FIGURE_SETTLE_TIME_95, LEVEL_PARKED, "roll") >
              1.2 * value(&r, &l, FIGURE_SETTLE_TIME_95, LEVEL_SETTLED, "roll"));
    cr_assert(l.times.mass_error < 1e-12);
    cr_assert_eq(l.times.sweeps, TIMES_SWEEP);
    for (int k = 1; k < TIMES_SWEEP; k++) {
        cr_assert(l.times.sweep[k].heave_63 > l.times.sweep[k - 1].heave_63,
                  "a larger bump drives more air through the same hose");
    }
    figure_list_free(&l.list);
    rig_close(&r);
}

Test(times, without_a_bypass_parked_is_settled) {
    rig r = rig_open_file("netlists/beam.air");
    rig_answer(&r, "half", NULL);
    lot l = find(&r, (times_question){.parts = TIMES_SETTLED | TIMES_PARKED, .only = "roll"});
    cr_assert_eq(l.times.motions, 1);
    cr_assert_eq(value(&r, &l, FIGURE_SETTLE_TIME_63, LEVEL_PARKED, "roll"),
                 value(&r, &l, FIGURE_SETTLE_TIME_63, LEVEL_SETTLED, "roll"));
    cr_assert(isnan(value(&r, &l, FIGURE_SETTLE_TIME_63, LEVEL_SETTLED, "heave")));
    cr_assert(isnan(value(&r, &l, FIGURE_TIME_CONSTANT, LEVEL_NONE, "1")));
    figure_list_free(&l.list);
    /* A wheel on a coil alone moves no air. */
    l = find(&r, (times_question){.parts = TIMES_SETTLED, .only = "one-wheel:FL"});
    cr_assert_eq(l.times.motions, 1);
    cr_assert(isnan(value(&r, &l, FIGURE_SETTLE_TIME_63, LEVEL_SETTLED, "one-wheel:FL")));
    figure_list_free(&l.list);
    rig_close(&r);
}

/* Asked for parked times alone, what does not leak is stepped as it stands. */
Test(times, parked_alone_is_settled_where_nothing_leaks) {
    rig r = rig_open_file("netlists/beam.air");
    rig_answer(&r, "half", NULL);
    lot both = find(&r, (times_question){.parts = TIMES_SETTLED, .only = "roll"});
    lot l = find(&r, (times_question){.parts = TIMES_PARKED, .only = "roll"});
    const double time = value(&r, &l, FIGURE_SETTLE_TIME_95, LEVEL_PARKED, "roll");
    cr_assert(time > 0.0);
    cr_assert_eq(time, value(&r, &both, FIGURE_SETTLE_TIME_95, LEVEL_SETTLED, "roll"));
    figure_list_free(&both.list);
    figure_list_free(&l.list);
    rig_close(&r);
}

/* Parked it leaks into the open: no standing, so neither a rate nor a time. */
Test(times, what_does_not_stand_parked_has_no_parked_rate) {
    rig r =
        rig_open("gas adiabatic\nprofile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                 "spring bag load 431 kg profile piston height 158 mm\n"
                 "tank can volume 3.3 L\nrestrictor way from bag to can bore 3 mm\n"
                 "solenoid out from can to atmosphere normally closed bore 4 mm bypass 0.2 mm\n");
    const rates_answer *const answer = rig_answer(&r, "rest", NULL);
    lot l = find(&r, (times_question){.parts = TIMES_SETTLED | TIMES_PARKED});
    cr_assert_eq(l.times.motions, 1);
    CHECK_REL(l.times.motion[0].settled_rate, answer->level[LEVEL_SETTLED].one_wheel_rate[0], 1e-12,
              "one mass has one rate");
    cr_expect(isnan(l.times.motion[0].parked_rate));
    cr_expect_eq(l.times.motion[0].parked.problem.status, BARONET_FLAT);
    cr_expect(isnan(l.times.motion[0].parked.time_63));
    cr_expect(l.times.motion[0].settled.time_63 > 0.0);
    figure_list_free(&l.list);
    rig_close(&r);
}

/* Common practice, no source: a bore stepped up shortens every time that passes through it. */
Test(times, a_wider_bore_shortens_every_time_through_it) {
    double last[3] = {HUGE_VAL, HUGE_VAL, HUGE_VAL};
    for (double bore = 1.1; bore < 12.0; bore *= 1.43) {
        rig r = rig_open("gas adiabatic\n"
                         "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                         "spring bag load 431 kg profile piston height 158 mm\n"
                         "tank can volume 3.3 L\ntee half\n"
                         "hose way from bag to half bore %g mm length 0.8 m fittings 1.4\n"
                         "restrictor in from half to can bore 12 mm\n",
                         bore);
        rig_answer(&r, "rest", NULL);
        lot l = find(&r, (times_question){.parts = TIMES_SETTLED | TIMES_CONSTANTS});
        const double now[3] = {value(&r, &l, FIGURE_SETTLE_TIME_63, LEVEL_SETTLED, "one-wheel:bag"),
                               value(&r, &l, FIGURE_SETTLE_TIME_95, LEVEL_SETTLED, "one-wheel:bag"),
                               value(&r, &l, FIGURE_TIME_CONSTANT, LEVEL_NONE, "1")};
        for (int k = 0; k < 3; k++) {
            cr_assert(now[k] < last[k], "%g mm: %g", bore, now[k]);
            last[k] = now[k];
        }
        figure_list_free(&l.list);
        rig_close(&r);
    }
}

/* Ten thousand volumes in a row, hoses between them: the work is linear. */
Test(times, a_chain_of_ten_thousand_volumes_is_answered) {
    enum { LINKS = 5000 };
    text_buffer words = {0};
    text_buffer_add(&words, "gas adiabatic\n"
                            "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                            "spring bag load 431 kg profile piston height 158 mm\n");
    for (int k = 0; k < LINKS; k++) {
        text_buffer_format(&words, "tank t%d volume 0.%d L\n", k + 1, 21 + k % 17);
        text_buffer_format(&words, k == 0 ? "hose h%d from bag" : "hose h%d from t%d", k, k);
        text_buffer_format(&words, " to t%d bore %d mm length 0.%d m\n", k + 1, 8 + k % 3,
                           31 + k % 13);
    }
    cr_assert_not(words.failed);
    rig r = rig_open("%s", words.bytes);
    text_buffer_free(&words);
    rig_answer(&r, "rest", NULL);
    lot l = find(&r, (times_question){.parts = TIMES_SETTLED | TIMES_PATHS | TIMES_CONSTANTS});
    cr_assert_eq(l.times.constants.all, 2 * LINKS);
    cr_assert_eq(l.times.constants.count, CONSTANTS_MOST);
    cr_assert(l.times.constants.constant[0].residual < 1e-9);
    cr_assert(l.times.motion[0].settled.time_95 > l.times.motion[0].settled.time_63);
    cr_assert(l.times.mass_error < 1e-12);
    figure_list_free(&l.list);
    rig_close(&r);
}

static const char starved[] = "gas adiabatic\n"
                              "corner L at 0 m 0.9 m load 620 kg\n"
                              "corner R at 0 m -0.9 m load 570 kg\n"
                              "bar b between L R roll 700 N.m/deg\n"
                              "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                              "spring left on L ratio 1 profile piston height 158 mm\n"
                              "spring right on R ratio 1 profile piston height 158 mm\n"
                              "solenoid link from left to right normally closed bore 3 mm\n"
                              "         bypass 0.4 mm\n"
                              "state linked open link\n";

/* The whole page on memory that ends at the k-th request. */
static bool starve(failing *f, size_t k) {
    const baronet_allocator *allocator = failing_start(f, k);
    const baronet_question question = {.state = "linked"};
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *netlist = NULL;
    baronet_answer *answer = NULL;
    baronet_status status = baronet_netlist_read_text("starved", starved, sizeof starved - 1,
                                                      allocator, said, &netlist);
    if (status == BARONET_OK) {
        status = baronet_times(netlist, &question, &answer, NULL);
    }
    cr_assert_eq(status, f->failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    baronet_diagnostics_destroy(said);
    cr_assert_eq(f->live, 0);
    return f->failed;
}

/* Each request while there are few, then one in so many: the runs before it cost time. */
Test(times, refusals_of_memory_are_survived) {
    failing f;
    size_t k = 1;
    while (starve(&f, k)) {
        k += 1 + k / 40;
    }
    cr_assert(k > 200);
}

/* Of so many volumes, here tanks that nothing is joined to, each wheel alone is left out, and the
   swings, but for what is asked for by name. */
Test(times, large_networks_get_less) {
    text_buffer words = {0};
    text_buffer_add(&words,
                    "corner L at 0 m 0.8 m load 371 kg\ncorner R at 0 m -0.7 m load 342 kg\n"
                    "profile p area 83 cm2 volume 1.7 L at 150 mm\n"
                    "spring a on L profile p height 150 mm\n"
                    "spring c on R profile p height 150 mm\n"
                    "tank t volume 3.1 L\nrestrictor r from a to t bore 4.3 mm\n");
    for (int k = 0; k < TIMES_LARGE; k++) {
        text_buffer_format(&words, "tank idle-%d volume 1 L pressure 5 bar\n", k);
    }
    cr_assert_not(words.failed);
    rig r = rig_open("%s", words.bytes);
    text_buffer_free(&words);
    rig_answer(&r, "rest", NULL);
    lot l = find(&r, (times_question){.parts = TIMES_SETTLED | TIMES_SWINGS});
    cr_assert_eq(l.times.sweeps, 0);
    cr_assert_eq(l.times.motions, 2, "heave and roll");
    cr_assert_eq(l.times.left_out, 2, "both wheels");
    cr_assert(value(&r, &l, FIGURE_SETTLE_TIME_63, LEVEL_SETTLED, "heave") > 0.0);
    figure_list_free(&l.list);
    l = find(&r, (times_question){.parts = TIMES_SETTLED, .only = "one-wheel:L"});
    cr_assert(value(&r, &l, FIGURE_SETTLE_TIME_63, LEVEL_SETTLED, "one-wheel:L") > 0.0);
    figure_list_free(&l.list);
    rig_close(&r);
}
