/* command_report.c: `baronet report`: all of it in one page.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_report = {
    .name = "report",
    .summary = "all of it in one page of HTML, the answer first",
    .example = "baronet report netlists/rear.air",
    .about = "Asks every question and sets the answers out in one page, which loads nothing from\n"
             "elsewhere: send it, print it, keep it with the vehicle. The same netlist gives the\n"
             "same bytes; a date is in it only where SOURCE_DATE_EPOCH is set.",
    .options = OPTIONS_COMMON,
    .format = BARONET_HTML,
    .study = baronet_report,
};
