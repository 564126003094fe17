/* forcing.h: what an event prescribes in time: accelerations, the weather, the road. Between two
   kinks each is one smooth function, which goes on beyond the second: a step of an integrator may
   pass there before it comes back.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_FORCING_H
#define STUDIES_FORCING_H

#include "base/memory.h"
#include "baronet/status.h"

/* A value that goes to another in a straight line. */
/* What is to take less than this happens at once, and a bump that is over within it is none: no
   step of an integration could follow it. */
#define FORCING_LEAST 1e-6 /* s */

typedef struct ramp {
    double start, from, slope;
    double end, target; /* end: infinity where it stands */
} ramp;

double ramp_at(const ramp *r, double t);

/* A haversine under one wheel: H/2 (1 - cos(2 pi (t - start)/over)). */
typedef struct bump {
    int corner;
    double height, start, over; /* m, s, s */
} bump;

typedef struct forcing {
    ramp lateral, braking; /* m/s2 */
    ramp temperature;      /* K, of the surroundings */
    int corners;
    double *base; /* m, corners: the road's height, bumps not counted */
    int bumps, room;
    bump *bump; /* those under way */
} forcing;

/* Room for so many bumps at a time. All memory is the arena's. */
BARONET_CHECKED baronet_status forcing_make(forcing *out, arena *a, int corners, int bumps,
                                            double temperature);

/* From now on to a target, at once where `over` is 0. */
void forcing_ramp(ramp *r, double t, double target, double over);
void forcing_bump(forcing *f, bump one);

/* The next kink after a time, infinity where there is none. */
double forcing_next(const forcing *f, double after);
/* Ends what has come to its end by now. */
void forcing_pass(forcing *f, double t);

/* Heights (m) and speeds (m/s) of the road under the corners. */
void forcing_road(const forcing *f, double t, double *height, double *speed);

#endif
