/* SPDX-License-Identifier: MIT */
#include "studies/faults.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Changes below this are none. */
#define FAULT_LEAST 1e-4 /* m */

/* Whether a corner stands on this part, or rather on a spring at this node. */
static bool is_own(const model *m, const fault *f, int corner_index) {
    if (f->kind != FAULT_BURST || m->network.node[f->item].kind != NODE_SPRING) {
        return false;
    }
    const spring *s = &m->vehicle.spring[m->network.node[f->item].item];
    for (int k = 0; k < s->levers; k++) {
        if (s->lever[k].corner == corner_index) {
            return true;
        }
    }
    return false;
}

static void find_drop(const model *m, const record *r, fault *f) {
    f->first = -1;
    f->drop_time = (double)NAN;
    for (int c = 0; c < m->vehicle.corners; c++) {
        if (!isnan(r->fell[c]) && (f->first < 0 || r->fell[c] < f->drop_time)) {
            f->first = c;
            f->drop_time = r->fell[c];
        }
    }
}

static void find_harm(const model *m, const play_answer *a, fault *f) {
    for (int c = 0; c < m->vehicle.corners; c++) {
        const corner *one = &m->vehicle.corner[c];
        const dynamics *d = a->dynamics;
        if (one->bump_rate > 0.0 && d->travel[c] > one->bump_at) {
            f->harm |= HARM_ON_STOP;
        }
        if (one->rebound_rate > 0.0 && -d->travel[c] > one->rebound_at) {
            f->harm |= HARM_TOPPED;
        }
        if (c < m->vehicle.wheels && d->contact[c] <= 0.0) {
            f->harm |= HARM_LIFTED;
        }
    }
    for (int i = 0; i < m->vehicle.springs; i++) {
        f->harm |= f->pressure[i] < DYNAMICS_FLAT ? HARM_FLAT : 0u;
    }
    f->harm |= fabs(f->lean) > FAULTS_LEAN ? HARM_LEANS : 0u;
    f->harm |= a->end != PLAY_FINISHED ? HARM_UNFINISHED : 0u;
}

static void read_run(const model *m, const play_answer *a, fault *f) {
    const record *r = a->record;
    f->end = a->end;
    f->end_item = a->item;
    f->ended = a->time;
    f->worst = -1;
    for (int c = 0; c < m->vehicle.corners; c++) {
        const channel *shift = record_find(r, CHANNEL_HEIGHT_SHIFT, c);
        f->shift[c] = shift->end - shift->start;
        f->drawn[c] = f->shift[c] < -FAULTS_DRAWN && !is_own(m, f, c);
        if (f->shift[c] < -FAULT_LEAST && (f->worst < 0 || f->shift[c] < f->shift[f->worst])) {
            f->worst = c;
        }
    }
    for (int i = 0; i < m->vehicle.springs; i++) {
        f->pressure[i] = record_find(r, CHANNEL_GAUGE_PRESSURE, m->vehicle.spring[i].node)->end;
    }
    const channel *roll = record_find(r, CHANNEL_BODY, MOTION_ROLL);
    f->lean = roll != NULL ? roll->end - roll->start : 0.0;
    f->held = a->after;
    f->moving = a->end == PLAY_FINISHED && !a->at_rest;
    find_drop(m, r, f);
    find_harm(m, a, f);
}

/* What takes the current or a supply away. */
static action action_of(const model *m, const fault *f) {
    action does = {.trigger = TRIGGER_TIME, .watched = -1, .item = f->item};
    if (f->kind == FAULT_SUPPLY_LOST) {
        does.kind = ACTION_SUPPLY_LOST;
    } else if (f->item >= 0) {
        does.kind = m->network.edge[f->item].normally_open ? ACTION_OPEN : ACTION_SHUT;
    } else {
        does.kind = ACTION_STATE;
        does.item = m->rest_state;
    }
    return does;
}

/* The part as settings of a run: a hole, a stuck valve, or one action at once. */
static baronet_status play_fault(faults_answer *out, rates *r, const charge *c, int state,
                                 double drop, fault *f, const baronet_allocator *allocator) {
    const model *m = c->model;
    dynamics_hole hole = {.node = f->item, .bore = f->bore, .open = true};
    dynamics_stuck stuck = {.edge = f->item};
    action does;
    script s = {.name = "fault", .state = state, .until = FAULTS_SECONDS};
    play_settings with = {.drop = drop, .points = 2, .hole = &hole, .stuck = &stuck};
    switch (f->kind) {
    case FAULT_BURST:
        with.holes = 1;
        break;
    case FAULT_STUCK_OPEN:
    case FAULT_STUCK_SHUT:
        with.stucks = 1;
        stuck.kind = f->kind == FAULT_STUCK_OPEN ? STUCK_OPEN : STUCK_SHUT;
        break;
    case FAULT_NO_CURRENT:
    case FAULT_SUPPLY_LOST:
        does = action_of(m, f);
        s.action = &does;
        s.actions = 1;
        break;
    case FAULT_KINDS:
        break;
    }
    play_answer *a = NULL;
    const baronet_status status = play_run(&a, r, c->travel, &s, &with, allocator);
    if (status == BARONET_OK) {
        out->held = a->before;
        out->used += (double)a->steps / (double)a->budget;
        read_run(m, a, f);
    }
    play_free(a);
    return status;
}

static void add(faults_answer *out, fault_kind kind, int item, double bore) {
    out->fault[out->faults++] = (fault){.kind = kind, .item = item, .bore = bore};
}

static void list_valve(faults_answer *out, const edge *e, int index, const bool *open) {
    switch (e->kind) {
    case EDGE_SOLENOID:
        out->unchanged++;
        if (open[e->solenoid] != e->normally_open) {
            add(out, FAULT_NO_CURRENT, index, 0.0);
        } else {
            add(out, open[e->solenoid] ? FAULT_STUCK_SHUT : FAULT_STUCK_OPEN, index, 0.0);
        }
        break;
    case EDGE_CHECK_VALVE:
    case EDGE_REGULATOR:
    case EDGE_RELIEF:
        add(out, FAULT_STUCK_OPEN, index, 0.0);
        add(out, FAULT_STUCK_SHUT, index, 0.0);
        break;
    case EDGE_COMPRESSOR:
        add(out, FAULT_STUCK_SHUT, index, 0.0);
        break;
    case EDGE_HOSE:
        add(out, FAULT_BURST, e->air, e->path.bore);
        break;
    case EDGE_RESTRICTOR:
        break;
    }
}

/* What is left open where a tee comes off its widest hose. */
static double tee_hole(const network *net, int node_index) {
    double bore = 0.0;
    for (int i = 0; i < net->edges; i++) {
        const edge *e = &net->edge[i];
        if (e->kind == EDGE_HOSE && (e->from == node_index || e->to == node_index)) {
            bore = fmax(bore, e->path.bore);
        }
    }
    return bore > 0.0 ? bore : FAULTS_HOLE;
}

static void list_faults(faults_answer *out, const model *m, const bool *open) {
    const network *net = &m->network;
    for (int i = 0; i < net->nodes; i++) {
        const node_kind kind = net->node[i].kind;
        if (kind == NODE_SPRING || kind == NODE_TANK) {
            add(out, FAULT_BURST, i, FAULTS_HOLE);
        } else if (kind == NODE_TEE) {
            add(out, FAULT_BURST, i, tee_hole(net, i));
        } else if (kind == NODE_SUPPLY) {
            add(out, FAULT_SUPPLY_LOST, i, 0.0);
        }
    }
    bool energised = false;
    for (int i = 0; i < net->edges; i++) {
        list_valve(out, &net->edge[i], i, open);
        const edge *e = &net->edge[i];
        energised = energised || (e->solenoid >= 0 && open[e->solenoid] != e->normally_open);
    }
    if (energised) {
        add(out, FAULT_NO_CURRENT, -1, 0.0);
    }
}

/* In whole parts of a unit, so that what differs by rounding does not decide the order. */
static long parts(double value, double unit) {
    return isnan(value) ? 1000000L : lround(value / unit);
}

/* Undrivable ones first, then by how far the worst corner goes down and how soon, then by lean. */
static int compare(const void *left, const void *right) {
    const fault *a = left, *b = right;
    const double millimetre = 1e-3, hundredth = 1e-2;
    const double down_a = a->worst >= 0 ? -a->shift[a->worst] : 0.0;
    const double down_b = b->worst >= 0 ? -b->shift[b->worst] : 0.0;
    const long keys[][2] = {
        {a->harm == 0, b->harm == 0},
        {parts(-down_a, millimetre), parts(-down_b, millimetre)},
        {parts(a->drop_time, hundredth), parts(b->drop_time, hundredth)},
        {parts(-fabs(a->lean), hundredth), parts(-fabs(b->lean), hundredth)},
        {(long)a->kind, (long)b->kind},
        {a->item, b->item},
    };
    for (size_t k = 0; k < sizeof keys / sizeof keys[0]; k++) {
        if (keys[k][0] != keys[k][1]) {
            return keys[k][0] < keys[k][1] ? -1 : 1;
        }
    }
    return 0;
}

baronet_status faults_solve(faults_answer *out, rates *r, const charge *c, int state,
                            const faults_settings *with, const baronet_allocator *allocator) {
    const model *m = c->model;
    *out = (faults_answer){.arena = arena_create(allocator)};
    const int most = m->network.nodes + 2 * m->network.edges + 1;
    out->fault = out->arena != NULL ? ARENA_ARRAY(out->arena, fault, most) : NULL;
    if (out->fault == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    const double drop = with->drop > 0.0 ? with->drop : FAULTS_DROP;
    const double budget = with->budget > 0.0 ? with->budget : FAULTS_BUDGET;
    list_faults(out, m, rates_open(r));
    baronet_status status = BARONET_OK;
    for (int k = 0; k < out->faults && status == BARONET_OK; k++) {
        fault *f = &out->fault[k];
        if (out->used >= budget) {
            out->unplayed = out->faults - k;
            out->faults = k;
            break;
        }
        f->shift = ARENA_ARRAY(out->arena, double, m->vehicle.corners);
        f->pressure = ARENA_ARRAY(out->arena, double, m->vehicle.springs);
        f->drawn = ARENA_ARRAY(out->arena, bool, m->vehicle.corners);
        status = arena_complete(out->arena) ? play_fault(out, r, c, state, drop, f, allocator)
                                            : BARONET_OUT_OF_MEMORY;
    }
    if (status == BARONET_OK) {
        qsort(out->fault, (size_t)out->faults, sizeof *out->fault, compare);
    }
    return status;
}

void faults_free(faults_answer *answer) {
    arena_destroy(answer->arena);
    *answer = (faults_answer){0};
}
