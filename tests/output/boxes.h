/* boxes.h: where the words of an SVG drawing stand, read back from its bytes, to see that none
   overlap and none is cut off.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_OUTPUT_BOXES_H
#define TESTS_OUTPUT_BOXES_H

#include <stddef.h>

typedef struct box {
    char words[256];
    char kind[64]; /* class of the element, "" for none */
    double left, top, right, bottom;
} box;

typedef struct boxes {
    double width, height; /* of the drawing */
    size_t count, room;
    box *box;
} boxes;

/* Reads the boxes of all text, in units of the outermost drawing; fails the test where the bytes
   are not well-formed XML or hold anything that is fetched from elsewhere. */
boxes boxes_read(const char *bytes);
void boxes_free(boxes *b);

/* Fails the test where two boxes overlap or one reaches beyond the drawing. */
void boxes_check(const char *what, const boxes *b);

#endif
