/* text.h: slices of text, and a buffer that text is written into. Numbers are read and written with
   a point whatever the locale of the process.
   SPDX-License-Identifier: MIT */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

#include "baronet/allocator.h"

/* Bytes that belong to somebody else; not terminated. */
typedef struct text {
    const char *start;
    size_t length;
} text;

text text_of(const char *terminated);
bool text_equals(text a, const char *terminated);
bool text_same(text a, text b);

/* Byte offset of the first byte that is not UTF-8 (overlong forms, surrogates and NUL count as
   such), or `length` where all of it is. */
size_t text_valid_utf8(const char *start, size_t length);

/* Columns that the text takes in a terminal: code points, combining marks not counted, wide ones
   counted twice. Invalid bytes count as one. */
size_t text_columns(const char *start, size_t length);

/* Reads a decimal number (sign, digits, point, exponent) at `start`; correctly rounded, whatever
   the locale. Returns the bytes used, 0 where none stands there. An overflow gives an infinity. */
size_t text_read_number(const char *start, const char *end, double *value);

/* How unlike two words are: insertions, deletions, exchanges and swaps of neighbours, in bytes;
   gives up and returns `limit` + 1 above it, and for words beyond 63 bytes that are not the same.
 */
size_t text_distance(text a, text b, size_t limit);

/* How unlike a word of that length may be to another and still be taken for it. */
size_t text_tolerance(size_t length);

/* A buffer keeps the first failure of its allocator and then ignores all writing, so that a long
   run of writes is checked once at its end. Zero-filled is a valid empty buffer on malloc. */
typedef struct text_buffer {
    const baronet_allocator *allocator;
    char *bytes; /* terminated where not NULL */
    size_t length;
    size_t capacity;
    bool failed;
} text_buffer;

void text_buffer_free(text_buffer *buffer);
void text_buffer_add(text_buffer *buffer, const char *terminated);
void text_buffer_add_bytes(text_buffer *buffer, const char *start, size_t length);
void text_buffer_fill(text_buffer *buffer, char character, size_t count);
/* As vsnprintf; do not use it for numbers with a fraction, which follow the locale. */
void text_buffer_format(text_buffer *buffer, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void text_buffer_vformat(text_buffer *buffer, const char *format, va_list arguments);
/* A number with so many significant digits, shortest form without trailing zeros (%.*g with a
 * point). */
void text_buffer_number(text_buffer *buffer, double value, int significant);
/* A number with so many digits after the point (%.*f with a point); -0 is written 0. */
void text_buffer_fixed(text_buffer *buffer, double value, int decimals);

#endif
