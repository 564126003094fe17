/* charge.h: the charged state that every other state starts from: each spring filled alone, then
   the valves of the charge's state opened and the vehicle settled.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_CHARGE_H
#define STUDIES_CHARGE_H

#include "studies/balance.h"

typedef struct charge {
    const model *model;
    arena *arena;
    fill fill;
    balance *balance;        /* in the charge's position, at its equilibrium */
    double *node_amount;     /* Pa m3, nodes: p V that each holds once charged and settled */
    double *node_pressure;   /* Pa absolute, nodes */
    double *filled_pressure; /* Pa absolute, nodes: before the valves opened */
    double *group_amount;    /* Pa m3, groups of the charge's position */
    double *group_volume;    /* m3, groups: of what led their pressure */
    bool *at_ambient; /* nodes: hoses and tees shut off from all air, left at ambient pressure */
    double *travel;   /* m, corners: at the settled charged state */
    body_mass mass;   /* of the base loads */
    bool flat;        /* a spring is open to the atmosphere */
    bool valves_set;  /* the balance has taken up the charge's position */
} charge;

BARONET_CHECKED baronet_status charge_create(charge **out, const model *m,
                                             const baronet_allocator *allocator);
void charge_destroy(charge *c);

/* Finds the charged state; may be called again after the model's numbers have changed (not its
   layout), without allocation. All that fill_solve and balance_solve may say, and NO_AIR: a tank
   shut off from every spring without a pressure of its own. */
BARONET_CHECKED baronet_status charge_solve(charge *c, problem *why);

#endif
