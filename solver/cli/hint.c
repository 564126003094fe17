#include "cli/hint.h"

#include <stdio.h>
#include <string.h>

/* Words of a list that are read at all, and columns that its lines keep within. */
enum { MOST_LISTED = 40, LAST_COLUMN = 78, INDENT = 2 };

hint hint_begin(const char *wrong, const char *title) {
    hint h = {.wrong = wrong,
              .distance = text_tolerance(strlen(wrong)),
              .column = INDENT + strlen(title)};
    text_buffer_fill(&h.list, ' ', INDENT);
    text_buffer_add(&h.list, title);
    return h;
}

void hint_offer(hint *h, const char *fitting) {
    const size_t length = strlen(fitting);
    const size_t d = text_distance(text_of(h->wrong), text_of(fitting), h->distance);
    if (length < sizeof h->closest && d <= h->distance &&
        (h->closest[0] == '\0' || d < h->distance)) {
        memcpy(h->closest, fitting, length + 1);
        h->distance = d;
    }
    if (h->listed++ >= MOST_LISTED) {
        return;
    }
    const size_t width = text_columns(fitting, length);
    const bool wrap = h->column + 1 + width > LAST_COLUMN;
    text_buffer_add(&h->list, wrap ? "\n    " : " ");
    text_buffer_add(&h->list, fitting);
    h->column = (wrap ? 2 * INDENT : h->column + 1) + width;
}

void hint_say(hint *h) {
    if (h->closest[0] != '\0') {
        fprintf(stderr, "  did you mean `%s`?\n", h->closest);
    }
    if (!h->list.failed) {
        fprintf(stderr, "%s%s\n", h->list.bytes,
                h->listed == 0 ? " none" : (h->listed > MOST_LISTED ? " ..." : ""));
    }
    text_buffer_free(&h->list);
}
