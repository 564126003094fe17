/* dynamics_rate.c: how a state of the motion changes in time.
   SPDX-License-Identifier: MIT */
#include <math.h>
#include <string.h>

#include "model/momentum.h"
#include "model/valve.h"
#include "studies/dynamics.h"

static flow_side side_of(const dynamics *m, int node_index) {
    return (flow_side){m->pressure[node_index], m->temperature[node_index]};
}

/* Moves air from one node to another with the heat content of where it comes from. */
static void pass(const dynamics *m, int from, int to, double q, double *dydt) {
    dydt[m->mass_row[from]] -= q;
    dydt[m->mass_row[to]] += q;
    if (m->energy) {
        const double h = q * m->c_p * m->temperature[q >= 0.0 ? from : to];
        dydt[m->energy_row[from]] -= h;
        dydt[m->energy_row[to]] += h;
    }
}

static void add_paths(const dynamics *m, const double *y, double *dydt) {
    for (int i = 0; i < m->model->network.edges; i++) {
        const edge *e = &m->edge[i];
        const int row = m->flow_row[i];
        if (row < 0) {
            const bool open = e->solenoid >= 0 && m->open[e->solenoid];
            pass(m, e->from, e->to,
                 valve_flow(e, open, side_of(m, e->from), side_of(m, e->to),
                            m->model->ambient.pressure)
                     .mass,
                 dydt);
            continue;
        }
        pass(m, e->from, e->air, y[row], dydt);
        pass(m, e->air, e->to, y[row + 1], dydt);
        const double ring = m->ring[i] * (y[row] - y[row + 1]);
        dydt[row] =
            momentum_at(&m->half[i], y[row], side_of(m, e->from), side_of(m, e->air)).value - ring;
        dydt[row + 1] =
            momentum_at(&m->half[i], y[row + 1], side_of(m, e->air), side_of(m, e->to)).value +
            ring;
    }
    for (int k = 0; k < m->holes; k++) {
        if (m->hole[k].open) {
            pass(m, m->hole[k].node, 0, dynamics_hole_flow(m, &m->hole[k]).mass, dydt);
        }
    }
}

/* Heat from the walls, and the work that springs do as they grow. */
static void add_heat(const dynamics *m, double t, const double *y, double *dydt) {
    const double wall = ramp_at(&m->forcing.temperature, t);
    for (int i = 0; i < m->model->network.nodes && m->heat; i++) {
        if (!dynamics_is_held(m, i)) {
            const double warmth = dynamics_air(m, y, i) * m->c_v * (wall - m->temperature[i]);
            dydt[m->energy_row[i]] += warmth / m->model->gas.tau;
            dydt[m->heat_row] += warmth / m->model->gas.tau;
        }
    }
    for (int i = 0; i < m->model->vehicle.springs; i++) {
        const int own = m->model->vehicle.spring[i].node;
        const double work = m->pressure[own] * m->point[i].breathing * m->height_speed[i];
        dydt[m->energy_row[own]] -= work;
        dydt[m->work_row] += work;
    }
}

/* Per m/s2 of braking, about the ground: the body at its height and the wheels' own masses at
   theirs. */
static double pitch_couple(const dynamics *m) {
    const vehicle *v = &m->model->vehicle;
    double couple = m->mass.mass * v->body.cg_height;
    for (int c = 0; c < v->wheels && v->body.cg_height_given; c++) {
        couple += v->corner[c].unsprung * VEHICLE_WHEEL_CENTRE;
    }
    return couple;
}

/* Newton's law along each position: weights, tyres, accelerations, then the suspension. */
static void add_forces(const dynamics *m, double t, const double *y, double *dydt) {
    const vehicle *v = &m->model->vehicle;
    double *force = dydt + m->first_speed;
    const double *const at = y + m->first_position;
    const int heave = m->body_position[MOTION_HEAVE];
    const int roll = m->body_position[MOTION_ROLL];
    const int pitch = m->body_position[MOTION_PITCH];
    if (heave >= 0) {
        force[heave] -= m->mass.mass * STANDARD_GRAVITY;
    }
    if (roll >= 0) {
        force[roll] += m->mass.mass * m->mass.arm *
                       (STANDARD_GRAVITY * at[roll] + ramp_at(&m->forcing.lateral, t));
    }
    if (pitch >= 0) {
        force[pitch] += pitch_couple(m) * ramp_at(&m->forcing.braking, t);
    }
    for (int c = 0; c < v->corners; c++) {
        const int own = m->corner_position[c];
        if (own >= 0 && v->corner[c].bench) {
            force[own] -= m->sprung[c];
        } else if (own >= 0) {
            force[own] += m->ground[c] - v->corner[c].unsprung * STANDARD_GRAVITY - m->link[c];
        }
        for (int k = 0; k < m->carriers[c]; k++) {
            const reach *r = &m->carrier[c * DYNAMICS_CARRIERS + k];
            force[r->position] -= r->ratio * m->force[c];
        }
    }
}

static void add_motion(const dynamics *m, double t, const double *y, double *dydt) {
    if (m->held) {
        return;
    }
    add_forces(m, t, y, dydt);
    for (int k = 0; k < m->positions; k++) {
        dydt[m->first_position + k] = y[m->first_speed + k];
        dydt[m->first_speed + k] /= m->inertia[k];
    }
}

bool dynamics_rate(void *context, double t, const double *y, double *dydt) {
    dynamics *m = context;
    if (!dynamics_see(m, t, y)) {
        return false;
    }
    memset(dydt, 0, (size_t)m->size * sizeof *dydt);
    add_paths(m, y, dydt);
    if (m->energy) {
        add_heat(m, t, y, dydt);
    }
    add_motion(m, t, y, dydt);
    return true;
}
