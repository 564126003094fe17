/* load_section.h: how load moves between wheels, on the page: bends, braking, a diagonal obstacle.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_LOAD_SECTION_H
#define OUTPUT_LOAD_SECTION_H

#include "output/page.h"
#include "studies/lateral.h"

/* One plain sentence on what a state does to the balance, against a base state (NULL where it is
   the base itself): who holds the roll couple. NULL where there is nothing to say. */
const char *load_balance_words(page *p, const model *m, const char *state,
                               const lateral_answer *own, const char *base_name,
                               const lateral_answer *base);

/* The row of 0.3 g, by which states are compared. */
enum { LOAD_COMPARED = 2 };

/* "RR 0.85 g", or "> 0.72 g": how far it was looked for. */
const char *load_limit_words(page *p, const model *m, const lateral_limit *limit, bool height);

/* The earlier of both sides of a bend. */
const lateral_limit *load_first_lift(const lateral_answer *answer, lateral_air air);

/* Tables and sentences of one state. */
void load_section(page *p, const model *m, const char *state, const lateral_answer *answer);

/* What all of it rests on, once a page. */
void load_notes(page *p, const lateral_answer *answer);

#endif
