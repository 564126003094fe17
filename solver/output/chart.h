/* chart.h: a picture drawn in a terminal with dots of braille characters, at most 80 columns wide.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_CHART_H
#define OUTPUT_CHART_H

#include "output/picture.h"

/* Writes a title with the unit, rows of dots with the scale at the left and the names of several
   curves at the right, the scale of x below, and the marks in words. Nothing where there is no
   curve of two points. */
void chart_write(const page *p, const picture *c, text_buffer *out);

#endif
