/* fleet.h: twins that several tests look at (all invented): left and right, front and rear, never
   alike.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_STUDIES_FLEET_H
#define TESTS_STUDIES_FLEET_H

#include "studies/twin.h"

/* Four corners, bars, a coil on one; tanks, a cross-link that leaks. */
extern const twin fleet_van;
/* A beam axle behind, whose springs feel both wheels; coils in front, tyres all round. */
extern const twin fleet_pickup;
/* Six wheels: load tables in front, two springs on one corner, a coil alone on another. */
extern const twin fleet_six;
/* One axle on load tables whose air column is not their area. */
extern const twin fleet_trailer;
/* One corner. */
extern const twin fleet_quarter;
/* Three masses on a bench, two of them joined. */
extern const twin fleet_bench;

/* All of them. */
enum { FLEET = 6 };
extern const twin *const fleet[FLEET];

/* Masses (kg) that load a twin unevenly, enough to move it by centimetres and to put the pickup on
   a stop; number `k` of FLEET_CASES, the first of them no mass at all. */
enum { FLEET_CASES = 4 };
load_case fleet_case(const twin *t, int k, double *mass);

/* Checks each of them in each of its states; `r` has the answer. */
void fleet_each(void (*check)(rig *r, const char *state));

/* Checks each of them in each of its states with each of its cases; nothing is asked before. */
void fleet_each_case(void (*check)(const twin *t, rig *r, const twin_state *state,
                                   const load_case *with));

#endif
