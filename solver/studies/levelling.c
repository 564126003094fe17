#include "studies/levelling.h"

#include <math.h>
#include <string.h>

#include "numeric/dense.h"

/* Mean heights are level when within this of design: a hundredth of what a tape shows. */
#define LEVELLING_TOLERANCE 1e-8 /* m */
/* Combinations of groups that move their means by less than this part of the best one are left
   alone: on rigid tyres, a warp of four groups that the body cannot follow. */
#define LEVELLING_CUT 1e-7
enum { LEVELLING_ROUNDS = 40 };
/* Largest change of the logarithm of an amount of air in one round. */
#define LEVELLING_STEP 0.3

baronet_status levelling_make(levelling *out, arena *a, charge *c) {
    const int springs = c->model->vehicle.springs;
    const size_t most = springs < LEVELLING_GROUPS_MAX ? (size_t)springs : LEVELLING_GROUPS_MAX;
    *out = (levelling){.charge = c,
                       .pressure = ARENA_ARRAY(a, double, springs),
                       .volume = ARENA_ARRAY(a, double, c->model->network.nodes),
                       .group = ARENA_ARRAY(a, int, springs),
                       .change = ARENA_ARRAY(a, double, most *most),
                       .mean = ARENA_ARRAY(a, double, springs)};
    const bool complete = out->change != NULL && out->pressure != NULL && out->volume != NULL &&
                          out->group != NULL && out->mean != NULL;
    return complete ? BARONET_OK : BARONET_OUT_OF_MEMORY;
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

/* One round: means back to zero to first order, by the least change of air. */
static baronet_status correct(levelling *l, balance *b, const balance_task *task, int listed,
                              double *amount) {
    baronet_status status = balance_air_response(b, task, listed, l->group, l->change);
    if (status != BARONET_OK) {
        return status;
    }
    int rank = 0;
    status = dense_least_squares(listed, listed, l->change, l->mean, LEVELLING_CUT, &rank);
    for (int k = 0; k < listed && status == BARONET_OK; k++) {
        amount[l->group[k]] *= exp(-fmax(-LEVELLING_STEP, fmin(LEVELLING_STEP, l->mean[k])));
    }
    return status;
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
    double before = HUGE_VAL;
    for (int round = 0; round < LEVELLING_ROUNDS && shared && status == BARONET_OK; round++) {
        double worst = 0.0;
        for (int k = 0; k < listed; k++) {
            l->mean[k] = balance_mean_compression(b, task, l->group[k]);
            worst = fmax(worst, fabs(l->mean[k]));
        }
        /* Where the means cannot all be met, the least-squares best stops falling. */
        if (worst < LEVELLING_TOLERANCE || worst > 0.999 * before) {
            break;
        }
        before = worst;
        status = correct(l, b, task, listed, amount);
        if (status == BARONET_OK) {
            status = balance_solve(b, task, why);
        }
    }
    return status;
}
