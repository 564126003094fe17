/* paths.h: which paths are in play at ride frequency: each path's conductance under a swing, and
   the frequency below which it evens out the two sides that it joins.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_PATHS_H
#define STUDIES_PATHS_H

#include "studies/airnet.h"
#include "studies/course.h"

/* One edge under a swing of each motion in turn: what it conducts in that one among heave, roll,
   pitch and warp (on a bench: its own mass moving) in which it carries the most. */
typedef struct path_swing {
    bool passes;        /* open, or shut with a bypass */
    bool shut;          /* it is a bypass that passes */
    int course;         /* that motion, by place in the list; -1 where none moves its air */
    double conductance; /* kg/(s Pa); with no flow the slope there */
    double flow;        /* kg/s, amplitude */
} path_swing;

/* Warps that are swung where there are several: the softest. */
enum { PATHS_WARPS = 3 };

/* Fills `out` (one an edge of the network) for swings of an amplitude (m at the wheel that moves
   most) at a frequency (Hz) about a solved state. The courses are the state's own. */
BARONET_CHECKED baronet_status paths_swing(path_swing *out, swing_account *account, rates *r,
                                           const course_list *courses, double amplitude,
                                           double frequency, const baronet_allocator *allocator);

/* A path between two sides that nothing else joins is in play below its frequency,
   1/(2 pi R C) with R = 1/conductance and C the capacities V/(n R T) of the sides in series, each
   with all that is open to it; half of a hose's own air counts to each side. With heights held this
   is the pole of the softening that the far side brings, so that 1/(1 + (f/frequency)^2) of it is
   there at a frequency f. */
typedef struct path_answer {
    int edge;
    bool loop;        /* another open path joins its sides too: it has no frequency of its own */
    double frequency; /* Hz; NAN where it has none */
    double capacity;  /* kg/Pa, both sides in series */
    bool stub; /* a dead end: no spring, tank or supply is on one side, as beyond a shut valve */
    bool link; /* it joins springs of different corners that nothing else joins */
    unsigned long parted; /* links that part the same springs have the same number */
    int nearest;          /* the spring nearest to it; -1 for none */
    double ride;          /* Hz: ride frequency that it is measured by; NAN where there is none */
    double present;       /* share of its softening that is there at that frequency */
} path_answer;

typedef struct paths_answer {
    int count;
    path_answer *path; /* the paths that pass and can be reached from a spring */
} paths_answer;

/* Bridges of the open network (Tarjan 1974) and the sums on both sides of each, in linear time. A
   shut valve that passes a little is taken between what is open to its two ends. A link is measured
   by the frequency of the motion that it carries most in, any other path by that of the nearest
   spring's corner: at level `ride` where that is known, else settled. Memory is the arena's. */
BARONET_CHECKED baronet_status paths_solve(paths_answer *out, arena *a, rates *r,
                                           const path_swing *swing);

#endif
