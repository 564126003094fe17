/* lean.h: where a vehicle stands in a bend, under braking or over an obstacle, from the standing of
   a solved state on: static equilibrium with the full curves of springs, stops and tyres, each air
   keeping p V^n.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_LEAN_H
#define STUDIES_LEAN_H

#include "studies/rates.h"

/* What acts on it. */
typedef struct lean_push {
    double lateral;     /* m/s2: positive in a left-hand bend, which leans the body to the right */
    double braking;     /* m/s2 */
    const double *road; /* m, wheels: rise of the ground under each; NULL for level ground */
} lean_push;

/* What stands: arrays belong to the study and hold until its next answer. */
typedef struct lean_answer {
    problem problem; /* OK; OFF_PROFILE with the spring; UNSTABLE where it tips over or nothing
                        holds it; NOT_CONVERGED */
    double body[BODY_MOTIONS]; /* m, rad: rise, roll and pitch against the state's standing */
    double *travel;            /* m, wheels: bump positive, against the state's standing */
    double *load;              /* N, wheels: on a scale; 0 where it has lifted */
    double *force; /* N, wheels: what the suspension gives the body, against the standing */
    int lifted;    /* how many wheels are off the ground */
    int lightest;  /* wheel with the least load for its load at rest */
    int iterations;
    double residual; /* largest, relative to the whole load */
} lean_answer;

typedef struct lean lean;

/* A body that leans so far has tipped over. */
#define LEAN_TIPPED 0.5 /* rad */

/* `air` says which air moves along: each spring's own (at once), or each group's (evened out). The
   exponent is that of quick changes, as for the levels instant and settled. The rates must outlive
   it and stay as they are. */
BARONET_CHECKED baronet_status lean_create(lean **out, rates *r, stiffness_air air,
                                           const baronet_allocator *allocator);
void lean_destroy(lean *l);

/* Back to the state's standing, as a start for the next answer. */
void lean_restart(lean *l);

/* Answers from the last standing on; what is wrong is in the answer's problem, the status is for
   want of memory only. The couple of the roll axis and of the wheels' own masses goes to the tyres
   of each axle through its links, by the share of the load that the axle carries; springs take the
   rest. Braking acts at cg-height without anti-dive. */
BARONET_CHECKED baronet_status lean_solve(lean *l, lean_push push, lean_answer *out);

#endif
