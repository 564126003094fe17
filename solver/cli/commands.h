/* commands.h: every command of the program in one table, which feeds the help, the manual and the
   shells' completions; and the exit codes.
   SPDX-License-Identifier: MIT */
#ifndef CLI_COMMANDS_H
#define CLI_COMMANDS_H

#include "cli/command.h"

/* The command at a place from 0 on, NULL beyond the last. */
const command *commands_at(int place);

/* The command of that name, or NULL. */
const command *commands_find(const char *name);

/* What an exit code means, in a few words; NULL beyond the last. */
const char *commands_exit_words(int code);

#endif
