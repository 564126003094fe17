/* SPDX-License-Identifier: MIT */
#include "studies/peaks.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "studies/states.h"

static void meet(peaks *p, int node_index, peak one) {
    peak *known = &p->node[node_index];
    if (one.gauge > known->gauge + PEAKS_SAME * p->model->ambient.pressure) {
        *known = one;
    }
    known->gauge = fmax(known->gauge, one.gauge);
}

static peak at_rest(peak_kind kind, int state, int with) {
    return (peak){.kind = kind, .state = state, .load_case = with, .script = -1};
}

/* What nothing has met yet is open to the air. */
static void meet_charge(peaks *p, const charge *c) {
    const network *net = &p->model->network;
    const double p_0 = p->model->ambient.pressure;
    for (int i = 0; i < net->nodes; i++) {
        const bool held = node_is_held(&net->node[i]);
        p->node[i] = at_rest(held ? PEAK_HELD : PEAK_FILLED, -1, -1);
        p->node[i].gauge = held ? net->node[i].pressure - p_0 : 0.0;
        peak one = at_rest(PEAK_FILLED, -1, -1);
        one.gauge = c->filled_pressure[i] - p_0;
        if (!held && isfinite(one.gauge)) {
            meet(p, i, one);
        }
    }
}

static void meet_standing(peaks *p, const state_standing *s, peak one) {
    for (int i = 0; i < p->model->network.nodes && s->given; i++) {
        one.gauge = s->node_pressure[i] - p->model->ambient.pressure;
        meet(p, i, one);
    }
}

static void miss(peaks *p, peak_gap one) {
    p->gap[p->gaps++] = one;
}

static void meet_states(peaks *p, const states_answer *states, int with) {
    for (int k = 0; k < states->count; k++) {
        const states_entry *e = &states->entry[k];
        if (e->problem.status != BARONET_OK) {
            miss(p, (peak_gap){e->named, with, -1, .why = e->problem});
            continue;
        }
        const rates_answer *answer = rates_result(e->rates);
        meet_standing(p, &answer->settled, at_rest(PEAK_STATE, e->named, with));
        meet_standing(p, &answer->parked, at_rest(PEAK_PARKED, e->named, with));
    }
}

static void meet_event(peaks *p, const play_answer *a, int script_index) {
    const record *r = a->record;
    for (int k = 0; k < r->channels; k++) {
        const channel *c = &r->channel[k];
        if (c->kind == CHANNEL_GAUGE_PRESSURE) {
            meet(p, c->item,
                 (peak){.gauge = c->highest,
                        .kind = PEAK_EVENT,
                        .state = p->model->script[script_index].state,
                        .load_case = -1,
                        .script = script_index,
                        .time = c->highest_at});
        }
    }
}

/* The entry with the valves where a script starts: each position that has a name has one. */
static const states_entry *entry_of(const peaks *p, const states_answer *states, int state) {
    const size_t bytes = (size_t)p->model->network.solenoids * sizeof(bool);
    const states_entry *one = states->entry;
    while (memcmp(one->open, p->model->state[state].open, bytes) != 0) {
        one++;
        assert(one < states->entry + states->count);
    }
    return one;
}

static baronet_status play_event(peaks *p, const charge *c, const states_answer *states,
                                 int script_index, const baronet_allocator *allocator) {
    const script *s = &p->model->script[script_index];
    const states_entry *e = entry_of(p, states, s->state);
    if (e->problem.status != BARONET_OK) {
        miss(p, (peak_gap){s->state, -1, script_index, .why = e->problem});
        return BARONET_OK;
    }
    play_answer *a = NULL;
    const play_settings with = {.points = 2};
    const baronet_status status = play_run(&a, e->rates, c->travel, s, &with, allocator);
    if (status == BARONET_OK) {
        meet_event(p, a, script_index);
        if (a->end != PLAY_FINISHED) {
            miss(p, (peak_gap){.state = s->state,
                               .load_case = -1,
                               .script = script_index,
                               .end = a->end,
                               .item = a->item,
                               .time = a->time,
                               .started = true});
        }
    }
    play_free(a);
    return status;
}

/* Every state in one load case; in the base case the events that start there too. */
static baronet_status ask_case(peaks *p, charge *c, int with, const baronet_allocator *allocator) {
    const model *m = p->model;
    states_answer states;
    baronet_status status = states_solve(&states, c, with >= 0 ? &m->load_case[with] : NULL,
                                         STATES_NAMED, -1, 0.0, allocator);
    if (status == BARONET_OK) {
        meet_states(p, &states, with);
    }
    for (int k = 0; k < m->scripts && with < 0 && status == BARONET_OK; k++) {
        status = play_event(p, c, &states, k, allocator);
    }
    states_free(&states);
    return status;
}

baronet_status peaks_find(peaks *out, arena *a, charge *c, const baronet_allocator *allocator) {
    const model *m = c->model;
    const int states = m->states + 1; /* `rest` may be one more */
    *out = (peaks){.model = m,
                   .node = ARENA_ARRAY(a, peak, m->network.nodes),
                   .gap = ARENA_ARRAY(a, peak_gap, (m->cases + 1) * states + m->scripts)};
    if (out->node == NULL || out->gap == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    meet_charge(out, c);
    baronet_status status = BARONET_OK;
    for (int k = -1; k < m->cases && status == BARONET_OK; k++) {
        status = ask_case(out, c, k, allocator);
    }
    return status;
}
