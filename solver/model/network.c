#include "model/network.h"

#include <string.h>

#include "base/sets.h"

bool network_joins(const network *net, int edge_index, const bool *open, bool bypasses) {
    const edge *e = &net->edge[edge_index];
    switch (e->kind) {
    case EDGE_HOSE:
    case EDGE_RESTRICTOR:
        return true;
    case EDGE_SOLENOID:
        return open[e->solenoid] || (bypasses && e->bypass.kind != LAW_NONE);
    case EDGE_CHECK_VALVE:
    case EDGE_REGULATOR:
    case EDGE_RELIEF:
    case EDGE_COMPRESSOR:
        break;
    }
    return false;
}

const law *network_law(const network *net, int edge_index, const bool *open, bool bypasses) {
    const edge *e = &net->edge[edge_index];
    const bool shut = e->kind == EDGE_SOLENOID && !open[e->solenoid];
    const law *l = shut ? &e->bypass : &e->path;
    return network_joins(net, edge_index, open, bypasses) ? l : NULL;
}

baronet_status groups_make(groups *out, arena *a, const network *net) {
    *out = (groups){.of_node = ARENA_ARRAY(a, int, net->nodes),
                    .springs = ARENA_ARRAY(a, int, net->nodes),
                    .fixed = ARENA_ARRAY(a, double, net->nodes),
                    .held = ARENA_ARRAY(a, int, net->nodes),
                    .second_held = ARENA_ARRAY(a, int, net->nodes),
                    .scratch = ARENA_ARRAY(a, int, net->nodes)};
    return arena_complete(a) ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

static double held_pressure(const network *net, int index, double ambient) {
    return net->node[index].kind == NODE_ATMOSPHERE ? ambient : net->node[index].pressure;
}

static void add_to_group(groups *g, const network *net, int index, double ambient) {
    const int group = g->of_node[index];
    switch (net->node[index].kind) {
    case NODE_SPRING:
        g->springs[group]++;
        break;
    case NODE_TANK:
    case NODE_TEE:
    case NODE_HOSE:
        g->fixed[group] += net->node[index].volume;
        break;
    case NODE_SUPPLY:
    case NODE_ATMOSPHERE:
        if (g->held[group] < 0) {
            g->held[group] = index;
        } else if (held_pressure(net, index, ambient) !=
                   held_pressure(net, g->held[group], ambient)) {
            g->second_held[group] = index;
        }
        break;
    }
}

void groups_find(groups *g, const network *net, const bool *open, bool bypasses, double ambient) {
    int *const set = g->scratch;
    sets_start(set, net->nodes);
    for (int i = 0; i < net->edges; i++) {
        if (network_joins(net, i, open, bypasses)) {
            sets_join(set, net->edge[i].from, net->edge[i].to);
            if (net->edge[i].air >= 0) {
                sets_join(set, net->edge[i].from, net->edge[i].air);
            }
        }
    }
    g->count = 0;
    for (int i = 0; i < net->nodes; i++) {
        if (sets_find(set, i) == i) {
            const int group = g->count++;
            g->springs[group] = 0;
            g->fixed[group] = 0.0;
            g->held[group] = g->second_held[group] = -1;
            g->of_node[i] = group;
        } else {
            /* The least of its set has its group already. */
            g->of_node[i] = g->of_node[sets_find(set, i)];
        }
        add_to_group(g, net, i, ambient);
    }
}

void groups_measure(groups *g, const network *net) {
    memset(g->fixed, 0, (size_t)g->count * sizeof *g->fixed);
    for (int i = 0; i < net->nodes; i++) {
        const node_kind kind = net->node[i].kind;
        if (kind == NODE_TANK || kind == NODE_TEE || kind == NODE_HOSE) {
            g->fixed[g->of_node[i]] += net->node[i].volume;
        }
    }
}
