/* gauge.h: the value of any figure that is asked for by its words, in one state and case: what
   requirements are judged by, and what is varied, sized and spread.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_GAUGE_H
#define STUDIES_GAUGE_H

#include "studies/figures.h"

/* One figure, found by its words. */
typedef struct gauge {
    figure figure;       /* what it is; the value is not used */
    const char *subject; /* its name, "" for the whole vehicle; as long as the wish */
    int state;           /* index of the model's */
    int load_case;       /* index, -1 for the base case */
} gauge;

/* Looks up a wish's subject and level for one state. A level that is not given is the state's
   equilibrium, or settled where the figure has levels. False where the model has no such subject.
 */
bool gauge_find(gauge *out, const model *m, const requirement *wish, int state);

/* True where the figure costs thousands of times more than where a vehicle stands and how stiff it
   is. */
bool gauge_is_dear(const gauge *g);

/* Gauges of one model, ready to be read again and again as its numbers change (not its layout).
   What is common to them is worked out once a reading, and nothing that none of them needs. */
typedef struct gauges gauges;

/* The model must outlive it. `amplitude` (m) is the swing of the level `ride` and of held steps. */
BARONET_CHECKED baronet_status gauges_create(gauges **out, const model *m, int count,
                                             const gauge *wanted, double amplitude,
                                             const baronet_allocator *allocator);
void gauges_destroy(gauges *g);

/* Charges the system, solves each state and case, depending on no reading but the first, and fills
   `value` (SI, one a gauge): NAN where the figure does not exist. No allocation unless a gauge is
   dear. OUT_OF_MEMORY only. */
BARONET_CHECKED baronet_status gauges_read(gauges *g, double *value);

/* Why the state of a gauge had no answer in the last reading; OK where it had one. */
const problem *gauges_problem(const gauges *g, int index);

/* Largest residual of the equilibria of the last reading, of states that had an answer. */
double gauges_residual(const gauges *g);

/* Takes how they were solved into the worst of all: as much work as a good part of a reading.
   OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status gauges_join(balance_worst *all, gauges *g);

#endif
