/* stiffness.h: the stiffness matrix at the wheels, K = force up per travel up, tyres left out.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_STIFFNESS_H
#define STUDIES_STIFFNESS_H

#include "studies/balance.h"

/* Springs listed by their group, and work space. */
typedef struct stiffness {
    const model *model;
    int *order;    /* springs, those of one group together */
    double *force; /* corners: sum over a group's springs of ratio times dF/dp, m2 */
    double *air;   /* corners: sum over a group's springs of ratio times dV/dh, m2 */
    int *touched;  /* corners */
    int *count;    /* nodes + 1: work space of the sort */
} stiffness;

BARONET_CHECKED baronet_status stiffness_make(stiffness *out, arena *a, const model *m);

/* To be called when the groups have changed. */
void stiffness_set_groups(stiffness *s, const groups *g);

/* Which air a spring works against. */
typedef enum stiffness_air {
    AIR_ALONE, /* its own volume: instant */
    AIR_GROUP  /* its group's: settled and parked */
} stiffness_air;

/* Fills `K` (corners x corners, row-major, N/m) and `rate` (springs, N/m: each spring's own) at a
   standing, for an exponent n. Between springs i and j of one group of volume V and pressure p
     K_ij = n p A_i B_j / V - delta_ij (p - p_amb) dA_i/dh + delta_ij rubber_i
   by differentiating F = (p - p_amb) A with p V^n constant (Gillespie, Fundamentals of Vehicle
   Dynamics, 1992, chapter 5; Harris and Crede, Shock and Vibration Handbook, chapter 33); with a
   load table A_i is dF_i/dp and the second term dF_i/dh. Groups whose pressure is held have no
   first term. Then R'KR with the levers R, coils, bars, and stops that are touched. */
void stiffness_find(stiffness *s, const groups *g, const standing *at, stiffness_air air, double n,
                    double *K, double *rate);

#endif
