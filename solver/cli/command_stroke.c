/* command_stroke.c: `baronet stroke`: load, pressure and rate over the travel.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_stroke = {
    .name = "stroke",
    .summary = "load, pressure and rate over the whole travel",
    .example = "baronet stroke netlists/camper.air --state easy --motion heave",
    .about = "Moves the wheels from where a state stands until a spring's table ends, a\n"
             "spring goes slack or a wheel lifts. Without --motion: heave, and each bench\n"
             "spring by itself.",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_MOTION) | OPTION_BIT(OPTION_LEVEL) |
               OPTION_BIT(OPTION_POINTS) | OPTION_BIT(OPTION_PLOT),
    .plots = "load gauge_pressure wheel_rate",
    .study = baronet_stroke,
};
