/* variants.h: the same figures of a great many variants of one netlist, by several processors at
   once. What a variant gives does not depend on which were looked at before it, nor by whom.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_VARIANTS_H
#define STUDIES_VARIANTS_H

#include "netlist/dial.h"
#include "studies/gauge.h"

/* Told now and then how much of the work is done, 0 to 1; false ends it early. */
typedef bool variants_progress(void *context, double part);

/* Fills the values (SI, one a dial) of a variant; called by several processors at once. */
typedef void variants_values(const void *context, long index, double *values);

typedef struct variants_question {
    const baronet_netlist *netlist;
    int dials;
    const dial *dial;
    int gauges;
    const gauge *gauge;
    double amplitude;            /* m, of the level `ride` and of held steps */
    int workers;                 /* 0: as many as there are processors */
    variants_progress *progress; /* NULL for none */
    void *progress_context;
} variants_question;

typedef struct variants variants;

/* The question's parts must outlive it. */
BARONET_CHECKED baronet_status variants_create(variants **out, const variants_question *question,
                                               const baronet_allocator *allocator);
void variants_destroy(variants *v);

/* Figures (SI, gauges each; NAN where one does not exist) of variants first, ..., first + count - 1
   go to `result`, one after another, and to `status`, unless NULL, why some state of it has no
   answer (OK: all have). `*done` is how many were finished, from the first on: all, unless the
   progress ended it. */
BARONET_CHECKED baronet_status variants_read(variants *v, variants_values *values,
                                             const void *context, long first, long count,
                                             double *result, problem *why, long *done);

/* True where variants are read from text again, there being something that cannot be patched: a
   hundred times slower. */
bool variants_are_reread(const variants *v);

#endif
