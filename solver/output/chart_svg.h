/* chart_svg.h: a picture of curves as an <svg> element: alone, or inside a page of HTML.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_CHART_SVG_H
#define OUTPUT_CHART_SVG_H

#include "output/picture.h"
#include "output/svg.h"

/* Units that every chart is wide; words are 12 to 14 units high, so that they can be read where
   320 pixels are there for it. */
#define CHART_SVG_WIDTH 420.0

/* Adds the chart below a parent, each curve with its own colour, dashes and spots, its name at its
   end; `*height` (may be NULL) receives its height. The page gives the units. The classes of
   svg_style tell how it looks. An element of NULL where the picture has no curve of two points. */
svg chart_svg(svg in, const page *p, const picture *c, double *height);

#endif
