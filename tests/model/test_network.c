/* SPDX-License-Identifier: MIT */
#include "model/network.h"

#include <criterion/criterion.h>
#include <string.h>

#include "support.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double ambient = 0.991e5;

typedef struct joining {
    const char *what;
    edge edge;
    bool open, bypasses, joins;
} joining;

#define LEAK                                                                                       \
    { .kind = LAW_BORE, .bore = 4e-4, .discharge = 0.8 }

static const joining joinings[] = {
    {"a hose", {.kind = EDGE_HOSE}, false, false, true},
    {"a restrictor", {.kind = EDGE_RESTRICTOR}, false, false, true},
    {"an open solenoid", {.kind = EDGE_SOLENOID}, true, false, true},
    {"a shut one", {.kind = EDGE_SOLENOID}, false, true, false},
    {"a shut one that leaks", {.kind = EDGE_SOLENOID, .bypass = LEAK}, false, false, false},
    {"the same in the long run", {.kind = EDGE_SOLENOID, .bypass = LEAK}, false, true, true},
    {"one normally open but shut",
     {.kind = EDGE_SOLENOID, .normally_open = true},
     false,
     true,
     false},
    {"a check valve", {.kind = EDGE_CHECK_VALVE, .path = LEAK}, true, true, false},
    {"a regulator", {.kind = EDGE_REGULATOR, .path = LEAK}, true, true, false},
    {"a relief", {.kind = EDGE_RELIEF, .path = LEAK}, true, true, false},
    {"a compressor", {.kind = EDGE_COMPRESSOR}, true, true, false},
};

Test(network, what_joins_its_ends) {
    for (size_t i = 0; i < COUNT(joinings); i++) {
        const joining *const one = &joinings[i];
        const network net = {.edges = 1, .edge = &one->edge};
        cr_assert_eq(network_joins(&net, 0, &one->open, one->bypasses), one->joins, "%s",
                     one->what);
    }
}

/* atmosphere, spring, tank, tee, hose air, supply, spring, supply of the same pressure, supply of
   another */
static const node nodes[] = {
    {.kind = NODE_ATMOSPHERE},
    {.kind = NODE_SPRING},
    {.kind = NODE_TANK, .volume = 3.1e-3},
    {.kind = NODE_TEE, .volume = 2.7e-5},
    {.kind = NODE_HOSE, .volume = 4.4e-5},
    {.kind = NODE_SUPPLY, .pressure = 7.3e5},
    {.kind = NODE_SPRING},
    {.kind = NODE_SUPPLY, .pressure = 7.3e5},
    {.kind = NODE_SUPPLY, .pressure = 6.9e5},
};

static const edge edges[] = {
    {.kind = EDGE_HOSE, .from = 1, .to = 3, .air = 4, .solenoid = -1},
    {.kind = EDGE_SOLENOID, .from = 3, .to = 2, .air = -1, .solenoid = 0},
    {.kind = EDGE_SOLENOID, .from = 3, .to = 6, .air = -1, .solenoid = 1, .bypass = LEAK},
    {.kind = EDGE_SOLENOID, .from = 5, .to = 6, .air = -1, .solenoid = 2},
    {.kind = EDGE_SOLENOID, .from = 7, .to = 6, .air = -1, .solenoid = 3},
    {.kind = EDGE_SOLENOID, .from = 8, .to = 6, .air = -1, .solenoid = 4},
    {.kind = EDGE_SOLENOID, .from = 0, .to = 2, .air = -1, .solenoid = 5},
};

static const network plumbing = {
    .nodes = COUNT(nodes), .node = nodes, .edges = COUNT(edges), .edge = edges};

typedef struct grouping {
    bool open[6];
    bool bypasses;
    int count;
    int of_node[COUNT(nodes)];
    int held, second; /* nodes, of spring 6's group */
} grouping;

/* Worked out on paper from the picture above. */
static const grouping groupings[] = {
    {{0}, false, 7, {0, 1, 2, 1, 1, 3, 4, 5, 6}, -1, -1},
    {{0}, true, 6, {0, 1, 2, 1, 1, 3, 1, 4, 5}, -1, -1},
    {{1, 0, 0, 0, 0, 0}, false, 6, {0, 1, 1, 1, 1, 2, 3, 4, 5}, -1, -1},
    {{0, 1, 0, 0, 0, 0}, false, 6, {0, 1, 2, 1, 1, 3, 1, 4, 5}, -1, -1},
    {{0, 0, 1, 0, 0, 0}, false, 6, {0, 1, 2, 1, 1, 3, 3, 4, 5}, 5, -1},
    {{0, 0, 1, 1, 0, 0}, false, 5, {0, 1, 2, 1, 1, 3, 3, 3, 4}, 5, -1},
    {{0, 0, 1, 1, 1, 0}, false, 4, {0, 1, 2, 1, 1, 3, 3, 3, 3}, 5, 8},
    {{1, 1, 0, 0, 0, 1}, false, 4, {0, 0, 0, 0, 0, 1, 0, 2, 3}, 0, -1},
    {{1, 1, 0, 0, 1, 1}, false, 3, {0, 0, 0, 0, 0, 1, 0, 2, 0}, 0, 8},
};

Test(network, groups_are_those_of_the_picture) {
    arena *const a = arena_create(NULL);
    groups g;
    cr_assert_eq(groups_make(&g, a, &plumbing), BARONET_OK);
    for (size_t i = 0; i < COUNT(groupings); i++) {
        const grouping *const want = &groupings[i];
        groups_find(&g, &plumbing, want->open, want->bypasses, ambient);
        cr_assert_eq(g.count, want->count, "position %zu", i);
        for (size_t k = 0; k < COUNT(nodes); k++)
            cr_assert_eq(g.of_node[k], want->of_node[k], "position %zu, node %zu", i, k);
        cr_assert_eq(g.held[g.of_node[6]], want->held, "position %zu", i);
        cr_assert_eq(g.second_held[g.of_node[6]], want->second, "position %zu", i);
    }
    arena_destroy(a);
}

Test(network, groups_sum_what_they_hold) {
    arena *const a = arena_create(NULL);
    groups g;
    cr_assert_eq(groups_make(&g, a, &plumbing), BARONET_OK);
    static const bool open[6] = {1, 1, 0, 0, 0, 0};
    groups_find(&g, &plumbing, open, false, ambient);
    const int whole = g.of_node[1];
    cr_assert_eq(g.springs[whole], 2);
    CHECK_REL(g.fixed[whole], 3.1e-3 + 2.7e-5 + 4.4e-5, 1e-14, "by hand; springs are not in it");
    cr_assert_eq(g.springs[0], 0);
    CHECK_ABS(g.fixed[0], 0.0, 0.0, "the atmosphere has no volume");
    arena_destroy(a);
}

Test(network, a_supply_at_ambient_pressure_agrees_with_the_atmosphere) {
    node own[COUNT(nodes)];
    memcpy(own, nodes, sizeof own);
    own[8].pressure = ambient;
    network net = plumbing;
    net.node = own;
    arena *const a = arena_create(NULL);
    groups g;
    cr_assert_eq(groups_make(&g, a, &net), BARONET_OK);
    groups_find(&g, &net, groupings[8].open, false, ambient);
    cr_assert_eq(g.held[0], 0);
    cr_assert_eq(g.second_held[0], -1);
    arena_destroy(a);
}

enum { MANY = 60 };

/* Gives all that a random network joins the least number in it, again and again until nothing
   changes. */
static void flood(const network *net, const bool *open, int *set) {
    for (int i = 0; i < MANY; i++)
        set[i] = i;
    for (bool changed = true; changed;) {
        changed = false;
        for (int i = 0; i < net->edges; i++) {
            int *const x = &set[net->edge[i].from], *const y = &set[net->edge[i].to];
            if (open[i] && *x != *y) {
                *x = *y = *x < *y ? *x : *y;
                changed = true;
            }
        }
    }
}

static void check_random(groups *g, unsigned long long *state) {
    node own[MANY];
    edge paths[MANY];
    bool open[MANY];
    int set[MANY];
    for (int i = 0; i < MANY; i++) {
        own[i] = (node){.kind = i == 0 ? NODE_ATMOSPHERE : NODE_TANK, .volume = 1.0 + i};
        open[i] = random_unit(state) < 0.7;
        paths[i] = (edge){.kind = EDGE_SOLENOID,
                          .from = (int)(random_unit(state) * MANY),
                          .to = (int)(random_unit(state) * MANY),
                          .air = -1,
                          .solenoid = i};
    }
    const network net = {.nodes = MANY, .node = own, .edges = MANY, .edge = paths};
    groups_find(g, &net, open, false, ambient);
    flood(&net, open, set);
    int next = 0;
    for (int i = 0; i < MANY; i++) {
        const int want = set[i] == i ? next++ : g->of_node[set[i]];
        cr_assert_eq(g->of_node[i], want);
    }
    cr_assert_eq(g->count, next);
}

Test(network, groups_of_random_networks_are_those_of_a_flood) {
    arena *const a = arena_create(NULL);
    groups g;
    const network size = {.nodes = MANY};
    cr_assert_eq(groups_make(&g, a, &size), BARONET_OK);
    unsigned long long state = 20260417;
    for (int k = 0; k < 500; k++)
        check_random(&g, &state);
    arena_destroy(a);
}

Test(network, a_want_of_memory_is_told) {
    failing f;
    for (size_t k = 1;; k++) {
        arena *const a = arena_create(failing_start(&f, k));
        if (a != NULL) {
            groups g;
            const baronet_status status = groups_make(&g, a, &plumbing);
            cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        }
        arena_destroy(a);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
}
