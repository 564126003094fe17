/* states.h: the valve states side by side: the named ones, or every combination of the solenoids.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_STATES_H
#define STUDIES_STATES_H

#include "studies/rates.h"

/* Most solenoids of which every combination is looked at, and most values (combinations times
   volumes) that are kept for it. */
enum { STATES_SOLENOIDS_MAX = 12 };
#define STATES_VALUES_MAX 20000000.0

typedef struct states_entry {
    const char *name; /* a named state's, or made of the open solenoids: `left+cross`, `all-shut` */
    const bool *open; /* one a solenoid */
    bool rest;        /* every solenoid is de-energised */
    int combinations; /* how many positions breathe alike, this one included */
    int named;        /* index of the model's state, -1 for a combination without a name */
    rates *rates;     /* NULL where the position itself is impossible */
    problem problem;  /* OK, or why it has no answer */
} states_entry;

typedef struct states_answer {
    int count;
    states_entry *entry;
    int base; /* the entry that others are compared with: the charge's state, or the first */
    arena *arena;
} states_answer;

/* Which positions of the valves are asked about. */
typedef enum states_choice {
    STATES_NAMED, /* every named state, and `rest` where none of them is the same */
    STATES_ALL,   /* every combination of the solenoids; those that differ only where no spring
                     breathes are one entry */
    STATES_ONE    /* one state of the model's */
} states_choice;

/* Solves the states asked for, in order of the netlist; `one` is an index for STATES_ONE;
   `amplitude` (m) is the swing at which LEVEL_RIDE is found, 0 to leave it out. A state
   without an answer is an entry with a problem, not a failure. TOO_MANY beyond the limits. Free in
   any case. */
BARONET_CHECKED baronet_status states_solve(states_answer *out, charge *c, const load_case *with,
                                            states_choice choice, int one, double amplitude,
                                            const baronet_allocator *allocator);

/* Takes how the standings of a level were solved in each state with an answer into the worst of all
   (LEVEL_NONE: every standing). OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status states_join(balance_worst *all, const states_answer *states,
                                           level at);
void states_free(states_answer *answer);

#endif
