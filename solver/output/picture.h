/* picture.h: a picture of curves as data: its axes, its curves in SI, its marks. Renderers draw it
   in the reader's units, with dots of braille characters (chart.h) or as SVG (chart_svg.h).
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_PICTURE_H
#define OUTPUT_PICTURE_H

#include "output/page.h"
#include "output/ticks.h"

/* As many curves as can be told apart in one picture. */
enum { PICTURE_CURVES = 7 };

typedef struct picture_axis {
    const char *label; /* what is along it, such as "wheel rate"; the unit is added */
    baronet_dimension dimension;
    bool logarithmic; /* values are positive then */
} picture_axis;

typedef struct picture_curve {
    const char *name; /* where curves coincide, the names of all of them */
    int points;
    const double *x, *y; /* points, SI; gaps where either is not finite */
    struct picture_curve *next;
} picture_curve;

/* A line across the picture at some x, with a word. */
typedef struct picture_mark {
    double x; /* SI */
    const char *word;
    struct picture_mark *next;
} picture_mark;

struct picture {
    page *owner;
    const char *title;
    picture_axis x, y;
    bool asked; /* drawn on text pages too, which show pictures only where asked for */
    int curves;
    picture_curve *first, *last;
    picture_mark *first_mark, *last_mark;
};

/* A picture at the end of the page; strings are copied. NULL for want of memory, which the
   functions below take. */
picture *page_picture(page *p, const char *title, picture_axis x, picture_axis y);

/* Copies a curve in. One that coincides with one that is there only adds its name to it. Where the
   picture is full, another of the same title is begun, and returned for the curves to come. */
picture *picture_add(picture *c, const char *name, int points, const double *x, const double *y);

void picture_mark_at(picture *c, double x, const char *word);
/* Shows it on text pages too. */
void picture_ask(picture *c);

/* Whether some curve has more than one point, without which there is nothing to draw. */
bool picture_has_line(const picture *c);

/* Whether what is asked for, such as `left-air.height` or a quantity alone, means this quantity of
   this part; nothing asked for (NULL) means every one. */
bool picture_is_asked(const char *asked, const char *subject, const char *quantity);

/* The axis in the reader's units: as long as the curves, with about `wanted` ticks; the upright one
   is widened to its ticks. */
ticks picture_across(const picture *c, int wanted);
ticks picture_up(const picture *c, int wanted);

/* "label, unit". */
void picture_axis_words(const page *p, const picture_axis *axis, text_buffer *out);

#endif
