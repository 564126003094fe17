/* command_ride.c: `baronet ride`: modes, comfort and grip, load and balance.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_ride = {
    .name = "ride",
    .summary = "ride modes and damping, comfort and grip on a road, load and balance",
    .example = "baronet ride netlists/camper.air --road-class C --speed 80km/h",
    .about =
        "How each state swings and what damps it, what a road does to the seat, the suspension "
        "and\n"
        "the tyres, and how load moves between the wheels in a bend, under braking and over a\n"
        "diagonal obstacle: at once, and after open paths have evened out.",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_ROAD_CLASS) | OPTION_BIT(OPTION_SPEED),
    .study = baronet_ride,
};
