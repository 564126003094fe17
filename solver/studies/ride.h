/* ride.h: all that one state has to say about how it rides: its modes, comfort and grip on roads,
   and how load moves between its wheels.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_RIDE_H
#define STUDIES_RIDE_H

#include "studies/comfort.h"
#include "studies/lateral.h"
#include "studies/ridemodes.h"

/* The road and speed where none is given: common practice for a country road, no source. */
enum { RIDE_CLASS = 2 };        /* C */
#define RIDE_SPEED (80.0 / 3.6) /* m/s */

/* Roads asked about: the one wanted, the next smoother and rougher class, and half the speed. */
enum { RIDE_ROADS = 4 };

typedef enum ride_part {
    RIDE_MODES = 1,
    RIDE_COMFORT = 2, /* of the road wanted */
    RIDE_OTHERS = 4,  /* of the others */
    RIDE_LOADS = 8,
    RIDE_ALL = 15
} ride_part;

typedef struct ride_question {
    unsigned parts;
    double amplitude, frequency; /* m, Hz: of the swing at which modes are taken */
    comfort_road road;
} ride_question;

typedef struct ride_answer {
    ridemodes_answer modes;
    flat_ride flat;
    bool undamped; /* no wheel has a damper: no comfort is given, a resonance having no end */
    int roads;
    comfort_answer comfort[RIDE_ROADS]; /* the one wanted first; arrays are the arena's */
    lateral_answer loads;
} ride_answer;

/* The road of a model, with a class (below 0: the netlist's) and speed (0: the netlist's) that come
   before it. `*assumed` tells whether class or speed is the usual one. */
comfort_road ride_road(const model *m, int class_index, double speed, bool *assumed);

/* Answers for a solved state; memory is the arena's. SINGULAR where nothing damps a resonance that
   the road hits. */
BARONET_CHECKED baronet_status ride_solve(ride_answer *out, arena *a, rates *r,
                                          const ride_question *question,
                                          const baronet_allocator *allocator);

/* Adds damping_ratio and comfort. */
void figures_of_ride(figure_list *list, const model *m, const ride_answer *answer);

/* The parts that give a figure; 0 where this study does not. */
unsigned ride_parts_of(figure_quantity quantity);

#endif
