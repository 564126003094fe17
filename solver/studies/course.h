/* course.h: motions by name: heave, roll, pitch, warp, one-wheel:CORNER, and the user's own, each
   as the wheel travels that make it up.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_COURSE_H
#define STUDIES_COURSE_H

#include "studies/rates.h"

typedef struct course {
    const char *name;
    double *shape; /* corners, bump positive; the largest travel is one (of the user's: as given) */
} course;

typedef struct course_list {
    int count;
    course *course;
} course_list;

/* All motions of a solved state, in this order; where there are several warps they are `warp:1`,
   ..., softest first. A bench mass is a one-wheel motion. Memory is the arena's. */
BARONET_CHECKED baronet_status course_all(course_list *out, arena *a, rates *r);

/* The one of a name, NULL where there is none. */
const course *course_find(const course_list *list, const char *name);

#endif
