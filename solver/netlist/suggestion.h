/* suggestion.h: a hint for a wrong word: the closest of the words that would fit, and a list of
   them.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_SUGGESTION_H
#define NETLIST_SUGGESTION_H

#include "netlist/reading.h"

#define SUGGESTION_WORD 32 /* bytes; longer words are close to nothing */

typedef struct suggestion {
    reading *reading;
    char wrong[SUGGESTION_WORD]; /* in small letters */
    size_t wrong_length;         /* 0: nothing is close */
    text closest;
    size_t distance;
    text_buffer list;
    size_t line;   /* columns of the list's last line */
    size_t listed; /* words in the list */
    bool spare;    /* there were more */
} suggestion;

/* Begins with the word that is wrong and the list's title, such as "a tank takes:". Does nothing,
   all along, where the reading does not talk. */
suggestion suggestion_begin(reading *r, text wrong, const char *title);

/* A word that would fit. */
void suggestion_offer(suggestion *s, text fitting);

/* A word that is only compared, not listed. */
void suggestion_compare(suggestion *s, text fitting);

/* False where more words would change nothing: whoever offers a great many may then stop. */
bool suggestion_wants_more(const suggestion *s);

/* The hint, the arena's; NULL where there is none. Ends the suggestion. */
const char *suggestion_end(suggestion *s);

#endif
