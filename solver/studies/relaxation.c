/* SPDX-License-Identifier: MIT */
#include "studies/relaxation.h"

#include <math.h>
#include <string.h>

/* The air that a step stirs: the groups with a spring that moves, as cells. */
typedef struct stirred {
    const model *model;
    const state_standing *at;
    const relaxation_question *question;
    gas gas;
    arena *arena;
    network net; /* with the edge held tight turned into one that joins nothing */
    groups groups;
    bool *active;    /* groups: stirred by the step */
    double *squeeze; /* m, springs: compression per metre of the motion */
    double *height;  /* m, springs: once the step is made */
    int *cell;       /* nodes: its cell, its held side as -1 - k; NO_CELL for none */
    int cells, helds, paths;
    int *group_of;                           /* cells */
    double *volume, *pressure, *temperature; /* cells, at the start */
    double *held;                            /* Pa */
    cells_path *path;
    double *end, *dry_end; /* Pa, groups */
} stirred;

#define NO_CELL (-2147483647)

static bool take_first(stirred *s) {
    const network *net = &s->model->network;
    edge *edges = ARENA_ARRAY(s->arena, edge, net->edges);
    s->active = ARENA_ARRAY(s->arena, bool, net->nodes);
    s->squeeze = ARENA_ARRAY(s->arena, double, s->model->vehicle.springs);
    s->height = ARENA_ARRAY(s->arena, double, s->model->vehicle.springs);
    s->cell = ARENA_ARRAY(s->arena, int, net->nodes);
    s->end = ARENA_ARRAY(s->arena, double, net->nodes);
    s->dry_end = ARENA_ARRAY(s->arena, double, net->nodes);
    if (!arena_complete(s->arena)) {
        return false;
    }
    memcpy(edges, net->edge, (size_t)net->edges * sizeof *edges);
    s->net = *net;
    s->net.edge = edges;
    if (s->question->without >= 0) {
        edges[s->question->without].kind = EDGE_CHECK_VALVE;
    }
    return groups_make(&s->groups, s->arena, &s->net) == BARONET_OK;
}

/* The law by which an edge passes air here, NULL where it passes none. */
/* Compressions per metre of the motion, and heights after the step; OFF_PROFILE. */
static baronet_status make_step(stirred *s, problem *why) {
    const vehicle *v = &s->model->vehicle;
    double most = 0.0;
    for (int c = 0; c < v->corners; c++) {
        const double travel = s->question->shape[c];
        most = fabs(travel) > fabs(most) * (1.0 + 1e-9) ? travel : most;
    }
    for (int i = 0; i < v->springs; i++) {
        const spring *one = &v->spring[i];
        for (int k = 0; k < one->levers; k++) {
            s->squeeze[i] += one->lever[k].ratio * s->question->shape[one->lever[k].corner] / most;
        }
        s->height[i] = s->at->spring_height[i] - s->squeeze[i] * s->question->amplitude;
        const double over = profile_overrun(&v->profile[one->profile], s->height[i]);
        if (s->squeeze[i] != 0.0 && over != 0.0) {
            *why = (problem){.status = BARONET_OFF_PROFILE, .item = i, .amount = over};
            return why->status;
        }
    }
    return BARONET_OK;
}

static void find_active(stirred *s, const bool *open) {
    const vehicle *v = &s->model->vehicle;
    groups_find(&s->groups, &s->net, open, s->question->parked, s->model->ambient.pressure);
    for (int i = 0; i < v->springs; i++) {
        if (s->squeeze[i] != 0.0) {
            s->active[s->groups.of_node[v->spring[i].node]] = true;
        }
    }
}

static bool is_path(const stirred *s, const bool *open, int index) {
    const edge *e = &s->net.edge[index];
    const bool both_held = node_is_held(&s->net.node[e->from]) && node_is_held(&s->net.node[e->to]);
    return s->active[s->groups.of_node[e->from]] && !both_held &&
           network_law(&s->net, index, open, s->question->parked) != NULL;
}

static void count_cells(stirred *s, const bool *open) {
    for (int i = 0; i < s->net.nodes; i++) {
        s->cell[i] = NO_CELL;
        if (s->active[s->groups.of_node[i]]) {
            s->cell[i] = node_is_held(&s->net.node[i]) ? -1 - s->helds++ : s->cells++;
        }
    }
    for (int i = 0; i < s->net.edges; i++) {
        if (is_path(s, open, i)) {
            s->paths += s->net.edge[i].kind == EDGE_HOSE ? 2 : 1;
        }
    }
}

static bool take_second(stirred *s) {
    s->group_of = ARENA_ARRAY(s->arena, int, s->cells);
    s->volume = ARENA_ARRAY(s->arena, double, s->cells);
    s->pressure = ARENA_ARRAY(s->arena, double, s->cells);
    s->temperature = ARENA_ARRAY(s->arena, double, s->cells);
    s->held = ARENA_ARRAY(s->arena, double, s->helds);
    s->path = ARENA_ARRAY(s->arena, cells_path, s->paths);
    return arena_complete(s->arena);
}

/* A spring is squeezed at once, all other air is as it stood. */
static void fill_cells(stirred *s) {
    const double n = gas_exponent(s->gas);
    for (int i = 0; i < s->net.nodes; i++) {
        const int k = s->cell[i];
        const node *one = &s->net.node[i];
        const double p = s->at->node_pressure[i];
        if (k < 0) {
            if (k != NO_CELL) {
                s->held[-1 - k] = p;
            }
            continue;
        }
        s->group_of[k] = s->groups.of_node[i];
        s->volume[k] = s->at->node_volume[i];
        s->pressure[k] = p;
        s->temperature[k] = s->model->ambient.temperature;
        if (one->kind == NODE_SPRING && s->squeeze[one->item] != 0.0) {
            const profile *shape =
                &s->model->vehicle.profile[s->model->vehicle.spring[one->item].profile];
            const double P = p - s->model->ambient.pressure;
            const double V = profile_at(shape, s->height[one->item], P).volume;
            const double squeezed = s->volume[k] / V;
            s->volume[k] = V;
            s->pressure[k] *= pow(squeezed, n);
            s->temperature[k] *= pow(squeezed, n - 1.0);
        }
    }
}

/* Of each group: its least volume, its largest cell (rather one that the step has not squeezed),
   and how many cells have none. */
typedef struct lender {
    double least;
    int largest;
    bool squeezed;
    int needy;
} lender;

static baronet_status lend_volumes(stirred *s) {
    lender *of = ARENA_ARRAY(s->arena, lender, s->groups.count);
    if (of == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (int i = 0; i < s->net.nodes; i++) {
        const int k = s->cell[i];
        if (k < 0) {
            continue;
        }
        lender *l = &of[s->group_of[k]];
        const double V = s->volume[k];
        const node *one = &s->net.node[i];
        const bool squeezed = one->kind == NODE_SPRING && s->squeeze[one->item] != 0.0;
        l->needy += V <= 0.0;
        if (V <= 0.0) {
            continue;
        }
        if (l->least <= 0.0 || (l->squeezed && !squeezed) ||
            (l->squeezed == squeezed && V > s->volume[l->largest])) {
            l->largest = k;
            l->squeezed = squeezed;
        }
        l->least = l->least <= 0.0 || V < l->least ? V : l->least;
    }
    for (int k = 0; k < s->cells; k++) {
        const lender *l = &of[s->group_of[k]];
        if (s->volume[k] <= 0.0) {
            /* Many together take no more than a small part of what lends. */
            const double lent =
                RELAXATION_LENT * fmin(l->least, s->volume[l->largest] / (1.0 + l->needy));
            s->volume[k] = lent;
            s->volume[l->largest] -= lent;
        }
    }
    return BARONET_OK;
}

static void fill_paths(stirred *s, const bool *open) {
    int count = 0;
    for (int i = 0; i < s->net.edges; i++) {
        const edge *e = &s->net.edge[i];
        if (!is_path(s, open, i)) {
            continue;
        }
        const law *l = network_law(&s->net, i, open, s->question->parked);
        if (e->kind == EDGE_HOSE) {
            const law half = flow_hose_part(l, 0.5);
            s->path[count++] = (cells_path){half, s->cell[e->from], s->cell[e->air]};
            s->path[count++] = (cells_path){half, s->cell[e->air], s->cell[e->to]};
        } else {
            s->path[count++] = (cells_path){*l, s->cell[e->from], s->cell[e->to]};
        }
    }
}

/* Where each group ends: what holds it, or with its mass at the walls' temperature, or with its
   energy where no heat comes from them: p V = m R T and p V = (n-1) U, summed over the group. */
static baronet_status find_ends(stirred *s) {
    double *V = ARENA_ARRAY(s->arena, double, s->groups.count);
    if (V == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    const double wall = s->model->ambient.temperature;
    for (int k = 0; k < s->cells; k++) {
        const double pV = s->pressure[k] * s->volume[k];
        V[s->group_of[k]] += s->volume[k];
        s->dry_end[s->group_of[k]] += pV;
        s->end[s->group_of[k]] += pV * wall / s->temperature[k];
    }
    const bool cools = s->gas.kind == GAS_THERMAL;
    for (int g = 0; g < s->groups.count; g++) {
        const int held = s->groups.held[g];
        s->dry_end[g] = held >= 0 ? s->at->node_pressure[held] : s->dry_end[g] / V[g];
        s->end[g] = held >= 0 ? s->at->node_pressure[held] : s->end[g] / V[g];
        s->end[g] = cools ? s->end[g] : s->dry_end[g];
    }
    return BARONET_OK;
}

/* N: part of a spring in v'F at a pressure. */
static double spring_force(const stirred *s, int i, double pressure) {
    const spring *one = &s->model->vehicle.spring[i];
    const profile *shape = &s->model->vehicle.profile[one->profile];
    return s->squeeze[i] *
           profile_at(shape, s->height[i], pressure - s->model->ambient.pressure).load;
}

static double force_now(void *context, const air_cells *c, const double *air) {
    const stirred *s = context;
    const vehicle *v = &s->model->vehicle;
    double sum = 0.0;
    for (int i = 0; i < v->springs; i++) {
        if (s->squeeze[i] != 0.0) {
            sum += spring_force(s, i, cells_pressure(c, air, s->cell[v->spring[i].node]));
        }
    }
    return sum;
}

static void find_forces(const stirred *s, relaxation_answer *out) {
    const vehicle *v = &s->model->vehicle;
    double stirred_force = 0.0;
    for (int i = 0; i < v->springs; i++) {
        if (s->squeeze[i] != 0.0) {
            const int at = v->spring[i].node;
            const double now = spring_force(s, i, s->pressure[s->cell[at]]);
            out->instant += now;
            out->end += spring_force(s, i, s->end[s->groups.of_node[at]]);
            out->dry_end += spring_force(s, i, s->dry_end[s->groups.of_node[at]]);
            const double before = spring_force(s, i, s->at->node_pressure[at]);
            out->before += before;
            stirred_force += fabs(now - before);
        }
    }
    out->settles = fabs(out->instant - out->end) > RELAXATION_LEAST * stirred_force;
}

/* Largest change of the air of a sealed group, in parts of it. */
static baronet_status audit(const stirred *s, const air_cells *c, relaxation_answer *out) {
    double *gain = ARENA_ARRAY(s->arena, double, s->groups.count);
    double *mass = ARENA_ARRAY(s->arena, double, s->groups.count);
    if (gain == NULL || mass == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (int k = 0; k < s->cells; k++) {
        gain[s->group_of[k]] += cells_gain(c, cells_air(c), k);
        mass[s->group_of[k]] += cells_start_mass(c, k);
    }
    for (int g = 0; g < s->groups.count; g++) {
        if (s->active[g] && s->groups.held[g] < 0) {
            out->mass_error = fmax(out->mass_error, fabs(gain[g] / mass[g]));
        }
    }
    return BARONET_OK;
}

/* Goes on until both shares have been covered and every sample is taken. */
static baronet_status follow(const stirred *s, air_cells *c, relaxation_answer *out) {
    const relaxation_question *q = s->question;
    int taken = 0;
    while (taken < q->samples || isnan(out->time_63) || isnan(out->time_95)) {
        int mark = -1;
        const double until = taken < q->samples ? q->sample[taken] : RELAXATION_LONGEST;
        const baronet_status status = cells_advance(c, until, &mark);
        if (status != BARONET_OK) {
            return status;
        }
        double *const times[] = {&out->time_63, &out->time_95};
        if (mark >= 0 && isnan(*times[mark])) {
            *times[mark] = cells_time(c);
        } else if (mark < 0 && taken < q->samples) {
            q->force[taken++] = force_now((void *)s, c, cells_air(c));
        } else if (mark < 0) {
            return BARONET_OVER_BUDGET;
        }
    }
    return BARONET_OK;
}

static baronet_status run(const stirred *s, relaxation_answer *out, double tolerance,
                          const baronet_allocator *allocator) {
    const double way = out->end - out->instant;
    const double marks[] = {out->instant + RELAXATION_63 * way, out->instant + RELAXATION_95 * way};
    const cells_setup setup = {.gas = s->gas,
                               .temperature = s->model->ambient.temperature,
                               .cells = s->cells,
                               .volume = s->volume,
                               .start_pressure = s->pressure,
                               .start_temperature = s->temperature,
                               .held = s->helds,
                               .held_pressure = s->held,
                               .paths = s->paths,
                               .path = s->path,
                               .tolerance = tolerance};
    const cells_watch watch = {force_now, (void *)s, 2, marks};
    air_cells *c = NULL;
    out->time_63 = out->time_95 = (double)NAN;
    baronet_status status = cells_create(&c, &setup, &watch, allocator);
    if (status == BARONET_OK) {
        status = follow(s, c, out);
        status = status == BARONET_NOT_CONVERGED ? BARONET_OVER_BUDGET : status;
        out->account = cells_account(c);
    }
    if (status == BARONET_OK) {
        status = audit(s, c, out);
    }
    cells_destroy(c);
    return status;
}

/* Where laws bend sharply, steps can become so small that a run never ends, which hangs on a
   rounding; other steps then pass. */
static baronet_status run_again(const stirred *s, relaxation_answer *out,
                                const baronet_allocator *allocator) {
    double tolerance = s->question->tolerance > 0.0 ? s->question->tolerance : CELLS_TOLERANCE;
    baronet_status status = run(s, out, tolerance, allocator);
    for (int k = 0; k < RELAXATION_RETRIES && status == BARONET_OVER_BUDGET; k++) {
        tolerance *= RELAXATION_COARSER;
        status = run(s, out, tolerance, allocator);
    }
    return status;
}

static baronet_status set_up(stirred *s, const bool *open, relaxation_answer *out) {
    if (!take_first(s)) {
        return BARONET_OUT_OF_MEMORY;
    }
    baronet_status status = make_step(s, &out->problem);
    if (status != BARONET_OK) {
        return status;
    }
    find_active(s, open);
    count_cells(s, open);
    if (!take_second(s)) {
        return BARONET_OUT_OF_MEMORY;
    }
    fill_cells(s);
    status = lend_volumes(s);
    if (status == BARONET_OK) {
        fill_paths(s, open);
        status = find_ends(s);
    }
    return status;
}

static void keep_instant(const relaxation_question *q, double instant) {
    for (int k = 0; k < q->samples; k++) {
        q->force[k] = instant;
    }
}

/* The standing that a step starts from; NULL where there is none. */
static const state_standing *standing_for(const rates_answer *r, bool parked, problem *why) {
    if (!parked || r->parked.given) {
        return parked ? &r->parked : &r->settled;
    }
    *why = r->parked_problem;
    return r->parked_problem.status == BARONET_OK ? &r->settled : NULL;
}

baronet_status relaxation_solve(rates *r, const relaxation_question *question,
                                relaxation_answer *out, const baronet_allocator *allocator) {
    *out = (relaxation_answer){.problem = {.status = BARONET_OK, .item = -1},
                               .time_63 = (double)NAN,
                               .time_95 = (double)NAN};
    stirred s = {.model = rates_model(r), .question = question, .gas = rates_model(r)->gas};
    if (question->dry && s.gas.kind == GAS_THERMAL) {
        s.gas.kind = GAS_ADIABATIC;
    }
    s.at = standing_for(rates_result(r), question->parked, &out->problem);
    if (s.at == NULL) {
        return BARONET_OK;
    }
    s.arena = arena_create(allocator);
    if (s.arena == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    baronet_status status = set_up(&s, rates_open(r), out);
    if (status == BARONET_OK) {
        find_forces(&s, out);
        keep_instant(question, out->instant);
        status = out->settles ? run_again(&s, out, allocator) : BARONET_OK;
    }
    arena_destroy(s.arena);
    if (status != BARONET_OUT_OF_MEMORY) {
        out->problem.status = status;
        status = BARONET_OK;
    }
    return status;
}
