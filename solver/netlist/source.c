/* SPDX-License-Identifier: MIT */
#include "netlist/source.h"

#include <assert.h>
#include <string.h>

#include "netlist/plain.h"

baronet_status sources_make(sources *out, arena *a, const baronet_reader *reader) {
    *out = (sources){
        .arena = a, .reader = reader ? *reader : baronet_file_reader(), .keys = names_create(a)};
    return out->keys ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

void sources_free(sources *s) {
    for (source *f = s->first; f; f = f->next)
        memory_resize(arena_allocator(s->arena), f->bytes, 0);
    names_destroy(s->keys);
    *s = (sources){0};
}

const char *sources_join(const sources *s, const source *includer, text included) {
    const char *const slash = strrchr(includer->path, '/');
    const bool absolute = included.length > 0 && included.start[0] == '/';
    const size_t folder = slash && !absolute ? (size_t)(slash - includer->path) + 1 : 0;
    /* A lone "-" would be the standard input. */
    const char *const here = folder == 0 && text_equals(included, "-") ? "./" : "";
    const size_t dots = strlen(here);
    char *const joined = arena_take(s->arena, 1, folder + dots + included.length + 1);
    if (!joined)
        return NULL;
    memcpy(joined, includer->path, folder);
    memcpy(joined + folder, here, dots);
    memcpy(joined + folder + dots, included.start, included.length);
    return joined;
}

/* Writes the path without empty and "." parts, and each ".." with what it undoes; returns the
   length, one more than the path's at most. Only to tell whether two paths are one file: where a
   folder is a link elsewhere, two names of one file stay two files, and the depth of includes still
   ends them. */
static size_t shorten(const char *path, char *out) {
    const bool absolute = *path == '/';
    size_t length = absolute; /* its slash */
    size_t fixed = length;    /* what no ".." undoes */
    memcpy(out, "/", 1);
    while (*path) {
        const size_t part = strcspn(path, "/");
        const bool up = part == 2 && memcmp(path, "..", 2) == 0;
        if (up && length > fixed) {
            length--; /* the slash behind the part that it undoes */
            while (length > fixed && out[length - 1] != '/')
                length--;
        } else if (part > 0 && !(part == 1 && *path == '.') && !(up && absolute)) {
            memcpy(out + length, path, part);
            length += part;
            out[length++] = '/';
            fixed = up ? length : fixed;
        }
        path += part + (path[part] == '/');
    }
    return length;
}

/* The entry that stands for this path however it is written. */
static name *key_of(sources *s, const char *path) {
    char *const key = arena_take(s->arena, 1, strlen(path) + 2);
    return key ? names_take(s->keys, (text){key, shorten(path, key)}) : NULL;
}

static const char *shown_path(arena *a, const char *path) {
    text_buffer buffer = {.allocator = arena_allocator(a)};
    text_buffer_add(&buffer, "");
    plain_add(&buffer, text_of(path), SIZE_MAX);
    const char *const shown =
        buffer.failed ? NULL : arena_copy_text(a, buffer.bytes, buffer.length);
    text_buffer_free(&buffer);
    return shown;
}

/* Adds a source that takes over the bytes, or gives them back for want of memory. */
static baronet_status add(sources *s, const char *path, char *bytes, size_t length, source **out) {
    source *const f = ARENA_ARRAY(s->arena, source, 1);
    const char *const kept = arena_copy_text(s->arena, path, strlen(path));
    const char *const shown = shown_path(s->arena, path);
    if (!f || !kept || !shown) {
        memory_resize(arena_allocator(s->arena), bytes, 0);
        return BARONET_OUT_OF_MEMORY;
    }
    *f = (source){.path = kept, .shown = shown, .bytes = bytes, .length = length};
    if (s->last)
        s->last->next = f;
    else
        s->first = f;
    s->last = f;
    s->length += length;
    *out = f;
    return BARONET_OK;
}

baronet_status sources_load(sources *s, const char *path, const source *parent, source **out,
                            bool *fresh, const char **reason) {
    name *const key = key_of(s, path);
    if (!key)
        return BARONET_OUT_OF_MEMORY;
    *fresh = key->meaning == NULL;
    *out = key->meaning;
    if (!*fresh)
        return BARONET_OK;
    char *bytes = NULL;
    size_t length = 0;
    *reason = "cannot be read";
    const size_t room = BARONET_FILE_LIMIT - s->length;
    const baronet_status status = s->reader.read(
        s->reader.context, path, room, arena_allocator(s->arena), &bytes, &length, reason);
    if (status != BARONET_OK)
        return status;
    assert(length <= room && (bytes || length == 0));
    if (!bytes && !(bytes = memory_resize(arena_allocator(s->arena), NULL, 1)))
        return BARONET_OUT_OF_MEMORY;
    const baronet_status added = add(s, path, bytes, length, out);
    if (added == BARONET_OK) {
        key->meaning = *out;
        (*out)->parent = parent;
    }
    return added;
}

const char source_too_long[] = "files of a netlist are 256 MiB at most, all together";
_Static_assert(BARONET_FILE_LIMIT == (size_t)256 << 20, "the sentence above gives the number");

baronet_status sources_add_text(sources *s, const char *path, text bytes, source **out,
                                const char **reason) {
    *reason = source_too_long;
    if (bytes.length > BARONET_FILE_LIMIT)
        return BARONET_NO_FILE;
    name *const key = key_of(s, path);
    char *const copy =
        key ? memory_resize(arena_allocator(s->arena), NULL, bytes.length + 1) : NULL;
    if (!copy)
        return BARONET_OUT_OF_MEMORY;
    if (bytes.length > 0)
        memcpy(copy, bytes.start, bytes.length);
    const baronet_status status = add(s, path, copy, bytes.length, out);
    if (status == BARONET_OK)
        key->meaning = *out;
    return status;
}

static bool find_lines(source *s, arena *a) {
    const char *const end = s->bytes + s->length;
    size_t count = 1;
    for (const char *at = s->bytes; (at = memchr(at, '\n', (size_t)(end - at))) != NULL; at++)
        count++;
    uint32_t *const start = ARENA_ARRAY(a, uint32_t, count);
    if (!start)
        return false;
    size_t line = 1;
    for (const char *at = s->bytes; (at = memchr(at, '\n', (size_t)(end - at))) != NULL; at++)
        start[line++] = (uint32_t)(at + 1 - s->bytes);
    s->lines = (source_lines){.start = start, .count = (int)count};
    return true;
}

/* Characters in a stretch: bytes that do not carry on another. */
static int characters(const char *start, const char *end) {
    int count = 0;
    for (const char *at = start; at < end; at++)
        count += ((unsigned char)*at & 0xC0) != 0x80;
    return count;
}

static int find_column(source *s, uint32_t line_start, uint32_t at) {
    source_lines *const l = &s->lines;
    const bool known = l->known_start == line_start && l->known_at <= at && l->known_column > 0;
    const bool marked =
        line_start == 0 && s->length >= 3 && memcmp(s->bytes, "\xEF\xBB\xBF", 3) == 0;
    const uint32_t from = known ? l->known_at : line_start;
    const int column = known ? l->known_column : marked ? 0 : 1;
    l->known_column = column + characters(s->bytes + from, s->bytes + at);
    l->known_start = line_start;
    l->known_at = at;
    return l->known_column;
}

void source_locate(source *s, arena *a, uint32_t at, int *line, int *column) {
    *line = *column = 0;
    if (s->lines.count == 0 && !find_lines(s, a))
        return;
    int low = 0, high = s->lines.count;
    while (high - low > 1) {
        const int middle = low + (high - low) / 2;
        if (s->lines.start[middle] <= at)
            low = middle;
        else
            high = middle;
    }
    *line = low + 1;
    *column = find_column(s, s->lines.start[low], at);
}

/* Most bytes that are looked at on either side of a place: characters of four bytes all along an
   excerpt, and some marks on them. */
#define WINDOW 512

/* Ends of the line that holds `at`, no further away than the window. */
static text line_around(const source *s, const char *at) {
    const char *const end = s->bytes + s->length;
    const char *left = at, *right = at;
    while (left > s->bytes && left[-1] != '\n' && at - left < WINDOW)
        left--;
    while (right < end && *right != '\n' && right - at < WINDOW)
        right++;
    while (right > at && right[-1] == '\r')
        right--;
    if (s->length >= 3 && left == s->bytes && at - left >= 3 &&
        memcmp(left, "\xEF\xBB\xBF", 3) == 0)
        left += 3;
    return (text){left, (size_t)(right - left)};
}

static int at_least(int a, int b) {
    return a > b ? a : b;
}

void source_excerpt(const source *s, uint32_t start, uint32_t length, text_buffer *out, int *caret,
                    int *width) {
    const int context = 24; /* columns behind the place that are kept where the line is cut */
    const char *const at = s->bytes + start;
    const text line = line_around(s, at);
    const char *const end = line.start + line.length;
    const char *right = at, *left = at;
    int after = 0, before = 0;
    while (right < end && after < context) {
        const size_t size = plain_step(right, end);
        after += (int)text_columns(right, size);
        right += size;
    }
    while (left > line.start) {
        const char *const back = plain_step_back(line.start, left);
        const int columns = (int)text_columns(back, (size_t)(left - back));
        if (before + after + columns > SOURCE_EXCERPT)
            break;
        before += columns;
        left = back;
    }
    text_buffer_add(out, "");
    *caret = (int)plain_add(out, (text){left, (size_t)(at - left)}, SOURCE_EXCERPT);
    const size_t here = length < (size_t)(end - at) ? length : (size_t)(end - at);
    const size_t room = (size_t)(SOURCE_EXCERPT - *caret);
    const size_t taken = plain_add(out, (text){at, here}, room);
    *width = at_least((int)taken, 1);
    plain_add(out, (text){at + here, (size_t)(end - at) - here}, room - taken);
}
