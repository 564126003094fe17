/* problem.h: why a study has no answer: a status, and what it is about as data. Words are made by
   output/. For each status `item` is
     OFF_PROFILE, SLACK, UNDETERMINED, CONTRADICTION   a spring, or -1 with a corner in `other`
     WHEEL_LIFTS                                       a corner
     NEUTRAL, UNSTABLE                                 a body_motion
     FLAT                                              a spring
     TWO_SOURCES                                       a node, and another in `other`
     NO_AIR                                            a node
   and `amount` how far (m off the profile, Pa below ambient, N of a missing load), `wanted` what
   stands against it in a contradiction.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_PROBLEM_H
#define STUDIES_PROBLEM_H

#include "baronet/status.h"

typedef enum body_motion { MOTION_HEAVE, MOTION_ROLL, MOTION_PITCH, BODY_MOTIONS } body_motion;

typedef struct problem {
    baronet_status status;
    int item;
    int other;
    double amount;
    double wanted;
} problem;

#endif
