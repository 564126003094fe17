/* rewrite.h: a netlist's text rewritten so that it says the same, or the same but for what is named
   here. All results are to be freed.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_REWRITE_H
#define TESTS_REWRITE_H

/* The text of a file with its includes in place. */
char *rewrite_whole(const char *path);

/* The names that `let` gives are their values. */
char *rewrite_plainly(const char *netlist);

/* Each quantity in another unit, drawn from a seed, where there is one. */
char *rewrite_units(const char *netlist, unsigned long long seed);

/* Each name another: NAME is spelled backwards after `n-`. */
char *rewrite_names(const char *netlist);

/* A name, or several joined by `/`, `:` or `+`, as rewrite_names has them, back to what they were;
   names joined by `+` in order of the alphabet. */
void rewrite_back(char *name, unsigned size, int renamed);

/* The statements in another order; those of states among themselves, and of corners, stay. */
char *rewrite_order(const char *netlist, unsigned long long seed);

/* The corners in another order among themselves. */
char *rewrite_corners(const char *netlist, unsigned long long seed);

/* The design heights of all springs by a millionth more: not the same. */
char *rewrite_nudged(const char *netlist);

/* Left for right. */
char *rewrite_mirrored(const char *netlist);

/* Each hose as two of half its length with a tee between. A sharp entry and an exit are lost at
   each, so `split` false gives the whole hose the fittings that come to the same. */
char *rewrite_hoses(const char *netlist, int split);

/* Each tank as two with a wide path between. */
char *rewrite_tanks(const char *netlist);

/* Without events, and without the solenoids that nothing opens and nothing passes. */
char *rewrite_shut(const char *netlist, int without);

/* With a relief on each tank that nothing reaches. */
char *rewrite_reliefs(const char *netlist);

#endif
