/* command_parts.c: `baronet parts`: what to buy.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_parts = {
    .name = "parts",
    .summary = "what to buy, what it must be rated for, how to wire the solenoids",
    .example = "baronet parts netlists/camper.air",
    .about =
        "Lists the parts of the air system, like ones together, each with the highest pressure\n"
        "that it meets in any state, load case and event of the netlist, beside its rating; hose\n"
        "by bore; the energy in each vessel; the solenoids' truth table and current. --as csv is\n"
        "a purchase list for a spreadsheet.",
    /* It looks at every state and case itself. */
    .options = OPTION_BIT(OPTION_UNITS) | OPTION_BIT(OPTION_AS) | OPTION_BIT(OPTION_OUT) |
               OPTION_BIT(OPTION_HELP),
    .study = baronet_parts,
};
