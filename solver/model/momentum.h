/* momentum.h: how the flow of air in a hose gains and loses speed: the law of hoses with its
   inertia.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_MOMENTUM_H
#define MODEL_MOMENTUM_H

#include "model/flow.h"

/* Change of a hose's mass flow in time, and how it changes with what it depends on. */
typedef struct push {
    double value;          /* kg/s2, positive towards the second side */
    double by_flow;        /* 1/s */
    double by_first;       /* kg/(s2 Pa): change with the first pressure */
    double by_second;      /* kg/(s2 Pa): change with the second */
    double by_temperature; /* kg/(s2 K): of the side that the flow comes from */
} push;

/* With L/a the inertance of the hose and p1 the side that the flow q comes from,
       (L/a) dq/dt = p1 - p2 - (q/a)^2 R T [f L/D + heads + 2 ln(p1/p2)]/(p1 + p2),
   which at rest is the law of hoses itself (flow.h), for p1^2 - p2^2 is (p1 - p2)(p1 + p2). The
   outlet's pressure does not fall below q sqrt(R T)/a, where it chokes. The last term, what the
   steady flow takes to speed up along the hose, is left out where the pressure rises. `hose` is a
   law of LAW_HOSE or a part of one. */
push momentum_at(const law *hose, double q, flow_side first, flow_side second);

#endif
