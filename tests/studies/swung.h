/* swung.h: the paths of a solved state, swung by each of its motions.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_STUDIES_SWUNG_H
#define TESTS_STUDIES_SWUNG_H

#include "studies/paths.h"
#include "studies/rig.h"

typedef struct swung {
    course_list courses;
    path_swing *swing; /* edges */
    swing_account account;
} swung;

/* By an amplitude (m) at a frequency (Hz), consistently or the test fails; lives as long as the
   rig. */
swung swung_by(rig *r, double amplitude, double frequency);

#endif
