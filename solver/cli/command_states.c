/* command_states.c: `baronet states`: the valve states side by side.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_states = {
    .name = "states",
    .summary = "the valve-state table: states side by side, with what changes",
    .example = "baronet states netlists/camper.air",
    .about = "What each state does to ride, roll, one-wheel bumps and heights, and the\n"
             "change from the charged state as numbers and per cent. With --all every\n"
             "combination of the solenoids; those that differ only where no spring breathes\n"
             "are one.",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_ALL),
    .study = baronet_states,
};
