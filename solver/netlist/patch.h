/* patch.h: a copy of a netlist's model in which some values are others, without reading the netlist
   again. Each dial's value goes, by the very arithmetic of the builder, to every number of the
   model that was made from it.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_PATCH_H
#define NETLIST_PATCH_H

#include "netlist/dial.h"

typedef struct patch patch;

/* BARONET_TOO_MANY where some dial moves what cannot be changed so (a corner's place, a row of a
   table, the masses of a case): the netlist is then to be read again with other words in it. The
   dials and the netlist must outlive the patch. */
BARONET_CHECKED baronet_status patch_create(patch **out, const baronet_netlist *netlist, int dials,
                                            const dial *dial_list,
                                            const baronet_allocator *allocator);
void patch_destroy(patch *p);

/* Sets every dial (`values`: one each, SI). No allocation. */
void patch_set(patch *p, const double *values);

/* The copy: the same model at every call, with its layout unchanged. */
const model *patch_model(const patch *p);

#endif
