/* ridemodes.h: how a state swings when left alone: eigenvalues of body, wheels, tyres, dampers and
   air together, each with its damping, where that comes from, and its shape.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_RIDEMODES_H
#define STUDIES_RIDEMODES_H

#include "studies/coupled.h"
#include "studies/figures.h"

/* What moves most in a mode. */
typedef enum shape_kind {
    SHAPE_HEAVE, /* the whole body up and down */
    SHAPE_PITCH,
    SHAPE_ROLL,
    SHAPE_AXLE,     /* the body over one axle: item; the other ones nearly at rest */
    SHAPE_WHEEL,    /* one wheel on its tyre: item */
    SHAPE_TOGETHER, /* the wheels of an axle together: item */
    SHAPE_TRAMP,    /* the wheels of an axle against one another: item */
    SHAPE_BENCH,    /* a bench mass: item is its corner */
    SHAPE_COLUMN,   /* the air in a path against the volumes at its ends: item is the edge */
    SHAPE_EXCHANGE, /* air passes between nodes without a swing: from item to other */
    SHAPE_WALL,     /* warmth passes between a node's air and its wall: item */
    SHAPE_CREEP     /* dampers hold what springs push, without a swing: item is a corner */
} shape_kind;

typedef struct ride_mode {
    double value[2];           /* 1/s: real and imaginary part of lambda, the second not negative */
    double frequency;          /* Hz, of the swing as it is, damped; 0 where it does not swing */
    double natural;            /* Hz, |lambda|/2 pi */
    double damping;            /* -Re lambda/|lambda| */
    double damper, flow, wall; /* shares of what is lost, summing to one; NAN where nothing is */
    shape_kind shape;
    int item, other;
    shape_kind with; /* SHAPE_HEAVE, SHAPE_PITCH or SHAPE_ROLL, where there is clearly some of it;
                        else the shape again */
    double residual; /* of the eigenvalue in the whole system */
} ride_mode;

typedef struct ridemodes_answer {
    int modes;
    ride_mode *mode; /* slowest first */
    double highest;  /* Hz: all modes of a natural frequency up to this are listed */
    int unknowns;    /* of the system */
    int swinging;    /* how many of them swing */
    double residual; /* largest */
    double amplitude, swing_frequency; /* m, Hz: at which paths were made straight */
    swing_account straight;            /* how they were */
} ridemodes_answer;

/* Modes up to this natural frequency are looked for, and at most so many of a large network. */
#define RIDEMODES_HIGHEST 40.0 /* Hz */
enum { RIDEMODES_MOST = 192 };
/* Below this an eigenvalue is the nought of a sealed volume, whose air does not change. */
#define RIDEMODES_SEALED 1e-7 /* 1/s */

/* The modes of a system at the conductances that it has. Memory is the arena's. */
BARONET_CHECKED baronet_status ridemodes_find(ridemodes_answer *out, arena *a, coupled *s,
                                              rates *r);

/* The same of a solved state, with paths at the stated swing. */
BARONET_CHECKED baronet_status ridemodes_solve(ridemodes_answer *out, arena *a, rates *r,
                                               double amplitude, double frequency,
                                               const baronet_allocator *allocator);

/* Front and rear: the ratio of the two axles' ride frequencies and what a guideline asks of it. */
typedef struct flat_ride {
    bool given;                             /* there are two axles or more that ride */
    int front, rear;                        /* axles: foremost and rearmost */
    double front_frequency, rear_frequency; /* Hz: means of the wheels' ride frequency */
    double ratio;                           /* rear over front */
    double softer; /* part by which the front's rate over its mass is below the rear's */
} flat_ride;

/* Guidance attributed to Maurice Olley, as summarised by Gillespie, Fundamentals of Vehicle
   Dynamics (1992), chapter 5; from memory. */
#define FLAT_RIDE_SOFTER 0.3 /* front rate over mass below the rear's by this part or more */

/* From LEVEL_RIDE of a solved state. */
flat_ride ridemodes_flat(const model *m, const rates_answer *answer);

/* Adds damping_ratio of each mode that swings, numbered as listed from 1. */
void ridemodes_figures(figure_list *list, const ridemodes_answer *answer);

#endif
