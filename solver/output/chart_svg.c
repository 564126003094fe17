/* SPDX-License-Identifier: MIT */
#include "output/chart_svg.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Layout, in units. */
#define TITLE_SIZE  15.5 /* as wide as 14 units in bold */
#define TITLE_LINE  18.0
#define TEXT_SIZE   13.0
#define SOFT_SIZE   12.0
#define MARGIN      6.0
#define PLOT_HEIGHT 190.0
#define FOOT        38.0 /* below the plot: labels of the ticks, the axis */
#define NAMES_MOST  118.0
#define NAME_PITCH  15.0
#define MARK_PITCH  9.0 /* a digit */
#define KEY_LINE    15.0
#define NAME_GAP    18.0 /* from the plot to the names, with their spots between */
#define SPOT        3.2
/* Spots along a curve, ticks that are wished for, marks and lines of a title that are shown. */
enum { SPOTS = 5, TICKS_UP = 4, TICKS_ACROSS = 5, NAME_LINES = 3, KEYS_MOST = 12, TITLE_LINES = 3 };
/* What a line may be off by where points are left out, units. */
#define STRAIGHT 0.12

typedef struct chart {
    const page *page;
    const picture *picture;
    svg at;
    ticks x, y;
    double left, top, width, height; /* of the plot */
} chart;

typedef struct point {
    double x, y;
} point;

static double place_x(const chart *c, double shown) {
    return c->left + c->width * ticks_part(&c->x, c->picture->x.logarithmic, shown);
}

static double place_y(const chart *c, double shown) {
    return c->top + c->height * (1.0 - ticks_part(&c->y, c->picture->y.logarithmic, shown));
}

static bool is_point(const picture_curve *k, int i) {
    return isfinite(k->x[i]) && isfinite(k->y[i]);
}

/* A point of a curve on paper, in whole hundredths, so that what is left out does not depend on
   rounding. */
static point place(const chart *c, const picture_curve *k, int i) {
    const double x = place_x(c, page_shown(c->page, c->picture->x.dimension, k->x[i]));
    const double y = place_y(c, page_shown(c->page, c->picture->y.dimension, k->y[i]));
    return (point){floor(100.0 * x + 0.501) / 100.0, floor(100.0 * y + 0.501) / 100.0};
}

/* Whether all points between two lie on the line between them. */
static bool is_straight(const chart *c, const picture_curve *k, int from, int to) {
    const point a = place(c, k, from), b = place(c, k, to);
    const double length = hypot(b.x - a.x, b.y - a.y);
    for (int i = from + 1; i < to; i++) {
        const point q = place(c, k, i);
        const double off =
            length > 0.0 ? fabs((b.x - a.x) * (q.y - a.y) - (b.y - a.y) * (q.x - a.x)) / length
                         : hypot(q.x - a.x, q.y - a.y);
        if (off > STRAIGHT) {
            return false;
        }
    }
    return true;
}

/* The curve as a path; points that lie on a line between others are left out. */
static void curve_path(const chart *c, const picture_curve *k, text_buffer *path) {
    enum { LOOK_AHEAD = 64 };
    for (int i = 0; i < k->points; i++) {
        if (!is_point(k, i)) {
            continue;
        }
        const bool starts = i == 0 || !is_point(k, i - 1);
        const point p = place(c, k, i);
        svg_to(path, starts ? 'M' : 'L', p.x, p.y);
        int next = i + 1;
        while (next + 1 < k->points && next - i < LOOK_AHEAD && is_point(k, next) &&
               is_point(k, next + 1) && is_straight(c, k, i, next + 1)) {
            next++;
        }
        i = next - 1;
    }
}

/* The spot of a curve: each its own shape. */
static void add_spot(const chart *c, int number, point at) {
    static const char *const shapes[] = {
        NULL,                          /* a disc */
        "M-3 -3H3V3H-3Z",              /* square */
        "M0 -4L3.8 3H-3.8Z",           /* triangle */
        "M0 -4.2L4.2 0L0 4.2L-4.2 0Z", /* diamond */
        "M0 4L3.8 -3H-3.8Z",           /* triangle, point down */
        "M-1.4 -4H1.4V4H-1.4Z",        /* upright bar */
        "M-4 -1.4H4V1.4H-4Z",          /* flat bar */
    };
    char words[16] = "b-spot b-spot-0";
    words[14] = (char)('1' + number);
    if (shapes[number] == NULL) {
        svg_circle(c->at, words, at.x, at.y, SPOT);
        return;
    }
    text_buffer data = svg_buffer(c->at), shift = data;
    text_buffer_add(&data, shapes[number]);
    text_buffer_add(&shift, "translate(");
    svg_write(&shift, at.x);
    text_buffer_add(&shift, " ");
    svg_write(&shift, at.y);
    text_buffer_add(&shift, ")");
    svg_take(svg_path(c->at, words, &data), "transform", &shift);
}

/* Spots where the curve passes places that are equally far apart, each curve's its own. */
static void add_spots(const chart *c, const picture_curve *k, int number) {
    double next = c->left + c->width * (0.5 + (double)number / PICTURE_CURVES) / SPOTS;
    for (int i = 0; i + 1 < k->points; i++) {
        if (!is_point(k, i) || !is_point(k, i + 1)) {
            continue;
        }
        const point a = place(c, k, i), b = place(c, k, i + 1);
        while (next <= b.x && b.x > a.x) {
            if (next >= a.x) {
                const double part = (next - a.x) / (b.x - a.x);
                add_spot(c, number, (point){next, a.y + part * (b.y - a.y)});
            }
            next += c->width / SPOTS;
        }
    }
}

static void add_curve(const chart *c, const picture_curve *k, int number) {
    char words[] = "b-curve b-curve-0";
    words[sizeof words - 2] = (char)('1' + number);
    text_buffer path = svg_buffer(c->at);
    curve_path(c, k, &path);
    svg_path(c->at, words, &path);
    add_spots(c, k, number);
}

static bool last_point(const chart *c, const picture_curve *k, point *out) {
    for (int i = k->points - 1; i >= 0; i--) {
        if (is_point(k, i)) {
            *out = place(c, k, i);
            return true;
        }
    }
    return false;
}

/* What stands beside the plot in its order: a place that it wants, the room that it needs about it,
   and the place that it gets. */
typedef struct berth {
    const void *what;
    int number;
    double wish, size, at;
} berth;

/* Berths by their wishes, pushed apart where they would overlap and kept from `low` to `high` as
   far as they all fit there. */
static void spread(berth *b, int count, double low, double high) {
    for (int i = 1; i < count; i++) {
        const berth one = b[i];
        int k = i;
        for (; k > 0 && b[k - 1].wish > one.wish; k--) {
            b[k] = b[k - 1];
        }
        b[k] = one;
    }
    double end = low;
    for (int i = 0; i < count; i++) {
        b[i].at = fmax(b[i].wish, end + 0.5 * b[i].size);
        end = b[i].at + 0.5 * b[i].size;
    }
    double start = high;
    for (int i = count - 1; i >= 0; i--) {
        b[i].at = fmin(b[i].at, start - 0.5 * b[i].size);
        start = b[i].at - 0.5 * b[i].size;
    }
}

/* Bytes of the next line of a curve's name: one of the names that were joined, with its comma. */
static size_t name_line(const char *name) {
    const char *comma = strstr(name, ", ");
    return comma != NULL ? (size_t)(comma - name) + 1 : strlen(name);
}

static int name_lines(const char *name) {
    int lines = 0;
    while (*name != '\0' && lines < NAME_LINES) {
        name += name_line(name);
        name += *name == ' ';
        lines++;
    }
    return lines;
}

/* The widest line of a name. */
static double name_width(const char *name) {
    double width = 0.0;
    while (*name != '\0') {
        const size_t length = name_line(name);
        width = fmax(width, svg_width((text){name, length}, TEXT_SIZE));
        name += length;
        name += *name == ' ';
    }
    return width;
}

/* The lines of a name about their place; what has no line shows as an ellipsis. */
static void add_name_lines(const chart *c, const char *name, double x, double y) {
    const int lines = name_lines(name);
    const svg group = svg_group(c->at, NULL);
    svg_add(group, "title", NULL, name);
    for (int i = 0; i < lines; i++) {
        const double room = CHART_SVG_WIDTH - MARGIN - x;
        const text line = {name, name_line(name)};
        const char *rest = name + line.length + (name[line.length] == ' ');
        const bool fits = svg_fitting(line, TEXT_SIZE, room) == line.length;
        const text shown = {name,
                            fits ? line.length : svg_fitting(line, TEXT_SIZE, room - TEXT_SIZE)};
        const double line_y = y + 0.35 * TEXT_SIZE + NAME_PITCH * (i - 0.5 * (lines - 1));
        svg_append(svg_text(group, NULL, SVG_START, x, line_y, ""), shown,
                   !fits || (i + 1 == lines && *rest != '\0'));
        name = rest;
    }
}

static void add_names(const chart *c) {
    berth name[PICTURE_CURVES] = {{0}};
    int count = 0, number = 0;
    for (const picture_curve *k = c->picture->first; k != NULL; k = k->next, number++) {
        point end;
        if (last_point(c, k, &end)) {
            name[count++] = (berth){k, number, end.y, NAME_PITCH * name_lines(k->name), 0.0};
        }
    }
    spread(name, count, c->top, c->top + c->height);
    const double x = c->left + c->width + NAME_GAP;
    for (int i = 0; i < count; i++) {
        const picture_curve *k = name[i].what;
        point end = {0.0, 0.0};
        last_point(c, k, &end);
        char words[] = "b-lead b-curve-0";
        words[sizeof words - 2] = (char)('1' + name[i].number);
        svg_line(c->at, words, end.x, end.y, x - NAME_GAP / 2.0, name[i].at);
        add_spot(c, name[i].number, (point){x - NAME_GAP / 2.0, name[i].at});
        add_name_lines(c, k->name, x, name[i].at);
    }
}

static void add_axes(const chart *c) {
    for (int k = 0; k < c->y.count; k++) {
        const double y = place_y(c, c->y.tick[k].at);
        svg_line(c->at, "b-grid", c->left, y, c->left + c->width, y);
        svg_text(c->at, "b-soft", SVG_END, c->left - 5.0, y + 0.35 * SOFT_SIZE, c->y.tick[k].label);
    }
    double used = 0.0;
    for (int k = 0; k < c->x.count; k++) {
        const char *label = c->x.tick[k].label;
        const double x = place_x(c, c->x.tick[k].at),
                     half = 0.5 * svg_width(text_of(label), SOFT_SIZE);
        const bool fits = label[0] != '\0' && x - half > used;
        svg_line(c->at, "b-axis", x, c->top + c->height, x,
                 c->top + c->height + (label[0] != '\0' ? 5.0 : 3.0));
        if (fits) {
            svg_text(c->at, "b-soft", SVG_MIDDLE, x, c->top + c->height + 17.0, label);
            used = x + half + 4.0;
        }
    }
    svg_line(c->at, "b-axis", c->left, c->top + c->height, c->left + c->width, c->top + c->height);
}

static void add_axis_label(const chart *c, const picture_axis *axis, svg_anchor anchor, double x,
                           double y) {
    text_buffer words = svg_buffer(c->at);
    picture_axis_words(c->page, axis, &words);
    svg_take(svg_text(c->at, "b-soft", anchor, x, y, ""), NULL, &words);
}

/* Marks that are numbered: those within the axis, as many as the key has lines. */
static int count_marks(const chart *c, berth *mark) {
    int count = 0;
    for (const picture_mark *m = c->picture->first_mark; m != NULL && count < KEYS_MOST;
         m = m->next) {
        const double x = place_x(c, page_shown(c->page, c->picture->x.dimension, m->x));
        if (x >= c->left - 1e-6 && x <= c->left + c->width + 1e-6) {
            mark[count] = (berth){m, count + 1, x, (count < 9 ? 1.0 : 2.0) * MARK_PITCH, 0.0};
            count++;
        }
    }
    return count;
}

/* The number of a mark with its place and its word. */
static void add_key(const chart *c, svg in, const picture_mark *m, const char *digits, double y) {
    text_buffer words = svg_buffer(in);
    page_write(c->page, c->picture->x.dimension, m->x, &words);
    text_buffer_add(&words, ": ");
    text_buffer_add(&words, m->word);
    svg_text(in, "b-soft", SVG_END, MARGIN + 2.0 * MARK_PITCH, y, digits);
    if (!words.failed) {
        svg_text_within(in, "b-soft", SVG_START, MARGIN + 2.5 * MARK_PITCH, y, words.bytes,
                        SOFT_SIZE, CHART_SVG_WIDTH - 2.0 * MARGIN - 2.5 * MARK_PITCH);
    }
    in.document->failed = in.document->failed || words.failed;
    text_buffer_free(&words);
}

/* A line for each mark, with a number above the plot that stands before its words below it. */
static void add_marks(const chart *c) {
    berth mark[KEYS_MOST] = {{0}};
    const int count = count_marks(c, mark);
    spread(mark, count, c->left, c->left + c->width + NAME_GAP);
    for (int i = 0; i < count; i++) {
        const picture_mark *m = mark[i].what;
        const svg group = svg_group(c->at, NULL);
        char digits[8];
        snprintf(digits, sizeof digits, "%d", mark[i].number);
        svg_line(group, "b-mark", mark[i].wish, c->top, mark[i].wish, c->top + c->height);
        svg_line(group, "b-mark", mark[i].wish, c->top, mark[i].at, c->top - 4.0);
        svg_text(group, "b-soft", SVG_MIDDLE, mark[i].at, c->top - 6.0, digits);
        add_key(c, group, m, digits, c->top + c->height + FOOT + KEY_LINE * mark[i].number - 4.0);
    }
}

/* What there is to see, in words, for whoever cannot. */
static void describe(const page *p, const picture *c, text_buffer *out) {
    for (const picture_curve *k = c->first; k != NULL; k = k->next) {
        int first = -1, last = -1, low = -1, high = -1;
        for (int i = 0; i < k->points; i++) {
            if (is_point(k, i)) {
                first = first < 0 ? i : first;
                last = i;
                low = low < 0 || k->y[i] < k->y[low] ? i : low;
                high = high < 0 || k->y[i] > k->y[high] ? i : high;
            }
        }
        const int shown[] = {first, low, high, last};
        static const char *const words[] = {": from ", ", lowest ", ", highest ", ", to "};
        text_buffer_add(out, out->length > 0 ? " " : "");
        text_buffer_add(out, k->name);
        for (int i = 0; i < 4 && first >= 0; i++) {
            text_buffer_add(out, words[i]);
            page_write(p, c->y.dimension, k->y[shown[i]], out);
            text_buffer_add(out, " at ");
            page_write(p, c->x.dimension, k->x[shown[i]], out);
        }
        text_buffer_add(out, ".");
    }
}

/* Bytes of the words that go into one line of the title: whole words, but for those that are
   longer than a line. */
static size_t title_line(const char *words) {
    const size_t most = svg_fitting(text_of(words), TITLE_SIZE, CHART_SVG_WIDTH - 2.0 * MARGIN);
    size_t end = strcspn(words, " ");
    if (end > most) {
        return most;
    }
    while (words[end] != '\0') {
        const size_t next = end + 1 + strcspn(words + end + 1, " ");
        if (next > most) {
            break;
        }
        end = next;
    }
    return end;
}

/* Lays the title's words into lines; returns how many there are. */
static int add_title(svg in, const char *words) {
    int lines = 0;
    for (; *words != '\0' && lines < TITLE_LINES; lines++) {
        const size_t end = title_line(words);
        if (in.element != NULL) {
            const double y = TITLE_LINE * (lines + 1) - 3.0;
            svg_append(svg_text(in, "b-title", SVG_START, MARGIN, y, ""), (text){words, end},
                       false);
        }
        words += end + (words[end] == ' ');
    }
    return lines;
}

/* The plot takes what the labels of the ticks and the names leave. */
static void lay_out(chart *c, int title_lines) {
    double labels = 0.0, names = 0.0;
    for (int k = 0; k < c->y.count; k++) {
        labels = fmax(labels, svg_width(text_of(c->y.tick[k].label), SOFT_SIZE));
    }
    for (const picture_curve *k = c->picture->first; k != NULL; k = k->next) {
        names = fmax(names, name_width(k->name) + 1.0);
    }
    c->left = MARGIN + labels + 5.0;
    c->top =
        MARGIN + title_lines * TITLE_LINE + 20.0 + (c->picture->first_mark != NULL ? 12.0 : 0.0);
    c->width = CHART_SVG_WIDTH - MARGIN - fmin(names, NAMES_MOST) - NAME_GAP - c->left;
    c->height = PLOT_HEIGHT;
}

/* Where the plot is, and what its axes span in the reader's units, for scripts that read values. */
static void add_frame(const chart *c) {
    const struct {
        const char *name;
        double value[4];
        int count;
        bool logarithmic;
    } frame[] = {{"data-plot", {c->left, c->top, c->width, c->height}, 4, false},
                 {"data-x", {c->x.low, c->x.high}, 2, c->picture->x.logarithmic},
                 {"data-y", {c->y.low, c->y.high}, 2, c->picture->y.logarithmic}};
    for (size_t i = 0; i < sizeof frame / sizeof frame[0]; i++) {
        text_buffer words = svg_buffer(c->at);
        for (int k = 0; k < frame[i].count; k++) {
            text_buffer_add(&words, k > 0 ? " " : "");
            text_buffer_number(&words, frame[i].value[k], 7);
        }
        text_buffer_add(&words, frame[i].logarithmic ? " log" : "");
        svg_take(c->at, frame[i].name, &words);
    }
}

svg chart_svg(svg in, const page *p, const picture *c, double *height) {
    if (!picture_has_line(c)) {
        return (svg){in.document, NULL};
    }
    chart it = {.page = p,
                .picture = c,
                .x = picture_across(c, TICKS_ACROSS),
                .y = picture_up(c, TICKS_UP)};
    const int lines = add_title((svg){in.document, NULL}, c->title);
    lay_out(&it, lines);
    berth mark[KEYS_MOST] = {{0}};
    const double total = it.top + it.height + FOOT + KEY_LINE * count_marks(&it, mark);
    text_buffer about = svg_buffer(in);
    describe(p, c, &about);
    it.at = svg_picture(in, CHART_SVG_WIDTH, total, c->title, &about);
    add_frame(&it);
    add_title(it.at, c->title);
    add_axis_label(&it, &c->y, SVG_START, MARGIN, MARGIN + TITLE_LINE * lines + 9.0);
    add_axes(&it);
    add_axis_label(&it, &c->x, SVG_MIDDLE, it.left + it.width / 2.0, it.top + it.height + 33.0);
    int number = 0;
    for (const picture_curve *k = c->first; k != NULL; k = k->next) {
        add_curve(&it, k, number++);
    }
    add_marks(&it);
    add_names(&it);
    if (height != NULL) {
        *height = total;
    }
    return it.at;
}
