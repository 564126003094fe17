#include "studies/charge.h"

#include <string.h>

static bool take_arrays(charge *c) {
    const int nodes = c->model->network.nodes;
    c->node_amount = ARENA_ARRAY(c->arena, double, nodes);
    c->node_pressure = ARENA_ARRAY(c->arena, double, nodes);
    c->filled_pressure = ARENA_ARRAY(c->arena, double, nodes);
    c->group_amount = ARENA_ARRAY(c->arena, double, nodes);
    c->group_volume = ARENA_ARRAY(c->arena, double, nodes);
    c->at_ambient = ARENA_ARRAY(c->arena, bool, nodes);
    c->travel = ARENA_ARRAY(c->arena, double, c->model->vehicle.corners);
    return arena_complete(c->arena) && fill_make(&c->fill, c->arena, c->model) == BARONET_OK;
}

baronet_status charge_create(charge **out, const model *m, const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    charge *c = ARENA_OWNER(charge, allocator, &a);
    if (c == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    c->model = m;
    c->arena = a;
    if (!take_arrays(c) || balance_create(&c->balance, m, allocator) != BARONET_OK) {
        charge_destroy(c);
        return BARONET_OUT_OF_MEMORY;
    }
    *out = c;
    return BARONET_OK;
}

void charge_destroy(charge *c) {
    if (c != NULL) {
        balance_destroy(c->balance);
        arena_destroy(c->arena);
    }
}

/* What a node brings into its group before the valves open: volume and p V (Pa m3). */
typedef struct portion {
    double volume, amount;
} portion;

static portion spring_portion(const charge *c, int index) {
    const spring *s = &c->model->vehicle.spring[index];
    const double P = c->fill.pressure[index];
    const profile *p = &c->model->vehicle.profile[s->profile];
    const double V = profile_at(p, c->fill.height[index], P).volume;
    return (portion){V, (P + c->model->ambient.pressure) * V};
}

/* What sets a group's pressure: its springs by their volumes, or its tanks where it has none. */
static bool leads(const node *n, bool springs) {
    return springs ? n->kind == NODE_SPRING : n->kind == NODE_TANK && n->pressure_given;
}

/* Mean pressures of the groups by volume, from what leads them; groups led by nothing keep a volume
   of zero in `total`. */
static void sum_leaders(const charge *c, const groups *g, double *total, double *amount) {
    const network *net = &c->model->network;
    memset(total, 0, (size_t)g->count * sizeof *total);
    memset(amount, 0, (size_t)g->count * sizeof *amount);
    for (int i = 0; i < net->nodes; i++) {
        const node *n = &net->node[i];
        const int group = g->of_node[i];
        if (leads(n, g->springs[group] > 0)) {
            const portion own = n->kind == NODE_SPRING
                                    ? spring_portion(c, n->item)
                                    : (portion){n->volume, n->pressure * n->volume};
            total[group] += own.volume;
            amount[group] += own.amount;
        }
    }
}

/* Pressure of a node before the valves open; NO_AIR where nothing says. */
static baronet_status start_pressure(charge *c, const groups *g, int index, const double *total,
                                     const double *amount, problem *why) {
    const node *n = &c->model->network.node[index];
    const int group = g->of_node[index];
    double *p = &c->node_pressure[index];
    c->at_ambient[index] = false;
    if (n->kind == NODE_ATMOSPHERE) {
        *p = c->model->ambient.pressure;
    } else if (n->kind == NODE_SUPPLY) {
        *p = n->pressure;
    } else if (g->held[group] >= 0) {
        *p = c->node_pressure[g->held[group]];
    } else if (n->kind == NODE_SPRING) {
        *p = c->fill.pressure[n->item] + c->model->ambient.pressure;
    } else if (n->pressure_given) {
        *p = n->pressure;
    } else if (total[group] > 0.0) {
        *p = amount[group] / total[group];
    } else if (n->kind == NODE_TANK) {
        *why = (problem){.status = BARONET_NO_AIR, .item = index};
        return why->status;
    } else {
        *p = c->model->ambient.pressure;
        c->at_ambient[index] = true;
    }
    return BARONET_OK;
}

/* Held nodes first, since others of their groups look at them. */
static baronet_status start_pressures(charge *c, const groups *g, const double *total,
                                      const double *amount, problem *why) {
    const network *net = &c->model->network;
    baronet_status status = BARONET_OK;
    for (int held = 1; held >= 0; held--) {
        for (int i = 0; i < net->nodes && status == BARONET_OK; i++) {
            if (node_is_held(&net->node[i]) == (held == 1)) {
                status = start_pressure(c, g, i, total, amount, why);
            }
        }
    }
    return status;
}

static double node_volume(const charge *c, int index) {
    const node *n = &c->model->network.node[index];
    return n->kind == NODE_SPRING ? balance_standing(c->balance)->point[n->item].volume : n->volume;
}

static void keep_amounts(charge *c, const groups *g) {
    const standing *now = balance_standing(c->balance);
    const network *net = &c->model->network;
    c->flat = false;
    for (int i = 0; i < net->nodes; i++) {
        const int group = g->of_node[i];
        const double V = node_volume(c, i);
        if (now->volume[group] > 0.0 || g->held[group] >= 0) {
            c->node_pressure[i] = now->pressure[group];
        }
        c->node_amount[i] = c->node_pressure[i] * V;
        c->flat = c->flat || (net->node[i].kind == NODE_SPRING && g->held[group] == 0);
    }
    memcpy(c->travel, now->travel, (size_t)c->model->vehicle.corners * sizeof *c->travel);
}

/* The charge's valves open once; the groups that they join stay the same. */
static baronet_status set_valves(charge *c, problem *why) {
    const model *m = c->model;
    if (c->valves_set) {
        return BARONET_OK;
    }
    const baronet_status status =
        balance_set_valves(c->balance, m->state[m->charge_state].open, false, why);
    c->valves_set = status == BARONET_OK;
    return status;
}

/* What each node brings with it once all pressures are known. */
static void fill_amounts(charge *c) {
    const model *m = c->model;
    for (int i = 0; i < m->network.nodes; i++) {
        const node *n = &m->network.node[i];
        c->node_amount[i] = n->kind == NODE_SPRING ? spring_portion(c, n->item).amount
                                                   : c->node_pressure[i] * n->volume;
    }
    memcpy(c->filled_pressure, c->node_pressure,
           (size_t)m->network.nodes * sizeof *c->filled_pressure);
    balance_gather(c->balance, c->node_amount, c->group_amount);
}

baronet_status charge_solve(charge *c, problem *why) {
    *why = (problem){.status = BARONET_OK, .item = -1};
    baronet_status status = fill_solve(&c->fill, c->model, why);
    if (status == BARONET_OK) {
        status = set_valves(c, why);
    }
    if (status != BARONET_OK) {
        return status;
    }
    const groups *g = balance_groups(c->balance);
    /* The amounts serve as work space before they are filled. */
    sum_leaders(c, g, c->group_volume, c->group_amount);
    status = start_pressures(c, g, c->group_volume, c->group_amount, why);
    if (status != BARONET_OK) {
        return status;
    }
    fill_amounts(c);
    c->mass = vehicle_mass(&c->model->vehicle, c->fill.sprung);
    const balance_task task = {&c->fill, c->fill.sprung, c->group_amount, c->mass};
    status = balance_forget(c->balance);
    if (status != BARONET_OK) {
        return status;
    }
    balance_start(c->balance, &task);
    status = balance_solve(c->balance, &task, why);
    if (status == BARONET_OK) {
        keep_amounts(c, g);
    }
    return status;
}
