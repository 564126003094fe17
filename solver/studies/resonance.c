/* SPDX-License-Identifier: MIT */
#include "studies/resonance.h"

#include <math.h>

#include "base/numbers.h"
#include "base/sets.h"
#include "numeric/modes.h"

/* A group that keeps its air has a mode that does not swing. With this much added to the square of
   every frequency its matrix can be factored; it is far below the square of any resonance. */
#define RESONANCE_SHIFT 1.0 /* 1/s2 */
/* Below this a mode is such a group's own. */
#define RESONANCE_LOWEST 0.5 /* Hz */
/* Groups of joined volumes beyond which none are looked for: no vehicle has so many. */
#define RESONANCE_GROUPS 200
/* Most values of all modes that are kept at a time. */
#define RESONANCE_VALUES 4000000
/* An edge with this part of the first one's energy is named beside it. */
#define RESONANCE_PART 0.5

/* A p = w^2 C p: A has 1/inertance of each link, C the capacities; unknowns that a path without
   inertia joins are one. */
typedef struct tubes {
    const airnet *net;
    const model *model;
    const airnet_link *link;
    int links, unknowns;
    int *joined; /* unknowns and the held side, which is the last: sets */
    int *place;  /* the same: number in the pencil, -1 for none */
    int size, pairs;
    int *row, *column;
    double *each, *values, *weight;
    int groups;
    pattern pattern;
    modes_answer modes;
    double *energy; /* edges, of one mode */
} tubes;

static bool is_tube(const airnet_link *l) {
    return l->inertance > 0.0;
}

static int end_of(const tubes *t, int unknown) {
    return unknown >= 0 ? unknown : t->unknowns;
}

/* Joins ends of all links, or of those without inertia alone; held sides are one. */
static void join(tubes *t, bool all) {
    sets_start(t->joined, t->unknowns + 1);
    for (int i = 0; i < t->links; i++) {
        if (all || !is_tube(&t->link[i])) {
            sets_join(t->joined, end_of(t, t->link[i].from), end_of(t, t->link[i].to));
        }
    }
}

static void put(tubes *t, int row, int column, double value) {
    t->row[t->pairs] = row;
    t->column[t->pairs] = column;
    t->each[t->pairs++] = value;
}

/* Numbers what a tube ends at; what it does not reach cannot swing. */
static void number(tubes *t) {
    const int held = sets_find(t->joined, t->unknowns);
    for (int i = 0; i <= t->unknowns; i++) {
        t->place[i] = -1;
    }
    for (int i = 0; i < 2 * t->links; i++) {
        const airnet_link *l = &t->link[i / 2];
        const int r = sets_find(t->joined, end_of(t, i % 2 == 0 ? l->from : l->to));
        if (is_tube(l) && r != held && t->place[r] < 0) {
            t->place[r] = t->size;
            put(t, t->size, t->size, 0.0);
            t->size++;
        }
    }
}

static int place_of(tubes *t, int unknown) {
    return t->place[sets_find(t->joined, end_of(t, unknown))];
}

static void fill_pencil(tubes *t) {
    const double per_volume =
        1.0 / (gas_exponent(t->model->gas) * GAS_CONSTANT * t->model->ambient.temperature);
    for (int i = 0; i < t->unknowns; i++) {
        const int at = place_of(t, i);
        if (at >= 0) {
            t->weight[at] += per_volume * airnet_volumes(t->net)[i];
            put(t, at, at, RESONANCE_SHIFT * per_volume * airnet_volumes(t->net)[i]);
        }
    }
    for (int i = 0; i < t->links; i++) {
        const airnet_link *l = &t->link[i];
        const int ends[] = {place_of(t, l->from), place_of(t, l->to)};
        for (int k = 0; k < 4 && is_tube(l); k++) {
            const int row = ends[k / 2], column = ends[k % 2];
            if (row >= 0 && column >= 0) {
                put(t, row, column, (k == 0 || k == 3 ? 1.0 : -1.0) / l->inertance);
            }
        }
    }
}

/* Groups joined by any path, which have a mode each that does not swing. */
static void count_groups(tubes *t) {
    join(t, true);
    for (int i = 0; i < t->unknowns; i++) {
        t->groups += sets_find(t->joined, i) == i;
    }
}

static bool take(tubes *t, arena *a) {
    const size_t most = 2 * (size_t)t->unknowns + 4 * (size_t)t->links + 1;
    t->joined = ARENA_ARRAY(a, int, t->unknowns + 1);
    t->place = ARENA_ARRAY(a, int, t->unknowns + 1);
    t->row = ARENA_ARRAY(a, int, most);
    t->column = ARENA_ARRAY(a, int, most);
    t->each = ARENA_ARRAY(a, double, most);
    t->values = ARENA_ARRAY(a, double, most);
    t->weight = ARENA_ARRAY(a, double, t->unknowns + 1);
    t->energy = ARENA_ARRAY(a, double, t->model->network.edges + 1);
    return arena_complete(a);
}

/* The hoses with the most energy of motion, dp^2/inertance a link. */
static void name_edges(tubes *t, const double *p, resonance *out) {
    const int edges = t->model->network.edges;
    for (int i = 0; i < edges; i++) {
        t->energy[i] = 0.0;
    }
    for (int i = 0; i < t->links; i++) {
        const airnet_link *l = &t->link[i];
        const int from = place_of(t, l->from), to = place_of(t, l->to);
        const double drop = (from >= 0 ? p[from] : 0.0) - (to >= 0 ? p[to] : 0.0);
        t->energy[l->edge] += is_tube(l) ? drop * drop / l->inertance : 0.0;
    }
    out->edge = 0;
    for (int i = 1; i < edges; i++) {
        out->edge = t->energy[i] > t->energy[out->edge] ? i : out->edge;
    }
    for (int i = 0; i < edges; i++) {
        const bool much = i != out->edge && t->energy[i] > RESONANCE_PART * t->energy[out->edge];
        if (much && (out->other < 0 || t->energy[i] > t->energy[out->other])) {
            out->other = i;
        }
    }
}

/* Springs and tanks whose air is squeezed the most, p^2 C, on either side. */
static void name_volumes(tubes *t, const double *p, resonance *out) {
    const network *net = &t->model->network;
    double most[2] = {0.0, 0.0};
    for (int i = 0; i < net->nodes; i++) {
        const int unknown = airnet_unknown_of(t->net, i);
        const int at = unknown >= 0 ? place_of(t, unknown) : -1;
        if (at < 0 || (net->node[i].kind != NODE_SPRING && net->node[i].kind != NODE_TANK)) {
            continue;
        }
        const double energy = p[at] * p[at] * airnet_volumes(t->net)[unknown];
        const int side = p[at] > 0.0;
        if (energy > most[side]) {
            most[side] = energy;
            *(side == 0 ? &out->from : &out->to) = i;
        }
    }
}

static void name_all(tubes *t, int wanted, double highest, resonance_answer *out) {
    for (int k = 0; k < wanted && out->count < RESONANCE_MOST; k++) {
        const double square = t->modes.value[k] - RESONANCE_SHIFT;
        const double frequency = sqrt(fmax(square, 0.0)) / TWO_PI;
        if (frequency > RESONANCE_LOWEST && frequency <= highest) {
            resonance *one = &out->resonance[out->count++];
            *one = (resonance){frequency, t->modes.residual[k], -1, -1, -1, -1};
            name_edges(t, t->modes.vector + (size_t)k * (size_t)t->size, one);
            name_volumes(t, t->modes.vector + (size_t)k * (size_t)t->size, one);
        }
    }
}

static baronet_status solve(tubes *t, arena *a, double highest, resonance_answer *out,
                            const baronet_allocator *allocator) {
    for (int k = 0; k < t->pairs; k++) {
        t->values[t->pattern.slot[k]] += t->each[k];
    }
    const modes_pencil pencil = {&t->pattern, t->values, t->weight, false};
    const int all = modes_count(&pencil);
    const int most = t->groups + RESONANCE_MOST, room = RESONANCE_VALUES / t->size + 1;
    const int listed = most < room ? most : room;
    const int wanted = all < listed ? all : listed;
    t->modes = (modes_answer){ARENA_ARRAY(a, double, wanted),
                              ARENA_ARRAY(a, double, (size_t)wanted *(size_t)t->size),
                              ARENA_ARRAY(a, double, wanted)};
    if (!arena_complete(a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    const baronet_status status = modes_solve(&pencil, wanted, &t->modes, allocator);
    if (status == BARONET_OK) {
        name_all(t, wanted, highest, out);
    }
    return status;
}

baronet_status resonance_solve(resonance_answer *out, arena *a, const airnet *n, const model *m,
                               double highest, const baronet_allocator *allocator) {
    tubes t = {.net = n, .model = m, .unknowns = airnet_unknowns(n)};
    t.links = airnet_links(n, &t.link);
    *out = (resonance_answer){.resonance = ARENA_ARRAY(a, resonance, RESONANCE_MOST)};
    arena *scratch = arena_create(allocator);
    baronet_status status = BARONET_OUT_OF_MEMORY;
    if (out->resonance != NULL && scratch != NULL && take(&t, scratch)) {
        count_groups(&t);
        join(&t, false);
        number(&t);
        fill_pencil(&t);
        status = BARONET_OK;
    }
    if (status == BARONET_OK && t.size > 0 && t.groups <= RESONANCE_GROUPS) {
        status = pattern_make(&t.pattern, allocator, t.size, t.pairs, t.row, t.column);
        if (status == BARONET_OK) {
            status = solve(&t, scratch, highest, out, allocator);
            pattern_free(&t.pattern);
        }
    }
    arena_destroy(scratch);
    return status;
}
