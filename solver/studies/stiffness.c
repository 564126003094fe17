#include "studies/stiffness.h"

#include <string.h>

baronet_status stiffness_make(stiffness *out, arena *a, const model *m) {
    *out = (stiffness){.model = m,
                       .order = ARENA_ARRAY(a, int, m->vehicle.springs),
                       .force = ARENA_ARRAY(a, double, m->vehicle.corners),
                       .air = ARENA_ARRAY(a, double, m->vehicle.corners),
                       .touched = ARENA_ARRAY(a, int, m->vehicle.corners),
                       .count = ARENA_ARRAY(a, int, m->network.nodes + 1)};
    return arena_complete(a) ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

void stiffness_set_groups(stiffness *s, const groups *g) {
    const vehicle *v = &s->model->vehicle;
    memset(s->count, 0, (size_t)(g->count + 1) * sizeof *s->count);
    for (int i = 0; i < v->springs; i++) {
        s->count[g->of_node[v->spring[i].node] + 1]++;
    }
    for (int k = 0; k < g->count; k++) {
        s->count[k + 1] += s->count[k];
    }
    for (int i = 0; i < v->springs; i++) {
        s->order[s->count[g->of_node[v->spring[i].node]]++] = i;
    }
}

/* Adds factor * (sum of force) (sum of air)' of the springs order[first..last) and clears the sums.
 */
static void add_group(stiffness *s, int first, int last, const standing *at, double factor,
                      double *K) {
    const vehicle *v = &s->model->vehicle;
    int touched = 0;
    for (int k = first; k < last; k++) {
        const int i = s->order[k];
        for (int j = 0; j < v->spring[i].levers; j++) {
            const lever *l = &v->spring[i].lever[j];
            if (s->force[l->corner] == 0.0 && s->air[l->corner] == 0.0) {
                s->touched[touched++] = l->corner;
            }
            s->force[l->corner] += l->ratio * at->point[i].load_pressure;
            s->air[l->corner] += l->ratio * at->point[i].breathing;
        }
    }
    for (int a = 0; a < touched; a++) {
        double *row = K + (size_t)s->touched[a] * (size_t)v->corners;
        for (int b = 0; b < touched; b++) {
            row[s->touched[b]] += factor * s->force[s->touched[a]] * s->air[s->touched[b]];
        }
    }
    for (int a = 0; a < touched; a++) {
        s->force[s->touched[a]] = s->air[s->touched[a]] = 0.0;
    }
}

/* What a spring gives by itself: the slope of its load with height, and the carcass. */
static void add_own(const vehicle *v, int i, double own, double *K) {
    const spring *s = &v->spring[i];
    for (int a = 0; a < s->levers; a++) {
        double *row = K + (size_t)s->lever[a].corner * (size_t)v->corners;
        for (int b = 0; b < s->levers; b++) {
            row[s->lever[b].corner] += s->lever[a].ratio * own * s->lever[b].ratio;
        }
    }
}

static void add_steel(const vehicle *v, const standing *at, double *K) {
    const size_t n = (size_t)v->corners;
    for (size_t c = 0; c < n; c++) {
        K[c * n + c] += corner_steel_rate(&v->corner[c], at->travel[c]);
    }
    for (int i = 0; i < v->bars; i++) {
        const bar *one = &v->bar[i];
        const double k = vehicle_bar_rate(v, one);
        const size_t l = (size_t)one->left;
        const size_t r = (size_t)one->right;
        K[l * n + l] += k;
        K[r * n + r] += k;
        K[l * n + r] -= k;
        K[r * n + l] -= k;
    }
}

void stiffness_find(stiffness *s, const groups *g, const standing *at, stiffness_air air, double n,
                    double *K, double *rate) {
    const vehicle *v = &s->model->vehicle;
    memset(K, 0, (size_t)v->corners * (size_t)v->corners * sizeof *K);
    int first = 0;
    while (first < v->springs) {
        const int group = g->of_node[v->spring[s->order[first]].node];
        const bool held = air == AIR_GROUP && g->held[group] >= 0;
        int last = first;
        while (last < v->springs && g->of_node[v->spring[s->order[last]].node] == group &&
               (air == AIR_GROUP || last == first)) {
            last++;
        }
        const double V = air == AIR_GROUP ? at->volume[group] : at->point[s->order[first]].volume;
        const double factor = held ? 0.0 : n * at->spring_pressure[s->order[first]] / V;
        for (int k = first; k < last; k++) {
            const int i = s->order[k];
            const profile_point *p = &at->point[i];
            const double own = v->spring[i].rubber - p->load_height;
            rate[i] = factor * p->load_pressure * p->breathing + own;
            add_own(v, i, own, K);
        }
        if (!held) {
            add_group(s, first, last, at, factor, K);
        }
        first = last;
    }
    add_steel(v, at, K);
}
