#include "cli/command.h"

const command command_states = {
    .name = "states",
    .summary = "the valve-state table: states side by side, with what changes",
    .example = "baronet states netlists/camper.air",
    .about =
        "What each state does to ride, roll, one-wheel bumps and heights, and the change from\n"
        "the charged state as numbers and per cent. With --all every combination of the\n"
        "solenoids; those that differ only where no spring breathes are one.",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_ALL),
    .study = baronet_states,
};
