/* truth.c: see truth.h.
   SPDX-License-Identifier: MIT */
#include "studies/truth.h"

#include <math.h>

#include "model/flow.h"

static const double pi = 3.14159265358979323846;
static const double R = 287.053072047065; /* J/(kg K) */

/* m and U of each volume, then the flows into and out of the hose; m of isothermal air is all. */
enum { SPRING, HOSE, TANK, VOLUMES };
typedef struct moment {
    double m[VOLUMES], U[VOLUMES], q[2];
} moment;

static flow_side side_of(const truth *t, const moment *now, int k, double volume) {
    if (t->gamma == 1.0)
        return (flow_side){now->m[k] * R * t->temperature / volume, t->temperature};
    const double p = (t->gamma - 1.0) * now->U[k] / volume;
    return (flow_side){p, p * volume / (now->m[k] * R)};
}

/* Pressure difference that a half of the hose takes for a flow, by Newton's method. */
static double drop_of(const truth *t, double q, flow_side at) {
    const law half = flow_hose_part(&t->law, 0.5);
    double drop = 0.0;
    for (int k = 0; k < 30; k++) {
        const flow_side up = {at.pressure + 0.5 * drop, at.temperature};
        const flow_side down = {at.pressure - 0.5 * drop, at.temperature};
        const flow f = flow_at(&half, up, down);
        const double step = (q - f.mass) / (0.5 * (f.by_first - f.by_second));
        drop += step;
        if (fabs(step) < 1e-9 * fabs(drop) + 1e-9)
            break;
    }
    return drop;
}

static void pass(const truth *t, moment *rate, int from, int to, double q, const flow_side *sides) {
    const double T = sides[q > 0.0 ? from : to].temperature;
    const double c_p = t->gamma > 1.0 ? t->gamma / (t->gamma - 1.0) * R : 0.0;
    rate->m[from] -= q;
    rate->m[to] += q;
    rate->U[from] -= q * c_p * T;
    rate->U[to] += q * c_p * T;
}

static moment rate_at(const truth *t, const moment *now, double time) {
    const double volume = t->spring - t->A * t->amplitude * sin(t->omega * time);
    const double swept = t->A * t->amplitude * t->omega * cos(t->omega * time);
    flow_side sides[VOLUMES] = {
        [SPRING] = side_of(t, now, SPRING, volume), [TANK] = side_of(t, now, TANK, t->tank)};
    moment rate = {.U = {sides[SPRING].pressure * swept}};
    if (t->hose == 0.0) {
        pass(t, &rate, SPRING, TANK, flow_at(&t->law, sides[SPRING], sides[TANK]).mass, sides);
        return rate;
    }
    sides[HOSE] = side_of(t, now, HOSE, t->hose);
    for (int k = 0; k < 2; k++) {
        const double driving = sides[k].pressure - sides[k + 1].pressure;
        pass(t, &rate, k, k + 1, now->q[k], sides);
        rate.q[k] = (driving - drop_of(t, now->q[k], sides[HOSE])) / t->inertance;
    }
    return rate;
}

static moment moved(const moment *from, const moment *rate, double by) {
    moment to = *from;
    for (int k = 0; k < VOLUMES; k++) {
        to.m[k] += by * rate->m[k];
        to.U[k] += by * rate->U[k];
    }
    to.q[0] += by * rate->q[0];
    to.q[1] += by * rate->q[1];
    return to;
}

/* Runge and Kutta's fourth-order step. */
static moment step_on(const truth *t, const moment *now, double time, double step) {
    const moment a = rate_at(t, now, time);
    const moment at_a = moved(now, &a, 0.5 * step);
    const moment b = rate_at(t, &at_a, time + 0.5 * step);
    const moment at_b = moved(now, &b, 0.5 * step);
    const moment c = rate_at(t, &at_b, time + 0.5 * step);
    const moment at_c = moved(now, &c, step);
    const moment d = rate_at(t, &at_c, time + step);
    moment next = moved(now, &a, step / 6.0);
    next = moved(&next, &b, step / 3.0);
    next = moved(&next, &c, step / 3.0);
    return moved(&next, &d, step / 6.0);
}

void truth_force(const truth *t, double p, double force[2]) {
    enum { STEPS = 3000, CYCLES = 5 };
    const double volumes[VOLUMES] = {t->spring, t->hose, t->tank};
    moment now = {.q = {0.0, 0.0}};
    for (int k = 0; k < VOLUMES; k++) {
        now.m[k] = p * volumes[k] / (R * t->temperature);
        now.U[k] = p * volumes[k] / (t->gamma > 1.0 ? t->gamma - 1.0 : 1.0);
    }
    const double step = 2.0 * pi / t->omega / STEPS;
    double sine = 0.0, cosine = 0.0;
    for (int i = 0; i < CYCLES * STEPS; i++) {
        const double angle = t->omega * i * step;
        const double volume = t->spring - t->A * t->amplitude * sin(angle);
        if (i >= (CYCLES - 1) * STEPS) {
            sine += side_of(t, &now, SPRING, volume).pressure * sin(angle);
            cosine += side_of(t, &now, SPRING, volume).pressure * cos(angle);
        }
        now = step_on(t, &now, i * step, step);
    }
    force[0] = 2.0 * t->A * sine / STEPS / t->amplitude;
    force[1] = 2.0 * t->A * cosine / STEPS / t->amplitude;
}
