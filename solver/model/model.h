/* model.h: all that a netlist says, checked, in SI units, as numbers. It knows nothing of text:
   names are only carried along. Everything in it belongs to the arena that it was made in.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_MODEL_H
#define MODEL_MODEL_H

#include "model/gas.h"
#include "model/network.h"
#include "model/script.h"
#include "model/vehicle.h"

typedef struct ambient {
    double pressure;    /* Pa absolute */
    double temperature; /* K */
    bool assumed;       /* neither given: sea level and 20 C */
} ambient;

/* Positions of the solenoids: one entry a solenoid, in the network's order. */
typedef struct valve_state {
    const char *name;
    const bool *open;
    bool rest; /* every solenoid is de-energised */
} valve_state;

/* Wheel travels of the user's own; bench stands are not part of it. */
typedef struct motion {
    const char *name;
    const double *travel; /* corners, dimensionless, bump positive */
} motion;

typedef struct load_case {
    const char *name;
    const double *mass; /* kg added, corners */
    bool levelled;
} load_case;

typedef enum requirement_relation {
    REQUIRE_ABOVE,
    REQUIRE_BELOW,
    REQUIRE_EQUAL,
    REQUIRE_HIGHEST, /* as high as can be; without a value */
    REQUIRE_LOWEST,
    REQUIRE_NOTHING /* the figure alone is asked for */
} requirement_relation;

/* A wish for one figure. Names are resolved when it is judged; -1 for a part not given. */
typedef struct requirement {
    const char *text;     /* as written, on one line */
    const char *quantity; /* a figure's name */
    const char *subject;  /* or "" */
    requirement_relation relation;
    double value;     /* SI */
    int level;        /* a baronet_level, 0 where not given */
    int state;        /* index or -1: every state */
    int load_case;    /* index or -1: the base case */
    const char *file; /* where it stands */
    int line;
} requirement;

typedef struct model {
    const char *about; /* "" where not given */
    ambient ambient;
    gas gas;
    bool gas_assumed; /* not given: adiabatic */
    vehicle vehicle;
    network network;
    int states; /* at least 1: index 0 is the charge's default; `rest` is among them */
    const valve_state *state;
    int rest_state;   /* index of `rest`, made where no state is all de-energised or named so */
    int charge_state; /* index */
    int motions;
    const motion *motion;
    int cases; /* the base case is not among them */
    const load_case *load_case;
    int scripts;
    const script *script;
    int requirements;
    const requirement *requirement;
} model;

#endif
