/* twin.h: a vehicle twice: as the text of a netlist, and as plain formulas of the tests' own, which
   share nothing with the library. Areas and volumes are polynomials that the profiles' cubics
   reproduce: area A + slope (h - h0), volume its integral or a straight line of its own.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_STUDIES_TWIN_H
#define TESTS_STUDIES_TWIN_H

#include "studies/rig.h"

enum { TWIN_CORNERS = 8, TWIN_SPRINGS = 8 };

typedef struct twin_corner {
    const char *name;
    double x, y;               /* m */
    double load;               /* N, of a scale */
    double unsprung;           /* kg */
    double tyre;               /* N/m, 0 for rigid */
    double coil, carries;      /* N/m, N */
    double bump_at, bump_rate; /* m, N/m; rate 0 for none */
    double rebound_at, rebound_rate;
} twin_corner;

typedef struct twin_lever {
    int corner;   /* springs on a bench have one of their own, after the wheels */
    double ratio; /* 0: no such lever */
} twin_lever;

typedef struct twin_spring {
    const char *name;
    twin_lever lever[2];
    double height;      /* m, h0, at design */
    double area, slope; /* m2, m: at design, and its change with height */
    double volume;      /* m3 at design */
    double breathing;   /* m2, dV/dh; 0: the area */
    double bend;        /* 1/Pa: a load table of loads A P (1 + bend P), 0: a table of areas */
    double rubber;      /* N/m */
    double load;        /* N, on a bench; 0 for a spring of the vehicle */
} twin_spring;

typedef struct twin_bar {
    int left, right;
    double roll; /* N m/rad */
} twin_bar;

/* One position of the valves: the group of each spring, and the air of tanks, tees and hoses that
   each group has besides. */
typedef struct twin_groups {
    int group[TWIN_SPRINGS];
    double fixed[TWIN_SPRINGS]; /* m3 */
} twin_groups;

typedef struct twin_state {
    const char *name;
    twin_groups settled;
    bool leaks;         /* bypasses join more in the long run */
    twin_groups parked; /* then */
} twin_state;

typedef struct twin {
    double ambient;  /* Pa */
    double exponent; /* of the netlist's gas */
    double arm;      /* m, cg-height over roll-axis; 0: not given */
    int wheels;
    const twin_corner *corner;
    int springs;
    const twin_spring *spring;
    int bars;
    const twin_bar *bar;
    int states;
    const twin_state *state;
    const char *plumbing; /* tanks, paths, states, cases, motions */
} twin;

rig twin_open(const twin *t);

/* Corners of the vehicle and those that springs on a bench make for themselves. */
int twin_corners(const twin *t);

double twin_area(const twin_spring *s, double height);
double twin_volume(const twin_spring *s, double height);

/* Load at a height and a gauge pressure, the carcass left out. */
double twin_load(const twin_spring *s, double height, double P);

/* Where the air starts from: pressures of the groups at travels. */
typedef struct twin_air {
    twin_groups in;
    double pressure[TWIN_SPRINGS]; /* Pa absolute, groups */
    double travel[TWIN_CORNERS];   /* m, corners */
} twin_air;

/* The air of an answer's standing, in groups, or each spring alone (NULL). */
twin_air twin_air_of(const twin *t, const rig *r, const twin_groups *groups_now,
                     const state_standing *s);

/* Force (N) at each corner once the wheels have moved to `travel` with p V^n constant. */
void twin_force(const twin *t, const twin_air *air, double n, const double *travel, double *force);

/* Its derivative (N/m, corners x corners) by differences of fourth order. */
void twin_stiffness(const twin *t, const twin_air *air, double n, double *K);

#endif
