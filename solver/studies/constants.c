/* SPDX-License-Identifier: MIT */
#include "studies/constants.h"

#include <math.h>
#include <string.h>

#include "numeric/modes.h"

static bool is_held(const node *n) {
    return n->kind == NODE_SUPPLY || n->kind == NODE_ATMOSPHERE;
}

/* Nodes and edges listed by group, bypasses open. */
typedef struct listing {
    const model *model;
    const path_swing *swing;
    groups groups;
    int *node_start, *node;   /* groups + 1, nodes */
    int *edge_start, *edge;   /* groups + 1, edges that pass */
    int *place;               /* nodes: number within the group, -1 for held sides */
    double *weight;           /* nodes: capacity, kg/Pa */
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
    if (group_of == NULL || l->place == NULL || l->weight == NULL ||
        groups_make(&l->groups, a, net) != BARONET_OK) {
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
    const double per_volume = 1.0 / (gas_exponent(l->model->gas) * GAS_CONSTANT *
                                     l->model->ambient.temperature);
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
    return p->node != NULL && p->weight != NULL && p->row != NULL && p->column != NULL &&
           p->pair_value != NULL && p->values != NULL;
}

/* A hose is two halves of twice its conductance around its own air. */
static void list_pencil(pencil *p, const listing *l, int group) {
    const network *net = &l->model->network;
    for (int k = l->node_start[group]; k < l->node_start[group + 1]; k++) {
        const int i = l->node[k];
        l->place[i] = is_held(&net->node[i]) ? -1 : p->size;
        if (!is_held(&net->node[i])) {
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

/* Adds a node to a side, the one that moves most first. */
static void name_node(int *count, int *list, double *moved, int index, double amount) {
    int at = *count < CONSTANT_NODES ? (*count)++ : CONSTANT_NODES;
    while (at > 0 && (at == CONSTANT_NODES || amount > moved[at - 1])) {
        at--;
        if (at + 1 < CONSTANT_NODES) {
            list[at + 1] = list[at];
            moved[at + 1] = moved[at];
        }
        if (amount <= moved[at] && at + 1 == CONSTANT_NODES) {
            return;
        }
    }
    list[at] = index;
    moved[at] = amount;
}
