/* fill.h: each spring filled alone to its load and height: the design point of the charge.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_FILL_H
#define STUDIES_FILL_H

#include "model/model.h"
#include "studies/problem.h"

/* Corners that share springs (a beam axle's) are solved together: a set of corners and the springs
   on them. Most sets are one corner. */
typedef struct fill_set {
    int corners, springs;
    int *corner; /* corners */
    int *spring; /* springs */
} fill_set;

typedef struct fill {
    double *height;   /* m, springs */
    double *pressure; /* Pa gauge, springs */
    double *force;    /* N, springs; the carcass has no force at the design height */
    double *sprung;   /* N, corners: load less the weight of the unsprung mass */
    double *carries;  /* N, corners: held by the coil at the design height */
    int sets;
    fill_set *set;
    int *column;    /* springs: unknown of each in its set, -1 for none */
    int *shared;    /* corners: unknown that its own springs share, -1 for none yet */
    double *matrix; /* work of the largest set */
    double *side;
} fill;

/* Room for a fill; all memory is the arena's. */
BARONET_CHECKED baronet_status fill_make(fill *out, arena *a, const model *m);

/* Solves R'F + carries = sprung load for what the netlist leaves open of load, height and pressure.
   Springs that stand on one corner only and have no pressure of their own start at equal pressures;
   where springs on several corners leave a choice, the pressures of least sum of squares are taken.
   CONTRADICTION, UNDETERMINED, SLACK, OFF_PROFILE. */
BARONET_CHECKED baronet_status fill_solve(fill *f, const model *m, problem *why);

/* Gauge pressures (Pa, springs) that would carry other sprung loads (N, corners) at the heights of
   a finished fill: what each spring needs to stand at its design height again. Springs of one
   corner change by the same pressure; where there is more choice, by the least sum of squares. */
BARONET_CHECKED baronet_status fill_refill(fill *f, const model *m, const double *sprung,
                                           double *pressure, problem *why);

#endif
