/* caution.h: what a reader must know beside the figures: where a state asks of a part what it
   cannot do, where a pressure passes a rating, and what rests on an assumption. Data; output/ makes
   the words.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_CAUTION_H
#define STUDIES_CAUTION_H

#include "studies/states.h"

typedef enum caution_kind {
    CAUTION_OVER_RATED,    /* node; amount: highest gauge pressure, Pa; limit: rating */
    CAUTION_PILOT_STARVED, /* edge; amount: difference it sees when shut, Pa; limit: it needs */
    CAUTION_REVERSE,       /* edge shut and one-way; amount: reverse difference, Pa */
    CAUTION_FLAT,          /* spring open to the atmosphere */
    CAUTION_ABOVE_TESTS,   /* spring; amount: gauge pressure; limit: highest test pressure */
    CAUTION_ON_STOP,       /* corner resting on a stop; amount: m beyond its start */
    CAUTION_COUNTS_SHUT,   /* edge that linear figures take as shut */
    CAUTION_AT_AMBIENT,    /* node shut off and left at ambient pressure */
    CAUTION_LAW_ASSUMED, /* edge: cd, xt or roughness is the default; item first, amount how many */
    CAUTION_NOT_CONSISTENT, /* a swing whose conductances did not settle; amount: their residual */
    CAUTION_BELOW_VACUUM,   /* a swing that would pass below vacuum */
    CAUTION_GAS_ASSUMED,    /* the gas statement is missing */
    CAUTION_AMBIENT_ASSUMED,
    CAUTION_ROLL_INERTIA, /* estimated; amount: kg m2 */
    CAUTION_PITCH_INERTIA,
    CAUTION_NO_ARM,  /* roll-axis or cg-height missing: no roll gradient, no tipping */
    CAUTION_UNRATED, /* node without a rating; one caution for all: item first, amount count */
    CAUTION_KINDS
} caution_kind;

typedef struct caution {
    caution_kind kind;
    int item;
    int state;  /* entry of the states where it is worst, -1 for all */
    int states; /* in how many of them it holds */
    double amount, limit;
} caution;

typedef struct caution_list {
    const baronet_allocator *allocator;
    caution *caution;
    size_t count, capacity;
    size_t first; /* of those that may be found again in another state */
    bool failed;
} caution_list;

/* Looks at every entry that has an answer; each thing is said once, at its worst. */
void caution_find(caution_list *list, const charge *c, const states_answer *states);
void caution_free(caution_list *list);

#endif
