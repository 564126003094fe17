/* The page of `vary`: figures against one value of the netlist, or two in a grid. */
#include <math.h>

#include "output/design.h"
#include "output/picture.h"
#include "output/words.h"
#include "studies/vary.h"

enum { VARY_POINTS = 9, VARY_GRID_POINTS = 5, VARY_DIALS = 2, VARY_COLUMNS = 6 };

static double value_at(const vary_answer *v, long row, int g) {
    return v->row.value[(size_t)row * (size_t)v->gauges + (size_t)g];
}

static double x_at(const vary_answer *v, long row, int k) {
    return v->row.x[(size_t)row * (size_t)v->dials + (size_t)k];
}

/* A figure that changes by less than this part stands still: less is rounding. */
#define STILL 1e-6

/* Lowest and highest value of a figure, by row; false where it has none. */
static bool find_ends(const vary_answer *v, int g, long *low, long *high) {
    *low = *high = -1;
    for (long i = 0; i < v->row.done; i++) {
        const double x = value_at(v, i, g), least = STILL * fabs(x);
        if (!isnan(x)) {
            *low = *low < 0 || x < value_at(v, *low, g) - least ? i : *low;
            *high = *high < 0 || x > value_at(v, *high, g) + least ? i : *high;
        }
    }
    return *low >= 0;
}

static const char *place_words(design *d, const vary_answer *v, long row) {
    page *p = d->inquiry.page;
    const char *words = "";
    for (int k = 0; k < v->dials; k++) {
        words = page_format(p, "%s%s%s", words, k > 0 ? ", " : "",
                            design_quantity(d, k, x_at(v, row, k)));
    }
    return words;
}

/* The answer: how far each figure goes, and how strongly it follows. */
static void lead(design *d, const vary_answer *v, int g) {
    page *p = d->inquiry.page;
    const baronet_dimension dimension = design_dimension(d, g);
    long low, high;
    if (!find_ends(v, g, &low, &high)) {
        page_addf(p, BLOCK_LEAD, "(%d) %s: does not exist here.", g + 1, d->title[g]);
        return;
    }
    if (low == high) {
        page_addf(p, BLOCK_LEAD, "(%d) %s: %s throughout.", g + 1, d->title[g],
                  page_quantity(p, dimension, value_at(v, low, g)));
        return;
    }
    page_addf(p, BLOCK_LEAD, "(%d) %s: from %s (at %s) to %s (at %s)%s%s%s.", g + 1, d->title[g],
              page_quantity(p, dimension, value_at(v, low, g)), place_words(d, v, low),
              page_quantity(p, dimension, value_at(v, high, g)), place_words(d, v, high),
              isnan(v->now[g]) ? "" : "; ",
              isnan(v->now[g]) ? "" : page_quantity(p, dimension, v->now[g]),
              isnan(v->now[g]) ? "" : " as the netlist has it");
}

static void sensitivities(design *d, const vary_answer *v) {
    page *p = d->inquiry.page;
    static const char *const header[] = {"figure", "value", "netlist has", "% per %"};
    bool any = false;
    for (int i = 0; i < v->gauges * v->dials; i++) {
        any = any || !isnan(v->sensitivity[i]);
    }
    if (!any) {
        return;
    }
    page_add(p, BLOCK_HEADING, "How strongly each figure follows, where the netlist stands");
    table *t = page_table(p, 4, 2, header);
    for (int g = 0; g < v->gauges; g++) {
        for (int k = 0; k < v->dials; k++) {
            const double s = v->sensitivity[g * v->dials + k];
            if (!isnan(s)) {
                const char *cells[] = {page_format(p, "(%d)", g + 1), d->dial[k].name,
                                       design_quantity(d, k, d->dial[k].now),
                                       page_number(p, BARONET_NUMBER, fabs(s) < 5e-4 ? 0.0 : s, 3)};
                table_add(t, cells);
            }
        }
    }
}

/* A figure's column: all its values with equal decimals. */
static int column_decimals(design *d, const vary_answer *v, int g) {
    long low, high;
    if (!find_ends(v, g, &low, &high)) {
        return 0;
    }
    const double ends[] = {value_at(v, low, g), value_at(v, high, g)};
    return page_decimals(d->inquiry.page, design_dimension(d, g), 2, ends);
}

static void one_table(design *d, const vary_answer *v, int from, int count) {
    page *p = d->inquiry.page;
    const char *header[1 + VARY_COLUMNS];
    int decimals[VARY_COLUMNS];
    header[0] = design_column(d, 0);
    for (int k = 0; k < count; k++) {
        const char *unit = page_unit(p, design_dimension(d, from + k));
        header[1 + k] = page_format(p, "(%d)%s%s", from + k + 1, unit[0] ? " " : "", unit);
        decimals[k] = column_decimals(d, v, from + k);
    }
    table *t = page_table(p, 1 + count, 0, header);
    for (long i = 0; i < v->row.done; i++) {
        const char *cells[1 + VARY_COLUMNS];
        cells[0] = design_number(d, 0, x_at(v, i, 0));
        for (int k = 0; k < count; k++) {
            cells[1 + k] = page_number(p, design_dimension(d, from + k), value_at(v, i, from + k),
                                       decimals[k]);
        }
        table_add(t, cells);
    }
}

/* One figure over two values: the first goes down, the second across. */
static void grid_table(design *d, const vary_answer *v, int g, long across) {
    page *p = d->inquiry.page;
    const char **row = page_take(p, (size_t)across + 1, sizeof *row);
    if (row == NULL) {
        return;
    }
    const char *const unit = page_unit(p, design_dimension(d, g));
    page_addf(p, BLOCK_PLAIN, "(%d)%s%s: %s down, %s across", g + 1, unit[0] ? " " : "", unit,
              design_column(d, 0), design_column(d, 1));
    row[0] = NULL;
    for (long k = 0; k < across && k < v->row.done; k++) {
        row[1 + k] = design_number(d, 1, x_at(v, k, 1));
    }
    table *t = page_table(p, (int)across + 1, 0, row);
    const int decimals = column_decimals(d, v, g);
    for (long i = 0; i + across <= v->row.done; i += across) {
        row[0] = design_number(d, 0, x_at(v, i, 0));
        for (long k = 0; k < across; k++) {
            row[1 + k] = page_number(p, design_dimension(d, g), value_at(v, i + k, g), decimals);
        }
        table_add(t, row);
    }
}

static void tables(design *d, const vary_answer *v, int points) {
    const dial *const last = &d->dial[d->dials - 1];
    page_add(d->inquiry.page, BLOCK_HEADING, "Values");
    for (int g = 0; g < v->gauges && d->dials == 2; g++) {
        grid_table(d, v, g, last->form == DIAL_LIST ? last->values : points);
    }
    for (int g = 0; g < v->gauges && d->dials == 1; g += VARY_COLUMNS) {
        const int left = v->gauges - g;
        one_table(d, v, g, left < VARY_COLUMNS ? left : VARY_COLUMNS);
    }
}

/* What had no answer, and why the first of it had none. */
static void gaps(design *d, const vary_answer *v) {
    page *p = d->inquiry.page;
    long count = 0, first = -1;
    for (long i = 0; i < v->row.done; i++) {
        if (v->row.why[i].status != BARONET_OK) {
            first = first < 0 ? i : first;
            count++;
        }
    }
    if (count > 0) {
        page_addf(p, BLOCK_CAUTION, "%ld of %ld points have no answer in some state; at %s: %s",
                  count, v->row.done, place_words(d, v, first),
                  words_problem(p, d->inquiry.model, &v->row.why[first]));
    }
}

static void add_series(design *d, const vary_answer *v, int share) {
    design_open_series(d, NULL, NULL, share > 1);
    for (long i = 0; i < v->row.done; i++) {
        design_add_row(d, NULL, 0, v->row.x + i * v->dials, v->row.value + i * v->gauges);
    }
}

/* Curves of one dimension share a picture. */
static void pictures(design *d, const vary_answer *v, const baronet_question *question) {
    page *p = d->inquiry.page;
    double *x = page_take(p, (size_t)v->row.done, sizeof *x);
    double *y = page_take(p, (size_t)v->row.done, sizeof *y);
    for (int g = 0; g < v->gauges && x != NULL && y != NULL && d->dials == 1; g++) {
        const figure_quantity quantity = d->gauge[g].figure.quantity;
        bool drawn = false;
        for (int k = 0; k < g; k++) {
            drawn = drawn || d->gauge[k].figure.quantity == quantity;
        }
        if (drawn) {
            continue;
        }
        const char *const said = figure_at(quantity)->name;
        const picture_axis across = {d->dial[0].name, dial_dimension(&d->dial[0]),
                                     question->by_ratio && d->dial[0].low > 0.0};
        const picture_axis up = {said, design_dimension(d, g), false};
        picture *c =
            page_picture(p, page_format(p, "%s against %s", said, d->dial[0].name), across, up);
        if (question->plot != NULL && picture_is_asked(question->plot, "", said)) {
            picture_ask(c);
        }
        for (int k = g; k < v->gauges; k++) {
            if (d->gauge[k].figure.quantity == quantity) {
                for (long i = 0; i < v->row.done; i++) {
                    x[i] = dial_shown(&d->dial[0], x_at(v, i, 0));
                    y[i] = value_at(v, i, k);
                }
                c = picture_add(c, d->title[k], (int)v->row.done, x, y);
            }
        }
    }
}

static void write_page(design *d, const vary_answer *v, const baronet_question *question,
                       int points) {
    page *p = d->inquiry.page;
    if (v->row.done < v->row.count) {
        page_addf(p, BLOCK_CAUTION, "ended early: %ld of %ld points", v->row.done, v->row.count);
        page_set_status(p, BARONET_OVER_BUDGET);
    }
    for (int g = 0; g < v->gauges; g++) {
        lead(d, v, g);
    }
    if (question->shares == 0) {
        sensitivities(d, v);
    }
    tables(d, v, points);
    gaps(d, v);
    pictures(d, v, question);
    add_series(d, v, question->share);
}

static baronet_status solve(design *d, const baronet_question *question, const char **what) {
    if (d->dials > VARY_DIALS) {
        *what = "vary changes one thing or two; join names by `+` to change them together";
        return BARONET_TOO_MANY;
    }
    const int usual = d->dials == 1 ? VARY_POINTS : VARY_GRID_POINTS;
    const vary_question ask = {.all = design_question(d, question),
                               .points = question->points > 1 ? question->points : usual,
                               .by_ratio = question->by_ratio,
                               .share = question->share,
                               .shares = question->shares};
    vary_answer v;
    const baronet_status status =
        vary_solve(&v, d->inquiry.page->arena, &ask, d->inquiry.allocator);
    if (status != BARONET_OK) {
        *what = status == BARONET_TOO_MANY ? "a grid has 1000000 points at most" : *what;
        return status;
    }
    d->residual = v.residual;
    write_page(d, &v, question, ask.points);
    return BARONET_OK;
}

baronet_status baronet_vary(const baronet_netlist *netlist, const baronet_question *question,
                            baronet_answer **answer, const char **what) {
    static const design_study study = {"vary", WISH_FIGURE, "--of", solve};
    return design_answer(&study, netlist, question, answer, what);
}
