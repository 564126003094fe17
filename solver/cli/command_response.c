/* command_response.c: `baronet response`: stiffness from slow to quick.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_response = {
    .name = "response",
    .summary = "dynamic stiffness and the body's answer to the road, by frequency",
    .example = "baronet response netlists/camper.air --state easy --motion heave",
    .about = "How stiff each motion is from slow to quick at the stated swing (--swing), the\n"
             "part that springs back (storage) and the part that damps (loss), and how much\n"
             "of a road that moves in the same motion the body follows. As csv with --road:\n"
             "that answer instead.",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_MOTION) | OPTION_BIT(OPTION_FROM) |
               OPTION_BIT(OPTION_TO) | OPTION_BIT(OPTION_POINTS) | OPTION_BIT(OPTION_PLOT) |
               OPTION_BIT(OPTION_ROAD),
    .plots = "storage loss body_per_road",
    .study = baronet_response,
};
