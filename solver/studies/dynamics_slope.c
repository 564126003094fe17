/* dynamics_slope.c: how the changes of a state depend on it: the Jacobian of dynamics_rate.c, entry
   by entry. Entries are listed in one fixed order, as places while the pattern is made and as
   values afterwards, so that the two cannot disagree.
   SPDX-License-Identifier: MIT */
#include <math.h>
#include <string.h>

#include "model/momentum.h"
#include "model/valve.h"
#include "studies/dynamics.h"

/* How pressure and temperature of a node go with one unknown. */
typedef struct column {
    int unknown;
    double pressure, temperature;
} column;

/* Calls for the k-th unknown that a node's pressure depends on: mass, energy, then the positions
   that change a spring's volume. A held node has none. */
static int columns_of(const dynamics *m, int node_index) {
    if (dynamics_is_held(m, node_index)) {
        return 0;
    }
    const node *n = &m->model->network.node[node_index];
    const int moving =
        n->kind == NODE_SPRING ? m->reach_start[n->item + 1] - m->reach_start[n->item] : 0;
    return (m->energy ? 2 : 1) + moving;
}

static column column_of(const dynamics *m, const double *y, int node_index, int k) {
    const double p = m->pressure[node_index], T = m->temperature[node_index];
    const double mass = dynamics_air(m, y, node_index);
    if (k == 0) {
        return (column){m->mass_row[node_index], m->energy ? 0.0 : p / mass,
                        m->energy ? -T / mass : 0.0};
    }
    if (k == 1 && m->energy) {
        return (column){m->energy_row[node_index], (m->gamma - 1.0) / m->volume[node_index],
                        1.0 / (mass * m->c_v)};
    }
    const int i = m->model->network.node[node_index].item;
    const reach *r = &m->reach[m->reach_start[i] + k - (m->energy ? 2 : 1)];
    return (column){m->first_position + r->position,
                    -p / m->volume[node_index] * m->point[i].breathing * r->ratio, 0.0};
}

/* A flow of mass and of energy from one node to another changes with an unknown. */
static void put_pass(const dynamics *m, pattern_writer *w, int from, int to, int unknown,
                     double mass, double energy) {
    pattern_put(w, m->mass_row[from], unknown, -mass);
    pattern_put(w, m->mass_row[to], unknown, mass);
    if (m->energy) {
        pattern_put(w, m->energy_row[from], unknown, -energy);
        pattern_put(w, m->energy_row[to], unknown, energy);
    }
}

/* `by_T`: change of the flow with the temperature of the side that it comes from. */
static void put_flow(const dynamics *m, const double *y, pattern_writer *w, int from, int to,
                     flow q, double by_T) {
    const int up = q.mass >= 0.0 ? from : to;
    const double T = m->temperature[up];
    const int ends[2] = {from, to};
    for (int end = 0; end < 2; end++) {
        const double by_p = end == 0 ? q.by_first : q.by_second;
        for (int k = 0; k < columns_of(m, ends[end]); k++) {
            const column c = column_of(m, y, ends[end], k);
            const double warmer = ends[end] == up ? c.temperature : 0.0;
            const double dq = by_p * c.pressure + by_T * warmer;
            put_pass(m, w, from, to, c.unknown, dq, m->c_p * (T * dq + q.mass * warmer));
        }
    }
}

/* One half of a hose: its own flow is an unknown, which carries the heat of where it comes from and
   is pushed by both ends. */
static void put_hose_half(const dynamics *m, const double *y, pattern_writer *w, const law *half,
                          int row, int from, int to) {
    const double q = y[row];
    const int up = q >= 0.0 ? from : to;
    const push p = momentum_at(half, q, (flow_side){m->pressure[from], m->temperature[from]},
                               (flow_side){m->pressure[to], m->temperature[to]});
    pattern_put(w, row, row, p.by_flow);
    put_pass(m, w, from, to, row, 1.0, m->c_p * m->temperature[up]);
    const int ends[2] = {from, to};
    for (int end = 0; end < 2; end++) {
        const double by_p = end == 0 ? p.by_first : p.by_second;
        for (int k = 0; k < columns_of(m, ends[end]); k++) {
            const column c = column_of(m, y, ends[end], k);
            const double warmer = ends[end] == up ? c.temperature : 0.0;
            pattern_put(w, row, c.unknown, by_p * c.pressure + p.by_temperature * warmer);
            if (m->energy) {
                pattern_put(w, m->energy_row[from], c.unknown, -m->c_p * q * warmer);
                pattern_put(w, m->energy_row[to], c.unknown, m->c_p * q * warmer);
            }
        }
    }
}

/* All laws of restrictors go with 1/sqrt(T) upstream; a compressor's flow does not. */
static double by_temperature(const dynamics *m, const edge *e, flow q) {
    const double T = m->temperature[q.mass >= 0.0 ? e->from : e->to];
    return e->kind == EDGE_COMPRESSOR ? 0.0 : -0.5 * q.mass / T;
}

static void put_paths(const dynamics *m, const double *y, pattern_writer *w) {
    for (int i = 0; i < m->model->network.edges; i++) {
        const edge *e = &m->edge[i];
        const int row = m->flow_row[i];
        if (row >= 0) {
            put_hose_half(m, y, w, &m->half[i], row, e->from, e->air);
            put_hose_half(m, y, w, &m->half[i], row + 1, e->air, e->to);
            for (int k = 0; k < 4; k++) {
                pattern_put(w, row + k / 2, row + k % 2, k / 2 == k % 2 ? -m->ring[i] : m->ring[i]);
            }
            continue;
        }
        const bool open = e->solenoid >= 0 && m->open[e->solenoid];
        const flow q = valve_flow(
            e, open, (flow_side){m->pressure[e->from], m->temperature[e->from]},
            (flow_side){m->pressure[e->to], m->temperature[e->to]}, m->model->ambient.pressure);
        put_flow(m, y, w, e->from, e->to, q, by_temperature(m, e, q));
    }
    for (int k = 0; k < m->holes; k++) {
        const dynamics_hole *hole = &m->hole[k];
        const flow q = hole->open ? dynamics_hole_flow(m, hole) : (flow){0};
        const double T = m->temperature[q.mass >= 0.0 ? hole->node : 0];
        put_flow(m, y, w, hole->node, 0, q, -0.5 * q.mass / T);
    }
}

/* Heat is (m c_v T_wall - U)/tau. */
static void put_heat(const dynamics *m, double t, pattern_writer *w) {
    const double rate = 1.0 / m->model->gas.tau;
    const double wall = ramp_at(&m->forcing.temperature, t);
    for (int i = 0; i < m->model->network.nodes && m->heat; i++) {
        if (!dynamics_is_held(m, i)) {
            const int rows[2] = {m->energy_row[i], m->heat_row};
            for (int k = 0; k < 2; k++) {
                pattern_put(w, rows[k], m->mass_row[i], rate * m->c_v * wall);
                pattern_put(w, rows[k], m->energy_row[i], -rate);
            }
        }
    }
}

/* Work is p B dh/dt; how B goes with h is a difference of the profile's. */
static void put_work(const dynamics *m, const double *y, pattern_writer *w, int i) {
    const spring *s = &m->model->vehicle.spring[i];
    const profile *shape = &m->model->vehicle.profile[s->profile];
    const double B = m->point[i].breathing, p = m->pressure[s->node];
    const double step = 1e-6; /* m */
    const double bend = (profile_at(shape, m->height[i] + step, 1.0).breathing -
                         profile_at(shape, m->height[i] - step, 1.0).breathing) /
                        (2.0 * step);
    const int rows[2] = {m->energy_row[s->node], m->work_row};
    for (int side = 0; side < 2; side++) {
        const double sign = side == 0 ? -1.0 : 1.0;
        for (int k = 0; k < columns_of(m, s->node); k++) {
            const column c = column_of(m, y, s->node, k);
            pattern_put(w, rows[side], c.unknown, sign * c.pressure * B * m->height_speed[i]);
        }
        for (int k = m->reach_start[i]; k < m->reach_start[i + 1]; k++) {
            const reach *r = &m->reach[k];
            pattern_put(w, rows[side], m->first_position + r->position,
                        sign * p * bend * r->ratio * m->height_speed[i]);
            pattern_put(w, rows[side], m->first_speed + r->position, sign * p * B * r->ratio);
        }
    }
}

/* A stiffness and a damping between the travels of two corners. */
static void put_pair(const dynamics *m, pattern_writer *w, int a, int b, double rate,
                     double damper) {
    for (int i = 0; i < m->carriers[a]; i++) {
        const reach *p = &m->carrier[a * DYNAMICS_CARRIERS + i];
        const double part = m->held ? 0.0 : -p->ratio / m->inertia[p->position];
        for (int k = 0; k < m->carriers[b]; k++) {
            const reach *q = &m->carrier[b * DYNAMICS_CARRIERS + k];
            pattern_put(w, m->first_speed + p->position, m->first_position + q->position,
                        part * rate * q->ratio);
            pattern_put(w, m->first_speed + p->position, m->first_speed + q->position,
                        part * damper * q->ratio);
        }
    }
}

static void put_spring(const dynamics *m, const double *y, pattern_writer *w, int i) {
    const spring *s = &m->model->vehicle.spring[i];
    const profile_point *at = &m->point[i];
    for (int j = m->reach_start[i]; j < m->reach_start[i + 1]; j++) {
        const reach *a = &m->reach[j];
        const int row = m->first_speed + a->position;
        const double part = m->held ? 0.0 : a->ratio / m->inertia[a->position];
        for (int k = m->reach_start[i]; k < m->reach_start[i + 1]; k++) {
            const reach *b = &m->reach[k];
            pattern_put(w, row, m->first_position + b->position,
                        part * (at->load_height - s->rubber) * b->ratio);
        }
        for (int k = 0; k < columns_of(m, s->node); k++) {
            const column c = column_of(m, y, s->node, k);
            pattern_put(w, row, c.unknown, part * at->load_pressure * c.pressure);
        }
    }
}

static void put_motion(const dynamics *m, const double *y, pattern_writer *w) {
    const vehicle *v = &m->model->vehicle;
    for (int k = 0; k < m->positions; k++) {
        pattern_put(w, m->first_position + k, m->first_speed + k, m->held ? 0.0 : 1.0);
    }
    for (int c = 0; c < v->corners; c++) {
        const corner *one = &v->corner[c];
        put_pair(m, w, c, c, corner_steel_rate(one, m->travel[c]), one->damper);
        const int own = m->corner_position[c];
        if (own >= 0) {
            const bool stands = !m->held && !one->bench && m->ground[c] > 0.0;
            pattern_put(w, m->first_speed + own, m->first_position + own,
                        stands ? -one->tyre / m->inertia[own] : 0.0);
        }
    }
    for (int i = 0; i < v->bars; i++) {
        const bar *one = &v->bar[i];
        const double k = vehicle_bar_rate(v, one);
        put_pair(m, w, one->left, one->left, k, 0.0);
        put_pair(m, w, one->right, one->right, k, 0.0);
        put_pair(m, w, one->left, one->right, -k, 0.0);
        put_pair(m, w, one->right, one->left, -k, 0.0);
    }
    for (int i = 0; i < v->springs; i++) {
        put_spring(m, y, w, i);
    }
    const int roll = m->body_position[MOTION_ROLL];
    if (roll >= 0) {
        pattern_put(w, m->first_speed + roll, m->first_position + roll,
                    m->held ? 0.0
                            : m->mass.mass * m->mass.arm * STANDARD_GRAVITY / m->inertia[roll]);
    }
}

static void put_all(const dynamics *m, double t, const double *y, pattern_writer *w) {
    for (int i = 0; i < m->size; i++) {
        pattern_put(w, i, i, 0.0);
    }
    put_paths(m, y, w);
    if (m->energy) {
        put_heat(m, t, w);
        for (int i = 0; i < m->model->vehicle.springs; i++) {
            put_work(m, y, w, i);
        }
    }
    put_motion(m, y, w);
}

void dynamics_slope(void *context, double t, const double *y, double *values) {
    dynamics *m = context;
    pattern_writer w = {.slot = m->pattern.slot, .values = values};
    if (dynamics_see(m, t, y)) {
        put_all(m, t, y, &w);
    }
}

typedef struct listing {
    const dynamics *dynamics;
    const double *y;
} listing;

static void list_places(void *context, pattern_writer *w) {
    const listing *from = context;
    put_all(from->dynamics, 0.0, from->y, w);
}

baronet_status dynamics_make_pattern(dynamics *m) {
    double *y = memory_resize(m->allocator, NULL, (size_t)m->size * sizeof *y);
    if (y == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    memset(y, 0, (size_t)m->size * sizeof *y);
    dynamics_see(m, 0.0, y);
    listing from = {m, y};
    const baronet_status status =
        pattern_list(&m->pattern, m->allocator, m->size, list_places, &from);
    memory_resize(m->allocator, y, 0);
    return status;
}
