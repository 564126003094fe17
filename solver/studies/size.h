/* size.h: values of a netlist, between bounds or from lists, at which figures are what is wanted of
   them, or come as near to it as they can.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_SIZE_H
#define STUDIES_SIZE_H

#include "studies/variants.h"

typedef struct size_question {
    variants_question all;
    const requirement *wish; /* gauges: what is wanted of each */
} size_question;

/* How a wish came out. */
typedef enum size_verdict {
    SIZE_MET,
    SIZE_BINDS, /* met, and no more than that: it keeps others from doing better */
    SIZE_MISSED,
    SIZE_BEST,  /* as high or as low as it can be with the others met */
    SIZE_ABSENT /* the figure does not exist there */
} size_verdict;

typedef struct size_answer {
    int dials, gauges;
    double *x;             /* dials, SI: what was found, in words that a netlist may hold */
    double *now;           /* gauges, SI: of the netlist as it is */
    double *value;         /* gauges, SI: of what was found */
    size_verdict *verdict; /* gauges */
    double *alone;         /* gauges, SI: where missed, the nearest that it can come with no regard
                              to the others; else NAN */
    bool met;              /* nothing is missed or absent */
    bool stopped;          /* the search was ended early */
    int digits;            /* significant ones of the values */
    long looked_at;        /* variants */
    double residual;       /* largest of the equilibria of all variants that were looked at */
} size_answer;

/* A value that is wanted equal is met within this part of it, and a limit binds within it. */
#define SIZE_NEAR 5e-3
/* Most combinations of listed values: alone, and where others are searched for each of them. */
enum { SIZE_LISTED_MAX = 100000, SIZE_SEARCHES_MAX = 300 };

/* Of all values that do, those closest to what the netlist has. Memory is the arena's. TOO_MANY
   beyond the limits. */
BARONET_CHECKED baronet_status size_solve(size_answer *out, arena *a, const size_question *question,
                                          const baronet_allocator *allocator);

#endif
