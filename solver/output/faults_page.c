/* The page of `faults`: each single failure, the worst first. */
#include <math.h>

#include "output/inquiry.h"
#include "output/words.h"
#include "studies/faults.h"

static const char *fault_words(page *p, const model *m, const fault *f) {
    const network *net = &m->network;
    switch (f->kind) {
    case FAULT_BURST:
        return page_format(p, "%s bursts", net->node[f->item].name);
    case FAULT_STUCK_OPEN:
        return page_format(p, "%s stuck open", net->edge[f->item].name);
    case FAULT_STUCK_SHUT:
        return net->edge[f->item].kind == EDGE_COMPRESSOR
                   ? page_format(p, "%s stands still", net->edge[f->item].name)
                   : page_format(p, "%s stuck shut", net->edge[f->item].name);
    case FAULT_NO_CURRENT:
        return f->item < 0 ? "no current at all"
                           : page_format(p, "%s no current", net->edge[f->item].name);
    case FAULT_SUPPLY_LOST:
    case FAULT_KINDS:
        break;
    }
    return page_format(p, "%s lost", net->node[f->item].name);
}

/* Why it should not be driven, as a list. */
static const char *harm_words(page *p, const model *m, const fault *f) {
    static const struct {
        fault_harm bit;
        const char *words;
    } all[] = {{HARM_ON_STOP, "on a bump stop"}, {HARM_TOPPED, "on a rebound stop"},
               {HARM_FLAT, "a spring is flat"},  {HARM_LIFTED, "a wheel is off the ground"},
               {HARM_LEANS, "it leans"},         {HARM_UNFINISHED, "the run stops early"}};
    const char *list = "";
    for (size_t k = 0; k < sizeof all / sizeof all[0]; k++) {
        if ((f->harm & all[k].bit) != 0) {
            list = words_join(p, list, all[k].words, false);
        }
    }
    if (f->end == PLAY_OFF_PROFILE) {
        const spring *s = &m->vehicle.spring[f->end_item];
        const bool piston = m->vehicle.profile[s->profile].rows == 0;
        list = page_format(p, "%s (%s %s at %s s)", list, s->name,
                           piston ? "is squeezed flat" : "runs off its table",
                           page_number(p, BARONET_NUMBER, f->ended, 1));
    }
    return list;
}

static const char *drawn_words(page *p, const model *m, const fault *f) {
    const char *list = "";
    for (int c = 0; c < m->vehicle.corners; c++) {
        if (f->drawn[c]) {
            list = words_join(p, list, m->vehicle.corner[c].name, false);
        }
    }
    return list[0] != '\0' ? list : "-";
}

static void lead(page *p, const model *m, const faults_answer *a) {
    int undrivable = 0;
    for (int k = 0; k < a->faults; k++) {
        undrivable += a->fault[k].harm != 0;
    }
    page_addf(p, BLOCK_LEAD, "%d of %d faults leave it undrivable. Worst: %s.", undrivable,
              a->faults, fault_words(p, m, &a->fault[0]));
}

/* One row a fault, narrow enough that what is drawn down stands beside it. */
static void harm_table(page *p, const model *m, const faults_answer *a, double drop) {
    const char *header[] = {"fault",  "drive", "worst",    page_unit(p, BARONET_LENGTH),
                            "lost s", "lean",  "also down"};
    table *t = page_table(p, 7, 3, header);
    table_set_prose(t);
    const double degree = 57.29577951308232;
    for (int k = 0; k < a->faults; k++) {
        const fault *f = &a->fault[k];
        const char *cells[] = {fault_words(p, m, f),
                               f->harm != 0 ? "NO" : "-",
                               f->worst >= 0 ? m->vehicle.corner[f->worst].name : "-",
                               page_number(p, BARONET_LENGTH,
                                           f->worst >= 0 ? f->shift[f->worst] : (double)NAN,
                                           page_fine(p, BARONET_LENGTH)),
                               page_number(p, BARONET_NUMBER, f->drop_time, 2),
                               page_number(p, BARONET_NUMBER, f->lean * degree, 2),
                               drawn_words(p, m, f)};
        table_add(t, cells);
    }
    page_addf(
        p, BLOCK_NOTE,
        "drive: NO where a caution below says why not; worst: the corner that goes down most, "
        "and how far; lost: when the first corner has lost %s; lean in degrees; also down: "
        "corners that go down by more than %s and do not stand on that part",
        page_quantity(p, BARONET_LENGTH, drop), page_quantity(p, BARONET_LENGTH, FAULTS_DRAWN));
}

static void end_table(page *p, const model *m, const faults_answer *a, bool heights) {
    const int columns = heights ? m->vehicle.corners : m->vehicle.springs;
    const baronet_dimension dimension = heights ? BARONET_LENGTH : BARONET_PRESSURE;
    const char **cells = ARENA_ARRAY(p->arena, const char *, columns + 1);
    if (cells == NULL) {
        p->failed = true;
        return;
    }
    cells[0] =
        page_format(p, "%s %s", heights ? "height change" : "pressure", page_unit(p, dimension));
    for (int c = 0; c < columns; c++) {
        cells[c + 1] = heights ? m->vehicle.corner[c].name : m->vehicle.spring[c].name;
    }
    table *t = page_table(p, columns + 1, 1, cells);
    for (int k = 0; k < a->faults; k++) {
        const fault *f = &a->fault[k];
        cells[0] = fault_words(p, m, f);
        for (int c = 0; c < columns; c++) {
            cells[c + 1] = page_number(p, dimension, heights ? f->shift[c] : f->pressure[c],
                                       page_fine(p, dimension));
        }
        table_add(t, cells);
    }
}

static void rate_row(page *p, table *t, const char *label, const hold *h) {
    const char *cells[] = {label, page_number(p, BARONET_STIFFNESS, h->heave[HOLD_INSTANT], -1),
                           page_number(p, BARONET_STIFFNESS, h->heave[HOLD_SETTLED], -1),
                           page_number(p, BARONET_ANGULAR_STIFFNESS, h->roll[HOLD_INSTANT], -1),
                           page_number(p, BARONET_ANGULAR_STIFFNESS, h->roll[HOLD_SETTLED], -1)};
    table_add(t, cells);
}

static void rate_table(page *p, const model *m, const faults_answer *a) {
    if (isnan(a->held.heave[HOLD_INSTANT])) {
        return;
    }
    const char *header[] = {
        "rates at the end", page_format(p, "heave %s", page_unit(p, BARONET_STIFFNESS)), "settled",
        page_format(p, "roll %s", page_unit(p, BARONET_ANGULAR_STIFFNESS)), "settled"};
    table *t = page_table(p, 5, 1, header);
    rate_row(p, t, "before", &a->held);
    for (int k = 0; k < a->faults; k++) {
        rate_row(p, t, fault_words(p, m, &a->fault[k]), &a->fault[k].held);
    }
}

/* Faults of the same harm are one caution; one that stops early has its own reason. */
static bool same_harm(const fault *a, const fault *b) {
    return a->harm == b->harm && a->end == PLAY_FINISHED;
}

static void caution_of(page *p, const model *m, const faults_answer *a, int first) {
    const fault *f = &a->fault[first];
    for (int k = 0; k < first; k++) {
        if (same_harm(&a->fault[k], f)) {
            return; /* it has been said */
        }
    }
    const char *list = fault_words(p, m, f);
    for (int k = first + 1; k < a->faults; k++) {
        if (same_harm(&a->fault[k], f)) {
            list = words_join(p, list, fault_words(p, m, &a->fault[k]), false);
        }
    }
    page_addf(p, BLOCK_CAUTION, "not to be driven, %s: %s", harm_words(p, m, f), list);
}

static void still_moving(page *p, const model *m, const faults_answer *a) {
    const char *list = "";
    for (int k = 0; k < a->faults; k++) {
        if (a->fault[k].moving) {
            list = words_join(p, list, fault_words(p, m, &a->fault[k]), false);
        }
    }
    if (list[0] != '\0') {
        page_addf(p, BLOCK_CAUTION, "still on its way after %s s, so worse may come: %s",
                  page_number(p, BARONET_NUMBER, FAULTS_SECONDS, 0), list);
    }
}

static void cautions(page *p, const model *m, const faults_answer *a) {
    for (int k = 0; k < a->faults; k++) {
        if (a->fault[k].harm != 0) {
            caution_of(p, m, a, k);
        }
    }
    still_moving(p, m, a);
    if (a->unplayed > 0) {
        page_addf(p, BLOCK_CAUTION,
                  "the budget of steps (%s times that of a single run) is used up: %d more faults "
                  "have not been played",
                  page_number(p, BARONET_NUMBER, FAULTS_BUDGET, 0), a->unplayed);
        page_set_status(p, BARONET_OVER_BUDGET);
    }
    page_addf(
        p, BLOCK_NOTE,
        "each fault plays for %s s; springs and tanks burst with a hole of %s, hoses with "
        "one of their own bore, tees with that of their widest hose; a lost supply is open to "
        "the atmosphere",
        page_number(p, BARONET_NUMBER, FAULTS_SECONDS, 0),
        page_quantity(p, BARONET_LENGTH, FAULTS_HOLE));
    if (a->unchanged > 0) {
        page_add(p, BLOCK_NOTE,
                 "a solenoid stuck where this state holds it changes nothing here: ask for the "
                 "other states too (--state)");
    }
}

/* Columns of numbers before those of corners and springs. */
enum { FIRST_COLUMNS = 7 };

static void name_columns(page *p, const model *m, series_column *column) {
    static const series_column first[FIRST_COLUMNS] = {
        {"undrivable", BARONET_NUMBER},
        {"drop_time", BARONET_TIME},
        {"vehicle.lean", BARONET_ANGLE},
        {"vehicle.heave_rate", BARONET_STIFFNESS},
        {"vehicle.roll_rate", BARONET_ANGULAR_STIFFNESS},
        {"vehicle.settled_heave_rate", BARONET_STIFFNESS},
        {"vehicle.settled_roll_rate", BARONET_ANGULAR_STIFFNESS}};
    int n = 0;
    for (; n < FIRST_COLUMNS; n++) {
        column[n] = first[n];
    }
    for (int c = 0; c < m->vehicle.corners; c++) {
        column[n++] = (series_column){page_format(p, "%s.height_shift", m->vehicle.corner[c].name),
                                      BARONET_LENGTH};
    }
    for (int i = 0; i < m->vehicle.springs; i++) {
        column[n++] = (series_column){
            page_format(p, "%s.gauge_pressure", m->vehicle.spring[i].name), BARONET_PRESSURE};
    }
}

static void fill_values(const model *m, const fault *f, double *value) {
    const double first[FIRST_COLUMNS] = {f->harm != 0 ? 1.0 : 0.0,
                                         f->drop_time,
                                         f->lean,
                                         f->held.heave[HOLD_INSTANT],
                                         f->held.roll[HOLD_INSTANT],
                                         f->held.heave[HOLD_SETTLED],
                                         f->held.roll[HOLD_SETTLED]};
    int n = 0;
    for (; n < FIRST_COLUMNS; n++) {
        value[n] = first[n];
    }
    for (int c = 0; c < m->vehicle.corners; c++) {
        value[n++] = f->shift[c];
    }
    for (int i = 0; i < m->vehicle.springs; i++) {
        value[n++] = f->pressure[i];
    }
}

static void add_series(inquiry *q, const faults_answer *a, const char *state) {
    page *p = q->page;
    const model *m = q->model;
    static const char *const labels[] = {"state", "case", "fault"};
    const int columns = m->vehicle.corners + m->vehicle.springs + FIRST_COLUMNS;
    series_column *column = ARENA_ARRAY(p->arena, series_column, columns);
    double *value = ARENA_ARRAY(p->arena, double, columns);
    if (column == NULL || value == NULL) {
        p->failed = true;
        return;
    }
    name_columns(p, m, column);
    series *out = page_series(p, 3, labels, columns, column);
    for (int k = 0; k < a->faults; k++) {
        const fault *f = &a->fault[k];
        const char *names[] = {state, q->load_case, fault_words(p, m, f)};
        fill_values(m, f, value);
        series_add(out, names, value);
    }
}

static baronet_status faults_of_state(inquiry *q, const baronet_question *question) {
    page *p = q->page;
    const model *m = q->model;
    const states_entry *e = &q->states.entry[0];
    page_addf(p, BLOCK_HEADING, "State %s", e->name);
    if (e->problem.status != BARONET_OK) {
        page_addf(p, BLOCK_LEAD, "%s does not stand: %s.", e->name,
                  words_problem(p, m, &e->problem));
        return BARONET_OK;
    }
    const double drop = question->drop > 0.0 ? question->drop : FAULTS_DROP;
    const faults_settings with = {.drop = drop};
    faults_answer a;
    const baronet_status status =
        faults_solve(&a, e->rates, q->charge, e->named, &with, q->allocator);
    if (status == BARONET_OK) {
        lead(p, m, &a);
        harm_table(p, m, &a, drop);
        end_table(p, m, &a, true);
        end_table(p, m, &a, false);
        rate_table(p, m, &a);
        cautions(p, m, &a);
        add_series(q, &a, e->name);
    }
    faults_free(&a);
    return status;
}

baronet_status baronet_faults(const baronet_netlist *netlist, const baronet_question *question,
                              baronet_answer **answer, const char **what) {
    const model *m = netlist_model(netlist);
    const baronet_question asked = inquiry_of_one_state(m, question);
    inquiry q;
    baronet_status status = inquiry_open(&q, netlist, &asked, STATES_NAMED, INQUIRY_STANDING, what);
    page_set_study(q.page, "faults");
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    inquiry_title(&q);
    status = faults_of_state(&q, question);
    if (status == BARONET_OK) {
        words_safety(q.page);
    }
    return inquiry_close(&q, status, answer);
}
