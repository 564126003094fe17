/* address.h: a value of a netlist by its address: `cross.bypass`, `ambient.temperature`, or the
   name of a `let` alone. Whoever varies or sizes a part finds its value so, and where to write it
   anew.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_ADDRESS_H
#define NETLIST_ADDRESS_H

#include "netlist/netlist.h"
#include "netlist/statement.h"

/* What an address stands for. Where the attribute has several values it is the first that is a
   number, or else the first. */
typedef struct address {
    const entry *entry;
    const grammar_attribute *row;
    value value;
    place place;  /* of the value; what stands there may be put in other words, all else kept */
    slot slot;    /* what else may stand there */
    int position; /* of the value among those of its attribute */
    int names;    /* how many of those before it are names */
} address;

/* Reads the statement of that name, or of a keyword that stands once; NULL where there is none. */
const entry *netlist_entry(const baronet_netlist *netlist, text said);

/* What a number of an attribute was read as. */
slot attribute_slot(const attribute *a, int position);

/* BARONET_NO_SUCH_NAME where nothing has that name, or it was not given that attribute. Memory is
   the arena's. */
BARONET_CHECKED baronet_status netlist_address(const baronet_netlist *netlist, const char *said,
                                               arena *a, address *out);

#endif
