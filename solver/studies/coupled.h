/* coupled.h: body, wheels, tyres, dampers and air of a solved state as one linear system about its
   standing, E dx/dt = A x + what the road does: small movements in time. Unknowns are the
   coordinates (body motions, wheels, bench masses), their speeds, the air of each volume, with
   `thermal` air the heat that its wall has taken, and the flow of each path that has inertance.
   Paths are straight: each has one conductance, which the caller sets.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_COUPLED_H
#define STUDIES_COUPLED_H

#include "numeric/spectrum.h"
#include "studies/airnet.h"

typedef enum coordinate_kind {
    COORDINATE_BODY,
    COORDINATE_WHEEL,
    COORDINATE_BENCH
} coordinate_kind;

/* Positive up; roll and pitch as in ISO 8855, about the roll axis and the centre of gravity. */
typedef struct coordinate {
    coordinate_kind kind;
    int item;    /* a body_motion, or a corner */
    double mass; /* kg, kg m2; 0 for a wheel on a tyre that is given no mass */
} coordinate;

typedef struct coupled coupled;

/* The system of a solved state, good up to a frequency (Hz). The rates must outlive it and stay as
   they are. All memory is taken here. Its conductances are those of small swings until set. */
BARONET_CHECKED baronet_status coupled_create(coupled **out, rates *r, double highest_frequency,
                                              const baronet_allocator *allocator);
void coupled_destroy(coupled *s);

int coupled_size(const coupled *s);
int coupled_coordinates(const coupled *s, const coordinate **list);

/* kg/(s Pa), edges: copied. Those that are not positive stay as they are. */
void coupled_set(coupled *s, const double *conductance);
const double *coupled_conductances(const coupled *s);

/* A and E at the present conductances; belongs to the system. */
spectrum_pencil coupled_pencil(coupled *s);

/* Prepares for answers at a frequency (Hz): factors s E - A. SINGULAR at an undamped resonance. */
BARONET_CHECKED baronet_status coupled_prepare(coupled *s, double frequency);

/* Then: unknowns (complex pairs) per metre by which the road under one wheel rises. */
BARONET_CHECKED baronet_status coupled_answer(coupled *s, int wheel, double *x);

/* Residual of the last answer, as numeric/sparse.h measures it; at most what sparse_solve allows.
 */
double coupled_residual(const coupled *s);

/* The network behind it. */
const airnet *coupled_airnet(const coupled *s);

/* What its unknowns x (complex pairs) are of: the first ones are the coordinates themselves. */
void coupled_travel(const coupled *s, int corner_index, const double *x, double out[2]); /* m */
void coupled_pressure(const coupled *s, int unknown, const double *x,
                      double out[2]); /* Pa, of an unknown of the network */
void coupled_flow(const coupled *s, int link, const double *x, double out[2]); /* kg/s */
/* What a node of the network gains each second (kg/s) by its flows, hoses by their ends. */
void coupled_gain(const coupled *s, int node_index, const double *x, double out[2]);

/* What a pattern of movement holds and loses. Powers and energies are of the amplitudes of x: twice
   the mean over a swing of those amplitudes, or the value of a movement that only decays. Density
   is the mean of each path's ends, so air's part is as good as small pressure differences are. */
typedef struct coupled_budget {
    double body, wheel, bench,
        air;       /* J, kinetic: of the body, of wheels, of bench masses, in hoses */
    double damper; /* W lost in dampers */
    double flow;   /* W lost in paths */
    double wall;   /* W lost in heat through the walls */
} coupled_budget;

/* `x` moves as exp(value t), value a complex pair. Any of `wheel_energy` (J, wheels), `link_loss`
   (W, links), `wall_loss` (W, unknowns of the network) may be NULL. */
coupled_budget coupled_account(const coupled *s, const double value[2], const double *x,
                               double *wheel_energy, double *link_loss, double *wall_loss);

/* Names: the node of the netlist behind an unknown of the network, and the edge behind a link. */
int coupled_node_of(const coupled *s, int unknown);
int coupled_edge_of(const coupled *s, int link);
int coupled_links(const coupled *s);
int coupled_air(const coupled *s); /* unknowns of the network */

#endif
