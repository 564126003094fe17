/* The page of `response`: dynamic stiffness and the body's answer to the road, against frequency.
 */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "output/inquiry.h"
#include "output/picture.h"
#include "output/words.h"
#include "studies/response.h"

/* Frequencies of the table for people, Hz; CSV has all that were asked for. */
static const double shown_frequency[] = {0.01, 0.02, 0.05, 0.1,  0.2,  0.5,
                                         1.0,  2.0,  5.0,  10.0, 20.0, 50.0};
enum { SHOWN = sizeof shown_frequency / sizeof shown_frequency[0], SHOWN_LEAST = 4 };
/* Rows further apart than this ratio of frequencies say nothing of what lies between them. */
#define COARSE 1.3

static double between(double a, double b, double part) {
    return a + (b - a) * part;
}

/* The curve at a frequency, straight in the logarithm between rows. */
static bool curve_at(const response_curve *c, int points, double frequency, response_row *out) {
    for (int k = 0; k + 1 < points; k++) {
        const response_row *a = &c->row[k];
        const response_row *b = &c->row[k + 1];
        if (frequency >= a->frequency * (1.0 - 1e-9) && frequency <= b->frequency * (1.0 + 1e-9)) {
            const double part = log(frequency / a->frequency) / log(b->frequency / a->frequency);
            *out = (response_row){
                frequency,
                between(a->storage, b->storage, part),
                between(a->loss, b->loss, part),
                {between(a->road[0], b->road[0], part), between(a->road[1], b->road[1], part)}};
            return true;
        }
    }
    return false;
}

/* Frequencies of the table: round ones, or the curve's own where too few of those are in its range
   or its rows stand too far apart. */
static int table_frequencies(const response_curve *c, int points, double *frequency) {
    int count = 0;
    for (int k = 0; k < SHOWN; k++) {
        response_row row;
        if (curve_at(c, points, shown_frequency[k], &row)) {
            frequency[count++] = shown_frequency[k];
        }
    }
    if (count >= SHOWN_LEAST && c->row[1].frequency < COARSE * c->row[0].frequency) {
        return count;
    }
    count = points < SHOWN ? points : SHOWN;
    for (int k = 0; k < count; k++) {
        frequency[k] = c->row[(long)k * (points - 1) / (count - 1)].frequency;
    }
    return count;
}

static void lead(page *p, const char *state, const response_curve *c) {
    const char *half = isnan(c->half_frequency)
                           ? "it does not pass half-way between them in this range"
                           : page_format(p, "half-way at %s",
                                         page_quantity(p, BARONET_FREQUENCY, c->half_frequency));
    page_addf(p, BLOCK_LEAD, "%s, %s: %s settled, %s instant; %s; most loss at %s.", state,
              c->course->name, page_quantity(p, BARONET_STIFFNESS, c->settled),
              page_quantity(p, BARONET_STIFFNESS, c->instant), half,
              page_quantity(p, BARONET_FREQUENCY, c->loss_frequency));
    if (!isnan(c->soft_frequency)) {
        page_addf(p, BLOCK_NOTE,
                  "%s, %s: softer than settled at %s: the air in the hoses swings against the "
                  "volumes there",
                  state, c->course->name, page_quantity(p, BARONET_FREQUENCY, c->soft_frequency));
    }
}

static void curve_table(page *p, const response_curve *c, int points) {
    const bool road = !isnan(c->row[0].road[0]);
    const char *const header[] = {c->course->name,
                                  page_unit(p, BARONET_FREQUENCY),
                                  page_format(p, "storage %s", page_unit(p, BARONET_STIFFNESS)),
                                  page_format(p, "loss %s", page_unit(p, BARONET_STIFFNESS)),
                                  "phase deg",
                                  road ? "body/road" : NULL};
    table *t = page_table(p, road ? 6 : 5, 1, header);
    double frequency[SHOWN];
    const int count = table_frequencies(c, points, frequency);
    for (int k = 0; k < count; k++) {
        response_row row;
        const bool found = curve_at(c, points, frequency[k], &row);
        assert(found);
        (void)found;
        const char *cells[] = {NULL,
                               page_number(p, BARONET_FREQUENCY, row.frequency, -1),
                               page_number(p, BARONET_STIFFNESS, row.storage, -1),
                               page_number(p, BARONET_STIFFNESS, row.loss, -1),
                               page_degrees(p, atan2(row.loss, row.storage), 1),
                               page_number(p, BARONET_NUMBER, hypot(row.road[0], row.road[1]), 2)};
        table_add(t, cells);
    }
}

/* "front-left-tank against front-left-air", or what there is of it. */
static const char *sides(page *p, const network *net, const resonance *r) {
    const char *from = r->from >= 0 ? net->node[r->from].name : NULL;
    const char *to = r->to >= 0 ? net->node[r->to].name : NULL;
    if (from != NULL && to != NULL) {
        return page_format(p, "%s against %s", from, to);
    }
    return from != NULL || to != NULL ? (from != NULL ? from : to) : "its own air";
}

static void resonance_table(page *p, const model *m, const response_answer *answer) {
    const network *net = &m->network;
    const char *const header[] = {"air swings in", page_unit(p, BARONET_FREQUENCY), "between"};
    if (answer->resonances.count == 0) {
        return;
    }
    table *t = page_table(p, 3, 1, header);
    double residual = 0.0;
    table_set_prose(t);
    for (int k = 0; k < answer->resonances.count; k++) {
        const resonance *r = &answer->resonances.resonance[k];
        residual = fmax(residual, r->residual);
        const char *cells[] = {r->other < 0 ? net->edge[r->edge].name
                                            : page_format(p, "%s, %s", net->edge[r->edge].name,
                                                          net->edge[r->other].name),
                               page_number(p, BARONET_FREQUENCY, r->frequency, -1),
                               sides(p, net, r)};
        table_add(t, cells);
    }
    page_addf(p, BLOCK_NOTE,
              "air swings: resonances of hoses and the volumes at their ends, wheels held and "
              "nothing lost; well below them a tank takes part, above them it does not. `ride` "
              "gives their damping. Each fulfils its equation within %s",
              page_slight(p, residual));
}

/* Motions on the page where none is asked for: those of the body and the first warp. */
static bool on_page(const response_curve *c, const char *asked, const model *m) {
    return asked != NULL || m->vehicle.wheels == 0 ||
           strncmp(c->course->name, "one-wheel:", 10) != 0;
}

/* What is drawn over the frequency, as the series names it. */
enum { STORAGE, LOSS, ROAD, DRAWN };
static const char *const drawn[DRAWN] = {"storage", "loss", "body_per_road"};

static double drawn_value(const response_row *row, int what) {
    return what == STORAGE ? row->storage
           : what == LOSS  ? row->loss
                           : hypot(row->road[0], row->road[1]);
}

/* One quantity over the frequency, a curve for each motion on the page; true where there is one. */
static bool draw(inquiry *q, const char *state, const response_answer *answer, int points,
                 const baronet_question *question, int what) {
    static const char *const titles[DRAWN] = {"stiffness that springs back (storage)",
                                              "stiffness that damps (loss)",
                                              "movement of the body for that of the road"};
    page *p = q->page;
    double *x = page_take(p, (size_t)points, sizeof *x);
    double *y = page_take(p, (size_t)points, sizeof *y);
    picture *out = NULL;
    for (int i = 0; i < answer->curves && !p->failed; i++) {
        const response_curve *c = &answer->curve[i];
        const char *name = c->course->name;
        const bool named = question->plot != NULL && strchr(question->plot, '.') != NULL;
        if (!picture_is_asked(question->plot, name, drawn[what]) ||
            (!named && !on_page(c, question->motion, q->model)) ||
            isnan(drawn_value(&c->row[0], what))) {
            continue;
        }
        if (out == NULL) {
            out = page_picture(p, page_format(p, "State %s: %s", state, titles[what]),
                               (picture_axis){"frequency", BARONET_FREQUENCY, true},
                               (picture_axis){page_spoken(p, drawn[what]),
                                              what == ROAD ? BARONET_NUMBER : BARONET_STIFFNESS,
                                              false});
            if (question->plot != NULL) {
                picture_ask(out);
            }
        }
        for (int k = 0; k < points; k++) {
            x[k] = c->row[k].frequency;
            y[k] = drawn_value(&c->row[k], what);
        }
        out = picture_add(out, name, points, x, y);
    }
    return out != NULL;
}

static void account(page *p, const response_answer *answer) {
    swing_account all = {0};
    for (int k = 0; k < answer->curves; k++) {
        swing_join(&all, &answer->curve[k].account);
    }
    page_addf(p, all.unsettled ? BLOCK_CAUTION : BLOCK_NOTE,
              "path resistances made consistent with the swing in at most %d rounds, to %s of "
              "themselves; linear residual at most %s, condition about %s",
              all.iterations, page_slight(p, all.residual), page_slight(p, all.linear),
              page_slight(p, all.condition));
    words_rounding(p, all.condition);
    if (all.below_vacuum) {
        page_add(p, BLOCK_CAUTION,
                 "at some frequency a pressure would pass below vacuum at this swing: the laws do "
                 "not hold there; ask for a smaller --swing");
    }
}

static void add_series(inquiry *q, series *out, const char *state, const response_curve *c,
                       int points, bool road) {
    for (int k = 0; k < points; k++) {
        const response_row *row = &c->row[k];
        const char *labels[] = {state, q->load_case, c->course->name};
        const double phase = atan2(row->road[1], row->road[0]);
        const double stiff[] = {row->frequency, row->storage, row->loss};
        const double answer[] = {row->frequency, hypot(row->road[0], row->road[1]), phase};
        if (!road) {
            series_add(out, labels, stiff);
        } else if (!isnan(row->road[0])) {
            series_add(out, labels, answer);
        }
    }
}

static baronet_status one_state(inquiry *q, const baronet_question *question,
                                const response_range *range, const states_entry *e, series *out) {
    page *p = q->page;
    if (e->problem.status != BARONET_OK) {
        page_addf(p, BLOCK_LEAD, "%s: no answer: %s.", e->name,
                  words_problem(p, q->model, &e->problem));
        return BARONET_OK;
    }
    response_answer answer;
    const baronet_status status =
        response_solve(&answer, p->arena, e->rates, question->motion, *range, q->allocator);
    if (status != BARONET_OK) {
        return status;
    }
    page_set_state(p, e->name);
    page_addf(p, BLOCK_HEADING, "State %s", e->name);
    for (int k = 0; k < answer.curves; k++) {
        if (on_page(&answer.curve[k], question->motion, q->model)) {
            lead(p, e->name, &answer.curve[k]);
        }
    }
    for (int k = 0; k < answer.curves; k++) {
        if (on_page(&answer.curve[k], question->motion, q->model)) {
            curve_table(p, &answer.curve[k], range->points);
        }
        add_series(q, out, e->name, &answer.curve[k], range->points, question->road);
    }
    resonance_table(p, q->model, &answer);
    bool found = question->plot == NULL;
    for (int what = 0; what < DRAWN; what++) {
        found = draw(q, e->name, &answer, range->points, question, what) || found;
    }
    account(p, &answer);
    return found || p->failed ? BARONET_OK : BARONET_BAD_USAGE;
}

static series *make_series(page *p, bool road) {
    static const char *const labels[] = {"state", "case", "motion"};
    static const series_column stiff[] = {{"frequency", BARONET_FREQUENCY},
                                          {"storage", BARONET_STIFFNESS},
                                          {"loss", BARONET_STIFFNESS}};
    static const series_column answer[] = {{"frequency", BARONET_FREQUENCY},
                                           {"body_per_road", BARONET_NUMBER},
                                           {"phase", BARONET_ANGLE}};
    series *out = page_series(p, 3, labels, 3, road ? answer : stiff);
    series_set_whole(out, 3);
    return out;
}

static response_range range_of(const baronet_question *question, double amplitude) {
    return (response_range){.from = question->from > 0.0 ? question->from : RESPONSE_FROM,
                            .to = question->to > 0.0 ? question->to : RESPONSE_TO,
                            .points = question->points > 0 ? question->points : RESPONSE_POINTS,
                            .amplitude = amplitude};
}

baronet_status baronet_response(const baronet_netlist *netlist, const baronet_question *question,
                                baronet_answer **answer, const char **what) {
    inquiry q;
    const char *unwanted = NULL;
    what = what != NULL ? what : &unwanted;
    baronet_status status =
        inquiry_open(&q, netlist, question, STATES_NAMED, INQUIRY_STANDING, what);
    page_set_study(q.page, "response");
    series *out = status == BARONET_OK ? make_series(q.page, question->road) : NULL;
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    const response_range range = range_of(question, q.amplitude);
    if (!(range.to > range.from) || range.points < 2) {
        *what = "--from, --to: the range is empty";
        return inquiry_close(&q, BARONET_BAD_USAGE, answer);
    }
    inquiry_title(&q);
    for (int k = 0; k < q.states.count && status == BARONET_OK; k++) {
        inquiry_tell(question, q.states.entry[k].name, k, q.states.count);
        status = one_state(&q, question, &range, &q.states.entry[k], out);
    }
    if (status == BARONET_NO_SUCH_NAME) {
        *what = question->motion;
    }
    if (status == BARONET_SINGULAR) {
        *what = "frequencies may be too far below those of the air (--from)";
    }
    if (status == BARONET_BAD_USAGE) { /* of one_state: nothing of that name to draw */
        status = BARONET_NO_SUCH_NAME;
        *what = question->plot;
    }
    if (status == BARONET_OK) {
        page_set_state(q.page, NULL);
        page_add(q.page, BLOCK_HEADING, "Cautions and notes");
        words_cautions(q.page, q.charge, &q.states);
    }
    return inquiry_close(&q, status, answer);
}
