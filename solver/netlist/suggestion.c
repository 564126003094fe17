/* SPDX-License-Identifier: MIT */
#include "netlist/suggestion.h"

#include <string.h>

#define MOST_LISTED 40 /* more words than that are not read */
#define LAST_COLUMN 74 /* the indent of a hint makes it 76 */

/* Small letters, so that `TANK` is close to `tank`; returns the length, 0 for what is too long. */
static size_t small_letters(char *out, text t) {
    if (t.length >= SUGGESTION_WORD)
        return 0;
    for (size_t i = 0; i < t.length; i++)
        out[i] = (char)(t.start[i] >= 'A' && t.start[i] <= 'Z' ? t.start[i] + 32 : t.start[i]);
    return t.length;
}

suggestion suggestion_begin(reading *r, text wrong, const char *title) {
    suggestion s = {.reading = r};
    if (!reading_talks(r))
        return s;
    s.wrong_length = small_letters(s.wrong, wrong);
    s.distance = text_tolerance(wrong.length) + 1;
    s.list.allocator = arena_allocator(r->arena);
    text_buffer_add(&s.list, title);
    s.line = text_columns(title, strlen(title));
    return s;
}

void suggestion_compare(suggestion *s, text fitting) {
    char fits[SUGGESTION_WORD];
    const size_t length = small_letters(fits, fitting);
    if (s->wrong_length == 0 || length == 0 || s->reading->patience == 0)
        return;
    s->reading->patience--;
    const size_t limit = s->distance - 1; /* only what is closer than the closest yet */
    const size_t d = text_distance((text){s->wrong, s->wrong_length}, (text){fits, length}, limit);
    if (d > limit)
        return;
    s->closest = fitting;
    s->distance = d;
    if (d == 0)
        s->wrong_length = 0;
}

void suggestion_offer(suggestion *s, text fitting) {
    suggestion_compare(s, fitting);
    if (!s->list.bytes || s->listed >= MOST_LISTED) {
        s->spare = true;
        return;
    }
    const size_t columns = text_columns(fitting.start, fitting.length);
    const bool wrap = s->line + 1 + columns > LAST_COLUMN;
    text_buffer_add(&s->list, wrap ? "\n  " : " ");
    s->line = wrap ? columns : s->line + 1 + columns;
    text_buffer_add_bytes(&s->list, fitting.start, fitting.length);
    s->listed++;
}

bool suggestion_wants_more(const suggestion *s) {
    return s->list.bytes && (s->reading->patience > 0 || s->listed < MOST_LISTED);
}

const char *suggestion_end(suggestion *s) {
    reading *const r = s->reading;
    if (!s->list.bytes)
        return NULL;
    text_buffer out = {.allocator = s->list.allocator};
    if (s->closest.length > 0)
        text_buffer_format(&out, "did you mean `%.*s`?", (int)s->closest.length, s->closest.start);
    if (s->listed > 0 && out.length > 0)
        text_buffer_add(&out, "\n  ");
    if (s->listed > 0)
        text_buffer_add_bytes(&out, s->list.bytes, s->list.length);
    if (s->listed > 0 && s->spare)
        text_buffer_add(&out, " ...");
    const char *hint = NULL;
    if (out.length > 0)
        hint = arena_copy_text(r->arena, out.bytes, out.length);
    r->failed |= out.failed || s->list.failed || (out.length > 0 && !hint);
    text_buffer_free(&out);
    text_buffer_free(&s->list);
    return hint;
}
