/* dynamics_see.c: what a state of the motion looks like: travels, heights, pressures, forces.
   SPDX-License-Identifier: MIT */
#include <math.h>
#include <string.h>

#include "model/valve.h"
#include "studies/dynamics.h"

bool dynamics_is_held(const dynamics *m, int node_index) {
    return node_is_held(&m->model->network.node[node_index]);
}

double dynamics_air(const dynamics *m, const double *y, int node_index) {
    return m->first_mass[node_index] + y[m->mass_row[node_index]];
}

static double energy_of(const dynamics *m, const double *y, int node_index) {
    return m->first_energy[node_index] + y[m->energy_row[node_index]];
}

static void see_travels(dynamics *m, double t, const double *y) {
    const vehicle *v = &m->model->vehicle;
    forcing_road(&m->forcing, t, m->road, m->road_speed);
    for (int c = 0; c < v->corners; c++) {
        if (m->held) {
            m->road[c] = m->forcing.base[c];
            m->road_speed[c] = 0.0;
        }
        const bool rigid = m->corner_position[c] < 0 || v->corner[c].bench;
        m->travel[c] = rigid ? m->road[c] : 0.0;
        m->speed[c] = rigid ? m->road_speed[c] : 0.0;
        for (int k = 0; k < m->carriers[c]; k++) {
            const reach *r = &m->carrier[c * DYNAMICS_CARRIERS + k];
            m->travel[c] += r->ratio * y[m->first_position + r->position];
            m->speed[c] += r->ratio * y[m->first_speed + r->position];
        }
    }
}

/* Heights, and of each spring the point of its profile for a pressure of 1 Pa: what does not depend
   on pressure, and what does in proportion. */
static void see_heights(dynamics *m) {
    const vehicle *v = &m->model->vehicle;
    for (int i = 0; i < v->springs; i++) {
        const spring *s = &v->spring[i];
        m->height[i] = m->design->height[i];
        m->height_speed[i] = 0.0;
        for (int k = 0; k < s->levers; k++) {
            m->height[i] -= s->lever[k].ratio * m->travel[s->lever[k].corner];
            m->height_speed[i] -= s->lever[k].ratio * m->speed[s->lever[k].corner];
        }
        m->point[i] = profile_at(&v->profile[s->profile], m->height[i], 1.0);
    }
}

static void see_held(dynamics *m, int i, double T) {
    const node *n = &m->model->network.node[i];
    const double around = m->model->ambient.pressure;
    m->pressure[i] = n->kind == NODE_ATMOSPHERE || m->lost[i] ? around : n->pressure;
    m->temperature[i] = T;
}

static bool see_air(dynamics *m, double t, const double *y) {
    const network *net = &m->model->network;
    const double surroundings = ramp_at(&m->forcing.temperature, t);
    bool sound = surroundings > 0.0;
    for (int i = 0; i < net->nodes; i++) {
        if (dynamics_is_held(m, i)) {
            see_held(m, i, surroundings);
            continue;
        }
        const node *n = &net->node[i];
        const double V = m->fixed[i] + (n->kind == NODE_SPRING ? m->point[n->item].volume : 0.0);
        const double mass = dynamics_air(m, y, i);
        m->volume[i] = V;
        if (m->energy) {
            const double U = energy_of(m, y, i);
            m->pressure[i] = (m->gamma - 1.0) * U / V;
            m->temperature[i] = U / (mass * m->c_v);
        } else {
            m->temperature[i] = surroundings;
            m->pressure[i] = mass * GAS_CONSTANT * surroundings / V;
        }
        sound = sound && V > 0.0 && mass > 0.0 && m->pressure[i] > 0.0;
    }
    return sound;
}

/* A spring pushes and never pulls: below ambient its bag is slack. */
static void see_loads(dynamics *m) {
    const vehicle *v = &m->model->vehicle;
    for (int i = 0; i < v->springs; i++) {
        const spring *s = &v->spring[i];
        const profile *shape = &v->profile[s->profile];
        profile_point *at = &m->point[i];
        const double P = m->pressure[s->node] - m->model->ambient.pressure;
        if (P <= 0.0) {
            at->load = at->load_pressure = at->load_height = 0.0;
        } else if (shape->tests > 0) {
            *at = profile_at(shape, m->height[i], P);
        } else {
            at->load *= P;
            at->load_height *= P;
        }
        m->load[i] = at->load + s->rubber * (m->design->height[i] - m->height[i]);
    }
}

/* What the links of an axle add to its wheels in a bend: the body's mass on it, at the height of
   the roll axis, and the wheels' own masses at theirs. The rest goes through springs and bars. */
static void see_links(dynamics *m, double t) {
    const vehicle *v = &m->model->vehicle;
    const double lateral = ramp_at(&m->forcing.lateral, t);
    memset(m->link, 0, (size_t)v->corners * sizeof *m->link);
    if (lateral == 0.0 || !v->body.roll_axis_given) {
        return;
    }
    for (int k = 0; k < v->axles; k++) {
        double couple = 0.0, middle = 0.0, square = 0.0;
        for (int c = 0; c < v->wheels; c++) {
            if (v->corner[c].axle == k) {
                couple += m->sprung[c] / STANDARD_GRAVITY * v->body.roll_axis +
                          v->corner[c].unsprung * VEHICLE_WHEEL_CENTRE;
                middle += v->corner[c].y / v->axle[k].corners;
            }
        }
        for (int c = 0; c < v->wheels; c++) {
            const double y = v->corner[c].y - middle;
            square += v->corner[c].axle == k ? y * y : 0.0;
        }
        for (int c = 0; c < v->wheels && square > VEHICLE_SAME_PLACE; c++) {
            if (v->corner[c].axle == k) {
                m->link[c] = -couple * lateral * (v->corner[c].y - middle) / square;
            }
        }
    }
}

static void see_ground(dynamics *m, const double *y, int c) {
    const corner *one = &m->model->vehicle.corner[c];
    const double weight = one->unsprung * STANDARD_GRAVITY;
    if (m->corner_position[c] < 0 || one->bench) {
        m->ground[c] = m->contact[c] = m->force[c] + weight + m->link[c];
    } else {
        const double w = y[m->first_position + m->corner_position[c]];
        m->contact[c] = m->design->sprung[c] + weight - one->tyre * (w - m->road[c]);
        m->ground[c] = fmax(m->contact[c], 0.0);
    }
}

static void see_forces(dynamics *m, double t, const double *y) {
    const vehicle *v = &m->model->vehicle;
    for (int c = 0; c < v->corners; c++) {
        m->force[c] = m->design->carries[c] + corner_steel_force(&v->corner[c], m->travel[c]) +
                      v->corner[c].damper * m->speed[c];
    }
    vehicle_add_bars(v, m->travel, m->force);
    vehicle_add_springs(v, m->load, m->force);
    see_links(m, t);
    for (int c = 0; c < v->corners; c++) {
        see_ground(m, y, c);
    }
}

bool dynamics_see(dynamics *m, double t, const double *y) {
    see_travels(m, t, y);
    see_heights(m);
    if (!see_air(m, t, y)) {
        return false;
    }
    see_loads(m);
    see_forces(m, t, y);
    return true;
}

double dynamics_margin(const dynamics *m, int spring_index) {
    const spring *s = &m->model->vehicle.spring[spring_index];
    const profile *shape = &m->model->vehicle.profile[s->profile];
    const double h = m->height[spring_index];
    const double P = m->pressure[s->node] - m->model->ambient.pressure;
    const double millimetre = 1e-3, least = 0.05; /* part of the smallest volume of the table */
    const bool piston = shape->rows == 0;         /* or of its volume at the design height */
    const double inside = fmin(h - shape->lowest, shape->highest - h) / millimetre;
    const double flat = (DYNAMICS_FLAT - P) / DYNAMICS_FLAT;
    const double usual = piston ? m->design->height[spring_index] : shape->lowest;
    const double left =
        m->point[spring_index].volume / profile_at(shape, usual, 1.0).volume - least;
    return piston ? left : fmin(fmax(inside, flat), left);
}

flow dynamics_hole_flow(const dynamics *m, const dynamics_hole *hole) {
    const law l = {.kind = LAW_BORE,
                   .bore = hole->bore,
                   .discharge = LAW_DEFAULT_DISCHARGE,
                   .zone = DYNAMICS_ZONE * m->highest};
    const flow_side from = {m->pressure[hole->node], m->temperature[hole->node]};
    /* Node 0 is the atmosphere. */
    return flow_at(&l, from, (flow_side){m->pressure[0], m->temperature[0]});
}

double dynamics_flow(const dynamics *m, const double *y, int edge_index) {
    const edge *e = &m->edge[edge_index];
    if (m->flow_row[edge_index] >= 0) {
        return 0.5 * (y[m->flow_row[edge_index]] + y[m->flow_row[edge_index] + 1]);
    }
    const flow_side from = {m->pressure[e->from], m->temperature[e->from]};
    const flow_side to = {m->pressure[e->to], m->temperature[e->to]};
    return valve_flow(e, e->solenoid >= 0 && m->open[e->solenoid], from, to,
                      m->model->ambient.pressure)
        .mass;
}
