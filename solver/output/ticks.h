/* ticks.h: round numbers along an axis, with their labels.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_TICKS_H
#define OUTPUT_TICKS_H

#include <stdbool.h>

enum { TICKS_MOST = 48, TICK_LABEL = 32 };

typedef struct tick {
    double at;
    char label[TICK_LABEL]; /* "" of those between the labelled ones of a logarithmic axis */
} tick;

typedef struct ticks {
    double low, high; /* of the axis */
    int count;
    tick tick[TICKS_MOST];
} ticks;

/* About `wanted` multiples of 1, 2 or 5 times a power of ten. The axis is as long as given, or
   `widened` to the ticks around it; one of no length worth showing is made longer about its middle.
   What is not finite gives an axis from 0 to 1. */
ticks ticks_linear(double low, double high, int wanted, bool widened);

/* 1, 2 and 5 times each power of ten from low > 0 to high: all labelled over two powers, else the
   powers alone. */
ticks ticks_logarithmic(double low, double high);

/* Where a value lies along the axis: 0 at its low end, 1 at its high one. */
double ticks_part(const ticks *t, bool logarithmic, double value);

#endif
