/* view.h: the renderers, one a format.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_VIEW_H
#define OUTPUT_VIEW_H

#include "output/page.h"

/* Columns that text for people keeps within, unless one word or cell is longer. */
enum { VIEW_COLUMNS = 80 };
/* Significant digits that a value keeps for machines: more than any input has. */
enum { VIEW_DIGITS = 9 };
/* Of JSON and XML; it rises when a document that was right before is no longer. */
enum { VIEW_VERSION = 1 };

void view_text(const page *p, bool colour, text_buffer *out);
void view_html(const page *p, text_buffer *out);
void view_csv(const page *p, text_buffer *out);
void view_json(const page *p, text_buffer *out);
void view_xml(const page *p, text_buffer *out);
void view_svg(const page *p, text_buffer *out);

/* An SI value in the unit that is shown. */
double view_value(double value, const baronet_unit *unit);

/* "metric", "imperial" or "si". */
const char *view_units(baronet_unit_system units);

/* What JSON and XML call a kind of block; NULL for what begins a section and for what they leave
   out: pictures, whose numbers are in the series, and the text of files. */
const char *view_kind(block_kind kind);

/* True of a heading and of a chapter's. */
bool view_begins_section(const block *b);

/* True where a block has something to say in JSON and XML. */
bool view_keeps(const block *b);

#endif
