/* figure.h: the names of all scalar results, each with one dimension and one meaning wherever it is
   printed, required, varied or sized; and the levels at which a figure may be asked for.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_FIGURE_H
#define MODEL_FIGURE_H

#include "base/text.h"
#include "baronet/units.h"

/* In order of the output. */
typedef enum figure_quantity {
    FIGURE_PRESSURE,       /* Pa absolute */
    FIGURE_GAUGE_PRESSURE, /* Pa */
    FIGURE_HEIGHT,         /* m */
    FIGURE_VOLUME,         /* m3 */
    FIGURE_LOAD,           /* N */
    FIGURE_SPRING_RATE,    /* N/m */
    FIGURE_WHEEL_RATE,     /* N/m, all wheels moving together: the row sum of K */
    FIGURE_RIDE_RATE,      /* N/m, wheel_rate in series with the tyre */
    FIGURE_ONE_WHEEL_RATE, /* N/m, K_ii */
    FIGURE_STIFFNESS,      /* N/m, FORCE/TRAVEL */
    FIGURE_HEAVE_RATE,     /* N/m */
    FIGURE_PITCH_RATE,     /* N m/rad */
    FIGURE_ROLL_RATE,      /* N m/rad */
    FIGURE_WARP_RATE,      /* N/m a wheel; numbered where there is more than one such motion */
    FIGURE_MOTION_RATE,    /* N/m a wheel */
    FIGURE_RIDE_FREQUENCY, /* Hz */
    FIGURE_ROLL_GRADIENT,  /* rad/(m/s2) */
    FIGURE_ROLL_SHARE,     /* dimensionless */
    FIGURE_HEIGHT_SHIFT,   /* m, up positive */
    FIGURE_AIR_MASS,       /* kg */
    FIGURE_TIME_CONSTANT,  /* s, slowest first */
    FIGURE_SETTLE_TIME_63, /* s */
    FIGURE_SETTLE_TIME_95, /* s */
    FIGURE_PATH_FREQUENCY, /* Hz */
    FIGURE_DAMPING_RATIO,  /* dimensionless */
    FIGURE_COMFORT,        /* m/s2, weighted r.m.s. */
    FIGURES
} figure_quantity;

/* What a figure may be of, as bits: some figures are of several kinds of thing. */
typedef enum figure_subject {
    SUBJECT_NONE = 1,   /* the whole vehicle */
    SUBJECT_CORNER = 2, /* bench springs too, which stand on a corner of their own name */
    SUBJECT_AXLE = 4,   /* a label */
    SUBJECT_NODE = 8,   /* springs, tanks, tees, hoses, supplies, the atmosphere */
    SUBJECT_SPRING = 16,
    SUBJECT_EDGE = 32,
    SUBJECT_MOTION = 64,  /* heave, pitch, roll, warp, `one-wheel:RL`, or the user's own */
    SUBJECT_NUMBER = 128, /* from 1 */
    SUBJECT_PAIR = 256    /* of corners: `RL/RR` */
} figure_subject;

typedef struct figure_name {
    const char *name;
    baronet_dimension dimension;
    unsigned subjects; /* bits of figure_subject */
    bool always;       /* exists wherever its subject and its level do; what is felt need not */
} figure_name;

typedef enum level {
    LEVEL_NONE,    /* not given, or the state's equilibrium */
    LEVEL_INSTANT, /* no air has had time to move */
    LEVEL_SETTLED, /* every path that the state holds open has evened out */
    LEVEL_PARKED,  /* bypasses of shut valves have evened out too */
    LEVEL_RIDE,    /* at the motion's own ride frequency and the stated swing */
    LEVELS
} level;

/* The table's row; `quantity` below FIGURES. */
const figure_name *figure_at(figure_quantity quantity);

/* The figure of that name, or -1. */
int figure_find(text name);

/* "" for LEVEL_NONE. */
const char *level_name(level l);

/* The level of that name, LEVEL_NONE where there is none such. */
level level_find(text name);

#endif
