/* part.h: what a thing of the network is to whoever buys it or draws it.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_PART_H
#define MODEL_PART_H

#include "model/network.h"

typedef enum part_kind {
    PART_SPRING, /* items: nodes */
    PART_TANK,
    PART_SUPPLY,
    PART_TEE,
    PART_ATMOSPHERE,
    PART_HOSE, /* items from here on: edges */
    PART_RESTRICTOR,
    PART_SOLENOID,
    PART_CHECK_VALVE,
    PART_REGULATOR,
    PART_RELIEF,
    PART_COMPRESSOR,
    PART_KINDS
} part_kind;

static inline bool part_is_edge(part_kind kind) {
    return kind >= PART_HOSE;
}

/* A hose's own air is part of the hose. */
part_kind part_of_node(node_kind kind);
part_kind part_of_edge(edge_kind kind);

#endif
