/* command_play.c: `baronet play`: events in time.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_play = {
    .name = "play",
    .summary = "events in time: bump, bend, brake, switch, load, fill, dump, leak, burst",
    .example = "baronet play netlists/camper.air --event bend-linked --plot vehicle.roll",
    .about =
        "Runs the events of the netlist on the full nonlinear system: air, hoses, body, wheels,\n"
        "dampers and valves in time. The summary comes first; as csv the series: time, then one\n"
        "column for each NAME.quantity. --points says how many rows.",
    /* Each event says in which state it starts. */
    .options = (OPTIONS_COMMON & ~OPTION_BIT(OPTION_STATE)) | OPTION_BIT(OPTION_EVENT) |
               OPTION_BIT(OPTION_POINTS) | OPTION_BIT(OPTION_PLOT),
    .plots = "vehicle.roll height gauge_pressure load flow",
    .study = baronet_play,
};
