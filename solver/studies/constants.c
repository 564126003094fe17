/* SPDX-License-Identifier: MIT */
#include "studies/constants.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numeric/modes.h"

/* Nodes and edges listed by group, bypasses open. */
typedef struct listing {
    const model *model;
    const path_swing *swing;
    groups groups;
    int *node_start, *node; /* groups + 1, nodes */
    int *edge_start, *edge; /* groups + 1, edges that pass */
    int *place;             /* nodes: number within the group, -1 for held sides */
    double *weight;         /* nodes: capacity, kg/Pa */
} listing;

static int *counts_to_starts(arena *a, int groups_count, int items, const int *group_of) {
    int *start = ARENA_ARRAY(a, int, groups_count + 1);
    for (int i = 0; i < items && start != NULL; i++) {
        if (group_of[i] >= 0) {
            start[group_of[i] + 1]++;
        }
    }
    for (int g = 0; g < groups_count && start != NULL; g++) {
        start[g + 1] += start[g];
    }
    return start;
}

/* Items in order of their group; those of group -1 are left out. */
static bool list_by_group(arena *a, int groups_count, int items, const int *group_of, int **start,
                          int **list) {
    *start = counts_to_starts(a, groups_count, items, group_of);
    *list = ARENA_ARRAY(a, int, items);
    int *next = ARENA_ARRAY(a, int, groups_count + 1);
    if (*start == NULL || *list == NULL || next == NULL) {
        return false;
    }
    memcpy(next, *start, ((size_t)groups_count + 1) * sizeof *next);
    for (int i = 0; i < items; i++) {
        if (group_of[i] >= 0) {
            (*list)[next[group_of[i]]++] = i;
        }
    }
    return true;
}

static baronet_status make_listing(listing *l, arena *a, rates *r) {
    const network *net = &l->model->network;
    int *group_of = ARENA_ARRAY(a, int, net->edges);
    l->place = ARENA_ARRAY(a, int, net->nodes);
    l->weight = ARENA_ARRAY(a, double, net->nodes);
    if (!arena_complete(a) || groups_make(&l->groups, a, net) != BARONET_OK) {
        return BARONET_OUT_OF_MEMORY;
    }
    groups_find(&l->groups, net, rates_open(r), true, l->model->ambient.pressure);
    for (int i = 0; i < net->edges; i++) {
        group_of[i] = l->swing[i].passes ? l->groups.of_node[net->edge[i].from] : -1;
    }
    if (!list_by_group(a, l->groups.count, net->nodes, l->groups.of_node, &l->node_start,
                       &l->node) ||
        !list_by_group(a, l->groups.count, net->edges, group_of, &l->edge_start, &l->edge)) {
        return BARONET_OUT_OF_MEMORY;
    }
    const double per_volume =
        1.0 / (gas_exponent(l->model->gas) * GAS_CONSTANT * l->model->ambient.temperature);
    for (int i = 0; i < net->nodes; i++) {
        l->weight[i] = per_volume * rates_result(r)->settled.node_volume[i];
    }
    return BARONET_OK;
}

/* One group's pencil. */
typedef struct pencil {
    int size;
    int *node; /* size: node of each unknown */
    double *weight;
    int pairs;
    int *row, *column;
    double *pair_value, *values;
    pattern pattern;
} pencil;

static void put(pencil *p, int row, int column, double value) {
    p->row[p->pairs] = row;
    p->column[p->pairs] = column;
    p->pair_value[p->pairs++] = value;
}

static void put_link(pencil *p, int a, int b, double conductance) {
    if (a >= 0) {
        put(p, a, a, conductance);
    }
    if (b >= 0) {
        put(p, b, b, conductance);
    }
    if (a >= 0 && b >= 0) {
        put(p, a, b, -conductance);
        put(p, b, a, -conductance);
    }
}

static bool take_pencil(pencil *p, const listing *l, arena *a, int group) {
    const int nodes = l->node_start[group + 1] - l->node_start[group];
    const int edges = l->edge_start[group + 1] - l->edge_start[group];
    const int most = nodes + 8 * edges;
    *p = (pencil){.node = ARENA_ARRAY(a, int, nodes),
                  .weight = ARENA_ARRAY(a, double, nodes),
                  .row = ARENA_ARRAY(a, int, most),
                  .column = ARENA_ARRAY(a, int, most),
                  .pair_value = ARENA_ARRAY(a, double, most),
                  .values = ARENA_ARRAY(a, double, most)};
    return arena_complete(a);
}

/* A hose is two halves of twice its conductance around its own air. */
static void list_pencil(pencil *p, const listing *l, int group) {
    const network *net = &l->model->network;
    for (int k = l->node_start[group]; k < l->node_start[group + 1]; k++) {
        const int i = l->node[k];
        l->place[i] = node_is_held(&net->node[i]) ? -1 : p->size;
        if (!node_is_held(&net->node[i])) {
            p->node[p->size] = i;
            p->weight[p->size] = l->weight[i];
            put(p, p->size, p->size, 0.0);
            p->size++;
        }
    }
    for (int k = l->edge_start[group]; k < l->edge_start[group + 1]; k++) {
        const edge *e = &net->edge[l->edge[k]];
        const double G = l->swing[l->edge[k]].conductance;
        const int from = l->place[e->from], to = l->place[e->to];
        if (e->air < 0) {
            put_link(p, from, to, G);
        } else {
            put_link(p, from, l->place[e->air], 2.0 * G);
            put_link(p, l->place[e->air], to, 2.0 * G);
        }
    }
}

/* The volumes that move the most air on one side of a constant, largest first. */
typedef struct side {
    int count;
    int node[CONSTANT_NODES];
    double moved[CONSTANT_NODES];
    double tanks; /* what tanks move of it */
    double all;
} side;

/* Amounts that differ by less than this part are equal: the order of the netlist then decides. */
#define CONSTANT_EQUAL 1e-6

static void name_node(side *s, int index, double amount, bool tank) {
    int at = s->count;
    s->tanks += tank ? amount : 0.0;
    s->all += amount;
    while (at > 0 && amount > s->moved[at - 1] * (1.0 + CONSTANT_EQUAL)) {
        at--;
    }
    if (at == CONSTANT_NODES) {
        return;
    }
    s->count += s->count < CONSTANT_NODES;
    for (int k = s->count - 1; k > at; k--) {
        s->node[k] = s->node[k - 1];
        s->moved[k] = s->moved[k - 1];
    }
    s->node[at] = index;
    s->moved[at] = amount;
}

/* A side that moves less than this part of the other is none: what moves is a held side. */
#define CONSTANT_NO_SIDE 1e-6

static void name_side(const side *s, const side *other, constant_side *out) {
    *out = (constant_side){0};
    double named = 0.0;
    while (s->all > CONSTANT_NO_SIDE * other->all && out->count < s->count &&
           s->moved[out->count] >= CONSTANT_PART * s->moved[0]) {
        named += s->moved[out->count];
        out->node[out->count] = s->node[out->count];
        out->count++;
    }
    out->others = out->count > 0 && named < CONSTANT_NAMED * s->all;
}

/* Which volumes breathe into which. A mode has no direction: tanks are said to give. */
static void name_shape(constant *out, const pencil *p, const listing *l, const double *x,
                       int held) {
    side full = {0}, empty = {0};
    for (int i = 0; i < p->size; i++) {
        const double moved = p->weight[i] * x[i];
        const bool tank = l->model->network.node[p->node[i]].kind == NODE_TANK;
        if (moved != 0.0) {
            name_node(moved > 0.0 ? &full : &empty, p->node[i], fabs(moved), tank);
        }
    }
    const bool as_is = full.tanks > empty.tanks * (1.0 + CONSTANT_EQUAL) ||
                       (full.tanks > empty.tanks * (1.0 - CONSTANT_EQUAL) && full.count > 0 &&
                        (empty.count == 0 || full.node[0] < empty.node[0]));
    name_side(as_is ? &full : &empty, as_is ? &empty : &full, &out->giver);
    name_side(as_is ? &empty : &full, as_is ? &full : &empty, &out->taker);
    out->held = held;
}

static baronet_status solve_pencil(constant *out, int wanted, pencil *p, const listing *l, arena *a,
                                   int held, const baronet_allocator *allocator) {
    modes_answer modes = {
        .value = ARENA_ARRAY(a, double, wanted),
        .vector = ARENA_ARRAY(a, double, (size_t)wanted *(size_t)p->size),
        .residual = ARENA_ARRAY(a, double, wanted),
    };
    if (!arena_complete(a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (int k = 0; k < p->pairs; k++) {
        p->values[p->pattern.slot[k]] += p->pair_value[k];
    }
    const modes_pencil pair = {&p->pattern, p->values, p->weight, held < 0};
    const baronet_status status = modes_solve(&pair, wanted, &modes, allocator);
    for (int k = 0; k < wanted && status == BARONET_OK; k++) {
        out[k] = (constant){.time = 1.0 / modes.value[k], .residual = modes.residual[k]};
        name_shape(&out[k], p, l, modes.vector + (size_t)k * (size_t)p->size, held);
    }
    return status;
}

static int slower(const void *a, const void *b) {
    const double one = ((const constant *)a)->time, two = ((const constant *)b)->time;
    return (one < two) - (one > two);
}

/* Takes in some more constants, slowest first, and keeps the slowest. */
static void merge(constants_answer *out, constant *more, int count) {
    memcpy(out->constant + out->count, more, (size_t)count * sizeof *more);
    out->count += count;
    qsort(out->constant, (size_t)out->count, sizeof *more, slower);
    out->count = out->count < CONSTANTS_MOST ? out->count : CONSTANTS_MOST;
}

static baronet_status solve_group(constants_answer *out, const listing *l, int group,
                                  const baronet_allocator *allocator) {
    arena *a = arena_create(allocator);
    pencil p;
    if (a == NULL || !take_pencil(&p, l, a, group)) {
        arena_destroy(a);
        return BARONET_OUT_OF_MEMORY;
    }
    list_pencil(&p, l, group);
    const int held = l->groups.held[group];
    const modes_pencil sized = {&(pattern){.size = p.size}, NULL, p.weight, held < 0};
    const int all = modes_count(&sized);
    const int room = CONSTANTS_VALUES / (p.size + 1) + 1;
    const int most = room < CONSTANTS_MOST ? room : CONSTANTS_MOST;
    const int wanted = all < most ? all : most;
    constant found[CONSTANTS_MOST] = {{0}};
    baronet_status status = BARONET_OK;
    if (wanted > 0) {
        status = pattern_make(&p.pattern, allocator, p.size, p.pairs, p.row, p.column);
    }
    if (wanted > 0 && status == BARONET_OK) {
        status = solve_pencil(found, wanted, &p, l, a, held, allocator);
        pattern_free(&p.pattern);
    }
    if (status == BARONET_OK) {
        merge(out, found, wanted);
        out->all += all;
        out->sealed += held < 0;
    }
    arena_destroy(a);
    return status;
}

baronet_status constants_solve(constants_answer *out, arena *a, rates *r, const path_swing *swing,
                               const baronet_allocator *allocator) {
    listing l = {.model = rates_model(r), .swing = swing};
    *out = (constants_answer){.constant = ARENA_ARRAY(a, constant, 2 * CONSTANTS_MOST)};
    if (out->constant == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    baronet_status status = make_listing(&l, a, r);
    for (int g = 0; status == BARONET_OK && g < l.groups.count; g++) {
        if (l.groups.springs[g] > 0) {
            status = solve_group(out, &l, g, allocator);
        } else {
            out->idle += l.edge_start[g + 1] > l.edge_start[g] && l.groups.held[g] < 0;
        }
    }
    return status;
}
