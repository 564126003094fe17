#include "studies/gauge.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "studies/felt.h"
#include "studies/ride.h"
#include "studies/times.h"

#define ALL_LEVELS (~0u)

/* One state with one case: what several gauges share. */
typedef struct spot {
    int state, load_case;
    unsigned levels; /* bits 1 << level that are wanted */
    bool felt;
    rates *rates;    /* NULL where the position of the valves is impossible */
    problem problem; /* of making it, then of the last reading */
} spot;

struct gauges {
    const model *model;
    const baronet_allocator *allocator;
    arena *arena;
    charge *charge;
    double amplitude;
    int count;
    const gauge *wanted; /* count */
    int *spot_of;        /* count */
    int spots;
    spot *spot;
};

/* What the figures of a quantity are told by. */
typedef enum told_by { BY_STANDING, BY_LEVEL, BY_TIMES, BY_RIDE } told_by;

static told_by teller(figure_quantity q, level at) {
    if (times_parts_of(q, at) != 0) {
        return BY_TIMES;
    }
    if (ride_parts_of(q) != 0) {
        return BY_RIDE;
    }
    return q <= FIGURE_LOAD || q == FIGURE_HEIGHT_SHIFT || q == FIGURE_AIR_MASS ? BY_STANDING
                                                                                : BY_LEVEL;
}

static level level_of(figure_quantity q, level asked) {
    const bool settles = q == FIGURE_SETTLE_TIME_63 || q == FIGURE_SETTLE_TIME_95;
    switch (teller(q, asked)) {
    case BY_STANDING:
        return asked == LEVEL_PARKED ? LEVEL_PARKED : LEVEL_NONE;
    case BY_TIMES:
        return !settles ? LEVEL_NONE : asked == LEVEL_NONE ? LEVEL_SETTLED : asked;
    case BY_RIDE:
        return LEVEL_NONE;
    case BY_LEVEL:
        break;
    }
    return asked == LEVEL_NONE ? LEVEL_SETTLED : asked;
}

#define FIND(list, count, field, name)                                                             \
    for (int i = 0; i < (count); i++) {                                                            \
        if (strcmp((list)[i].field, (name)) == 0) {                                                \
            return i;                                                                              \
        }                                                                                          \
    }                                                                                              \
    return -1

static int find_corner(const model *m, const char *name) {
    FIND(m->vehicle.corner, m->vehicle.corners, name, name);
}

static int find_axle(const model *m, const char *name) {
    FIND(m->vehicle.axle, m->vehicle.axles, name, name);
}

static int find_node(const model *m, const char *name) {
    FIND(m->network.node, m->network.nodes, name, name);
}

static int find_spring(const model *m, const char *name) {
    FIND(m->vehicle.spring, m->vehicle.springs, name, name);
}

static int find_edge(const model *m, const char *name) {
    FIND(m->network.edge, m->network.edges, name, name);
}

static int find_own_motion(const model *m, const char *name) {
    FIND(m->motion, m->motions, name, name);
}

static bool find_motion(const model *m, const char *name, int *item) {
    static const char one_wheel[] = "one-wheel:";
    for (int k = SCRIPT_HEAVE; k >= SCRIPT_WARP; k--) {
        if (strcmp(script_motion_name((script_motion)k), name) == 0) {
            *item = k;
            return true;
        }
    }
    if (strncmp(name, one_wheel, sizeof one_wheel - 1) == 0) {
        const int c = find_corner(m, name + sizeof one_wheel - 1);
        *item = FIGURE_ONE_WHEEL - c;
        return c >= 0;
    }
    *item = find_own_motion(m, name);
    return *item >= 0;
}

/* `RL/RR`: the corner whose force it is, and the one that travels. */
static bool find_pair(const model *m, const char *name, int *item, int *other) {
    for (int a = 0; a < m->vehicle.corners; a++) {
        const char *const first = m->vehicle.corner[a].name;
        const size_t length = strlen(first);
        if (strncmp(name, first, length) == 0 && name[length] == '/') {
            *item = a;
            *other = find_corner(m, name + length + 1);
            return *other >= 0;
        }
    }
    return false;
}

static bool find_kind(figure *f, const model *m, figure_subject kind, const char *name) {
    f->kind = kind;
    f->other = -1;
    f->item = -1;
    switch (kind) {
    case SUBJECT_NONE:
        return name[0] == '\0';
    case SUBJECT_CORNER:
        f->item = find_corner(m, name);
        break;
    case SUBJECT_AXLE:
        f->item = find_axle(m, name);
        break;
    case SUBJECT_NODE:
        f->item = find_node(m, name);
        break;
    case SUBJECT_SPRING:
        f->item = find_spring(m, name);
        break;
    case SUBJECT_EDGE:
        f->item = find_edge(m, name);
        break;
    case SUBJECT_MOTION:
        return find_motion(m, name, &f->item);
    case SUBJECT_NUMBER:
        f->item = (int)strtol(name, NULL, 10);
        return name[0] >= '1' && name[0] <= '9';
    case SUBJECT_PAIR:
        return find_pair(m, name, &f->item, &f->other);
    }
    return f->item >= 0;
}

bool gauge_find(gauge *out, const model *m, const requirement *wish, int state) {
    const int q = figure_find(text_of(wish->quantity));
    if (q < 0) {
        return false;
    }
    *out = (gauge){.subject = wish->subject, .state = state, .load_case = wish->load_case};
    figure *const f = &out->figure;
    f->quantity = (figure_quantity)q;
    f->level = level_of(f->quantity, (level)wish->level);
    const unsigned kinds = figure_at(f->quantity)->subjects;
    for (unsigned bit = SUBJECT_NONE; bit <= SUBJECT_PAIR; bit <<= 1) {
        if ((kinds & bit) != 0 && find_kind(f, m, (figure_subject)bit, wish->subject)) {
            return true;
        }
    }
    return false;
}

bool gauge_is_dear(const gauge *g) {
    const told_by by = teller(g->figure.quantity, g->figure.level);
    return by == BY_TIMES || by == BY_RIDE || g->figure.level == LEVEL_RIDE;
}

static double standing_value(const model *m, const state_standing *s, const figure *f) {
    const bool supply = f->kind == SUBJECT_NODE && m->network.node[f->item].kind == NODE_SUPPLY;
    double air = 0.0;
    switch (f->quantity) {
    case FIGURE_PRESSURE:
        return s->node_pressure[f->item];
    case FIGURE_GAUGE_PRESSURE:
        return s->node_pressure[f->item] - m->ambient.pressure;
    case FIGURE_HEIGHT:
        return s->spring_height[f->item];
    case FIGURE_VOLUME:
        return supply ? (double)NAN : s->node_volume[f->item];
    case FIGURE_LOAD:
        return f->kind == SUBJECT_CORNER ? s->load[f->item] : s->spring_load[f->item];
    case FIGURE_HEIGHT_SHIFT:
        return s->height_shift[f->item];
    case FIGURE_AIR_MASS:
    default: /* no other is told by a standing */
        for (int i = 1; i < m->network.nodes && f->kind == SUBJECT_NONE; i++) {
            air += m->network.node[i].kind != NODE_SUPPLY ? s->node_air[i] : 0.0;
        }
        return supply ? (double)NAN : f->kind == SUBJECT_NONE ? air : s->node_air[f->item];
    }
}

static double frequency_value(const level_rates *l, const figure *f) {
    if (f->kind == SUBJECT_CORNER) {
        return l->ride_frequency[f->item];
    }
    switch (f->item) {
    case SCRIPT_HEAVE:
        return l->body_frequency[MOTION_HEAVE];
    case SCRIPT_ROLL:
        return l->body_frequency[MOTION_ROLL];
    case SCRIPT_PITCH:
        return l->body_frequency[MOTION_PITCH];
    default:
        return (double)NAN;
    }
}

static double warp_value(const level_rates *l, int warps, const figure *f) {
    const int number = f->kind == SUBJECT_NUMBER ? f->item : 1;
    const bool named = (f->kind == SUBJECT_NONE) == (warps == 1);
    return named && number <= warps ? l->warp_rate[number - 1] : (double)NAN;
}

static double level_value(const model *m, const rates_answer *answer, const figure *f) {
    const level_rates *const l = &answer->level[f->level];
    switch (f->quantity) {
    case FIGURE_SPRING_RATE:
        return l->spring_rate[f->item];
    case FIGURE_WHEEL_RATE:
        return l->wheel_rate[f->item];
    case FIGURE_RIDE_RATE:
        return l->ride_rate[f->item];
    case FIGURE_ONE_WHEEL_RATE:
        return l->one_wheel_rate[f->item];
    case FIGURE_STIFFNESS:
        return l->stiffness[(size_t)f->item * (size_t)m->vehicle.corners + (size_t)f->other];
    case FIGURE_HEAVE_RATE:
        return l->body_rate[MOTION_HEAVE];
    case FIGURE_PITCH_RATE:
        return l->body_rate[MOTION_PITCH];
    case FIGURE_ROLL_RATE:
        return l->body_rate[MOTION_ROLL];
    case FIGURE_WARP_RATE:
        return warp_value(l, answer->warps, f);
    case FIGURE_MOTION_RATE:
        return f->item >= 0 ? l->motion_rate[f->item] : (double)NAN;
    case FIGURE_RIDE_FREQUENCY:
        return frequency_value(l, f);
    case FIGURE_ROLL_GRADIENT:
        return l->roll_gradient;
    case FIGURE_ROLL_SHARE:
    default: /* no other is told by a level */
        return l->roll_share[f->item];
    }
}

/* Figures of time cost their own runs, so only what is asked for is found. */
static baronet_status add_times(gauges *g, figure_list *list, arena *a, rates *r,
                                const gauge *wanted) {
    times_question ask = {.parts = times_parts_of(wanted->figure.quantity, wanted->figure.level),
                          .amplitude = g->amplitude};
    ask.only = (ask.parts & (TIMES_SETTLED | TIMES_PARKED)) != 0 ? wanted->subject : NULL;
    times_answer answer;
    const baronet_status status = times_solve(&answer, a, r, &ask, g->allocator);
    if (status == BARONET_OK) {
        figures_of_times(list, &answer);
    }
    return status;
}

/* The same of how it rides, on the netlist's own road. */
static baronet_status add_ride(gauges *g, figure_list *list, arena *a, rates *r,
                               const gauge *wanted) {
    bool assumed = false;
    const ride_question ask = {.parts = ride_parts_of(wanted->figure.quantity),
                               .amplitude = g->amplitude,
                               .frequency = TIMES_FREQUENCY,
                               .road = ride_road(g->model, -1, 0.0, &assumed)};
    ride_answer answer;
    const baronet_status status = ride_solve(&answer, a, r, &ask, g->allocator);
    if (status == BARONET_OK) {
        figures_of_ride(list, g->model, &answer);
    }
    return status;
}

static const figure *find_listed(const figure_list *list, const figure *f) {
    for (size_t i = 0; i < list->count; i++) {
        const figure *const one = &list->figure[i];
        if (one->quantity == f->quantity && one->level == f->level && one->kind == f->kind &&
            one->item == f->item) {
            return one;
        }
    }
    return NULL;
}

/* A figure that a study of its own gives; what that study has found along with it is kept in the
   list for the gauges after it. */
static baronet_status read_dear(gauges *g, figure_list *list, arena *a, rates *r,
                                const gauge *wanted, double *value) {
    const figure *found = find_listed(list, &wanted->figure);
    baronet_status status = BARONET_OK;
    if (found == NULL) {
        const told_by by = teller(wanted->figure.quantity, wanted->figure.level);
        status =
            by == BY_TIMES ? add_times(g, list, a, r, wanted) : add_ride(g, list, a, r, wanted);
        found = find_listed(list, &wanted->figure);
    }
    *value = found != NULL ? found->value : (double)NAN;
    return list->failed ? BARONET_OUT_OF_MEMORY : status;
}

/* A figure of the solved rates; NAN where it does not exist. `*sound` tells whether it may be told.
 */
static double read_rates(const gauges *g, const rates_answer *answer, const figure *wanted,
                         bool *sound) {
    figure told = *wanted;
    if (teller(wanted->quantity, wanted->level) == BY_LEVEL) {
        if (!answer->level[wanted->level].given) {
            return (double)NAN;
        }
        told.value = level_value(g->model, answer, wanted);
    } else {
        if (wanted->level == LEVEL_PARKED && answer->parked_problem.status != BARONET_OK) {
            return (double)NAN;
        }
        /* Where nothing leaks the vehicle stands parked as it does settled. */
        const bool parked = wanted->level == LEVEL_PARKED && answer->parked.given;
        told.value = standing_value(g->model, parked ? &answer->parked : &answer->settled, wanted);
    }
    *sound = *sound && figure_is_sound(&told);
    return isfinite(told.value) ? told.value : (double)NAN;
}

/* All gauges of one solved spot. Only a want of memory stops it: a study without an answer leaves
   its figure open. */
static baronet_status read_spot(gauges *g, int index, double *value) {
    spot *const at = &g->spot[index];
    const rates_answer *const answer = rates_result(at->rates);
    figure_list list = {.allocator = g->allocator};
    arena *a = NULL;
    bool sound = true;
    baronet_status status = BARONET_OK;
    for (int k = 0; k < g->count && status != BARONET_OUT_OF_MEMORY; k++) {
        const figure *const f = &g->wanted[k].figure;
        if (g->spot_of[k] != index) {
            continue;
        }
        const told_by by = teller(f->quantity, f->level);
        if (by == BY_STANDING || by == BY_LEVEL) {
            value[k] = read_rates(g, answer, f, &sound);
        } else {
            a = a != NULL ? a : arena_create(g->allocator);
            status = a != NULL ? read_dear(g, &list, a, at->rates, &g->wanted[k], &value[k])
                               : BARONET_OUT_OF_MEMORY;
        }
    }
    if (!sound || list.unsound) {
        at->problem.status = BARONET_NOT_FINITE;
    }
    figure_list_free(&list);
    arena_destroy(a);
    return status == BARONET_OUT_OF_MEMORY ? status : BARONET_OK;
}

static baronet_status solve_spot(gauges *g, spot *at) {
    if (at->rates == NULL) {
        return at->problem.status;
    }
    const load_case *const with = at->load_case >= 0 ? &g->model->load_case[at->load_case] : NULL;
    baronet_status status = rates_solve(at->rates, with);
    at->problem = rates_result(at->rates)->problem;
    if (status == BARONET_OK && at->felt) {
        status = felt_solve(at->rates, g->amplitude, g->allocator);
        at->problem.status = status;
    }
    return status;
}

baronet_status gauges_read(gauges *g, double *value) {
    for (int k = 0; k < g->count; k++) {
        value[k] = (double)NAN;
    }
    problem why = {.status = BARONET_OK, .item = -1};
    baronet_status status = charge_solve(g->charge, &why);
    if (status != BARONET_OK) {
        why.status = status;
        for (int k = 0; k < g->spots; k++) {
            g->spot[k].problem = why;
        }
        return status == BARONET_OUT_OF_MEMORY ? status : BARONET_OK;
    }
    for (int k = 0; k < g->spots; k++) {
        status = solve_spot(g, &g->spot[k]);
        status = status == BARONET_OK ? read_spot(g, k, value) : status;
        if (status == BARONET_OUT_OF_MEMORY) {
            return status;
        }
    }
    return BARONET_OK;
}

const problem *gauges_problem(const gauges *g, int index) {
    return &g->spot[g->spot_of[index]].problem;
}

double gauges_residual(const gauges *g) {
    double most = 0.0;
    for (int k = 0; k < g->spots; k++) {
        const spot *const at = &g->spot[k];
        most = at->problem.status == BARONET_OK ? fmax(most, rates_residual(at->rates)) : most;
    }
    return most;
}

baronet_status gauges_join(balance_worst *all, gauges *g) {
    baronet_status status = BARONET_OK;
    for (int k = 0; k < g->spots && status == BARONET_OK; k++) {
        spot *const at = &g->spot[k];
        if (at->problem.status == BARONET_OK) {
            status = rates_join(all, at->rates, LEVEL_NONE, g->model->state[at->state].name);
        }
    }
    return status;
}

/* The spot of a gauge, made where it is new. */
static int find_spot(gauges *g, const gauge *wanted) {
    int k = 0;
    while (k < g->spots &&
           (g->spot[k].state != wanted->state || g->spot[k].load_case != wanted->load_case)) {
        k++;
    }
    if (k == g->spots) {
        g->spot[g->spots++] = (spot){.state = wanted->state,
                                     .load_case = wanted->load_case,
                                     .problem = {.status = BARONET_OK, .item = -1}};
    }
    const bool dear = gauge_is_dear(wanted);
    g->spot[k].levels |= dear ? ALL_LEVELS : 1u << wanted->figure.level;
    g->spot[k].felt = g->spot[k].felt || wanted->figure.level == LEVEL_RIDE;
    return k;
}

static baronet_status make_spots(gauges *g) {
    for (int k = 0; k < g->count; k++) {
        g->spot_of[k] = find_spot(g, &g->wanted[k]);
    }
    for (int k = 0; k < g->spots; k++) {
        spot *const at = &g->spot[k];
        const bool *const open = g->model->state[at->state].open;
        const baronet_status status =
            rates_create(&at->rates, g->charge, open, g->allocator, &at->problem);
        if (status == BARONET_OUT_OF_MEMORY) {
            return status;
        }
        at->problem.status = status;
        if (status == BARONET_OK) {
            rates_limit(at->rates, at->levels);
            rates_be_afresh(at->rates);
        }
    }
    return BARONET_OK;
}

baronet_status gauges_create(gauges **out, const model *m, int count, const gauge *wanted,
                             double amplitude, const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    gauges *g = ARENA_OWNER(gauges, allocator, &a);
    if (g == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    gauge *const copy = ARENA_ARRAY(a, gauge, count);
    *g = (gauges){.model = m,
                  .allocator = allocator,
                  .arena = a,
                  .amplitude = amplitude,
                  .count = count,
                  .wanted = copy,
                  .spot_of = ARENA_ARRAY(a, int, count),
                  .spot = ARENA_ARRAY(a, spot, count)};
    baronet_status status = BARONET_OUT_OF_MEMORY;
    if (arena_complete(a)) {
        memcpy(copy, wanted, (size_t)count * sizeof *copy);
        status = charge_create(&g->charge, m, allocator);
    }
    if (status == BARONET_OK) {
        status = make_spots(g);
    }
    if (status != BARONET_OK) {
        gauges_destroy(g);
        return status;
    }
    *out = g;
    return BARONET_OK;
}

void gauges_destroy(gauges *g) {
    if (g != NULL) {
        for (int k = 0; k < g->spots; k++) {
            rates_destroy(g->spot[k].rates);
        }
        charge_destroy(g->charge);
        arena_destroy(g->arena);
    }
}
