/* SPDX-License-Identifier: MIT */
#include "studies/parts.h"

#include <math.h>
#include <stdlib.h>

/* Two sizes this close, in parts of either, are one. */
#define PARTS_SAME 1e-9

const char *parts_name(const model *m, part_kind kind, int item) {
    return part_is_edge(kind) ? m->network.edge[item].name : m->network.node[item].name;
}

bool parts_energised(const network *net, int solenoid, const bool *open) {
    return open[solenoid] != net->edge[net->solenoid[solenoid]].normally_open;
}

double parts_energy(double pressure, double volume, double around) {
    const double k = GAS_GAMMA;
    return pressure > around
               ? pressure * volume / (k - 1.0) * -expm1((k - 1.0) / k * log(around / pressure))
               : 0.0;
}

double parts_most_energy(double pressure, double volume, double around) {
    return fmax(pressure - around, 0.0) * volume / (GAS_GAMMA - 1.0);
}

double parts_no_flow(const edge *compressor) {
    const int last = compressor->table_rows - 1;
    const double *p = compressor->table_pressure, *flow_of = compressor->table_flow;
    if (last < 1 || flow_of[last] <= 0.0) {
        return last < 1 ? (double)HUGE_VAL : p[last];
    }
    const double slope = (flow_of[last] - flow_of[last - 1]) / (p[last] - p[last - 1]);
    return slope < 0.0 ? p[last] - flow_of[last] / slope : (double)HUGE_VAL;
}

static bool same(double a, double b) {
    return fabs(a - b) <= PARTS_SAME * fmax(fabs(a), fabs(b));
}

static bool same_law(const law *a, const law *b) {
    return a->kind == b->kind && same(a->bore, b->bore) && same(a->discharge, b->discharge) &&
           same(a->conductance, b->conductance) && same(a->critical, b->critical) &&
           same(a->kv, b->kv) && same(a->xt, b->xt);
}

static bool same_table(const edge *a, const edge *b) {
    bool alike = a->table_rows == b->table_rows;
    for (int i = 0; i < a->table_rows && alike; i++) {
        alike = same(a->table_pressure[i], b->table_pressure[i]) &&
                same(a->table_flow[i], b->table_flow[i]);
    }
    return alike;
}

/* Hoses by what is cut from the roll: what their fittings cost is no matter here. */
static bool same_edge(const edge *a, const edge *b) {
    if (a->kind == EDGE_HOSE) {
        return same(a->path.bore, b->path.bore) && same(a->path.length, b->path.length) &&
               same(a->rated, b->rated);
    }
    return same_law(&a->path, &b->path) && same_law(&a->bypass, &b->bypass) &&
           a->normally_open == b->normally_open && a->one_way == b->one_way &&
           same(a->opens_above, b->opens_above) && same(a->opens_at, b->opens_at) &&
           same(a->set, b->set) && same(a->volts, b->volts) && same(a->current, b->current) &&
           same(a->rated, b->rated) && same_table(a, b);
}

static bool same_node(const model *m, const node *a, const node *b) {
    const bool alike = same(a->rated, b->rated);
    switch (a->kind) {
    case NODE_SPRING:
        return alike && m->vehicle.spring[a->item].profile == m->vehicle.spring[b->item].profile;
    case NODE_SUPPLY:
        return alike && same(a->pressure, b->pressure);
    default:
        return alike && same(a->volume, b->volume);
    }
}

/* How many paths end at each node. */
static int *count_ports(arena *a, const network *net) {
    int *ports = ARENA_ARRAY(a, int, net->nodes);
    for (int i = 0; i < net->edges && ports != NULL; i++) {
        ports[net->edge[i].from]++;
        ports[net->edge[i].to]++;
    }
    return ports;
}

/* All items of a kind in a row, and the line that each of them belongs to. */
typedef struct sorter {
    const model *model;
    const int *ports;
    int *item;    /* of the whole netlist, kind after kind */
    int *line_of; /* of each */
    int items;
} sorter;

static bool alike(const sorter *s, part_kind kind, int a, int b) {
    const network *net = &s->model->network;
    return part_is_edge(kind) ? same_edge(&net->edge[a], &net->edge[b])
                              : same_node(s->model, &net->node[a], &net->node[b]) &&
                                    (kind != PART_TEE || s->ports[a] == s->ports[b]);
}

/* Most lines that a new part is compared with: a schedule of more is not read, and the search
   stays linear in the parts. */
enum { LINES_SEARCHED = 200 };

/* Puts an item into the line of its like, or into a new one. */
static void place(parts_answer *out, sorter *s, part_kind kind, int item, int first_line) {
    const int from =
        out->lines - first_line > LINES_SEARCHED ? out->lines - LINES_SEARCHED : first_line;
    int k = from;
    while (k < out->lines && !alike(s, kind, out->line[k].highest_item, item)) {
        k++;
    }
    if (k == out->lines) {
        const network *net = &s->model->network;
        out->line[out->lines++] = (part_line){
            .kind = kind,
            .rated = part_is_edge(kind) ? net->edge[item].rated : net->node[item].rated,
            .ports = kind == PART_TEE ? s->ports[item] : 0,
            .highest_item = item}; /* the first of its line, until pressures are known */
    }
    out->line[k].count++;
    s->item[s->items] = item;
    s->line_of[s->items++] = k;
}

static void sort_kind(parts_answer *out, sorter *s, part_kind kind) {
    const network *net = &s->model->network;
    const int first_line = out->lines;
    for (int i = 0; i < net->nodes && !part_is_edge(kind); i++) {
        if (part_of_node(net->node[i].kind) == kind) {
            place(out, s, kind, i, first_line);
        }
    }
    for (int i = 0; i < net->edges && part_is_edge(kind); i++) {
        if (part_of_edge(net->edge[i].kind) == kind) {
            place(out, s, kind, i, first_line);
        }
    }
}

/* Gives each line its own items, which stand one after another. */
static bool deal_out(parts_answer *out, arena *a, const sorter *s) {
    int *room = ARENA_ARRAY(a, int, s->items);
    int *filled = ARENA_ARRAY(a, int, out->lines);
    if (room == NULL || filled == NULL) {
        return false;
    }
    int start = 0;
    for (int k = 0; k < out->lines; k++) {
        out->line[k].item = room + start;
        filled[k] = start;
        start += out->line[k].count;
    }
    for (int i = 0; i < s->items; i++) {
        room[filled[s->line_of[i]]++] = s->item[i];
    }
    return true;
}

/* By more than rounding. */
static bool is_higher(const parts_answer *out, const peak *one, const peak *other) {
    return one->gauge > other->gauge + PEAKS_SAME * out->model->ambient.pressure;
}

/* Of a path the higher of its ends, and of a hose its own air. */
static peak peak_of(const parts_answer *out, part_kind kind, int item) {
    const peak *met = out->peaks.node;
    if (!part_is_edge(kind)) {
        return met[item];
    }
    const edge *e = &out->model->network.edge[item];
    const int at[] = {e->from, e->to, e->air};
    peak found = met[e->from];
    for (int k = 1; k < (e->air >= 0 ? 3 : 2); k++) {
        found = is_higher(out, &met[at[k]], &found) ? met[at[k]] : found;
    }
    return found;
}

static void find_highest(parts_answer *out) {
    for (int k = 0; k < out->lines; k++) {
        part_line *l = &out->line[k];
        for (int i = 0; i < l->count; i++) {
            const peak one = peak_of(out, l->kind, l->item[i]);
            if (i == 0 || is_higher(out, &one, &l->highest)) {
                l->highest = one;
                l->highest_item = l->item[i];
            }
        }
    }
}

static bool list_lines(parts_answer *out, arena *a) {
    const network *net = &out->model->network;
    const int most = net->nodes + net->edges;
    sorter s = {.model = out->model,
                .ports = count_ports(a, net),
                .item = ARENA_ARRAY(a, int, most),
                .line_of = ARENA_ARRAY(a, int, most)};
    out->line = ARENA_ARRAY(a, part_line, most);
    if (!arena_complete(a)) {
        return false;
    }
    for (int kind = 0; kind < PART_KINDS; kind++) {
        if (kind != PART_ATMOSPHERE) { /* nobody buys it */
            sort_kind(out, &s, (part_kind)kind);
        }
    }
    const bool dealt = deal_out(out, a, &s);
    if (dealt) {
        find_highest(out);
    }
    return dealt;
}

static int by_bore(const void *left, const void *right) {
    const part_bore *a = left, *b = right;
    return (a->bore < b->bore) - (a->bore > b->bore);
}

/* The hoses' bores, the widest first. */
static bool list_bores(parts_answer *out, arena *a) {
    part_bore *all = ARENA_ARRAY(a, part_bore, out->lines);
    int lines = 0;
    for (int k = 0; k < out->lines && all != NULL; k++) {
        const part_line *l = &out->line[k];
        if (l->kind == PART_HOSE) {
            const law *path = &out->model->network.edge[l->item[0]].path;
            all[lines++] = (part_bore){path->bore, l->count, l->count * path->length, path->length};
        }
    }
    if (lines > 0) {
        qsort(all, (size_t)lines, sizeof *all, by_bore);
    }
    out->bore = all;
    for (int k = 0; k < lines; k++) {
        part_bore *b = &all[out->bores > 0 ? out->bores - 1 : 0];
        if (out->bores == 0 || !same(b->bore, all[k].bore)) {
            all[out->bores++] = all[k];
            continue;
        }
        b->pieces += all[k].pieces;
        b->length += all[k].length;
        b->longest = fmax(b->longest, all[k].longest);
    }
    return all != NULL;
}

static part_vessel vessel_of(const parts_answer *out, const charge *c, int node_index) {
    const model *m = out->model;
    const node *n = &m->network.node[node_index];
    const double p_0 = m->ambient.pressure;
    part_vessel v = {.node = node_index, .volume = n->volume, .rated = n->rated};
    if (n->kind == NODE_SPRING) {
        const spring *s = &m->vehicle.spring[n->item];
        v.volume = profile_at(&m->vehicle.profile[s->profile], c->fill.height[n->item], 1.0).volume;
    }
    v.energy = parts_energy(p_0 + out->peaks.node[node_index].gauge, v.volume, p_0);
    v.rated_energy = n->rated > 0.0 ? parts_energy(p_0 + n->rated, v.volume, p_0) : (double)NAN;
    v.rated_pressure_volume = n->rated > 0.0 ? n->rated * v.volume : (double)NAN;
    return v;
}

static bool list_vessels(parts_answer *out, arena *a, const charge *c) {
    const network *net = &out->model->network;
    out->vessel = ARENA_ARRAY(a, part_vessel, net->nodes);
    for (int i = 0; i < net->nodes && out->vessel != NULL; i++) {
        if (net->node[i].kind == NODE_SPRING || net->node[i].kind == NODE_TANK) {
            out->vessel[out->vessels++] = vessel_of(out, c, i);
        }
    }
    return out->vessel != NULL;
}

static int voltage_of(const parts_answer *out, const edge *e) {
    int at = 0;
    while (at < out->voltages && !same(out->voltage[at], e->volts)) {
        at++;
    }
    return at;
}

/* The voltages in use, rising. */
static void list_voltages(parts_answer *out) {
    const network *net = &out->model->network;
    for (int k = 0; k < net->solenoids; k++) {
        const double volts = net->edge[net->solenoid[k]].volts;
        if (voltage_of(out, &net->edge[net->solenoid[k]]) < out->voltages) {
            continue;
        }
        int at = out->voltages++;
        for (; at > 0 && out->voltage[at - 1] > volts; at--) {
            out->voltage[at] = out->voltage[at - 1];
        }
        out->voltage[at] = volts;
    }
}

static bool add_draws(parts_answer *out, arena *a) {
    const model *m = out->model;
    const network *net = &m->network;
    out->voltage = ARENA_ARRAY(a, double, net->solenoids);
    if (out->voltage == NULL) {
        return false;
    }
    list_voltages(out);
    out->draw = ARENA_ARRAY(a, part_draw, (m->states + 1) * out->voltages);
    for (int state = 0; state <= m->states && out->draw != NULL; state++) {
        for (int k = 0; k < net->solenoids; k++) {
            const edge *e = &net->edge[net->solenoid[k]];
            if (state == m->states || parts_energised(net, k, m->state[state].open)) {
                part_draw *d = &out->draw[state * out->voltages + voltage_of(out, e)];
                d->coils++;
                d->unknown += e->current <= 0.0;
                d->current += e->current;
            }
        }
    }
    return out->draw != NULL;
}

baronet_status parts_solve(parts_answer *out, arena *a, charge *c,
                           const baronet_allocator *allocator) {
    *out = (parts_answer){.model = c->model};
    const baronet_status status = peaks_find(&out->peaks, a, c, allocator);
    if (status != BARONET_OK) {
        return status;
    }
    const bool complete =
        list_lines(out, a) && list_bores(out, a) && list_vessels(out, a, c) && add_draws(out, a);
    return complete ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}
