/* sample.h: netlists in memory for the tests, and what is expected of reading them.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_NETLIST_SAMPLE_H
#define TESTS_NETLIST_SAMPLE_H

#include "netlist/netlist.h"

/* A file in memory; a list of them ends with a path NULL. */
typedef struct sample_file {
    const char *path, *text;
} sample_file;

/* Reads from such a list and from nowhere else. */
baronet_reader sample_reader(const sample_file *files);

/* A netlist that has to be sound; fails the test with the diagnostics where it is not. */
baronet_netlist *sample(const char *text);

/* What is said about a netlist, all of it; to be freed. `*status` may be NULL. */
char *sample_said(const char *text, baronet_status *status);

/* Fails the test unless the netlist is refused and this is part of what is said. */
void sample_refused(const char *text, const char *part);

/* A van's rear axle with every kind of statement in it. */
extern const char sample_van[];

#endif
