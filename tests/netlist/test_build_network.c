/* Tests of solver/netlist/build_network.c.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <string.h>

#include "sample.h"
#include "support.h"

#define AS_WRITTEN "as written in the sample"

static const edge *find_edge(const network *net, const char *name) {
    for (int i = 0; i < net->edges; i++) {
        if (strcmp(net->edge[i].name, name) == 0)
            return &net->edge[i];
    }
    cr_assert_fail("no edge %s", name);
    return NULL;
}

static const node *find_node(const network *net, const char *name) {
    for (int i = 0; i < net->nodes; i++) {
        if (strcmp(net->node[i].name, name) == 0)
            return &net->node[i];
    }
    cr_assert_fail("no node %s", name);
    return NULL;
}

Test(build_network, nodes) {
    baronet_netlist *const n = sample(sample_van);
    const network *const net = &netlist_model(n)->network;
    cr_assert_eq(net->nodes, 9);
    cr_expect_str_eq(net->node[0].name, "atmosphere");
    cr_expect_eq(net->node[0].kind, NODE_ATMOSPHERE);
    cr_expect_eq(net->node[0].pressure, 100e3);
    const node *const left = find_node(net, "left-tank");
    cr_expect_eq(left->kind, NODE_TANK);
    cr_expect_eq(left->item, -1);
    CHECK_REL(left->volume, 4e-3, 1e-15, AS_WRITTEN);
    CHECK_REL(left->rated, 12e5, 1e-15, AS_WRITTEN);
    CHECK_REL(left->pressure, 7e5, 1e-15, "6 bar and 100 kPa of ambient");
    cr_expect(left->pressure_given);
    cr_expect_not(find_node(net, "right-tank")->pressure_given);
    CHECK_REL(find_node(net, "middle")->volume, 12e-6, 1e-15, AS_WRITTEN);
    cr_expect_eq(find_node(net, "middle")->kind, NODE_TEE);
    cr_expect_eq(find_node(net, "shop")->kind, NODE_SUPPLY);
    CHECK_REL(find_node(net, "shop")->pressure, 8e5, 1e-15, "absolute as written");
    baronet_netlist_destroy(n);
}

Test(build_network, a_hose_is_a_path_and_its_air) {
    baronet_netlist *const n = sample(sample_van);
    const network *const net = &netlist_model(n)->network;
    const edge *const e = find_edge(net, "left-hose");
    cr_expect_eq(e->kind, EDGE_HOSE);
    cr_expect_str_eq(net->node[e->from].name, "left");
    cr_expect_str_eq(net->node[e->to].name, "middle");
    cr_expect_eq(e->path.kind, LAW_HOSE);
    CHECK_REL(e->path.bore, 9.5e-3, 1e-15, AS_WRITTEN);
    CHECK_REL(e->path.length, 0.45, 1e-15, AS_WRITTEN);
    CHECK_REL(e->path.fittings, 1.2, 1e-15, AS_WRITTEN);
    CHECK_REL(e->path.roughness, 2e-6, 1e-15, AS_WRITTEN);
    cr_expect_not(e->path.assumed);
    const node *const air = &net->node[e->air];
    cr_expect_eq(air->kind, NODE_HOSE);
    cr_expect_str_eq(air->name, "left-hose");
    cr_expect_eq(&net->edge[air->item], e);
    CHECK_REL(air->volume, 3.14159265358979323846 / 4.0 * 9.5e-3 * 9.5e-3 * 0.45, 1e-14,
              "a cylinder");
    baronet_netlist_destroy(n);
}

Test(build_network, solenoids) {
    baronet_netlist *const n = sample(sample_van);
    const network *const net = &netlist_model(n)->network;
    const edge *const left = find_edge(net, "left-gate"), *const right =
                                                              find_edge(net, "right-gate");
    const edge *const cross = find_edge(net, "cross");
    cr_assert_eq(net->solenoids, 3);
    for (int i = 0; i < net->solenoids; i++)
        cr_expect_eq(net->edge[net->solenoid[i]].solenoid, i);
    cr_expect_eq(&net->edge[net->solenoid[1]], right);
    cr_expect(!left->normally_open && right->normally_open && !cross->normally_open);
    cr_expect(left->one_way && !right->one_way);
    CHECK_REL(left->opens_above, 0.3e5, 1e-15, AS_WRITTEN);
    CHECK_REL(left->volts, 12.0, 1e-15, AS_WRITTEN);
    CHECK_REL(left->current, 0.9, 1e-15, AS_WRITTEN);
    CHECK_REL(left->rated, 10e5, 1e-15, AS_WRITTEN);
    cr_expect_eq(left->air, -1);
    cr_expect_eq(left->path.kind, LAW_BORE);
    cr_expect_eq(left->path.discharge, 0.72);
    cr_expect_not(left->path.assumed);
    cr_expect_eq(left->bypass.kind, LAW_BORE);
    CHECK_REL(left->bypass.bore, 0.8e-3, 1e-15, AS_WRITTEN);
    cr_expect_eq(left->bypass.discharge, LAW_DEFAULT_DISCHARGE);
    cr_expect(left->bypass.assumed);
    cr_expect_eq(right->path.kind, LAW_KV);
    CHECK_REL(right->path.kv, 1.1, 1e-15, "m3/h stay m3/h here");
    CHECK_REL(right->path.xt, 0.65, 1e-15, AS_WRITTEN);
    cr_expect_eq(right->bypass.kind, LAW_SONIC);
    CHECK_REL(right->bypass.conductance, 0.01e-8, 1e-15, AS_WRITTEN);
    CHECK_REL(right->bypass.critical, 0.3, 1e-15, AS_WRITTEN);
    CHECK_REL(cross->path.kv, 1.3 / 1.156, 1e-15, "IEC 60534-2-1: Cv = 1.156 Kv");
    cr_expect_eq(cross->path.xt, LAW_DEFAULT_XT);
    cr_expect(cross->path.assumed);
    CHECK_REL(cross->bypass.kv, 0.05, 1e-15, AS_WRITTEN);
    CHECK_REL(cross->bypass.xt, 0.6, 1e-15, AS_WRITTEN);
    baronet_netlist_destroy(n);
}

Test(build_network, other_valves) {
    baronet_netlist *const n = sample(sample_van);
    const network *const net = &netlist_model(n)->network;
    const edge *const choke = find_edge(net, "choke"), *const fill = find_edge(net, "fill");
    const edge *const feed = find_edge(net, "feed"), *const safety = find_edge(net, "safety");
    cr_expect_eq(choke->kind, EDGE_RESTRICTOR);
    CHECK_REL(choke->path.conductance, 0.8e-8, 1e-15, AS_WRITTEN);
    CHECK_REL(choke->path.critical, 0.25, 1e-15, AS_WRITTEN);
    cr_expect_eq(choke->solenoid, -1);
    cr_expect_eq(choke->bypass.kind, LAW_NONE);
    cr_expect_eq(fill->kind, EDGE_CHECK_VALVE);
    CHECK_REL(fill->opens_at, 0.05e5, 1e-15, AS_WRITTEN);
    cr_expect_eq(feed->kind, EDGE_REGULATOR);
    CHECK_REL(feed->set, 7e5, 1e-15, "6 bar and 100 kPa of ambient");
    cr_expect_eq(safety->kind, EDGE_RELIEF);
    CHECK_REL(safety->set, 9e5, 1e-15, "gauge");
    cr_expect_eq(safety->to, 0);
    baronet_netlist_destroy(n);
}

Test(build_network, a_compressor_has_a_table) {
    baronet_netlist *const n = sample(sample_van);
    const edge *const e = find_edge(&netlist_model(n)->network, "pump");
    cr_expect_eq(e->kind, EDGE_COMPRESSOR);
    cr_expect_eq(e->from, 0);
    cr_assert_eq(e->table_rows, 2);
    CHECK_REL(e->table_pressure[0], 1e5, 1e-15, "0 bar gauge at 100 kPa");
    CHECK_REL(e->table_pressure[1], 9e5, 1e-15, "8 bar gauge at 100 kPa");
    CHECK_REL(e->table_flow[0], 0.06 / 60.0, 1e-15, AS_WRITTEN);
    CHECK_REL(e->table_flow[1], 0.02 / 60.0, 1e-15, AS_WRITTEN);
    baronet_netlist_destroy(n);
}
