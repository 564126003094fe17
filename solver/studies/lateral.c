/* SPDX-License-Identifier: MIT */
#include "studies/lateral.h"

#include <math.h>
#include <string.h>

/* Steps in which a limit is approached, and by how much it is halved in. */
#define LATERAL_FINE  0.05 /* g */
#define LATERAL_CLIMB 0.01 /* m */
enum { LATERAL_HALVINGS = 30 };
/* A load below this part of what it is at rest is as good as none. */
#define LATERAL_NOTHING 0.01
/* A couple below this part of the whole load times a metre says nothing of shares. */
#define LATERAL_SLIGHT 1e-9

typedef struct study {
    const model *model;
    rates *rates;
    arena *arena;
    lean *lean;
    lateral_air air;
    double *road; /* m, wheels */
    lateral_answer *out;
} study;

double lateral_braking(int row) {
    return 0.2 * (row + 1) * STANDARD_GRAVITY;
}

double lateral_height(int row) {
    static const double heights[LATERAL_HEIGHTS] = {0.025, 0.05, 0.1, 0.15};
    return heights[row];
}

static baronet_status stand(study *s, lean_push push, lean_answer *at) {
    const baronet_status status = lean_solve(s->lean, push, at);
    if (at->problem.status == BARONET_OK) {
        s->out->residual = fmax(s->out->residual, at->residual);
    }
    return status;
}

/* Parts of two couples that each axle takes: of the body's springs, and of the tyres' loads. */
static void find_shares(const study *s, const lean_answer *at, lateral_row *row) {
    const vehicle *v = &s->model->vehicle;
    const state_standing *rest = &rates_result(s->rates)->settled;
    double springs = 0.0, tyres = 0.0, load = 0.0;
    for (int c = 0; c < v->wheels; c++) {
        const double y = v->corner[c].y - rest->mass.y;
        springs += y * at->force[c];
        tyres += y * (at->load[c] - rest->load[c]);
        load += rest->load[c];
        row->roll_share[v->corner[c].axle] += y * at->force[c];
        row->load_share[v->corner[c].axle] += y * (at->load[c] - rest->load[c]);
    }
    for (int k = 0; k < v->axles; k++) {
        row->roll_share[k] =
            fabs(springs) > LATERAL_SLIGHT * load ? row->roll_share[k] / springs : (double)NAN;
        row->load_share[k] =
            fabs(tyres) > LATERAL_SLIGHT * load ? row->load_share[k] / tyres : (double)NAN;
    }
}

static bool take_row(const study *s, lateral_row *row) {
    row->roll_share = ARENA_ARRAY(s->arena, double, s->model->vehicle.axles);
    row->load_share = ARENA_ARRAY(s->arena, double, s->model->vehicle.axles);
    row->load = ARENA_ARRAY(s->arena, double, s->model->vehicle.wheels);
    return arena_complete(s->arena);
}

/* The table, up to where it cannot go on. */
static baronet_status bend_rows(study *s) {
    lean_restart(s->lean);
    for (int k = 0; k < LATERAL_ROWS; k++) {
        lateral_row *row = &s->out->row[s->air][k];
        lean_answer at;
        row->lateral = LATERAL_STEP * (k + 1) * STANDARD_GRAVITY;
        baronet_status status = stand(s, (lean_push){.lateral = row->lateral}, &at);
        if (status == BARONET_OK && !take_row(s, row)) {
            status = BARONET_OUT_OF_MEMORY;
        }
        if (status != BARONET_OK) {
            return status;
        }
        if (at.problem.status != BARONET_OK) {
            s->out->row_problem[s->air] = at.problem;
            return BARONET_OK;
        }
        row->given = true;
        row->roll = at.body[MOTION_ROLL];
        row->lightest = at.lightest;
        row->lifted = at.lifted;
        memcpy(row->load, at.load, (size_t)s->model->vehicle.wheels * sizeof *row->load);
        find_shares(s, &at, row);
    }
    return BARONET_OK;
}

/* A push of some size, for the search of a limit. */
typedef lean_push push_of(const study *s, double size);

static lean_push to_left(const study *s, double size) {
    (void)s;
    return (lean_push){.lateral = size};
}

static lean_push to_right(const study *s, double size) {
    (void)s;
    return (lean_push){.lateral = -size};
}

static lean_push over_obstacle(const study *s, double size) {
    for (int c = 0; c < s->model->vehicle.wheels; c++) {
        s->road[c] = s->out->raised[c] ? size : 0.0;
    }
    return (lean_push){.road = s->road};
}

/* Whether the vehicle no longer stands as it should: a wheel in the air, or no answer. */
static bool is_over(const lean_answer *at) {
    return at->problem.status != BARONET_OK || at->lifted > 0;
}

/* Halves the step between what stands and what does not, then tells which it was: where a wheel's
   load has come down to nothing, it lifts, whether or not the vehicle then stands on the others. */
static baronet_status close_in(study *s, push_of *push, double low, double high,
                               lateral_limit *out) {
    lean_answer at;
    for (int k = 0; k < LATERAL_HALVINGS; k++) {
        const double middle = 0.5 * (low + high);
        const baronet_status status = stand(s, push(s, middle), &at);
        if (status != BARONET_OK) {
            return status;
        }
        if (is_over(&at)) {
            high = middle;
            out->problem = at.problem;
        } else {
            low = middle;
        }
    }
    const baronet_status status = stand(s, push(s, low), &at);
    const double *rest = rates_result(s->rates)->settled.load;
    out->at = high;
    out->wheel = at.lightest;
    out->lifts = at.load[at.lightest] < LATERAL_NOTHING * rest[at.lightest];
    if (out->lifts) {
        out->problem = (problem){.status = BARONET_OK, .item = -1};
    }
    return status;
}

/* Goes up step by step until it is over. */
static baronet_status find_limit(study *s, push_of *push, double step, double farthest,
                                 lateral_limit *out) {
    lean_answer at;
    double low = 0.0, high = 0.0;
    *out = (lateral_limit){.wheel = -1, .problem = {.status = BARONET_OK, .item = -1}};
    lean_restart(s->lean);
    while (high < farthest) {
        low = high;
        high = fmin(high + step, farthest);
        const baronet_status status = stand(s, push(s, high), &at);
        if (status != BARONET_OK) {
            return status;
        }
        if (is_over(&at)) {
            out->problem = at.problem;
            return close_in(s, push, low, high, out);
        }
    }
    out->at = farthest;
    return BARONET_OK;
}

static double body_drop(const study *s, const lean_answer *at, int axle_index) {
    const double x = s->model->vehicle.axle[axle_index].x - rates_task(s->rates)->mass.x;
    return x * at->body[MOTION_PITCH] - at->body[MOTION_HEAVE];
}

static void outer_axles(const vehicle *v, int *front, int *rear) {
    *front = *rear = 0;
    for (int k = 1; k < v->axles; k++) {
        *front = v->axle[k].x > v->axle[*front].x ? k : *front;
        *rear = v->axle[k].x < v->axle[*rear].x ? k : *rear;
    }
}

static baronet_status braking_rows(study *s) {
    int front, rear;
    outer_axles(&s->model->vehicle, &front, &rear);
    lean_restart(s->lean);
    for (int k = 0; k < LATERAL_BRAKINGS; k++) {
        braking_row *row = &s->out->braking[s->air][k];
        lean_answer at;
        row->braking = lateral_braking(k);
        const baronet_status status = stand(s, (lean_push){.braking = row->braking}, &at);
        if (status != BARONET_OK || at.problem.status != BARONET_OK) {
            return status;
        }
        row->given = true;
        row->pitch = at.body[MOTION_PITCH];
        row->dip = body_drop(s, &at, front);
        row->rise = -body_drop(s, &at, rear);
    }
    return BARONET_OK;
}

static baronet_status warp_rows(study *s) {
    lean_restart(s->lean);
    for (int k = 0; k < LATERAL_HEIGHTS; k++) {
        warp_row *row = &s->out->warp[s->air][k];
        lean_answer at;
        row->height = lateral_height(k);
        row->load = ARENA_ARRAY(s->arena, double, s->model->vehicle.wheels);
        const baronet_status status = stand(s, over_obstacle(s, row->height), &at);
        if (status != BARONET_OK || row->load == NULL) {
            return row->load == NULL ? BARONET_OUT_OF_MEMORY : status;
        }
        if (at.problem.status != BARONET_OK) {
            return BARONET_OK;
        }
        row->given = true;
        memcpy(row->load, at.load, (size_t)s->model->vehicle.wheels * sizeof *row->load);
    }
    return BARONET_OK;
}

/* Left wheels of the foremost axle and right ones of the rearmost; false where either has none. */
static bool raise(const study *s) {
    const vehicle *v = &s->model->vehicle;
    int front, rear;
    outer_axles(v, &front, &rear);
    bool left = false, right = false;
    for (int c = 0; c < v->wheels; c++) {
        const double y = v->corner[c].y - rates_task(s->rates)->mass.y;
        const bool first = v->corner[c].axle == front && y > VEHICLE_SAME_PLACE;
        const bool last = v->corner[c].axle == rear && y < -VEHICLE_SAME_PLACE;
        s->out->raised[c] = front != rear && (first || last);
        left = left || (first && front != rear);
        right = right || (last && front != rear);
    }
    return left && right;
}

static baronet_status all_of_air(study *s) {
    const lateral_answer *out = s->out;
    baronet_status status = BARONET_OK;
    if (out->bends) {
        status = bend_rows(s);
    }
    push_of *const sides[] = {to_left, to_right};
    for (int k = 0; k < 2 && out->bends && status == BARONET_OK; k++) {
        status = find_limit(s, sides[k], LATERAL_FINE * STANDARD_GRAVITY,
                            LATERAL_FARTHEST * STANDARD_GRAVITY, &s->out->bend[s->air][k]);
    }
    if (status == BARONET_OK && out->brakes) {
        status = braking_rows(s);
    }
    if (status == BARONET_OK && out->warps) {
        status = warp_rows(s);
    }
    if (status == BARONET_OK && out->warps) {
        status =
            find_limit(s, over_obstacle, LATERAL_CLIMB, LATERAL_HIGHEST, &s->out->obstacle[s->air]);
    }
    return status;
}

baronet_status lateral_solve(lateral_answer *out, arena *a, rates *r,
                             const baronet_allocator *allocator) {
    const model *m = rates_model(r);
    const rates_answer *answer = rates_result(r);
    study s = {.model = m, .rates = r, .arena = a, .out = out};
    *out = (lateral_answer){.raised = ARENA_ARRAY(a, bool, m->vehicle.wheels)};
    s.road = ARENA_ARRAY(a, double, m->vehicle.wheels);
    if (out->raised == NULL || s.road == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    if (m->vehicle.wheels == 0) {
        return BARONET_OK;
    }
    const body *b = &m->vehicle.body;
    out->bends = answer->has[MOTION_ROLL] && b->cg_height_given && b->roll_axis_given;
    out->brakes = answer->has[MOTION_PITCH] && b->cg_height_given;
    out->warps = raise(&s) && answer->warps > 0;
    baronet_status status = BARONET_OK;
    for (int k = 0; k < LATERAL_AIRS && status == BARONET_OK; k++) {
        s.air = (lateral_air)k;
        status = lean_create(&s.lean, r, k == LATERAL_AT_ONCE ? AIR_ALONE : AIR_GROUP, allocator);
        if (status == BARONET_OK) {
            status = all_of_air(&s);
        }
        lean_destroy(s.lean);
        s.lean = NULL;
    }
    return status;
}
