/* record.h: what is kept of an event while it runs: rows of a series, the highest and lowest of
   each quantity, and how its springs moved, to tell when they came to rest.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_RECORD_H
#define STUDIES_RECORD_H

#include "baronet/units.h"
#include "studies/dynamics.h"

typedef enum channel_kind {
    CHANNEL_HEIGHT,         /* m, spring */
    CHANNEL_GAUGE_PRESSURE, /* Pa, node */
    CHANNEL_TEMPERATURE,    /* K, node: of springs and tanks whose air may differ from its walls */
    CHANNEL_HEIGHT_SHIFT,   /* m, corner: up positive, against the settled charged state */
    CHANNEL_LOAD,           /* N, wheel: on a scale */
    CHANNEL_BODY,           /* m or rad: a body motion, heave against the start */
    CHANNEL_FLOW,           /* kg/s, edge */
    CHANNEL_KINDS
} channel_kind;

typedef struct channel {
    channel_kind kind;
    int item;
    double start, end;
    double lowest, lowest_at, highest, highest_at; /* with the times, s */
} channel;

typedef struct record {
    const dynamics *dynamics;
    const double *design_travel; /* m, corners: of the settled charged state */
    arena *arena;
    int channels;
    channel *channel;
    double heave; /* m, at the start */
    double drop;  /* m */
    double *fell; /* s, corners: when its height had fallen by the drop; NAN where it never did */
    int near;     /* samples since the last jump, up to 2 */
    double near_time[2];
    double *near_value[2]; /* channels: the sample before the last, the last */
    double *value;         /* channels: work space */

    /* The series: rows of time and channels. */
    size_t rows, row_room;
    double *row;
    /* Heights of the springs at every sample: rows of time and springs. */
    size_t marks, mark_room;
    double *mark;
    bool failed; /* memory ran out */
} record;

/* Corners that fall by `drop` (m) from where they stood are kept an eye on. */
BARONET_CHECKED baronet_status record_create(record **out, const dynamics *m,
                                             const double *design_travel, double drop);
void record_destroy(record *r);

/* Takes a sample at a state that is seen; with `keep` a row of the series too. */
void record_take(record *r, double t, const double *y, bool keep);
/* The next sample is not a neighbour of the last one: something jumped. */
void record_jump(record *r);

/* The channel, NULL where there is none such. */
const channel *record_find(const record *r, channel_kind kind, int item);

/* The time (s) from which on every spring stays near its height at the end: within `least` (m) or
   `part` of the farthest that it was from there since `from`. NAN where nothing is known. */
double record_settled(const record *r, double from, double least, double part);

const char *channel_quantity(const channel *c);
baronet_dimension channel_dimension(const channel *c);
/* What the channel is of: the name of a node, corner or edge, or `vehicle`. */
const char *channel_subject(const model *m, const channel *c);

#endif
