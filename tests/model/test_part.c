/* SPDX-License-Identifier: MIT */
#include "model/part.h"

#include <criterion/criterion.h>

/* Nodes are parts below hoses but for the air in hoses; each kind of edge is a kind of part of its
   own. */
Test(part, nodes_and_edges_have_kinds_of_their_own) {
    for (int kind = NODE_SPRING; kind <= NODE_ATMOSPHERE; kind++) {
        cr_expect_eq(part_is_edge(part_of_node((node_kind)kind)), kind == NODE_HOSE);
    }
    int seen[PART_KINDS] = {0};
    for (int kind = EDGE_HOSE; kind <= EDGE_COMPRESSOR; kind++) {
        const part_kind part = part_of_edge((edge_kind)kind);
        cr_expect(part_is_edge(part));
        cr_expect_eq(seen[part]++, 0);
    }
}
