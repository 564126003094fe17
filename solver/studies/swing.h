/* swing.h: how closely the resistances of paths agree with the swings that they lead to, for one
   swing or the worst of many.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_SWING_H
#define STUDIES_SWING_H

#include <stdbool.h>

typedef struct swing_account {
    int iterations;    /* rounds until the conductances agreed; most of one swing */
    double residual;   /* largest relative change of a conductance in the last */
    double linear;     /* largest residual of a linear solve */
    double condition;  /* largest of a linear system; 0 where none was looked at */
    bool unsettled;    /* some conductances do not agree */
    bool below_vacuum; /* a pressure would swing below vacuum: beyond what the laws hold for */
} swing_account;

/* Takes one more into the worst of all, which begins as zeros. */
void swing_join(swing_account *all, const swing_account *one);

#endif
