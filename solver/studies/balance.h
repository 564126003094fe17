/* balance.h: where a vehicle stands: static equilibrium in one position of the valves.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_BALANCE_H
#define STUDIES_BALANCE_H

#include "model/model.h"
#include "numeric/sparse.h"
#include "studies/fill.h"
#include "studies/problem.h"

/* One standing of the vehicle. */
typedef struct standing {
    double body[BODY_MOTIONS]; /* rise (m), roll and pitch (rad) of the body from design */
    double *wheel;           /* m, corners: rise of the wheel from its place under the charged load;
                                on a bench: rise of the mass, from design */
    double *travel;          /* m, corners: bump positive, from design */
    double *force;           /* N, corners: what the suspension gives the body */
    double *height;          /* m, springs */
    double *load;            /* N, springs, carcass included */
    profile_point *point;    /* springs */
    double *spring_pressure; /* Pa absolute, springs: their group's */
    double *pressure;        /* Pa absolute, groups */
    double *volume;          /* m3, groups */
} standing;

/* Takes its arrays, all zero; whether all were given is for the arena to say. */
void standing_make(standing *out, arena *a, const model *m);

/* What is to be in equilibrium. */
typedef struct balance_task {
    const fill *design;   /* heights from which travels count, coil forces, charged loads */
    const double *sprung; /* N, corners: weights on the springs now */
    const double *amount; /* Pa m3, groups: p V of each, which isothermal air keeps */
    body_mass mass;       /* of these weights */
} balance_task;

typedef struct balance balance;

/* A balance for a model, which must outlive it. */
BARONET_CHECKED baronet_status balance_create(balance **out, const model *m,
                                              const baronet_allocator *allocator);
void balance_destroy(balance *b);

/* Takes up a position of the valves (one entry a solenoid; `bypasses`: shut ones that pass a little
   count as open): finds the groups, lists the unknowns (body, wheels on tyres, bench masses,
   pressures of groups with springs) and analyses the Jacobian. TWO_SOURCES. */
BARONET_CHECKED baronet_status balance_set_valves(balance *b, const bool *open, bool bypasses,
                                                  problem *why);

const groups *balance_groups(const balance *b);

/* Sums amounts of air (Pa m3) of nodes into those of the groups. */
void balance_gather(const balance *b, const double *node_amount, double *group_amount);

/* Back to the design point, as a start for the next solve. */
void balance_start(balance *b, const balance_task *task);

/* Forgets all that earlier solves have left, and takes the volumes of tanks, tees and hoses anew:
   with balance_start, the next solve depends on the first one alone, whose pivots it takes.
   OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status balance_forget(balance *b);

/* Newton's method with a line search from the last standing; no allocation. OFF_PROFILE, SLACK,
   WHEEL_LIFTS name the spring or corner, NEUTRAL and UNSTABLE the motion (-1 - corner for a bench
   mass), FLAT a spring open to the atmosphere without which nothing stands; NOT_CONVERGED. */
BARONET_CHECKED baronet_status balance_solve(balance *b, const balance_task *task, problem *why);

/* The standing as last solved. */
const standing *balance_standing(const balance *b);

/* How the last solve went. */
typedef struct balance_account {
    int iterations;
    double residual; /* largest, relative to the whole load or to the group's air */
    int unknowns;
} balance_account;
balance_account balance_report(const balance *b);

/* After a solve that ended OK: how far the unknown that moves most, in m, rad or 100 kPa, would
   move for residuals of one; times the residual, how well the standing is known. Costs a factoring.
   OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status balance_condition(balance *b, double *condition);

/* m, rad or 100 kPa: how far a standing may be out that was solved so well. */
double balance_error(const balance_account *account, double condition);

/* How well several standings were solved: the largest of each. */
typedef struct balance_worst {
    double residual, condition;
    double error;      /* m, rad or 100 kPa */
    const char *where; /* the state whose error it is; NULL where there is none */
} balance_worst;

/* Takes the last solve, which ended OK and was of a state of that name, into the worst of all,
   which begins as zeros. OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status balance_join(balance_worst *all, balance *b, const char *where);

/* Mean compression (m) of the springs of a group that has some. */
double balance_mean_compression(const balance *b, const balance_task *task, int group);

/* Change of the mean compressions of `listed` groups (m) a unit of relative change in the amount of
   air of each: fills `change` (listed x listed, row-major: change of row's mean by column's air).
   The last solve must have ended OK. */
BARONET_CHECKED baronet_status balance_air_response(balance *b, const balance_task *task,
                                                    int listed, const int *group, double *change);

#endif
