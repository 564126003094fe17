#include "studies/states.h"

#include <string.h>

#include "base/text.h"
#include "studies/felt.h"

static bool same_position(const model *m, const bool *a, const bool *b) {
    return memcmp(a, b, (size_t)m->network.solenoids * sizeof *a) == 0;
}

/* The named state of a position, -1 for none; `rest` only where no other has it. */
static int named_state(const model *m, const bool *open) {
    int found = -1;
    for (int k = 0; k < m->states; k++) {
        if (same_position(m, m->state[k].open, open) && (found < 0 || found == m->rest_state)) {
            found = k;
        }
    }
    return found;
}

static void add_state(states_answer *out, const model *m, int k) {
    const valve_state *s = &m->state[k];
    out->entry[out->count++] = (states_entry){
        .name = s->name, .open = s->open, .rest = s->rest, .combinations = 1, .named = k};
}

static void add_named(states_answer *out, const model *m) {
    for (int k = 0; k < m->states; k++) {
        if (k != m->rest_state || named_state(m, m->state[k].open) == k) {
            add_state(out, m, k);
        }
    }
}

static char *combination_name(arena *a, const model *m, const bool *open) {
    text_buffer name = {.allocator = arena_allocator(a)};
    for (int k = 0; k < m->network.solenoids; k++) {
        if (open[k]) {
            text_buffer_add(&name, name.length > 0 ? "+" : "");
            text_buffer_add(&name, m->network.edge[m->network.solenoid[k]].name);
        }
    }
    if (name.length == 0) {
        text_buffer_add(&name, "all-shut");
    }
    char *copy = name.failed ? NULL : arena_copy_text(a, name.bytes, name.length);
    text_buffer_free(&name);
    return copy;
}

/* How many numbers tell what a position joins. */
static size_t joins_count(const model *m) {
    return 2 * (size_t)m->network.nodes + (size_t)m->network.solenoids;
}

/* Each node's group by its first node, -1 where no spring is in it: how the groups are numbered,
   and what is joined behind a shut valve, makes no difference to the springs. */
static void list_breathing(groups *g, int nodes, int *joins) {
    int *first = g->scratch; /* free once the groups are found */
    int known = 0;
    for (int i = 0; i < nodes; i++) {
        const int group = g->of_node[i];
        if (group == known) { /* groups are numbered in order of their first node */
            first[known++] = i;
        }
        joins[i] = g->springs[group] > 0 ? first[group] : -1;
    }
}

/* What a position joins: the breathing nodes with its bypasses and without, and which solenoids
   stand open where springs breathe. Two paths beside each other join what one does, but air passes
   them differently. */
static void find_joins(groups *g, const model *m, const bool *open, int *joins) {
    const network *net = &m->network;
    const size_t nodes = (size_t)net->nodes;
    for (int bypasses = 1; bypasses >= 0; bypasses--) {
        groups_find(g, net, open, bypasses == 1, m->ambient.pressure);
        list_breathing(g, net->nodes, joins + (size_t)bypasses * nodes);
    }
    for (int k = 0; k < net->solenoids; k++) {
        const edge *e = &net->edge[net->solenoid[k]];
        const bool breathes =
            g->springs[g->of_node[e->from]] > 0 || g->springs[g->of_node[e->to]] > 0;
        joins[2 * nodes + (size_t)k] = open[k] && breathes;
    }
}

static unsigned long long hash_joins(const int *joins, size_t count) {
    unsigned long long hash = 1469598103934665603u; /* FNV-1a, 64 bits */
    for (size_t i = 0; i < count; i++) {
        hash = (hash ^ (unsigned)joins[i]) * 1099511628211u;
    }
    return hash;
}

/* The entry with the same joins, or -1. */
static int find_same(const states_answer *out, int *const *joins, const unsigned long long *hashes,
                     const int *own, unsigned long long hash, size_t count) {
    for (int k = 0; k < out->count; k++) {
        if (hashes[k] == hash && memcmp(joins[k], own, count * sizeof *own) == 0) {
            return k;
        }
    }
    return -1;
}

/* One position of the solenoids: a new entry, or one more of an entry that joins the same volumes.
   A named state, or the de-energised one, lends its name to what it is folded with. */
static bool add_combination(states_answer *out, const model *m, groups *g, int **joins,
                            unsigned long long *hashes, unsigned bits, int *scratch) {
    arena *a = out->arena;
    bool *open = ARENA_ARRAY(a, bool, m->network.solenoids);
    if (open == NULL) {
        return false;
    }
    for (int k = 0; k < m->network.solenoids; k++) {
        open[k] = (bits >> k & 1u) != 0;
    }
    const size_t count = joins_count(m);
    find_joins(g, m, open, scratch);
    const unsigned long long hash = hash_joins(scratch, count);
    const int named = named_state(m, open);
    const bool rest = same_position(m, open, m->state[m->rest_state].open);
    const int same = find_same(out, joins, hashes, scratch, hash, count);
    states_entry *e = &out->entry[same >= 0 ? same : out->count];
    if (same < 0) {
        joins[out->count] = ARENA_ARRAY(a, int, count);
        if (joins[out->count] == NULL) {
            return false;
        }
        memcpy(joins[out->count], scratch, count * sizeof *scratch);
        hashes[out->count++] = hash;
        *e = (states_entry){.named = -1};
    }
    e->combinations++;
    e->rest = e->rest || rest;
    if (e->name == NULL || (named >= 0 && e->named < 0)) {
        e->named = named;
        e->open = open;
        e->name = named >= 0 ? m->state[named].name : combination_name(a, m, open);
    }
    return e->name != NULL;
}

static baronet_status add_all(states_answer *out, const model *m, unsigned positions) {
    arena *a = out->arena;
    groups g;
    int **joins = ARENA_ARRAY(a, int *, positions);
    unsigned long long *hashes = ARENA_ARRAY(a, unsigned long long, positions);
    int *scratch = ARENA_ARRAY(a, int, joins_count(m));
    if (!arena_complete(a) || groups_make(&g, a, &m->network) != BARONET_OK) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (unsigned bits = 0; bits < positions; bits++) {
        if (!add_combination(out, m, &g, joins, hashes, bits, scratch)) {
            return BARONET_OUT_OF_MEMORY;
        }
    }
    return BARONET_OK;
}

static baronet_status solve_entries(states_answer *out, charge *c, const load_case *with,
                                    double amplitude, const baronet_allocator *allocator) {
    for (int k = 0; k < out->count; k++) {
        states_entry *e = &out->entry[k];
        baronet_status status = rates_create(&e->rates, c, e->open, allocator, &e->problem);
        if (status == BARONET_OK) {
            status = rates_solve(e->rates, with);
            e->problem = rates_result(e->rates)->problem;
            if (status == BARONET_OK && amplitude > 0.0) {
                status = felt_solve(e->rates, amplitude, allocator);
            }
        }
        if (status == BARONET_OUT_OF_MEMORY) {
            return status;
        }
        if (k == 0 || e->named == c->model->charge_state) {
            out->base = k;
        }
    }
    return BARONET_OK;
}

baronet_status states_solve(states_answer *out, charge *c, const load_case *with,
                            states_choice choice, int one, double amplitude,
                            const baronet_allocator *allocator) {
    const model *m = c->model;
    *out = (states_answer){.arena = arena_create(allocator)};
    const int solenoids = m->network.solenoids;
    if (out->arena == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    if (choice == STATES_ALL &&
        (solenoids > STATES_SOLENOIDS_MAX ||
         (double)(1u << solenoids) * m->network.nodes > STATES_VALUES_MAX)) {
        return BARONET_TOO_MANY;
    }
    const unsigned positions = choice == STATES_ALL ? 1u << solenoids : (unsigned)m->states;
    out->entry = ARENA_ARRAY(out->arena, states_entry, positions);
    if (out->entry == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    baronet_status status = BARONET_OK;
    if (choice == STATES_ALL) {
        status = add_all(out, m, positions);
    } else if (choice == STATES_NAMED) {
        add_named(out, m);
    } else {
        add_state(out, m, one);
    }
    return status == BARONET_OK ? solve_entries(out, c, with, amplitude, allocator) : status;
}

baronet_status states_join(balance_worst *all, const states_answer *states, level at) {
    baronet_status status = BARONET_OK;
    for (int k = 0; k < states->count && status == BARONET_OK; k++) {
        const states_entry *const e = &states->entry[k];
        if (e->rates != NULL && e->problem.status == BARONET_OK) {
            status = rates_join(all, e->rates, at, e->name);
        }
    }
    return status;
}

void states_free(states_answer *answer) {
    for (int k = 0; k < answer->count; k++) {
        rates_destroy(answer->entry[k].rates);
    }
    arena_destroy(answer->arena);
    *answer = (states_answer){0};
}
