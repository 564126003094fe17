/* SPDX-License-Identifier: MIT */
#include "studies/response.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "model/flow.h"
#include "studies/demos.h"
#include "studies/road.h"
#include "support.h"

static const double two_pi = 6.283185307179586;

static response_answer answer_of(rig *r, const char *motion_name, response_range range) {
    response_answer answer;
    const baronet_status status =
        response_solve(&answer, r->arena, r->rates, motion_name, range, NULL);
    cr_assert_eq(status, BARONET_OK, "%s", baronet_status_text(status));
    return answer;
}

static void check_point(rig *r, airnet *n, road *w, const response_curve *c, int k,
                        double amplitude) {
    double K[2 * 36], pair[2] = {(double)NAN, (double)NAN};
    airnet_answer swing;
    const response_row *const row = &c->row[k];
    cr_assert_eq(airnet_swing(n, c->course->shape, amplitude, row->frequency, &swing), BARONET_OK);
    CHECK_REL(row->storage, swing.storage, 1e-12, c->course->name);
    CHECK_ABS(row->loss, swing.loss, 1e-12 * fabs(swing.storage), c->course->name);
    static const char *const bodily[BODY_MOTIONS] = {"heave", "roll", "pitch"};
    for (int m = 0; m < BODY_MOTIONS; m++) {
        if (strcmp(c->course->name, bodily[m]) != 0)
            continue;
        cr_assert_leq(r->model->vehicle.corners, 6);
        cr_assert_eq(airnet_matrix(n, row->frequency, K), BARONET_OK);
        cr_assert_eq(road_answer(w, (body_motion)m, K, row->frequency, pair), BARONET_OK);
        CHECK_REL(row->road[0], pair[0], 1e-9, c->course->name);
        CHECK_REL(row->road[1], pair[1], 1e-9, c->course->name);
    }
    cr_assert_eq(isnan(row->road[0]), isnan(pair[0]), "%s", c->course->name);
}

/* Rows stand at equal ratios between the ends and hold what the network and the road say. */
static void check_rows(rig *r, const char *state) {
    (void)state;
    const response_range range = {.from = 0.03, .to = 41.0, .points = 5, .amplitude = 0.007};
    const response_answer answer = answer_of(r, NULL, range);
    airnet *n;
    road *w;
    cr_assert_eq(answer.curves, answer.courses.count);
    cr_assert_eq(airnet_create(&n, r->rates, rates_open(r->rates), range.to, NULL), BARONET_OK);
    cr_assert_eq(road_create(&w, r->rates, NULL), BARONET_OK);
    for (int c = 0; c < answer.curves; c++) {
        const response_curve *const one = &answer.curve[c];
        cr_assert_eq(one->course, &answer.courses.course[c]);
        cr_assert(!one->account.unsettled && one->account.residual < 1e-6 &&
                  one->account.linear < 1e-10);
        cr_assert_eq(one->row[0].frequency, range.from);
        cr_assert_eq(one->row[range.points - 1].frequency, range.to);
        for (int k = 0; k < range.points; k++) {
            CHECK_REL(one->row[k].frequency, range.from * pow(range.to / range.from, k / 4.0),
                      1e-12, "equal ratios");
            check_point(r, n, w, one, k, range.amplitude);
        }
    }
    airnet_destroy(n);
    road_destroy(w);
}

Test(response, rows_are_the_network_s_and_the_road_s) {
    demos_each(check_rows);
}

/* A spring, a tank, and a hole whose slope at no flow is a linear resistance: Maxwell's model
   K = k1 (s Rv + k2)/(s Rv + k1 + k2) with its corner at (k1 + k2)/(2 pi Rv). */
static rig open_maxwell(double corner_frequency, const char *gas_words) {
    const double p = 6.2e5, T = 293.15, V1 = 2.3e-3, V2 = 4.9e-3, R = 287.053072047065;
    const double Rv = 1.4 * p * (1.0 / V1 + 1.0 / V2) / (two_pi * corner_frequency);
    const law hole = {.kind = LAW_BORE, .bore = 1e-3, .discharge = LAW_DEFAULT_DISCHARGE};
    const double bore = 1e-3 * sqrt(p / (R * T) / Rv / flow_conductance(&hole, p, T, 0.0));
    rig r = rig_open("ambient pressure 1 bara temperature 293.15 K\ngas %s\n"
                     "profile p area 112 cm2 volume 2.3 L at 150 mm\n"
                     "spring s profile p height 150 mm pressure 5.2 bar\n"
                     "tank can volume 4.9 L pressure 5.2 bar\n"
                     "restrictor hole from s to can bore %.17g m\n",
                     gas_words, bore);
    rig_answer(&r, NULL, NULL);
    return r;
}

Test(response, marks_are_those_of_maxwell_s_model) {
    static const double corners[] = {0.13, 0.77, 4.1};
    for (size_t k = 0; k < 3; k++) {
        rig r = open_maxwell(corners[k], "adiabatic");
        const response_range range = {.from = 0.002, .to = 213.0, .points = 601};
        const response_answer answer = answer_of(&r, "one-wheel:s", range);
        const response_curve *const c = &answer.curve[0];
        cr_assert_eq(answer.curves, 1);
        const double low = 1.4 * 6.2e5 * 0.0112 * 0.0112 / 7.2e-3;
        CHECK_REL(c->settled, low, 1e-9, "n p A^2/(V1 + V2)");
        CHECK_REL(c->instant, low * 7.2 / 2.3, 1e-9, "n p A^2/V1");
        /* Half-way and most loss are both at the corner; the first is read between rows, the second
           is a row. */
        const double step = pow(213.0 / 0.002, 1.0 / 600.0);
        CHECK_REL(c->half_frequency, corners[k], 1e-4, "Maxwell's model");
        cr_assert(c->loss_frequency > corners[k] / step && c->loss_frequency < corners[k] * step);
        cr_assert(isnan(c->soft_frequency) && isnan(c->road_frequency));
        rig_close(&r);
    }
}

Test(response, a_spring_alone_has_no_marks) {
    /* Nothing changes with frequency: rounding is no half-way and no loss. */
    rig r = rig_open("gas adiabatic\nprofile p area 117 cm2 volume 2.1 L at 150 mm\n"
                     "spring s profile p height 150 mm load 500 kg\n");
    rig_answer(&r, NULL, NULL);
    const response_range range = {.from = 0.01, .to = 50.0, .points = 75, .amplitude = 0.01};
    const response_answer answer = answer_of(&r, NULL, range);
    const response_curve *const c = &answer.curve[0];
    cr_assert(isnan(c->half_frequency) && isnan(c->loss_frequency) && isnan(c->soft_frequency));
    for (int k = 0; k < range.points; k++)
        CHECK_REL(c->row[k].storage, c->settled, 1e-12, "one volume");
    rig_close(&r);
}

Test(response, warming_air_is_lossy_but_neither_half_way_nor_a_trough) {
    rig r = rig_open("gas thermal 2 s\nprofile p area 117 cm2 volume 2.1 L at 150 mm\n"
                     "spring s profile p height 150 mm load 500 kg\n");
    rig_answer(&r, NULL, NULL);
    const response_range range = {.from = 0.001, .to = 50.0, .points = 501, .amplitude = 0.01};
    const response_answer answer = answer_of(&r, NULL, range);
    const response_curve *const c = &answer.curve[0];
    cr_assert(isnan(c->half_frequency) && isnan(c->soft_frequency));
    /* Im n(jw) is largest at w tau = 1. */
    CHECK_REL(c->loss_frequency, 1.0 / (two_pi * 2.0), 0.02, "n(jw)");
    CHECK_REL(c->row[0].storage, c->settled / 1.4, 1e-3, "slow air is isothermal");
    rig_close(&r);
}

/* A trough is found where the column of a hose swings against spring and tank, also where slower
   things go on below. */
static void check_trough(const char *gas_words, const char *leak) {
    rig r = rig_open("gas %s\nprofile p area 117 cm2 volume 2.1 L at 150 mm\n"
                     "spring s profile p height 150 mm load 500 kg rubber 3 N/mm\n"
                     "tank can volume 5 L\nhose x from s to can bore 12 mm length 1.9 m\n"
                     "tank far volume 9 L pressure 4.1 bar\n%s",
                     gas_words, leak);
    rig_answer(&r, NULL, NULL);
    const response_range range = {.from = 0.003, .to = 50.0, .points = 301, .amplitude = 0.0005};
    const response_answer answer = answer_of(&r, NULL, range);
    const response_curve *const c = &answer.curve[0];
    double least = HUGE_VAL, at = 0.0;
    for (int k = 0; k < range.points; k++)
        if (c->row[k].frequency > 1.0 && c->row[k].storage < least) {
            least = c->row[k].storage;
            at = c->row[k].frequency;
        }
    cr_assert_eq(c->soft_frequency, at, "%s: %g Hz, not %g Hz", gas_words, c->soft_frequency, at);
    cr_assert_lt(least, 0.9 * c->settled);
    /* Where the curves end before it, still falling, it is not known. */
    const response_range below = {
        .from = 0.5 * at, .to = 0.95 * at, .points = 31, .amplitude = 0.0005};
    const response_answer cut = answer_of(&r, NULL, below);
    cr_assert_lt(cut.curve[0].row[30].storage, cut.curve[0].row[29].storage);
    cr_assert(isnan(cut.curve[0].soft_frequency));
    rig_close(&r);
}

Test(response, finds_where_the_air_of_a_hose_swings) {
    static const char *const leak =
        "solenoid v from s to far normally closed bore 5 mm bypass 0.4 mm\n";
    check_trough("adiabatic", "");
    check_trough("thermal 3 s", "");
    check_trough("adiabatic", leak);
    check_trough("thermal 3 s", leak);
}

Test(response, the_body_answers_most_near_its_ride_frequency) {
    /* Little damping, so that the peak is near; tyres in series. */
    rig r =
        rig_open("gas adiabatic\n"
                 "corner L at 0 m 0.8 m load 520 kg unsprung 40 kg tyre 200 N/mm damper 90 N.s/m\n"
                 "corner R at 0 m -0.8 m load 520 kg unsprung 40 kg tyre 200 N/mm damper 90 N.s/m\n"
                 "profile p area 117 cm2 volume 2.1 L at 150 mm\n"
                 "spring a on L ratio 1 profile p height 150 mm\n"
                 "spring b on R ratio 1 profile p height 150 mm\n"
                 "motion left L 1\n");
    const rates_answer *const solved = rig_answer(&r, NULL, NULL);
    const response_range range = {.from = 0.1, .to = 20.0, .points = 400, .amplitude = 0.01};
    const response_answer answer = answer_of(&r, NULL, range);
    for (int k = 0; k < 2; k++)
        CHECK_REL(answer.curve[k].road_frequency, solved->level[LEVEL_SETTLED].body_frequency[k],
                  0.03, "resonance");
    for (int k = 2; k < answer.curves; k++)
        cr_assert(isnan(answer.curve[k].road_frequency), "%s", answer.curve[k].course->name);
    rig_close(&r);
}

Test(response, says_when_a_swing_passes_below_vacuum) {
    rig r = open_maxwell(1.0, "isothermal");
    response_range range = {.from = 0.1, .to = 20.0, .points = 4, .amplitude = 0.1};
    cr_assert_not(answer_of(&r, NULL, range).curve[0].account.below_vacuum);
    range.amplitude = 0.5;
    cr_assert(answer_of(&r, NULL, range).curve[0].account.below_vacuum);
    rig_close(&r);
}

Test(response, refuses_what_it_does_not_know_and_too_much) {
    rig r = open_maxwell(1.0, "isothermal");
    response_answer answer;
    response_range range = {.from = 0.1, .to = 20.0, .points = 3, .amplitude = 0.01};
    cr_assert_eq(response_solve(&answer, r.arena, r.rates, "twist", range, NULL),
                 BARONET_NO_SUCH_NAME);
    cr_assert_eq(response_solve(&answer, r.arena, r.rates, "heave", range, NULL),
                 BARONET_NO_SUCH_NAME, "a mass on a bench does not heave");
    range.points = RESPONSE_POINTS_MOST + 1;
    cr_assert_eq(response_solve(&answer, r.arena, r.rates, NULL, range, NULL), BARONET_TOO_MANY);
    range.points = 1;
    cr_assert_eq(answer_of(&r, NULL, range).curve[0].row[0].frequency, range.from);
    range.points = RESPONSE_POINTS_MOST;
    range.amplitude = 0.0;
    cr_assert_eq(answer_of(&r, NULL, range).curve[0].row[range.points - 1].frequency, range.to);
    rig_close(&r);
}

Test(response, refuses_cleanly_when_memory_ends) {
    rig r = rig_open_file("netlists/trailer.air");
    rig_answer(&r, "linked", NULL);
    const response_range range = {.from = 0.1, .to = 20.0, .points = 3, .amplitude = 0.01};
    failing f = {.failed = true};
    for (size_t k = 1; f.failed; k++) {
        const baronet_allocator *const memory = failing_start(&f, k);
        arena *const a = arena_create(memory);
        response_answer answer;
        const baronet_status status = a != NULL
                                          ? response_solve(&answer, a, r.rates, NULL, range, memory)
                                          : BARONET_OUT_OF_MEMORY;
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
        arena_destroy(a);
        cr_assert_eq(f.live, 0, "request %zu: blocks are left", k);
    }
    cr_assert_gt(f.calls, 10);
    rig_close(&r);
}
