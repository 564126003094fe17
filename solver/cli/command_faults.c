/* command_faults.c: `baronet faults`: each single failure.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_faults = {
    .name = "faults",
    .summary = "what each single failure does: burst, stuck valve, lost supply or current",
    .example = "baronet faults netlists/camper.air --state easy",
    .about =
        "Breaks each spring, hose, tank and valve in turn, in one state (--state; the charged one\n"
        "where not given), and lets it play out for a minute: how far each corner goes down, how\n"
        "soon, which others are drawn down with it. The worst comes first.",
    .options = OPTIONS_COMMON | OPTION_BIT(OPTION_DROP),
    .study = baronet_faults,
};
