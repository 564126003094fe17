/* cells.h: air in rigid volumes and the paths between them, in time, by the full flow laws: mass
   and energy of each volume, nothing linearised. What it starts from is what it is given; how air
   got there is not asked.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_CELLS_H
#define STUDIES_CELLS_H

#include "base/memory.h"
#include "model/flow.h"
#include "model/gas.h"
#include "numeric/ode.h"

/* A path between two cells; an end below zero is the held side -1 - end. */
typedef struct cells_path {
    law law;
    int from, to;
} cells_path;

/* Mass m and energy U = m c_v T of a cell of volume V, with p V = m R T = (gamma-1) U:
       dm/dt = sum of flows q,
       dU/dt = sum of q c_p T(upstream) - (U - m c_v T_wall)/tau.
   Isothermal air has the first only, adiabatic air and air of fixed exponent n (which is air whose
   gamma is n) no heat from the wall. */
typedef struct cells_setup {
    gas gas;
    double temperature; /* K: of the walls, of the held sides, of isothermal air */
    int cells;
    const double *volume;            /* m3, cells: positive */
    const double *start_pressure;    /* Pa, cells */
    const double *start_temperature; /* K, cells; ignored for isothermal air */
    int held;
    const double *held_pressure; /* Pa, held: sides that keep their pressure */
    int paths;
    const cells_path *path;
    double tolerance; /* error of a step, in parts of the disturbance; 0: CELLS_TOLERANCE */
} cells_setup;

/* Settling times then change by less than 1e-6 when it is made ten times smaller. */
#define CELLS_TOLERANCE 1e-8
/* Most steps of one run: ten times what the slowest of the demonstrations takes. */
#define CELLS_STEPS 20000L

typedef struct air_cells air_cells;

/* What is watched: events are when `measure` of the air passes a mark. */
typedef struct cells_watch {
    double (*measure)(void *context, const air_cells *c, const double *air);
    void *context;
    int marks;
    const double *mark; /* marks */
} cells_watch;

/* The setup's and the watch's arrays are borrowed and must outlive it. `watch` may be NULL. */
BARONET_CHECKED baronet_status cells_create(air_cells **out, const cells_setup *setup,
                                            const cells_watch *watch,
                                            const baronet_allocator *allocator);
void cells_destroy(air_cells *c);

/* Goes on to a time (s) or to the next mark, which `*mark` then names; -1 for none. */
BARONET_CHECKED baronet_status cells_advance(air_cells *c, double until, int *mark);

double cells_time(const air_cells *c);
/* The air as it is now, for the next two. */
const double *cells_air(const air_cells *c);
double cells_pressure(const air_cells *c, const double *air, int cell);    /* Pa */
double cells_temperature(const air_cells *c, const double *air, int cell); /* K */
/* kg that a cell has gained since the start. */
double cells_gain(const air_cells *c, const double *air, int cell);
/* kg at the start. */
double cells_start_mass(const air_cells *c, int cell);

ode_account cells_account(const air_cells *c);

#endif
