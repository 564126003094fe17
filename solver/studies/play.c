/* SPDX-License-Identifier: MIT */
#include "studies/play.h"

#include <math.h>
#include <string.h>

#include "model/valve.h"

/* Samples are this far apart: after each jump close, then wide, and later still a part of the time
   since it, s. */
#define SAMPLE_FIRST  2e-3
#define SAMPLE_USUAL  1e-2
#define SAMPLE_GROWTH 0.01
#define SAMPLE_LONG   20.0
#define SAMPLE_PART   5e-3
/* Times closer than this are one, in parts of the script's length. */
#define SAME_TIME 1e-12
/* A height this near to a watched one has not passed it yet. */
#define SAME_HEIGHT 1e-9 /* m */
/* A shut valve that lets less than this stand behind it is not asked for anything. */
#define LEAST_REVERSE 1e3 /* Pa */

/* A height that conditions watch; `above` is where it was last. */
typedef struct trigger {
    int spring;
    double height;
    bool above;
} trigger;

typedef struct player {
    const script *script;
    play_settings with;
    rates *rates;
    play_answer *out;
    dynamics *dynamics;
    arena *arena;
    ode_problem problem;
    ode *ode;
    double *y, *rate; /* rate: of the end */
    double **shape;   /* actions: wheel travels of a step, NULL for others */
    bool *done;       /* actions */
    int triggers;
    trigger *trigger;
    int *trigger_of;   /* actions, -1 for timed ones */
    double now, phase; /* s; start of the phase */
    long counted;      /* steps of earlier phases */
    int row;           /* of the series, next */
    int switches;
    bool *known; /* notes that have been taken: NOTE_KINDS x most items */
    int items;
    bool over;
} player;

baronet_status play_status(play_end end) {
    static const baronet_status statuses[] = {
        [PLAY_FINISHED] = BARONET_OK,           [PLAY_OFF_PROFILE] = BARONET_OFF_PROFILE,
        [PLAY_NO_MASS] = BARONET_CONTRADICTION, [PLAY_STUCK] = BARONET_NOT_CONVERGED,
        [PLAY_STEPS] = BARONET_OVER_BUDGET,     [PLAY_SWITCHES] = BARONET_OVER_BUDGET,
        [PLAY_TIPPED] = BARONET_UNSTABLE,
    };
    return statuses[end];
}

long play_step_budget(int unknowns) {
    const long shared = PLAY_WORK_BUDGET / (unknowns > 1 ? unknowns : 1);
    return shared < PLAY_STEP_BUDGET ? shared : PLAY_STEP_BUDGET;
}

static bool fill_rate(void *context, double t, const double *y, double *dydt) {
    return dynamics_rate(((player *)context)->dynamics, t, y, dydt);
}

static void fill_slope(void *context, double t, const double *y, double *values) {
    dynamics_slope(((player *)context)->dynamics, t, y, values);
}

static bool has_stop(const corner *c, bool upward) {
    return (upward ? c->bump_rate : c->rebound_rate) > 0.0;
}

/* What the integrator looks for: watched heights, springs at the end of their table or going slack,
   wheels that lift, stops that are met. */
static int count_roots(const player *p) {
    const vehicle *v = &p->dynamics->model->vehicle;
    int count = p->triggers + 2 * v->springs + v->wheels;
    for (int c = 0; c < v->corners; c++) {
        count += has_stop(&v->corner[c], true) + has_stop(&v->corner[c], false);
    }
    return count;
}

static void fill_roots(void *context, double t, const double *y, double *g) {
    player *p = context;
    dynamics *m = p->dynamics;
    const vehicle *v = &m->model->vehicle;
    (void)dynamics_see(m, t, y);
    int k = 0;
    for (int i = 0; i < p->triggers; i++) {
        g[k++] = m->height[p->trigger[i].spring] - p->trigger[i].height;
    }
    for (int i = 0; i < v->springs; i++) {
        const double P = m->pressure[v->spring[i].node] - m->model->ambient.pressure;
        g[k++] = dynamics_margin(m, i);
        g[k++] = P / m->model->ambient.pressure;
    }
    for (int c = 0; c < v->wheels; c++) {
        g[k++] = m->contact[c] / (m->design->sprung[c] + 1.0);
    }
    for (int c = 0; c < v->corners; c++) {
        if (has_stop(&v->corner[c], true)) {
            g[k++] = m->travel[c] - v->corner[c].bump_at;
        }
        if (has_stop(&v->corner[c], false)) {
            g[k++] = -m->travel[c] - v->corner[c].rebound_at;
        }
    }
}

static void note(player *p, play_note_kind kind, int item, double amount) {
    play_answer *out = p->out;
    bool *known = &p->known[(int)kind * p->items + item];
    if (*known) {
        for (int k = 0; k < out->notes; k++) {
            play_note *n = &out->note[k];
            if (n->kind == kind && n->item == item && amount > n->amount) {
                n->amount = amount;
            }
        }
        return;
    }
    *known = kind != NOTE_ACTION;
    if (out->notes == PLAY_NOTES) {
        out->notes_full = true;
        return;
    }
    out->note[out->notes++] = (play_note){kind, item, p->now, amount};
}

/* What a driver or fitter would notice, at a state that is seen. */
static void take_notes(player *p) {
    const dynamics *m = p->dynamics;
    const vehicle *v = &m->model->vehicle;
    for (int i = 0; i < v->springs; i++) {
        const spring *s = &v->spring[i];
        const double P = m->pressure[s->node] - m->model->ambient.pressure;
        const double over = profile_overrun(&v->profile[s->profile], m->height[i]);
        if (P < DYNAMICS_FLAT) {
            note(p, NOTE_FLAT, i, 0.0);
        }
        if (P < -1.0) {
            note(p, NOTE_SLACK, i, 0.0);
        }
        if (P < DYNAMICS_FLAT && over != 0.0) {
            note(p, NOTE_OFF_TABLE, i, 0.0);
        }
    }
    for (int c = 0; c < v->corners; c++) {
        const corner *one = &v->corner[c];
        if (c < v->wheels && m->contact[c] <= 0.0) {
            note(p, NOTE_LIFT, c, 0.0);
        }
        if (has_stop(one, true) && m->travel[c] >= one->bump_at) {
            note(p, NOTE_BUMP_STOP, c, m->travel[c] - one->bump_at);
        }
        if (has_stop(one, false) && -m->travel[c] >= one->rebound_at) {
            note(p, NOTE_REBOUND_STOP, c, -m->travel[c] - one->rebound_at);
        }
    }
    for (int k = 0; k < m->model->network.solenoids; k++) {
        const int i = m->model->network.solenoid[k];
        const edge *e = &m->edge[i];
        const double behind = m->pressure[e->to] - m->pressure[e->from];
        if (e->kind == EDGE_SOLENOID && e->one_way && !m->open[k] && behind > LEAST_REVERSE) {
            note(p, NOTE_REVERSE, i, behind);
        }
    }
}

static void end_run(player *p, play_end end, int item) {
    if (!p->over) {
        p->over = true;
        p->out->end = end;
        p->out->item = item;
    }
}

static void check_tables(player *p) {
    const double least = 1e-6;
    for (int i = 0; i < p->dynamics->model->vehicle.springs; i++) {
        if (dynamics_margin(p->dynamics, i) < -least) {
            end_run(p, PLAY_OFF_PROFILE, i);
        }
    }
}

/* Looks at where the run stands: takes a sample and notes, and ends the run where a spring is off
   its table. */
static void observe(player *p, bool keep) {
    dynamics *m = p->dynamics;
    if (!dynamics_see(m, p->now, p->y)) {
        check_tables(p); /* a spring with no room left tells more than that no step goes on */
        end_run(p, PLAY_STUCK, -1);
        return;
    }
    record_take(p->out->record, p->now, p->y, keep);
    take_notes(p);
    for (int k = MOTION_ROLL; k <= MOTION_PITCH; k++) {
        const int place = m->body_position[k];
        if (place >= 0 && fabs(p->y[m->first_position + place]) > PLAY_TIPPED_AT) {
            end_run(p, PLAY_TIPPED, k);
        }
    }
    check_tables(p);
}

/* What an action does; those that change the state or the valves start a new phase. */
static void do_lateral(player *p, const action *a) {
    forcing_ramp(&p->dynamics->forcing.lateral, p->now, a->value, a->over);
}

static void do_braking(player *p, const action *a) {
    forcing_ramp(&p->dynamics->forcing.braking, p->now, a->value, a->over);
}

static void do_temperature(player *p, const action *a) {
    forcing_ramp(&p->dynamics->forcing.temperature, p->now, a->value, a->over);
}

static void do_bump(player *p, const action *a) {
    forcing_bump(&p->dynamics->forcing, (bump){a->item, a->value, p->now, a->over});
}

static void do_step(player *p, const action *a) {
    dynamics_step(p->dynamics, p->now, p->y, p->shape[a - p->script->action], a->value);
}

static void do_load(player *p, const action *a) {
    if (!dynamics_add_load(p->dynamics, p->y, a->item, a->value)) {
        end_run(p, PLAY_NO_MASS, a->item);
    }
}

static void set_valve(player *p, int edge_index, bool open) {
    dynamics *m = p->dynamics;
    const edge *e = &m->edge[edge_index];
    const double difference = fabs(m->pressure[e->from] - m->pressure[e->to]);
    if (open && !m->open[e->solenoid] && difference < e->opens_above) {
        note(p, NOTE_PILOT, edge_index, difference);
    }
    m->open[e->solenoid] = open;
}

static void do_state(player *p, const action *a) {
    const model *m = p->dynamics->model;
    for (int k = 0; k < m->network.solenoids; k++) {
        set_valve(p, m->network.solenoid[k], m->state[a->item].open[k]);
    }
}

static void do_open(player *p, const action *a) {
    set_valve(p, a->item, true);
}

static void do_shut(player *p, const action *a) {
    set_valve(p, a->item, false);
}

static void do_burst(player *p, const action *a) {
    int k = p->with.holes;
    for (const action *before = p->script->action; before < a; before++) {
        k += before->kind == ACTION_BURST;
    }
    p->dynamics->hole[k].open = true;
}

static void do_hold(player *p, const action *a) {
    (void)a;
    dynamics_hold(p->dynamics, p->y);
}

static void do_supply_lost(player *p, const action *a) {
    p->dynamics->lost[a->item] = true;
}

/* Each action, and whether a condition may do it again and again, as a levelling valve does. */
static const struct {
    void (*run)(player *p, const action *a);
    bool again;
} doings[ACTION_KINDS] = {
    [ACTION_LATERAL] = {do_lateral, false},
    [ACTION_BRAKING] = {do_braking, false},
    [ACTION_BUMP] = {do_bump, false},
    [ACTION_STEP] = {do_step, false},
    [ACTION_LOAD] = {do_load, false},
    [ACTION_STATE] = {do_state, true},
    [ACTION_OPEN] = {do_open, true},
    [ACTION_SHUT] = {do_shut, true},
    [ACTION_BURST] = {do_burst, false},
    [ACTION_HOLD] = {do_hold, false},
    [ACTION_TEMPERATURE] = {do_temperature, false},
    [ACTION_SUPPLY_LOST] = {do_supply_lost, false},
};

static bool changes_nothing(const player *p, const action *a) {
    if (a->kind != ACTION_OPEN && a->kind != ACTION_SHUT) {
        return false;
    }
    return p->dynamics->open[p->dynamics->edge[a->item].solenoid] == (a->kind == ACTION_OPEN);
}

static void act(player *p, int index) {
    const action *a = &p->script->action[index];
    if (p->over || (p->done[index] && !doings[a->kind].again)) {
        return;
    }
    p->done[index] = true;
    if (changes_nothing(p, a)) {
        return; /* a valve that stands so already */
    }
    note(p, NOTE_ACTION, index, 0.0);
    p->out->last_action = fmax(p->out->last_action, p->now + a->over);
    doings[a->kind].run(p, a);
}

/* Does what a watched height asks for now; `passed` is one that the integrator found, -1 for none.
   True where anything passed. */
static bool check_triggers(player *p, int passed) {
    bool any = false;
    for (int k = 0; k < p->triggers; k++) {
        trigger *one = &p->trigger[k];
        const double over = p->dynamics->height[one->spring] - one->height;
        const bool clear = fabs(over) > SAME_HEIGHT && (over > 0.0) != one->above;
        if (!clear && k != passed) {
            continue;
        }
        one->above = !one->above;
        any = true;
        for (int i = 0; i < p->script->actions; i++) {
            const bool wants_above = p->script->action[i].trigger == TRIGGER_ABOVE;
            if (p->trigger_of[i] == k && wants_above == one->above) {
                act(p, i);
            }
        }
    }
    return any;
}

/* Conditions that hold already when the script starts do at once what they ask for. */
static void start_triggers(player *p) {
    for (int k = 0; k < p->triggers; k++) {
        trigger *one = &p->trigger[k];
        one->above = p->dynamics->height[one->spring] > one->height;
        for (int i = 0; i < p->script->actions; i++) {
            const bool wants_above = p->script->action[i].trigger == TRIGGER_ABOVE;
            if (p->trigger_of[i] == k && wants_above == one->above) {
                act(p, i);
            }
        }
    }
}

static double same_time(const player *p) {
    return SAME_TIME * p->script->until;
}

static void act_on_time(player *p) {
    for (int i = 0; i < p->script->actions; i++) {
        const action *a = &p->script->action[i];
        if (a->trigger == TRIGGER_TIME && !p->done[i] && a->time <= p->now + same_time(p)) {
            act(p, i);
        }
    }
}

/* The next time at which something is known to happen. */
static double next_break(const player *p) {
    double next = fmin(p->script->until, forcing_next(&p->dynamics->forcing, p->now));
    for (int i = 0; i < p->script->actions; i++) {
        const action *a = &p->script->action[i];
        if (a->trigger == TRIGGER_TIME && !p->done[i]) {
            next = fmin(next, a->time);
        }
    }
    return fmax(next, p->now);
}

static double row_time(const player *p, int row) {
    return p->script->until * row / (p->with.points - 1);
}

static double next_sample(const player *p, double until) {
    const double since = p->now - p->phase;
    double apart = fmin(fmax(SAMPLE_FIRST, SAMPLE_GROWTH * since), SAMPLE_USUAL);
    apart = since > SAMPLE_LONG ? fmax(apart, SAMPLE_PART * since) : apart;
    const double row = fmax(row_time(p, p->row), p->now + same_time(p));
    return fmin(fmin(p->now + apart, until), row);
}

/* Whether a row of the series stands here; counts on. The last one stands at the script's end. */
static bool row_due(player *p) {
    if (p->now < row_time(p, p->row) - same_time(p)) {
        return false;
    }
    p->row++;
    return true;
}

static void count_phase(player *p) {
    const ode_account a = ode_account_of(p->ode);
    p->counted += a.steps;
    p->out->rates += a.rates;
    p->out->factorings += a.factorings;
}

/* One sample further; true where a watched height has been passed. */
static baronet_status go_on(player *p, double until, bool *passed) {
    int event = -1;
    const baronet_status status = ode_advance(p->ode, next_sample(p, until), &event);
    if (status == BARONET_OUT_OF_MEMORY) {
        return status;
    }
    p->now = ode_time(p->ode);
    memcpy(p->y, ode_state(p->ode), (size_t)p->dynamics->size * sizeof *p->y);
    if (p->counted + ode_account_of(p->ode).steps >= p->with.steps) {
        end_run(p, PLAY_STEPS, -1);
    } else if (status != BARONET_OK) {
        end_run(p, PLAY_STUCK, -1);
    }
    observe(p, row_due(p));
    const int of_spring = event - p->triggers;
    if (of_spring >= 0 && of_spring < 2 * p->dynamics->model->vehicle.springs &&
        of_spring % 2 == 0) {
        end_run(p, PLAY_OFF_PROFILE, of_spring / 2);
    }
    *passed = !p->over && check_triggers(p, event < p->triggers ? event : -1);
    return BARONET_OK;
}

static baronet_status run_phase(player *p) {
    const double until = next_break(p);
    bool passed = false;
    baronet_status status = ode_start(p->ode, p->now, p->y);
    if (status != BARONET_OK) {
        end_run(p, PLAY_STUCK, -1);
        return status == BARONET_OUT_OF_MEMORY ? status : BARONET_OK;
    }
    p->phase = p->now;
    p->out->restarts++;
    while (status == BARONET_OK && !p->over && !passed && p->now < until - same_time(p)) {
        status = go_on(p, until, &passed);
    }
    count_phase(p);
    p->switches += passed;
    if (p->switches > PLAY_SWITCH_BUDGET) {
        end_run(p, PLAY_SWITCHES, -1);
    }
    return status;
}

static baronet_status run_all(player *p) {
    baronet_status status = BARONET_OK;
    observe(p, row_due(p));
    start_triggers(p);
    while (status == BARONET_OK && !p->over) {
        forcing_pass(&p->dynamics->forcing, p->now + same_time(p));
        act_on_time(p);
        record_jump(p->out->record);
        if (!p->over) {
            observe(p, false);
        }
        if (!p->over && check_triggers(p, -1)) {
            continue;
        }
        if (p->now >= p->script->until - same_time(p)) {
            break;
        }
        if (!p->over) {
            status = run_phase(p);
        }
    }
    return status;
}

/* The travels of a step: a body's motion or the first warp about where it stands, scaled so that
   the wheel that moves most moves by one; the user's own as given; masses on a bench all alike. */
static void fill_shape(const player *p, int item, double *shape) {
    const model *m = p->dynamics->model;
    if (item >= 0) {
        memcpy(shape, m->motion[item].travel, (size_t)m->vehicle.corners * sizeof *shape);
    } else if (item == SCRIPT_WARP) {
        if (rates_result(p->rates)->warps > 0) {
            rates_warp_shape(p->rates, 0, shape);
        }
    } else {
        static const body_motion motions[] = {MOTION_HEAVE, MOTION_ROLL, MOTION_PITCH};
        const body_motion k = motions[SCRIPT_HEAVE - item];
        if (rates_result(p->rates)->has[k]) {
            rates_body_shape(p->rates, k, shape);
        }
    }
    for (int c = m->vehicle.wheels; c < m->vehicle.corners && item == SCRIPT_HEAVE; c++) {
        shape[c] = 1.0;
    }
}

/* The trigger that waits for what an action waits for. */
static int find_trigger(player *p, const action *a) {
    int k = 0;
    while (k < p->triggers &&
           (p->trigger[k].spring != a->watched || p->trigger[k].height != a->height)) {
        k++;
    }
    if (k == p->triggers) {
        p->trigger[p->triggers++] = (trigger){.spring = a->watched, .height = a->height};
    }
    return k;
}

static bool list_actions(player *p) {
    const script *s = p->script;
    p->trigger = ARENA_ARRAY(p->arena, trigger, s->actions);
    p->trigger_of = ARENA_ARRAY(p->arena, int, s->actions);
    p->shape = ARENA_ARRAY(p->arena, double *, s->actions);
    p->done = ARENA_ARRAY(p->arena, bool, s->actions);
    for (int i = 0; i < s->actions && arena_complete(p->arena); i++) {
        const action *a = &s->action[i];
        p->trigger_of[i] = a->trigger == TRIGGER_TIME ? -1 : find_trigger(p, a);
        if (a->kind == ACTION_STEP) {
            p->shape[i] = ARENA_ARRAY(p->arena, double, p->dynamics->model->vehicle.corners);
        }
        if (p->shape[i] != NULL) {
            fill_shape(p, a->item, p->shape[i]);
        }
    }
    return arena_complete(p->arena);
}

/* The holes of the settings, open, then those that the script will burst. */
static baronet_status make_motion(player *p, const baronet_allocator *allocator) {
    const script *s = p->script;
    dynamics_hole *hole = ARENA_ARRAY(p->arena, dynamics_hole, p->with.holes + s->actions);
    if (hole == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    dynamics_setup setup = {.hole = hole,
                            .stucks = p->with.stucks,
                            .stuck = p->with.stuck,
                            .tolerance = p->with.tolerance};
    for (int k = 0; k < p->with.holes; k++) {
        hole[setup.holes++] = p->with.hole[k];
    }
    for (int i = 0; i < s->actions; i++) {
        if (s->action[i].kind == ACTION_BURST) {
            hole[setup.holes++] = (dynamics_hole){s->action[i].item, s->action[i].value, false};
        }
        setup.bumps += s->action[i].kind == ACTION_BUMP;
    }
    const baronet_status status = dynamics_create(&p->out->dynamics, p->rates, &setup, allocator);
    p->dynamics = p->out->dynamics;
    return status;
}

static baronet_status set_up(player *p, const double *design_travel,
                             const baronet_allocator *allocator) {
    baronet_status status = make_motion(p, allocator);
    if (status != BARONET_OK) {
        return status;
    }
    const network *net = &p->dynamics->model->network;
    p->items = net->nodes + net->edges + p->script->actions + p->dynamics->model->vehicle.corners +
               p->dynamics->model->vehicle.springs;
    p->known = ARENA_ARRAY(p->arena, bool, (int)NOTE_KINDS * p->items);
    p->y = ARENA_ARRAY(p->arena, double, p->dynamics->size);
    p->rate = ARENA_ARRAY(p->arena, double, p->dynamics->size);
    if (!list_actions(p)) {
        return BARONET_OUT_OF_MEMORY;
    }
    dynamics_start(p->dynamics, p->rates, p->y);
    if (p->with.steps <= 0) {
        p->with.steps = play_step_budget(p->dynamics->size);
    }
    p->out->budget = p->with.steps;
    p->problem = p->dynamics->problem;
    p->problem.steps = p->with.steps;
    p->problem.rate = fill_rate;
    p->problem.slope = fill_slope;
    p->problem.root = fill_roots;
    p->problem.roots = count_roots(p);
    p->problem.context = p;
    status = ode_create(&p->ode, &p->problem, allocator);
    return status == BARONET_OK
               ? record_create(&p->out->record, p->dynamics, design_travel, p->with.drop)
               : status;
}

static baronet_status find_hold(player *p, hold *out) {
    return dynamics_see(p->dynamics, p->now, p->y)
               ? hold_find(out, p->dynamics, p->with.stucks, p->with.stuck, p->arena)
               : BARONET_OK;
}

static void account(player *p) {
    play_answer *out = p->out;
    const dynamics *m = p->dynamics;
    const double *y = p->y;
    double gain = 0.0, energy = 0.0, moved = 0.0;
    for (int i = 0; i < m->model->network.nodes; i++) {
        const double own = y[m->mass_row[i]];
        gain += own;
        out->air += m->first_mass[i];
        energy += m->first_energy[i];
        if (dynamics_is_held(m, i)) {
            *(m->model->network.node[i].kind == NODE_SUPPLY ? &out->given : &out->let_out) += own;
        } else if (m->energy) {
            moved += y[m->energy_row[i]];
        }
    }
    out->given = -out->given;
    out->mass_error = fabs(gain) / fmax(out->air, 1e-12);
    if (m->energy) {
        out->heat = y[m->heat_row];
        out->work = y[m->work_row];
        const double ledger = y[m->heat_row - 1];
        out->energy_error = fabs(moved + ledger + out->work - out->heat) /
                            fmax(energy + fabs(ledger) + fabs(out->heat), 1e-12);
    }
    out->steps = p->counted;
}

static void find_rest(player *p) {
    play_answer *out = p->out;
    dynamics *m = p->dynamics;
    out->settled = record_settled(out->record, out->last_action, PLAY_NEAR, PLAY_PART);
    out->at_rest = dynamics_rate(m, p->now, p->y, p->rate);
    for (int i = 0; i < m->model->vehicle.springs && out->at_rest; i++) {
        out->at_rest = fabs(m->height_speed[i]) < PLAY_REST_SPEED;
    }
    for (int i = 0; i < m->model->network.nodes && out->at_rest; i++) {
        out->at_rest = dynamics_is_held(m, i) ||
                       fabs(p->rate[m->mass_row[i]]) < PLAY_REST_FLOW * dynamics_air(m, p->y, i);
    }
    /* What comes near only at the very end may well be on its way elsewhere. */
    const double tail = 0.05 * (p->script->until - out->last_action);
    if (out->end != PLAY_FINISHED || (!out->at_rest && out->settled > p->script->until - tail)) {
        out->settled = (double)NAN;
    }
}

static play_settings complete(const play_settings *with) {
    play_settings s = with != NULL ? *with : (play_settings){0};
    s.drop = s.drop > 0.0 ? s.drop : PLAY_DROP;
    s.points = s.points > 1 ? s.points : PLAY_POINTS;
    return s;
}

baronet_status play_run(play_answer **out, rates *r, const double *design_travel, const script *s,
                        const play_settings *with, const baronet_allocator *allocator) {
    *out = NULL;
    player p = {.script = s, .with = complete(with), .rates = r};
    p.arena = arena_create(allocator);
    p.out = memory_resize(allocator, NULL, sizeof *p.out);
    baronet_status status = BARONET_OUT_OF_MEMORY;
    if (p.out != NULL) {
        *p.out = (play_answer){.allocator = allocator};
    }
    if (p.out != NULL && p.arena != NULL) {
        status = set_up(&p, design_travel, allocator);
    }
    if (status == BARONET_OK) {
        status = find_hold(&p, &p.out->before);
    }
    if (status == BARONET_OK) {
        status = run_all(&p);
    }
    if (status == BARONET_OK) {
        p.out->time = p.now;
        account(&p);
        find_rest(&p);
        status = p.out->record->failed ? BARONET_OUT_OF_MEMORY : find_hold(&p, &p.out->after);
    }
    ode_destroy(p.ode);
    arena_destroy(p.arena);
    if (status == BARONET_OK) {
        *out = p.out;
    } else {
        play_free(p.out);
    }
    return status;
}

void play_free(play_answer *answer) {
    if (answer != NULL) {
        const baronet_allocator *allocator = answer->allocator;
        record_destroy(answer->record);
        dynamics_destroy(answer->dynamics);
        memory_resize(allocator, answer, 0);
    }
}
