/* outline.h: the first look at a source: which statements it has, what they are called and where
   they stand, those of included files in their places. Values named by `let` are read at once, the
   rest when all names are known.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_OUTLINE_H
#define NETLIST_OUTLINE_H

#include "netlist/reading.h"

/* Goes over the source, and what it includes, into the reading's netlist. */
void outline_read(reading *r, source *s);

#endif
