/* solved.h: what a page has to say of how well the equilibria of a netlist were solved.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_OUTPUT_SOLVED_H
#define TESTS_OUTPUT_SOLVED_H

#include "model/figure.h"

/* Fails the test unless the page `got` has the note with the worst residual and condition of a
   file's states in the case `with` (NULL: the base case), each solved by itself: of the standing of
   a level, or (LEVEL_NONE) of both that a state may have. `beside`: a residual of others; `words`
   follow. */
void solved_expect(const char *got, const char *path, const char *with, level at, double beside,
                   const char *words);

/* The same of what `ride` says of each state, for the usual swing and road. */
void solved_expect_ride(const char *got, const char *path);

#endif
