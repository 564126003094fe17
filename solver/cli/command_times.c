/* command_times.c: `baronet times`: how fast air evens out.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_times = {
    .name = "times",
    .summary = "is each tank in play, is a cross-link quick enough, how fast it settles",
    .example = "baronet times netlists/camper.air --state easy --bend 3s",
    .about =
        "Whether each path lets its air take part at ride frequency, how soon each motion has\n"
        "softened after a held bump, and what a cross-link does within a bend. Hoses and valves\n"
        "resist the more the more they carry, so all of it is for a stated swing (--swing).",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_BEND),
    .study = baronet_times,
};
