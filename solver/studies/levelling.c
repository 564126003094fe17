#include "studies/levelling.h"

#include <math.h>
#include <string.h>

#include "numeric/dense.h"

/* Combinations of groups that move their means by less than this part of the best one are left
   alone: on rigid tyres, a warp of four groups that the body cannot follow. */
#define LEVELLING_CUT 1e-7
/* Most rounds, and halvings of the step of one; a handful of rounds and no halving are usual. */
enum { LEVELLING_ROUNDS = 60, LEVELLING_HALVINGS = 12 };
/* Largest change of the logarithm of an amount of air in one round. */
#define LEVELLING_STEP 0.3
/* A change of air below this is none: the means are then as near to zero as they can come. */
#define LEVELLING_STILL 1e-9

baronet_status levelling_make(levelling *out, arena *a, charge *c) {
    const int springs = c->model->vehicle.springs;
    const size_t most = springs < LEVELLING_GROUPS_MAX ? (size_t)springs : LEVELLING_GROUPS_MAX;
    *out = (levelling){.charge = c,
                       .pressure = ARENA_ARRAY(a, double, springs),
                       .volume = ARENA_ARRAY(a, double, c->model->network.nodes),
                       .group = ARENA_ARRAY(a, int, springs),
                       .change = ARENA_ARRAY(a, double, most *most),
                       .mean = ARENA_ARRAY(a, double, springs),
                       .step = ARENA_ARRAY(a, double, springs),
                       .from = ARENA_ARRAY(a, double, springs)};
    return arena_complete(a) ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

/* Groups filled as the charge fills them: to the mean of what their springs need, by volume. */
static void refill(levelling *l, const groups *g, double *amount) {
    const model *m = l->charge->model;
    const double p0 = m->ambient.pressure;
    memset(l->volume, 0, (size_t)g->count * sizeof *l->volume);
    for (int k = 0; k < g->count; k++) {
        amount[k] = g->springs[k] > 0 ? 0.0 : amount[k];
    }
    for (int i = 0; i < m->vehicle.springs; i++) {
        const spring *s = &m->vehicle.spring[i];
        const double V =
            profile_at(&m->vehicle.profile[s->profile], l->charge->fill.height[i], l->pressure[i])
                .volume;
        l->volume[g->of_node[s->node]] += V;
        amount[g->of_node[s->node]] += (l->pressure[i] + p0) * V;
    }
    for (int k = 0; k < g->count; k++) {
        if (g->springs[k] > 0) {
            amount[k] *= (l->volume[k] + g->fixed[k]) / l->volume[k];
        }
    }
}

static int list_groups(levelling *l, const groups *g, bool *shared) {
    int listed = 0;
    *shared = false;
    for (int k = 0; k < g->count; k++) {
        if (g->springs[k] > 0 && g->held[k] < 0) {
            l->group[listed++] = k;
            *shared = *shared || g->springs[k] > 1;
        }
    }
    return listed;
}

/* Mean compressions of the listed groups; returns their length as a vector. */
static double find_means(levelling *l, const balance *b, const balance_task *task, int listed) {
    double square = 0.0;
    for (int k = 0; k < listed; k++) {
        l->mean[k] = balance_mean_compression(b, task, l->group[k]);
        square += l->mean[k] * l->mean[k];
    }
    return sqrt(square);
}

/* The largest mean compression of a group, up or down. */
static double find_off(const levelling *l, const balance *b, const balance_task *task, int listed) {
    double most = 0.0;
    for (int k = 0; k < listed; k++) {
        most = fmax(most, fabs(balance_mean_compression(b, task, l->group[k])));
    }
    return most;
}

/* The least change of air that brings the means back to zero to first order, or as near as they can
   come; cut to what one round may do. `*largest` is its size before. */
static baronet_status find_step(levelling *l, balance *b, const balance_task *task, int listed,
                                double *largest) {
    baronet_status status = balance_air_response(b, task, listed, l->group, l->change);
    if (status != BARONET_OK) {
        return status;
    }
    int rank = 0;
    memcpy(l->step, l->mean, (size_t)listed * sizeof *l->step);
    status = dense_least_squares(listed, listed, l->change, l->step, LEVELLING_CUT, &rank);
    double most = 0.0;
    for (int k = 0; k < listed; k++) {
        most = fmax(most, fabs(l->step[k]));
    }
    for (int k = 0; k < listed && most > LEVELLING_STEP; k++) {
        l->step[k] *= LEVELLING_STEP / most;
    }
    *largest = most;
    return status;
}

static baronet_status take_part(levelling *l, balance *b, const balance_task *task, int listed,
                                double *amount, double part, problem *why) {
    for (int k = 0; k < listed; k++) {
        amount[l->group[k]] = l->from[k] * exp(-part * l->step[k]);
    }
    return balance_solve(b, task, why);
}

/* One round: the step, halved until the means come nearer to zero. `*still`: there was nothing left
   to do. NOT_CONVERGED where no part of a step helps. */
static baronet_status correct(levelling *l, balance *b, const balance_task *task, int listed,
                              double *amount, bool *still, problem *why) {
    const double before = find_means(l, b, task, listed);
    double largest = 0.0;
    *still = before < LEVELLING_TOLERANCE;
    if (*still) {
        return BARONET_OK;
    }
    baronet_status status = find_step(l, b, task, listed, &largest);
    *still = largest < LEVELLING_STILL;
    if (status != BARONET_OK || *still) {
        return status;
    }
    for (int k = 0; k < listed; k++) {
        l->from[k] = amount[l->group[k]];
    }
    double part = 1.0;
    for (int k = 0; k < LEVELLING_HALVINGS; k++, part *= 0.5) {
        status = take_part(l, b, task, listed, amount, part, why);
        if (status == BARONET_OUT_OF_MEMORY) {
            return status;
        }
        if (status != BARONET_OK) {
            balance_start(b, task); /* from where it failed, the next part might fail too */
        } else if (find_means(l, b, task, listed) < before) {
            *why = (problem){.status = BARONET_OK, .item = -1};
            return BARONET_OK;
        }
    }
    if (status == BARONET_OK) {
        *why = (problem){.status = BARONET_NOT_CONVERGED, .item = -1, .amount = before};
    }
    return why->status;
}

baronet_status levelling_solve(levelling *l, balance *b, const balance_task *task, double *amount,
                               problem *why) {
    charge *c = l->charge;
    baronet_status status = fill_refill(&c->fill, c->model, task->sprung, l->pressure, why);
    if (status != BARONET_OK) {
        return status;
    }
    const groups *g = balance_groups(b);
    refill(l, g, amount);
    bool shared = false;
    const int listed = list_groups(l, g, &shared);
    if (shared && listed > LEVELLING_GROUPS_MAX) {
        *why =
            (problem){.status = BARONET_TOO_MANY, .item = listed, .amount = LEVELLING_GROUPS_MAX};
        return why->status;
    }
    balance_start(b, task);
    status = balance_solve(b, task, why);
    bool still = !shared;
    l->account.rounds = 0;
    while (l->account.rounds < LEVELLING_ROUNDS && !still && status == BARONET_OK) {
        status = correct(l, b, task, listed, amount, &still, why);
        l->account.rounds += !still;
    }
    if (status == BARONET_OK && !still) {
        *why = (problem){.status = BARONET_NOT_CONVERGED, .item = -1};
        status = why->status;
    }
    if (status == BARONET_OK) {
        l->account.off = find_off(l, b, task, listed);
    }
    return status;
}
