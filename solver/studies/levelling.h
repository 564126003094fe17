/* levelling.h: air added or let out until springs stand at their design height again.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_LEVELLING_H
#define STUDIES_LEVELLING_H

#include "studies/charge.h"

/* Most groups of springs that can be levelled together where springs share air: the equations that
   do it are dense. */
enum { LEVELLING_GROUPS_MAX = 400 };

/* Mean heights are level when within this of design: far below what a tape shows. */
#define LEVELLING_TOLERANCE 1e-8 /* m */

/* How the last levelling went. */
typedef struct levelling_account {
    int rounds; /* of Newton's method on the means; none where no springs share air */
    double off; /* m: the largest distance of a group's mean height from design that is left */
} levelling_account;

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
    levelling_account account;
} levelling;

/* `arena` holds the work space; groups with springs are at most as many as springs. */
BARONET_CHECKED baronet_status levelling_make(levelling *out, arena *a, charge *c);

/* Solves the balance for the task's weights with the amounts of air (Pa m3, groups, which the task
   points to as well) changed so that springs with air of their own carry their own corner's weight
   at the design height; where springs share air, their mean height is brought back and the vehicle
   settles, which `account` tells. All that balance_solve and fill_refill may say. */
BARONET_CHECKED baronet_status levelling_solve(levelling *l, balance *b, const balance_task *task,
                                               double *amount, problem *why);

#endif
