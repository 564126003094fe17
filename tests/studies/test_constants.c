/* SPDX-License-Identifier: MIT */
#include "studies/constants.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numeric/dense.h"
#include "studies/demos.h"
#include "studies/swung.h"
#include "support.h"

/* Constants of a solved state for a swing, with what they rest on. */
typedef struct lot {
    swung by;
    constants_answer constants;
} lot;

static lot find(rig *r, double amplitude) {
    lot l = {.by = swung_by(r, amplitude, 1.0)};
    cr_assert_eq(constants_solve(&l.constants, r->arena, r->rates, l.by.swing, NULL), BARONET_OK);
    return l;
}

static void put(double *G, int n, int a, int b, double conductance) {
    const int ends[2] = {a, b};
    for (int i = 0; i < 2; i++) {
        for (int j = 0; j < 2; j++) {
            if (ends[i] >= 0 && ends[j] >= 0) {
                G[ends[i] * n + ends[j]] += i == j ? conductance : -conductance;
            }
        }
    }
}

static bool is_held(const node *n) {
    return n->kind == NODE_SUPPLY || n->kind == NODE_ATMOSPHERE;
}

/* Time constants of the whole network by LAPACK, without groups, pins or projections: the
   capacities plus next to nothing at volumeless nodes, C^-1/2 G C^-1/2, rising rates. Returns how
   many there are; zeros and what has next to no capacity come out at the ends. */
static int by_lapack(const rig *r, const lot *l, double *values) {
    const network *net = &r->model->network;
    const state_standing *s = &rates_result(r->rates)->settled;
    const double RT = GAS_CONSTANT * r->model->ambient.temperature;
    int *place = calloc((size_t)net->nodes, sizeof *place), n = 0;
    for (int i = 0; i < net->nodes; i++) {
        place[i] = is_held(&net->node[i]) ? -1 : n++;
    }
    double *G = calloc((size_t)n * (size_t)n, sizeof *G), *C = calloc((size_t)n, sizeof *C);
    for (int i = 0; i < net->nodes; i++) {
        if (place[i] >= 0) {
            C[place[i]] = fmax(s->node_volume[i], 1e-8) / (gas_exponent(r->model->gas) * RT);
        }
    }
    for (int i = 0; i < net->edges; i++) {
        const edge *e = &net->edge[i];
        const int from = place[e->from], to = place[e->to];
        if (l->by.swing[i].passes && e->air >= 0) {
            put(G, n, from, place[e->air], 2.0 * l->by.swing[i].conductance);
            put(G, n, place[e->air], to, 2.0 * l->by.swing[i].conductance);
        } else if (l->by.swing[i].passes) {
            put(G, n, from, to, l->by.swing[i].conductance);
        }
    }
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            G[i * n + j] /= sqrt(C[i] * C[j]);
        }
    }
    cr_assert_eq(dense_symmetric_eigen(n, G, values), BARONET_OK);
    free(place);
    free(G);
    free(C);
    return n;
}

/* Every constant that can be felt is among LAPACK's. */
static void compare(rig *r, const char *state) {
    if (rates_result(r->rates)->problem.status != BARONET_OK) {
        return;
    }
    const lot l = find(r, 0.01);
    double *values = calloc((size_t)r->model->network.nodes, sizeof *values);
    const int n = by_lapack(r, &l, values);
    for (int k = 0; k < l.constants.count; k++) {
        const constant *one = &l.constants.constant[k];
        double best = HUGE_VAL;
        for (int i = 0; i < n; i++) {
            best = fmin(best, fabs(values[i] * one->time - 1.0));
        }
        if (one->time > 1e-3) {
            cr_assert(best < 1e-4, "%s: %g s is not LAPACK's: %g", state, one->time, best);
        }
        cr_assert(one->residual < 1e-6);
        cr_assert(k == 0 || one->time <= l.constants.constant[k - 1].time, "slowest first");
    }
    free(values);
}

Test(constants, demonstrations_agree_with_lapack_on_the_whole_network) {
    demos_each(compare);
}

Test(constants, two_vessels_have_the_closed_form) {
    rig r = rig_open("ambient pressure 98 kPa temperature 291.15 K\n"
                     "gas exponent 1.21\n"
                     "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                     "spring bag load 431 kg profile piston height 158 mm\n"
                     "tank can volume 3.3 L\n"
                     "restrictor way from bag to can sonic 1.9 L/s.bar critical 0.27\n");
    rig_answer(&r, "rest", NULL);
    const lot l = find(&r, 0.0123);
    const double C1 = 1.37e-3, C2 = 3.3e-3, nRT = 1.21 * GAS_CONSTANT * 291.15;
    cr_assert_eq(l.constants.count, 1);
    cr_assert_eq(l.constants.sealed, 1);
    CHECK_REL(l.constants.constant[0].time, C1 * C2 / (C1 + C2) / nRT / l.by.swing[0].conductance,
              1e-12, "C1 C2/((C1 + C2) G), C = V/(n R T)");
    const constant *one = &l.constants.constant[0];
    cr_assert_eq(one->giver.count, 1);
    cr_assert_eq(one->giver.node[0], rig_node(&r, "can"), "a tank is said to give");
    cr_assert_eq(one->taker.node[0], rig_node(&r, "bag"));
    rig_close(&r);
}

Test(constants, the_van_breathes_as_a_fitter_would_say) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    lot l = find(&r, 0.01);
    cr_assert_eq(l.constants.sealed, 3, "each front spring, and the rear");
    cr_assert_eq(l.constants.all, l.constants.count);
    const constant *slowest = &l.constants.constant[0];
    cr_assert_eq(slowest->giver.node[0], rig_node(&r, "rear-left-tank"));
    cr_assert_eq(slowest->giver.node[1], rig_node(&r, "rear-left-air"));
    cr_assert_eq(slowest->taker.node[0], rig_node(&r, "rear-right-tank"));
    cr_assert_eq(slowest->taker.node[1], rig_node(&r, "rear-right-air"));
    const double linked = slowest->time;
    cr_assert(l.constants.constant[1].time < 0.01 * linked);
    /* Shut, the cross-link still passes a little: slow, not absent (common practice, no source). */
    rig_answer(&r, "town", NULL);
    l = find(&r, 0.01);
    cr_assert_eq(l.constants.sealed, 3, "the bypass joins the rear");
    cr_assert(l.constants.constant[0].time > 20.0 * linked);
    rig_close(&r);
}

Test(constants, a_side_that_is_held_takes_what_comes) {
    rig r = rig_open("gas adiabatic\n"
                     "profile piston area 83 cm2 volume 1.37 L at 158 mm\n"
                     "spring bag load 431 kg profile piston height 158 mm\n"
                     "supply rail pressure 5.1 bar\n"
                     "solenoid gate from bag to rail normally closed bore 5 mm bypass 0.3 mm\n");
    rig_answer(&r, "rest", NULL);
    const lot l = find(&r, 0.01);
    cr_assert_eq(l.constants.sealed, 0);
    cr_assert_eq(l.constants.count, 1);
    const constant *one = &l.constants.constant[0];
    cr_assert_eq(one->held, rig_node(&r, "rail"));
    cr_assert_eq(one->giver.count + one->taker.count, 1);
    const double C = 1.37e-3 / (1.4 * GAS_CONSTANT * r.model->ambient.temperature);
    CHECK_REL(one->time, C / l.by.swing[0].conductance, 1e-12, "C/G");
    rig_close(&r);
}

Test(constants, every_refusal_of_memory_is_survived) {
    rig r = rig_open_file("netlists/bench.air");
    rig_answer(&r, "with-both", NULL);
    const lot l = find(&r, 0.01);
    failing f;
    for (size_t k = 1;; k++) {
        constants_answer answer;
        const baronet_status status =
            constants_solve(&answer, r.arena, r.rates, l.by.swing, failing_start(&f, k));
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
    rig_close(&r);
}
