/* place.h: things that are joined get places on a grid, so that what joins them is short, straight
   and crosses little. Whole numbers only, and chance from a counter: the same places on every
   machine. Why it is our own is told in DEVELOPERS.md.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_PLACE_H
#define OUTPUT_PLACE_H

#include <stdbool.h>

#include "base/memory.h"
#include "baronet/api.h"
#include "baronet/status.h"

/* A point of a drawing, in steps to the right and down. */
typedef struct spot {
    int x, y;
} spot;

/* A thing that joins two others, by two links that leave it on opposite sides. */
typedef struct place_path {
    int thing, from, to; /* things */
} place_path;

typedef struct place_task {
    int columns, rows;
    const int *x, *y;  /* columns and rows: where each lies, rising */
    const bool *taken; /* rows x columns: nothing may stand there */
    int things;
    const bool *fixed;     /* things: stay where they are */
    const bool *two_sides; /* things: are entered from two sides alone */
    int paths;
    const place_path *path;
} place_task;

/* What a path leads to: where it is, and whether it is entered from two sides alone. */
typedef struct place_end {
    spot at;
    bool two_sides;
} place_end;

/* The way (0 up, then clockwise) in which a path should look to `from`, its back to `to`, so that
   its lines have the fewest corners; how many these are. */
int place_turn(spot at, place_end from, place_end to, int *corners);

/* Finds a slot (row x columns + column) for each thing; on entry those of fixed things stand in it
   and all others are -1. There are at least as many free slots as things. OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status place_solve(const place_task *task, int *slot, arena *a);

#endif
