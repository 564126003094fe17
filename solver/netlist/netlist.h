/* netlist.h: what studies see of a netlist: its model, and the allocator to work with.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_NETLIST_H
#define NETLIST_NETLIST_H

#include "baronet/netlist.h"
#include "model/model.h"

struct source;

const model *netlist_model(const baronet_netlist *netlist);
const baronet_allocator *netlist_allocator(const baronet_netlist *netlist);
/* The first of its files, in the order in which they were first read. */
const struct source *netlist_sources(const baronet_netlist *netlist);

#endif
