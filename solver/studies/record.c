/* SPDX-License-Identifier: MIT */
#include "studies/record.h"

#include <math.h>
#include <string.h>

static int count_channels(const dynamics *m) {
    const vehicle *v = &m->model->vehicle;
    const network *net = &m->model->network;
    return v->springs + 2 * net->nodes + v->corners + v->wheels + BODY_MOTIONS + net->edges;
}

static void add(record *r, channel_kind kind, int item) {
    r->channel[r->channels++] =
        (channel){.kind = kind, .item = item, .lowest = HUGE_VAL, .highest = -HUGE_VAL};
}

static void list_channels(record *r) {
    const dynamics *m = r->dynamics;
    const vehicle *v = &m->model->vehicle;
    const network *net = &m->model->network;
    for (int i = 0; i < v->springs; i++) {
        add(r, CHANNEL_HEIGHT, i);
    }
    for (int i = 0; i < net->nodes; i++) {
        if (!dynamics_is_held(m, i)) {
            add(r, CHANNEL_GAUGE_PRESSURE, i);
        }
    }
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (m->body_position[k] >= 0) {
            add(r, CHANNEL_BODY, k);
        }
    }
    for (int c = 0; c < v->corners; c++) {
        add(r, CHANNEL_HEIGHT_SHIFT, c);
    }
    for (int c = 0; c < v->wheels; c++) {
        add(r, CHANNEL_LOAD, c);
    }
    for (int i = 0; i < net->nodes && m->energy; i++) {
        if (net->node[i].kind == NODE_SPRING || net->node[i].kind == NODE_TANK) {
            add(r, CHANNEL_TEMPERATURE, i);
        }
    }
    for (int i = 0; i < net->edges; i++) {
        add(r, CHANNEL_FLOW, i);
    }
}

baronet_status record_create(record **out, const dynamics *m, const double *design_travel,
                             double drop) {
    *out = NULL;
    arena *a;
    record *r = ARENA_OWNER(record, m->allocator, &a);
    if (r == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    const int most = count_channels(m);
    r->dynamics = m;
    r->design_travel = design_travel;
    r->arena = a;
    r->drop = drop;
    r->fell = ARENA_ARRAY(a, double, m->model->vehicle.corners);
    r->channel = ARENA_ARRAY(a, channel, most);
    r->near_value[0] = ARENA_ARRAY(a, double, most);
    r->near_value[1] = ARENA_ARRAY(a, double, most);
    r->value = ARENA_ARRAY(a, double, most);
    if (!arena_complete(a)) {
        record_destroy(r);
        return BARONET_OUT_OF_MEMORY;
    }
    for (int c = 0; c < m->model->vehicle.corners; c++) {
        r->fell[c] = (double)NAN;
    }
    list_channels(r);
    *out = r;
    return BARONET_OK;
}

void record_destroy(record *r) {
    if (r != NULL) {
        memory_resize(arena_allocator(r->arena), r->row, 0);
        memory_resize(arena_allocator(r->arena), r->mark, 0);
        arena_destroy(r->arena);
    }
}

static double height(const record *r, const double *y, int item) {
    (void)y;
    return r->dynamics->height[item];
}

static double gauge_pressure(const record *r, const double *y, int item) {
    (void)y;
    return r->dynamics->pressure[item] - r->dynamics->model->ambient.pressure;
}

static double temperature(const record *r, const double *y, int item) {
    (void)y;
    return r->dynamics->temperature[item];
}

static double height_shift(const record *r, const double *y, int item) {
    (void)y;
    return r->design_travel[item] - r->dynamics->travel[item];
}

static double load(const record *r, const double *y, int item) {
    (void)y;
    return r->dynamics->ground[item];
}

static double position(const record *r, const double *y, int item) {
    const dynamics *m = r->dynamics;
    const double at = y[m->first_position + m->body_position[item]];
    return item == MOTION_HEAVE ? at - r->heave : at;
}

static double path_flow(const record *r, const double *y, int item) {
    return dynamics_flow(r->dynamics, y, item) /
           gas_density(1e5, 293.15); /* free air: 20 C, 100 kPa */
}

/* Each kind of channel: its name, its dimension and how it is read. */
static const struct {
    const char *quantity;
    baronet_dimension dimension;
    double (*read)(const record *r, const double *y, int item);
} kinds[CHANNEL_KINDS] = {
    [CHANNEL_HEIGHT] = {"height", BARONET_LENGTH, height},
    [CHANNEL_GAUGE_PRESSURE] = {"gauge_pressure", BARONET_PRESSURE, gauge_pressure},
    [CHANNEL_TEMPERATURE] = {"temperature", BARONET_TEMPERATURE, temperature},
    [CHANNEL_HEIGHT_SHIFT] = {"height_shift", BARONET_LENGTH, height_shift},
    [CHANNEL_LOAD] = {"load", BARONET_FORCE, load},
    [CHANNEL_BODY] = {"heave", BARONET_LENGTH, position},
    [CHANNEL_FLOW] = {"flow", BARONET_VOLUME_FLOW, path_flow},
};

const char *channel_quantity(const channel *c) {
    static const char *const motions[BODY_MOTIONS] = {"heave", "roll", "pitch"};
    return c->kind == CHANNEL_BODY ? motions[c->item] : kinds[c->kind].quantity;
}

baronet_dimension channel_dimension(const channel *c) {
    return c->kind == CHANNEL_BODY && c->item != MOTION_HEAVE ? BARONET_ANGLE
                                                              : kinds[c->kind].dimension;
}

const char *channel_subject(const model *m, const channel *c) {
    switch (c->kind) {
    case CHANNEL_HEIGHT:
        return m->vehicle.spring[c->item].name;
    case CHANNEL_GAUGE_PRESSURE:
    case CHANNEL_TEMPERATURE:
        return m->network.node[c->item].name;
    case CHANNEL_HEIGHT_SHIFT:
    case CHANNEL_LOAD:
        return m->vehicle.corner[c->item].name;
    case CHANNEL_FLOW:
        return m->network.edge[c->item].name;
    case CHANNEL_BODY:
    case CHANNEL_KINDS:
        break;
    }
    return "vehicle";
}

const channel *record_find(const record *r, channel_kind kind, int item) {
    for (int k = 0; k < r->channels; k++) {
        if (r->channel[k].kind == kind && r->channel[k].item == item) {
            return &r->channel[k];
        }
    }
    return NULL;
}

static void widen(channel *c, double t, double value) {
    if (value < c->lowest) {
        c->lowest = value;
        c->lowest_at = t;
    }
    if (value > c->highest) {
        c->highest = value;
        c->highest_at = t;
    }
}

/* A summit between samples: the vertex of the parabola through three of them, where the middle one
   is the highest or lowest. */
static void widen_between(record *r, int k, double t) {
    const double a = r->near_value[0][k], b = r->near_value[1][k], c = r->value[k];
    const double left = r->near_time[1] - r->near_time[0], right = t - r->near_time[1];
    if ((b - a) * (c - b) >= 0.0 || left <= 0.0 || right <= 0.0) {
        return;
    }
    const double rise = (b - a) / left, fall = (c - b) / right;
    const double bend = (fall - rise) / (left + right);
    const double slope = rise + bend * left; /* at the middle sample */
    const double away = -0.5 * slope / bend;
    widen(&r->channel[k], r->near_time[1] + away, b + away * (slope + bend * away));
}

/* Read between this sample and the last, were they neighbours. */
static void watch_fall(record *r, int k, double t) {
    const channel *c = &r->channel[k];
    const double limit = c->start - r->drop;
    if (c->kind != CHANNEL_HEIGHT_SHIFT || !isnan(r->fell[c->item]) || r->value[k] > limit) {
        return;
    }
    if (r->near == 0) { /* it fell at a jump */
        r->fell[c->item] = t;
        return;
    }
    const double before = r->near_value[1][k], since = r->near_time[1];
    r->fell[c->item] = since + (before - limit) / (before - r->value[k]) * (t - since);
}

static double *next_row(record *r, double **rows, size_t *count, size_t *room, int width) {
    const size_t bytes = (size_t)(width + 1) * sizeof(double);
    if (*count == *room && !r->failed) {
        double *more = memory_grow(arena_allocator(r->arena), *rows, *count, room, bytes);
        r->failed = more == NULL;
        *rows = more != NULL ? more : *rows;
    }
    return r->failed ? NULL : *rows + (*count)++ * (size_t)(width + 1);
}

static void keep_row(record *r, double t) {
    double *row = next_row(r, &r->row, &r->rows, &r->row_room, r->channels);
    if (row != NULL) {
        row[0] = t;
        memcpy(row + 1, r->value, (size_t)r->channels * sizeof *row);
    }
}

void record_take(record *r, double t, const double *y, bool keep) {
    const dynamics *m = r->dynamics;
    const bool first = r->marks == 0;
    const int heave = m->body_position[MOTION_HEAVE];
    if (first && heave >= 0) {
        r->heave = y[m->first_position + heave];
    }
    for (int k = 0; k < r->channels; k++) {
        channel *c = &r->channel[k];
        if (c->kind == CHANNEL_FLOW && !keep) {
            r->value[k] = (double)NAN; /* as long to find as a step of the integrator */
            continue;
        }
        r->value[k] = kinds[c->kind].read(r, y, c->item);
        c->start = first ? r->value[k] : c->start;
        c->end = r->value[k];
        widen(c, t, r->value[k]);
        watch_fall(r, k, t);
        if (r->near == 2 && c->kind != CHANNEL_FLOW) {
            widen_between(r, k, t);
        }
    }
    double *const oldest = r->near_value[0];
    r->near_value[0] = r->near_value[1];
    r->near_value[1] = r->value;
    if (keep) {
        keep_row(r, t);
    }
    r->value = oldest;
    r->near_time[0] = r->near_time[1];
    r->near_time[1] = t;
    r->near = r->near < 2 ? r->near + 1 : 2;
    const int springs = m->model->vehicle.springs;
    double *mark = next_row(r, &r->mark, &r->marks, &r->mark_room, springs);
    if (mark != NULL) {
        mark[0] = t;
        memcpy(mark + 1, m->height, (size_t)springs * sizeof *mark);
    }
}

void record_jump(record *r) {
    r->near = 0;
}

double record_settled(const record *r, double from, double least, double part) {
    const int springs = r->dynamics->model->vehicle.springs;
    const size_t width = (size_t)springs + 1;
    if (r->marks == 0) {
        return (double)NAN;
    }
    const double *last = r->mark + (r->marks - 1) * width;
    double settled = from;
    for (int i = 1; i <= springs; i++) {
        double farthest = 0.0;
        for (size_t k = 0; k < r->marks; k++) {
            const double *mark = r->mark + k * width;
            farthest = mark[0] >= from ? fmax(farthest, fabs(mark[i] - last[i])) : farthest;
        }
        const double near = fmax(least, part * farthest);
        for (size_t k = r->marks; k-- > 0 && r->mark[k * width] > settled;) {
            if (fabs(r->mark[k * width + (size_t)i] - last[i]) > near) {
                settled = r->mark[(k + 1) * width]; /* the last is no way from itself */
                break;
            }
        }
    }
    return settled;
}
