/* SPDX-License-Identifier: MIT */
#include "output/svg.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Places are whole hundredths; what is a tie but for rounding goes up. */
#define PLACES_PER_UNIT 100.0
#define TIE             1e-5

/* Lines of solver/output/svg_colours.css and svg_classes.css, NULL at their end. The colours are
   ones that colour-blind readers can tell apart (Okabe and Ito 2008), lighter on dark paper; in the
   classes a plain value stands before each, for programs that know no custom properties. */
extern const char *const svg_colours_css[], *const svg_classes_css[];

/* Longest text of a place, and the farthest one that a drawing has. */
enum { PLACE = 32 };
#define FARTHEST 1e7

static void place_text(char *out, double value) {
    const double bound = isfinite(value) ? fmax(fmin(value, FARTHEST), -FARTHEST) : 0.0;
    const double whole = floor(bound * PLACES_PER_UNIT + 0.5 + TIE);
    const long size = (long)fabs(whole);
    const int rest = (int)(size % 100);
    const int used =
        snprintf(out, PLACE, "%s%ld", whole < 0.0 ? "-" : "", size / (long)PLACES_PER_UNIT);
    if (rest > 0 && rest % 10 == 0) {
        snprintf(out + used, (size_t)(PLACE - used), ".%d", rest / 10);
    } else if (rest > 0) {
        snprintf(out + used, (size_t)(PLACE - used), ".%02d", rest);
    }
}

void svg_write(text_buffer *out, double value) {
    char words[PLACE];
    place_text(words, value);
    text_buffer_add(out, words);
}

void svg_set(svg at, const char *name, double value) {
    char words[PLACE];
    place_text(words, value);
    xml_set(at.document, at.element, name, words);
}

void svg_to(text_buffer *path, char command, double x, double y) {
    text_buffer_add_bytes(path, &command, 1);
    svg_write(path, x);
    text_buffer_add(path, " ");
    svg_write(path, y);
}

void svg_take(svg at, const char *name, text_buffer *words) {
    const char *value = words->bytes != NULL && !words->failed ? words->bytes : "";
    at.document->failed = at.document->failed || words->failed;
    if (name != NULL) {
        xml_set(at.document, at.element, name, value);
    } else {
        xml_append(at.document, at.element, value);
    }
    text_buffer_free(words);
}

text_buffer svg_buffer(svg at) {
    return (text_buffer){.allocator = at.document->words.allocator};
}

svg svg_add(svg in, const char *name, const char *classes, const char *words) {
    const svg at = {in.document, xml_add(in.document, in.element, name, words)};
    if (classes != NULL) {
        xml_set(at.document, at.element, "class", classes);
    }
    return at;
}

static void set_view(svg at, double width, double height) {
    text_buffer words = svg_buffer(at);
    text_buffer_add(&words, "0 0 ");
    svg_write(&words, width);
    text_buffer_add(&words, " ");
    svg_write(&words, height);
    svg_take(at, "viewBox", &words);
}

svg svg_picture(svg in, double width, double height, const char *title, text_buffer *about) {
    const svg at = {in.document, xml_add_within(in.document, in.element, "svg", SVG_SPACE)};
    xml_set(at.document, at.element, "class", "b-picture");
    xml_set(at.document, at.element, "role", "img");
    set_view(at, width, height);
    svg_add(at, "title", NULL, title);
    svg_take(svg_add(at, "desc", NULL, NULL), NULL, about);
    return at;
}

void svg_size(svg root, double width, double height, double scale) {
    set_view(root, width, height);
    svg_set(root, "width", width * scale);
    svg_set(root, "height", height * scale);
}

void svg_style(svg in, bool colours) {
    const svg at = svg_add(in, "style", NULL, NULL);
    for (const char *const *line = svg_colours_css; colours && *line != NULL; line++) {
        xml_append(at.document, at.element, *line);
    }
    for (const char *const *line = svg_classes_css; *line != NULL; line++) {
        xml_append(at.document, at.element, *line);
    }
}

svg svg_group(svg in, const char *classes) {
    return svg_add(in, "g", classes, NULL);
}

svg svg_line(svg in, const char *classes, double x1, double y1, double x2, double y2) {
    const svg at = svg_add(in, "line", classes, NULL);
    svg_set(at, "x1", x1);
    svg_set(at, "y1", y1);
    svg_set(at, "x2", x2);
    svg_set(at, "y2", y2);
    return at;
}

svg svg_box(svg in, const char *classes, double x, double y, double width, double height) {
    const svg at = svg_add(in, "rect", classes, NULL);
    svg_set(at, "x", x);
    svg_set(at, "y", y);
    svg_set(at, "width", width);
    svg_set(at, "height", height);
    return at;
}

svg svg_circle(svg in, const char *classes, double x, double y, double radius) {
    const svg at = svg_add(in, "circle", classes, NULL);
    svg_set(at, "cx", x);
    svg_set(at, "cy", y);
    svg_set(at, "r", radius);
    return at;
}

svg svg_path(svg in, const char *classes, text_buffer *data) {
    const svg at = svg_add(in, "path", classes, NULL);
    svg_take(at, "d", data);
    return at;
}

svg svg_text(svg in, const char *classes, svg_anchor anchor, double x, double y,
             const char *words) {
    static const char *const anchors[] = {"start", "middle", "end"};
    const svg at = svg_add(in, "text", classes, NULL);
    svg_set(at, "x", x);
    svg_set(at, "y", y);
    if (anchor != SVG_START) {
        xml_set(at.document, at.element, "text-anchor", anchors[anchor]);
    }
    if (words[0] != '\0') {
        xml_append(at.document, at.element, words);
    }
    return at;
}

void svg_append(svg at, text words, bool more) {
    text_buffer buffer = svg_buffer(at);
    text_buffer_add_bytes(&buffer, words.start, words.length);
    text_buffer_add(&buffer, more ? "\xE2\x80\xA6" : "");
    svg_take(at, NULL, &buffer);
}

/* Width of a character, in parts of the size of the font: groups as common sans-serif fonts have
   them, each by its widest. */
static double letter_width(char letter) {
    if (strchr("ijl.,:;'|!", letter) != NULL) {
        return 0.30;
    }
    if (strchr("ftrI()[]/\\- ", letter) != NULL) {
        return 0.39;
    }
    return strchr("mwMW@%", letter) != NULL ? 0.95 : letter >= 'A' && letter <= 'Z' ? 0.74 : 0.62;
}

/* Bytes of the character at `at`, of which there are `left`. */
static size_t letter_size(const char *at, size_t left) {
    size_t bytes = 1;
    while (bytes < left && ((unsigned char)at[bytes] & 0xC0) == 0x80) {
        bytes++;
    }
    return bytes;
}

double svg_width(text words, double size) {
    double width = 0.0;
    for (size_t at = 0; at < words.length;) {
        const size_t bytes = letter_size(words.start + at, words.length - at);
        width += bytes == 1 ? letter_width(words.start[at])
                            : (double)text_columns(words.start + at, bytes);
        at += bytes;
    }
    return width * size;
}

size_t svg_fitting(text words, double size, double width) {
    text part = {words.start, 0};
    while (part.length < words.length) {
        const text longer = {part.start, part.length + letter_size(words.start + part.length,
                                                                   words.length - part.length)};
        if (svg_width(longer, size) > width) {
            break;
        }
        part = longer;
    }
    return part.length;
}

svg svg_text_within(svg in, const char *classes, svg_anchor anchor, double x, double y,
                    const char *words, double size, double width) {
    const text all = text_of(words);
    if (svg_width(all, size) <= width) {
        return svg_text(in, classes, anchor, x, y, words);
    }
    const svg at = svg_text(in, classes, anchor, x, y, "");
    svg_add(at, "title", NULL, words);
    svg_append(at, (text){words, svg_fitting(all, size, width - size)}, true);
    return at;
}
