/* options.h: the options of the program: one table that feeds parsing, help and suggestions.
   SPDX-License-Identifier: MIT */
#ifndef CLI_OPTIONS_H
#define CLI_OPTIONS_H

#include <stdio.h>

#include "baronet/baronet.h"

typedef enum option_index {
    OPTION_STATE,
    OPTION_CASE,
    OPTION_UNITS,
    OPTION_AS,
    OPTION_OUT,
    OPTION_ALL,
    OPTION_MOTION,
    OPTION_LEVEL,
    OPTION_POINTS,
    OPTION_SWING,
    OPTION_BEND,
    OPTION_FROM,
    OPTION_TO,
    OPTION_ROAD,
    OPTION_ROAD_CLASS,
    OPTION_SPEED,
    OPTION_EVENT,
    OPTION_PLOT,
    OPTION_DROP,
    OPTION_CHANGE,
    OPTION_FROM_LIST,
    OPTION_OF,
    OPTION_WANT,
    OPTION_BY_RATIO,
    OPTION_SHARE,
    OPTION_RUNS,
    OPTION_SEED,
    OPTION_WORKERS,
    OPTION_WRITE,
    OPTION_REPLACE,
    OPTION_SHOW,
    OPTION_HELP,
    OPTIONS
} option_index;

typedef unsigned long long option_bits;
#define OPTION_BIT(index) (1ull << (index))
/* What every command takes. */
#define OPTIONS_COMMON                                                                             \
    (OPTION_BIT(OPTION_STATE) | OPTION_BIT(OPTION_CASE) | OPTION_BIT(OPTION_UNITS) |               \
     OPTION_BIT(OPTION_AS) | OPTION_BIT(OPTION_OUT) | OPTION_BIT(OPTION_SWING) |                   \
     OPTION_BIT(OPTION_HELP))

typedef struct option {
    const char *name;     /* with its dashes */
    const char *argument; /* what follows it, NULL for nothing */
    const char *help;
} option;

/* Most things that may be said to change, and most figures; most vehicles that are drawn, and
   shares of rows. */
enum { OPTIONS_CHANGES = 64, OPTIONS_RUNS = 10000000, OPTIONS_SHARES = 1000000 };

/* What a command line asks for. */
typedef struct settings {
    const char *file;
    const char *out; /* NULL: standard output */
    baronet_format format;
    baronet_question question;
    baronet_change change[OPTIONS_CHANGES]; /* of the question */
    const char *wish[OPTIONS_CHANGES];
    const char *write; /* size: where the changed netlist goes; NULL: nowhere */
    bool replace;      /* it may take the place of the one that was read */
    bool help;
} settings;

/* The table's row. */
const option *option_at(option_index index);

/* An option's line of the help. */
void option_print(FILE *to, option_index index);

/* Reads into settings that hold the format where --as does not say. Reads arguments[0..count) for a
   command that takes the options of these bits. False where they are wrong: what is wrong has then
   been said on standard error. */
bool options_read(settings *out, const char *command_name, option_bits allowed, int count,
                  char *const *arguments);

#endif
