/* source.h: the files of one netlist, held in memory, and where in them a byte stands.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_SOURCE_H
#define NETLIST_SOURCE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/memory.h"
#include "base/text.h"
#include "baronet/netlist.h"
#include "netlist/names.h"

/* Where each line begins, made when a place is first asked for, and the column that was last found,
   so that places on one endless line are not counted from its start each time. */
typedef struct source_lines {
    uint32_t *start;
    int count; /* 0: not made yet */
    uint32_t known_start, known_at;
    int known_column;
} source_lines;

typedef struct source {
    const char *path;  /* as it is read */
    const char *shown; /* the same, fit to be shown */
    char *bytes;       /* the allocator's */
    size_t length;
    bool open;                   /* it, or what it includes, is being read */
    const struct source *parent; /* that included it; NULL for the first */
    source_lines lines;
    struct source *next;
} source;

/* Bytes of a source. `start` PLACE_WHOLE means the file as a whole. */
typedef struct place {
    source *source; /* NULL: nowhere */
    uint32_t start, length;
} place;

#define PLACE_WHOLE UINT32_MAX

typedef struct sources {
    arena *arena;
    baronet_reader reader;
    names *keys; /* by path, as short as it can be said: the source, or NULL */
    source *first, *last;
    size_t length; /* bytes of them all */
} sources;

BARONET_CHECKED baronet_status sources_make(sources *out, arena *a, const baronet_reader *reader);
void sources_free(sources *s);

/* The path of `included` as it stands in `includer`, relative to that one's folder; the arena's. */
const char *sources_join(const sources *s, const source *includer, text included);

/* The source at that path: the same for each way of writing the same path. `*fresh` says whether it
   has been read just now. BARONET_NO_FILE with a static reason where it cannot be read. */
BARONET_CHECKED baronet_status sources_load(sources *s, const char *path, const source *parent,
                                            source **out, bool *fresh, const char **reason);

/* A source of bytes in memory, which are copied. BARONET_NO_FILE with a static reason where they
   are too many. */
BARONET_CHECKED baronet_status sources_add_text(sources *s, const char *path, text bytes,
                                                source **out, const char **reason);

/* Why what is beyond BARONET_FILE_LIMIT is not read. */
extern const char source_too_long[];

/* Line and column, from 1, of a byte; the column in characters. 0 for want of memory. */
void source_locate(source *s, arena *a, uint32_t at, int *line, int *column);

/* Columns of an excerpt. */
#define SOURCE_EXCERPT 76

/* Adds the line that a place stands in, or as much of it around the place as an excerpt may hold;
   finds the columns before the place, and those that it takes. */
void source_excerpt(const source *s, uint32_t start, uint32_t length, text_buffer *out, int *caret,
                    int *width);

#endif
