/* SPDX-License-Identifier: MIT */
#include "output/drawing_svg.h"

#include <math.h>
#include <string.h>

#include "output/site.h"
#include "output/symbols.h"

/* Layout, in units. */
#define MARGIN       12.0
#define HEAD         64.0 /* above the plan: title, state, front */
#define TITLE_SIZE   16.0
#define SOFT_SIZE    12.0
#define ENTRY_WIDTH  226.0 /* of the legend */
#define ENTRY_HEIGHT 54.0
#define ENTRY_WORDS  96.0 /* where its words begin */
#define LINE_PITCH   14.0
enum { SHADES = 7, WORDS_LINES = 3 };

typedef struct drawing {
    const plan *plan;
    svg at;
    double width, top; /* of the plan below the head */
    double left;
} drawing;

static double place_x(const drawing *d, double steps) {
    return d->left + PLAN_STEP * steps;
}

static double place_y(const drawing *d, double steps) {
    return d->top + PLAN_STEP * (steps - d->plan->shift);
}

static void add_head(const drawing *d) {
    const plan *pl = d->plan;
    const char *about = pl->model->about[0] != '\0' ? pl->model->about : "Untitled netlist";
    const double room = d->width - 2.0 * MARGIN;
    svg_text_within(d->at, "b-title", SVG_START, MARGIN, 20.0, about, TITLE_SIZE, room);
    text_buffer words = svg_buffer(d->at);
    text_buffer_add(&words, pl->state != NULL ? "valves in state " : "valves at rest");
    text_buffer_add(&words, pl->state != NULL ? pl->state : "");
    if (words.failed) {
        svg_take(d->at, NULL, &words);
        return;
    }
    svg_text_within(d->at, "b-soft", SVG_START, MARGIN, 37.0, words.bytes, SOFT_SIZE, room);
    text_buffer_free(&words);
}

/* The body's outline through the wheels, and which way it goes. */
static void add_vehicle(const drawing *d) {
    const plan *pl = d->plan;
    if (pl->wheels == 0) {
        return;
    }
    spot low = pl->wheel[0].at, high = low;
    for (int w = 0; w < pl->wheels; w++) {
        const spot q = pl->wheel[w].at;
        low = (spot){q.x < low.x ? q.x : low.x, q.y < low.y ? q.y : low.y};
        high = (spot){q.x > high.x ? q.x : high.x, q.y > high.y ? q.y : high.y};
    }
    if (high.x > low.x) {
        xml_set(d->at.document,
                svg_box(d->at, "b-body", place_x(d, low.x), place_y(d, low.y - PLAN_BODY),
                        PLAN_STEP * (high.x - low.x), PLAN_STEP * (high.y - low.y + 2 * PLAN_BODY))
                    .element,
                "rx", "24");
    }
    const double x = place_x(d, 0.5 * (low.x + high.x)), y = d->top - 8.0;
    text_buffer arrow = svg_buffer(d->at);
    svg_to(&arrow, 'M', x - 28.0, y + 4.0);
    svg_to(&arrow, 'L', x - 28.0, y - 12.0);
    svg_to(&arrow, 'M', x - 32.0, y - 6.0);
    svg_to(&arrow, 'L', x - 28.0, y - 12.0);
    svg_to(&arrow, 'L', x - 24.0, y - 6.0);
    svg_path(d->at, "b-part", &arrow);
    svg_text(d->at, NULL, SVG_START, x - 18.0, y + 3.0, "front");
    for (int w = 0; w < pl->wheels; w++) {
        const double wx = place_x(d, pl->wheel[w].at.x), wy = place_y(d, pl->wheel[w].at.y);
        const svg wheel =
            svg_box(d->at, "b-wheel", wx - PLAN_STEP * SITE_WHEEL_X, wy - PLAN_STEP * SITE_WHEEL_Y,
                    2.0 * PLAN_STEP * SITE_WHEEL_X, 2.0 * PLAN_STEP * SITE_WHEEL_Y);
        xml_set(wheel.document, wheel.element, "rx", "7");
        svg_text_within(d->at, "b-small", SVG_MIDDLE, wx, wy + 4.0, pl->wheel[w].name, PLAN_TEXT,
                        2.0 * PLAN_STEP * SITE_WHEEL_X);
    }
}

/* The look of a net's lines. */
static void line_classes(const plan *pl, int net, char out[32]) {
    strcpy(out, "b-line");
    if (pl->shade != NULL && pl->shade[net] == 0) {
        strcpy(out, "b-line b-apart");
    } else if (pl->shade != NULL) {
        strcpy(out, "b-line b-live b-live-0");
        out[strlen(out) - 1] = (char)('1' + (pl->shade[net] - 1) % SHADES);
    }
}

static void add_lines(const drawing *d) {
    const route_plan *r = &d->plan->routes;
    for (int k = 0; k < r->lines; k++) {
        const route_line *l = &r->line[k];
        char classes[32];
        line_classes(d->plan, l->net, classes);
        text_buffer path = svg_buffer(d->at);
        for (int i = 0; i < l->points; i++) {
            svg_to(&path, i == 0 ? 'M' : 'L', place_x(d, l->point[i].x), place_y(d, l->point[i].y));
        }
        svg_path(d->at, classes, &path);
    }
    for (int k = 0; k < r->dots; k++) {
        svg_circle(d->at, "b-ink", place_x(d, r->dot[k].x), place_y(d, r->dot[k].y), 3.5);
    }
}

static void add_words(const drawing *d, const plan_part *q) {
    const double x = place_x(d, q->at.x) + (q->words_left ? -q->words_x : q->words_x);
    const double y = place_y(d, q->at.y) + q->words_y;
    for (int n = 0; n < q->lines; n++) {
        svg_text(d->at, "b-small b-halo", q->words_left ? SVG_END : SVG_START, x, y + 12.0 * n,
                 q->words[n]);
    }
}

static void add_parts(const drawing *d) {
    const plan *pl = d->plan;
    for (int i = 0; i < pl->parts; i++) {
        const plan_part *q = &pl->part[i];
        symbol_draw(d->at, q, pl->model, place_x(d, q->at.x), place_y(d, q->at.y));
    }
    for (int i = 0; i < pl->parts; i++) {
        add_words(d, &pl->part[i]);
    }
}

/* An entry of the legend: where it is. */
typedef struct entry {
    int number, columns;
    double top;
} entry;

static double entry_x(const entry *e) {
    return MARGIN + ENTRY_WIDTH * (e->number % e->columns);
}

static double entry_y(const entry *e) {
    const int row = e->number / e->columns;
    return e->top + ENTRY_HEIGHT * row;
}

/* Words of an entry, broken into lines. */
static void entry_words(const drawing *d, const entry *e, const char *words) {
    const double room = ENTRY_WIDTH - ENTRY_WORDS - 6.0;
    const double y = entry_y(e) + 0.5 * ENTRY_HEIGHT;
    for (int line = 0; *words != '\0' && line < WORDS_LINES; line++) {
        size_t length = strcspn(words, " ");
        for (size_t next = length; words[next] != '\0';) {
            next += 1 + strcspn(words + next + 1, " ");
            if (svg_width((text){words, next}, SOFT_SIZE) > room) {
                break;
            }
            length = next;
        }
        svg_append(svg_text(d->at, "b-soft", SVG_START, entry_x(e) + ENTRY_WORDS,
                            y + 4.0 + LINE_PITCH * line, ""),
                   (text){words, length}, false);
        words += length + (words[length] == ' ');
    }
}

static void add_line_entry(const drawing *d, entry *e, const char *classes, const char *words) {
    const double y = entry_y(e) + 0.5 * ENTRY_HEIGHT;
    text_buffer path = svg_buffer(d->at);
    svg_to(&path, 'M', entry_x(e) + 8.0, y);
    svg_to(&path, 'L', entry_x(e) + 80.0, y);
    svg_path(d->at, classes, &path);
    entry_words(d, e, words);
    e->number++;
}

/* A part of each kind that there is, and of both that air around can be; how many. */
enum { SAMPLES = PART_KINDS + 1 };
static int list_samples(const plan *pl, const plan_part *sample[SAMPLES]) {
    int count = 0;
    for (int kind = 0; kind < PART_KINDS; kind++) {
        const int ways = kind == PART_ATMOSPHERE ? 2 : 1;
        for (int inlet = 0; inlet < ways; inlet++) {
            const plan_part *found = NULL;
            for (int i = 0; i < pl->parts && found == NULL; i++) {
                const plan_part *q = &pl->part[i];
                found = (int)q->kind == kind && q->inlet == (inlet == 1) ? q : NULL;
            }
            if (found != NULL) {
                sample[count++] = found;
            }
        }
    }
    return count;
}

/* One entry a kind of part, and what lines mean. */
static void add_legend(const drawing *d, double top) {
    const plan *pl = d->plan;
    const double columns = floor((d->width - 2.0 * MARGIN) / ENTRY_WIDTH);
    entry e = {.columns = (int)columns, .top = top}; /* at least 1, see drawing_svg */
    const plan_part *sample[SAMPLES];
    const int samples = list_samples(pl, sample);
    for (; e.number < samples; e.number++) {
        plan_part one = *sample[e.number];
        one.turn = 0;
        symbol_draw(d->at, &one, pl->model, entry_x(&e) + 44.0, entry_y(&e) + 0.5 * ENTRY_HEIGHT);
        entry_words(d, &e, plan_kind_words(&one));
    }
    if (pl->shade != NULL) {
        add_line_entry(d, &e, "b-line b-live b-live-1",
                       "air of a spring; one colour, one pressure");
        add_line_entry(d, &e, "b-line b-apart", "shut off from every spring");
    }
}

static void describe(const plan *pl, text_buffer *out) {
    const network *net = &pl->model->network;
    text_buffer_add(out, "Plan view of the plumbing, front up.");
    for (int i = 0; i < net->edges; i++) {
        const edge *e = &net->edge[i];
        text_buffer_format(out, " %s joins %s and %s.", e->name, net->node[e->from].name,
                           net->node[e->to].name);
    }
}

/* Of the legend, before it is drawn. */
static double legend_height(const plan *pl, double width) {
    const plan_part *sample[SAMPLES];
    const int entries = list_samples(pl, sample) + (pl->shade != NULL ? 2 : 0);
    const int columns = (int)fmax(1.0, floor((width - 2.0 * MARGIN) / ENTRY_WIDTH));
    const int rows = (entries + columns - 1) / columns;
    return ENTRY_HEIGHT * rows;
}

svg drawing_svg(svg in, const plan *pl, double *width, double *height) {
    const double own = PLAN_STEP * (pl->width - 1);
    drawing d = {.plan = pl, .top = HEAD};
    d.width = fmax(own, ENTRY_WIDTH + 2.0 * MARGIN);
    d.left = 0.5 * (d.width - own);
    const double legend_top = HEAD + PLAN_STEP * (pl->height - 1) + MARGIN;
    const double total = legend_top + legend_height(pl, d.width) + MARGIN;
    text_buffer about = svg_buffer(in);
    describe(pl, &about);
    d.at = svg_picture(in, d.width, total, "Plan of the plumbing", &about);
    add_head(&d);
    add_vehicle(&d);
    add_lines(&d);
    add_parts(&d);
    svg_line(d.at, "b-grid", MARGIN, legend_top - 4.0, d.width - MARGIN, legend_top - 4.0);
    add_legend(&d, legend_top);
    if (width != NULL) {
        *width = d.width;
    }
    if (height != NULL) {
        *height = total;
    }
    return d.at;
}
