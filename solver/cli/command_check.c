/* command_check.c: `baronet check`: is the netlist sound.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_check = {
    .name = "check",
    .summary = "is the netlist sound, what is in it, are its requirements met",
    .example = "baronet check netlists/camper.air",
    .about = "Reads the netlist, charges the system and stands the vehicle in every state.\n"
             "Says what is in it, which state does not stand and why, and judges each\n"
             "`require`; the exit code is 1 where one is not met, so a script can watch\n"
             "over a design.",
    .options = OPTIONS_COMMON,
    .study = baronet_check,
};
