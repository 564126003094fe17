/* spread.h: what part tolerances do to figures: many vehicles drawn at random, each with its own
   parts, and the worst that the tolerances allow.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_SPREAD_H
#define STUDIES_SPREAD_H

#include "studies/variants.h"

typedef struct spread_question {
    variants_question all;
    const requirement *wish; /* gauges: with a bound, how many vehicles meet it */
    long runs;               /* vehicles that are drawn */
    unsigned long long seed;
    int share, shares; /* runs of one share only, counted from 1, and nothing else; 0: all */
} spread_question;

/* A number with the bounds that it lies in with 95 % confidence, as few vehicles tell only so much.
 */
typedef struct spread_bounds {
    double value, from, to;
} spread_bounds;

typedef struct spread_figure {
    double now;                      /* of the netlist as it is */
    long count;                      /* vehicles in which the figure exists */
    double mean, deviation;          /* standard deviation */
    spread_bounds low, middle, high; /* below them are 5, 50 and 95 % of the vehicles */
    double least, most;              /* of all vehicles drawn */
    double worst_low, worst_high;    /* of the corners: every value at an end of its tolerance */
    bool bounded;                    /* the wish has a bound */
    spread_bounds met;               /* part of the vehicles that meet it, 0 to 1 */
} spread_figure;

typedef struct spread_answer {
    int dials, gauges;
    variants_rows run;     /* of the share */
    long failed;           /* runs without an answer in some state */
    double residual;       /* largest of the equilibria of all variants that were looked at */
    spread_figure *figure; /* gauges */
    double *part;          /* gauges x dials: part of the variance that comes from it, with the sign
                              in which the figure follows; NAN where it does not vary */
    long corners;
    bool every_corner; /* all were looked at; else those that the signs of `part` point to */
} spread_answer;

/* Every value is evenly likely anywhere within its tolerance, and knows nothing of the others.
   Memory is the arena's. */
BARONET_CHECKED baronet_status spread_solve(spread_answer *out, arena *a,
                                            const spread_question *question,
                                            const baronet_allocator *allocator);

#endif
