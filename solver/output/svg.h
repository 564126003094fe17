/* svg.h: elements of SVG drawings within a document of XML: shapes with places in hundredths of a
   unit, text with a width that can be told beforehand, and the one style of all drawings.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_SVG_H
#define OUTPUT_SVG_H

#include "output/xml.h"

#define SVG_SPACE "http://www.w3.org/2000/svg"

/* Where words stand against their place. */
typedef enum svg_anchor { SVG_START, SVG_MIDDLE, SVG_END } svg_anchor;

/* An element that others are drawn into. It is passed by value; an element of NULL is ignored. */
typedef struct svg {
    xml_document *document;
    xml_element *element;
} svg;

/* An <svg> of this size in units below a parent: alone, in a page of HTML, or in another <svg> at
   (x, y), with what it shows in a few words (the name of the picture) and in sentences (freed). */
svg svg_picture(svg in, double width, double height, const char *title, text_buffer *about);

/* Makes a tree's root an <svg> of this size, shown `scale` times as large where there is room. */
void svg_size(svg root, double width, double height, double scale);

/* The colours as custom properties of the root element, for light, dark and print: leave this out
   where a page has its own. Then how each class looks by those properties. */
void svg_style(svg in, bool colours);

/* Elements; `classes` as in the style, NULL for none. A path takes its data and frees the buffer.
 */
svg svg_add(svg in, const char *name, const char *classes, const char *words);
svg svg_group(svg in, const char *classes);
svg svg_line(svg in, const char *classes, double x1, double y1, double x2, double y2);
svg svg_box(svg in, const char *classes, double x, double y, double width, double height);
svg svg_circle(svg in, const char *classes, double x, double y, double radius);
svg svg_path(svg in, const char *classes, text_buffer *data);
svg svg_text(svg in, const char *classes, svg_anchor anchor, double x, double y, const char *words);

/* More words at the end of a text, with an ellipsis where there are `more` that it does not show.
 */
void svg_append(svg at, text words, bool more);
/* An attribute, or with a name of NULL text, from a buffer, which is freed; its failure is the
   document's. */
void svg_take(svg at, const char *name, text_buffer *words);
/* An empty buffer to fill for it. */
text_buffer svg_buffer(svg at);
/* An attribute that is a place or a length. */
void svg_set(svg at, const char *name, double value);
/* Writes a place as all places are written: a hundredth of a unit is the least that is told apart,
   and what lies half-way between two goes up on every machine. */
void svg_write(text_buffer *out, double value);

/* Adds a command of a path, such as 'L', with its point. */
void svg_to(text_buffer *path, char command, double x, double y);

/* Width (units) of words at a size of font: no common sans-serif font is wider by more than a few
   per cent. */
double svg_width(text words, double size);
/* As many bytes of the words as are no wider than `width`; whole characters. */
size_t svg_fitting(text words, double size, double width);
/* Text that is cut short with an ellipsis where it is wider than `width`, and then says all of it
   in a title of its own. */
svg svg_text_within(svg in, const char *classes, svg_anchor anchor, double x, double y,
                    const char *words, double size, double width);

#endif
