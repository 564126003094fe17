/* vary.h: figures against one value of a netlist, or several in a grid, and how strongly each
   follows each where the netlist stands.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_VARY_H
#define STUDIES_VARY_H

#include "studies/variants.h"

typedef struct vary_question {
    variants_question all;
    int points;        /* of each dial's range; a list has its own */
    bool by_ratio;     /* steps of equal ratio instead of equal difference */
    int share, shares; /* rows of one share only, counted from 1; 0: all */
} vary_question;

typedef struct vary_answer {
    int dials, gauges;
    long all;            /* rows of the whole grid; the last dial changes first */
    variants_rows row;   /* of the share */
    double *now;         /* gauges: of the netlist as it is */
    double residual;     /* largest of the equilibria of all variants that were looked at */
    double *sensitivity; /* gauges x dials: per cent of the figure a per cent of the value, there;
                            NAN where either is zero or the value a temperature */
} vary_answer;

/* Most rows of a grid. */
enum { VARY_ROWS_MAX = 1000000 };

/* Memory is the arena's. TOO_MANY beyond the limit. */
BARONET_CHECKED baronet_status vary_solve(vary_answer *out, arena *a, const vary_question *question,
                                          const baronet_allocator *allocator);

#endif
