/* dial.h: a value of a netlist that is to be changed, and how far: NAME.attribute, or the name of a
   `let`, then `=` and LOW..HIGH, or values parted by commas, or +-AMOUNT, or +-N%. Several names
   joined by `+` change together.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_DIAL_H
#define NETLIST_DIAL_H

#include "netlist/address.h"

/* How a dial was said to move. */
typedef enum dial_form {
    DIAL_RANGE,    /* LOW..HIGH */
    DIAL_LIST,     /* one of several values */
    DIAL_TOLERANCE /* the netlist's value, a little more or less */
} dial_form;

/* One thing that a dial changes. */
typedef struct dial_target {
    keyword keyword;
    word word;
    const entry *entry; /* NULL where the netlist does not say what is changed: the ambient air */
    bool written;       /* it stands in the netlist, at `address` */
    address address;
} dial_target;

typedef struct dial {
    const char *name; /* as it was said */
    int targets;
    const dial_target *target;
    dial_form form;
    slot slot;                /* what its values are */
    const baronet_unit *unit; /* that they were said in; NULL for a bare number */
    bool scale;               /* values are factors of all of a profile's column */
    double now;               /* what the netlist has: of the first target */
    double low, high;
    int values; /* of DIAL_LIST */
    const double *value;
} dial;

/* Values are SI; a pressure is as its unit says, gauge or absolute.

   Reads what is said in the words of a command line; `list`, unless NULL, is a list of values given
   apart. BARONET_BAD_NETLIST after a complaint to `diagnostics`, whose file is `called`, such as
   "--change". Memory is the arena's. */
BARONET_CHECKED baronet_status netlist_dial(const baronet_netlist *netlist, const char *called,
                                            const char *said, const char *list, arena *a,
                                            baronet_diagnostics *diagnostics, dial *out);

/* A dial's value in words that the netlist may take, such as "3.47 L". */
void dial_words(const dial *d, double value, int digits, text_buffer *out);

/* The dimension that the value is shown in: a load is a mass where it was said as one. */
baronet_dimension dial_dimension(const dial *d);
/* The value in that dimension. */
double dial_shown(const dial *d, double value);

#endif
