/* parts.h: what a netlist's air system is made of: like parts in one line each, with the highest
   pressure that any of them meets; the energy in each vessel; what the solenoids draw.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_PARTS_H
#define STUDIES_PARTS_H

#include "model/part.h"
#include "studies/peaks.h"

/* Parts that are alike in all that one orders by. */
typedef struct part_line {
    part_kind kind;
    int count;
    const int *item; /* count: nodes or edges, in order of the netlist */
    double rated;    /* Pa gauge; 0 where none is given */
    int ports;       /* of a tee: paths that end there */
    peak highest;    /* of all of them: at the part itself or at either end of it */
    int highest_item;
} part_line;

/* Hoses of one bore. */
typedef struct part_bore {
    double bore; /* m */
    int pieces;
    double length;  /* m, all of them */
    double longest; /* m */
} part_bore;

/* What is in a spring or tank: p V/(gamma - 1) [1 - (pa/p)^((gamma - 1)/gamma)], the work of air
   that expands to ambient pressure without heat. A spring counts at its design height. */
typedef struct part_vessel {
    int node;
    double volume;                /* m3 */
    double energy;                /* J at the highest pressure it meets */
    double rated;                 /* Pa gauge; 0 where none is given */
    double rated_energy;          /* J at the rated pressure; NAN without one */
    double rated_pressure_volume; /* Pa m3, gauge; NAN without one */
} part_vessel;

/* What the energised solenoids of one voltage draw. */
typedef struct part_draw {
    int coils;
    int unknown;    /* of them without a `current` */
    double current; /* A, of the others */
} part_draw;

typedef struct parts_answer {
    const model *model;
    peaks peaks;
    int lines;
    part_line *line; /* by kind, then in order of the netlist */
    int bores;
    part_bore *bore; /* the widest first */
    int vessels;
    part_vessel *vessel; /* springs and tanks, in order of the model's nodes */
    int voltages;
    double *voltage; /* V, rising; 0: coils without `volts` */
    part_draw *draw; /* (states + 1) x voltages: by state of the model, last every coil at once */
} parts_answer;

/* The charge must have been solved. All memory is the arena's. OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status parts_solve(parts_answer *out, arena *a, charge *c,
                                           const baronet_allocator *allocator);

/* Name of a line's item. */
const char *parts_name(const model *m, part_kind kind, int item);

/* Whether a solenoid (its place among them) has current in a position of the valves. */
bool parts_energised(const network *net, int solenoid, const bool *open);

/* Pressure (Pa absolute) from which on a compressor delivers nothing by its table, whose last slope
   goes on; infinity where there is none. */
double parts_no_flow(const edge *compressor);

/* Energy (J) that air at a pressure (Pa absolute) gives while it expands to ambient without heat:
   p V/(gamma - 1) [1 - (pa/p)^((gamma - 1)/gamma)], the form of ASME PCC-2, article 501. */
double parts_energy(double pressure, double volume, double around);

/* The most that could be had if its walls gave all their heat back: (p - pa) V/(gamma - 1), after
   Brode. */
double parts_most_energy(double pressure, double volume, double around);

#endif
