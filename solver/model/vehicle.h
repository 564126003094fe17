/* vehicle.h: what stands on the air: corners with wheels, springs, bars, the body.
   Axes are those of ISO 8855: x forward, y to the left, z up.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_VEHICLE_H
#define MODEL_VEHICLE_H

#include <stdbool.h>

#include "model/profile.h"

/* Height of a wheel's centre, at which its own mass is taken to act: common practice for road
   tyres, no source. Printed as assumed. */
#define VEHICLE_WHEEL_CENTRE 0.33 /* m */

/* A corner is where a wheel carries the body. A spring on a bench stands on a corner of its own,
   made for it, with the spring's name and `bench` set: one mass that only moves up and down. */
typedef struct corner {
    const char *name;
    bool bench;
    double x, y;     /* m, of any datum */
    int axle;        /* index; -1 on a bench */
    double load;     /* N, what a scale under the wheel shows, unsprung mass included */
    bool load_given; /* otherwise it follows from the springs' heights and pressures */
    double unsprung; /* kg */
    double tyre;     /* N/m; 0 where none is given: the wheel then stands on a rigid tyre */
    double damper;   /* N s/m at the wheel */
    double coil;     /* N/m at the wheel */
    double carries;  /* N at the wheel, held by the coil at the design height */
    bool coil_given, carries_given;
    double bump_at, bump_rate;       /* m of bump travel from design, N/m; rate 0 for none */
    double rebound_at, rebound_rate; /* m of rebound travel (positive), N/m */
} corner;

typedef struct axle {
    const char *name;
    int corners; /* how many it has */
    double x;    /* m, mean of them */
} axle;

typedef struct bar {
    const char *name;
    int left, right; /* corners, in the order given */
    double roll;     /* N m/rad of roll of the axle */
} bar;

/* What one wheel's travel gives a spring. */
typedef struct lever {
    int corner;
    double ratio; /* spring travel per wheel travel */
} lever;

typedef struct spring {
    const char *name;
    int node;
    int profile;
    int levers;         /* at least 1 */
    const lever *lever; /* levers */
    bool bench;
    double height; /* m at design; where not given, solved by the charge */
    bool height_given;
    double pressure; /* Pa gauge at design */
    bool pressure_given;
    double rubber; /* N/m, carcass */
    double rated;  /* Pa gauge; 0 where none is given */
} spring;

typedef struct body {
    double cg_height, roll_axis; /* m above ground */
    bool cg_height_given, roll_axis_given;
    double roll_inertia, pitch_inertia; /* kg m2 about the centre of gravity; 0: estimated */
    double seat_x, seat_y;              /* m, of the corners' datum */
    bool seat_given;
    int road_class; /* of ISO 8608, 0 for A */
    bool road_given;
    double speed; /* m/s; 0 where not given */
} body;

typedef struct vehicle {
    body body;
    int corners;
    const corner *corner; /* bench stands last */
    int wheels;           /* corners of the vehicle: those before the bench stands */
    int axles;
    const axle *axle;
    int bars;
    const bar *bar;
    int springs;
    const spring *spring;
    int profiles;
    const profile *profile;
} vehicle;

/* Which motions of a rigid body the corners tell apart. */
typedef struct body_freedom {
    bool heave, roll, pitch;
    int count;
} body_freedom;

/* Heave where there is a wheel, roll where wheels differ in y, pitch where there are two axles or
   more. */
body_freedom vehicle_freedom(const vehicle *v);

/* Two y (or x) closer than this are one place. */
#define VEHICLE_SAME_PLACE 1e-3 /* m */
/* Corners without an axle's name, this close in x to the first of them, are one axle. */
#define VEHICLE_SAME_AXLE 0.1 /* m */
/* Stiffness matrices are dense in corners, so their number has a limit. */
#define VEHICLE_CORNERS_MAX 400

/* Mass and centre of gravity of what the corners' sprung loads (N, one a wheel) are. */
typedef struct body_mass {
    double mass;         /* kg, sprung */
    double x, y;         /* m, centre of gravity */
    double roll_inertia; /* kg m2 about it */
    double pitch_inertia;
    bool roll_estimated, pitch_estimated;
    double arm; /* m, cg-height less roll-axis, where both are known; else 0 */
} body_mass;

/* Missing inertias are estimated as those of the corners' sprung masses standing over their wheels
   (for pitch: dynamic index one; common practice, no source). */
body_mass vehicle_mass(const vehicle *v, const double *sprung_load);

/* Force (N, up on the body) of a corner's coil and stops at a travel (m, bump positive), and its
   slope; what the coil carries at the design height is not in it. */
double corner_steel_force(const corner *c, double travel);
double corner_steel_rate(const corner *c, double travel);

/* Rate of an anti-roll bar at the wheels, k/t^2 (N/m per difference of travels): the couple k phi
   over the track t, with phi the difference of travels over t. */
double vehicle_bar_rate(const vehicle *v, const bar *b);

/* Adds to each corner's force (N, up on the body) what anti-roll bars give at these travels (m, one
   a corner), and what springs give through their levers (load: N, one a spring). */
void vehicle_add_bars(const vehicle *v, const double *travel, double *force);
void vehicle_add_springs(const vehicle *v, const double *load, double *force);

/* How far a spring is shorter (m) at these travels (m, one a corner). */
double spring_compression(const spring *s, const double *travel);

#endif
