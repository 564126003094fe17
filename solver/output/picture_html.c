/* SPDX-License-Identifier: MIT */
#include "output/picture_html.h"

#include <math.h>

#include "output/chart_svg.h"

/* Rows of the table at most; digits of places along a logarithmic axis. */
enum { ROWS_MOST = 41, PLACE_DIGITS = 3 };

typedef struct numbers {
    xml_document *document;
    const page *page;
    const picture *picture;
    xml_element *rows;
    text_buffer words; /* scratch */
    int across, up;    /* digits after the point */
    int at[PICTURE_CURVES];
} numbers;

/* What has been put together, as a cell: a heading of this scope, or (NULL) a number. */
static void add_cell(numbers *n, xml_element *row, const char *scope) {
    const char *const words = n->words.failed ? "" : n->words.bytes;
    xml_element *cell = xml_add(n->document, row, scope != NULL ? "th" : "td", words);
    xml_set(n->document, cell, "class", "n");
    if (scope != NULL) {
        xml_set(n->document, cell, "scope", scope);
    }
    n->document->failed = n->document->failed || n->words.failed;
    n->words.length = 0;
}

/* The next place at which some curve has a point; NAN for none. */
static double next_place(const numbers *n) {
    double least = (double)NAN;
    int k = 0;
    for (const picture_curve *c = n->picture->first; c != NULL; c = c->next, k++) {
        if (n->at[k] < c->points && !(c->x[n->at[k]] >= least)) {
            least = c->x[n->at[k]];
        }
    }
    return least;
}

/* To the next point of a curve, from one on. */
static int next_point(const picture_curve *c, int from) {
    while (from < c->points && !isfinite(c->x[from])) {
        from++;
    }
    return from;
}

/* Steps over a place, and writes its row where it is wanted. */
static void pass(numbers *n, double place, bool wanted) {
    xml_element *row = NULL;
    if (wanted) {
        const double shown = page_shown(n->page, n->picture->x.dimension, place);
        xml_append(n->document, n->rows, "\n");
        row = xml_add(n->document, n->rows, "tr", NULL);
        if (n->picture->x.logarithmic) {
            text_buffer_number(&n->words, shown, PLACE_DIGITS);
        } else {
            text_buffer_fixed(&n->words, shown, n->across);
        }
        add_cell(n, row, "row");
    }
    int k = 0;
    for (const picture_curve *c = n->picture->first; c != NULL; c = c->next, k++) {
        const bool has = n->at[k] < c->points && c->x[n->at[k]] == place;
        if (wanted) {
            if (has && isfinite(c->y[n->at[k]])) {
                text_buffer_fixed(
                    &n->words, page_shown(n->page, n->picture->y.dimension, c->y[n->at[k]]), n->up);
            } else {
                text_buffer_add(&n->words, "\xE2\x80\x93");
            }
            add_cell(n, row, NULL);
        }
        n->at[k] = next_point(c, n->at[k] + has);
    }
}

static void start(numbers *n) {
    int k = 0;
    for (const picture_curve *c = n->picture->first; c != NULL; c = c->next, k++) {
        n->at[k] = next_point(c, 0);
    }
}

static void add_rows(numbers *n) {
    int total = 0;
    start(n);
    for (double place = next_place(n); isfinite(place); place = next_place(n)) {
        pass(n, place, false);
        total++;
    }
    start(n);
    const int steps = total > ROWS_MOST ? ROWS_MOST - 1 : total - 1;
    for (int row = 0, written = 0; row < total; row++) {
        const bool wanted = (long)row * steps >= (long)written * (total - 1);
        pass(n, next_place(n), wanted);
        written += wanted;
    }
}

/* Three significant digits of the largest value of either axis. */
static void find_decimals(numbers *n) {
    const ticks x = picture_across(n->picture, 2), y = picture_up(n->picture, 2);
    const double ends[] = {x.low, x.high, y.low, y.high};
    const baronet_unit *across = baronet_unit_shown(n->page->units, n->picture->x.dimension);
    const baronet_unit *up = baronet_unit_shown(n->page->units, n->picture->y.dimension);
    double si[4];
    for (int i = 0; i < 4; i++) {
        const baronet_unit *unit = i < 2 ? across : up;
        si[i] = ends[i] * unit->factor + unit->offset;
    }
    n->across = page_decimals(n->page, n->picture->x.dimension, 2, si);
    n->up = page_decimals(n->page, n->picture->y.dimension, 2, si + 2);
}

static void add_head(numbers *n, xml_element *in) {
    xml_element *row = xml_add(n->document, xml_add(n->document, in, "thead", NULL), "tr", NULL);
    picture_axis_words(n->page, &n->picture->x, &n->words);
    add_cell(n, row, "col");
    for (const picture_curve *c = n->picture->first; c != NULL; c = c->next) {
        text_buffer_add(&n->words, c->name);
        add_cell(n, row, "col");
    }
}

/* The table, folded away once the script can read from it. */
static void add_numbers(numbers *n, xml_element *in) {
    xml_document *d = n->document;
    xml_element *folded = xml_add(d, in, "details", NULL);
    xml_set(d, folded, "class", "numbers");
    xml_set(d, folded, "open", "open");
    xml_set(d, folded, "data-fold", "fold");
    picture_axis_words(n->page, &n->picture->y, &n->words);
    xml_element *title = xml_add(d, folded, "summary", "Numbers: ");
    xml_append(d, title, n->words.failed ? "" : n->words.bytes);
    n->words.length = 0;
    xml_element *box = xml_add(d, folded, "div", NULL);
    xml_set(d, box, "class", "box");
    xml_set(d, box, "role", "region");
    xml_set(d, box, "tabindex", "0");
    xml_set(d, box, "aria-label", n->picture->title);
    xml_element *grid = xml_add(d, box, "table", NULL);
    add_head(n, grid);
    n->rows = xml_add(d, grid, "tbody", NULL);
    add_rows(n);
}

void picture_html(xml_document *d, xml_element *in, const page *p, const picture *c) {
    xml_element *frame = xml_add(d, in, "figure", NULL);
    xml_set(d, frame, "data-chart", page_unit(p, c->y.dimension));
    xml_element *plot = xml_add(d, frame, "div", NULL);
    xml_set(d, plot, "class", "plot");
    if (chart_svg((svg){d, plot}, p, c, NULL).element == NULL) {
        xml_append(d, plot, c->title);
        xml_append(d, plot, ": too few values to draw.");
        return;
    }
    xml_set(d, xml_add(d, frame, "p", NULL), "class", "readout");
    numbers n = {.document = d, .page = p, .picture = c, .words = {.allocator = p->allocator}};
    find_decimals(&n);
    add_numbers(&n, frame);
    text_buffer_free(&n.words);
}
