/* SPDX-License-Identifier: MIT */
#include "model/part.h"

part_kind part_of_node(node_kind kind) {
    static const part_kind kinds[] = {
        [NODE_SPRING] = PART_SPRING, [NODE_TANK] = PART_TANK,
        [NODE_TEE] = PART_TEE,       [NODE_HOSE] = PART_HOSE,
        [NODE_SUPPLY] = PART_SUPPLY, [NODE_ATMOSPHERE] = PART_ATMOSPHERE,
    };
    return kinds[kind];
}

part_kind part_of_edge(edge_kind kind) {
    static const part_kind kinds[] = {
        [EDGE_HOSE] = PART_HOSE,
        [EDGE_RESTRICTOR] = PART_RESTRICTOR,
        [EDGE_SOLENOID] = PART_SOLENOID,
        [EDGE_CHECK_VALVE] = PART_CHECK_VALVE,
        [EDGE_REGULATOR] = PART_REGULATOR,
        [EDGE_RELIEF] = PART_RELIEF,
        [EDGE_COMPRESSOR] = PART_COMPRESSOR,
    };
    return kinds[kind];
}
