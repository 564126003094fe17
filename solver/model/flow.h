/* flow.h: mass flow through a path by its law, and how it changes with both pressures.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_FLOW_H
#define MODEL_FLOW_H

#include "model/law.h"

/* Flow from the first side to the second, negative for the other way. */
typedef struct flow {
    double mass;      /* kg/s */
    double by_first;  /* kg/(s Pa): change with the first pressure, never negative */
    double by_second; /* kg/(s Pa): change with the second, never positive */
    bool choked;
} flow;

/* One side of a path. */
typedef struct flow_side {
    double pressure;    /* Pa absolute; positive, the lower one of the two may be 0 */
    double temperature; /* K */
} flow_side;

/* Every law is odd in direction, monotonic and continuous, takes the temperature of the upstream
   side, and has a finite slope at no flow: within FLOW_LINEAR of the difference at which it chokes,
   a law whose slope there is infinite is replaced so that value and slope meet at the edge of the
   zone, and nothing changes outside it. A hose is laminar at its small end and needs no zone. */
flow flow_at(const law *l, flow_side first, flow_side second);

/* The same for one of many that lie near each other: the search for the flow in a hose starts from
   a Reynolds number, 0 for one that is not known, and leaves its own there. The answers are the
   same to rounding. */
flow flow_at_near(const law *l, flow_side first, flow_side second, double *reynolds);

/* Width of the linear zone, as a part of the difference at which the law chokes: for a bore 0.38 Pa
   at 8 bar. Wider would show in figures (see docs/theory.md); narrower makes the slope at no flow,
   which goes with 1/sqrt(FLOW_LINEAR), harder on whoever solves with it. */
#define FLOW_LINEAR 1e-6

/* First harmonic of the flow under a sinusoidal difference of that amplitude (Pa) about equal
   pressures p (Pa absolute), over the amplitude: kg/(s Pa). For dp = b q|q| it is 1.113/sqrt(b dP).
   With no amplitude it is the slope at no flow. */
double flow_conductance(const law *l, double p, double T, double amplitude);

/* The same about two pressures that differ, as across a shut valve that passes a little: the first
   harmonic of the change of the flow. With equal pressures it is flow_conductance. */
double flow_conductance_between(const law *l, flow_side first, flow_side second, double amplitude);

/* Velocity heads that a hose loses at its sharp entry and its exit. */
#define FLOW_HOSE_HEADS 1.5

/* The law of a part of a hose: `share` of its length and of its heads. Parts in a row, with the air
   between them, pass what the whole hose passes. */
law flow_hose_part(const law *hose, double share);

#endif
