/* command_size.c: `baronet size`: sizes that meet targets.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_size = {
    .name = "size",
    .summary = "sizes that meet targets: tanks, hoses, restrictors, from bounds or lists",
    .example = "baronet size netlists/camper.air --change rear-size=1L..8L \\\n"
               "        --want 'ride_frequency of RL = 1.05 Hz settled in town'",
    .about =
        "Finds values between bounds, or from lists of what can be bought, at which each figure\n"
        "is what is wanted of it: above, below or = a value, highest or lowest. Of all that do,\n"
        "those closest to the netlist's own. Without --want, what the netlist requires. Says\n"
        "which target binds, and how near each can come where not all can be met. --write makes\n"
        "the changed netlist, comments kept, never over the one that was read unless --replace.",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_CHANGE) | OPTION_BIT(OPTION_FROM_LIST) |
               OPTION_BIT(OPTION_WANT) | OPTION_BIT(OPTION_WRITE) | OPTION_BIT(OPTION_REPLACE) |
               OPTION_BIT(OPTION_WORKERS),
    .study = baronet_size,
};
