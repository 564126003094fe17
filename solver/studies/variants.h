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

/* The question's parts must outlive it. Where something cannot be patched, each variant is read
   from text again, which is a hundred times slower. */
BARONET_CHECKED baronet_status variants_create(variants **out, const variants_question *question,
                                               const baronet_allocator *allocator);
void variants_destroy(variants *v);

/* Figures (SI, gauges each; NAN where one does not exist) of variants first, ..., first + count - 1
   go to `result`, one after another, and to `why`, unless NULL, why some state of it has no
   answer (OK: all have). `*done` is how many were finished, from the first on: all, unless the
   progress ended it. */
BARONET_CHECKED baronet_status variants_read(variants *v, variants_values *values,
                                             const void *context, long first, long count,
                                             double *result, problem *why, long *done);

/* Largest residual of the equilibria of all variants read so far, of states that had an answer. */
double variants_residual(const variants *v);

/* Variants that were read, a row each. */
typedef struct variants_rows {
    long first, count; /* asked for: `count` of them, from this one on */
    long done;         /* finished, from the first on */
    double *x;         /* done x dials, SI */
    double *value;     /* done x gauges, SI; NAN where there is no such figure */
    problem *why;      /* done: why some state has no answer; OK: all have */
} variants_rows;

/* The rows of a share of `all`, counted from 1; of 0 shares all. Shares put together are all. */
void variants_share(long all, int share, int shares, variants_rows *out);

/* Reads the rows of a share. Their memory is the arena's. */
BARONET_CHECKED baronet_status variants_read_share(variants *v, variants_values *values,
                                                   const void *context, variants_rows *rows,
                                                   arena *a);

#endif
