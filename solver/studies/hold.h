/* hold.h: how stiffly a body is held where a motion stands: rates of heave and roll before any air
   has moved, and once all paths that stand open have evened out.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_HOLD_H
#define STUDIES_HOLD_H

#include "studies/dynamics.h"

typedef enum hold_level { HOLD_INSTANT, HOLD_SETTLED, HOLD_LEVELS } hold_level;

typedef struct hold {
    double heave[HOLD_LEVELS]; /* N/m; NAN where there is no such motion */
    double roll[HOLD_LEVELS];  /* N m/rad about the centre of gravity */
} hold;

/* By the rule of rates (docs/theory.md), at a state that is seen: valves as they are in it, stuck
   ones as `stuck` says, a hole that is open or a supply holding the pressure of what is joined to
   it. A slack spring holds nothing. Work space is the arena's. OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status hold_find(hold *out, const dynamics *m, int stucks,
                                         const dynamics_stuck *stuck, arena *a);

#endif
