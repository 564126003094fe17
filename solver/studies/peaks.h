/* peaks.h: the highest pressure that each volume of air ever sees: when it is filled, in every
   state and load case, and within the events of the netlist.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_PEAKS_H
#define STUDIES_PEAKS_H

#include "studies/play.h"

typedef enum peak_kind {
    PEAK_HELD,   /* a supply's own pressure, or the atmosphere */
    PEAK_FILLED, /* each spring by itself, before the charge's valves open */
    PEAK_STATE,  /* at a state's equilibrium */
    PEAK_PARKED, /* the same once shut valves have leaked */
    PEAK_EVENT
} peak_kind;

typedef struct peak {
    double gauge; /* Pa */
    peak_kind kind;
    int state;     /* index; of an event the one that it starts in; -1 */
    int load_case; /* index, -1 for the base case */
    int script;    /* index of an event, -1 */
    double time;   /* s within the event */
} peak;

/* A question without an answer, or an event that did not run to its end: what it would have met
   later is not known. */
typedef struct peak_gap {
    int state, load_case; /* as above */
    int script;           /* -1: the state does not stand */
    problem why;          /* of a state */
    play_end end;         /* of an event that started, */
    int item;             /* what its end is about, */
    double time;          /* s, and when that was */
    bool started;
} peak_gap;

typedef struct peaks {
    const model *model;
    peak *node; /* nodes */
    int gaps;
    peak_gap *gap;
} peaks;

/* Two pressures this close, in parts of ambient pressure, are one: the place where it was first met
   is kept, so that rounding does not decide. Gauges do not show as much. */
#define PEAKS_SAME 1e-3

/* Asks every state in the base case and in every load case, and plays every event. The charge must
   have been solved. All memory is the arena's. OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status peaks_find(peaks *out, arena *a, charge *c,
                                          const baronet_allocator *allocator);

#endif
