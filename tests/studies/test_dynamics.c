/* Tests of the dynamics' files: the Jacobian against differences, and whole runs against an
   explicit integrator with equations of the tests' own. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "studies/demos.h"
#include "studies/play.h"
#include "support.h"

/* A state away from rest: air, flows, positions and speeds each off by a part of their size. */
static void disturb(const dynamics *m, double *y, unsigned long long *seed) {
    for (int i = 0; i < m->size; i++) {
        y[i] += (random_unit(seed) - 0.5) * 4000.0 * m->absolute[i];
    }
}

/* How many entries of a column are wrong. An entry is compared with the largest of its row, as
   rows differ by many orders of magnitude. */
static int wrong_in_column(dynamics *m, double *y, int j, const double *values, const double *size,
                           double *up, double *down) {
    const double at = y[j], step = 1e-2 * m->absolute[j];
    int wrong = 0;
    y[j] = at + step;
    const bool sound = dynamics_rate(m, 0.0, y, up);
    y[j] = at - step;
    const bool also = dynamics_rate(m, 0.0, y, down);
    y[j] = at;
    cr_assert(sound && also);
    for (int row = 0; row < m->size; row++) {
        double own = 0.0;
        for (int k = m->pattern.start[j]; k < m->pattern.start[j + 1]; k++) {
            own += m->pattern.row[k] == row ? values[k] : 0.0;
        }
        const double difference = (up[row] - down[row]) / (2.0 * step);
        const double rounding = 1e-13 * (fabs(up[row]) + 1.0) / step;
        const double near = 2e-3 * fabs(difference) + 1e-6 * size[row] / m->absolute[j] + rounding;
        if (fabs(own - difference) > near) {
            wrong++;
        }
    }
    return wrong;
}

static void check_slopes(rig *r, const char *state) {
    dynamics *m = NULL;
    const dynamics_setup setup = {0};
    cr_assert_eq(dynamics_create(&m, r->rates, &setup, NULL), BARONET_OK);
    const size_t n = (size_t)m->size;
    double *y = calloc(4 * n, sizeof *y);
    double *values = calloc((size_t)m->pattern.entries, sizeof *values);
    cr_assert(y != NULL && values != NULL);
    double *size = y + n, *up = y + 2 * n, *down = y + 3 * n;
    unsigned long long seed = 7919;
    int wrong = 0;
    dynamics_start(m, r->rates, y);
    disturb(m, y, &seed);
    cr_assert(dynamics_see(m, 0.0, y));
    dynamics_slope(m, 0.0, y, values);
    for (int j = 0; j < m->size; j++) {
        for (int k = m->pattern.start[j]; k < m->pattern.start[j + 1]; k++) {
            const int row = m->pattern.row[k];
            size[row] = fmax(size[row], fabs(values[k]) * m->absolute[j]);
        }
    }
    for (int j = 0; j < m->size; j++) {
        wrong += wrong_in_column(m, y, j, values, size, up, down);
    }
    cr_expect_leq(wrong, 0, "%s: %d entries of %d", state, wrong, m->pattern.entries);
    free(values);
    free(y);
    dynamics_destroy(m);
}

Test(dynamics, slopes_are_those_of_the_rates) {
    demos_each(check_slopes);
}

/* Below: the classical fourth-order rule of Runge and Kutta with a small fixed step. */
typedef void rates_of(void *context, double t, const double *y, double *dydt);

static void advance(rates_of *f, void *context, int n, double t, double h, double *y) {
    double k[4][16], z[16];
    cr_assert_leq(n, 16);
    for (int stage = 0; stage < 4; stage++) {
        const double part = stage == 0 ? 0.0 : stage == 3 ? h : 0.5 * h;
        for (int i = 0; i < n; i++) {
            z[i] = y[i] + (stage > 0 ? part * k[stage - 1][i] : 0.0);
        }
        f(context, t + part, z, k[stage]);
    }
    for (int i = 0; i < n; i++) {
        y[i] += h / 6.0 * (k[0][i] + 2.0 * k[1][i] + 2.0 * k[2][i] + k[3][i]);
    }
}

static const double R = 287.053072047065, c_v = 2.5 * 287.053072047065,
                    c_p = 3.5 * 287.053072047065;

/* Saint-Venant and Wantzel, in the form of pressure ratios. */
static double nozzle(double area, double p_1, double T_1, double p_2) {
    const double r = fmax(p_2 / p_1, pow(2.0 / 2.4, 3.5));
    return area * p_1 / sqrt(R * T_1) * sqrt(7.0 * (pow(r, 2.0 / 1.4) - pow(r, 2.4 / 1.4)));
}

static double through(double area, double p_1, double T_1, double p_2, double T_2) {
    return p_1 >= p_2 ? nozzle(area, p_1, T_1, p_2) : -nozzle(area, p_2, T_2, p_1);
}

/* A mass on a piston of air with heat from the wall, and a tank behind a hole. y: height, speed,
   mass and energy of both. */
typedef struct mass_on_air {
    double mass, area, volume, height, tank, hole, tau, wall, around;
} mass_on_air;

static void mass_on_air_rates(void *context, double t, const double *y, double *dydt) {
    const mass_on_air *b = context;
    (void)t;
    const double V = b->volume + b->area * (y[0] - b->height);
    const double p = 0.4 * y[3] / V, q_p = 0.4 * y[5] / b->tank;
    const double T = y[3] / (y[2] * c_v), T_2 = y[5] / (y[4] * c_v);
    const double q = through(b->hole, p, T, q_p, T_2);
    const double h = q * c_p * (q > 0.0 ? T : T_2);
    dydt[0] = y[1];
    dydt[1] = ((p - b->around) * b->area) / b->mass - 9.80665;
    dydt[2] = -q;
    dydt[3] = -h - p * b->area * y[1] + y[2] * c_v * (b->wall - T) / b->tau;
    dydt[4] = q;
    dydt[5] = h + y[4] * c_v * (b->wall - T_2) / b->tau;
}

Test(dynamics, a_mass_on_air_agrees_with_an_explicit_integrator) {
    rig r =
        rig_open("ambient pressure 98 kPa temperature 17 C\ngas thermal 3.1 s\n"
                 "profile p area 83 cm2 volume 1.72 L at 161 mm\n"
                 "spring s load 437 kg profile p height 161 mm\n"
                 "tank t volume 2.9 L\nsolenoid v from s to t normally open bore 5.3 mm cd 0.71\n"
                 "event e at 0.1 s load s 61 kg until 2.1 s\n");
    const play_settings fine = {.tolerance = 1e-6};
    play_answer *a = rig_play(&r, &r.model->script[0], &fine);
    mass_on_air b = {.mass = 437.0 + 61.0,
                     .area = 83e-4,
                     .volume = 1.72e-3,
                     .height = 0.161,
                     .tank = 2.9e-3,
                     .tau = 3.1,
                     .wall = 290.15,
                     .around = 98e3};
    b.hole = 0.71 * 0.25 * 3.14159265358979323846 * 5.3e-3 * 5.3e-3;
    const double p = 98e3 + 437.0 * 9.80665 / b.area;
    double y[6] = {b.height,
                   0.0,
                   p * b.volume / (R * b.wall),
                   p * b.volume / 0.4,
                   p * b.tank / (R * b.wall),
                   p * b.tank / 0.4};
    const double h = 2e-5;
    double lowest = y[0];
    for (int k = 0; k < 100000; k++) {
        advance(mass_on_air_rates, &b, 6, k * h, h, y);
        lowest = fmin(lowest, y[0]);
    }
    const channel *height = record_find(a->record, CHANNEL_HEIGHT, 0);
    CHECK_ABS(height->lowest, lowest, 2e-5, "Runge and Kutta with equations of its own");
    CHECK_ABS(height->end, y[0], 1e-4, "the same");
    CHECK_REL(record_find(a->record, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "t"))->end + 98e3,
              0.4 * y[5] / b.tank, 1e-3, "the same");
    play_free(a);
    rig_close(&r);
}

/* One corner over a bump: body, wheel, tyre that does not pull, damper, stop, sealed adiabatic air.
   y: rise and speed of body and wheel. */
typedef struct quarter {
    double sprung, unsprung, tyre, damper, ratio, area, volume, pressure, around;
    double bump_at, bump_rate, height, start, over;
} quarter;

static void quarter_rates(void *context, double t, const double *y, double *dydt) {
    const quarter *c = context;
    const double g = 9.80665, u = y[2] - y[0], x = c->ratio * u;
    const double p = c->pressure * pow(c->volume / (c->volume - c->area * x), 1.4);
    const double stop = u > c->bump_at ? c->bump_rate * (u - c->bump_at) : 0.0;
    const double force = c->ratio * (p - c->around) * c->area + c->damper * (y[3] - y[1]) + stop;
    const bool under = t > c->start && t < c->start + c->over;
    const double road =
        under
            ? 0.5 * c->height * (1.0 - cos(2.0 * 3.14159265358979323846 * (t - c->start) / c->over))
            : 0.0;
    const double ground = fmax((c->sprung + c->unsprung) * g - c->tyre * (y[2] - road), 0.0);
    dydt[0] = y[1];
    dydt[1] = force / c->sprung - g;
    dydt[2] = y[3];
    dydt[3] = (ground - force) / c->unsprung - g;
}

Test(dynamics, a_corner_over_a_bump_agrees_with_an_explicit_integrator) {
    rig r = rig_open("ambient pressure 101 kPa temperature 20 C\ngas adiabatic\n"
                     "profile p area 77 cm2 volume 1.3 L at 170 mm\n"
                     "corner C at 0 m 0.8 m load 561 kg unsprung 52 kg tyre 219 N/mm\n"
                     " damper 2.3 kN.s/m bump-stop at 42 mm rate 190 N/mm\n"
                     "spring s on C ratio 0.93 profile p height 170 mm\n"
                     "event e at 0.2 s bump C 83 mm over 0.13 s until 2.2 s\n");
    const play_settings fine = {.tolerance = 1e-6};
    play_answer *a = rig_play(&r, &r.model->script[0], &fine);
    quarter c = {.sprung = 509.0,
                 .unsprung = 52.0,
                 .tyre = 219e3,
                 .damper = 2300.0,
                 .ratio = 0.93,
                 .area = 77e-4,
                 .volume = 1.3e-3,
                 .around = 101e3,
                 .bump_at = 0.042,
                 .bump_rate = 190e3,
                 .height = 0.083,
                 .start = 0.2,
                 .over = 0.13};
    c.pressure = 101e3 + 509.0 * 9.80665 / (c.ratio * c.area);
    double y[4] = {0}, lowest = 0.0, highest = 0.0;
    const double h = 1e-5;
    for (int k = 0; k < 220000; k++) {
        advance(quarter_rates, &c, 4, k * h, h, y);
        lowest = fmin(lowest, c.ratio * (y[0] - y[2]));
        highest = fmax(highest, c.ratio * (y[0] - y[2]));
    }
    const channel *height = record_find(a->record, CHANNEL_HEIGHT, 0);
    CHECK_ABS(height->lowest - 0.170, lowest, 5e-5, "Runge and Kutta with equations of its own");
    CHECK_ABS(height->highest - 0.170, highest, 5e-5, "the same");
    cr_expect_eq(record_find(a->record, CHANNEL_LOAD, 0)->lowest, 0.0, "the wheel flies");
    play_free(a);
    rig_close(&r);
}

/* Four corners in a bend while braking: uneven loads, tyres, dampers, bars, sealed adiabatic air.
   y: rise, roll and pitch of the body about its centre of gravity, rises of the wheels; then
   speeds. */
enum { VAN_CORNERS = 4, VAN_PLACES = 3 + VAN_CORNERS };

typedef struct van {
    double x[VAN_CORNERS], y[VAN_CORNERS], load[VAN_CORNERS]; /* m, m, kg on a scale */
    double unsprung, tyre, damper, ratio, area, volume, around;
    double cg_height, roll_axis, roll_inertia, pitch_inertia;
    double bar[2]; /* N m/rad, front and rear */
    double lateral, braking, start, over;
} van;

static double along(double value, double start, double over, double t) {
    return value * fmin(fmax((t - start) / over, 0.0), 1.0);
}

static void van_rates(void *context, double t, const double *y, double *dydt) {
    const van *v = context;
    const double g = 9.80665, arm = v->cg_height - v->roll_axis;
    double mass = 0.0, x_g = 0.0, y_g = 0.0, sprung[VAN_CORNERS];
    for (int c = 0; c < VAN_CORNERS; c++) {
        sprung[c] = v->load[c] - v->unsprung;
        mass += sprung[c];
        x_g += sprung[c] * v->x[c];
        y_g += sprung[c] * v->y[c];
    }
    x_g /= mass;
    y_g /= mass;
    const double *speed = y + VAN_PLACES;
    double travel[VAN_CORNERS], travel_speed[VAN_CORNERS], force[VAN_CORNERS];
    for (int c = 0; c < VAN_CORNERS; c++) {
        const double right = v->y[c] - y_g, fore = v->x[c] - x_g;
        travel[c] = y[3 + c] - (y[0] + y[1] * right - y[2] * fore);
        travel_speed[c] = speed[3 + c] - (speed[0] + speed[1] * right - speed[2] * fore);
        const double p_0 = v->around + sprung[c] * g / (v->ratio * v->area);
        const double V = v->volume - v->area * v->ratio * travel[c];
        const double p = p_0 * pow(v->volume / V, 1.4);
        force[c] = v->ratio * (p - v->around) * v->area + v->damper * travel_speed[c];
    }
    for (int k = 0; k < 2; k++) {
        const double track = v->y[2 * k] - v->y[2 * k + 1];
        const double lift = v->bar[k] * (travel[2 * k] - travel[2 * k + 1]) / (track * track);
        force[2 * k] += lift;
        force[2 * k + 1] -= lift;
    }
    const double a = along(v->lateral, v->start, v->over, t);
    double up = -mass * g, roll = mass * arm * (g * y[1] + a), pitch = 0.0;
    for (int c = 0; c < VAN_CORNERS; c++) {
        const int other = c % 2 == 0 ? c + 1 : c - 1;
        /* The axle's links carry its mass times the height of the roll axis across the track, and
           its wheels' own at their centres: 0.33 m up, common practice, no source. */
        const double couple = (sprung[c] + sprung[other]) * v->roll_axis + 2.0 * v->unsprung * 0.33;
        const double link = -couple * a / (v->y[c] - v->y[other]);
        const double stands = fmax(v->load[c] * g - v->tyre * y[3 + c], 0.0);
        up += force[c];
        roll += (v->y[c] - y_g) * force[c];
        pitch -= (v->x[c] - x_g) * force[c];
        dydt[VAN_PLACES + 3 + c] = (stands - v->unsprung * g - force[c] - link) / v->unsprung;
    }
    pitch += (mass * v->cg_height + VAN_CORNERS * v->unsprung * 0.33) *
             along(v->braking, v->start, v->over, t);
    memcpy(dydt, speed, VAN_PLACES * sizeof *dydt);
    dydt[VAN_PLACES] = up / mass;
    dydt[VAN_PLACES + 1] = roll / (v->roll_inertia + mass * arm * arm);
    dydt[VAN_PLACES + 2] = pitch / v->pitch_inertia;
}

static const char *const van_text =
    "ambient pressure 101 kPa temperature 20 C\ngas adiabatic\n"
    "vehicle cg-height 0.83 m roll-axis 0.21 m roll-inertia 870 kg.m2 pitch-inertia "
    "3900 kg.m2\n"
    "profile p area 81 cm2 volume 1.6 L at 170 mm\n"
    "corner A at 1.4 m 0.81 m load 571 kg axle f unsprung 47 kg tyre 228 N/mm damper "
    "2.6 kN.s/m\n"
    "corner B at 1.4 m -0.81 m load 523 kg axle f unsprung 47 kg tyre 228 N/mm damper "
    "2.6 kN.s/m\n"
    "corner C at -1.7 m 0.79 m load 611 kg axle r unsprung 47 kg tyre 228 N/mm damper "
    "2.6 kN.s/m\n"
    "corner D at -1.7 m -0.79 m load 688 kg axle r unsprung 47 kg tyre 228 N/mm "
    "damper 2.6 kN.s/m\n"
    "bar f-bar between A B roll 610 N.m/deg\nbar r-bar between C D roll 290 N.m/deg\n"
    "spring a on A ratio 0.94 profile p height 170 mm\n"
    "spring b on B ratio 0.94 profile p height 170 mm\n"
    "spring c on C ratio 0.94 profile p height 170 mm\n"
    "spring d on D ratio 0.94 profile p height 170 mm\n"
    "event e at 0.2 s lateral 3.1 m/s2 over 0.3 s at 0.2 s braking 2.2 m/s2 over 0.3 s"
    " until 2.2 s\n";

Test(dynamics, a_van_in_a_bend_agrees_with_an_explicit_integrator) {
    rig r = rig_open("%s", van_text);
    const play_settings fine = {.tolerance = 1e-6};
    play_answer *a = rig_play(&r, &r.model->script[0], &fine);
    const double degree = 3.14159265358979323846 / 180.0;
    van v = {.x = {1.4, 1.4, -1.7, -1.7},
             .y = {0.81, -0.81, 0.79, -0.79},
             .load = {571.0, 523.0, 611.0, 688.0},
             .unsprung = 47.0,
             .tyre = 228e3,
             .damper = 2600.0,
             .ratio = 0.94,
             .area = 81e-4,
             .volume = 1.6e-3,
             .around = 101e3,
             .cg_height = 0.83,
             .roll_axis = 0.21,
             .roll_inertia = 870.0,
             .pitch_inertia = 3900.0,
             .bar = {610.0 / degree, 290.0 / degree},
             .lateral = 3.1,
             .braking = 2.2,
             .start = 0.2,
             .over = 0.3};
    double y[2 * VAN_PLACES] = {0}, roll = 0.0, pitch = 0.0;
    const double h = 2e-5;
    for (int k = 0; k < 110000; k++) {
        advance(van_rates, &v, 2 * VAN_PLACES, k * h, h, y);
        roll = fmax(roll, y[1]);
        pitch = fmax(pitch, y[2]);
    }
    const channel *rolls = record_find(a->record, CHANNEL_BODY, MOTION_ROLL);
    const channel *pitches = record_find(a->record, CHANNEL_BODY, MOTION_PITCH);
    CHECK_REL(rolls->highest, roll, 2e-4, "Runge and Kutta with equations of its own");
    CHECK_REL(pitches->highest, pitch, 2e-4, "the same");
    CHECK_REL(rolls->end, y[1], 2e-4, "the same");
    CHECK_REL(pitches->end, y[2], 2e-3, "the same");
    CHECK_ABS(record_find(a->record, CHANNEL_BODY, MOTION_HEAVE)->end, y[0], 2e-5, "the same");
    for (int c = 0; c < VAN_CORNERS; c++) {
        const double stands = v.load[c] * 9.80665 - v.tyre * y[3 + c];
        CHECK_ABS(record_find(a->record, CHANNEL_LOAD, c)->end, stands, 10.0, "the same");
    }
    play_free(a);
    rig_close(&r);
}

/* Two tanks and a hose between them, its air in the middle, in adiabatic air. y: mass and energy of
   three volumes, two flows. */
typedef struct two_tanks {
    double volume[3], bore, length, heads, rough;
} two_tanks;

static double darcy(double re, double rough) {
    const double A = pow(2.457 * log(1.0 / (pow(7.0 / re, 0.9) + 0.27 * rough)), 16.0);
    const double B = pow(37530.0 / re, 16.0);
    return 8.0 * pow(pow(8.0 / re, 12.0) + pow(A + B, -1.5), 1.0 / 12.0);
}

static void two_tanks_rates(void *context, double t, const double *y, double *dydt) {
    const two_tanks *w = context;
    (void)t;
    const double a = 0.25 * 3.14159265358979323846 * w->bore * w->bore;
    memset(dydt, 0, 8 * sizeof *dydt);
    for (int k = 0; k < 2; k++) {
        const double p_1 = 0.4 * y[2 * k + 1] / w->volume[k];
        const double p_2 = 0.4 * y[2 * k + 3] / w->volume[k + 1];
        const double q = y[6 + k], sign = q < 0.0 ? -1.0 : 1.0;
        const int up = q < 0.0 ? k + 1 : k;
        const double T = y[2 * up + 1] / (y[2 * up] * c_v);
        const double high = q < 0.0 ? p_2 : p_1, low = q < 0.0 ? p_1 : p_2;
        const double mu = 1.458e-6 * pow(T, 1.5) / (T + 110.4);
        const double re = fmax(fabs(q) * w->bore / (a * mu), 1e-3);
        const double heads = darcy(re, w->rough / w->bore) * 0.5 * w->length / w->bore +
                             0.5 * w->heads + (high > low ? 2.0 * log(high / low) : 0.0);
        const double loss = q * q * R * T / (a * a) * heads / (p_1 + p_2);
        dydt[6 + k] = a / (0.5 * w->length) * (p_1 - p_2 - sign * loss);
        dydt[2 * k] -= q;
        dydt[2 * k + 2] += q;
        dydt[2 * k + 1] -= q * c_p * T;
        dydt[2 * k + 3] += q * c_p * T;
    }
}

Test(dynamics, air_in_a_hose_swings_as_an_explicit_integrator_says) {
    rig r = rig_open("ambient pressure 100 kPa temperature 20 C\ngas adiabatic\n"
                     "tank a volume 1.7 L pressure 5 bar\ntank b volume 1.1 L pressure 4.6 bar\n"
                     "tee port\nsolenoid v from a to port normally closed bore 30 mm\n"
                     "hose h from port to b bore 13 mm length 1.9 m roughness 2 um fittings 0.4\n"
                     "state shut shut v\nevent e in shut at 0 s open v until 0.11 s\n");
    const play_settings fine = {.tolerance = 1e-7, .points = 221};
    play_answer *a = rig_play(&r, &r.model->script[0], &fine);
    two_tanks w = {.bore = 13e-3, .length = 1.9, .heads = 1.9, .rough = 2e-6};
    const double air = 0.25 * 3.14159265358979323846 * w.bore * w.bore * w.length;
    /* The port's share of the hose's air stands behind a wide valve, as good as in the tank. */
    w.volume[0] = 1.7e-3 + 0.25 * air;
    w.volume[1] = 0.75 * air;
    w.volume[2] = 1.1e-3;
    const double p[3] = {(6e5 * 1.7e-3 + 5.6e5 * 0.25 * air) / w.volume[0], 5.6e5, 5.6e5};
    double y[8] = {0};
    for (int k = 0; k < 3; k++) {
        y[2 * k] = p[k] * w.volume[k] / (R * 293.15);
        y[2 * k + 1] = p[k] * w.volume[k] / 0.4;
    }
    double highest = 0.0;
    for (int k = 0; k < 110000; k++) {
        advance(two_tanks_rates, &w, 8, 0.0, 1e-6, y);
        highest = fmax(highest, 0.4 * y[5] / w.volume[2]);
    }
    const channel *c = record_find(a->record, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "b"));
    const double swing = highest - 5.6e5;
    /* What the valve and the drag of swinging air (which the equations here leave out) take. */
    CHECK_ABS(c->highest + 1e5, highest, 0.06 * swing, "Runge and Kutta with equations of its own");
    cr_expect_gt(highest, 0.4 * y[5] / w.volume[2], "it swings over");
    play_free(a);
    rig_close(&r);
}
