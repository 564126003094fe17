/* view.h: the renderers, one a format.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_VIEW_H
#define OUTPUT_VIEW_H

#include "output/page.h"

/* Columns that text for people keeps within, unless one word or cell is longer. */
enum { VIEW_COLUMNS = 80 };

void view_text(const page *p, bool colour, text_buffer *out);
void view_csv(const page *p, text_buffer *out);

#endif
