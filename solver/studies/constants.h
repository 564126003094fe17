/* constants.h: the time constants in which the air of a state evens out, heights held, and which
   volumes breathe into which in each.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_CONSTANTS_H
#define STUDIES_CONSTANTS_H

#include "studies/paths.h"

/* Volumes named on each side of a constant, and constants kept: the slowest. */
enum { CONSTANT_NODES = 3, CONSTANTS_MOST = 64 };

/* Of large groups fewer are kept, so that no more values of all shapes together are. */
#define CONSTANTS_VALUES 4000000

/* Volumes that move less than this part of what the first of their side moves are not named. */
#define CONSTANT_PART 0.2
/* A side whose named volumes move less than this part of its air has others beside them. */
#define CONSTANT_NAMED 0.7

typedef struct constant_side {
    int count;
    int node[CONSTANT_NODES]; /* those that move the most air first */
    bool others;
} constant_side;

typedef struct constant {
    double time;         /* s */
    double residual;     /* of the eigenvalue's equation, relative */
    constant_side giver; /* what empties while the takers fill, or the other way round */
    constant_side taker;
    int held; /* a side that keeps its pressure and takes or gives the rest: a node; -1 for none */
} constant;

typedef struct constants_answer {
    int count;          /* slowest first */
    constant *constant; /* count */
    int all;            /* how many there are; beyond CONSTANTS_MOST the quickest are left out */
    int sealed; /* groups that keep their air, bypasses open: each has one mode that never ends */
    int idle;   /* groups of several volumes that no wheel moves, which are left out */
} constants_answer;

/* 1/lambda of the eigenvalues of G x = lambda C x, with C = V/(n R T) at instant's exponent and G
   the paths' conductances under the swings, bypasses of shut valves among them. Volumeless nodes
   are eliminated. The paths' swings are those of paths_swing; memory is the arena's. */
BARONET_CHECKED baronet_status constants_solve(constants_answer *out, arena *a, rates *r,
                                               const path_swing *swing,
                                               const baronet_allocator *allocator);

#endif
