/* faults.h: each single failure of a part in turn, played out in time: what it does to heights,
   pressures and rates, the worst first.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_FAULTS_H
#define STUDIES_FAULTS_H

#include "studies/play.h"

typedef enum fault_kind {
    FAULT_BURST,       /* node: spring, tank, tee or hose */
    FAULT_STUCK_OPEN,  /* edge that the state holds shut, or a valve of its own will */
    FAULT_STUCK_SHUT,  /* edge that the state holds open, or a valve of its own will */
    FAULT_NO_CURRENT,  /* edge: an energised solenoid falls back; item -1: all of them */
    FAULT_SUPPLY_LOST, /* node: open to the atmosphere */
    FAULT_KINDS
} fault_kind;

/* Why a vehicle should not be driven then, as bits. */
typedef enum fault_harm {
    HARM_ON_STOP = 1,     /* a corner ends on its bump stop */
    HARM_FLAT = 2,        /* a spring ends flat */
    HARM_LIFTED = 4,      /* a wheel ends off the ground */
    HARM_LEANS = 8,       /* it leans FAULTS_LEAN more than before */
    HARM_UNFINISHED = 16, /* the run did not get to its end: `end` says why */
    HARM_TOPPED = 32      /* a corner ends on its rebound stop */
} fault_harm;

typedef struct fault {
    fault_kind kind;
    int item;
    double bore; /* m, of a burst */
    play_end end;
    int end_item;
    double ended;     /* s */
    double *shift;    /* m, corners: height at the end less that at the start */
    double *pressure; /* Pa gauge, springs, at the end */
    double lean;      /* rad: roll at the end less that at the start */
    hold held;        /* rates at the end */
    bool moving;      /* it is still on its way at the end */
    int worst;        /* corner that goes down most, -1 for none */
    int first;        /* corner that is the first to lose the stated height, -1 for none */
    double drop_time; /* s: when; NAN where none does */
    bool *drawn;      /* corners that go down by FAULTS_DRAWN though the part is not theirs */
    unsigned harm;    /* bits of fault_harm */
} fault;

typedef struct faults_answer {
    arena *arena;
    int faults;
    fault *fault;  /* the worst first */
    hold held;     /* rates before */
    double used;   /* of the budget, in budgets of a single run */
    int unplayed;  /* faults that the budget of steps left no room for */
    int unchanged; /* solenoids stuck where this state holds them anyway */
} faults_answer;

/* A spring or tank bursts with a hole of this bore; a hose with its own, a tee with that of the
   widest hose that ends there, or this. */
#define FAULTS_HOLE    8e-3 /* m */
#define FAULTS_SECONDS 60.0
#define FAULTS_BUDGET  5.0       /* of steps for all of them, in budgets of a single run */
#define FAULTS_DROP    PLAY_DROP /* where no other is stated */
#define FAULTS_DRAWN   5e-3      /* m */
#define FAULTS_LEAN    0.0524    /* rad: 3 degrees, common practice, no source */

/* How: zero-filled is as usual. */
typedef struct faults_settings {
    double drop;   /* m; 0: FAULTS_DROP */
    double budget; /* budgets of a single run; 0: FAULTS_BUDGET */
} faults_settings;

/* Plays every fault from where the rates' state stands. OUT_OF_MEMORY. Free in any case. */
BARONET_CHECKED baronet_status faults_solve(faults_answer *out, rates *r, const charge *c,
                                            int state, const faults_settings *with,
                                            const baronet_allocator *allocator);
void faults_free(faults_answer *answer);

#endif
