/* hint.h: what helps beside a word that fits nothing: the closest of the words that would fit, and
   a list of them.
   SPDX-License-Identifier: MIT */
#ifndef CLI_HINT_H
#define CLI_HINT_H

#include "base/text.h"

typedef struct hint {
    const char *wrong;
    char closest[64]; /* "": nothing is close; longer words are close to nothing */
    size_t distance;  /* letters in which the closest may differ at most */
    text_buffer list;
    size_t column; /* of the list's last line */
    int listed;    /* words offered */
} hint;

/* Begins with the word that is wrong and the list's title, such as "states of this netlist:". */
hint hint_begin(const char *wrong, const char *title);

/* A word that would fit. */
void hint_offer(hint *h, const char *fitting);

/* Says it on standard error, a line or more, and ends it. */
void hint_say(hint *h);

#endif
