/* dynamics.h: a vehicle and its air in time, nothing linearised, as a system of ordinary
   differential equations: mass and energy of each volume, the momentum of the air in hoses, body,
   wheels and bench masses. What happens to it (valves, loads, the road) is set from outside between
   two runs of an integrator. The equations are in docs/theory.md, Events.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_DYNAMICS_H
#define STUDIES_DYNAMICS_H

#include "model/flow.h"
#include "numeric/ode.h"
#include "studies/forcing.h"
#include "studies/rates.h"

/* A hole from a node into the open. */
typedef struct dynamics_hole {
    int node;
    double bore; /* m; nothing passes before it is open */
    bool open;
} dynamics_hole;

typedef enum dynamics_stuck_kind { STUCK_OPEN, STUCK_SHUT } dynamics_stuck_kind;

/* A valve that no longer does what it should; a compressor stuck shut stands still. */
typedef struct dynamics_stuck {
    int edge;
    dynamics_stuck_kind kind;
} dynamics_stuck;

typedef struct dynamics_setup {
    int holes;
    const dynamics_hole *hole; /* all that may open, open or not */
    int stucks;
    const dynamics_stuck *stuck;
    int bumps;        /* most under way at a time */
    double tolerance; /* error of a step, in parts of each unknown's size; 0: DYNAMICS_TOLERANCE */
} dynamics_setup;

/* Peaks then change by less than 1e-3 when it is made ten times smaller (tests). */
#define DYNAMICS_TOLERANCE 1e-5

/* Restrictors are linear below this part of the highest pressure there is: 45 Pa at 8 bar, a few
   times what errors of steps leave open. With the narrow zone of other studies a wide valve between
   two volumes would be so steep at no flow that no step got over it. */
#define DYNAMICS_ZONE 5e-5

/* The poppet of a check valve lifts in proportion up to this part of the highest pressure: 2 kPa at
   8 bar. One that is open or shut would chatter in the air of its hoses. */
#define DYNAMICS_POPPET 2e-3

/* A tee without a hose at it gets this much air from the largest volume that it is always joined
   to, or the share of that which is less: about what a fitting holds. */
#define DYNAMICS_FITTING       1e-6 /* m3 */
#define DYNAMICS_FITTING_SHARE 0.01
/* Each tee without a volume of its own has this share of the air of each hose that ends there. */
#define DYNAMICS_HOSE_SHARE 0.25
/* A wheel on a tyre without unsprung mass moves with this part of its load as its mass. */
#define DYNAMICS_WHEEL_SHARE 0.05
/* A spring below this gauge pressure carries nothing worth naming: it is flat, and may leave its
   table. */
#define DYNAMICS_FLAT 3000.0 /* Pa */

/* How a position moves a corner (travel) or a spring (height), per unit of it. */
typedef struct reach {
    int position;
    double ratio;
} reach;

enum { DYNAMICS_CARRIERS = BODY_MOTIONS + 1 };

typedef struct dynamics {
    const model *model;
    arena *arena;
    const baronet_allocator *allocator;
    const fill *design;

    /* What may change between runs. */
    edge *edge;     /* own copies, of which stuck ones are changed */
    bool *open;     /* solenoids */
    bool *lost;     /* nodes: a supply that is lost */
    bool held;      /* all wheels and the body are held */
    double *sprung; /* N, corners: weights on the springs now */
    body_mass mass; /* of these */
    forcing forcing;
    int holes;
    dynamics_hole *hole;

    /* Air. */
    bool energy, heat;
    double highest;         /* Pa: of any node at the start */
    double gamma, c_v, c_p; /* 1, J/(kg K) */
    double *fixed;          /* m3, nodes: volume besides a spring's own */
    double *first_mass;     /* kg, nodes: at the start */
    double *first_energy;   /* J */
    law *half;              /* edges: half of each hose */
    double *ring;           /* 1/s, edges: what damps the ringing of a hose's air */

    /* The unknowns: what each node has gained of mass and energy since the start (held nodes: what
       they were given), flows into and out of each hose's air, what walls gave and springs took,
       positions and speeds. */
    int size;
    int *mass_row, *energy_row; /* nodes; energy -1 for isothermal air, shared by all held nodes */
    int *flow_row;              /* edges: of two for hoses; -1 for others */
    int heat_row, work_row;     /* -1 for isothermal air */
    int positions, first_position, first_speed;
    int body_position[BODY_MOTIONS]; /* -1 where the motion does not exist */
    int *corner_position;            /* corners: wheel on a tyre or bench mass; -1 for none */
    double *inertia;                 /* positions */
    reach *carrier;                  /* corners x DYNAMICS_CARRIERS: travel */
    int *carriers;                   /* corners */
    int *reach_start;                /* springs + 1 */
    reach *reach;                    /* height of each spring */
    double *absolute;                /* size */
    pattern pattern;
    ode_problem problem;

    /* As seen at the last state that was looked at. */
    double *road, *road_speed; /* m, m/s, corners */
    double *travel, *speed;    /* m, m/s, corners */
    double *force;             /* N, corners: up on the body */
    double *contact;           /* N, corners: what the ground gives, were it able to pull */
    double *ground;            /* N, corners: on a scale under the wheel, not below 0 on a tyre */
    double *link;              /* N, corners: what the links add to a wheel's load in a bend */
    double *height, *height_speed, *load;    /* springs */
    profile_point *point;                    /* springs */
    double *pressure, *temperature, *volume; /* nodes */
    double *scratch;                         /* springs */
} dynamics;

/* From where a solved state stands (rates_solve); the rates are borrowed while it is made, their
   charge as long as it lives. `start` (size) is set to the state. */
BARONET_CHECKED baronet_status dynamics_create(dynamics **out, rates *r,
                                               const dynamics_setup *setup,
                                               const baronet_allocator *allocator);
void dynamics_destroy(dynamics *m);

/* The state at the start. */
void dynamics_start(const dynamics *m, rates *r, double *y);

/* Looks at a state: fills what is seen. False where air is gone or squeezed out of existence. */
bool dynamics_see(dynamics *m, double t, const double *y);

/* The equations and their slopes, for ode_problem. */
bool dynamics_rate(void *context, double t, const double *y, double *dydt);
void dynamics_slope(void *context, double t, const double *y, double *values);

/* Lists the slopes' places; part of making a motion. */
BARONET_CHECKED baronet_status dynamics_make_pattern(dynamics *m);

/* What an event does to a state. A load is on the springs (kg); a step moves the road, or held
   wheels themselves, by shape (corners) times size (m), and springs on rigid wheels are squeezed at
   once. False where no mass is left. */
BARONET_CHECKED bool dynamics_add_load(dynamics *m, double *y, int corner_index, double kilograms);
void dynamics_step(dynamics *m, double t, double *y, const double *shape, double size);
void dynamics_hold(dynamics *m, double *y);

/* How far a spring is from where its table ends or its air is squeezed out, dimensionless and
   negative beyond: flat springs may leave the table. To be asked once a state is seen. */
double dynamics_margin(const dynamics *m, int spring_index);

/* Mass flow through an edge (kg/s) at a state that is seen. */
double dynamics_flow(const dynamics *m, const double *y, int edge_index);

/* Flow out of a hole that is open. */
flow dynamics_hole_flow(const dynamics *m, const dynamics_hole *hole);

/* Air of a node, kg. */
double dynamics_air(const dynamics *m, const double *y, int node_index);

/* A supply or the atmosphere. */
bool dynamics_is_held(const dynamics *m, int node_index);

#endif
