/* SPDX-License-Identifier: MIT */
#include "netlist/plain.h"

#include <string.h>

/* Bytes that the first byte of a character announces. */
static size_t announced(char first) {
    const unsigned char c = (unsigned char)first;
    return c < 0xC0 ? 1 : c < 0xE0 ? 2 : c < 0xF0 ? 3 : 4;
}

static bool is_character(const char *start, const char *end, size_t size) {
    return size <= (size_t)(end - start) && text_valid_utf8(start, size) == size;
}

size_t plain_step(const char *start, const char *end) {
    const size_t size = announced(*start);
    return is_character(start, end, size) ? size : 1;
}

const char *plain_step_back(const char *start, const char *at) {
    const char *back = at - 1;
    while (back > start && at - back < 4 && ((unsigned char)*back & 0xC0) == 0x80)
        back--;
    return plain_step(back, at) == (size_t)(at - back) ? back : at - 1;
}

/* Controls of the second kind (U+0080 to U+009F), marks and controls of the direction of writing
   (U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069) and separators of lines (U+2028, U+2029). */
static bool is_unsafe(const char *start, size_t size) {
    const unsigned char *const c = (const unsigned char *)start;
    if (size == 2)
        return c[0] == 0xC2 && c[1] < 0xA0;
    if (size != 3 || c[0] != 0xE2)
        return false;
    if (c[1] == 0x80)
        return c[2] == 0x8E || c[2] == 0x8F || (c[2] >= 0xA8 && c[2] <= 0xAE);
    return c[1] == 0x81 && c[2] >= 0xA6 && c[2] <= 0xA9;
}

size_t plain_add(text_buffer *buffer, text t, size_t columns) {
    /* Marks that take no column must not make a line endless. */
    const size_t most = 64 + (columns < t.length ? columns : t.length) * 4;
    const char *at = t.start, *const end = t.start + t.length;
    size_t used = 0, bytes = 0;
    while (at < end && bytes < most) {
        const size_t size = announced(*at);
        const bool whole = is_character(at, end, size) && !is_unsafe(at, size);
        const unsigned char c = (unsigned char)*at;
        const bool space = c == '\t' || c == '\n' || c == '\r';
        const bool shown = whole && c >= 0x20 && c != 0x7F;
        const char *const what = space ? " " : shown ? at : "?";
        const size_t length = shown ? size : 1;
        const size_t width = text_columns(what, length);
        if (used + width > columns)
            break;
        text_buffer_add_bytes(buffer, what, length);
        used += width;
        bytes += length;
        at += plain_step(at, end);
    }
    return used;
}
