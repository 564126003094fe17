/* airnet.h: the air of a state as a linear network about its standing: pressures that answer to
   small movements of the springs at one frequency, (s C(s) + Y(s)) dp = s rho B dx,    K(s) = A
   dp/dx - (p - p_amb) dA/dh, with capacities C = V/(n R T), and paths of conductance G in series
   with the inertance of their air. A hose is a row of T-shaped segments, half the resistance and
   inertance on each side of the segment's air, so that none of it stands on a vessel's own node.
   Shut valves pass their bypass: where the pressures at its ends differ, K is the leak's about what
   flows on the mean, and need be neither symmetric nor passive.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_AIRNET_H
#define STUDIES_AIRNET_H

#include "studies/rates.h"

/* A piece of a path between two unknowns; -1 is a node whose pressure is held. */
typedef struct airnet_link {
    int edge;
    int from, to;
    double share;     /* of the edge's resistance */
    double inertance; /* 1/m: dq/dt = dp / inertance, q in kg/s */
} airnet_link;

typedef struct airnet airnet;

/* Segments a wavelength at the highest frequency asked for: there a hose is out by 2.3 degrees a
   wavelength of its length, below it by the square less. */
enum { AIRNET_SEGMENTS_A_WAVELENGTH = 16, AIRNET_SEGMENTS_MOST = 256 };

/* The network of a solved state, good up to a frequency (Hz); the rates must outlive it and stay as
   they are. `open` has one entry a solenoid. All memory is taken here. */
BARONET_CHECKED baronet_status airnet_create(airnet **out, rates *r, const bool *open,
                                             double highest_frequency,
                                             const baronet_allocator *allocator);
void airnet_destroy(airnet *n);

/* How a swing was answered. */
typedef struct airnet_answer {
    double storage; /* N/m a wheel: real part of v'Kv/v'v */
    double loss;    /* N/m a wheel: imaginary part */
    swing_account account;
} airnet_answer;

/* The dynamic stiffness of a motion `shape` (corners, bump positive) whose largest wheel travel
   swings by `amplitude` (m) at `frequency` (Hz, positive). Each path has the first-harmonic
   conductance of its law under the difference that it sees, iterated from small swings upward until
   consistent; an amplitude of zero takes every law's slope at no flow. Steel is included, tyres are
   not. SINGULAR, NOT_CONVERGED (the answer is then filled all the same). */
BARONET_CHECKED baronet_status airnet_swing(airnet *n, const double *shape, double amplitude,
                                            double frequency, airnet_answer *out);

/* Conductances count as consistent when none that matters changes by more than this part. */
#define AIRNET_TOLERANCE 1e-7

typedef struct airnet_drive {
    double amplitude, frequency; /* m, Hz */
    bool from_rest; /* or from the conductances of the last swing, near in frequency and shape */
} airnet_drive;

/* The same to another tolerance: for a search on its way. */
BARONET_CHECKED baronet_status airnet_swing_within(airnet *n, const double *shape,
                                                   airnet_drive with, double tolerance,
                                                   airnet_answer *out);

/* After a swing: the whole of K at a frequency (N/m, corners x corners, row-major complex pairs)
   with the conductances that it left. */
BARONET_CHECKED baronet_status airnet_matrix(airnet *n, double frequency, double *K);

/* After a swing: looks at the linear system at that frequency, and gives the largest condition
   (Skeel's) of all that were looked at; infinite where one is singular. Rounding may show in K as
   so much times the unit roundoff, over K's own size. OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status airnet_condition(airnet *n, double frequency, double *condition);

/* After a swing: a spring's own dynamic rate (N/m, storage part) when it alone moves. */
BARONET_CHECKED baronet_status airnet_spring_rate(airnet *n, int spring_index, double frequency,
                                                  double *storage);

/* After a swing: conductance (kg/(s Pa)) of each edge, and amplitude of its flow (kg/s a metre of
   the motion, of which the shape's travels are parts); 0 for those that pass nothing. */
const double *airnet_conductances(const airnet *n);
const double *airnet_flows(const airnet *n);

/* After a swing: pressure amplitude (Pa) of each node per metre of the motion, complex pairs. */
void airnet_pressures(const airnet *n, double *node_pressures);

/* The conductance of one edge (kg/(s Pa)) under a difference of that amplitude (Pa). */
double airnet_edge_conductance(const airnet *n, int edge_index, double amplitude);

/* What the network is made of, for studies of it and for measuring. */
int airnet_unknowns(const airnet *n);
int airnet_links(const airnet *n, const airnet_link **link);
int airnet_unknown_of(const airnet *n, int node_index); /* -1 where held */
const double *airnet_volumes(const airnet *n);          /* m3, unknowns */

/* The linear system at a frequency, for the present conductances. */
typedef struct airnet_system {
    const pattern *pattern;
    const double *values; /* entries, complex pairs */
    sparse *solver;
} airnet_system;
airnet_system airnet_system_at(airnet *n, double frequency);

#endif
