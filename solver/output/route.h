/* route.h: lines along a grid that join what belongs together, upright or level, round what stands
   in the way, with few corners and crossings. Whole numbers only: the same lines on every machine.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_ROUTE_H
#define OUTPUT_ROUTE_H

#include "output/place.h"

/* Directions, clockwise; a port of any direction may be left and reached every way. */
typedef enum route_way { ROUTE_UP, ROUTE_RIGHT, ROUTE_DOWN, ROUTE_LEFT, ROUTE_ANY } route_way;

spot route_step(spot at, int way);

/* Where a line may begin or end: at a point, leaving it that way. */
typedef struct route_port {
    spot at;
    int way;
    int net;  /* what it belongs to; ports of one net are to be joined */
    bool own; /* of the part that the net is: any of these will do for the net's other ports */
} route_port;

typedef struct route_line {
    int net;
    int points;
    spot *point; /* corners and ends, in order */
    bool forced; /* no way was found: it goes straight across whatever is there */
} route_line;

typedef struct route_plan {
    int lines;
    route_line *line;
    int dots;
    spot *dot; /* where three lines or more of a net meet */
} route_plan;

/* On a grid of width x height points (indexed y width + x), of which the `blocked` may not be
   passed, joins the ports of each net. Memory is the arena's. OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status route_solve(route_plan *out, arena *a, int width, int height,
                                           const bool *blocked, int ports, const route_port *port);

#endif
