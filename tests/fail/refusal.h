/* refusal.h: want of memory at a chosen request of this process, that of other libraries included.
   At each request that is tried the process forks; the child is refused it and lives on to judge
   what came of that, while the parent waits and gets its memory. So each request of a long piece of
   work is tried without doing the work again for each.
   SPDX-License-Identifier: MIT */
#ifndef FAIL_REFUSAL_H
#define FAIL_REFUSAL_H

#include <stdbool.h>

/* `stride` where a request is tried the first time that the calls which led to it are met: all of
   them, in this piece of work; or the few innermost, in all work so far. */
enum { REFUSAL_WAYS = -1, REFUSAL_PLACES = -2 };

typedef struct refusal {
    unsigned long long seed;
    bool speaks;   /* what is tried may say something on standard error */
    long stride;   /* one request in so many is tried, by chance; 1: each; or as above */
    long requests; /* so far */
    long let_be;   /* those that are not tried: see refusal.c */
    long tried;    /* children; two for each request that is tried */
    long wrong;    /* children that did not end well */
} refusal;

/* From here to refusal_end requests are counted and tried. In one thread only. */
void refusal_begin(refusal *r, const char *what);
void refusal_end(void);

/* The child in which a request has been refused. It must end in refusal_judge. */
bool refusal_met(void);

/* Says what went wrong, and at which request; the child's end. NULL: nothing did. */
_Noreturn void refusal_judge(const char *wrong);

/* Blocks of the whole process that have not been given back. */
long refusal_live(void);

#endif
