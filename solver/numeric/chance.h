/* chance.h: numbers that look random and are the same on every machine: each is made from a seed
   and its own place alone, so that no order of asking changes them.
   SPDX-License-Identifier: MIT */
#ifndef NUMERIC_CHANCE_H
#define NUMERIC_CHANCE_H

/* An even number in (0, 1): of a seed, a row and a column. SplitMix64 (Steele, Lea and Flood,
   OOPSLA 2014) of their mix. */
double chance_even(unsigned long long seed, unsigned long long row, unsigned long long column);

#endif
