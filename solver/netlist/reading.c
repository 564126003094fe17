/* SPDX-License-Identifier: MIT */
#include "netlist/reading.h"

#include <string.h>

#include "netlist/plain.h"

#define SHOWN_COLUMNS 40 /* of a name in a message */

void *reading_take(reading *r, size_t count, size_t size) {
    void *const taken = r->failed ? NULL : arena_take(r->arena, count, size);
    r->failed |= !taken;
    return taken;
}

name *reading_name(reading *r, text t) {
    name *const n = r->failed ? NULL : names_take(r->netlist->names, t);
    r->failed |= !n;
    return n;
}

const entry *reading_find(const reading *r, text t) {
    const name *const n = names_find(r->netlist->names, t);
    return n ? n->meaning : NULL;
}

bool reading_talks(const reading *r) {
    return r->diagnostics && !r->failed && !diagnostics_full(r->diagnostics);
}

/* Fills in the place and its excerpt. */
static void show_place(reading *r, place at, baronet_diagnostic *d, text_buffer *excerpt) {
    if (!at.source)
        return;
    d->file = at.source->shown;
    if (at.start == PLACE_WHOLE)
        return;
    source_locate(at.source, r->arena, at.start, &d->line, &d->column);
    r->failed |= d->line == 0;
    source_excerpt(at.source, at.start, at.length, excerpt, &d->caret, &d->width);
    d->excerpt = excerpt->bytes;
}

static void add(reading *r, baronet_severity severity, place at, const char *hint,
                const char *format, va_list arguments) {
    const baronet_allocator *const allocator = arena_allocator(r->arena);
    text_buffer message = {.allocator = allocator}, excerpt = {.allocator = allocator};
    baronet_diagnostic d = {.severity = severity, .message = "", .hint = hint};
    if (reading_talks(r)) {
        text_buffer_vformat(&message, format, arguments);
        show_place(r, at, &d, &excerpt);
        d.message = message.bytes;
    }
    r->failed |= message.failed || excerpt.failed;
    if (r->diagnostics && !r->failed) {
        diagnostics_add(r->diagnostics, &d);
        r->failed |= diagnostics_failed(r->diagnostics);
    }
    text_buffer_free(&message);
    text_buffer_free(&excerpt);
}

void complain(reading *r, place at, const char *hint, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    r->errors++;
    add(r, BARONET_ERROR, at, hint, format, arguments);
    va_end(arguments);
}

void warn(reading *r, place at, const char *hint, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    add(r, BARONET_WARNING, at, hint, format, arguments);
    va_end(arguments);
}

/* The buffer's text as the arena's; frees the buffer. */
static const char *keep(reading *r, text_buffer *buffer) {
    const char *const kept =
        buffer->failed ? NULL : arena_copy_text(r->arena, buffer->bytes, buffer->length);
    text_buffer_free(buffer);
    r->failed |= !kept;
    return kept ? kept : "";
}

const char *shown(reading *r, text t) {
    if (!reading_talks(r))
        return "";
    text_buffer buffer = {.allocator = arena_allocator(r->arena)};
    text_buffer_add(&buffer, "");
    plain_add(&buffer, t, SHOWN_COLUMNS);
    if (text_columns(t.start, t.length) > SHOWN_COLUMNS)
        text_buffer_add(&buffer, "...");
    return keep(r, &buffer);
}

const char *shown_place(reading *r, place at) {
    if (!reading_talks(r))
        return "";
    int line = 0, ignored = 0;
    source_locate(at.source, r->arena, at.start, &line, &ignored);
    text_buffer buffer = {.allocator = arena_allocator(r->arena)};
    text_buffer_format(&buffer, "%s:%d", at.source->shown, line);
    return keep(r, &buffer);
}
