/* SPDX-License-Identifier: MIT */
#include "output/chart.h"

#include <math.h>
#include <string.h>

/* Columns of the scale and of the picture, rows; a character has 2 x 4 dots. */
enum { SCALE = 9, COLUMNS = 66, ROWS = 12, DOTS_X = 2 * COLUMNS, DOTS_Y = 4 * ROWS };

typedef struct canvas {
    unsigned char cell[ROWS][COLUMNS];
} canvas;

/* Bits of a braille character by column and row of its dots (Unicode 2800 to 28FF). */
static void set_dot(canvas *c, int x, int y) {
    static const unsigned char bits[2][4] = {{0x01, 0x02, 0x04, 0x40}, {0x08, 0x10, 0x20, 0x80}};
    if (x >= 0 && x < DOTS_X && y >= 0 && y < DOTS_Y) {
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

typedef struct range {
    double low, high;
} range;

static range range_of(const double *values, int count) {
    range r = {HUGE_VAL, -HUGE_VAL};
    for (int i = 0; i < count; i++) {
        r.low = values[i] < r.low ? values[i] : r.low; /* false for NAN */
        r.high = values[i] > r.high ? values[i] : r.high;
    }
    return r;
}

static void draw(canvas *c, const chart_curve *line, range x, range y) {
    for (int i = 0; i + 1 < line->points; i++) {
        if (isnan(line->y[i]) || isnan(line->y[i + 1])) {
            continue;
        }
        const double scale_x = (DOTS_X - 1) / (x.high - x.low);
        const double scale_y = (DOTS_Y - 1) / (y.high - y.low);
        draw_line(c, (line->x[i] - x.low) * scale_x, (y.high - line->y[i]) * scale_y,
                  (line->x[i + 1] - x.low) * scale_x, (y.high - line->y[i + 1]) * scale_y);
    }
}

static void add_braille(text_buffer *out, unsigned char bits) {
    const char bytes[3] = {(char)0xE2, (char)(0xA0 + (bits >> 6)), (char)(0x80 + (bits & 0x3F))};
    text_buffer_add_bytes(out, bytes, sizeof bytes);
}

static void add_padded(text_buffer *out, const char *words, size_t width) {
    const size_t own = text_columns(words, strlen(words));
    text_buffer_fill(out, ' ', own < width ? width - own : 0);
    text_buffer_add(out, words);
}

static void add_row(page *p, const canvas *c, int row, const char *label) {
    text_buffer line = {.allocator = p->allocator};
    add_padded(&line, label, SCALE);
    text_buffer_add(&line, " ");
    int last = COLUMNS;
    while (last > 0 && c->cell[row][last - 1] == 0) {
        last--;
    }
    for (int k = 0; k < last; k++) {
        add_braille(&line, c->cell[row][k]);
    }
    p->failed = p->failed || line.failed;
    page_add(p, BLOCK_CHART, line.failed ? "" : line.bytes);
    text_buffer_free(&line);
}

static void add_scale(page *p, const chart_curve *c, range x) {
    text_buffer line = {.allocator = p->allocator};
    const char *low = page_number(p, c->across, x.low, -1);
    text_buffer_fill(&line, ' ', SCALE + 1);
    text_buffer_add(&line, low);
    const char *high = page_quantity(p, c->across, x.high);
    add_padded(&line, high, COLUMNS - strlen(low));
    p->failed = p->failed || line.failed;
    page_add(p, BLOCK_CHART, line.failed ? "" : line.bytes);
    text_buffer_free(&line);
}

void chart_add(page *p, const chart_curve *c) {
    canvas dots = {{{0}}};
    const range x = range_of(c->x, c->points);
    range y = range_of(c->y, c->points);
    if (c->points < 2 || !(x.high > x.low) || !(y.high >= y.low)) {
        return;
    }
    const double least = 1e-9 * fmax(fabs(y.low), fabs(y.high)) + 1e-12;
    if (y.high - y.low < least) {
        y.low -= least;
        y.high += least;
    }
    draw(&dots, c, x, y);
    const double ends[] = {y.low, 0.5 * (y.low + y.high), y.high};
    const int decimals = page_decimals(p, c->up, 3, ends);
    const char *unit = page_unit(p, c->up);
    page_addf(p, BLOCK_CHART, "  %s%s%s", c->title, unit[0] != '\0' ? ", " : "", unit);
    for (int row = 0; row < ROWS; row++) {
        const bool labelled = row == 0 || row == ROWS / 2 || row == ROWS - 1;
        const double at = row == 0 ? y.high : row == ROWS - 1 ? y.low : ends[1];
        add_row(p, &dots, row, labelled ? page_number(p, c->up, at, decimals) : "");
    }
    add_scale(p, c, x);
}
