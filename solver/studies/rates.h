/* rates.h: what one state does to a vehicle: where it stands, and how stiff it is.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_RATES_H
#define STUDIES_RATES_H

#include "model/figure.h"
#include "studies/levelling.h"
#include "studies/stiffness.h"
#include "studies/swing.h"

/* All rates at one level. A body motion or axle figure exists where `has` or the counts of the
   study say so; numbers that do not exist are NAN. */
typedef struct level_rates {
    bool given;        /* the level exists in this answer */
    double *stiffness; /* N/m, corners x corners, row-major; force up per travel up at the wheel */
    double *spring_rate; /* N/m, springs */
    double *wheel_rate;  /* N/m, corners: all wheels moving together; on a bench the mass alone */
    double *one_wheel_rate;               /* N/m, corners */
    double *ride_rate;                    /* N/m, corners: wheel_rate in series with the tyre */
    double *ride_frequency;               /* Hz, corners; NAN where the rate is not positive */
    double body_rate[BODY_MOTIONS];       /* N/m, N m/rad, N m/rad about the centre of gravity */
    double body_rate_tyres[BODY_MOTIONS]; /* the same with tyres in series */
    double body_frequency[BODY_MOTIONS];  /* Hz, uncoupled, tyres in series; NAN where not held */
    double *warp_rate;                    /* N/m a wheel, warps, softest first */
    double *motion_rate;                  /* N/m a wheel, motions of the netlist */
    double roll_gradient;                 /* rad/(m/s2); NAN where it does not exist */
    double *roll_share;                   /* axles; NAN where nothing holds roll */
} level_rates;

/* Where the vehicle stands in a state, by names of the model's lists. */
typedef struct state_standing {
    bool given;
    double *load;          /* N, corners: what a scale shows */
    double *height_shift;  /* m, corners, up positive, against the settled charged state */
    double *travel;        /* m, corners: bump positive, from design */
    double *spring_height; /* m, springs */
    double *spring_load;   /* N, springs */
    double *node_pressure; /* Pa absolute, nodes */
    double *node_volume;   /* m3, nodes */
    double *node_air;      /* kg, nodes */
    int *group;            /* nodes: which share a pressure */
    int groups;
    double lean; /* rad, roll of the body from design, ISO 8855 */
    double rake; /* rad, pitch of the body from design */
    body_mass mass;
    balance_account account;
} state_standing;

/* How the figures at LEVEL_RIDE were had. */
typedef struct felt_account {
    double amplitude; /* m at the wheel that moves most */
    int iterations;   /* of the paths' conductances, all swings together */
    swing_account swing;
} felt_account;

typedef struct rates_answer {
    problem problem;        /* OK, or why the state has no answer */
    problem parked_problem; /* the same of the parked standing, where it is another */
    bool has[BODY_MOTIONS]; /* motions that the body has */
    int warps;
    double sprung_added;        /* kg, of the case */
    levelling_account levelled; /* where the case is */
    state_standing settled;     /* the state's equilibrium */
    state_standing parked;      /* given where bypasses make it another */
    felt_account felt;          /* of LEVEL_RIDE, where that is given */
    level_rates level[LEVELS];
} rates_answer;

/* A vehicle in one position of the valves, ready to be asked for its rates again and again. */
typedef struct rates rates;

/* `open` has one entry a solenoid and is borrowed for the call. The charge must outlive it; its
   fill serves as work space, so rates of one charge are not solved at the same time. */
BARONET_CHECKED baronet_status rates_create(rates **out, charge *c, const bool *open,
                                            const baronet_allocator *allocator, problem *why);
void rates_destroy(rates *r);

/* Solves for a case (NULL: the base case) and fills the answer; no allocation. The status is also
   the answer's problem; a problem of the parked standing alone leaves the status OK. Later calls
   start from the last standing. */
BARONET_CHECKED baronet_status rates_solve(rates *r, const load_case *with);

/* Only these levels (bits 1 << level, of instant, settled and parked) are worked out from now on;
   the standing always is, and the parked one with its level. Before the first solve. */
void rates_limit(rates *r, unsigned levels);

/* No later solve depends on any but the first. */
void rates_be_afresh(rates *r);

const rates_answer *rates_result(const rates *r);

/* For studies that go on from a solved state: its balance at its standing, the task it solved, and
   the springs listed by group. `parked`: of the parked standing, where it is another. */
const model *rates_model(const rates *r);
const balance_task *rates_task(const rates *r);
balance *rates_balance(rates *r, bool parked);
stiffness *rates_stiffness(rates *r, bool parked);

/* Largest residual of the standings of the last answer. */
double rates_residual(const rates *r);

/* Takes how the last answer's standing of a level was solved into the worst of all (LEVEL_NONE:
   each standing that it has). OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status rates_join(balance_worst *all, rates *r, level at,
                                          const char *where);

/* Positions of the solenoids that it was made for. */
const bool *rates_open(const rates *r);

/* Takes a level's arrays, all zero, for who fills one of their own; whether all were given is for
   the arena to say. */
void rates_make_level(const rates *r, level_rates *out, arena *a);

/* Derives all rates of a level from its stiffness matrix, which has been put there. */
BARONET_CHECKED baronet_status rates_derive(rates *r, level_rates *l);

/* LEVEL_RIDE of the answer, to be filled by who finds it. */
level_rates *rates_ride_level(rates *r, felt_account **account);

/* Wheel travels (corners) of a body motion about the centre of gravity, scaled so that the wheel
   that moves most moves by one; and of a warp (from 0, softest first when settled), likewise. */
void rates_body_shape(rates *r, body_motion k, double *shape);
void rates_warp_shape(const rates *r, int warp, double *shape);

#endif
