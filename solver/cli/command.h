/* command.h: what a command of the program is: words for its help, the options it takes, and the
   study that answers it. One file a command; all of them are listed in commands.c.
   SPDX-License-Identifier: MIT */
#ifndef CLI_COMMAND_H
#define CLI_COMMAND_H

#include "cli/options.h"

/* Most memory that a netlist and an answer may take, bytes: before the machine is brought to a
   standstill. */
#define COMMAND_MEMORY ((size_t)8 << 30)

typedef struct command {
    const char *name;
    const char *summary;   /* one line for the list of commands */
    const char *example;   /* a command line that works */
    const char *about;     /* a paragraph; its line ends count as blanks */
    option_bits options;   /* by option_index */
    const char *plots;     /* what it can draw, words with blanks between; NULL: nothing */
    baronet_format format; /* where --as does not say */
    baronet_study *study;
} command;

extern const command command_check;
extern const command command_rates;
extern const command command_stroke;
extern const command command_times;
extern const command command_response;
extern const command command_ride;
extern const command command_play;
extern const command command_draw;
extern const command command_faults;
extern const command command_states;
extern const command command_parts;
extern const command command_report;
extern const command command_vary;
extern const command command_size;
extern const command command_spread;

/* Reads, asks and writes; the exit code. */
int command_run(const command *c, const settings *s);

/* Help of one command on standard output. */
void command_help(const command *c);

#endif
