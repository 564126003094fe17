/* network.h: the air side: volumes (nodes) and the paths between them (edges), and which nodes are
   joined to which in a given position of the valves.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_NETWORK_H
#define MODEL_NETWORK_H

#include <stdbool.h>

#include "base/memory.h"
#include "baronet/status.h"
#include "model/law.h"

typedef enum node_kind {
    NODE_SPRING,
    NODE_TANK,
    NODE_TEE,
    NODE_HOSE,      /* the air inside a hose */
    NODE_SUPPLY,    /* held at its pressure */
    NODE_ATMOSPHERE /* held at ambient pressure; always node 0 */
} node_kind;

typedef struct node {
    const char *name;
    node_kind kind;
    double volume;   /* m3; 0 for springs (theirs varies), supplies and the atmosphere */
    double pressure; /* Pa absolute, where `pressure_given` */
    bool pressure_given;
    double rated; /* Pa gauge; 0 where none is given */
    int item;     /* index of the spring, or of the hose's edge; -1 for others */
} node;

typedef enum edge_kind {
    EDGE_HOSE,
    EDGE_RESTRICTOR,
    EDGE_SOLENOID,
    EDGE_CHECK_VALVE,
    EDGE_REGULATOR,
    EDGE_RELIEF,
    EDGE_COMPRESSOR
} edge_kind;

typedef struct edge {
    const char *name;
    edge_kind kind;
    int from, to; /* nodes */
    int air;      /* node of a hose's own air, -1 for others */
    law path;     /* when open; of a hose its law as a hose */
    int solenoid; /* its place among the solenoids, -1 for others */
    law bypass;   /* of a solenoid when shut; LAW_NONE where it is tight */
    bool normally_open;
    bool one_way;       /* a solenoid that cannot hold against reverse flow */
    double opens_above; /* Pa, a piloted solenoid's least difference; 0 for none */
    double opens_at;    /* Pa, of a check valve; 0 */
    double set;         /* Pa absolute for a regulator, Pa gauge for a relief against its outlet */
    double volts, current;        /* V, A; 0 where not given */
    double rated;                 /* Pa gauge; 0 where none is given */
    int table_rows;               /* of a compressor */
    const double *table_pressure; /* Pa absolute at the outlet, rising */
    const double *table_flow;     /* m3/s of free air (20 C, 100 kPa) */
} edge;

/* Whether its pressure is given: a supply, the atmosphere. */
static inline bool node_is_held(const node *n) {
    return n->kind == NODE_SUPPLY || n->kind == NODE_ATMOSPHERE;
}

typedef struct network {
    int nodes;
    const node *node;
    int edges;
    const edge *edge;
    int solenoids;
    const int *solenoid; /* edge of each solenoid, in order of the netlist */
} network;

/* What joins two nodes in one position of the valves: hoses and restrictors always, solenoids as
   `open` says (one entry a solenoid); with `bypasses`, shut solenoids that pass a little too. Check
   valves, regulators, reliefs and compressors join nothing. */
bool network_joins(const network *net, int edge_index, const bool *open, bool bypasses);

/* The law by which air passes there, as in network_joins: a shut solenoid's is its bypass. NULL
   where none does. */
const law *network_law(const network *net, int edge_index, const bool *open, bool bypasses);

/* Nodes joined by open paths share a group. */
typedef struct groups {
    int count;
    int *of_node;     /* nodes: group of each, numbered in order of first node */
    int *springs;     /* count: springs in it */
    double *fixed;    /* count, m3: volume of tanks, tees and hoses */
    int *held;        /* count: a supply or the atmosphere in it, -1 for none */
    int *second_held; /* count: another one with a different pressure, -1 for none */
    int *scratch;     /* nodes */
} groups;

/* Room for the most groups a network can have; all memory is the arena's. */
BARONET_CHECKED baronet_status groups_make(groups *out, arena *a, const network *net);

/* Finds the groups; near linear time, no allocation. `ambient` (Pa) is the atmosphere's pressure.
 */
void groups_find(groups *g, const network *net, const bool *open, bool bypasses, double ambient);

/* Sums the fixed volumes anew, once the nodes have others; which are joined stays as it was found.
 */
void groups_measure(groups *g, const network *net);

#endif
