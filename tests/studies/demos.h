/* demos.h: the demonstration netlists, for what has to hold of every vehicle in every valve state.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_STUDIES_DEMOS_H
#define TESTS_STUDIES_DEMOS_H

#include "studies/rig.h"

/* Paths of the netlists; NULL ends the list. */
extern const char *const demos[];

/* Calls `check` with each demonstration solved in each of its states. A check is
   called at least once a file. */
void demos_each(void (*check)(rig *r, const char *state));

#endif
