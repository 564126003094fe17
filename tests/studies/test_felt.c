/* SPDX-License-Identifier: MIT */
#include "studies/felt.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "studies/airnet.h"
#include "studies/course.h"
#include "studies/demos.h"
#include "studies/fleet.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */
static const double two_pi = 6.283185307179586;

/* A solved state with its own network beside the one that felt_solve makes, and a shape to swing.
 */
typedef struct ride {
    rig *rig;
    const rates_answer *answer;
    airnet *net;
    arena *arena;
    course_list courses;
    double *shape;   /* corners */
    double *storage; /* N/m, corners x corners: of the last swing */
    double amplitude;
} ride;

static double *take(arena *a, int count) {
    double *const taken = ARENA_ARRAY(a, double, count);
    cr_assert(taken != NULL);
    return taken;
}

static ride ride_open(rig *r, double amplitude) {
    const int corners = r->model->vehicle.corners;
    ride f = {.rig = r, .answer = rates_result(r->rates), .arena = arena_create(NULL)};
    f.amplitude = amplitude;
    cr_assert(f.arena != NULL);
    cr_assert_eq(felt_solve(r->rates, amplitude, NULL), BARONET_OK);
    cr_assert(f.answer->level[LEVEL_RIDE].given && !f.answer->felt.swing.unsettled);
    cr_assert_eq(course_all(&f.courses, f.arena, r->rates), BARONET_OK);
    cr_assert_eq(airnet_create(&f.net, r->rates, rates_open(r->rates), 50.0, NULL), BARONET_OK);
    f.shape = take(f.arena, corners);
    f.storage = take(f.arena, corners * corners);
    return f;
}

static void ride_close(ride *f) {
    airnet_destroy(f->net);
    arena_destroy(f->arena);
}

/* Swings the shape, and keeps the storage part of K; returns that of the shape. */
static double swing(ride *f, double frequency) {
    const int corners = f->rig->model->vehicle.corners;
    double *const K = malloc(2 * (size_t)(corners * corners) * sizeof *K);
    airnet_answer answer;
    cr_assert(K != NULL);
    cr_assert_eq(airnet_swing(f->net, f->shape, f->amplitude, frequency, &answer), BARONET_OK);
    cr_assert_eq(airnet_matrix(f->net, frequency, K), BARONET_OK);
    for (int i = 0; i < corners * corners; i++)
        f->storage[i] = K[2 * i];
    free(K);
    return answer.storage;
}

/* Body rate v'K_t v with each tyre in series: forces and travels of the wheels are found with the
   tyres as springs to ground, by elimination, u + K u/k = v. */
static double with_tyres(const ride *f, const double *v) {
    const vehicle *const on = &f->rig->model->vehicle;
    const int n = on->wheels;
    double a[8][9], u[8], sum = 0.0;
    cr_assert(n <= 8);
    for (int i = 0; i < n; i++) {
        const double k = on->corner[i].tyre;
        for (int j = 0; j < n; j++)
            a[i][j] = (i == j) + (k > 0.0 ? f->storage[i * on->corners + j] / k : 0.0);
        a[i][n] = v[i];
    }
    for (int i = 0; i < n; i++)
        for (int j = i + 1; j < n; j++) {
            const double part = a[j][i] / a[i][i];
            for (int c = i; c <= n; c++)
                a[j][c] -= part * a[i][c];
        }
    for (int i = n - 1; i >= 0; i--) {
        u[i] = a[i][n];
        for (int j = i + 1; j < n; j++)
            u[i] -= a[i][j] * u[j];
        u[i] /= a[i][i];
    }
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++)
            sum += v[i] * f->storage[i * on->corners + j] * u[j];
    return sum;
}

/* Wheel travels of a body motion, not scaled. */
static void body_travel(const ride *f, body_motion k, double *v) {
    const vehicle *const on = &f->rig->model->vehicle;
    const body_mass *const mass = &f->answer->settled.mass;
    for (int c = 0; c < on->wheels; c++) {
        const double of[BODY_MOTIONS] = {1.0, on->corner[c].y - mass->y, on->corner[c].x - mass->x};
        v[c] = of[k];
    }
}

static double body_frequency(const ride *f, body_motion k, double rate) {
    const body_mass *const mass = &f->answer->settled.mass;
    const double inertia[BODY_MOTIONS] = {
        mass->mass, mass->roll_inertia + mass->mass * mass->arm * mass->arm, mass->pitch_inertia};
    return sqrt((rate - (k == MOTION_ROLL ? mass->mass * g * mass->arm : 0.0)) / inertia[k]) /
           two_pi;
}

/* At the frequency that is given for a motion, the network gives the rate and that frequency. */
static void check_bodies(ride *f) {
    const level_rates *const felt = &f->answer->level[LEVEL_RIDE];
    const int corners = f->rig->model->vehicle.corners;
    double *const v = take(f->arena, corners);
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (!f->answer->has[k]) {
            cr_assert(isnan(felt->body_rate[k]) && isnan(felt->body_frequency[k]));
            continue;
        }
        rates_body_shape(f->rig->rates, (body_motion)k, f->shape);
        body_travel(f, (body_motion)k, v);
        const double storage = swing(f, felt->body_frequency[k]);
        double square = 0.0;
        for (int c = 0; c < corners; c++)
            square += v[c] * v[c];
        CHECK_REL(felt->body_rate[k], storage * square, 1e-5, "storage at its own frequency");
        const double tyres = with_tyres(f, v);
        CHECK_REL(felt->body_rate_tyres[k], tyres, 1e-5, "tyres in series");
        CHECK_REL(felt->body_frequency[k], body_frequency(f, (body_motion)k, tyres), 3e-6,
                  "the frequency is its own");
        for (int i = 0; i < corners * corners && k == MOTION_HEAVE; i++)
            CHECK_ABS(felt->stiffness[i], f->storage[i], 1e-5 * fabs(f->storage[0]), "heave's");
    }
}

static double corner_mass(const ride *f, int c) {
    return (f->answer->settled.load[c] - f->rig->model->vehicle.corner[c].unsprung * g) / g;
}

static void check_corner(ride *f, int c) {
    const level_rates *const felt = &f->answer->level[LEVEL_RIDE];
    const vehicle *const on = &f->rig->model->vehicle;
    const bool bench = on->corner[c].bench;
    for (int d = 0; d < on->corners; d++)
        f->shape[d] = bench ? d == c : d < on->wheels;
    const double frequency = felt->ride_frequency[c], tyre = on->corner[c].tyre;
    double rate = 0.0;
    swing(f, frequency);
    for (int d = 0; d < on->corners; d++)
        rate += f->storage[c * on->corners + d] * f->shape[d];
    CHECK_REL(felt->wheel_rate[c], rate, 1e-5, on->corner[c].name);
    const double ride_rate = tyre > 0.0 ? 1.0 / (1.0 / rate + 1.0 / tyre) : rate;
    CHECK_REL(felt->ride_rate[c], ride_rate, 1e-5, on->corner[c].name);
    /* On wheels the standing load is not quite what hangs on the wheel once bars have moved it. */
    const double mass = rates_task(f->rig->rates)->sprung[c] / g;
    if (bench)
        CHECK_REL(mass, corner_mass(f, c), 1e-9, "statics");
    CHECK_REL(frequency, sqrt(ride_rate / mass) / two_pi, 3e-6, on->corner[c].name);
    memset(f->shape, 0, (size_t)on->corners * sizeof *f->shape);
    f->shape[c] = 1.0;
    CHECK_REL(felt->one_wheel_rate[c], swing(f, frequency), 1e-5, on->corner[c].name);
    for (int i = 0; i < on->springs; i++) {
        double own = 0.0;
        if (on->spring[i].lever[0].corner != c)
            continue;
        cr_assert_eq(airnet_spring_rate(f->net, i, frequency, &own), BARONET_OK);
        CHECK_REL(felt->spring_rate[i], own, 1e-5, on->spring[i].name);
    }
}

/* Frequency of the corners' sprung masses moving by the shape, each tyre in series with its wheel's
   share of the stiffness. */
static double shape_frequency(const ride *f) {
    const vehicle *const on = &f->rig->model->vehicle;
    double stiff = 0.0, mass = 0.0;
    for (int c = 0; c < on->corners; c++) {
        double own = 0.0;
        for (int d = 0; d < on->corners && f->shape[c] != 0.0; d++)
            own += f->storage[c * on->corners + d] * f->shape[d] / f->shape[c];
        const double k = on->corner[c].tyre;
        stiff += (k > 0.0 && own > 0.0 ? own * k / (own + k) : own) * f->shape[c] * f->shape[c];
        mass += rates_task(f->rig->rates)->sprung[c] / g * f->shape[c] * f->shape[c];
    }
    return sqrt(stiff / mass) / two_pi;
}

/* The rate at the shape's own frequency, by bisection between what is slow and what is quick. */
static double bisect(ride *f) {
    double low = 0.05, high = 30.0;
    for (int k = 0; k < 34; k++) {
        const double middle = sqrt(low * high);
        swing(f, middle);
        if (shape_frequency(f) > middle)
            low = middle;
        else
            high = middle;
    }
    return swing(f, low);
}

static void check_shapes(ride *f) {
    const level_rates *const felt = &f->answer->level[LEVEL_RIDE];
    const int corners = f->rig->model->vehicle.corners;
    for (int k = 0; k < f->answer->warps; k++) {
        rates_warp_shape(f->rig->rates, k, f->shape);
        CHECK_REL(felt->warp_rate[k], bisect(f), 1e-5, "a warp's own frequency");
    }
    for (int k = 0; k < f->rig->model->motions; k++) {
        const motion *const own = &f->rig->model->motion[k];
        memcpy(f->shape, own->travel, (size_t)corners * sizeof *f->shape);
        CHECK_REL(felt->motion_rate[k], bisect(f), 1e-5, own->name);
    }
}

static void check_figures(rig *r, const char *state) {
    (void)state;
    ride f = ride_open(r, 0.008);
    CHECK_REL(f.answer->felt.amplitude, 0.008, 0.0, "as asked");
    check_bodies(&f);
    for (int c = 0; c < r->model->vehicle.corners; c++)
        check_corner(&f, c);
    check_shapes(&f);
    ride_close(&f);
}

Test(felt, each_figure_is_the_storage_at_its_own_frequency) {
    demos_each(check_figures);
}

Test(felt, so_it_is_on_six_wheels_on_beam_axles_and_on_a_bench) {
    fleet_each(check_figures);
}

Test(felt, so_it_is_where_a_bench_is_joined_to_a_vehicle) {
    rig r = rig_open("vehicle cg-height 0.8 m roll-axis 0.2 m\n"
                     "corner L at 0 m 0.8 m load 520 kg unsprung 40 kg tyre 200 N/mm\n"
                     "corner R at 0 m -0.78 m load 480 kg unsprung 40 kg tyre 210 N/mm\n"
                     "bar hold between L R roll 300 N.m/deg\n"
                     "profile p volume 2.1 L at 160 mm\n  height mm area cm2\n  90 150\n  160 141\n"
                     "  230 137\n"
                     "spring a on L ratio 0.9 profile p height 160 mm\n"
                     "spring b on R ratio 0.88 profile p height 158 mm\n"
                     "spring stand profile p height 163 mm load 4700 N rubber 4 N/mm\n"
                     "tank can volume 3 L\nhose x from a to can bore 6 mm length 0.5 m\n"
                     "restrictor y from stand to can bore 3 mm\n"
                     "motion lift L 1 R 0.3\n");
    rig_answer(&r, NULL, NULL);
    check_figures(&r, NULL);
    rig_close(&r);
}

/* Where all paths are plain resistances, what is felt lies between settled and instant. */
static void check_between(rig *r, const char *state) {
    ride f = ride_open(r, 0.01);
    const level_rates *const instant = &f.answer->level[LEVEL_INSTANT];
    const level_rates *const settled = &f.answer->level[LEVEL_SETTLED];
    const level_rates *const felt = &f.answer->level[LEVEL_RIDE];
    for (int k = 0; k < BODY_MOTIONS; k++)
        if (f.answer->has[k])
            cr_assert(felt->body_rate[k] >= settled->body_rate[k] * (1.0 - 1e-9) &&
                          felt->body_rate[k] <= instant->body_rate[k] * (1.0 + 1e-9),
                      "%s", state);
    for (int c = 0; c < r->model->vehicle.corners; c++)
        cr_assert(felt->one_wheel_rate[c] >= settled->one_wheel_rate[c] * (1.0 - 1e-9) &&
                      felt->one_wheel_rate[c] <= instant->one_wheel_rate[c] * (1.0 + 1e-9),
                  "%s", state);
    ride_close(&f);
}

Test(felt, lies_between_settled_and_instant_where_nothing_swings) {
    rig r = rig_open_file("netlists/rear.air");
    for (int k = 0; k < r.model->states; k++) {
        rig_answer(&r, r.model->state[k].name, NULL);
        check_between(&r, r.model->state[k].name);
    }
    rig_close(&r);
    r = twin_open(&fleet_quarter);
    rig_answer(&r, "soft", NULL);
    check_between(&r, "soft");
    rig_close(&r);
}

/* Four wheels whose springs share their air through holes. Their area grows with height, which
   pushes a wheel on; bars from corner to corner across hold roll and pitch, and nothing holds the
   warp once the air has evened out. */
static double warp_through(const char *bore, const rates_answer **answer, rig *r) {
    *r = rig_open("gas adiabatic\n"
                  "corner FL at 1.3 m 0.8 m load 3900 N\ncorner FR at 1.3 m -0.8 m load 3900 N\n"
                  "corner RL at -1.3 m 0.8 m load 3900 N\ncorner RR at -1.3 m -0.8 m load 3900 N\n"
                  "bar one between FL RR roll 2000 N.m/deg\n"
                  "bar two between RL FR roll 2000 N.m/deg\n"
                  "profile p volume 2 L at 150 mm\n  height mm area cm2\n  100 98\n  200 102\n"
                  "spring fl on FL ratio 1 profile p height 150 mm\n"
                  "spring fr on FR ratio 1 profile p height 150 mm\n"
                  "spring rl on RL ratio 1 profile p height 150 mm\n"
                  "spring rr on RR ratio 1 profile p height 150 mm\n"
                  "tee middle\nrestrictor a from fl to middle bore %s\n"
                  "restrictor b from fr to middle bore %s\nrestrictor c from rl to middle bore %s\n"
                  "restrictor d from rr to middle bore %s\n",
                  bore, bore, bore, bore);
    *answer = rig_answer(r, NULL, NULL);
    cr_assert_eq((*answer)->warps, 1);
    cr_assert_lt((*answer)->level[LEVEL_SETTLED].warp_rate[0], 0.0);
    const baronet_status status = felt_solve(r->rates, 0.01, NULL);
    cr_assert_eq(status, BARONET_OK, "%s: %s", bore, baronet_status_text(status));
    cr_assert_not((*answer)->felt.swing.unsettled);
    return (*answer)->level[LEVEL_RIDE].warp_rate[0];
}

Test(felt, a_motion_that_nothing_holds_has_no_figure) {
    rig r;
    const rates_answer *answer;
    cr_assert(isnan(warp_through("20 mm", &answer, &r)));
    cr_assert_not(isnan(answer->level[LEVEL_RIDE].body_rate[MOTION_HEAVE]));
    rig_close(&r);
    /* Through needles the air has no time: the warp is held as instantly. */
    const double held = warp_through("0.3 mm", &answer, &r);
    CHECK_REL(held, answer->level[LEVEL_INSTANT].warp_rate[0], 1e-3, "needles");
    rig_close(&r);
}

Test(felt, finds_the_frequency_where_the_air_in_a_hose_swings_near_it) {
    /* A column so long that it swings about as quickly as the mass: there the rate falls so steeply
       with frequency that repeated substitution goes to and fro for ever. */
    rig r = rig_open("gas adiabatic\nprofile p area 117 cm2 volume 2.1 L at 150 mm\n"
                     "spring s profile p height 150 mm load 500 kg\n"
                     "tank t volume 16 L\nhose x from s to t bore 9 mm length 38 m\n");
    rig_answer(&r, NULL, NULL);
    ride f = ride_open(&r, 0.0016);
    check_corner(&f, 0);
    cr_assert_lt(f.answer->level[LEVEL_RIDE].wheel_rate[0],
                 f.answer->level[LEVEL_SETTLED].wheel_rate[0]);
    ride_close(&f);
    rig_close(&r);
}

/* Wheel rate felt on a bench with a tank behind a path. */
static double felt_through(const char *path, const rates_answer **answer, rig *r) {
    *r = rig_open("gas adiabatic\nprofile p volume 2.1 L at 160 mm\n  height mm area cm2\n"
                  "  90 124\n  160 117\n  230 114\n"
                  "spring s profile p height 160 mm load 620 kg\ntank can volume 4 L\n"
                  "%s\n",
                  path);
    *answer = rig_answer(r, r->model->states > 1 ? "shut" : NULL, NULL);
    cr_assert_eq(felt_solve(r->rates, 0.01, NULL), BARONET_OK);
    return (*answer)->level[LEVEL_RIDE].spring_rate[0];
}

/* Part of the way from instant to settled. */
static double in_play(const char *path) {
    rig r;
    const rates_answer *answer;
    const double felt = felt_through(path, &answer, &r);
    const double instant = answer->level[LEVEL_INSTANT].spring_rate[0];
    const double settled = answer->level[LEVEL_SETTLED].spring_rate[0];
    rig_close(&r);
    return (instant - felt) / (instant - settled);
}

Test(felt, a_wider_hose_puts_more_of_a_tank_in_play) {
    /* Common practice, no source; so is each bore's verdict. */
    static const char *const hoses[] = {"hose x from s to can bore 3 mm length 0.6 m",
                                        "hose x from s to can bore 4 mm length 0.6 m",
                                        "hose x from s to can bore 5 mm length 0.6 m",
                                        "hose x from s to can bore 6 mm length 0.6 m"};
    double before = 0.0;
    for (size_t k = 0; k < sizeof hoses / sizeof *hoses; k++) {
        const double part = in_play(hoses[k]);
        cr_assert_gt(part, before, "%s: %g", hoses[k], part);
        before = part;
    }
    cr_assert_lt(in_play(hoses[0]), 0.5, "a thin hose leaves most of the tank out");
    cr_assert_gt(before, 0.97, "through 6 mm it is all there");
    /* The air swings rather than being held back in a hose that is wider still. */
    cr_assert_gt(in_play("hose x from s to can bore 12 mm length 0.6 m"), 0.97);
}

Test(felt, a_narrow_fitting_softens_too_but_less) {
    const double narrow = in_play("restrictor x from s to can bore 2 mm");
    const double wide = in_play("restrictor x from s to can bore 6 mm");
    cr_assert(narrow > 0.01 && narrow < 0.5 && wide > 0.9, "%g, %g", narrow, wide);
}

Test(felt, a_shut_valve_that_leaks_a_little_is_slow_not_absent) {
    rig r;
    const rates_answer *answer;
    const double felt =
        felt_through("solenoid v from s to can normally closed bore 9 mm bypass 0.3 mm\n"
                     "state open open v\nstate shut shut v\ncharge in open",
                     &answer, &r);
    /* At ride frequency it is as good as tight; over minutes the tank is there. */
    CHECK_REL(felt, answer->level[LEVEL_INSTANT].spring_rate[0], 1e-3, "tight in a bump");
    airnet *net;
    airnet_answer slow;
    const double shape = 1.0;
    cr_assert_eq(airnet_create(&net, r.rates, rates_open(r.rates), 1.0, NULL), BARONET_OK);
    cr_assert_eq(airnet_swing(net, &shape, 0.01, 1e-5, &slow), BARONET_OK);
    cr_assert_lt(slow.storage, 0.5 * felt);
    airnet_destroy(net);
    rig_close(&r);
}

Test(felt, refuses_cleanly_when_memory_ends) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    failing f = {.failed = true};
    for (size_t k = 1; f.failed; k++) {
        const baronet_status status = felt_solve(r.rates, 0.01, failing_start(&f, k));
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
        cr_assert_eq(rates_result(r.rates)->level[LEVEL_RIDE].given, !f.failed);
        cr_assert_eq(f.live, 0, "request %zu: blocks are left", k);
    }
    cr_assert_gt(f.calls, 5);
    rig_close(&r);
}
