/* reading.h: what one reading of a netlist works with, and how it complains. Memory that runs out
   is remembered here, so that it is asked for once, at the end.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_READING_H
#define NETLIST_READING_H

#include "base/diagnostic.h"
#include "model/model.h"
#include "netlist/statement.h"

/* Statements of one keyword, in their order. */
typedef struct entries {
    entry *first, *last;
    int count;
} entries;

/* What is kept of a reading. All is the arena's but the bytes of the sources and the table of the
   names. */
struct baronet_netlist {
    arena *arena;
    sources sources;
    names *names;
    entries list[KEYWORDS];
    int nodes, edges; /* the atmosphere is node 0 */
    model model;
};

typedef struct reading {
    baronet_netlist *netlist;
    arena *arena; /* of what is made: the netlist's, or that of whoever asks about it later */
    baronet_diagnostics *diagnostics;
    size_t errors;
    uint32_t order;  /* statements so far */
    bool failed;     /* memory ran out */
    bool incomplete; /* a file is missing, so that names may be missing too */
    size_t patience; /* words that may still be compared in search of the closest */
} reading;

/* Words compared in search of close ones, in all of one reading: some tenths of a second. */
#define READING_PATIENCE ((size_t)2000000)

/* Zeroed memory of the reading's arena; NULL for want of memory, which is remembered. */
void *reading_take(reading *r, size_t count, size_t size);
#define READING_ARRAY(r, type, count) ((type *)reading_take((r), (size_t)(count), sizeof(type)))

/* The word among the names, made where it is not; NULL for want of memory. */
name *reading_name(reading *r, text t);

/* The statement that bears this name, or NULL. */
const entry *reading_find(const reading *r, text t);

/* False where words are lost on a full collection. Hints are made only where it is true. */
bool reading_talks(const reading *r);

/* Adds an error or a warning. The hint may be NULL. */
void complain(reading *r, place at, const char *hint, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void warn(reading *r, place at, const char *hint, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* A text fit to be shown in a message, cut where it is long; the arena's, never NULL. "" where the
   reading does not talk. */
const char *shown(reading *r, text t);

/* "file:line" of a place, likewise. */
const char *shown_place(reading *r, place at);

#endif
