/* SPDX-License-Identifier: MIT */
#include "output/chart.h"

#include <math.h>
#include <string.h>

/* Columns of the scale and of the dots, rows; a character has 2 x 4 dots. */
enum { SCALE = 9, COLUMNS = 66, ROWS = 12, DOTS_X = 2 * COLUMNS, DOTS_Y = 4 * ROWS };
/* Columns that names of curves may take at the right, ticks that are wished for. */
enum { NAME_MOST = 20, TICKS_UP = 4, TICKS_ACROSS = 6 };

typedef struct canvas {
    const picture *picture;
    const page *page;
    ticks x, y;
    int columns; /* of dots, up to COLUMNS */
    unsigned char cell[ROWS][COLUMNS];
} canvas;

/* Bits of a braille character by column and row of its dots (Unicode 2800 to 28FF). */
static void set_dot(canvas *c, int x, int y) {
    static const unsigned char bits[2][4] = {{0x01, 0x02, 0x04, 0x40}, {0x08, 0x10, 0x20, 0x80}};
    if (x >= 0 && x < 2 * c->columns && y >= 0 && y < DOTS_Y) {
        c->cell[y / 4][x / 2] |= bits[x % 2][y % 4];
    }
}

static void draw_line(canvas *c, double x0, double y0, double x1, double y1) {
    const int steps = 1 + (int)fmax(fabs(x1 - x0), fabs(y1 - y0));
    for (int k = 0; k <= steps; k++) {
        const double part = (double)k / steps;
        set_dot(c, (int)lround(x0 + part * (x1 - x0)), (int)lround(y0 + part * (y1 - y0)));
    }
}

/* Dots from the left and from the top, of values in SI. */
static double dot_x(const canvas *c, double x) {
    const picture_axis *axis = &c->picture->x;
    return ticks_part(&c->x, axis->logarithmic, page_shown(c->page, axis->dimension, x)) *
           (2 * c->columns - 1);
}

static double dot_y(const canvas *c, double y) {
    const picture_axis *axis = &c->picture->y;
    return (1.0 - ticks_part(&c->y, axis->logarithmic, page_shown(c->page, axis->dimension, y))) *
           (DOTS_Y - 1);
}

static bool is_point(const picture_curve *k, int i) {
    return isfinite(k->x[i]) && isfinite(k->y[i]);
}

static void draw_curve(canvas *c, const picture_curve *k) {
    for (int i = 0; i + 1 < k->points; i++) {
        if (is_point(k, i) && is_point(k, i + 1)) {
            draw_line(c, dot_x(c, k->x[i]), dot_y(c, k->y[i]), dot_x(c, k->x[i + 1]),
                      dot_y(c, k->y[i + 1]));
        }
    }
}

static void draw_mark(canvas *c, const picture_mark *m) {
    const int x = (int)lround(dot_x(c, m->x));
    for (int y = 0; y < DOTS_Y; y += 3) {
        set_dot(c, x, y);
    }
}

static void add_braille(text_buffer *out, unsigned char bits) {
    const char bytes[3] = {(char)0xE2, (char)(0xA0 + (bits >> 6)), (char)(0x80 + (bits & 0x3F))};
    text_buffer_add_bytes(out, bytes, sizeof bytes);
}

static size_t width_of(const char *words) {
    return text_columns(words, strlen(words));
}

static void add_padded(text_buffer *out, const char *words, size_t width) {
    const size_t own = width_of(words);
    text_buffer_fill(out, ' ', own < width ? width - own : 0);
    text_buffer_add(out, words);
}

/* A name in no more columns than there are. */
static void add_name(text_buffer *out, const char *name) {
    size_t end = strlen(name);
    if (text_columns(name, end) > NAME_MOST) {
        while (text_columns(name, end) > NAME_MOST - 1) {
            end--;
            while (((unsigned char)name[end] & 0xC0) == 0x80) {
                end--; /* within a character */
            }
        }
        text_buffer_add_bytes(out, name, end);
        text_buffer_add(out, "\xE2\x80\xA6");
        return;
    }
    text_buffer_add(out, name);
}

/* The free row nearest to where a curve ends. */
static int name_row(const canvas *c, const picture_curve *k, const picture_curve *const *taken) {
    int last = k->points - 1;
    while (last > 0 && !is_point(k, last)) {
        last--;
    }
    const double dot = is_point(k, last) ? dot_y(c, k->y[last]) : 0.0;
    const int wish = (int)fmin(fmax(floor(dot / 4.0), 0.0), ROWS - 1.0);
    _Static_assert((int)PICTURE_CURVES <= (int)ROWS, "each curve finds its row");
    for (int away = 0;; away++) {
        if (wish + away < ROWS && taken[wish + away] == NULL) {
            return wish + away;
        }
        if (wish - away >= 0 && taken[wish - away] == NULL) {
            return wish - away;
        }
    }
}

/* The tick that stands in a row, "" for none. */
static const char *row_label(const canvas *c, int row) {
    for (int k = 0; k < c->y.count; k++) {
        const double dot =
            (1.0 - ticks_part(&c->y, c->picture->y.logarithmic, c->y.tick[k].at)) * (DOTS_Y - 1);
        if ((int)lround(dot) / 4 == row) {
            return c->y.tick[k].label;
        }
    }
    return "";
}

static void add_row(const canvas *c, int row, const char *name, text_buffer *out) {
    const char *label = row_label(c, row);
    int last = c->columns;
    while (name == NULL && last > 0 && c->cell[row][last - 1] == 0) {
        last--;
    }
    add_padded(out, label, label[0] != '\0' || last > 0 ? SCALE : 0);
    text_buffer_add(out, last > 0 ? " " : "");
    for (int k = 0; k < last; k++) {
        add_braille(out, c->cell[row][k]);
    }
    if (name != NULL) {
        text_buffer_add(out, " ");
        add_name(out, name);
    }
    text_buffer_add(out, "\n");
}

/* The labels of x, each centred under its place where it does not run into the one before. */
static void add_scale(const canvas *c, text_buffer *out) {
    size_t used = 0;
    for (int k = 0; k < c->x.count; k++) {
        const char *label = c->x.tick[k].label;
        const size_t width = strlen(label);
        const double part = ticks_part(&c->x, c->picture->x.logarithmic, c->x.tick[k].at);
        const long middle = SCALE + 1 + lround(part * (c->columns - 1));
        const long start = middle - (long)(width / 2);
        if (width > 0 && start > (long)used) {
            text_buffer_fill(out, ' ', (size_t)start - used);
            text_buffer_add(out, label);
            used = (size_t)start + width;
        }
    }
    const char *unit = page_unit(c->page, c->picture->x.dimension);
    text_buffer_add(out, unit[0] != '\0' ? " " : "");
    text_buffer_add(out, unit);
    text_buffer_add(out, "\n");
}

static void add_title(const page *p, const picture *c, text_buffer *out) {
    const char *unit = page_unit(p, c->y.dimension);
    text_buffer_add(out, "  ");
    text_buffer_add(out, c->title);
    if (c->first->next == NULL) { /* there is one, see picture_has_line */
        text_buffer_format(out, " (%s)", c->first->name);
    }
    text_buffer_add(out, unit[0] != '\0' ? ", " : "");
    text_buffer_add(out, unit);
    text_buffer_add(out, "\n");
}

static void add_marks(const page *p, const picture *c, text_buffer *out) {
    for (const picture_mark *m = c->first_mark; m != NULL; m = m->next) {
        text_buffer_fill(out, ' ', SCALE + 1);
        page_write(p, c->x.dimension, m->x, out);
        text_buffer_add(out, ": ");
        text_buffer_add(out, m->word);
        text_buffer_add(out, "\n");
    }
}

/* Names take as many columns as the widest needs; a single curve's is in the title. */
static int dot_columns(const picture *c) {
    size_t widest = 0;
    for (const picture_curve *k = c->first; k != NULL && c->curves > 1; k = k->next) {
        const size_t width = width_of(k->name);
        widest = width > widest ? width : widest;
    }
    const int names = widest < NAME_MOST ? (int)widest : NAME_MOST;
    const int room = 80 - SCALE - 1 - (names > 0 ? names + 1 : 0);
    return room < COLUMNS ? room : COLUMNS;
}

void chart_write(const page *p, const picture *c, text_buffer *out) {
    if (!picture_has_line(c)) {
        return;
    }
    canvas dots = {.picture = c,
                   .page = p,
                   .x = picture_across(c, TICKS_ACROSS),
                   .y = picture_up(c, TICKS_UP),
                   .columns = dot_columns(c)};
    const picture_curve *named[ROWS] = {NULL};
    for (const picture_mark *m = c->first_mark; m != NULL; m = m->next) {
        draw_mark(&dots, m);
    }
    for (const picture_curve *k = c->first; k != NULL; k = k->next) {
        draw_curve(&dots, k);
        if (c->curves > 1) {
            named[name_row(&dots, k, named)] = k;
        }
    }
    add_title(p, c, out);
    for (int row = 0; row < ROWS; row++) {
        add_row(&dots, row, named[row] != NULL ? named[row]->name : NULL, out);
    }
    add_scale(&dots, out);
    add_marks(p, c, out);
}
