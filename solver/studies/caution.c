#include "studies/caution.h"

#include <math.h>

/* Differences below this are none: gauges do not show them. */
#define CAUTION_PRESSURE 100.0 /* Pa */

void caution_free(caution_list *list) {
    memory_resize(list->allocator, list->caution, 0);
    *list = (caution_list){.allocator = list->allocator};
}

/* Whether a caution is a worse case of the same thing; a pilot's is the smaller difference. */
static bool worse(const caution *one, const caution *other) {
    return one->kind == CAUTION_PILOT_STARVED ? one->amount < other->amount
                                              : fabs(one->amount) > fabs(other->amount);
}

/* The same thing found in another state is said once, at its worst. */
static bool merge(caution_list *list, const caution *one) {
    for (size_t i = list->first; i < list->count; i++) {
        caution *other = &list->caution[i];
        if (other->kind == one->kind && other->item == one->item) {
            const int states = other->states + 1;
            if (worse(one, other)) {
                *other = *one;
            }
            other->states = states;
            return true;
        }
    }
    return false;
}

static void add(caution_list *list, caution one) {
    one.states = 1;
    if (one.state >= 0 && merge(list, &one)) {
        return;
    }
    if (list->count == list->capacity && !list->failed) {
        caution *more =
            memory_grow(list->allocator, list->caution, list->count, &list->capacity, sizeof *more);
        list->failed = more == NULL;
        list->caution = more != NULL ? more : list->caution;
    }
    if (!list->failed) {
        list->caution[list->count++] = one;
    }
}

static const state_standing *standing_of(const states_answer *states, int k, bool parked) {
    const states_entry *e = &states->entry[k];
    if (e->rates == NULL || e->problem.status != BARONET_OK) {
        return NULL;
    }
    const rates_answer *answer = rates_result(e->rates);
    const state_standing *s = parked ? &answer->parked : &answer->settled;
    return s->given ? s : NULL;
}

/* The highest gauge pressure of a node over all standings, and the state it is found in. */
static double highest(const charge *c, const states_answer *states, int node_index, int *state) {
    const double p0 = c->model->ambient.pressure;
    double most = c->node_pressure[node_index] - p0;
    *state = -1;
    for (int k = 0; k < 2 * states->count; k++) {
        const state_standing *s = standing_of(states, k / 2, k % 2 == 1);
        if (s != NULL && s->node_pressure[node_index] - p0 > most) {
            most = s->node_pressure[node_index] - p0;
            *state = k / 2;
        }
    }
    return most;
}

static void find_ratings(caution_list *list, const charge *c, const states_answer *states) {
    const network *net = &c->model->network;
    int unrated = 0;
    int first = -1;
    for (int i = 0; i < net->nodes; i++) {
        const node *n = &net->node[i];
        if (n->rated > 0.0) {
            int state = -1;
            const double most = highest(c, states, i, &state);
            if (most > n->rated) {
                add(list, (caution){.kind = CAUTION_OVER_RATED,
                                    .item = i,
                                    .state = state,
                                    .amount = most,
                                    .limit = n->rated});
            }
        } else if (n->kind == NODE_SPRING || n->kind == NODE_TANK) {
            first = first < 0 ? i : first;
            unrated++;
        }
    }
    if (unrated > 0) {
        add(list,
            (caution){.kind = CAUTION_UNRATED, .item = first, .state = -1, .amount = unrated});
    }
}

/* What a solenoid is asked to do in one state: to open on too small a difference, or to hold
   against pressure from behind. The difference that opens it is the one that stands while it is
   shut: in the charged state, or before the charge's valves opened where it is open there. */
static void find_solenoid(caution_list *list, const charge *c, const states_answer *states, int k,
                          int solenoid) {
    const model *m = c->model;
    const int index = m->network.solenoid[solenoid];
    const edge *e = &m->network.edge[index];
    const state_standing *s = standing_of(states, k, false);
    if (states->entry[k].open[solenoid] && e->opens_above > 0.0) {
        const bool open_before = m->state[m->charge_state].open[solenoid];
        const double *p = open_before ? c->filled_pressure : c->node_pressure;
        const double difference = fabs(p[e->from] - p[e->to]);
        if (difference < e->opens_above) {
            add(list, (caution){.kind = CAUTION_PILOT_STARVED,
                                .item = index,
                                .state = k,
                                .amount = difference,
                                .limit = e->opens_above});
        }
    }
    if (!states->entry[k].open[solenoid] && e->one_way && s != NULL) {
        const double reverse = s->node_pressure[e->to] - s->node_pressure[e->from];
        if (reverse > CAUTION_PRESSURE) {
            add(list,
                (caution){.kind = CAUTION_REVERSE, .item = index, .state = k, .amount = reverse});
        }
    }
}

/* What a swing's path resistances leave to be desired. */
static void find_swing(caution_list *list, const states_answer *states, int k) {
    const rates_answer *answer = rates_result(states->entry[k].rates);
    if (answer->level[LEVEL_RIDE].given && answer->felt.swing.unsettled) {
        add(list, (caution){.kind = CAUTION_NOT_CONSISTENT,
                            .item = -1,
                            .state = k,
                            .amount = answer->felt.swing.residual});
    }
    if (answer->level[LEVEL_RIDE].given && answer->felt.swing.below_vacuum) {
        add(list, (caution){.kind = CAUTION_BELOW_VACUUM, .item = -1, .state = k});
    }
}

static void find_springs(caution_list *list, const model *m, const state_standing *s, int k) {
    for (int i = 0; i < m->vehicle.springs; i++) {
        const spring *one = &m->vehicle.spring[i];
        const double P = s->node_pressure[one->node] - m->ambient.pressure;
        const double most = profile_highest_test(&m->vehicle.profile[one->profile]);
        if (s->group[one->node] == s->group[0]) {
            add(list, (caution){.kind = CAUTION_FLAT, .item = i, .state = k});
        }
        if (P > most) {
            add(list, (caution){.kind = CAUTION_ABOVE_TESTS,
                                .item = i,
                                .state = k,
                                .amount = P,
                                .limit = most});
        }
    }
}

static void find_stops(caution_list *list, const model *m, const state_standing *s, int k) {
    for (int i = 0; i < m->vehicle.wheels; i++) {
        const corner *one = &m->vehicle.corner[i];
        const double bump = s->travel[i] - one->bump_at;
        const double rebound = -s->travel[i] - one->rebound_at;
        if (one->bump_rate > 0.0 && bump > 0.0) {
            add(list, (caution){.kind = CAUTION_ON_STOP, .item = i, .state = k, .amount = bump});
        } else if (one->rebound_rate > 0.0 && rebound > 0.0) {
            add(list,
                (caution){.kind = CAUTION_ON_STOP, .item = i, .state = k, .amount = -rebound});
        }
    }
}

static void find_standing(caution_list *list, const charge *c, const states_answer *states, int k) {
    const state_standing *s = standing_of(states, k, false);
    if (s != NULL) {
        find_swing(list, states, k);
        find_springs(list, c->model, s, k);
        find_stops(list, c->model, s, k);
    }
}

/* What linear figures leave out of the network, and what stands in for what is not given. */
static void find_network(caution_list *list, const charge *c) {
    const network *net = &c->model->network;
    int assumed = 0, first = -1;
    for (int i = 0; i < net->edges; i++) {
        const edge *e = &net->edge[i];
        if (e->kind == EDGE_CHECK_VALVE || e->kind == EDGE_REGULATOR || e->kind == EDGE_RELIEF ||
            e->kind == EDGE_COMPRESSOR) {
            add(list, (caution){.kind = CAUTION_COUNTS_SHUT, .item = i, .state = -1});
        }
        if (e->path.assumed || e->bypass.assumed) {
            first = first < 0 ? i : first;
            assumed++;
        }
    }
    for (int i = 0; i < net->nodes; i++) {
        if (c->at_ambient[i]) {
            add(list, (caution){.kind = CAUTION_AT_AMBIENT, .item = i, .state = -1});
        }
    }
    if (assumed > 0) {
        add(list,
            (caution){.kind = CAUTION_LAW_ASSUMED, .item = first, .state = -1, .amount = assumed});
    }
}

/* What is assumed once for the whole vehicle. */
static void find_assumptions(caution_list *list, const charge *c) {
    const model *m = c->model;
    const body *b = &m->vehicle.body;
    const body_freedom freedom = vehicle_freedom(&m->vehicle);
    const bool arm = b->cg_height_given && b->roll_axis_given;
    const struct {
        bool holds;
        caution_kind kind;
        double amount;
    } row[] = {
        {m->gas_assumed, CAUTION_GAS_ASSUMED, 0.0},
        {m->ambient.assumed, CAUTION_AMBIENT_ASSUMED, 0.0},
        {freedom.roll && c->mass.roll_estimated, CAUTION_ROLL_INERTIA, c->mass.roll_inertia},
        {freedom.pitch && c->mass.pitch_estimated, CAUTION_PITCH_INERTIA, c->mass.pitch_inertia},
        {freedom.roll && !arm, CAUTION_NO_ARM, 0.0},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        if (row[i].holds) {
            add(list,
                (caution){.kind = row[i].kind, .item = -1, .state = -1, .amount = row[i].amount});
        }
    }
}

void caution_find(caution_list *list, const charge *c, const states_answer *states) {
    find_ratings(list, c, states);
    list->first = list->count; /* what follows may be found in several states */
    for (int k = 0; k < states->count; k++) {
        for (int i = 0; i < c->model->network.solenoids; i++) {
            find_solenoid(list, c, states, k, i);
        }
        find_standing(list, c, states, k);
    }
    find_network(list, c);
    find_assumptions(list, c);
}
