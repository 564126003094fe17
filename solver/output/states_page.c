/* The page of `states`: the valve-state table, differences included. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "output/inquiry.h"
#include "output/sheet.h"
#include "output/words.h"

/* Rows of the table. Each is one figure over its subjects: none, every corner, axle, spring or
 * motion. */
typedef struct row_kind {
    const char *section; /* starts a table where not NULL */
    const char *label;   /* %s is the subject's name */
    figure_quantity quantity;
    level at;
    figure_subject kind;
    int item; /* of SUBJECT_MOTION: one of script.h's; else -1 for every one there is */
} row_kind;

static const row_kind rows[] = {
    {"Ride, as felt", "ride frequency %s", FIGURE_RIDE_FREQUENCY, LEVEL_RIDE, SUBJECT_CORNER, -1},
    {NULL, "heave frequency", FIGURE_RIDE_FREQUENCY, LEVEL_RIDE, SUBJECT_MOTION, SCRIPT_HEAVE},
    {NULL, "pitch frequency", FIGURE_RIDE_FREQUENCY, LEVEL_RIDE, SUBJECT_MOTION, SCRIPT_PITCH},
    {NULL, "heave rate", FIGURE_HEAVE_RATE, LEVEL_RIDE, SUBJECT_NONE, -1},
    {NULL, "  instant", FIGURE_HEAVE_RATE, LEVEL_INSTANT, SUBJECT_NONE, -1},
    {NULL, "  settled", FIGURE_HEAVE_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1},
    {NULL, "pitch rate", FIGURE_PITCH_RATE, LEVEL_RIDE, SUBJECT_NONE, -1},
    {NULL, "spring rate %s", FIGURE_SPRING_RATE, LEVEL_RIDE, SUBJECT_SPRING, -1},
    {"Roll", "roll gradient, as felt", FIGURE_ROLL_GRADIENT, LEVEL_RIDE, SUBJECT_NONE, -1},
    {NULL, "  settled (a long bend)", FIGURE_ROLL_GRADIENT, LEVEL_SETTLED, SUBJECT_NONE, -1},
    {NULL, "roll rate, as felt", FIGURE_ROLL_RATE, LEVEL_RIDE, SUBJECT_NONE, -1},
    {NULL, "  instant", FIGURE_ROLL_RATE, LEVEL_INSTANT, SUBJECT_NONE, -1},
    {NULL, "  settled (a long bend)", FIGURE_ROLL_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1},
    {NULL, "roll frequency", FIGURE_RIDE_FREQUENCY, LEVEL_RIDE, SUBJECT_MOTION, SCRIPT_ROLL},
    {NULL, "roll share of axle %s", FIGURE_ROLL_SHARE, LEVEL_RIDE, SUBJECT_AXLE, -1},
    {"One wheel, warp, motions", "one-wheel rate %s", FIGURE_ONE_WHEEL_RATE, LEVEL_RIDE,
     SUBJECT_CORNER, -1},
    {NULL, "warp rate, a wheel", FIGURE_WARP_RATE, LEVEL_RIDE, SUBJECT_NONE, -1},
    {NULL, "  settled", FIGURE_WARP_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1},
    {NULL, "warp rate %s, a wheel", FIGURE_WARP_RATE, LEVEL_RIDE, SUBJECT_NUMBER, -1},
    {NULL, "%s rate, a wheel", FIGURE_MOTION_RATE, LEVEL_RIDE, SUBJECT_MOTION, 0},
    {"Where it stands", "height shift %s", FIGURE_HEIGHT_SHIFT, LEVEL_NONE, SUBJECT_CORNER, -1},
    {NULL, "  parked %s", FIGURE_HEIGHT_SHIFT, LEVEL_PARKED, SUBJECT_CORNER, -1},
    {NULL, "gauge %s", FIGURE_GAUGE_PRESSURE, LEVEL_NONE, SUBJECT_SPRING, -1},
    {NULL, "air in all", FIGURE_AIR_MASS, LEVEL_NONE, SUBJECT_NONE, -1},
    {NULL, "heave rate, parked", FIGURE_HEAVE_RATE, LEVEL_PARKED, SUBJECT_NONE, -1},
    {NULL, "roll rate, parked", FIGURE_ROLL_RATE, LEVEL_PARKED, SUBJECT_NONE, -1},
};

/* Subjects of a row shown at most; CSV has all. */
enum { SUBJECTS_SHOWN = 12 };

static int subject_count(const model *m, const row_kind *row) {
    switch (row->kind) {
    case SUBJECT_CORNER:
        return m->vehicle.corners;
    case SUBJECT_AXLE:
        return m->vehicle.axles > 1 ? m->vehicle.axles : 0; /* one axle takes it all */
    case SUBJECT_SPRING:
        return m->vehicle.springs;
    case SUBJECT_NUMBER:
        return m->vehicle.wheels;
    case SUBJECT_MOTION:
        return row->item < 0 ? 1 : m->motions;
    default:
        return 1;
    }
}

/* The k-th subject of a row as a figure names it, and its label. */
static figure row_figure(page *p, const model *m, const row_kind *row, int k, const char **label) {
    figure f = {.quantity = row->quantity, .level = row->at, .kind = row->kind, .item = k};
    if (row->kind == SUBJECT_NONE || (row->kind == SUBJECT_MOTION && row->item < 0)) {
        f.item = row->item;
        *label = row->label;
        return f;
    }
    f.item = row->kind == SUBJECT_NUMBER ? k + 1 : k;
    text_buffer name = {.allocator = p->allocator};
    figure_subject_text(m, &f, &name);
    const char *place = strstr(row->label, "%s");
    *label = page_format(p, "%.*s%s%s", (int)(place - row->label), row->label, page_keep(p, &name),
                         place + 2);
    if (f.quantity == FIGURE_GAUGE_PRESSURE) { /* a spring's pressure is its node's */
        f.kind = SUBJECT_NODE;
        f.item = m->vehicle.spring[k].node;
    }
    return f;
}

static table *state_table(const inquiry *q, const char *section, int skipped) {
    page *p = q->page;
    const char **header = ARENA_ARRAY(p->arena, const char *, q->states.count + 2);
    if (header == NULL) {
        p->failed = true;
        return NULL;
    }
    header[0] = section;
    int column = 2;
    for (int k = 0; k < q->states.count; k++) {
        if (k != skipped) {
            header[column++] = q->states.entry[k].name;
        }
    }
    table *t = page_table(p, column, 2, header);
    table_set_states(t);
    return t;
}

/* All rows, as values (base below 0) or as changes from the base state. */
static void add_rows(const inquiry *q, const sheet *s, int base) {
    table *t = NULL;
    const bool bypassed = q->model->vehicle.springs > 0;
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        const row_kind *row = &rows[r];
        if (row->section != NULL) {
            t = state_table(q, row->section, base);
        }
        const int count = subject_count(q->model, row);
        for (int k = 0; k < count && k < SUBJECTS_SHOWN && bypassed; k++) {
            const char *label = NULL;
            const figure f = row_figure(q->page, q->model, row, k, &label);
            if (base < 0) {
                sheet_row(s, t, label, f.quantity, f.level, f.kind, f.item);
            } else {
                sheet_change_row(s, t, label, base, f.quantity, f.level, f.kind, f.item);
            }
        }
    }
}

static double axle_frequency(const sheet *s, int state, int axle_index) {
    double sum = 0.0;
    int count = 0;
    for (int c = 0; c < s->model->vehicle.wheels; c++) {
        if (s->model->vehicle.corner[c].axle == axle_index) {
            sum += sheet_value(s, state, FIGURE_RIDE_FREQUENCY, LEVEL_RIDE, SUBJECT_CORNER, c);
            count++;
        }
    }
    return sum / count;
}

/* "; roll ...", or nothing where there is none. */
static const char *roll_words(page *p, const sheet *s, int k) {
    const double now = sheet_value(s, k, FIGURE_ROLL_RATE, LEVEL_RIDE, SUBJECT_NONE, -1);
    const double later = sheet_value(s, k, FIGURE_ROLL_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1);
    const double gradient = sheet_value(s, k, FIGURE_ROLL_GRADIENT, LEVEL_RIDE, SUBJECT_NONE, -1);
    if (isnan(later)) {
        return "";
    }
    const char *roll =
        page_format(p, "; roll %s",
                    isnan(gradient) ? page_quantity(p, BARONET_ANGULAR_STIFFNESS, now)
                                    : page_quantity(p, BARONET_ROLL_GRADIENT, gradient));
    return later < 0.95 * now ? page_format(p, "%s (%.0f %% of the roll rate goes in a long bend)",
                                            roll, 100.0 * (1.0 - later / now))
                              : roll;
}

static const char *place_words(page *p, double frequency, const char *name) {
    return isnan(frequency)
               ? page_format(p, "without a frequency at %s", name)
               : page_format(p, "%s %s", page_quantity(p, BARONET_FREQUENCY, frequency), name);
}

/* One line a state: ride by axle, and roll. */
static void lead(inquiry *q, const sheet *s, int k) {
    page *p = q->page;
    const model *m = q->model;
    const states_entry *e = &q->states.entry[k];
    if (e->problem.status != BARONET_OK) {
        page_addf(p, BLOCK_LEAD, "%s: no answer: %s.", e->name, words_problem(p, m, &e->problem));
        return;
    }
    if (m->vehicle.corners == 0) {
        page_addf(p, BLOCK_LEAD, "%s: no spring, so nothing to ride on.", e->name);
        return;
    }
    const char *ride = "";
    for (int a = 0; a < m->vehicle.axles; a++) {
        const char *one = place_words(p, axle_frequency(s, k, a), m->vehicle.axle[a].name);
        ride = words_join(p, ride, one, a + 1 == m->vehicle.axles);
    }
    for (int c = m->vehicle.wheels; c < m->vehicle.corners; c++) {
        const double f = sheet_value(s, k, FIGURE_RIDE_FREQUENCY, LEVEL_RIDE, SUBJECT_CORNER, c);
        ride = words_join(p, ride, place_words(p, f, m->vehicle.corner[c].name),
                          c + 1 == m->vehicle.corners);
    }
    page_addf(p, BLOCK_LEAD, "%s: ride %s%s.", e->name, ride, roll_words(p, s, k));
}

/* Columns of the short table of many combinations. */
typedef struct column_kind {
    const char *label;
    figure_quantity quantity;
    level at;
    figure_subject kind;
    int item;
} column_kind;

static const column_kind columns[] = {
    {"heave", FIGURE_RIDE_FREQUENCY, LEVEL_RIDE, SUBJECT_MOTION, SCRIPT_HEAVE},
    {"roll", FIGURE_ROLL_RATE, LEVEL_RIDE, SUBJECT_NONE, -1},
    {"in a bend", FIGURE_ROLL_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1},
};
enum { COLUMNS = sizeof columns / sizeof columns[0] };

/* More states than this are a list, softest first, instead of columns side by side. */
enum { SIDE_BY_SIDE = 8 };

static double column_value(const sheet *s, int state, const column_kind *c) {
    return sheet_value(s, state, c->quantity, c->at, c->kind, c->item);
}

/* Bench rigs have no heave: their first mass speaks for them. */
static double softness(const sheet *s, int state) {
    const double heave = column_value(s, state, &columns[0]);
    const double first =
        sheet_value(s, state, FIGURE_RIDE_FREQUENCY, LEVEL_RIDE, SUBJECT_CORNER, 0);
    return isnan(heave) ? first : heave;
}

/* A state's place in the list: softest first, those without an answer last, else in their order. */
typedef struct rank {
    double softness;
    int state;
} rank;

static int compare_ranks(const void *a, const void *b) {
    const rank *one = a, *two = b;
    if (one->softness < two->softness || one->softness > two->softness) {
        return one->softness < two->softness ? -1 : 1;
    }
    return isnan(one->softness) != isnan(two->softness) ? (isnan(one->softness) ? 1 : -1)
                                                        : one->state - two->state;
}

static const rank *sorted(const inquiry *q, const sheet *s) {
    rank *order = ARENA_ARRAY(q->page->arena, rank, s->count);
    if (order == NULL) {
        return NULL;
    }
    for (int k = 0; k < s->count; k++) {
        order[k] = (rank){softness(s, k), k};
    }
    qsort(order, (size_t)s->count, sizeof *order, compare_ranks);
    return order;
}

/* That other positions differ only where no spring breathes. */
static const char *alike(page *p, const states_entry *e) {
    return e->combinations == 1 ? ""
                                : page_format(p, "%d other%s alike", e->combinations - 1,
                                              e->combinations == 2 ? "" : "s");
}

/* Solenoids by their numbers: those that are open, and dots for those that are shut. */
static const char *pattern_of(page *p, const model *m, const states_entry *e) {
    text_buffer out = {.allocator = p->allocator};
    for (int k = 0; k < m->network.solenoids; k++) {
        text_buffer_add(&out, k > 0 ? " " : "");
        if (e->open[k]) {
            text_buffer_format(&out, "%d", k + 1);
        } else {
            text_buffer_add(&out, k < 9 ? "." : " .");
        }
    }
    return page_keep(p, &out);
}

/* Reasons why states have no answer, each said once, below the list: problems of one kind with one
   thing are one, by whatever amount. */
typedef struct reason {
    const problem *first;
    bool varies;
} reason;

typedef struct reasons {
    reason *reason;
    int count;
} reasons;

static int number_of(reasons *r, const problem *why) {
    int k = 0;
    while (k < r->count &&
           (r->reason[k].first->status != why->status || r->reason[k].first->item != why->item ||
            r->reason[k].first->other != why->other)) {
        k++;
    }
    if (k == r->count) {
        r->reason[r->count++] = (reason){.first = why};
    }
    r->reason[k].varies = r->reason[k].varies || r->reason[k].first->amount != why->amount;
    return k + 1;
}

static void add_reasons(inquiry *q, const reasons *r) {
    page *p = q->page;
    for (int k = 0; k < r->count; k++) {
        page_addf(p, BLOCK_PLAIN, "(%d) %s%s", k + 1,
                  words_problem(p, q->model, r->reason[k].first),
                  r->reason[k].varies ? "; or by another amount" : "");
    }
}

/* What else there is to say of one line: its name, where it was charged, why it has no answer. */
static const char *remark(inquiry *q, const states_entry *e, reasons *why) {
    page *p = q->page;
    const char *const words[] = {
        e->named >= 0 ? e->name : "",
        e->rest ? "de-energised" : "",
        e->named >= 0 && e->named == q->model->charge_state ? "charged here" : "",
        alike(p, e),
        e->problem.status == BARONET_OK
            ? ""
            : page_format(p, "no answer (%d)", number_of(why, &e->problem)),
    };
    const char *list = "";
    for (size_t k = 0; k < sizeof words / sizeof *words; k++) {
        if (words[k][0] != '\0') {
            list = words_join(p, list, words[k], false);
        }
    }
    return list;
}

/* Which number is which solenoid. */
static void add_numbers(inquiry *q) {
    page *p = q->page;
    const network *net = &q->model->network;
    const char *list = "";
    for (int k = 0; k < net->solenoids; k++) {
        list = words_join(p, list, page_format(p, "%d %s", k + 1, net->edge[net->solenoid[k]].name),
                          false);
    }
    page_addf(p, BLOCK_PLAIN,
              "Open valves by their numbers, shut ones as a dot: %s. Positions that differ "
              "only where no spring breathes are one line, with the others counted.",
              list);
}

static void list_states(inquiry *q, const sheet *s, bool all) {
    page *p = q->page;
    const rank *order = sorted(q, s);
    reasons why = {.reason = ARENA_ARRAY(p->arena, reason, s->count)};
    const int numbers = q->model->vehicle.wheels > 0 ? COLUMNS : 1; /* what stands on a bench */
    const char *header[COLUMNS + 2];
    if (order == NULL || why.reason == NULL) {
        p->failed = true;
        return;
    }
    for (int c = 0; c < numbers; c++) {
        header[c] = numbers > 1 ? columns[c].label : "ride";
    }
    header[numbers] = "open";
    header[numbers + 1] = "";
    page_addf(p, BLOCK_HEADING, "Every %s, softest first (%s in %s%s%s)",
              all ? "combination" : "state", header[0], page_unit(p, BARONET_FREQUENCY),
              numbers > 1 ? "; roll rate as felt and in a long bend in " : "",
              numbers > 1 ? page_unit(p, BARONET_ANGULAR_STIFFNESS) : "");
    add_numbers(q);
    table *t = page_table(p, numbers + 2, 0, header);
    table_set_prose(t);
    for (int k = 0; k < s->count; k++) {
        const states_entry *e = &q->states.entry[order[k].state];
        const char *cells[COLUMNS + 2];
        for (int c = 0; c < numbers; c++) {
            const double value =
                c == 0 ? order[k].softness : column_value(s, order[k].state, &columns[c]);
            cells[c] = page_number(p, figure_at(columns[c].quantity)->dimension, value, -1);
        }
        cells[numbers] = pattern_of(p, q->model, e);
        cells[numbers + 1] = remark(q, e, &why);
        table_add(t, cells);
    }
    add_reasons(q, &why);
}

static void positions(inquiry *q) {
    static const char *const header[] = {"state", "valves"};
    page *p = q->page;
    page_add(p, BLOCK_HEADING, "Positions of the valves");
    table *t = page_table(p, 2, 1, header);
    table_set_prose(t);
    for (int k = 0; k < q->states.count; k++) {
        const states_entry *e = &q->states.entry[k];
        const char *words = page_format(p, "%s%s%s", words_state(p, q->model, e),
                                        e->combinations > 1 ? "; " : "", alike(p, e));
        const char *cells[] = {e->name, words};
        table_add(t, cells);
    }
}

/* The states that another state equals to rounding say so: a switch that changes nothing. */
static void say_equal(inquiry *q, const sheet *s) {
    for (int k = 0; k < q->states.count; k++) {
        const double heave = sheet_value(s, k, FIGURE_HEAVE_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1);
        const double roll = sheet_value(s, k, FIGURE_ROLL_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1);
        for (int j = 0; j < k && !isnan(heave); j++) {
            const double other =
                sheet_value(s, j, FIGURE_HEAVE_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1);
            const double other_roll =
                sheet_value(s, j, FIGURE_ROLL_RATE, LEVEL_SETTLED, SUBJECT_NONE, -1);
            if (fabs(heave / other - 1.0) < 1e-9 &&
                (isnan(roll) || fabs(roll / other_roll - 1.0) < 1e-9)) {
                page_addf(q->page, BLOCK_NOTE, "%s and %s give the same heave and roll", s->name[j],
                          s->name[k]);
                break;
            }
        }
    }
}

/* Whether the base state and another one stand, so that there are changes to show. */
static bool has_changes(const inquiry *q) {
    int answered = 0;
    for (int k = 0; k < q->states.count; k++) {
        answered += q->states.entry[k].problem.status == BARONET_OK;
    }
    return answered > 1 && q->states.entry[q->states.base].problem.status == BARONET_OK;
}

baronet_status baronet_states(const baronet_netlist *netlist, const baronet_question *question,
                              baronet_answer **answer, const char **what) {
    inquiry q;
    baronet_status status = inquiry_open(
        &q, netlist, question, question->all ? STATES_ALL : STATES_NAMED, INQUIRY_FELT, what);
    page_set_study(q.page, "states");
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    page *p = q.page;
    inquiry_title(&q);
    sheet s;
    if (sheet_make(&s, p, q.model, &q.states)) {
        const bool many = q.states.count > SIDE_BY_SIDE;
        for (int k = 0; k < q.states.count; k++) {
            if (!many || q.states.entry[k].named >= 0) {
                lead(&q, &s, k);
            }
        }
        if (many) {
            list_states(&q, &s, question->all);
        } else {
            add_rows(&q, &s, -1);
            if (has_changes(&q)) {
                page_addf(p, BLOCK_HEADING, "Changes from %s", s.name[q.states.base]);
                add_rows(&q, &s, q.states.base);
            }
            positions(&q);
            say_equal(&q, &s);
        }
        page_add(p, BLOCK_HEADING, "Cautions and notes");
        words_cautions(p, q.charge, &q.states);
        words_equilibria(p, &q.states, LEVEL_NONE, (balance_worst){0});
        for (int k = 0; k < q.states.count; k++) {
            page_figures(p, "states", s.name[k], q.load_case, q.model, &s.list[k]);
        }
    }
    sheet_free(&s);
    return inquiry_close(&q, BARONET_OK, answer);
}
