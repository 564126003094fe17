/* The page of `rates`: one state after another, the answer first. */
#include <math.h>

#include "output/inquiry.h"
#include "output/sheet.h"
#include "output/words.h"

/* Rows of tanks, tees and hoses shown; CSV has all. */
enum { VOLUMES_SHOWN = 40, MATRIX_SHOWN = 8 };

static const char *const level_words[LEVELS] = {[LEVEL_INSTANT] = "instant",
                                                [LEVEL_SETTLED] = "settled",
                                                [LEVEL_PARKED] = "parked",
                                                [LEVEL_RIDE] = "ride"};

/* In the order of the page: as it feels, then its limits. */
static const level level_order[] = {LEVEL_RIDE, LEVEL_INSTANT, LEVEL_SETTLED, LEVEL_PARKED};
enum { LEVELS_SHOWN = sizeof level_order / sizeof level_order[0] };

/* Mean over an axle's wheels of a corner's figure. */
static double axle_mean(const model *m, const double *values, int axle_index) {
    double sum = 0.0;
    int count = 0;
    for (int c = 0; c < m->vehicle.wheels; c++) {
        if (m->vehicle.corner[c].axle == axle_index) {
            sum += values[c];
            count++;
        }
    }
    return sum / count;
}

/* "1.05 Hz on axle front" of a level's frequencies, all axles and bench masses. */
static const char *ride_words(page *p, const model *m, const level_rates *l) {
    const char *list = "";
    const int benches = m->vehicle.corners - m->vehicle.wheels;
    for (int k = 0; k < m->vehicle.axles; k++) {
        const double f = axle_mean(m, l->ride_frequency, k);
        list = words_join(p, list,
                          page_format(p, "%s %s", page_quantity(p, BARONET_FREQUENCY, f),
                                      m->vehicle.axle[k].name),
                          k + 1 == m->vehicle.axles && benches == 0);
    }
    for (int k = 0; k < benches; k++) {
        const int c = m->vehicle.wheels + k;
        list = words_join(p, list,
                          page_format(p, "%s %s",
                                      page_quantity(p, BARONET_FREQUENCY, l->ride_frequency[c]),
                                      m->vehicle.corner[c].name),
                          k + 1 == benches);
    }
    return list;
}

static void lead_ride(page *p, const model *m, const rates_answer *r) {
    if (m->vehicle.corners == 0) {
        page_add(p, BLOCK_LEAD, "No spring, so nothing to ride on.");
        return;
    }
    if (r->level[LEVEL_RIDE].given) {
        page_addf(p, BLOCK_LEAD, "Ride as felt: %s.", ride_words(p, m, &r->level[LEVEL_RIDE]));
    }
    page_addf(p, BLOCK_LEAD, "Before air moves: %s. Once open paths have evened out: %s.",
              ride_words(p, m, &r->level[LEVEL_INSTANT]),
              ride_words(p, m, &r->level[LEVEL_SETTLED]));
}

static void lead_roll(page *p, const model *m, const rates_answer *r) {
    const level_rates *now = &r->level[LEVEL_INSTANT];
    const level_rates *later = &r->level[LEVEL_SETTLED];
    if (!r->has[MOTION_ROLL]) {
        return;
    }
    const char *how;
    if (!isnan(later->roll_gradient)) {
        how = page_format(p, "%s at first, %s once evened out",
                          page_quantity(p, BARONET_ROLL_GRADIENT, now->roll_gradient),
                          page_quantity(p, BARONET_ROLL_GRADIENT, later->roll_gradient));
    } else {
        how =
            page_format(p, "%s at first, %s once evened out",
                        page_quantity(p, BARONET_ANGULAR_STIFFNESS, now->body_rate[MOTION_ROLL]),
                        page_quantity(p, BARONET_ANGULAR_STIFFNESS, later->body_rate[MOTION_ROLL]));
    }
    const char *list = "";
    for (int k = 0; k < m->vehicle.axles && m->vehicle.axles > 1; k++) {
        list =
            words_join(p, list,
                       page_format(p, "%s %% on axle %s",
                                   page_number(p, BARONET_NUMBER, 100.0 * later->roll_share[k], 0),
                                   m->vehicle.axle[k].name),
                       k + 1 == m->vehicle.axles);
    }
    page_addf(p, BLOCK_LEAD, "Roll: %s%s%s.", how, list[0] != '\0' ? "; the couple is held " : "",
              list);
}

static table *corner_table(page *p, const model *m) {
    const int corners = m->vehicle.corners;
    const char **header = ARENA_ARRAY(p->arena, const char *, corners + 2);
    if (header == NULL) {
        p->failed = true;
        return NULL;
    }
    header[0] = "at the wheels";
    for (int c = 0; c < corners; c++) {
        header[c + 2] = m->vehicle.corner[c].name;
    }
    return page_table(p, corners + 2, 2, header);
}

/* A figure of each corner at each level that has it. */
static void level_rows(page *p, table *t, const model *m, const rates_answer *r, const char *label,
                       baronet_dimension dimension, size_t offset) {
    for (int k = 0; k < LEVELS_SHOWN; k++) {
        const level_rates *l = &r->level[level_order[k]];
        const double *values = *(double *const *)((const char *)l + offset);
        if (l->given) {
            table_values(t, page_format(p, "%s, %s", label, level_words[level_order[k]]), dimension,
                         m->vehicle.corners, values);
        }
    }
}

static void wheels(page *p, const model *m, const rates_answer *r) {
    table *t = corner_table(p, m);
    double *load = ARENA_ARRAY(p->arena, double, m->vehicle.corners);
    if (t == NULL || load == NULL) {
        p->failed = true;
        return;
    }
    const bool force = p->units == BARONET_SI;
    for (int c = 0; c < m->vehicle.corners; c++) {
        load[c] = r->settled.load[c] / (force ? 1.0 : STANDARD_GRAVITY);
    }
    table_values(t, "load on a scale", force ? BARONET_FORCE : BARONET_MASS, m->vehicle.corners,
                 load);
    table_values(t, "height shift", BARONET_LENGTH, m->vehicle.corners, r->settled.height_shift);
    if (r->parked.given) {
        table_values(t, "height shift, parked", BARONET_LENGTH, m->vehicle.corners,
                     r->parked.height_shift);
    }
    level_rows(p, t, m, r, "wheel rate", BARONET_STIFFNESS, offsetof(level_rates, wheel_rate));
    level_rows(p, t, m, r, "one-wheel rate", BARONET_STIFFNESS,
               offsetof(level_rates, one_wheel_rate));
    level_rows(p, t, m, r, "ride frequency", BARONET_FREQUENCY,
               offsetof(level_rates, ride_frequency));
}

static void vehicle_row(const sheet *s, table *t, const char *label, figure_quantity q,
                        figure_subject kind, int item) {
    double values[LEVELS_SHOWN];
    bool any = false;
    for (int k = 0; k < LEVELS_SHOWN; k++) {
        values[k] = sheet_value(s, 0, q, level_order[k], kind, item);
        any = any || !isnan(values[k]);
    }
    if (any) {
        table_values(t, label, figure_at(q)->dimension, LEVELS_SHOWN, values);
    }
}

static void whole_vehicle(const sheet *s) {
    page *p = s->page;
    const model *m = s->model;
    if (m->vehicle.wheels == 0) {
        return;
    }
    static const char *const header[] = {"the whole vehicle", NULL,      "ride",
                                         "instant",           "settled", "parked"};
    table *t = page_table(p, LEVELS_SHOWN + 2, 2, header);
    vehicle_row(s, t, "heave rate", FIGURE_HEAVE_RATE, SUBJECT_NONE, -1);
    vehicle_row(s, t, "pitch rate", FIGURE_PITCH_RATE, SUBJECT_NONE, -1);
    vehicle_row(s, t, "roll rate", FIGURE_ROLL_RATE, SUBJECT_NONE, -1);
    vehicle_row(s, t, "warp rate, a wheel", FIGURE_WARP_RATE, SUBJECT_NONE, -1);
    for (int k = 1; k <= m->vehicle.wheels; k++) {
        vehicle_row(s, t, page_format(p, "warp rate %d, a wheel", k), FIGURE_WARP_RATE,
                    SUBJECT_NUMBER, k);
    }
    for (int k = 0; k < m->motions; k++) {
        vehicle_row(s, t, page_format(p, "%s rate, a wheel", m->motion[k].name), FIGURE_MOTION_RATE,
                    SUBJECT_MOTION, k);
    }
    vehicle_row(s, t, "heave frequency", FIGURE_RIDE_FREQUENCY, SUBJECT_MOTION, SCRIPT_HEAVE);
    vehicle_row(s, t, "pitch frequency", FIGURE_RIDE_FREQUENCY, SUBJECT_MOTION, SCRIPT_PITCH);
    vehicle_row(s, t, "roll frequency", FIGURE_RIDE_FREQUENCY, SUBJECT_MOTION, SCRIPT_ROLL);
    vehicle_row(s, t, "roll gradient", FIGURE_ROLL_GRADIENT, SUBJECT_NONE, -1);
    for (int k = 0; k < m->vehicle.axles && m->vehicle.axles > 1; k++) {
        vehicle_row(s, t, page_format(p, "roll share of axle %s", m->vehicle.axle[k].name),
                    FIGURE_ROLL_SHARE, SUBJECT_AXLE, k);
    }
}

static void springs(page *p, const model *m, const rates_answer *r) {
    if (m->vehicle.springs == 0) {
        return;
    }
    /* Units stand in the heading so that all columns fit beside one another. */
    page_addf(p, BLOCK_HEADING,
              "Springs, each by itself (gauge %s, height %s, load %s, volume %s, rates %s)",
              page_unit(p, BARONET_PRESSURE), page_unit(p, BARONET_LENGTH),
              page_unit(p, BARONET_FORCE), page_unit(p, BARONET_VOLUME),
              page_unit(p, BARONET_STIFFNESS));
    static const char *const header[] = {"spring", "gauge",   "height",  "load",  "volume",
                                         "ride",   "instant", "settled", "parked"};
    table *t = page_table(p, 5 + LEVELS_SHOWN, 1, header);
    for (int i = 0; i < m->vehicle.springs && i < VOLUMES_SHOWN; i++) {
        const spring *s = &m->vehicle.spring[i];
        const double P = r->settled.node_pressure[s->node] - m->ambient.pressure;
        const char *cells[5 + LEVELS_SHOWN] = {
            s->name, page_number(p, BARONET_PRESSURE, P, -1),
            page_number(p, BARONET_LENGTH, r->settled.spring_height[i], -1),
            page_number(p, BARONET_FORCE, r->settled.spring_load[i], -1),
            page_number(p, BARONET_VOLUME, r->settled.node_volume[s->node], -1)};
        for (int k = 0; k < LEVELS_SHOWN; k++) {
            const level_rates *l = &r->level[level_order[k]];
            cells[5 + k] =
                l->given ? page_number(p, BARONET_STIFFNESS, l->spring_rate[i], -1) : NULL;
        }
        table_add(t, cells);
    }
}

static void volumes(page *p, const model *m, const rates_answer *r) {
    const char *const header[] = {
        "other air", page_format(p, "gauge %s", page_unit(p, BARONET_PRESSURE)),
        page_format(p, "volume %s", page_unit(p, BARONET_VOLUME)),
        page_format(p, "air %s", page_unit(p, BARONET_AIR_MASS)),
        r->parked.given ? page_format(p, "parked %s", page_unit(p, BARONET_PRESSURE)) : NULL};
    int shown = 0;
    table *t = NULL;
    for (int i = 1; i < m->network.nodes; i++) {
        const node *n = &m->network.node[i];
        if (n->kind == NODE_SPRING || n->kind == NODE_SUPPLY || n->volume <= 0.0 ||
            shown++ >= VOLUMES_SHOWN) {
            continue;
        }
        t = t == NULL ? page_table(p, 5, 1, header) : t;
        const double p0 = m->ambient.pressure;
        const char *cells[] = {
            n->name, page_number(p, BARONET_PRESSURE, r->settled.node_pressure[i] - p0, -1),
            page_number(p, BARONET_VOLUME, n->volume, -1),
            page_number(p, BARONET_AIR_MASS, r->settled.node_air[i], -1),
            r->parked.given ? page_number(p, BARONET_PRESSURE, r->parked.node_pressure[i] - p0, -1)
                            : NULL};
        table_add(t, cells);
    }
    if (shown > VOLUMES_SHOWN) {
        page_addf(p, BLOCK_NOTE, "and %d more volumes; `--as csv` has all", shown - VOLUMES_SHOWN);
    }
}

static void matrix(page *p, const model *m, const level_rates *l) {
    const int n = m->vehicle.corners;
    const char *header[MATRIX_SHOWN + 2] = {"force at / travel of", NULL};
    if (n < 2 || n > MATRIX_SHOWN) {
        return;
    }
    for (int c = 0; c < n; c++) {
        header[c + 2] = m->vehicle.corner[c].name;
    }
    page_add(p, BLOCK_HEADING, "Stiffness matrix, settled");
    table *t = page_table(p, n + 2, 2, header);
    /* Equal decimals everywhere, so that what is symmetric looks so. */
    const int decimals = page_decimals(p, BARONET_STIFFNESS, n * n, l->stiffness);
    for (int a = 0; a < n; a++) {
        const char *cells[MATRIX_SHOWN + 2] = {m->vehicle.corner[a].name,
                                               page_unit(p, BARONET_STIFFNESS)};
        for (int b = 0; b < n; b++) {
            cells[b + 2] = page_number(p, BARONET_STIFFNESS, l->stiffness[a * n + b], decimals);
        }
        table_add(t, cells);
    }
}

/* Springs with air of their own are filled for their own corner's weight, without rounds. */
static void levelled(page *p, const levelling_account *account) {
    const char *const rounds =
        account->rounds > 0
            ? page_format(p, " in %d round%s", account->rounds, account->rounds == 1 ? "" : "s")
            : "";
    page_addf(p, BLOCK_NOTE, "levelled%s: mean heights are within %s of design", rounds,
              page_quantity(p, BARONET_LENGTH, fmax(account->off, LEVELLING_TOLERANCE)));
}

static void one_state(inquiry *q, sheet *s, int k) {
    page *p = q->page;
    const states_entry *e = &q->states.entry[k];
    page_set_state(p, e->name);
    page_addf(p, BLOCK_HEADING, "State %s%s (%s)", e->name, e->rest ? ", de-energised" : "",
              words_position(p, q->model, e->open));
    if (e->problem.status != BARONET_OK) {
        page_addf(p, BLOCK_LEAD, "No answer: %s.", words_problem(p, q->model, &e->problem));
        return;
    }
    const rates_answer *r = rates_result(e->rates);
    lead_ride(p, q->model, r);
    lead_roll(p, q->model, r);
    if (r->parked_problem.status != BARONET_OK) {
        page_addf(p, BLOCK_CAUTION,
                  "parked, once the bypasses have evened out, it has no answer: %s",
                  words_problem(p, q->model, &r->parked_problem));
    }
    if (q->model->vehicle.corners > 0) {
        wheels(p, q->model, r);
    }
    sheet one = *s;
    one.count = 1;
    one.list = &s->list[k];
    whole_vehicle(&one);
    springs(p, q->model, r);
    volumes(p, q->model, r);
    matrix(p, q->model, &r->level[LEVEL_SETTLED]);
    words_balance(p, &r->settled.account, words_condition(p, e->rates));
    if (q->with != NULL && q->with->levelled) {
        levelled(p, &r->levelled);
    }
    page_figures(p, "rates", e->name, q->load_case, q->model, &s->list[k]);
}

baronet_status baronet_rates(const baronet_netlist *netlist, const baronet_question *question,
                             baronet_answer **answer, const char **what) {
    inquiry q;
    baronet_status status = inquiry_open(&q, netlist, question, STATES_NAMED, INQUIRY_FELT, what);
    page_set_study(q.page, "rates");
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    inquiry_title(&q);
    sheet s;
    if (sheet_make(&s, q.page, q.model, &q.states)) {
        for (int k = 0; k < q.states.count; k++) {
            one_state(&q, &s, k);
        }
        page_set_state(q.page, NULL);
        page_add(q.page, BLOCK_HEADING, "Cautions and notes");
        words_cautions(q.page, q.charge, &q.states);
    }
    sheet_free(&s);
    return inquiry_close(&q, BARONET_OK, answer);
}
