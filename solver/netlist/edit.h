/* edit.h: a netlist's text with some of its values in other words, and all around them kept as it
   was: comments, spaces and order.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_EDIT_H
#define NETLIST_EDIT_H

#include "netlist/dial.h"

/* Text of the netlist's first file with every dial at its value (SI), in so many significant
   digits. BARONET_NO_SUCH_NAME where a dial's value does not stand in that file itself but in one
   that it includes, or nowhere; `*stands` then says which dial. */
BARONET_CHECKED baronet_status netlist_edited(const baronet_netlist *netlist, int dials,
                                              const dial *dial_list, const double *values,
                                              int digits, text_buffer *out, int *stands);

/* The same netlist read again with its dials at other values: every file from memory, the changed
   ones changed. Owned by the caller. BARONET_BAD_NETLIST where it is wrong so, or a value stands
   nowhere. */
BARONET_CHECKED baronet_status netlist_again(const baronet_netlist *netlist, int dials,
                                             const dial *dial_list, const double *values,
                                             const baronet_allocator *allocator,
                                             baronet_netlist **out);

#endif
