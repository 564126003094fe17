/* netlist.h: what studies see of a netlist: its model, and the allocator to work with.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_NETLIST_H
#define NETLIST_NETLIST_H

#include "baronet/netlist.h"
#include "model/model.h"

const model *netlist_model(const baronet_netlist *netlist);
const baronet_allocator *netlist_allocator(const baronet_netlist *netlist);
/* One of its files, in the order in which they were first read; borrowed. */
typedef struct netlist_file {
    const char *path; /* as it was read; NULL beyond the last */
    const char *bytes;
    size_t length;
} netlist_file;
netlist_file netlist_file_at(const baronet_netlist *netlist, int index);

#endif
