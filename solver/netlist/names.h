/* names.h: every word that may be a name, once, with what it stands for. A word is hashed when it
   is read and never again: whoever holds its entry holds what it means, now or later.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_NAMES_H
#define NETLIST_NAMES_H

#include <stdint.h>

#include "base/memory.h"
#include "base/text.h"

typedef struct name {
    void *meaning; /* what it stands for, NULL where nothing has said so yet */
    uint32_t hash;
    uint32_t length;
    char text[]; /* terminated */
} name;

typedef struct names names;

/* Entries are the arena's, and so is the table. NULL for want of memory. */
names *names_create(arena *a);
/* Gives back the table alone. */
void names_destroy(names *n);

/* The entry of that text, made where there is none; NULL for want of memory. */
name *names_take(names *n, text t);

/* The entry of that text, or NULL. */
name *names_find(const names *n, text t);

#endif
