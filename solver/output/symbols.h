/* symbols.h: the symbols of ISO 1219-1 for the parts of a plan, in plain lines.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_SYMBOLS_H
#define OUTPUT_SYMBOLS_H

#include "output/plan.h"
#include "output/svg.h"

/* Draws a part's symbol with its middle at (x, y), turned as it stands. A solenoid valve is one of
   two squares: what it does at rest beside its spring, what it does energised beside its solenoid;
   the lines meet the square that is in force, which is filled. */
void symbol_draw(svg in, const plan_part *part, const model *m, double x, double y);

#endif
