/* command_spread.c: `baronet spread`: what tolerances do.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_spread = {
    .name = "spread",
    .summary = "what part tolerances, load, temperature and altitude do to a figure",
    .example = "baronet spread netlists/camper.air --change RL.load=+-5% \\\n"
               "        --change sleeve-medium.area=+-3% \\\n"
               "        --of 'ride_frequency of RL below 1.02 Hz settled in town'",
    .about =
        "Draws many vehicles, each with parts of its own within the tolerances that are stated,\n"
        "and says where nine in ten of them lie, how sure that is, what the worst corner of all\n"
        "tolerances gives, and which part matters most. A bound behind a figure asks how many\n"
        "meet it. The same seed draws the same vehicles on any machine. --as csv has them all.",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_CHANGE) | OPTION_BIT(OPTION_FROM_LIST) |
               OPTION_BIT(OPTION_OF) | OPTION_BIT(OPTION_RUNS) | OPTION_BIT(OPTION_SEED) |
               OPTION_BIT(OPTION_SHARE) | OPTION_BIT(OPTION_WORKERS),
    .study = baronet_spread,
};
