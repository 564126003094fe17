/* friction.h: the Darcy friction factor of a round pipe, from laminar to rough.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_FRICTION_H
#define MODEL_FRICTION_H

typedef struct friction {
    double factor; /* Darcy, four times Fanning's */
    double slope;  /* d ln(factor)/d ln(Reynolds number): -1 in laminar flow */
} friction;

/* Churchill, Chemical Engineering 84 no. 24 (1977) 91, in its Darcy form, for a positive Reynolds
   number of the bore and a roughness in parts of the bore:
       f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12)
       A = {2.457 ln[1/((7/Re)^0.9 + 0.27 roughness)]}^16,  B = (37530/Re)^16. */
friction friction_at(double reynolds, double roughness);

/* Up to here Churchill's sum is 64/Re to the last bit of a double: the other term has a part of
   5e-20 in it. Code that knows a closed form for laminar flow may take it. */
#define FRICTION_LAMINAR 700.0

#endif
