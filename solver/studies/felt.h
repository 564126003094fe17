/* felt.h: rates as a driver feels them: each at its motion's own ride frequency and a stated swing,
   between instant and settled.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_FELT_H
#define STUDIES_FELT_H

#include "studies/rates.h"

/* Swing of the wheel that moves most where none is stated. */
#define FELT_AMPLITUDE 0.01 /* m */

/* Fills LEVEL_RIDE of a solved answer: the storage part of K at the frequency that the motion then
   has, tyres in series. Heave, roll and pitch have their own frequency; a corner's wheel rate and
   one-wheel rate that of the corner; warps (in their settled shapes) and the user's motions that of
   the corners' sprung masses moving so; the stiffness matrix that of heave (on a bench: of the
   first mass). A motion that nothing holds has no figure; one that would not be held once its air
   had settled has one where its air is too slow for that. Swings that do not become consistent are
   said in the account, not refused, and so are frequencies that are not found. */
BARONET_CHECKED baronet_status felt_solve(rates *r, double amplitude,
                                          const baronet_allocator *allocator);

#endif
