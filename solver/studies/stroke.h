/* stroke.h: load, pressure and rate over the whole travel of a motion.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_STROKE_H
#define STUDIES_STROKE_H

#include "studies/rates.h"

/* Why a stroke ends where it does. */
typedef enum stroke_end { STROKE_PROFILE, STROKE_SLACK, STROKE_LIFT, STROKE_LIMIT } stroke_end;

/* How far a motion is followed where nothing ends it (springs without a table). */
#define STROKE_LONGEST 0.2 /* m */
/* Most rows that may be asked for. */
enum { STROKE_POINTS_MOST = 100000 };

typedef struct stroke_row {
    double travel; /* m along the motion, bump positive, from the state's standing */
    double *load;  /* N, corners: what a scale shows */
    double *rate; /* N/m, corners: change of that wheel's force per its own travel along the motion;
                     NAN where the motion does not move it */
    double *pressure; /* Pa absolute, springs */
    double *height;   /* m, springs */
} stroke_row;

typedef struct stroke_answer {
    int rows;
    stroke_row *row; /* rising in travel, 0 among them */
    stroke_end low_end, high_end;
    int low_spring, high_spring; /* spring (or corner, for STROKE_LIFT) that ends it; -1 for none */
} stroke_answer;

/* Moves the wheels by `shape` (corners, bump positive) from a solved state, at a level: at instant
   each spring works on its own air, else on its group's; p V^n is constant, with the netlist's
   exponent, and 1 when parked. About `points` rows, at round travels. Memory is the arena's. */
BARONET_CHECKED baronet_status stroke_solve(stroke_answer *out, arena *a, rates *r,
                                            const double *shape, level at, int points);

#endif
