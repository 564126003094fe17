/* The page of `spread`: what part tolerances do to figures. */
#include <math.h>
#include <stdlib.h>

#include "output/design.h"
#include "output/words.h"
#include "studies/spread.h"

enum { SPREAD_RUNS = 1000 };
/* What gives less of the spread than this is not listed, nor what so few vehicles may show by
   chance: the square of a correlation of things that have nothing to do with one another is below
   this over their number 99 times in 100 (chi-squared, one degree of freedom). */
#define SLIGHT 0.005
#define CHANCE 6.63

static const char *percent(page *p, double part) {
    return page_format(p, "%s %%", page_number(p, BARONET_NUMBER, 100.0 * part, 1));
}

static void lead(design *d, const spread_answer *s, int g) {
    page *p = d->inquiry.page;
    const spread_figure *const f = &s->figure[g];
    const baronet_dimension dimension = design_dimension(d, g);
    if (f->count == 0) {
        page_addf(p, BLOCK_LEAD, "(%d) %s: does not exist here.", g + 1, d->title[g]);
        return;
    }
    page_addf(
        p, BLOCK_LEAD,
        "(%d) %s: nine vehicles in ten lie from %s to %s, half of them below %s; the worst "
        "that the tolerances allow is %s and %s.",
        g + 1, d->title[g], page_quantity(p, dimension, f->low.value),
        page_quantity(p, dimension, f->high.value), page_quantity(p, dimension, f->middle.value),
        page_quantity(p, dimension, f->worst_low), page_quantity(p, dimension, f->worst_high));
    if (f->bounded) {
        page_addf(p, BLOCK_LEAD, "%s of the vehicles are %s %s (with 95 %% confidence %s to %s).",
                  percent(p, f->met.value),
                  d->wish[g].relation == REQUIRE_ABOVE ? "above" : "below",
                  page_quantity(p, dimension, d->wish[g].value), percent(p, f->met.from),
                  percent(p, f->met.to));
    }
}

static void add_bounds(design *d, table *t, int g, const char *words, const spread_bounds *b) {
    page *p = d->inquiry.page;
    const baronet_dimension dimension = design_dimension(d, g);
    const double ends[] = {b->from, b->value, b->to};
    const int decimals = page_decimals(p, dimension, 3, ends) + 1;
    const char *cells[] = {page_format(p, "(%d) %s", g + 1, words), page_unit(p, dimension),
                           page_number(p, dimension, b->value, decimals),
                           page_number(p, dimension, b->from, decimals),
                           page_number(p, dimension, b->to, decimals)};
    table_add(t, cells);
}

static void percentiles(design *d, const spread_answer *s) {
    page *p = d->inquiry.page;
    static const char *const header[] = {"below it", "", "figure", "95 % sure: from", "to"};
    page_add(p, BLOCK_HEADING, "Percentiles");
    table *t = page_table(p, 5, 2, header);
    for (int g = 0; g < s->gauges; g++) {
        const spread_figure *const f = &s->figure[g];
        if (f->count > 0) {
            add_bounds(d, t, g, "5 %", &f->low);
            add_bounds(d, t, g, "50 %", &f->middle);
            add_bounds(d, t, g, "95 %", &f->high);
        }
    }
}

/* Dials of a figure by what they give of its spread, the most first. */
static void sort_dials(const spread_answer *s, int g, int *order) {
    for (int k = 0; k < s->dials; k++) {
        int at = k;
        const double own = fabs(s->part[g * s->dials + k]);
        for (; at > 0 && fabs(s->part[g * s->dials + order[at - 1]]) < own; at--) {
            order[at] = order[at - 1];
        }
        order[at] = k;
    }
}

static void parts_that_matter(design *d, const spread_answer *s) {
    page *p = d->inquiry.page;
    static const char *const header[] = {"figure", "value", "of the spread", "figure goes",
                                         "tolerance"};
    int *order = page_take(p, (size_t)s->dials, sizeof *order);
    page_add(p, BLOCK_HEADING, "Which parts matter most");
    table *t = page_table(p, 5, 2, header);
    for (int g = 0; g < s->gauges && order != NULL; g++) {
        sort_dials(s, g, order);
        for (int i = 0; i < s->dials; i++) {
            const int k = order[i];
            const double part = s->part[g * s->dials + k];
            if (isnan(part) || fabs(part) < fmax(SLIGHT, CHANCE / (double)s->figure[g].count)) {
                continue;
            }
            const char *cells[] = {
                page_format(p, "(%d)", g + 1), d->dial[k].name,
                page_format(p, "%s %%", page_number(p, BARONET_NUMBER, 100.0 * fabs(part), 0)),
                part > 0.0 ? "with it" : "against it",
                page_format(p, "%s to %s", design_quantity(d, k, d->dial[k].low),
                            design_quantity(d, k, d->dial[k].high))};
            table_add(t, cells);
        }
    }
}

static void notes(design *d, const spread_answer *s, const baronet_question *question) {
    page *p = d->inquiry.page;
    page_addf(p, BLOCK_NOTE,
              "%ld vehicles drawn with seed %llu; each value is evenly likely anywhere within its "
              "tolerance and knows nothing of the others",
              s->run.done, question->seed);
    page_addf(p, BLOCK_NOTE,
              s->every_corner ? "the worst is that of all %ld corners, every value at one end of "
                                "its tolerance"
                              : "the worst is that of %ld corners, to which the drawn vehicles "
                                "point",
              s->corners);
    if (s->run.done < s->run.count) {
        page_addf(p, BLOCK_CAUTION, "ended early: %ld of %ld vehicles", s->run.done, s->run.count);
        page_set_status(p, BARONET_OVER_BUDGET);
    }
    if (s->failed > 0) {
        const problem *why = s->run.why;
        while (why->status == BARONET_OK) {
            why++;
        }
        page_addf(p, BLOCK_CAUTION,
                  "%ld of %ld vehicles have no answer in some state; the first: %s", s->failed,
                  s->run.done, words_problem(p, d->inquiry.model, why));
    }
}

static void add_series(design *d, const spread_answer *s, int share) {
    design_open_series(d, NULL, "vehicle", share > 1);
    for (long i = 0; i < s->run.done; i++) {
        design_add_row(d, NULL, s->run.first + i + 1, s->run.x + i * s->dials,
                       s->run.value + i * s->gauges);
    }
}

static baronet_status solve(design *d, const baronet_question *question, const char **what) {
    (void)what;
    const spread_question ask = {.all = design_question(d, question),
                                 .wish = d->wish,
                                 .runs = question->runs > 0 ? question->runs : SPREAD_RUNS,
                                 .seed = question->seed,
                                 .share = question->share,
                                 .shares = question->shares};
    spread_answer s;
    const baronet_status status =
        spread_solve(&s, d->inquiry.page->arena, &ask, d->inquiry.allocator);
    if (status != BARONET_OK) {
        return status;
    }
    d->residual = s.residual;
    if (question->shares == 0) {
        for (int g = 0; g < s.gauges; g++) {
            lead(d, &s, g);
        }
        percentiles(d, &s);
        parts_that_matter(d, &s);
        notes(d, &s, question);
    }
    add_series(d, &s, question->share);
    return BARONET_OK;
}

baronet_status baronet_spread(const baronet_netlist *netlist, const baronet_question *question,
                              baronet_answer **answer, const char **what) {
    static const design_study study = {"spread", WISH_FIGURE, "--of", solve};
    return design_answer(&study, netlist, question, answer, what);
}
