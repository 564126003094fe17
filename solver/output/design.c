#include "output/design.h"

#include <string.h>

#include "output/words.h"

_Static_assert(DESIGN_DIALS_MAX == 64 && DESIGN_GAUGES_MAX == 400,
               "sentences below give the numbers");
/* Digits of a value that may change, in words. */
enum { QUANTITY_DIGITS = 4 };

static baronet_status read_dials(design *d, const baronet_question *question, const char **what) {
    if (question->changes <= 0 || question->changes > DESIGN_DIALS_MAX) {
        *what = question->changes <= 0
                    ? "say what may change, as in --change left-tank.volume=1L..8L"
                    : "64 values at most may change at once";
        return question->changes <= 0 ? BARONET_BAD_USAGE : BARONET_TOO_MANY;
    }
    arena *const a = d->inquiry.page->arena;
    d->dial = ARENA_ARRAY(a, dial, question->changes);
    baronet_status status = d->dial != NULL ? BARONET_OK : BARONET_OUT_OF_MEMORY;
    bool fine = true;
    for (int k = 0; k < question->changes && status != BARONET_OUT_OF_MEMORY; k++) {
        status = netlist_dial(d->netlist, "--change", question->change[k].said,
                              question->change[k].list, a, question->said, &d->dial[k]);
        fine = fine && status == BARONET_OK;
        d->dials++;
    }
    return status == BARONET_OUT_OF_MEMORY ? status : fine ? BARONET_OK : BARONET_BAD_USAGE;
}

static const char *figure_title(design *d, const requirement *wish, const gauge *g) {
    page *p = d->inquiry.page;
    const char *level_word = level_name(g->figure.level);
    return page_format(p, "%s%s%s%s%s in %s%s%s", wish->quantity, wish->subject[0] ? " of " : "",
                       wish->subject, level_word[0] ? " " : "", level_word,
                       d->inquiry.model->state[g->state].name, g->load_case >= 0 ? " with " : "",
                       g->load_case >= 0 ? d->inquiry.model->load_case[g->load_case].name : "");
}

/* One gauge; a state where the model has no such subject has none. */
static bool add_gauge(design *d, const requirement *wish, int state) {
    if (d->gauges == DESIGN_GAUGES_MAX) {
        return false;
    }
    gauge *const g = &d->gauge[d->gauges];
    if (gauge_find(g, d->inquiry.model, wish, state)) {
        if (g->load_case < 0 && d->inquiry.with != NULL) {
            g->load_case = (int)(d->inquiry.with - d->inquiry.model->load_case);
        }
        d->wish[d->gauges] = *wish;
        d->title[d->gauges] = figure_title(d, wish, g);
        d->gauges++;
    }
    return true;
}

/* In the state that it names, or else in each that the question is about, which have names. */
static bool add_wish(design *d, const requirement *wish) {
    const states_answer *const states = &d->inquiry.states;
    if (wish->state >= 0) {
        return add_gauge(d, wish, wish->state);
    }
    bool fine = true;
    for (int k = 0; k < states->count && fine; k++) {
        fine = add_gauge(d, wish, states->entry[k].named);
    }
    return fine;
}

static baronet_status read_wishes(design *d, const baronet_question *question, wish_form form,
                                  const char *called, const char **what) {
    arena *const a = d->inquiry.page->arena;
    const model *const m = d->inquiry.model;
    d->gauge = ARENA_ARRAY(a, gauge, DESIGN_GAUGES_MAX);
    d->wish = ARENA_ARRAY(a, requirement, DESIGN_GAUGES_MAX);
    d->title = ARENA_ARRAY(a, const char *, DESIGN_GAUGES_MAX);
    if (!arena_complete(a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    baronet_status status = BARONET_OK;
    bool fine = true, room = true;
    for (int k = 0; k < question->wishes && status != BARONET_OUT_OF_MEMORY; k++) {
        requirement wish;
        status =
            netlist_wish(d->netlist, called, question->wish[k], form, a, question->said, &wish);
        fine = fine && status == BARONET_OK;
        room = room && (status != BARONET_OK || add_wish(d, &wish));
    }
    for (int k = 0; k < m->requirements && question->wishes == 0; k++) {
        room = room && add_wish(d, &m->requirement[k]);
    }
    if (status == BARONET_OUT_OF_MEMORY || !fine) {
        return status == BARONET_OUT_OF_MEMORY ? status : BARONET_BAD_USAGE;
    }
    if (!room) {
        *what = "400 figures at most, each state counted";
        return BARONET_TOO_MANY;
    }
    if (d->gauges == 0 && d->inquiry.problem.status == BARONET_OK) {
        *what = question->wishes + m->requirements > 0
                    ? "say what the figure is of, as in 'ride_frequency of heave'"
                : form == WISH_GOAL
                    ? "say which figure, as in --want 'ride_frequency of heave = 1.1 Hz'"
                    : "say which figure, as in --of 'ride_frequency of heave'";
        return BARONET_BAD_USAGE;
    }
    return BARONET_OK;
}

static baronet_status read_words(design *out, const baronet_netlist *netlist,
                                 const baronet_question *question, wish_form form,
                                 const char *called, const char **what) {
    *out = (design){.netlist = netlist};
    baronet_status status =
        inquiry_open(&out->inquiry, netlist, question, STATES_NAMED, INQUIRY_STANDING, what);
    if (status != BARONET_OK) {
        return status;
    }
    status = read_dials(out, question, what);
    if (status != BARONET_OK && status != BARONET_BAD_USAGE) {
        return status;
    }
    /* All that is wrong is said in one run. */
    const bool silent = *what != NULL && status != BARONET_OK;
    const baronet_status wished = silent ? status : read_wishes(out, question, form, called, what);
    return status != BARONET_OK ? status : wished;
}

variants_question design_question(const design *d, const baronet_question *question) {
    return (variants_question){.netlist = d->netlist,
                               .dials = d->dials,
                               .dial = d->dial,
                               .gauges = d->gauges,
                               .gauge = d->gauge,
                               .amplitude = d->inquiry.amplitude,
                               .workers = question->workers,
                               .progress = question->go_on,
                               .progress_context = question->go_on_context};
}

/* Why the netlist as it is has no answer in some state. */
static void say_problems(const design *d) {
    const inquiry *q = &d->inquiry;
    for (int k = 0; k < q->states.count; k++) {
        const states_entry *const e = &q->states.entry[k];
        if (e->problem.status != BARONET_OK) {
            page_addf(q->page, BLOCK_CAUTION, "as the netlist is, %s has no answer: %s", e->name,
                      words_problem(q->page, q->model, &e->problem));
        }
    }
}

baronet_status design_answer(const design_study *study, const baronet_netlist *netlist,
                             const baronet_question *question, baronet_answer **answer,
                             const char **what) {
    const char *unwanted = NULL;
    what = what != NULL ? what : &unwanted;
    design d;
    baronet_status status = read_words(&d, netlist, question, study->form, study->called, what);
    if (status == BARONET_OK) {
        page_set_study(d.inquiry.page, study->name);
    }
    if (status == BARONET_OK && d.inquiry.problem.status == BARONET_OK) {
        inquiry_title(&d.inquiry);
        status = study->solve(&d, question, what);
    }
    if (status == BARONET_OK && d.inquiry.problem.status == BARONET_OK) {
        page_add(d.inquiry.page, BLOCK_HEADING, "Cautions and notes");
        say_problems(&d);
        words_cautions(d.inquiry.page, d.inquiry.charge, &d.inquiry.states);
        words_equilibria(d.inquiry.page, &d.inquiry.states, LEVEL_NONE,
                         (balance_worst){.residual = d.residual});
    }
    return inquiry_close(&d.inquiry, status, answer);
}

const char *design_quantity(design *d, int dial_index, double x) {
    const dial *const one = &d->dial[dial_index];
    if (one->scale) {
        return page_format(d->inquiry.page, "%s %%",
                           page_number(d->inquiry.page, BARONET_NUMBER, 100.0 * x, -1));
    }
    /* In the unit that it was said in. */
    text_buffer words = {.allocator = d->inquiry.allocator};
    dial_words(one, x, QUANTITY_DIGITS, &words);
    return page_keep(d->inquiry.page, &words);
}

const char *design_number(design *d, int dial_index, double x) {
    const dial *const one = &d->dial[dial_index];
    return one->scale ? page_number(d->inquiry.page, BARONET_NUMBER, 100.0 * x, -1)
                      : page_number(d->inquiry.page, dial_dimension(one), dial_shown(one, x), -1);
}

const char *design_column(design *d, int dial_index) {
    const dial *const one = &d->dial[dial_index];
    const char *const unit = one->scale ? "%" : page_unit(d->inquiry.page, dial_dimension(one));
    return page_format(d->inquiry.page, "%s%s%s", one->name, unit[0] ? " " : "", unit);
}

baronet_dimension design_dimension(const design *d, int gauge_index) {
    return figure_at(d->gauge[gauge_index].figure.quantity)->dimension;
}

void design_open_series(design *d, const char *label, const char *number, bool headless) {
    page *p = d->inquiry.page;
    const int columns = (number != NULL) + d->dials + d->gauges;
    series_column *column = page_take(p, (size_t)columns, sizeof *column);
    d->row = page_take(p, (size_t)columns, sizeof *d->row);
    if (column == NULL || d->row == NULL) {
        return;
    }
    int c = 0;
    if (number != NULL) {
        column[c++] = (series_column){number, BARONET_NUMBER};
    }
    for (int k = 0; k < d->dials; k++) {
        column[c++] = (series_column){d->dial[k].name, dial_dimension(&d->dial[k])};
    }
    for (int g = 0; g < d->gauges; g++) {
        column[c++] = (series_column){d->title[g], design_dimension(d, g)};
    }
    d->series = page_series(p, label != NULL, &label, columns, column);
    series_set_whole(d->series, (number != NULL) + d->dials);
    if (d->series != NULL) {
        d->series->headless = headless;
    }
}

void design_add_row(design *d, const char *label, long number, const double *x,
                    const double *figures) {
    if (d->series == NULL) {
        return;
    }
    int c = 0;
    if (d->series->columns > d->dials + d->gauges) {
        d->row[c++] = (double)number;
    }
    for (int k = 0; k < d->dials; k++) {
        d->row[c++] = dial_shown(&d->dial[k], x[k]);
    }
    memcpy(d->row + c, figures, (size_t)d->gauges * sizeof *figures);
    series_add(d->series, &label, d->row);
}
