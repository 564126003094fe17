/* SPDX-License-Identifier: MIT */
#include "studies/forcing.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"

double ramp_at(const ramp *r, double t) {
    return r->from + r->slope * (t - r->start);
}

static ramp standing_at(double t, double value) {
    return (ramp){.start = t, .from = value, .end = HUGE_VAL, .target = value};
}

baronet_status forcing_make(forcing *out, arena *a, int corners, int bumps, double temperature) {
    *out = (forcing){.lateral = standing_at(0.0, 0.0),
                     .braking = standing_at(0.0, 0.0),
                     .temperature = standing_at(0.0, temperature),
                     .corners = corners,
                     .base = ARENA_ARRAY(a, double, corners),
                     .room = bumps,
                     .bump = ARENA_ARRAY(a, bump, bumps)};
    return out->base != NULL && out->bump != NULL ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

void forcing_ramp(ramp *r, double t, double target, double over) {
    const double now = ramp_at(r, t);
    *r = over > FORCING_LEAST ? (ramp){t, now, (target - now) / over, t + over, target}
                              : standing_at(t, target);
}

void forcing_bump(forcing *f, bump one) {
    if (f->bumps < f->room && one.over > FORCING_LEAST) {
        f->bump[f->bumps++] = one;
    }
}

double forcing_next(const forcing *f, double after) {
    const ramp *const ramps[] = {&f->lateral, &f->braking, &f->temperature};
    double next = HUGE_VAL;
    for (int k = 0; k < 3; k++) {
        next = ramps[k]->end > after ? fmin(next, ramps[k]->end) : next;
    }
    for (int k = 0; k < f->bumps; k++) {
        const double end = f->bump[k].start + f->bump[k].over;
        next = end > after ? fmin(next, end) : next;
    }
    return next;
}

void forcing_pass(forcing *f, double t) {
    ramp *const ramps[] = {&f->lateral, &f->braking, &f->temperature};
    for (int k = 0; k < 3; k++) {
        if (ramps[k]->end <= t) {
            *ramps[k] = standing_at(t, ramps[k]->target);
        }
    }
    int left = 0;
    for (int k = 0; k < f->bumps; k++) {
        if (f->bump[k].start + f->bump[k].over > t) {
            f->bump[left++] = f->bump[k];
        }
    }
    f->bumps = left;
}

void forcing_road(const forcing *f, double t, double *height, double *speed) {
    memcpy(height, f->base, (size_t)f->corners * sizeof *height);
    memset(speed, 0, (size_t)f->corners * sizeof *speed);
    for (int k = 0; k < f->bumps; k++) {
        const bump *b = &f->bump[k];
        const double omega = TWO_PI / b->over, phase = omega * (t - b->start);
        height[b->corner] += 0.5 * b->height * (1.0 - cos(phase));
        speed[b->corner] += 0.5 * b->height * omega * sin(phase);
    }
}
