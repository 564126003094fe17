/* wish.h: what is asked of a figure: QUANTITY [of SUBJECT] (above|below) VALUE [LEVEL] [in STATE]
   [with CASE]. A netlist's `require` says so, and the same words serve whoever sizes a part, who
   may also say `=`.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_WISH_H
#define NETLIST_WISH_H

#include "netlist/netlist.h"

/* Reads a wish of a checked netlist; strings of the result are the arena's. BARONET_BAD_NETLIST
   after a complaint to `diagnostics`, whose file is `called`, such as "--want". */
BARONET_CHECKED baronet_status netlist_wish(const baronet_netlist *netlist, const char *called,
                                            const char *wish, arena *a,
                                            baronet_diagnostics *diagnostics, requirement *out);

#endif
