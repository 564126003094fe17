/* lateral.h: load and balance: how a state leans in a bend, dives under braking and stands over a
   diagonal obstacle, at once (no air has passed between volumes) and once all that is open has
   evened out.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_LATERAL_H
#define STUDIES_LATERAL_H

#include "studies/lean.h"

/* The two kinds of air. */
typedef enum lateral_air { LATERAL_AT_ONCE, LATERAL_EVENED, LATERAL_AIRS } lateral_air;

/* Steps of the table, and how far and how finely a wheel that lifts is looked for. */
enum { LATERAL_ROWS = 6, LATERAL_BRAKINGS = 3, LATERAL_HEIGHTS = 4 };
#define LATERAL_STEP     0.1 /* g: rows stand at 0.1 to 0.6 g */
#define LATERAL_FARTHEST 1.2 /* g */
#define LATERAL_HIGHEST  0.4 /* m, of an obstacle */

/* One row: a left-hand bend, from the state's standing on. */
typedef struct lateral_row {
    bool given;
    double lateral;     /* m/s2 */
    double roll;        /* rad, body against the road */
    double *roll_share; /* axles: part of the couple that springs, coils and bars hold */
    double *load_share; /* axles: part of the couple by which load moves across the tyres */
    double *load;       /* N, wheels */
    int lightest, lifted;
} lateral_row;

/* Where something happens first: a wheel lifts, or the search ends because it cannot go on. */
typedef struct lateral_limit {
    bool lifts; /* a wheel does, at `at` */
    int wheel;
    double at;       /* m/s2, or m of an obstacle: of the lift, else how far it was looked for */
    problem problem; /* OK, or what ended the search before any wheel lifted */
} lateral_limit;

typedef struct braking_row {
    bool given;
    double braking; /* m/s2 */
    double pitch;   /* rad, positive lowers the front */
    double dip;     /* m by which the body comes down over the foremost axle */
    double rise;    /* m by which it comes up over the rearmost axle */
} braking_row;

typedef struct warp_row {
    bool given;
    double height; /* m of the obstacle under each of the raised wheels */
    double *load;  /* N, wheels */
} warp_row;

typedef struct lateral_answer {
    bool bends;  /* cg-height and roll-axis are known and it can roll */
    bool brakes; /* cg-height is known and it can pitch */
    bool warps;  /* there are two axles with wheels on both sides */
    lateral_row row[LATERAL_AIRS][LATERAL_ROWS];
    problem row_problem[LATERAL_AIRS];   /* what ended the table early, or OK */
    lateral_limit bend[LATERAL_AIRS][2]; /* to the left, to the right */
    braking_row braking[LATERAL_AIRS][LATERAL_BRAKINGS];
    bool *raised; /* wheels: those on the obstacle: left ones of the foremost axle, right ones of
                     the rearmost */
    warp_row warp[LATERAL_AIRS][LATERAL_HEIGHTS];
    lateral_limit obstacle[LATERAL_AIRS];
    double residual; /* largest of all answers */
} lateral_answer;

/* Answers for a solved state; memory is the arena's. */
BARONET_CHECKED baronet_status lateral_solve(lateral_answer *out, arena *a, rates *r,
                                             const baronet_allocator *allocator);

/* Deceleration of a row, and height of another. */
double lateral_braking(int row);
double lateral_height(int row);

#endif
