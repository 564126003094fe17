/* levelling.h: air added or let out until springs stand at their design height again.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_LEVELLING_H
#define STUDIES_LEVELLING_H

#include "studies/charge.h"

/* Most groups of springs that can be levelled together where springs share air: the equations that
   do it are dense. */
enum { LEVELLING_GROUPS_MAX = 400 };

/* Work space for one model. */
typedef struct levelling {
    charge *charge;   /* its fill serves as work space */
    double *pressure; /* Pa gauge, springs */
    double *volume;   /* m3, groups */
    int *group;       /* groups: the listed ones, with springs and air of their own */
    double *change;   /* listed x listed */
    double *mean;     /* m, listed: mean compressions */
    double *step;     /* listed: change of the logarithm of the air, to be taken off */
    double *from;     /* Pa m3, listed: air before a step */
} levelling;

/* `arena` holds the work space; groups with springs are at most as many as springs. */
BARONET_CHECKED baronet_status levelling_make(levelling *out, arena *a, charge *c);

/* Solves the balance for the task's weights with the amounts of air (Pa m3, groups, which the task
   points to as well) changed so that springs with air of their own carry their own corner's weight
   at the design height; where springs share air, their mean height is brought back and the vehicle
   settles. All that balance_solve and fill_refill may say. */
BARONET_CHECKED baronet_status levelling_solve(levelling *l, balance *b, const balance_task *task,
                                               double *amount, problem *why);

#endif
