/* random.h: netlists drawn from a seed, as text: every statement of the grammar, uneven in
   everything, in units mixed at random. The same seed gives the same netlist on every machine.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_RANDOM_H
#define TESTS_RANDOM_H

#include "base/text.h"

typedef enum random_mood {
    RANDOM_SENSIBLE, /* what somebody might build; nearly all of them stand */
    RANDOM_ANY /* any: some odd in a value or two, some absurd, some hardly held by anything */
} random_mood;

enum { RANDOM_WORDS = 96 };

typedef struct random_netlist {
    text_buffer text;             /* to be freed */
    char change[2][RANDOM_WORDS]; /* what `vary`, `size` and `spread` may change, with bounds */
    char tolerance[RANDOM_WORDS]; /* the same with a tolerance */
    char figure[2][RANDOM_WORDS]; /* figures in words */
    char target[RANDOM_WORDS];    /* one with what is wanted of it */
} random_netlist;

random_netlist random_draw(unsigned long long seed, random_mood mood);

#endif
