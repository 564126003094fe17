/* response.h: dynamic stiffness and the body's answer to the road, against frequency.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_RESPONSE_H
#define STUDIES_RESPONSE_H

#include "studies/airnet.h"
#include "studies/course.h"
#include "studies/resonance.h"

#define RESPONSE_FROM 0.01 /* Hz */
#define RESPONSE_TO   50.0 /* Hz */
enum { RESPONSE_POINTS = 75, RESPONSE_POINTS_MOST = 20000 };

typedef struct response_range {
    double from, to;  /* Hz */
    int points;       /* equally spaced in the logarithm, ends included */
    double amplitude; /* m at the wheel that moves most */
} response_range;

typedef struct response_row {
    double frequency; /* Hz */
    double storage;   /* N/m a wheel: real part of v'Kv/v'v */
    double loss;      /* N/m a wheel: imaginary part */
    double road[2];   /* body's movement per movement of the road, complex; NAN for motions that are
                         not the body's own */
} response_row;

/* One motion over all frequencies. */
typedef struct response_curve {
    const course *course;
    response_row *row; /* points */
    double settled,
        instant;           /* N/m a wheel: what it should tend to, but for leaks and warming air */
    double half_frequency; /* Hz where the storage passes half-way between them; NAN for none */
    double loss_frequency; /* Hz of the largest loss within the range; NAN where nothing is lost */
    double soft_frequency; /* Hz where the storage, having fallen clearly below settled, is least:
                              the air column's own resonance; NAN for none */
    double road_frequency; /* Hz of the body's largest answer; NAN for none */
    swing_account account; /* the worst of its points */
} response_curve;

typedef struct response_answer {
    course_list courses;
    int curves;
    response_curve *curve;
    resonance_answer resonances; /* up to the highest frequency */
} response_answer;

/* The curves of a solved state: of one motion by name, or of all where it is NULL. Memory is the
   arena's. NO_SUCH_NAME; TOO_MANY points. */
BARONET_CHECKED baronet_status response_solve(response_answer *out, arena *a, rates *r,
                                              const char *motion_name, response_range range,
                                              const baronet_allocator *allocator);

#endif
