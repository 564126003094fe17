/* paths_section.h: what joins what, as a table on the page: a drawing for those who cannot see it.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_PATHS_SECTION_H
#define OUTPUT_PATHS_SECTION_H

#include "model/model.h"
#include "output/page.h"

/* Every path in order of the netlist; with the positions of the solenoids, which are open. */
void paths_section(page *p, const model *m, const bool *open);

#endif
