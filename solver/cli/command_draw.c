/* command_draw.c: `baronet draw`: the plumbing in plan view.
   SPDX-License-Identifier: MIT */
#include "cli/command.h"

const command command_draw = {
    .name = "draw",
    .summary = "the plumbing in plan view, as a drawing",
    .example = "baronet draw netlists/camper.air --state easy",
    .about =
        "Draws wheels and springs at their places, front up, and all else among them, with\n"
        "the symbols of ISO 1219-1. With --state the valves stand as they do in that state:\n"
        "lines of air that a spring works on are thick, what is shut off is thin and dashed.\n"
        "--show adds sizes and pressures. The format is svg, for a browser or a printer: keep it\n"
        "with --out. As text: what joins what.",
    .options = OPTION_BIT(OPTION_STATE) | OPTION_BIT(OPTION_CASE) | OPTION_BIT(OPTION_UNITS) |
               OPTION_BIT(OPTION_AS) | OPTION_BIT(OPTION_OUT) | OPTION_BIT(OPTION_SHOW) |
               OPTION_BIT(OPTION_HELP),
    .format = BARONET_SVG,
    .study = baronet_draw,
};
