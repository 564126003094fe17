/* wish.h: what is asked of a figure: QUANTITY [of SUBJECT] (above|below) VALUE [LEVEL] [in STATE]
   [with CASE]. A netlist's `require` says so, and the same words serve whoever varies or sizes a
   part: there the bound may be left out, or be `=` VALUE, `highest` or `lowest`.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_WISH_H
#define NETLIST_WISH_H

#include "netlist/netlist.h"

/* What may be said between a figure and its level. */
typedef enum wish_form {
    WISH_BOUND, /* `above` or `below` and a value: what a netlist requires */
    WISH_GOAL,  /* that, `=` and a value, `highest` or `lowest` */
    WISH_FIGURE /* a bound, or nothing at all */
} wish_form;

/* Reads a wish of a checked netlist; strings of the result are the arena's. BARONET_BAD_NETLIST
   after a complaint to `diagnostics`, whose file is `called`, such as "--want". */
BARONET_CHECKED baronet_status netlist_wish(const baronet_netlist *netlist, const char *called,
                                            const char *wish, wish_form form, arena *a,
                                            baronet_diagnostics *diagnostics, requirement *out);

#endif
