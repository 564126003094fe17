/* command_rates.c: `baronet rates`: how a state stands and how stiff it is.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_rates = {
    .name = "rates",
    .summary = "pressures, heights, rates, ride frequencies, roll and balance",
    .example = "baronet rates netlists/camper.air --state easy",
    .about = "Everything about how a state stands and how stiff it is: instant (no air has\n"
             "moved), settled (open paths have evened out) and parked (bypasses of shut\n"
             "valves too).",
    .options = OPTIONS_COMMON,
    .study = baronet_rates,
};
