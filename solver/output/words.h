/* words.h: what a status, a problem or a caution is in a sentence for people.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_WORDS_H
#define OUTPUT_WORDS_H

#include "output/page.h"
#include "studies/caution.h"

/* One sentence without a full stop, such as "`left-air` ran off its profile: 8.2 mm below its
   lowest row". */
const char *words_problem(page *p, const model *m, const problem *why);

/* Adds all cautions and notes of a study to its page. */
void words_cautions(page *p, const charge *c, const states_answer *states);

/* What nobody may forget: the last caution of every study's page. */
void words_safety(page *p);

/* How well a standing was solved, and a caution where that may show in its figures. */
void words_balance(page *p, const balance_account *account, double condition);

/* How well the standings of a level were solved (LEVEL_NONE: all), the worst of all states that
   have an answer, and a caution where that may show. `beside` tells of others that the page is
   about too, such as variants; a condition of nought in it was not looked at, and the note then
   tells that of the netlist as it is. */
void words_equilibria(page *p, const states_answer *states, level at, balance_worst beside);

/* The condition of a state's equilibrium. */
double words_condition(page *p, rates *r);

/* A caution where linear systems of this condition lose more digits than a reader may miss. */
void words_rounding(page *p, double condition);

/* A list such as "a, b and c" of names given one by one: adds the next to what is there so far. */
const char *words_join(page *p, const char *list, const char *next, bool last);

/* "opens left-gate and cross" of a position of the valves, or "every solenoid shut". */
const char *words_position(page *p, const model *m, const bool *open);

/* The same of a state, with whether it is the de-energised one and the one that was charged. */
const char *words_state(page *p, const model *m, const states_entry *e);

#endif
