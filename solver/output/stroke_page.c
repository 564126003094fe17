/* The page of `stroke`: curves of load, pressure and rate over the travel, in each state. */
#include <math.h>
#include <string.h>

#include "output/inquiry.h"
#include "output/picture.h"
#include "output/words.h"
#include "studies/course.h"
#include "studies/stroke.h"

enum { STROKE_POINTS = 21 };
_Static_assert(STROKE_POINTS_MOST == 100000, "a sentence below gives the number");

/* Whether a course is asked for: by its name, or where none is named heave and each bench mass. */
static bool asked_for(const model *m, const course *one, int index, const char *asked) {
    if (asked != NULL) {
        return strcmp(one->name, asked) == 0;
    }
    for (int c = m->vehicle.wheels; c < m->vehicle.corners; c++) {
        if (one->shape[c] != 0.0) {
            return true;
        }
    }
    return index == 0;
}

static const char *end_words(page *p, const model *m, stroke_end end, int item) {
    switch (end) {
    case STROKE_PROFILE:
        return page_format(p, "the end of `%s`'s table", m->vehicle.spring[item].name);
    case STROKE_SLACK:
        return page_format(p, "`%s` going slack", m->vehicle.spring[item].name);
    case STROKE_LIFT:
        return page_format(p, "wheel `%s` lifting", m->vehicle.corner[item].name);
    case STROKE_LIMIT:
        break;
    }
    return "the longest travel followed";
}

/* Pressure at a corner: that of the first spring on it, NAN where it has none. */
static double corner_pressure(const model *m, const stroke_row *row, int corner_index) {
    for (int i = 0; i < m->vehicle.springs; i++) {
        for (int k = 0; k < m->vehicle.spring[i].levers; k++) {
            if (m->vehicle.spring[i].lever[k].corner == corner_index) {
                return row->pressure[i] - m->ambient.pressure;
            }
        }
    }
    return (double)NAN;
}

/* Travel is the wheel's own: where the motion lifts one wheel and lowers another, their signs
   differ. */
static void corner_table(inquiry *q, const stroke_answer *s, const double *shape,
                         int corner_index) {
    page *p = q->page;
    const model *m = q->model;
    const char *const header[] = {
        m->vehicle.corner[corner_index].name,
        page_format(p, "travel %s", page_unit(p, BARONET_LENGTH)),
        p->units == BARONET_SI ? "load N" : page_format(p, "load %s", page_unit(p, BARONET_MASS)),
        page_format(p, "gauge %s", page_unit(p, BARONET_PRESSURE)),
        page_format(p, "wheel rate %s", page_unit(p, BARONET_STIFFNESS))};
    table *t = page_table(p, 5, 1, header);
    for (int k = 0; k < s->rows; k++) {
        const stroke_row *row = &s->row[k];
        const double load = row->load[corner_index];
        const char *cells[] = {
            NULL,
            page_number(p, BARONET_LENGTH, row->travel * shape[corner_index],
                        p->units == BARONET_METRIC ? 1 : 3),
            p->units == BARONET_SI ? page_number(p, BARONET_FORCE, load, 0)
                                   : page_number(p, BARONET_MASS, load / STANDARD_GRAVITY, 0),
            page_number(p, BARONET_PRESSURE, corner_pressure(m, row, corner_index), -1),
            page_number(p, BARONET_STIFFNESS, row->rate[corner_index], -1)};
        table_add(t, cells);
    }
}

static void add_series(series *out, inquiry *q, const char *state, const char *course_name,
                       const char *level_word, const stroke_answer *s, const double *shape) {
    const model *m = q->model;
    for (int c = 0; c < m->vehicle.corners; c++) {
        for (int k = 0; k < s->rows && shape[c] != 0.0; k++) {
            const stroke_row *row = &s->row[k];
            const char *labels[] = {state, q->load_case, level_word, course_name,
                                    m->vehicle.corner[c].name};
            const double values[] = {row->travel * shape[c], row->load[c],
                                     corner_pressure(m, row, c), row->rate[c]};
            series_add(out, labels, values);
        }
    }
}

/* What is drawn over the travel, as the series names it. */
enum { LOAD, PRESSURE, RATE, DRAWN };
static const char *const drawn[DRAWN] = {"load", "gauge_pressure", "wheel_rate"};

static double drawn_value(const inquiry *q, const stroke_row *row, int what, int corner_index) {
    const double load = row->load[corner_index];
    return what == LOAD       ? q->page->units == BARONET_SI ? load : load / STANDARD_GRAVITY
           : what == PRESSURE ? corner_pressure(q->model, row, corner_index)
                              : row->rate[corner_index];
}

/* One quantity over the travel, a curve for each wheel that moves; true where there is one. */
static bool draw(inquiry *q, const states_entry *e, const course *one, const stroke_answer *s,
                 int what, const char *plot) {
    page *p = q->page;
    const baronet_dimension dimension[DRAWN] = {
        p->units == BARONET_SI ? BARONET_FORCE : BARONET_MASS, BARONET_PRESSURE, BARONET_STIFFNESS};
    const char *words = page_spoken(p, drawn[what]);
    double *x = page_take(p, (size_t)s->rows, sizeof *x);
    double *y = page_take(p, (size_t)s->rows, sizeof *y);
    picture *out = NULL;
    for (int c = 0; c < q->model->vehicle.corners && !p->failed; c++) {
        const char *name = q->model->vehicle.corner[c].name;
        if (one->shape[c] == 0.0 || !picture_is_asked(plot, name, drawn[what])) {
            continue;
        }
        if (out == NULL) {
            out = page_picture(
                p, page_format(p, "State %s, %s: %s over travel", e->name, one->name, words),
                (picture_axis){"travel of the wheel, bump positive", BARONET_LENGTH, false},
                (picture_axis){words, dimension[what], false});
            if (plot != NULL) {
                picture_ask(out);
            }
        }
        for (int k = 0; k < s->rows; k++) {
            const int row = one->shape[c] > 0.0 ? k : s->rows - 1 - k; /* rising in x */
            x[k] = s->row[row].travel * one->shape[c];
            y[k] = drawn_value(q, &s->row[row], what, c);
        }
        out = picture_add(out, name, s->rows, x, y);
    }
    return out != NULL;
}

/* The rate at rest and at both ends says what a bump stop is to do. */
static void lead(inquiry *q, const char *state, const course *one, const stroke_answer *s,
                 int corner_index) {
    page *p = q->page;
    const double share = one->shape[corner_index];
    int rest = 0;
    for (int k = 0; k < s->rows; k++) {
        rest = fabs(s->row[k].travel) < fabs(s->row[rest].travel) ? k : rest;
    }
    const stroke_row *low = &s->row[share > 0.0 ? 0 : s->rows - 1];
    const stroke_row *high = &s->row[share > 0.0 ? s->rows - 1 : 0];
    const bool named = strncmp(one->name, "one-wheel:", strlen("one-wheel:")) == 0;
    page_addf(p, BLOCK_LEAD,
              "%s, %s%s%s: %s where it stands, %s at %s of bump, %s at %s of rebound.", state,
              one->name, named ? "" : ", ",
              named ? "" : q->model->vehicle.corner[corner_index].name,
              page_quantity(p, BARONET_STIFFNESS, s->row[rest].rate[corner_index]),
              page_quantity(p, BARONET_STIFFNESS, high->rate[corner_index]),
              page_quantity(p, BARONET_LENGTH, high->travel * share),
              page_quantity(p, BARONET_STIFFNESS, low->rate[corner_index]),
              page_quantity(p, BARONET_LENGTH, -low->travel * share));
}

static baronet_status one_state(inquiry *q, const states_entry *e, const course *one, level at,
                                const baronet_question *question, series *out) {
    page *p = q->page;
    const int points = question->points > 0 ? question->points : STROKE_POINTS;
    if (!rates_result(e->rates)->level[at].given) {
        page_addf(p, BLOCK_LEAD, "%s: no answer: %s.", e->name,
                  words_problem(p, q->model, &rates_result(e->rates)->parked_problem));
        page_set_status(p, rates_result(e->rates)->parked_problem.status);
        return BARONET_OK;
    }
    stroke_answer s;
    const baronet_status status = stroke_solve(&s, p->arena, e->rates, one->shape, at, points);
    if (status != BARONET_OK) {
        return status;
    }
    page_set_state(p, e->name);
    page_addf(p, BLOCK_HEADING, "State %s, %s, %s", e->name, one->name, level_name(at));
    for (int c = 0; c < q->model->vehicle.corners; c++) {
        if (one->shape[c] != 0.0) {
            lead(q, e->name, one, &s, c);
        }
    }
    page_addf(p, BLOCK_PLAIN, "The motion ends at %s with %s, and at %s with %s.",
              page_quantity(p, BARONET_LENGTH, s.row[0].travel),
              end_words(p, q->model, s.low_end, s.low_spring),
              page_quantity(p, BARONET_LENGTH, s.row[s.rows - 1].travel),
              end_words(p, q->model, s.high_end, s.high_spring));
    for (int c = 0; c < q->model->vehicle.corners; c++) {
        if (one->shape[c] != 0.0) {
            corner_table(q, &s, one->shape, c);
        }
    }
    bool found = question->plot == NULL;
    for (int what = 0; what < DRAWN; what++) {
        found = draw(q, e, one, &s, what, question->plot) || found;
    }
    add_series(out, q, e->name, one->name, level_name(at), &s, one->shape);
    return found || p->failed ? BARONET_OK : BARONET_NO_SUCH_NAME;
}

/* All courses asked for in one state; a name that no state knows is no course. */
static baronet_status courses_of(inquiry *q, const baronet_question *question,
                                 const states_entry *e, level at, series *out, int *found) {
    course_list list;
    baronet_status status = course_all(&list, q->page->arena, e->rates);
    for (int i = 0; i < list.count && status == BARONET_OK; i++) {
        if (asked_for(q->model, &list.course[i], i, question->motion)) {
            (*found)++;
            status = one_state(q, e, &list.course[i], at, question, out);
        }
    }
    return status;
}

static series *make_series(page *p) {
    static const char *const labels[] = {"state", "case", "level", "motion", "corner"};
    static const series_column columns[] = {{"travel", BARONET_LENGTH},
                                            {"load", BARONET_FORCE},
                                            {"gauge_pressure", BARONET_PRESSURE},
                                            {"wheel_rate", BARONET_STIFFNESS}};
    series *out = page_series(p, 5, labels, 4, columns);
    series_set_whole(out, 2);
    return out;
}

static baronet_status all_states(inquiry *q, const baronet_question *question, level at,
                                 series *out, const char **what) {
    baronet_status status = BARONET_OK;
    if (question->points > STROKE_POINTS_MOST) {
        *what = "a curve has 100000 rows at most";
        return BARONET_TOO_MANY;
    }
    int found = 0, solved = 0;
    for (int k = 0; k < q->states.count && status == BARONET_OK; k++) {
        const states_entry *e = &q->states.entry[k];
        if (e->problem.status != BARONET_OK) {
            page_addf(q->page, BLOCK_LEAD, "%s: no answer: %s.", e->name,
                      words_problem(q->page, q->model, &e->problem));
            continue;
        }
        solved++;
        status = courses_of(q, question, e, at, out, &found);
    }
    if (status == BARONET_NO_SUCH_NAME) {
        *what = question->plot;
    }
    if (status != BARONET_OK || solved == 0 || found > 0) {
        return status;
    }
    if (question->motion != NULL) {
        *what = question->motion;
        return BARONET_NO_SUCH_NAME;
    }
    page_add(q->page, BLOCK_LEAD, "Nothing moves: there is no spring.");
    return BARONET_OK;
}

baronet_status baronet_stroke(const baronet_netlist *netlist, const baronet_question *question,
                              baronet_answer **answer, const char **what) {
    level at = LEVEL_SETTLED;
    if (question->level != NULL) {
        at = level_find(text_of(question->level));
    }
    const char *unwanted = NULL;
    what = what != NULL ? what : &unwanted;
    if (at < LEVEL_INSTANT || at > LEVEL_PARKED) {
        *answer = NULL;
        *what = question->level;
        return BARONET_NO_SUCH_NAME;
    }
    inquiry q;
    baronet_status status =
        inquiry_open(&q, netlist, question, STATES_NAMED, INQUIRY_STANDING, what);
    page_set_study(q.page, "stroke");
    series *out = status == BARONET_OK ? make_series(q.page) : NULL;
    if (status == BARONET_OK && q.problem.status == BARONET_OK) {
        inquiry_title(&q);
        status = all_states(&q, question, at, out, what);
    }
    if (status == BARONET_OK && q.problem.status == BARONET_OK) {
        page_set_state(q.page, NULL);
        page_add(q.page, BLOCK_HEADING, "Cautions and notes");
        words_cautions(q.page, q.charge, &q.states);
        words_equilibria(q.page, &q.states, at, (balance_worst){0});
    }
    return inquiry_close(&q, status, answer);
}
