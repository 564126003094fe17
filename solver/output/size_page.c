/* The page of `size`: values at which figures are what is wanted of them. */
#include <math.h>

#include "netlist/edit.h"
#include "output/design.h"
#include "output/words.h"
#include "studies/size.h"

static const char *dial_text(design *d, int k, double x, int digits) {
    text_buffer words = {.allocator = d->inquiry.allocator};
    dial_words(&d->dial[k], x, digits, &words);
    return page_keep(d->inquiry.page, &words);
}

static const char *values_text(design *d, const size_answer *s) {
    page *p = d->inquiry.page;
    const char *list = "";
    for (int k = 0; k < s->dials; k++) {
        const char *const one =
            page_format(p, "%s %s", d->dial[k].name, dial_text(d, k, s->x[k], s->digits));
        list = words_join(p, list, one, k + 1 == s->dials && s->dials > 1);
    }
    return list;
}

static void lead(design *d, const size_answer *s) {
    page *p = d->inquiry.page;
    const char *const failed =
        s->gauges > 1 ? "It cannot all be met; nearest with" : "It cannot be met; nearest with";
    page_addf(p, BLOCK_LEAD, "%s: %s.", s->met ? "What is wanted is met with" : failed,
              values_text(d, s));
    if (s->stopped) {
        page_addf(p, BLOCK_CAUTION, "ended early, after %ld variants: there may be better values",
                  s->looked_at);
        page_set_status(p, BARONET_OVER_BUDGET);
    }
    if (!s->met) {
        page_set_status(p, BARONET_NOT_MET);
    }
}

/* Where a bound of its own keeps a value from going further. */
static const char *bound_words(const design *d, const size_answer *s, int k) {
    const dial *const one = &d->dial[k];
    const double near = 1e-3 * (one->high - one->low);
    if (one->form == DIAL_LIST) {
        return "from the list";
    }
    return fabs(s->x[k] - one->low) < near    ? "at its lower bound"
           : fabs(s->x[k] - one->high) < near ? "at its upper bound"
                                              : NULL;
}

static void list_values(design *d, const size_answer *s) {
    page *p = d->inquiry.page;
    static const char *const header[] = {"value", "found", "netlist has", "between"};
    page_add(p, BLOCK_HEADING, "Values");
    table *t = page_table(p, 4, 1, header);
    table_set_prose(t);
    for (int k = 0; k < s->dials; k++) {
        const char *const bound = bound_words(d, s, k);
        const char *cells[] = {d->dial[k].name, dial_text(d, k, s->x[k], s->digits),
                               dial_text(d, k, d->dial[k].now, 4),
                               page_format(p, "%s and %s%s%s", dial_text(d, k, d->dial[k].low, 4),
                                           dial_text(d, k, d->dial[k].high, 4),
                                           bound != NULL ? ", " : "", bound != NULL ? bound : "")};
        table_add(t, cells);
    }
}

static const char *wanted_text(design *d, int g) {
    page *p = d->inquiry.page;
    const requirement *const w = &d->wish[g];
    static const char *const words[] = {"above", "below", "=", "highest", "lowest"};
    if (w->relation >= REQUIRE_HIGHEST) {
        return words[w->relation];
    }
    return page_format(p, "%s %s", words[w->relation],
                       page_quantity(p, design_dimension(d, g), w->value));
}

/* Of what is wanted equal, by how much of itself it is missed at most; NAN where nothing is. */
static double largest_residual(const design *d, const size_answer *s) {
    double most = (double)NAN;
    for (int g = 0; g < s->gauges; g++) {
        const requirement *const w = &d->wish[g];
        if (w->relation == REQUIRE_EQUAL && s->verdict[g] != SIZE_ABSENT) {
            const double size = fabs(w->value) > 0.0 ? fabs(w->value) : 1.0;
            most = fmax(most, fabs(s->value[g] - w->value) / size);
        }
    }
    return most;
}

static void list_wishes(design *d, const size_answer *s) {
    static const char *const verdicts[] = {[SIZE_MET] = "met",
                                           [SIZE_BINDS] = "met, binds",
                                           [SIZE_MISSED] = "NOT MET",
                                           [SIZE_BEST] = "best",
                                           [SIZE_ABSENT] = "no figure"};
    page *p = d->inquiry.page;
    static const char *const header[] = {"verdict", "got", "wanted", "before", "figure"};
    page_add(p, BLOCK_HEADING, "What is wanted");
    table *t = page_table(p, 5, 1, header);
    table_set_prose(t);
    for (int g = 0; g < s->gauges; g++) {
        const baronet_dimension dimension = design_dimension(d, g);
        const char *cells[] = {verdicts[s->verdict[g]], page_quantity(p, dimension, s->value[g]),
                               wanted_text(d, g), page_quantity(p, dimension, s->now[g]),
                               d->title[g]};
        table_add(t, cells);
    }
    const double residual = largest_residual(d, s);
    page_addf(p, BLOCK_NOTE,
              "`=` is met within 0.5 %%%s%s; a limit binds where less than that is left",
              isnan(residual) ? "" : ", residual at most ",
              isnan(residual) ? "" : page_slight(p, residual));
    for (int g = 0; g < s->gauges; g++) {
        if (!isnan(s->alone[g])) {
            page_addf(p, BLOCK_CAUTION,
                      "%s: %s is the nearest that these bounds allow, whatever "
                      "the others ask",
                      d->title[g], page_quantity(p, design_dimension(d, g), s->alone[g]));
        }
    }
}

/* What was found, and the netlist as it is. */
static void add_series(design *d, const size_answer *s) {
    double *before = page_take(d->inquiry.page, (size_t)s->dials, sizeof *before);
    if (before == NULL) {
        return;
    }
    for (int k = 0; k < s->dials; k++) {
        before[k] = d->dial[k].now;
    }
    design_open_series(d, "netlist", NULL, false);
    design_add_row(d, "found", 0, s->x, s->value);
    design_add_row(d, "before", 0, before, s->now);
}

/* The netlist with these values in it, kept with the answer. */
static baronet_status keep_netlist(design *d, const size_answer *s) {
    page *p = d->inquiry.page;
    text_buffer words = {.allocator = d->inquiry.allocator};
    int stands = -1;
    const baronet_status status = netlist_edited(d->netlist, d->dials, d->dial, s->x,
                                                 s->digits > 4 ? s->digits : 4, &words, &stands);
    if (status == BARONET_OK) {
        p->netlist = page_copy(p, words.bytes);
    } else if (status == BARONET_NO_SUCH_NAME) {
        page_addf(p, BLOCK_NOTE,
                  "the changed netlist cannot be written: `%s` does not stand in the file itself; "
                  "give it a `let` there",
                  d->dial[stands].name);
    }
    text_buffer_free(&words);
    return status == BARONET_NO_SUCH_NAME ? BARONET_OK : status;
}

static baronet_status solve(design *d, const baronet_question *question, const char **what) {
    for (int k = 0; k < d->dials; k++) {
        if (d->dial[k].scale) {
            *what = "a column of a profile is no size that can be chosen";
            return BARONET_BAD_USAGE;
        }
    }
    const size_question ask = {.all = design_question(d, question), .wish = d->wish};
    size_answer s;
    baronet_status status = size_solve(&s, d->inquiry.page->arena, &ask, d->inquiry.allocator);
    if (status != BARONET_OK) {
        *what = status == BARONET_TOO_MANY
                    ? "lists make 100000 combinations at most, or 300 beside values with bounds"
                    : *what;
        return status;
    }
    d->residual = s.residual;
    lead(d, &s);
    list_values(d, &s);
    list_wishes(d, &s);
    add_series(d, &s);
    return keep_netlist(d, &s);
}

baronet_status baronet_size(const baronet_netlist *netlist, const baronet_question *question,
                            baronet_answer **answer, const char **what) {
    static const design_study study = {"size", WISH_GOAL, "--want", solve};
    return design_answer(&study, netlist, question, answer, what);
}

const char *baronet_answer_netlist(const baronet_answer *answer) {
    return answer->netlist;
}
