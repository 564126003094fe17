#include "studies/balance.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <string.h>

/* Largest scaled residual of an equilibrium. Forces are relative to the whole load, air to the
   group's amount; rounding leaves about 1e-15, and a hundred times more tells no figure apart. */
#define BALANCE_TOLERANCE 1e-12
/* A Newton step that has come down to this without more progress is as good as rounding allows. */
#define BALANCE_ROUNDING 1e-9
/* Most Newton steps and halvings of one; well-behaved vehicles need three to six and none. */
enum { BALANCE_STEPS = 80, BALANCE_HALVINGS = 40 };
/* Pressures are unknowns in units of this, so that columns of the Jacobian are of like size. */
#define BALANCE_PRESSURE 1e5 /* Pa */
/* A stiffness below this counts as none, in units of the load per VEHICLE_SAME_AXLE of travel: a
   body so held would have a period of minutes. */
#define BALANCE_NEUTRAL 1e-6

/* How an unknown moves a corner: travel per unit of it. */
typedef struct carrier {
    int unknown;
    double ratio;
} carrier;

enum { CARRIERS = BODY_MOTIONS + 1 };

struct balance {
    const model *model;
    arena *arena;
    const baronet_allocator *allocator;
    groups groups;
    standing now;
    double *backup; /* unknowns before a step */

    /* The unknowns: body motions, then a wheel or bench mass each, then group pressures. */
    int unknowns;
    int airs;                       /* of them, group pressures */
    int body_unknown[BODY_MOTIONS]; /* -1 where the motion does not exist */
    int *corner_unknown;            /* corners: wheel on a tyre, or bench mass; -1 for none */
    int *group_unknown;             /* groups: -1 where the pressure is held or has no springs */
    carrier *carrier;               /* corners x CARRIERS */
    int *carriers;                  /* corners: how many of them */
    double middle_x, middle_y;      /* m: where body motions are counted from */
    int masses;                     /* what has to stand: body motions, then bench masses */
    int *mass_unknown;              /* masses */
    int *mass_item;                 /* masses: the motion, or -1 - corner */
    double *between;                /* masses x masses, lower half: scratch of their stiffness */

    pattern pattern;
    sparse *sparse;
    double *values;   /* Jacobian */
    bool tangent;     /* it is factored, and is of the standing as it is but for the loads */
    double *own;      /* N/m, corners: scratch of the Jacobian */
    double *residual; /* unknowns */
    double *scale;    /* unknowns: one over what a residual is measured in */
    double *step;     /* unknowns */
    int iterations;
    double worst;
};

void standing_make(standing *out, arena *a, const model *m) {
    const int corners = m->vehicle.corners;
    const int springs = m->vehicle.springs;
    const int nodes = m->network.nodes;
    *out = (standing){.wheel = ARENA_ARRAY(a, double, corners),
                      .travel = ARENA_ARRAY(a, double, corners),
                      .force = ARENA_ARRAY(a, double, corners),
                      .height = ARENA_ARRAY(a, double, springs),
                      .load = ARENA_ARRAY(a, double, springs),
                      .point = ARENA_ARRAY(a, profile_point, springs),
                      .spring_pressure = ARENA_ARRAY(a, double, springs),
                      .pressure = ARENA_ARRAY(a, double, nodes),
                      .volume = ARENA_ARRAY(a, double, nodes)};
}

static bool take_arrays(balance *b) {
    const int corners = b->model->vehicle.corners;
    const int nodes = b->model->network.nodes;
    const int most = BODY_MOTIONS + corners + nodes;
    const int masses = BODY_MOTIONS + corners - b->model->vehicle.wheels;
    standing_make(&b->now, b->arena, b->model);
    b->corner_unknown = ARENA_ARRAY(b->arena, int, corners);
    b->group_unknown = ARENA_ARRAY(b->arena, int, nodes);
    b->carrier = ARENA_ARRAY(b->arena, carrier, corners * CARRIERS);
    b->carriers = ARENA_ARRAY(b->arena, int, corners);
    b->mass_unknown = ARENA_ARRAY(b->arena, int, masses);
    b->mass_item = ARENA_ARRAY(b->arena, int, masses);
    b->between = ARENA_ARRAY(b->arena, double, (size_t)masses *(size_t)masses);
    b->residual = ARENA_ARRAY(b->arena, double, most);
    b->scale = ARENA_ARRAY(b->arena, double, most);
    b->step = ARENA_ARRAY(b->arena, double, most);
    b->backup = ARENA_ARRAY(b->arena, double, most);
    b->own = ARENA_ARRAY(b->arena, double, corners);
    return arena_complete(b->arena);
}

baronet_status balance_create(balance **out, const model *m, const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    balance *b = ARENA_OWNER(balance, allocator, &a);
    if (b == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    b->model = m;
    b->arena = a;
    b->allocator = allocator;
    if (!take_arrays(b) || groups_make(&b->groups, a, &m->network) != BARONET_OK) {
        balance_destroy(b);
        return BARONET_OUT_OF_MEMORY;
    }
    *out = b;
    return BARONET_OK;
}

static void drop_matrix(balance *b) {
    sparse_destroy(b->sparse);
    b->sparse = NULL;
    b->tangent = false;
    pattern_free(&b->pattern);
    b->values = memory_resize(b->allocator, b->values, 0);
}

void balance_destroy(balance *b) {
    if (b != NULL) {
        drop_matrix(b);
        arena_destroy(b->arena);
    }
}

/* Body motions count from the middle of the wheels, where they are least mixed up. */
static void place_middle(balance *b) {
    const vehicle *v = &b->model->vehicle;
    b->middle_x = b->middle_y = 0.0;
    for (int c = 0; c < v->wheels; c++) {
        b->middle_x += v->corner[c].x / v->wheels;
        b->middle_y += v->corner[c].y / v->wheels;
    }
}

/* Rise of the body over a corner per unit of a body motion (ISO 8855: positive roll lifts the left,
   positive pitch lowers the front). */
static double body_rise(const balance *b, int corner_index, body_motion motion_index) {
    const corner *c = &b->model->vehicle.corner[corner_index];
    switch (motion_index) {
    case MOTION_ROLL:
        return c->y - b->middle_y;
    case MOTION_PITCH:
        return -(c->x - b->middle_x);
    case MOTION_HEAVE:
    case BODY_MOTIONS:
        break;
    }
    return 1.0;
}

static void add_carrier(balance *b, int corner_index, int unknown, double ratio) {
    b->carrier[corner_index * CARRIERS + b->carriers[corner_index]++] = (carrier){unknown, ratio};
}

static void add_mass(balance *b, int unknown, int item) {
    b->mass_unknown[b->masses] = unknown;
    b->mass_item[b->masses++] = item;
}

static void number_unknowns(balance *b) {
    const vehicle *v = &b->model->vehicle;
    const body_freedom freedom = vehicle_freedom(v);
    const bool exists[BODY_MOTIONS] = {freedom.heave, freedom.roll, freedom.pitch};
    b->unknowns = b->airs = b->masses = 0;
    for (int k = 0; k < BODY_MOTIONS; k++) {
        b->body_unknown[k] = exists[k] ? b->unknowns++ : -1;
        if (exists[k]) {
            add_mass(b, b->body_unknown[k], k);
        }
    }
    for (int c = 0; c < v->corners; c++) {
        b->carriers[c] = 0;
        for (int k = 0; k < BODY_MOTIONS && c < v->wheels; k++) {
            if (exists[k]) {
                add_carrier(b, c, b->body_unknown[k], -body_rise(b, c, (body_motion)k));
            }
        }
        const bool own = v->corner[c].bench || v->corner[c].tyre > 0.0;
        b->corner_unknown[c] = own ? b->unknowns++ : -1;
        if (own) {
            add_carrier(b, c, b->corner_unknown[c], v->corner[c].bench ? -1.0 : 1.0);
        }
        if (v->corner[c].bench) {
            add_mass(b, b->corner_unknown[c], -1 - c);
        }
    }
    for (int g = 0; g < b->groups.count; g++) {
        const bool free_air = b->groups.springs[g] > 0 && b->groups.held[g] < 0;
        b->group_unknown[g] = free_air ? b->unknowns++ : -1;
        b->airs += free_air;
    }
}

/* A stiffness between the travels of two corners. */
static void emit_pair(const balance *b, pattern_writer *e, int corner_a, int corner_b,
                      double stiffness) {
    for (int i = 0; i < b->carriers[corner_a]; i++) {
        const carrier *p = &b->carrier[corner_a * CARRIERS + i];
        for (int k = 0; k < b->carriers[corner_b]; k++) {
            const carrier *q = &b->carrier[corner_b * CARRIERS + k];
            pattern_put(e, p->unknown, q->unknown, p->ratio * stiffness * q->ratio);
        }
    }
}

static double group_pressure(const balance *b, int spring_index) {
    const int at = b->model->vehicle.spring[spring_index].node;
    return b->now.pressure[b->groups.of_node[at]];
}

/* What a spring gives by the slope of its load with height, and the carcass. */
static double own_rate(const balance *b, int i) {
    return b->model->vehicle.spring[i].rubber - b->now.point[i].load_height;
}

static void emit_spring(const balance *b, pattern_writer *e, int i) {
    const spring *s = &b->model->vehicle.spring[i];
    const profile_point *at = &b->now.point[i];
    const int group = b->groups.of_node[s->node];
    const int air = b->group_unknown[group];
    for (int k = 0; k < s->levers; k++) {
        const lever *a = &s->lever[k];
        for (int j = 0; j < s->levers && s->levers > 1; j++) {
            emit_pair(b, e, a->corner, s->lever[j].corner,
                      a->ratio * own_rate(b, i) * s->lever[j].ratio);
        }
        for (int j = 0; j < b->carriers[a->corner] && air >= 0; j++) {
            const carrier *c = &b->carrier[a->corner * CARRIERS + j];
            const double ratio = a->ratio * c->ratio;
            pattern_put(e, c->unknown, air, ratio * at->load_pressure * BALANCE_PRESSURE);
            pattern_put(e, air, c->unknown, -ratio * b->now.pressure[group] * at->breathing);
        }
    }
}

/* All that a corner's own travel meets there: steel, ends of bars, springs that feel it alone. */
static void find_own(const balance *b) {
    const vehicle *v = &b->model->vehicle;
    for (int c = 0; c < v->corners; c++) {
        b->own[c] = corner_steel_rate(&v->corner[c], b->now.travel[c]);
    }
    for (int i = 0; i < v->bars; i++) {
        const double k = vehicle_bar_rate(v, &v->bar[i]);
        b->own[v->bar[i].left] += k;
        b->own[v->bar[i].right] += k;
    }
    for (int i = 0; i < v->springs; i++) {
        const lever *l = v->spring[i].lever;
        b->own[l->corner] += v->spring[i].levers == 1 ? l->ratio * own_rate(b, i) * l->ratio : 0.0;
    }
}

static void emit_jacobian(const balance *b, const balance_task *task, pattern_writer *e) {
    const vehicle *v = &b->model->vehicle;
    find_own(b);
    for (int c = 0; c < v->corners; c++) {
        emit_pair(b, e, c, c, b->own[c]);
        if (b->corner_unknown[c] >= 0) {
            pattern_put(e, b->corner_unknown[c], b->corner_unknown[c], v->corner[c].tyre);
        }
    }
    for (int i = 0; i < v->bars; i++) {
        const double k = vehicle_bar_rate(v, &v->bar[i]);
        emit_pair(b, e, v->bar[i].left, v->bar[i].right, -k);
        emit_pair(b, e, v->bar[i].right, v->bar[i].left, -k);
    }
    for (int i = 0; i < v->springs; i++) {
        emit_spring(b, e, i);
    }
    for (int g = 0; g < b->groups.count; g++) {
        if (b->group_unknown[g] >= 0) {
            pattern_put(e, b->group_unknown[g], b->group_unknown[g],
                        b->now.volume[g] * BALANCE_PRESSURE);
        }
    }
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (b->body_unknown[k] >= 0) {
            const double tips = task != NULL && k == MOTION_ROLL
                                    ? task->mass.mass * STANDARD_GRAVITY * task->mass.arm
                                    : 0.0;
            pattern_put(e, b->body_unknown[k], b->body_unknown[k], -tips);
        }
    }
}

static void list_places(void *context, pattern_writer *w) {
    emit_jacobian(context, NULL, w);
}

static baronet_status make_matrix(balance *b) {
    const baronet_status status =
        pattern_list(&b->pattern, b->allocator, b->unknowns, list_places, b);
    if (status != BARONET_OK) {
        return status;
    }
    b->values = memory_resize(b->allocator, NULL, (size_t)b->pattern.entries * sizeof(double));
    return b->values != NULL ? sparse_create(&b->sparse, &b->pattern, false, NULL)
                             : BARONET_OUT_OF_MEMORY;
}

baronet_status balance_set_valves(balance *b, const bool *open, bool bypasses, problem *why) {
    const model *m = b->model;
    drop_matrix(b);
    groups_find(&b->groups, &m->network, open, bypasses, m->ambient.pressure);
    for (int g = 0; g < b->groups.count; g++) {
        if (b->groups.second_held[g] >= 0) {
            *why = (problem){.status = BARONET_TWO_SOURCES,
                             .item = b->groups.held[g],
                             .other = b->groups.second_held[g]};
            return why->status;
        }
    }
    place_middle(b);
    number_unknowns(b);
    return b->unknowns > 0 ? make_matrix(b) : BARONET_OK;
}

const groups *balance_groups(const balance *b) {
    return &b->groups;
}

const standing *balance_standing(const balance *b) {
    return &b->now;
}

void balance_gather(const balance *b, const double *node_amount, double *group_amount) {
    memset(group_amount, 0, (size_t)b->groups.count * sizeof *group_amount);
    for (int i = 0; i < b->model->network.nodes; i++) {
        group_amount[b->groups.of_node[i]] += node_amount[i];
    }
}

static double held_pressure(const balance *b, int group) {
    const node *n = &b->model->network.node[b->groups.held[group]];
    return n->kind == NODE_ATMOSPHERE ? b->model->ambient.pressure : n->pressure;
}

/* Travels, heights, loads and volumes of the unknowns as they are. */
static void evaluate(balance *b, const balance_task *task) {
    const vehicle *v = &b->model->vehicle;
    standing *now = &b->now;
    for (int c = 0; c < v->corners; c++) {
        double travel = v->corner[c].bench ? -now->wheel[c] : now->wheel[c];
        for (int k = 0; k < BODY_MOTIONS && c < v->wheels; k++) {
            travel -= body_rise(b, c, (body_motion)k) * now->body[k];
        }
        now->travel[c] = travel;
        now->force[c] = task->design->carries[c] + corner_steel_force(&v->corner[c], travel);
    }
    vehicle_add_bars(v, now->travel, now->force);
    memcpy(now->volume, b->groups.fixed, (size_t)b->groups.count * sizeof *now->volume);
    for (int i = 0; i < v->springs; i++) {
        const spring *s = &v->spring[i];
        const double compression = spring_compression(s, now->travel);
        now->height[i] = task->design->height[i] - compression;
        now->spring_pressure[i] = group_pressure(b, i);
        const double P = now->spring_pressure[i] - b->model->ambient.pressure;
        now->point[i] = profile_at(&v->profile[s->profile], now->height[i], P);
        now->load[i] = now->point[i].load + s->rubber * compression;
        now->volume[b->groups.of_node[s->node]] += now->point[i].volume;
    }
    vehicle_add_springs(v, now->load, now->force);
}

/* Residuals of the equilibrium and the largest of them, scaled; infinite where air would be
   squeezed out of existence. */
static double find_residual(balance *b, const balance_task *task) {
    const vehicle *v = &b->model->vehicle;
    evaluate(b, task);
    memset(b->residual, 0, (size_t)b->unknowns * sizeof *b->residual);
    for (int c = 0; c < v->corners; c++) {
        for (int k = 0; k < b->carriers[c]; k++) {
            const carrier *p = &b->carrier[c * CARRIERS + k];
            const bool tyre = p->unknown == b->corner_unknown[c] && !v->corner[c].bench;
            const double weight = tyre ? task->design->sprung[c] : task->sprung[c];
            b->residual[p->unknown] += p->ratio * (b->now.force[c] - weight);
            if (tyre) {
                b->residual[p->unknown] += v->corner[c].tyre * b->now.wheel[c];
            }
        }
    }
    if (b->body_unknown[MOTION_ROLL] >= 0) {
        b->residual[b->body_unknown[MOTION_ROLL]] -=
            task->mass.mass * STANDARD_GRAVITY * task->mass.arm * b->now.body[MOTION_ROLL];
    }
    bool sound = true;
    for (int g = 0; g < b->groups.count; g++) {
        if (b->group_unknown[g] >= 0) {
            sound = sound && b->now.volume[g] > 0.0 && b->now.pressure[g] > 0.0;
            b->residual[b->group_unknown[g]] =
                b->now.pressure[g] * b->now.volume[g] - task->amount[g];
        }
    }
    double worst = 0.0;
    for (int i = 0; i < b->unknowns; i++) {
        worst = fmax(worst, fabs(b->residual[i]) * b->scale[i]);
    }
    return sound && isfinite(worst) ? worst : HUGE_VAL;
}

static void set_scales(balance *b, const balance_task *task) {
    const vehicle *v = &b->model->vehicle;
    double load = 0.0, couple_y = 0.0, couple_x = 0.0;
    for (int c = 0; c < v->wheels; c++) {
        load += task->sprung[c];
        couple_y += task->sprung[c] * fabs(body_rise(b, c, MOTION_ROLL));
        couple_x += task->sprung[c] * fabs(body_rise(b, c, MOTION_PITCH));
    }
    const double whole[BODY_MOTIONS] = {load, couple_y, couple_x};
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (b->body_unknown[k] >= 0) {
            b->scale[b->body_unknown[k]] = 1.0 / fmax(whole[k], 1e-3);
        }
    }
    for (int c = 0; c < v->corners; c++) {
        if (b->corner_unknown[c] >= 0) {
            b->scale[b->corner_unknown[c]] = 1.0 / fmax(fabs(task->sprung[c]), 1e-3);
        }
    }
    for (int g = 0; g < b->groups.count; g++) {
        if (b->group_unknown[g] >= 0) {
            b->scale[b->group_unknown[g]] = 1.0 / task->amount[g];
        }
    }
}

static double *unknown_place(balance *b, int kind, int index) {
    return kind == 0   ? &b->now.body[index]
           : kind == 1 ? &b->now.wheel[index]
                       : &b->now.pressure[index];
}

/* Runs over all unknowns: stores them, or sets them to what was stored less `part` of the step. */
static void move(balance *b, bool store, double part) {
    b->tangent = b->tangent && store;
    const int many[3] = {BODY_MOTIONS, b->model->vehicle.corners, b->groups.count};
    const int *const index[3] = {b->body_unknown, b->corner_unknown, b->group_unknown};
    for (int kind = 0; kind < 3; kind++) {
        const double unit = kind == 2 ? BALANCE_PRESSURE : 1.0;
        for (int i = 0; i < many[kind]; i++) {
            const int k = index[kind][i];
            if (k >= 0 && store) {
                b->backup[k] = *unknown_place(b, kind, i);
            } else if (k >= 0) {
                *unknown_place(b, kind, i) = b->backup[k] - part * unit * b->step[k];
            }
        }
    }
}

/* Pressures that are no unknowns: those that are held, and of groups without springs. */
static void set_pressures(balance *b, const balance_task *task) {
    for (int g = 0; g < b->groups.count; g++) {
        if (b->groups.held[g] >= 0) {
            b->now.pressure[g] = held_pressure(b, g);
        } else if (b->groups.springs[g] == 0 && b->groups.fixed[g] > 0.0) {
            b->now.pressure[g] = task->amount[g] / b->groups.fixed[g];
        }
    }
}

void balance_start(balance *b, const balance_task *task) {
    const model *m = b->model;
    b->tangent = false;
    memset(b->now.body, 0, sizeof b->now.body);
    memset(b->now.wheel, 0, (size_t)m->vehicle.corners * sizeof *b->now.wheel);
    for (int g = 0; g < b->groups.count; g++) {
        b->now.pressure[g] = m->ambient.pressure;
    }
    set_pressures(b, task);
    evaluate(b, task);
    for (int g = 0; g < b->groups.count; g++) {
        if (b->group_unknown[g] >= 0) {
            b->now.pressure[g] = task->amount[g] / b->now.volume[g];
        }
    }
}

baronet_status balance_forget(balance *b) {
    b->tangent = false;
    groups_measure(&b->groups, &b->model->network);
    return b->sparse != NULL ? sparse_forget(b->sparse) : BARONET_OK;
}

static void fill_jacobian(balance *b, const balance_task *task) {
    b->tangent = false;
    memset(b->values, 0, (size_t)b->pattern.entries * sizeof *b->values);
    pattern_writer values = {.values = b->values, .slot = b->pattern.slot};
    emit_jacobian(b, task, &values);
}

/* The Jacobian's value at a place, 0 where it has none. */
static double entry(const balance *b, int row, int column) {
    for (int i = b->pattern.start[column]; i < b->pattern.start[column + 1]; i++) {
        if (b->pattern.row[i] == row) {
            return b->values[i];
        }
    }
    return 0.0;
}

/* Isothermal stiffness between two unknown motions with the pressures eliminated: J_rc less the sum
   of J_ra J_ac / J_aa over the groups. Pressures are the last unknowns, so they end each column. */
static double reduced(const balance *b, int row, int column) {
    const int first_air = b->unknowns - b->airs;
    double rate = 0.0;
    for (int i = b->pattern.start[column]; i < b->pattern.start[column + 1]; i++) {
        const int at = b->pattern.row[i];
        if (at == row) {
            rate += b->values[i];
        } else if (at >= first_air) {
            rate -= entry(b, row, at) * b->values[i] / entry(b, at, at);
        }
    }
    return rate;
}

/* Names the mass that nothing holds, or that tips over. */
static baronet_status unheld(const balance *b, problem *why, double pivot, int mass) {
    const bool tips = pivot <= -BALANCE_NEUTRAL;
    *why =
        (problem){.status = tips ? BARONET_UNSTABLE : BARONET_NEUTRAL, .item = b->mass_item[mass]};
    return why->status;
}

/* The first mass at which the symmetric matrix between them is not positive definite, by its
   Cholesky pivots, that is: at which one is below `least`; -1 for none. */
static int first_below(balance *b, double least, double *pivot) {
    const int n = b->masses;
    for (int k = 0; k < n; k++) {
        double *const own = b->between + (size_t)k * (size_t)n;
        for (int j = 0; j <= k; j++) {
            const double *const other = b->between + (size_t)j * (size_t)n;
            for (int i = 0; i < j; i++) {
                own[j] -= own[i] * other[i];
            }
            if (j < k) {
                own[j] /= other[j];
            }
        }
        *pivot = own[k];
        if (!(*pivot >= least)) {
            return k;
        }
        own[k] = sqrt(*pivot);
    }
    return -1;
}

/* Names the motion or the mass on a bench that nothing holds, or that tips over; OK where all are
   held. The isothermal stiffness between them, wheels held, must be positive definite: its Cholesky
   pivots, each relative to the load standing on that motion's arm, tell which is not. */
static baronet_status check_stability(balance *b, problem *why) {
    for (int k = 0; k < b->masses; k++) {
        for (int j = 0; j <= k; j++) {
            const int row = b->mass_unknown[k], column = b->mass_unknown[j];
            const double unit = sqrt(b->scale[row] * b->scale[column]);
            b->between[k * b->masses + j] = 0.5 * VEHICLE_SAME_AXLE * unit *
                                            (reduced(b, row, column) + reduced(b, column, row));
        }
    }
    double pivot = 0.0;
    const int weak = first_below(b, BALANCE_NEUTRAL, &pivot);
    return weak >= 0 ? unheld(b, why, pivot, weak) : BARONET_OK;
}

/* Whether all stands once its tyres give way, too: what body and masses answer to loads on them,
   all else free to follow, must be positive definite. With the wheels held it stands already, and
   so do the wheels with the body held. */
static baronet_status check_tyres(balance *b, problem *why) {
    baronet_status status = sparse_factor(b->sparse, b->values, NULL);
    b->tangent = status == BARONET_OK;
    memset(b->between, 0, (size_t)b->masses * (size_t)b->masses * sizeof *b->between);
    for (int k = 0; k < b->masses && status == BARONET_OK; k++) {
        memset(b->step, 0, (size_t)b->unknowns * sizeof *b->step);
        b->step[b->mass_unknown[k]] = 1.0;
        status = sparse_solve(b->sparse, b->step);
        for (int j = 0; j < b->masses; j++) {
            const int low = j < k ? j : k, high = j < k ? k : j;
            b->between[high * b->masses + low] +=
                (j == k ? 1.0 : 0.5) * b->step[b->mass_unknown[j]];
        }
    }
    double pivot = 0.0;
    const int tips = status == BARONET_OK ? first_below(b, 0.0, &pivot) : -1;
    why->status = tips >= 0 ? BARONET_UNSTABLE : status;
    why->item = tips >= 0 ? b->mass_item[tips] : -1;
    return why->status;
}

static bool on_tyres(const balance *b) {
    for (int c = 0; c < b->model->vehicle.wheels; c++) {
        if (b->corner_unknown[c] >= 0) {
            return true;
        }
    }
    return false;
}

static bool open_to_atmosphere(const balance *b, int spring_index) {
    const int group = b->groups.of_node[b->model->vehicle.spring[spring_index].node];
    return b->groups.held[group] >= 0 && held_pressure(b, group) <= b->model->ambient.pressure;
}

static int flat_spring(const balance *b) {
    for (int i = 0; i < b->model->vehicle.springs; i++) {
        if (open_to_atmosphere(b, i)) {
            return i;
        }
    }
    return -1;
}

/* Whether a spring cannot stand beyond the ends of its profile. One that is open to the atmosphere
   carries nothing at any height, so its table does not matter, as long as some room for air is left
   in it. */
static bool needs_profile(const balance *b, int spring_index, double P) {
    const profile *p = &b->model->vehicle.profile[b->model->vehicle.spring[spring_index].profile];
    return !open_to_atmosphere(b, spring_index) || p->rows == 0 ||
           profile_at(p, b->now.height[spring_index], P).volume <= 0.0;
}

/* A pressure below the ambient one by less than this part of it is the ambient one, to rounding: of
   a spring that was let out and shut off. */
#define AS_AMBIENT 1e-9

/* An equilibrium must also be one that the parts allow. */
static baronet_status check_parts(const balance *b, problem *why) {
    const vehicle *v = &b->model->vehicle;
    for (int i = 0; i < v->springs; i++) {
        const double over = profile_overrun(&v->profile[v->spring[i].profile], b->now.height[i]);
        const double P = group_pressure(b, i) - b->model->ambient.pressure;
        if (P < -AS_AMBIENT * b->model->ambient.pressure) {
            *why = (problem){.status = BARONET_SLACK, .item = i, .amount = P};
            return why->status;
        }
        if (over != 0.0 && needs_profile(b, i, P)) {
            *why = (problem){.status = BARONET_OFF_PROFILE,
                             .item = i,
                             .amount = over,
                             .wanted = b->now.height[i]};
            return why->status;
        }
    }
    for (int c = 0; c < v->wheels; c++) {
        const double load = b->now.force[c] + v->corner[c].unsprung * STANDARD_GRAVITY;
        if (load < 0.0) {
            *why = (problem){.status = BARONET_WHEEL_LIFTS, .item = c, .amount = load};
            return why->status;
        }
    }
    return BARONET_OK;
}

/* Halves the step until the residual falls; returns the new residual, or infinity. */
static double take_step(balance *b, const balance_task *task, double before) {
    move(b, true, 0.0);
    double part = 1.0;
    for (int k = 0; k < BALANCE_HALVINGS; k++, part *= 0.5) {
        move(b, false, part);
        const double after = find_residual(b, task);
        if (after < before) {
            return after;
        }
    }
    move(b, false, 0.0);
    (void)find_residual(b, task);
    return HUGE_VAL;
}

/* Newton's method; OK, SINGULAR or NOT_CONVERGED. Where only the loads have changed since the last
   solve, its last factors serve for the first step. */
static baronet_status iterate(balance *b, const balance_task *task) {
    for (b->iterations = 0; b->worst > BALANCE_TOLERANCE; b->iterations++) {
        if (b->iterations == BALANCE_STEPS) {
            return BARONET_NOT_CONVERGED;
        }
        const bool own = !b->tangent;
        baronet_status status = BARONET_OK;
        if (own) {
            fill_jacobian(b, task);
            status = sparse_factor(b->sparse, b->values, NULL);
        }
        memcpy(b->step, b->residual, (size_t)b->unknowns * sizeof *b->step);
        if (status == BARONET_OK) {
            status = sparse_solve(b->sparse, b->step);
        }
        if (status != BARONET_OK) {
            return status;
        }
        const double after = take_step(b, task, b->worst);
        if (after != HUGE_VAL) {
            b->worst = after;
        } else if (own) {
            return b->worst < BALANCE_ROUNDING ? BARONET_OK : BARONET_NOT_CONVERGED;
        }
    }
    return BARONET_OK;
}

/* Says why no equilibrium was found: what is flat, what nothing holds, or how far it got. */
static baronet_status explain(balance *b, const balance_task *task, baronet_status status,
                              problem *why) {
    if (status == BARONET_OUT_OF_MEMORY) {
        return status;
    }
    const int flat = flat_spring(b);
    if (flat >= 0) {
        *why = (problem){.status = BARONET_FLAT, .item = flat};
        return why->status;
    }
    fill_jacobian(b, task);
    if (check_stability(b, why) != BARONET_OK) {
        return why->status;
    }
    *why = (problem){.status = BARONET_NOT_CONVERGED, .item = -1, .amount = b->worst};
    return why->status;
}

baronet_status balance_solve(balance *b, const balance_task *task, problem *why) {
    set_pressures(b, task);
    if (b->unknowns == 0) {
        evaluate(b, task);
        b->iterations = 0;
        b->worst = 0.0;
        return BARONET_OK;
    }
    set_scales(b, task);
    b->worst = find_residual(b, task);
    baronet_status status = iterate(b, task);
    if (status != BARONET_OK) {
        return explain(b, task, status, why);
    }
    fill_jacobian(b, task);
    status = check_stability(b, why);
    if (status == BARONET_OK && on_tyres(b)) {
        status = check_tyres(b, why);
    }
    if (status == BARONET_OK) {
        status = check_parts(b, why);
    }
    const int flat = status != BARONET_OK ? flat_spring(b) : -1;
    if (flat >= 0) {
        *why = (problem){.status = BARONET_FLAT, .item = flat};
        return why->status;
    }
    return status;
}

balance_account balance_report(const balance *b) {
    return (balance_account){
        .iterations = b->iterations, .residual = b->worst, .unknowns = b->unknowns};
}

/* The Jacobian as it is where the vehicle stands; a step's factors are of where it came from. */
baronet_status balance_condition(balance *b, double *condition) {
    *condition = b->unknowns == 0 ? 0.0 : HUGE_VAL;
    if (b->unknowns == 0) {
        return BARONET_OK;
    }
    const baronet_status status = sparse_factor(b->sparse, b->values, NULL);
    if (status != BARONET_OK) {
        return status == BARONET_OUT_OF_MEMORY ? status : BARONET_OK;
    }
    for (int i = 0; i < b->unknowns; i++) {
        b->step[i] = 1.0 / b->scale[i];
    }
    return sparse_condition(b->sparse, b->step, condition);
}

/* A residual of nought is known no better than numbers are. */
double balance_error(const balance_account *account, double condition) {
    return condition * fmax(account->residual, DBL_EPSILON);
}

baronet_status balance_join(balance_worst *all, balance *b, const char *where) {
    const balance_account account = balance_report(b);
    double condition;
    const baronet_status status = balance_condition(b, &condition);
    const double error = balance_error(&account, condition);
    all->residual = fmax(all->residual, account.residual);
    all->condition = fmax(all->condition, condition);
    all->where = error > all->error ? where : all->where;
    all->error = fmax(all->error, error);
    return status;
}

double balance_mean_compression(const balance *b, const balance_task *task, int group) {
    double sum = 0.0;
    for (int i = 0; i < b->model->vehicle.springs; i++) {
        if (b->groups.of_node[b->model->vehicle.spring[i].node] == group) {
            sum += task->design->height[i] - b->now.height[i];
        }
    }
    return sum / b->groups.springs[group];
}

/* Mean compression of a group by a step of all unknowns. */
static double compression_by(const balance *b, int group, const double *step) {
    const vehicle *v = &b->model->vehicle;
    double sum = 0.0;
    for (int i = 0; i < v->springs; i++) {
        const spring *s = &v->spring[i];
        for (int k = 0; k < s->levers && b->groups.of_node[s->node] == group; k++) {
            const int c = s->lever[k].corner;
            for (int j = 0; j < b->carriers[c]; j++) {
                const carrier *p = &b->carrier[c * CARRIERS + j];
                sum += s->lever[k].ratio * p->ratio * step[p->unknown];
            }
        }
    }
    return sum / b->groups.springs[group];
}

baronet_status balance_air_response(balance *b, const balance_task *task, int listed,
                                    const int *group, double *change) {
    fill_jacobian(b, task);
    baronet_status status = sparse_factor(b->sparse, b->values, NULL);
    for (int k = 0; k < listed && status == BARONET_OK; k++) {
        assert(b->group_unknown[group[k]] >= 0);
        memset(b->step, 0, (size_t)b->unknowns * sizeof *b->step);
        b->step[b->group_unknown[group[k]]] = task->amount[group[k]];
        status = sparse_solve(b->sparse, b->step);
        for (int r = 0; r < listed; r++) {
            change[r * listed + k] = compression_by(b, group[r], b->step);
        }
    }
    return status;
}
