/* chart.h: one curve drawn in a terminal with dots of braille characters, 76 columns wide.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_CHART_H
#define OUTPUT_CHART_H

#include "output/page.h"

typedef struct chart_curve {
    const char *title;
    baronet_dimension across, up; /* dimensions of x and y, shown in the reader's units */
    int points;
    const double *x, *y; /* points, x rising, SI; gaps where y is NAN */
} chart_curve;

/* Adds the picture to the page: a title with the units, rows of dots with the scale at the left,
   and the scale of x below. Nothing where there are fewer than two points. */
void chart_add(page *p, const chart_curve *c);

#endif
