/* SPDX-License-Identifier: MIT */
#include "studies/lean.h"

#include <math.h>
#include <string.h>

#include "numeric/dense.h"

/* Largest residual, relative to the whole load; rounding leaves 1e-14 of it. */
#define LEAN_TOLERANCE 1e-10
/* As good as rounding allows where no step brings it further down. */
#define LEAN_ROUNDING 1e-7
enum { LEAN_STEPS = 60, LEAN_HALVINGS = 30 };
/* What stands in for a tyre that is not given: it gives way by micrometres. */
#define LEAN_RIGID 1e10 /* N/m */

struct lean {
    const model *model;
    rates *rates;
    arena *arena;
    stiffness_air air;
    double exponent;
    double whole;         /* N: sprung load */
    const standing *rest; /* the state's */
    standing now;         /* arrays of our own */
    bool glued;           /* tyres pull as well as they push: a way to where they only push */
    int motions;          /* unknowns: motions of the body that it has, then wheels */
    int motion[BODY_MOTIONS];
    int unknowns;
    double *rise;                             /* wheels x motions: of the body over each wheel */
    double *unknown, *backup, *before, *step; /* unknowns */
    double *residual;                         /* unknowns: N, N m */
    double *weight;                           /* unknowns: what each residual is measured in */
    double *K;                                /* corners x corners */
    double *rate;                             /* springs, scratch */
    double *jacobian;                         /* unknowns x unknowns */
    double *rest_volume;                      /* m3: springs, or groups */
    double *couple;                /* wheels: N pushed down on each tyre per m/s2 of lateral */
    double *tyre;                  /* N/m, wheels */
    double *ground;                /* N, wheels: load of each tyre at no deflection from charge */
    double *start;                 /* wheels: rise at the state's standing */
    double *travel, *load, *force; /* wheels: of the answer */
};

static bool take_arrays(lean *l) {
    const vehicle *v = &l->model->vehicle;
    const size_t wheels = (size_t)v->wheels, n = wheels + BODY_MOTIONS;
    const size_t corners = (size_t)v->corners;
    double **const taken[] = {&l->unknown, &l->backup, &l->before, &l->step,   &l->residual,
                              &l->weight,  &l->couple, &l->tyre,   &l->ground, &l->start,
                              &l->travel,  &l->load,   &l->force};
    for (size_t k = 0; k < sizeof taken / sizeof taken[0]; k++) {
        *taken[k] = ARENA_ARRAY(l->arena, double, n);
    }
    l->rise = ARENA_ARRAY(l->arena, double, wheels *BODY_MOTIONS);
    l->K = ARENA_ARRAY(l->arena, double, corners *corners);
    l->rate = ARENA_ARRAY(l->arena, double, v->springs);
    l->jacobian = ARENA_ARRAY(l->arena, double, n *n);
    l->rest_volume =
        ARENA_ARRAY(l->arena, double, (size_t)v->springs + (size_t)l->model->network.nodes);
    standing_make(&l->now, l->arena, l->model);
    return arena_complete(l->arena);
}

/* What lateral acceleration pushes down on each wheel by way of links: the couple of the axle's
   share of the body at the height of the roll axis, and of the wheels' own masses. */
static void find_couples(lean *l) {
    const vehicle *v = &l->model->vehicle;
    const balance_task *task = rates_task(l->rates);
    for (int k = 0; k < v->axles; k++) {
        double mass = 0.0, own = 0.0, middle = 0.0, spread = 0.0;
        for (int c = 0; c < v->wheels; c++) {
            if (v->corner[c].axle == k) {
                mass += task->sprung[c] / STANDARD_GRAVITY;
                own += v->corner[c].unsprung;
                middle += v->corner[c].y / v->axle[k].corners;
            }
        }
        for (int c = 0; c < v->wheels; c++) {
            const double y = v->corner[c].y - middle;
            spread += v->corner[c].axle == k ? y * y : 0.0;
        }
        const double couple = mass * v->body.roll_axis + own * VEHICLE_WHEEL_CENTRE;
        for (int c = 0; c < v->wheels && spread > 0.0; c++) {
            if (v->corner[c].axle == k) {
                l->couple[c] = -couple * (v->corner[c].y - middle) / spread;
            }
        }
    }
}

static void number_unknowns(lean *l) {
    const vehicle *v = &l->model->vehicle;
    const balance_task *task = rates_task(l->rates);
    double arm[BODY_MOTIONS] = {0};
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (rates_result(l->rates)->has[k]) {
            l->motion[l->motions++] = k;
        }
    }
    for (int c = 0; c < v->wheels; c++) {
        const corner *at = &v->corner[c];
        const double rise[BODY_MOTIONS] = {1.0, at->y - task->mass.y, -(at->x - task->mass.x)};
        for (int k = 0; k < l->motions; k++) {
            l->rise[c * BODY_MOTIONS + k] = rise[l->motion[k]];
            arm[k] += task->sprung[c] * fabs(rise[l->motion[k]]);
        }
        l->whole += task->sprung[c];
    }
    l->unknowns = l->motions + v->wheels;
    for (int i = 0; i < l->unknowns; i++) {
        l->weight[i] = fmax(i < l->motions ? arm[i] : l->whole, 1e-3);
    }
}

/* The standing of the state: volumes to count from, tyres and their loads there. */
static void note_rest(lean *l) {
    const vehicle *v = &l->model->vehicle;
    const balance_task *task = rates_task(l->rates);
    for (int c = 0; c < v->wheels; c++) {
        const corner *at = &v->corner[c];
        l->tyre[c] = at->tyre > 0.0 ? at->tyre : LEAN_RIGID;
        l->ground[c] = (at->tyre > 0.0 ? task->design->sprung[c] : l->rest->force[c]) +
                       at->unsprung * STANDARD_GRAVITY;
        l->start[c] = at->tyre > 0.0 ? l->rest->wheel[c] : 0.0;
    }
    if (l->air == AIR_ALONE) {
        for (int i = 0; i < v->springs; i++) {
            l->rest_volume[i] = l->rest->point[i].volume;
        }
    } else {
        const groups *g = balance_groups(rates_balance(l->rates, false));
        memcpy(l->rest_volume, l->rest->volume, (size_t)g->count * sizeof *l->rest_volume);
    }
}

void lean_restart(lean *l) {
    memset(l->unknown, 0, (size_t)l->unknowns * sizeof *l->unknown);
}

baronet_status lean_create(lean **out, rates *r, stiffness_air air,
                           const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    lean *l = ARENA_OWNER(lean, allocator, &a);
    if (l == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    l->model = rates_model(r);
    l->rates = r;
    l->arena = a;
    l->air = air;
    l->exponent = gas_exponent(l->model->gas);
    l->rest = balance_standing(rates_balance(r, false));
    if (!take_arrays(l)) {
        lean_destroy(l);
        return BARONET_OUT_OF_MEMORY;
    }
    number_unknowns(l);
    find_couples(l);
    note_rest(l);
    *out = l;
    return BARONET_OK;
}

void lean_destroy(lean *l) {
    if (l != NULL) {
        arena_destroy(l->arena);
    }
}

/* Travels of the wheels, then heights and volumes of the springs. Bench masses stay where they are.
 */
static void place(lean *l) {
    const vehicle *v = &l->model->vehicle;
    const groups *g = balance_groups(rates_balance(l->rates, false));
    const balance_task *task = rates_task(l->rates);
    memcpy(l->now.travel, l->rest->travel, (size_t)v->corners * sizeof *l->now.travel);
    for (int c = 0; c < v->wheels; c++) {
        l->now.travel[c] += l->unknown[l->motions + c];
        for (int k = 0; k < l->motions; k++) {
            l->now.travel[c] -= l->rise[c * BODY_MOTIONS + k] * l->unknown[k];
        }
    }
    memcpy(l->now.volume, g->fixed, (size_t)g->count * sizeof *l->now.volume);
    for (int i = 0; i < v->springs; i++) {
        const spring *s = &v->spring[i];
        l->now.height[i] = task->design->height[i] - spring_compression(s, l->now.travel);
        /* Without a load table neither volume nor area know of the pressure. */
        const double P = l->rest->spring_pressure[i] - l->model->ambient.pressure;
        l->now.point[i] = profile_at(&v->profile[s->profile], l->now.height[i], P);
        l->now.volume[g->of_node[s->node]] += l->now.point[i].volume;
    }
}

/* Pressures by p V^n, then what each spring carries; false where air would be squeezed out of
   existence. */
static bool press(lean *l) {
    const vehicle *v = &l->model->vehicle;
    const groups *g = balance_groups(rates_balance(l->rates, false));
    const balance_task *task = rates_task(l->rates);
    bool sound = true;
    for (int i = 0; i < v->springs; i++) {
        const spring *s = &v->spring[i];
        const int group = g->of_node[s->node];
        const int k = l->air == AIR_ALONE ? i : group;
        const double V = l->air == AIR_ALONE ? l->now.point[i].volume : l->now.volume[group];
        const bool held = l->air == AIR_GROUP && g->held[group] >= 0;
        sound = sound && V > 0.0;
        const double p = l->rest->spring_pressure[i] *
                         (held || V <= 0.0 ? 1.0 : pow(l->rest_volume[k] / V, l->exponent));
        l->now.spring_pressure[i] = l->now.pressure[group] = p;
        l->now.point[i] =
            profile_at(&v->profile[s->profile], l->now.height[i], p - l->model->ambient.pressure);
        l->now.load[i] =
            l->now.point[i].load + s->rubber * (task->design->height[i] - l->now.height[i]);
    }
    return sound;
}

/* What the suspension gives the body at each wheel. */
static void find_forces(lean *l) {
    const vehicle *v = &l->model->vehicle;
    const balance_task *task = rates_task(l->rates);
    for (int c = 0; c < v->corners; c++) {
        l->now.force[c] =
            task->design->carries[c] + corner_steel_force(&v->corner[c], l->now.travel[c]);
    }
    vehicle_add_bars(v, l->now.travel, l->now.force);
    vehicle_add_springs(v, l->now.load, l->now.force);
}

/* Load of a tyre, which only pushes. */
static double tyre_load(const lean *l, int c, const lean_push *push) {
    const double road = push->road != NULL ? push->road[c] : 0.0;
    const double load =
        l->ground[c] + l->tyre[c] * (road - l->start[c] - l->unknown[l->motions + c]);
    return l->glued ? load : fmax(load, 0.0);
}

static bool touches(const lean *l, int c, const lean_push *push) {
    return l->glued || tyre_load(l, c, push) > 0.0;
}

/* Moment of what acts on the body in one of its motions. */
static double push_on(const lean *l, int motion_index, const lean_push *push) {
    const vehicle *v = &l->model->vehicle;
    const body_mass *mass = &rates_task(l->rates)->mass;
    if (motion_index == MOTION_ROLL) {
        return mass->mass * mass->arm * push->lateral;
    }
    double couple = mass->mass * v->body.cg_height;
    for (int c = 0; c < v->wheels; c++) {
        couple += v->corner[c].unsprung * VEHICLE_WHEEL_CENTRE;
    }
    return motion_index == MOTION_PITCH ? couple * push->braking : 0.0;
}

static double tips(const lean *l) {
    const body_mass *mass = &rates_task(l->rates)->mass;
    return mass->mass * STANDARD_GRAVITY * mass->arm;
}

/* Residuals, the largest relative one returned. The body balances what its suspension gives beyond
   its standing against what pushes it; each wheel its suspension, its own weight and what links
   push down on it against its tyre. */
static double find_residual(lean *l, const lean_push *push) {
    const vehicle *v = &l->model->vehicle;
    place(l);
    if (!press(l)) {
        return HUGE_VAL;
    }
    find_forces(l);
    double worst = 0.0;
    for (int k = 0; k < l->motions; k++) {
        double sum = push_on(l, l->motion[k], push);
        sum += l->motion[k] == MOTION_ROLL ? tips(l) * l->unknown[k] : 0.0;
        for (int c = 0; c < v->wheels; c++) {
            sum += l->rise[c * BODY_MOTIONS + k] * (l->now.force[c] - l->rest->force[c]);
        }
        l->residual[k] = sum;
    }
    for (int c = 0; c < v->wheels; c++) {
        l->residual[l->motions + c] = l->now.force[c] + l->couple[c] * push->lateral +
                                      v->corner[c].unsprung * STANDARD_GRAVITY -
                                      tyre_load(l, c, push);
    }
    for (int i = 0; i < l->unknowns; i++) {
        worst = fmax(worst, fabs(l->residual[i]) / l->weight[i]);
    }
    return isfinite(worst) ? worst : HUGE_VAL;
}

/* Slopes of the residuals: K at the wheels through what moves them, tyres in contact, gravity. */
static void find_jacobian(lean *l, const lean_push *push) {
    const vehicle *v = &l->model->vehicle;
    const int n = l->unknowns, m = l->motions;
    stiffness_find(rates_stiffness(l->rates, false), balance_groups(rates_balance(l->rates, false)),
                   &l->now, l->air, l->exponent, l->K, l->rate);
    memset(l->jacobian, 0, (size_t)n * (size_t)n * sizeof *l->jacobian);
    for (int c = 0; c < v->wheels; c++) {
        double *row = l->jacobian + (size_t)(m + c) * (size_t)n;
        for (int d = 0; d < v->wheels; d++) {
            const double k = l->K[(size_t)c * (size_t)v->corners + (size_t)d];
            row[m + d] += k;
            for (int j = 0; j < m; j++) {
                row[j] -= k * l->rise[d * BODY_MOTIONS + j];
            }
        }
        for (int k = 0; k < m; k++) {
            for (int j = 0; j < n; j++) {
                l->jacobian[k * n + j] += l->rise[c * BODY_MOTIONS + k] * row[j];
            }
        }
        row[m + c] += touches(l, c, push) ? l->tyre[c] : 0.0;
    }
    for (int k = 0; k < m; k++) {
        l->jacobian[k * n + k] += l->motion[k] == MOTION_ROLL ? tips(l) : 0.0;
    }
}

/* Halves the step until the residual falls; the new residual, or infinity. */
static double take_step(lean *l, const lean_push *push, double before) {
    memcpy(l->backup, l->unknown, (size_t)l->unknowns * sizeof *l->backup);
    double part = 1.0;
    for (int k = 0; k < LEAN_HALVINGS; k++, part *= 0.5) {
        for (int i = 0; i < l->unknowns; i++) {
            l->unknown[i] = l->backup[i] - part * l->step[i];
        }
        const double after = find_residual(l, push);
        if (after < before) {
            return after;
        }
    }
    memcpy(l->unknown, l->backup, (size_t)l->unknowns * sizeof *l->backup);
    (void)find_residual(l, push);
    return HUGE_VAL;
}

static baronet_status iterate(lean *l, const lean_push *push, lean_answer *out) {
    out->residual = find_residual(l, push);
    for (out->iterations = 0; out->residual > LEAN_TOLERANCE; out->iterations++) {
        if (out->iterations == LEAN_STEPS) {
            return BARONET_NOT_CONVERGED;
        }
        find_jacobian(l, push);
        memcpy(l->step, l->residual, (size_t)l->unknowns * sizeof *l->step);
        const baronet_status status = dense_solve(l->unknowns, l->jacobian, 1, l->step);
        if (status != BARONET_OK) {
            return status == BARONET_OUT_OF_MEMORY ? status : BARONET_UNSTABLE;
        }
        const double after = take_step(l, push, out->residual);
        if (after == HUGE_VAL) {
            return out->residual < LEAN_ROUNDING ? BARONET_OK : BARONET_NOT_CONVERGED;
        }
        out->residual = after;
    }
    return BARONET_OK;
}

static void check_parts(const lean *l, lean_answer *out) {
    const vehicle *v = &l->model->vehicle;
    const double roll = fabs(out->body[MOTION_ROLL]), pitch = fabs(out->body[MOTION_PITCH]);
    if (fmax(roll, pitch) > LEAN_TIPPED) {
        out->problem = (problem){.status = BARONET_UNSTABLE,
                                 .item = roll > pitch ? MOTION_ROLL : MOTION_PITCH};
        return;
    }
    for (int i = 0; i < v->springs; i++) {
        const double over = profile_overrun(&v->profile[v->spring[i].profile], l->now.height[i]);
        if (over != 0.0 && !v->spring[i].bench) {
            out->problem = (problem){.status = BARONET_OFF_PROFILE, .item = i, .amount = over};
            return;
        }
    }
}

static void describe(lean *l, const lean_push *push, lean_answer *out) {
    const vehicle *v = &l->model->vehicle;
    const state_standing *rest = &rates_result(l->rates)->settled;
    double least = HUGE_VAL;
    for (int k = 0; k < l->motions; k++) {
        out->body[l->motion[k]] = l->unknown[k];
    }
    for (int c = 0; c < v->wheels; c++) {
        l->load[c] = tyre_load(l, c, push);
        l->travel[c] = l->now.travel[c] - l->rest->travel[c];
        l->force[c] = l->now.force[c] - l->rest->force[c];
        out->lifted += l->load[c] <= 0.0;
        if (l->load[c] / rest->load[c] < least) {
            least = l->load[c] / rest->load[c];
            out->lightest = c;
        }
    }
}

/* First with tyres that hold on to the ground, then, where one would have to pull, as they are:
   from a start with a wheel in the air there may be no way back. */
static baronet_status find(lean *l, const lean_push *push, lean_answer *out) {
    l->glued = true;
    baronet_status status = iterate(l, push, out);
    l->glued = false;
    bool pulls = false;
    for (int c = 0; c < l->model->vehicle.wheels; c++) {
        pulls = pulls || !touches(l, c, push);
    }
    if (status == BARONET_OK && pulls) {
        const int steps = out->iterations;
        status = iterate(l, push, out);
        out->iterations += steps;
    }
    return status;
}

baronet_status lean_solve(lean *l, lean_push push, lean_answer *out) {
    const size_t bytes = (size_t)l->unknowns * sizeof *l->before;
    *out = (lean_answer){.problem = {.status = BARONET_OK, .item = -1},
                         .travel = l->travel,
                         .load = l->load,
                         .force = l->force};
    memcpy(l->before, l->unknown, bytes);
    const baronet_status status = find(l, &push, out);
    if (status == BARONET_OUT_OF_MEMORY) {
        return status;
    }
    describe(l, &push, out);
    out->problem.status = status;
    if (status == BARONET_OK) {
        check_parts(l, out);
    } else if (status == BARONET_UNSTABLE) {
        out->problem.item = push.braking != 0.0 ? MOTION_PITCH : MOTION_ROLL;
    }
    if (out->problem.status != BARONET_OK) {
        memcpy(l->unknown, l->before, bytes); /* what failed is no start for what comes next */
    }
    return BARONET_OK;
}
