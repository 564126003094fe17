/* command_vary.c: `baronet vary`: figures against a size or two.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_vary = {
    .name = "vary",
    .summary = "any figure against one size or two, with how strongly it follows",
    .example = "baronet vary netlists/camper.air --change rear-size=1L..8L \\\n"
               "        --of 'ride_frequency of RL settled in town'",
    .about =
        "Changes one value of the netlist (NAME.attribute, or a `let`) from LOW to HIGH, or two\n"
        "in a grid, and shows each figure at every point, with the per cent that it follows a\n"
        "per cent where the netlist stands. Figures are said as in `require`; without --of they\n"
        "are those that the netlist requires. --as csv gives the whole table.",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_CHANGE) | OPTION_BIT(OPTION_FROM_LIST) |
               OPTION_BIT(OPTION_OF) | OPTION_BIT(OPTION_POINTS) | OPTION_BIT(OPTION_BY_RATIO) |
               OPTION_BIT(OPTION_PLOT) | OPTION_BIT(OPTION_SHARE) | OPTION_BIT(OPTION_WORKERS),
    .plots = "ride_frequency roll_rate settle_time_63",
    .study = baronet_vary,
};
