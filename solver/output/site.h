/* site.h: the rows and columns that the parts of a plan stand in: through the springs' places on
   the vehicle, with more between them, before the front axle and behind the rear one.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_SITE_H
#define OUTPUT_SITE_H

#include "model/model.h"
#include "output/place.h"

/* Steps from one column or row to the next, at least (tall: where parts have more words); half of a
 * wheel's size. */
enum { SITE_COLUMN = 19, SITE_ROW = 14, SITE_ROW_TALL = 17, SITE_WHEEL_X = 2, SITE_WHEEL_Y = 4 };

typedef struct site {
    int columns, rows;
    int pitch;        /* of rows */
    int *x, *y;       /* columns, rows: steps from the left and from the top */
    bool *taken;      /* rows x columns: a wheel is there */
    spot *wheel;      /* wheels */
    int *spring_slot; /* springs; -1 on a bench: anywhere will do */
    int width, height;
} site;

/* A site with room for so many parts, its rows at least `pitch` apart. Memory is the arena's.
 * OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status site_make(site *out, arena *a, const model *m, int parts, int pitch);

#endif
