/* search.h: the lowest place of a function of a few numbers between bounds, through NLopt (S. G.
   Johnson, The NLopt nonlinear-optimization package): first everywhere, by dividing the box
   (Gablonsky and Kelley, J. Global Optim. 21, 2001), then around what was found, by quadratic
   models (Powell, DAMTP 2009/NA06) and by simplices (Nelder and Mead, Computer J. 7, 1965).
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_SEARCH_H
#define NUMERIC_SEARCH_H

#include <stdbool.h>

#include "baronet/status.h"

/* The function at x, each coordinate within 0 and 1. Lower is better; what is not finite is never
   taken. Sets `*stop` where the search is to end with what it has. */
typedef double search_function(void *context, const double *x, bool *stop);

typedef struct search_question {
    int dimensions; /* at least 1 */
    search_function *function;
    void *context;
    long everywhere, around; /* most evaluations of the two stages */
    double tolerance;        /* of each coordinate, around the lowest place */
} search_question;

/* Starts from `x` and leaves the best place there, with its value in `*lowest`. The same for the
   same function always. OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status search_lowest(const search_question *question, double *x,
                                             double *lowest);

#endif
