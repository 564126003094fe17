/* SPDX-License-Identifier: MIT */
#include "studies/hold.h"

#include <math.h>
#include <string.h>

/* The springs' compressions a unit of a motion, and what of air is joined. */
typedef struct holder {
    const dynamics *m;
    const groups *groups;
    double *volume;  /* m3, groups; infinity where the pressure is held */
    double *push;    /* N, groups: sum of p A s, */
    double *swallow; /* m2, groups: and of B s */
} holder;

/* Which nodes are joined: a stuck valve as it is stuck, whatever its kind. */
static baronet_status find_groups(holder *h, groups *g, int stucks, const dynamics_stuck *stuck,
                                  arena *a) {
    const dynamics *m = h->m;
    network net = m->model->network;
    edge *own = ARENA_ARRAY(a, edge, net.edges);
    if (own == NULL || groups_make(g, a, &net) != BARONET_OK) {
        return BARONET_OUT_OF_MEMORY;
    }
    memcpy(own, m->edge, (size_t)net.edges * sizeof *own);
    for (int k = 0; k < stucks; k++) {
        edge *e = &own[stuck[k].edge];
        const bool open = stuck[k].kind == STUCK_OPEN && e->kind != EDGE_COMPRESSOR;
        e->kind = open ? EDGE_RESTRICTOR : EDGE_CHECK_VALVE; /* which joins nothing */
    }
    net.edge = own;
    groups_find(g, &net, m->open, false, m->model->ambient.pressure);
    h->groups = g;
    return BARONET_OK;
}

static bool add_volumes(holder *h, arena *a) {
    const dynamics *m = h->m;
    const groups *g = h->groups;
    h->volume = ARENA_ARRAY(a, double, g->count);
    h->push = ARENA_ARRAY(a, double, g->count);
    h->swallow = ARENA_ARRAY(a, double, g->count);
    if (!arena_complete(a)) {
        return false;
    }
    for (int i = 0; i < m->model->network.nodes; i++) {
        h->volume[g->of_node[i]] += dynamics_is_held(m, i) ? (double)HUGE_VAL : m->volume[i];
    }
    for (int k = 0; k < m->holes; k++) {
        if (m->hole[k].open) {
            h->volume[g->of_node[m->hole[k].node]] = (double)HUGE_VAL;
        }
    }
    return true;
}

/* How far a spring is compressed by a unit of heave or roll of the body, its wheels held. */
static double squeeze_of(const dynamics *m, const spring *s, body_motion k) {
    double squeeze = 0.0;
    for (int j = 0; j < s->levers && !s->bench; j++) {
        const corner *c = &m->model->vehicle.corner[s->lever[j].corner];
        squeeze += s->lever[j].ratio * (k == MOTION_HEAVE ? 1.0 : c->y - m->mass.y);
    }
    return squeeze;
}

/* s'Ks of the springs: sum of n (sum p A s)(sum B s)/V over the groups, less P dA/dh s^2, and the
   rubber's. Instant: each spring is a group by itself. */
static double air_rate(holder *h, body_motion k, hold_level at) {
    const dynamics *m = h->m;
    const vehicle *v = &m->model->vehicle;
    double rate = 0.0;
    memset(h->push, 0, (size_t)h->groups->count * sizeof *h->push);
    memset(h->swallow, 0, (size_t)h->groups->count * sizeof *h->swallow);
    for (int i = 0; i < v->springs; i++) {
        const spring *s = &v->spring[i];
        const profile_point *p = &m->point[i];
        const double u = squeeze_of(m, s, k);
        const double push = m->pressure[s->node] * p->load_pressure * u;
        const int group = h->groups->of_node[s->node];
        rate += u * u * (s->rubber - p->load_height);
        if (at == HOLD_INSTANT) {
            rate += m->gamma * push * p->breathing * u / m->volume[s->node];
        }
        h->push[group] += push;
        h->swallow[group] += p->breathing * u;
    }
    for (int g = 0; g < h->groups->count && at == HOLD_SETTLED; g++) {
        rate += m->gamma * h->push[g] * h->swallow[g] / h->volume[g];
    }
    return rate;
}

/* Coils, stops and bars. */
static double steel_rate(const dynamics *m, body_motion k) {
    const vehicle *v = &m->model->vehicle;
    double rate = 0.0;
    for (int c = 0; c < v->wheels; c++) {
        const double u = k == MOTION_HEAVE ? 1.0 : v->corner[c].y - m->mass.y;
        rate += u * u * corner_steel_rate(&v->corner[c], m->travel[c]);
    }
    for (int i = 0; i < v->bars && k == MOTION_ROLL; i++) {
        const double track = v->corner[v->bar[i].left].y - v->corner[v->bar[i].right].y;
        rate += vehicle_bar_rate(v, &v->bar[i]) * track * track;
    }
    return rate;
}

baronet_status hold_find(hold *out, const dynamics *m, int stucks, const dynamics_stuck *stuck,
                         arena *a) {
    groups g;
    holder h = {.m = m};
    if (find_groups(&h, &g, stucks, stuck, a) != BARONET_OK || !add_volumes(&h, a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (int at = 0; at < HOLD_LEVELS; at++) {
        const double heave =
            air_rate(&h, MOTION_HEAVE, (hold_level)at) + steel_rate(m, MOTION_HEAVE);
        const double roll = air_rate(&h, MOTION_ROLL, (hold_level)at) + steel_rate(m, MOTION_ROLL);
        out->heave[at] = m->body_position[MOTION_HEAVE] >= 0 ? heave : (double)NAN;
        out->roll[at] = m->body_position[MOTION_ROLL] >= 0 ? roll : (double)NAN;
    }
    return BARONET_OK;
}
