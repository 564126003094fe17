/* times.h: all that one state has to say about time: its constants, its paths, how each motion
   evens out after a held step, and what each cross-link does within a bend.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_TIMES_H
#define STUDIES_TIMES_H

#include "studies/constants.h"
#include "studies/figures.h"
#include "studies/links.h"
#include "studies/relaxation.h"

/* The swing and the bend where none is stated. */
#define TIMES_AMPLITUDE 0.01 /* m at the wheel that moves most */
#define TIMES_FREQUENCY 1.0  /* Hz */
#define TIMES_BEND      3.0  /* s */

/* Parts of the answer, as bits: each costs its own time. */
typedef enum times_part {
    TIMES_PATHS = 1,
    TIMES_CONSTANTS = 2,
    TIMES_SETTLED = 4, /* held steps with bypasses held tight */
    TIMES_PARKED = 8,  /* and with bypasses flowing */
    TIMES_SWINGS = 16, /* heave and roll over several amplitudes */
    TIMES_LINKS = 32,
    TIMES_ALL = 63
} times_part;

typedef struct times_question {
    unsigned parts;
    double amplitude; /* m at the wheel that moves most; 0: TIMES_AMPLITUDE */
    double frequency; /* Hz; 0: TIMES_FREQUENCY */
    double bend;      /* s; 0: TIMES_BEND */
    const char *only; /* held steps of this motion only; NULL for all */
} times_question;

/* One motion after a held step. Rates are v'Kv/v'v (N/m a wheel), of the state's equilibrium. */
typedef struct times_motion {
    const course *course;
    int item; /* as the subject of a figure */
    double instant_rate, settled_rate, parked_rate;
    relaxation_answer settled, parked;
    bool parked_differs; /* a bypass flows: otherwise parked is settled once more */
} times_motion;

/* One-wheel motions that are looked at: of the first wheels, and of all bench masses. */
enum { TIMES_WHEELS = 16 };

/* Networks of more nodes, as no vehicle has, get no swing table and no held steps of one wheel
   unless that very motion is asked for. */
enum { TIMES_LARGE = 5000 };

/* Amplitudes of the swing table and what heave and roll do there. */
enum { TIMES_SWEEP = 5 };
typedef struct times_sweep {
    double amplitude; /* m */
    double heave_63;  /* s; NAN where there is none */
    double roll_63;
} times_sweep;

typedef struct times_answer {
    double amplitude, frequency, bend;
    course_list courses;
    path_swing *swing; /* edges */
    swing_account account;
    paths_answer paths;
    constants_answer constants;
    int motions;
    times_motion *motion;
    int left_out; /* motions that were not looked at, there being so many, or nodes */
    int sweeps;
    times_sweep sweep[TIMES_SWEEP];
    links_answer links;
    double mass_error; /* largest of all runs */
    long steps;        /* of all runs */
    int unfinished;    /* runs that did not converge */
} times_answer;

/* Answers for a solved state. Memory is the arena's; the courses in it too. */
BARONET_CHECKED baronet_status times_solve(times_answer *out, arena *a, rates *r,
                                           const times_question *question,
                                           const baronet_allocator *allocator);

/* Adds time_constant, settle_time_63, settle_time_95 and path_frequency. */
void figures_of_times(figure_list *list, const times_answer *answer);

/* The parts that give a figure; 0 where this study does not. */
unsigned times_parts_of(figure_quantity quantity, level at);

#endif
