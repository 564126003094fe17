/* truth.h: a spring, a path and a tank in time by the full laws, for a sinusoidal height: mass and
   energy of each volume, a hose's air with its inertia between its two halves. Nothing of the
   library is in it but the flow laws.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_STUDIES_TRUTH_H
#define TESTS_STUDIES_TRUTH_H

#include "model/law.h"

typedef struct truth {
    double A, spring, hose, tank; /* m2, m3; hose 0 for a bare restrictor */
    double temperature;           /* K */
    double gamma;                 /* 1: isothermal */
    law law;                      /* of the whole path */
    double inertance;             /* 1/m, of each half of the hose */
    double amplitude, omega;      /* m, rad/s */
} truth;

/* First harmonic of the piston's force over the amplitude (N/m), from a pressure p (Pa) at rest, by
   Runge and Kutta's method: after some cycles, of one of them; in phase with the compression, and a
   quarter period before it. */
void truth_force(const truth *t, double p, double force[2]);

#endif
