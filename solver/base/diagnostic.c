/* diagnostic.c: the collection of diagnostics, kept in order of place as they come, and its text.
   SPDX-License-Identifier: MIT */
#include "base/diagnostic.h"

#include <assert.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"

#define SEVERITIES    3
#define INDENT        "  "
#define COLOUR_PLACE  "\033[1m"
#define COLOUR_ERROR  "\033[1;31m"
#define COLOUR_SOFTER "\033[1;33m" /* warnings and notes */
#define COLOUR_END    "\033[0m"

struct baronet_diagnostics {
    const baronet_allocator *allocator;
    arena *strings;
    size_t limit;
    baronet_diagnostic *kept; /* in order of place */
    size_t count, capacity;
    const char **files; /* in order of being seen; kept[].file points at one of these */
    size_t file_count, file_capacity;
    size_t total[SEVERITIES];   /* all that were added */
    size_t kept_of[SEVERITIES]; /* and those of them still here */
    text_buffer text;
    bool failed;
};

baronet_diagnostics *baronet_diagnostics_create(const baronet_allocator *allocator, size_t limit) {
    baronet_diagnostics *d = memory_resize(allocator, NULL, sizeof *d);
    if (!d)
        return NULL;
    *d = (baronet_diagnostics){.allocator = allocator,
                               .limit = limit > 0 ? limit : DIAGNOSTICS_USUAL};
    d->text.allocator = allocator;
    d->strings = arena_create(allocator);
    if (!d->strings) {
        baronet_diagnostics_destroy(d);
        return NULL;
    }
    return d;
}

void baronet_diagnostics_destroy(baronet_diagnostics *diagnostics) {
    if (!diagnostics)
        return;
    const baronet_allocator *const allocator = diagnostics->allocator;
    arena_destroy(diagnostics->strings);
    memory_resize(allocator, diagnostics->kept, 0);
    memory_resize(allocator, diagnostics->files, 0);
    text_buffer_free(&diagnostics->text);
    memory_resize(allocator, diagnostics, 0);
}

size_t baronet_diagnostics_count(const baronet_diagnostics *diagnostics) {
    return diagnostics->count;
}

const baronet_diagnostic *baronet_diagnostics_at(const baronet_diagnostics *diagnostics,
                                                 size_t index) {
    assert(index < diagnostics->count);
    return &diagnostics->kept[index];
}

size_t baronet_diagnostics_total(const baronet_diagnostics *diagnostics,
                                 baronet_severity severity) {
    assert(severity < SEVERITIES);
    return diagnostics->total[severity];
}

bool diagnostics_failed(const baronet_diagnostics *diagnostics) {
    return diagnostics->failed;
}

bool diagnostics_full(const baronet_diagnostics *diagnostics) {
    return diagnostics->kept_of[BARONET_ERROR] >= diagnostics->limit;
}

/* A copy of a string that may be NULL; remembers a failure. */
static const char *copy_string(baronet_diagnostics *d, const char *string) {
    if (!string)
        return NULL;
    const char *const copy = arena_copy_text(d->strings, string, strlen(string));
    d->failed |= !copy;
    return copy;
}

/* The collection's own copy of a file's name, the same one each time. */
static const char *intern_file(baronet_diagnostics *d, const char *file) {
    if (!file)
        return NULL;
    for (size_t i = d->file_count; i > 0; i--) {
        if (strcmp(d->files[i - 1], file) == 0)
            return d->files[i - 1];
    }
    const char **const files =
        memory_grow(d->allocator, d->files, d->file_count, &d->file_capacity, sizeof *files);
    const char *const copy = files ? copy_string(d, file) : NULL;
    d->failed |= !files;
    if (files)
        d->files = files;
    if (copy)
        d->files[d->file_count++] = copy;
    return copy;
}

/* Place of a file in the order of being seen; what has no file comes before all. */
static size_t file_rank(const baronet_diagnostics *d, const char *file) {
    size_t rank = 0;
    while (file && d->files[rank] != file)
        rank++;
    return file ? rank + 1 : 0;
}

/* True where `a` stands before `b`, both with interned files. */
static bool is_before(const baronet_diagnostics *d, const baronet_diagnostic *a,
                      const baronet_diagnostic *b) {
    if (a->file != b->file)
        return file_rank(d, a->file) < file_rank(d, b->file);
    return a->line != b->line ? a->line < b->line : a->column < b->column;
}

/* Puts one behind all that do not stand after it. Diagnostics mostly come in order, so that few, if
   any, are moved. */
static void insert(baronet_diagnostics *d, const baronet_diagnostic *added) {
    size_t at = d->count;
    while (at > 0 && is_before(d, added, &d->kept[at - 1])) {
        d->kept[at] = d->kept[at - 1];
        at--;
    }
    d->kept[at] = *added;
    d->kept_of[added->severity]++;
    d->count++;
}

/* Drops the last that is no error: an error must not go unseen because warnings came first. */
static void drop_softer(baronet_diagnostics *d) {
    size_t at = d->count - 1;
    while (d->kept[at].severity == BARONET_ERROR)
        at--;
    d->kept_of[d->kept[at].severity]--;
    d->count--;
    memmove(d->kept + at, d->kept + at + 1, (d->count - at) * sizeof *d->kept);
}

/* True where there is room for one more of this severity, made if need be. */
static bool make_room(baronet_diagnostics *d, baronet_severity severity) {
    if (d->count >= d->limit) {
        if (severity != BARONET_ERROR || diagnostics_full(d))
            return false;
        drop_softer(d);
        return true;
    }
    baronet_diagnostic *const kept =
        memory_grow(d->allocator, d->kept, d->count, &d->capacity, sizeof *kept);
    d->failed |= !kept;
    if (kept)
        d->kept = kept;
    return kept != NULL;
}

void diagnostics_add(baronet_diagnostics *diagnostics, const baronet_diagnostic *diagnostic) {
    assert(diagnostic->severity < SEVERITIES && diagnostic->message);
    baronet_diagnostics *const d = diagnostics;
    d->total[diagnostic->severity]++;
    if (d->failed || !make_room(d, diagnostic->severity))
        return;
    baronet_diagnostic copy = *diagnostic;
    copy.file = intern_file(d, diagnostic->file);
    copy.message = copy_string(d, diagnostic->message);
    copy.excerpt = copy_string(d, diagnostic->excerpt);
    copy.hint = copy_string(d, diagnostic->hint);
    if (!d->failed)
        insert(d, &copy);
}

static void write_coloured(text_buffer *out, bool colour, const char *start) {
    if (colour)
        text_buffer_add(out, start);
}

/* "file:line:column: " as far as there is a place. */
static void write_place(text_buffer *out, const baronet_diagnostic *d) {
    if (!d->file)
        return;
    text_buffer_add(out, d->file);
    if (d->line > 0)
        text_buffer_format(out, ":%d", d->line);
    if (d->line > 0 && d->column > 0)
        text_buffer_format(out, ":%d", d->column);
    text_buffer_add(out, ": ");
}

static void write_excerpt(text_buffer *out, const baronet_diagnostic *d, bool colour,
                          const char *severity_colour) {
    text_buffer_format(out, INDENT "%s\n" INDENT, d->excerpt);
    text_buffer_fill(out, ' ', d->caret > 0 ? (size_t)d->caret : 0);
    write_coloured(out, colour, severity_colour);
    text_buffer_add(out, "^");
    text_buffer_fill(out, '~', d->width > 1 ? (size_t)d->width - 1 : 0);
    write_coloured(out, colour, COLOUR_END);
    text_buffer_add(out, "\n");
}

static void write_diagnostic(text_buffer *out, const baronet_diagnostic *d, bool colour) {
    static const char *const words[SEVERITIES] = {"error", "warning", "note"};
    const char *const shade = d->severity == BARONET_ERROR ? COLOUR_ERROR : COLOUR_SOFTER;
    write_coloured(out, colour, COLOUR_PLACE);
    write_place(out, d);
    write_coloured(out, colour, COLOUR_END);
    write_coloured(out, colour, shade);
    text_buffer_format(out, "%s:", words[d->severity]);
    write_coloured(out, colour, COLOUR_END);
    text_buffer_format(out, " %s\n", d->message);
    if (d->excerpt)
        write_excerpt(out, d, colour, shade);
    if (d->hint)
        text_buffer_format(out, INDENT "%s\n", d->hint);
}

/* "... and 3 more errors", or of warnings where no error is missing; notes are not counted out. */
static void write_missing(text_buffer *out, const baronet_diagnostics *d) {
    const size_t errors = d->total[BARONET_ERROR] - d->kept_of[BARONET_ERROR];
    const size_t warnings = d->total[BARONET_WARNING] - d->kept_of[BARONET_WARNING];
    const size_t count = errors > 0 ? errors : warnings;
    if (count > 0)
        text_buffer_format(out, "... and %zu more %s%s\n", count, errors > 0 ? "error" : "warning",
                           count > 1 ? "s" : "");
}

const char *baronet_diagnostics_text(baronet_diagnostics *diagnostics, bool colour) {
    text_buffer *const out = &diagnostics->text;
    text_buffer_free(out);
    text_buffer_add(out, "");
    for (size_t i = 0; i < diagnostics->count; i++)
        write_diagnostic(out, &diagnostics->kept[i], colour);
    write_missing(out, diagnostics);
    return out->failed ? NULL : out->bytes;
}
