/* law.h: how much air passes a path: the kind of law and its numbers, as the netlist gives them.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_LAW_H
#define MODEL_LAW_H

#include <stdbool.h>

typedef enum law_kind {
    LAW_NONE,  /* nothing passes */
    LAW_BORE,  /* sharp restriction: bore and cd */
    LAW_SONIC, /* ISO 6358-1: C and b */
    LAW_KV,    /* IEC 60534-2-1: Kv and xT */
    LAW_HOSE   /* bore, length, roughness, fittings */
} law_kind;

typedef struct law {
    law_kind kind;
    double bore;        /* m */
    double discharge;   /* cd, dimensionless */
    double conductance; /* C, m3/(s Pa) */
    double critical;    /* b, dimensionless */
    double kv;          /* m3/h, as the standard's equations take it */
    double xt;          /* dimensionless */
    double length;      /* m */
    double roughness;   /* m */
    double fittings;    /* sum of loss coefficients, velocity heads */
    double zone;        /* Pa, difference below which a restrictor is linear; 0: by FLOW_LINEAR
                           (flow.h) */
    bool assumed;       /* cd, xt or roughness is the default and not given */
} law;

/* Defaults, common practice, no source; printed as assumed wherever they matter. */
#define LAW_DEFAULT_DISCHARGE 0.8
#define LAW_DEFAULT_XT        0.7
#define LAW_DEFAULT_ROUGHNESS 1.5e-6 /* m, drawn plastic tube */

#endif
