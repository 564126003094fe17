/* road.h: how the body answers to the road at one frequency: body, wheels, tyres, dampers and air
   together, with the air's dynamic stiffness.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_ROAD_H
#define STUDIES_ROAD_H

#include "studies/airnet.h"

typedef struct road road;

/* The vehicle of a solved state. All memory is taken here. */
BARONET_CHECKED baronet_status road_create(road **out, rates *r,
                                           const baronet_allocator *allocator);
void road_destroy(road *w);

/* Movement of the body along a motion per movement of the road in the same motion (complex pair),
   with the stiffness K (corners x corners complex pairs, from airnet_matrix) at a frequency (Hz).
   The road moves all wheels by the motion's shape at once. Wheels on a tyre move by themselves,
   with the unsprung mass that is given; others follow the road. SINGULAR at an undamped resonance.
 */
BARONET_CHECKED baronet_status road_answer(road *w, body_motion k, const double *K,
                                           double frequency, double answer[2]);

#endif
