/* desk.h: a sound netlist with what is wanted to ask of it: an arena for the answers, and what is
   said.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_NETLIST_DESK_H
#define TESTS_NETLIST_DESK_H

#include "netlist/dial.h"

typedef struct desk {
    baronet_netlist *netlist;
    arena *arena;
    baronet_diagnostics *diagnostics;
} desk;

/* Fails the test where the text is not sound. */
desk desk_open(const char *words);
void desk_close(desk *k);

/* Reads what may change, said as after --change. */
BARONET_CHECKED baronet_status desk_dial(const desk *k, const char *said, dial *out);

/* The same of several where nothing but success will do. */
void desk_dials(const desk *k, int count, const char *const *said, dial *out);

#endif
