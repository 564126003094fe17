/* picture_html.h: a picture of curves in a page of HTML: the drawing, a line that the script reads
   values into, and the numbers as a table.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_PICTURE_HTML_H
#define OUTPUT_PICTURE_HTML_H

#include "output/picture.h"
#include "output/xml.h"

/* Adds it below an element, or nothing where there is nothing to draw. Of long curves the table has
   some rows only, both ends among them. */
void picture_html(xml_document *d, xml_element *in, const page *p, const picture *c);

#endif
