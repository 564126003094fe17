#include "model/vehicle.h"

#include <math.h>

#include "model/gas.h"

body_freedom vehicle_freedom(const vehicle *v) {
    double lowest = HUGE_VAL;
    double highest = -HUGE_VAL;
    for (int i = 0; i < v->wheels; i++) {
        lowest = fmin(lowest, v->corner[i].y);
        highest = fmax(highest, v->corner[i].y);
    }
    body_freedom f = {.heave = v->wheels > 0,
                      .roll = highest - lowest > VEHICLE_SAME_PLACE,
                      .pitch = v->axles > 1};
    f.count = f.heave + f.roll + f.pitch;
    return f;
}

body_mass vehicle_mass(const vehicle *v, const double *sprung_load) {
    double load = 0.0, load_x = 0.0, load_y = 0.0;
    for (int i = 0; i < v->wheels; i++) {
        load += sprung_load[i];
        load_x += sprung_load[i] * v->corner[i].x;
        load_y += sprung_load[i] * v->corner[i].y;
    }
    body_mass m = {.mass = load / STANDARD_GRAVITY};
    if (load > 0.0) {
        m.x = load_x / load;
        m.y = load_y / load;
    }
    double roll = 0.0, pitch = 0.0;
    for (int i = 0; i < v->wheels; i++) {
        const double mass = sprung_load[i] / STANDARD_GRAVITY;
        const double y = v->corner[i].y - m.y;
        const double x = v->corner[i].x - m.x;
        roll += mass * y * y;
        pitch += mass * x * x;
    }
    m.roll_estimated = v->body.roll_inertia <= 0.0;
    m.pitch_estimated = v->body.pitch_inertia <= 0.0;
    m.roll_inertia = m.roll_estimated ? roll : v->body.roll_inertia;
    m.pitch_inertia = m.pitch_estimated ? pitch : v->body.pitch_inertia;
    if (v->body.cg_height_given && v->body.roll_axis_given) {
        m.arm = v->body.cg_height - v->body.roll_axis;
    }
    return m;
}

double corner_steel_force(const corner *c, double travel) {
    double force = c->coil * travel;
    if (travel > c->bump_at) {
        force += c->bump_rate * (travel - c->bump_at);
    }
    if (-travel > c->rebound_at) {
        force += c->rebound_rate * (travel + c->rebound_at);
    }
    return force;
}

double corner_steel_rate(const corner *c, double travel) {
    return c->coil + (travel > c->bump_at ? c->bump_rate : 0.0) +
           (-travel > c->rebound_at ? c->rebound_rate : 0.0);
}

double vehicle_bar_rate(const vehicle *v, const bar *b) {
    const double track = v->corner[b->left].y - v->corner[b->right].y;
    return b->roll / (track * track);
}

void vehicle_add_bars(const vehicle *v, const double *travel, double *force) {
    for (int i = 0; i < v->bars; i++) {
        const bar *b = &v->bar[i];
        const double lift = vehicle_bar_rate(v, b) * (travel[b->left] - travel[b->right]);
        force[b->left] += lift;
        force[b->right] -= lift;
    }
}

void vehicle_add_springs(const vehicle *v, const double *load, double *force) {
    for (int i = 0; i < v->springs; i++) {
        for (int k = 0; k < v->spring[i].levers; k++) {
            const lever *l = &v->spring[i].lever[k];
            force[l->corner] += l->ratio * load[i];
        }
    }
}

double spring_compression(const spring *s, const double *travel) {
    double sum = 0.0;
    for (int k = 0; k < s->levers; k++) {
        sum += s->lever[k].ratio * travel[s->lever[k].corner];
    }
    return sum;
}
