/* laws.c: see laws.h.
   SPDX-License-Identifier: MIT */
#include "studies/laws.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>

#include "support.h"

static const double g = 9.80665; /* m/s2, standard gravity */

static double added(const load_case *with, int corner_index) {
    return with != NULL ? with->mass[corner_index] * g : 0.0;
}

/* What the suspension gives the body at a corner. */
static double given(const rig *r, const state_standing *s, int c) {
    return s->load[c] - r->model->vehicle.corner[c].unsprung * g;
}

static void check_body(const rig *r, const state_standing *s, const load_case *with) {
    const vehicle *const v = &r->model->vehicle;
    double weight = 0.0, force = 0.0, roll = 0.0, pitch = 0.0, arms = 0.0;
    double left = -HUGE_VAL, right = HUGE_VAL;
    for (int c = 0; c < v->wheels; c++) {
        const corner *const at = &v->corner[c];
        const double W = r->charge->fill.sprung[c] + added(with, c);
        weight += W;
        force += given(r, s, c);
        roll += at->y * (given(r, s, c) - W);
        pitch += at->x * (given(r, s, c) - W);
        arms += W * (fabs(at->x) + fabs(at->y));
        left = fmax(left, at->y);
        right = fmin(right, at->y);
    }
    const double arm = v->body.cg_height_given && v->body.roll_axis_given
                           ? v->body.cg_height - v->body.roll_axis
                           : 0.0;
    CHECK_REL(force, weight, 1e-9, "statics: forces");
    if (left - right > 0.01)
        CHECK_ABS(roll + weight * arm * s->lean, 0.0, 1e-9 * arms, "statics: moments in roll");
    if (v->axles > 1)
        CHECK_ABS(pitch, 0.0, 1e-9 * arms, "statics: moments in pitch");
}

/* A wheel on a tyre stands where the tyre gives what it is asked for; the body over all wheels is
   one plane. */
static void check_plane(const rig *r, const state_standing *s) {
    const vehicle *const v = &r->model->vehicle;
    double first = 0.0;
    for (int c = 0; c < v->wheels; c++) {
        const corner *const at = &v->corner[c];
        const double sag =
            at->tyre > 0.0 ? (r->charge->fill.sprung[c] - given(r, s, c)) / at->tyre : 0.0;
        const double rise = sag - s->travel[c];
        first = c == 0 ? rise : first;
        const double plane =
            first + s->lean * (at->y - v->corner[0].y) - s->rake * (at->x - v->corner[0].x);
        CHECK_ABS(rise, plane, 1e-9, "a rigid body, ISO 8855 signs");
    }
}

static double spring_part(const vehicle *v, const state_standing *s, int c) {
    double force = 0.0;
    for (int i = 0; i < v->springs; i++)
        for (int k = 0; k < v->spring[i].levers; k++)
            if (v->spring[i].lever[k].corner == c)
                force += v->spring[i].lever[k].ratio * s->spring_load[i];
    return force;
}

static double steel_part(const rig *r, const state_standing *s, int c) {
    const vehicle *const v = &r->model->vehicle;
    const corner *const at = &v->corner[c];
    double force = r->charge->fill.carries[c] + at->coil * s->travel[c];
    force += at->bump_rate * fmax(0.0, s->travel[c] - at->bump_at);
    force -= at->rebound_rate * fmax(0.0, -s->travel[c] - at->rebound_at);
    for (int i = 0; i < v->bars; i++) {
        const bar *const one = &v->bar[i];
        const double track = v->corner[one->left].y - v->corner[one->right].y;
        const double couple = one->roll * (s->travel[one->left] - s->travel[one->right]) / track;
        force += c == one->left ? couple / track : c == one->right ? -couple / track : 0.0;
    }
    return force;
}

static void check_springs(const rig *r, const state_standing *s) {
    const vehicle *const v = &r->model->vehicle;
    for (int i = 0; i < v->springs; i++) {
        const spring *const one = &v->spring[i];
        double squeezed = 0.0;
        for (int k = 0; k < one->levers; k++)
            squeezed += one->lever[k].ratio * s->travel[one->lever[k].corner];
        CHECK_ABS(s->spring_height[i], r->charge->fill.height[i] - squeezed, 1e-12, "levers");
        const double P = s->node_pressure[one->node] - r->model->ambient.pressure;
        const double load = profile_at(&v->profile[one->profile], s->spring_height[i], P).load;
        CHECK_ABS(s->spring_load[i], load + one->rubber * squeezed, 1e-6, "the profile");
    }
}

void laws_of_forces(const rig *r, const state_standing *s, const load_case *with) {
    const vehicle *const v = &r->model->vehicle;
    cr_assert(s->given);
    if (v->wheels > 0) {
        check_body(r, s, with);
        check_plane(r, s);
    }
    check_springs(r, s);
    for (int c = 0; c < v->corners; c++) {
        const double parts = spring_part(v, s, c) + steel_part(r, s, c);
        CHECK_REL(given(r, s, c), parts, 1e-9, "a corner's force is the sum of its parts");
        if (v->corner[c].bench)
            CHECK_REL(s->load[c], r->charge->fill.sprung[c] + added(with, c), 1e-9,
                      "statics: a mass on a bench");
    }
}

static bool passes(const edge *e, const bool *open, bool bypasses) {
    if (e->kind == EDGE_SOLENOID)
        return open[e->solenoid] || (bypasses && e->bypass.kind != LAW_NONE);
    return e->kind == EDGE_HOSE || e->kind == EDGE_RESTRICTOR;
}

/* Gives both ends of an edge, and its own air, the least number among them; true where one changed.
 */
static bool spread(const edge *e, int *set) {
    const int ends[3] = {e->from, e->to, e->air >= 0 ? e->air : e->from};
    int least = set[ends[0]];
    bool changed = false;
    for (int k = 0; k < 3; k++)
        least = set[ends[k]] < least ? set[ends[k]] : least;
    for (int k = 0; k < 3; k++) {
        changed |= set[ends[k]] != least;
        set[ends[k]] = least;
    }
    return changed;
}

int laws_flood(const rig *r, const bool *open, bool bypasses, int *set) {
    const network *const net = &r->model->network;
    int sets = 0;
    for (int i = 0; i < net->nodes; i++)
        set[i] = i;
    for (bool changed = true; changed;) {
        changed = false;
        for (int i = 0; i < net->edges; i++)
            if (passes(&net->edge[i], open, bypasses))
                changed |= spread(&net->edge[i], set);
    }
    for (int i = 0; i < net->nodes; i++)
        sets += set[i] == i;
    return sets;
}

/* Whether a node's set holds air at all: a lone tee has none, and its pressure means nothing. */
static bool has_air(const rig *r, const state_standing *s, const int *set, int node_index) {
    bool any = false;
    for (int i = 0; i < r->model->network.nodes; i++) {
        const node_kind kind = r->model->network.node[i].kind;
        const bool held = kind == NODE_SUPPLY || kind == NODE_ATMOSPHERE;
        any |= set[i] == set[node_index] && (held || s->node_volume[i] > 0.0);
    }
    return any;
}

void laws_of_groups(const rig *r, const state_standing *s, const bool *open, bool bypasses) {
    const network *const net = &r->model->network;
    int *const set = malloc((size_t)net->nodes * sizeof *set);
    cr_assert(set != NULL);
    cr_assert_eq(laws_flood(r, open, bypasses, set), s->groups);
    for (int i = 0; i < net->nodes; i++) {
        for (int k = 0; k < i; k++) {
            cr_assert_eq(set[i] == set[k], s->group[i] == s->group[k], "%s and %s",
                         net->node[i].name, net->node[k].name);
            if (set[i] == set[k] && has_air(r, s, set, i))
                CHECK_REL(s->node_pressure[i], s->node_pressure[k], 1e-14, net->node[i].name);
        }
    }
    free(set);
}

void laws_of_air(const rig *r, const state_standing *before, const state_standing *after,
                 const bool *open, bool bypasses) {
    const network *const net = &r->model->network;
    int *const set = malloc((size_t)net->nodes * sizeof *set);
    cr_assert(set != NULL);
    laws_flood(r, open, bypasses, set);
    for (int first = 0; first < net->nodes; first++) {
        double was = 0.0, is = 0.0;
        bool held = false;
        for (int i = 0; i < net->nodes; i++) {
            if (set[i] != first)
                continue;
            held |= net->node[i].kind == NODE_SUPPLY || net->node[i].kind == NODE_ATMOSPHERE;
            was += before->node_air[i];
            is += after->node_air[i];
        }
        if (!held)
            CHECK_REL(is, was, 1e-12, "air is conserved");
    }
    free(set);
}
