/* resonance.h: where the air in a state's hoses swings against the volumes at their ends, wheels
   held and nothing lost: what bounds the frequencies at which a tank takes part.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_RESONANCE_H
#define STUDIES_RESONANCE_H

#include "studies/airnet.h"

/* The lowest that are listed. */
enum { RESONANCE_MOST = 24 };

typedef struct resonance {
    double frequency; /* Hz */
    double residual;  /* of the eigenvalue's equation, relative */
    int edge;         /* whose air moves with the most energy */
    int other;        /* another that has at least half as much; -1 for none */
    int from, to;     /* the volumes on either side that swing the most, nodes; -1 for none */
} resonance;

typedef struct resonance_answer {
    int count;
    resonance *resonance; /* count, lowest first */
} resonance_answer;

/* All up to `highest` (Hz), RESONANCE_MOST at most, of a network made for that frequency. Paths
   without inertia join their ends. Memory is the arena's.
   Source: an acoustic network of inertances L/a and capacities V/(n R T), of which Helmholtz's
   resonator is the smallest (Kinsler, Frey, Coppens and Sanders, Fundamentals of Acoustics, 4th
   ed., chapter 10). */
BARONET_CHECKED baronet_status resonance_solve(resonance_answer *out, arena *a, const airnet *n,
                                               const model *m, double highest,
                                               const baronet_allocator *allocator);

#endif
