/* drawing_svg.h: a plan of the plumbing as an <svg> element: alone, or inside a page of HTML.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_DRAWING_SVG_H
#define OUTPUT_DRAWING_SVG_H

#include "output/plan.h"
#include "output/svg.h"

/* Adds the drawing below a parent, with its title, the word front and a legend; `*width` and
   `*height` (may be NULL) receive its size in units. The classes of svg_style tell how it looks. */
svg drawing_svg(svg in, const plan *pl, double *width, double *height);

#endif
