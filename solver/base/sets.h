/* sets.h: which of some things are joined: disjoint sets, each known by the least of its members.
   SPDX-License-Identifier: MIT */
#ifndef BASE_SETS_H
#define BASE_SETS_H

/* Each of `count` things by itself. The array is all that is kept; it is the caller's. */
void sets_start(int *set, int count);

/* The least member of the set that a thing is in. Shortens the way there for later calls. */
int sets_find(int *set, int thing);

void sets_join(int *set, int one, int other);

#endif
