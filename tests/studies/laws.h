/* laws.h: what holds of every standing of every vehicle, checked from the answer's own numbers and
   the model, by none of the library's studies.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_STUDIES_LAWS_H
#define TESTS_STUDIES_LAWS_H

#include "studies/rig.h"

/* Forces and moments of body, wheels and bench masses are in balance to 1e-9 of the load (weights
   are the charge's and the case's; with a lean the body's weight acts m g h phi more); each corner
   gives what its springs, coil, bars and stops do; the body is one plane. */
void laws_of_forces(const rig *r, const state_standing *s, const load_case *with);

/* Nodes joined by paths that `open` holds open (with `bypasses`, by leaks too) share a pressure and
   a group, others do not share a group. Found by a flood of the tests' own. */
void laws_of_groups(const rig *r, const state_standing *s, const bool *open, bool bypasses);

/* Each set of joined nodes without a held pressure in it has in `after` the air that its nodes had
   in `before`, to 1e-12. */
void laws_of_air(const rig *r, const state_standing *before, const state_standing *after,
                 const bool *open, bool bypasses);

/* Fills `set` (nodes) with a number for each set of joined nodes; returns how many there are. */
int laws_flood(const rig *r, const bool *open, bool bypasses, int *set);

#endif
