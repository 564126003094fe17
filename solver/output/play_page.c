/* The page of `play`: events in time, the summary of each first. */
#include <math.h>
#include <string.h>

#include "output/inquiry.h"
#include "output/picture.h"
#include "output/words.h"
#include "studies/play.h"

/* Adiabatic air, or air of a fixed exponent, is caution's business from here on. */
#define LONG_EVENT 30.0 /* s */

/* Movements of the body below this are not worth a picture. */
#define LEAST_LEAN 1e-3 /* rad */

static const char *time_text(page *p, double t) {
    return t >= 7200.0  ? page_format(p, "%s h", page_number(p, BARONET_NUMBER, t / 3600.0, 2))
           : t >= 600.0 ? page_format(p, "%s min", page_number(p, BARONET_NUMBER, t / 60.0, 1))
                        : page_format(p, "%s s", page_number(p, BARONET_NUMBER, t, 2));
}

/* What an action is, in words. */
static const char *action_words(page *p, const model *m, const action *a) {
    const char *const value = page_quantity(p, BARONET_ACCELERATION, a->value);
    switch (a->kind) {
    case ACTION_LATERAL:
        return page_format(p, "lateral acceleration goes to %s", value);
    case ACTION_BRAKING:
        return page_format(p, "braking goes to %s", value);
    case ACTION_BUMP:
        return page_format(p, "a bump of %s under %s", page_quantity(p, BARONET_LENGTH, a->value),
                           m->vehicle.corner[a->item].name);
    case ACTION_STEP:
        return page_format(p, "a step of %s in %s", page_quantity(p, BARONET_LENGTH, a->value),
                           a->item >= 0 ? m->motion[a->item].name
                                        : script_motion_name((script_motion)a->item));
    case ACTION_LOAD:
        return page_format(p, "%s on %s", page_change(p, BARONET_MASS, a->value),
                           m->vehicle.corner[a->item].name);
    case ACTION_STATE:
        return page_format(p, "state %s", m->state[a->item].name);
    case ACTION_OPEN:
        return page_format(p, "%s opens", m->network.edge[a->item].name);
    case ACTION_SHUT:
        return page_format(p, "%s shuts", m->network.edge[a->item].name);
    case ACTION_BURST:
        return page_format(p, "%s bursts", m->network.node[a->item].name);
    case ACTION_HOLD:
        return "wheels and body are held";
    case ACTION_TEMPERATURE:
        return page_format(p, "the air around goes to %s",
                           page_quantity(p, BARONET_TEMPERATURE, a->value));
    case ACTION_SUPPLY_LOST:
    case ACTION_KINDS:
        break;
    }
    return page_format(p, "%s is lost", m->network.node[a->item].name);
}

static const char *note_words(page *p, const model *m, const script *s, const play_note *n) {
    switch (n->kind) {
    case NOTE_ACTION:
        return action_words(p, m, &s->action[n->item]);
    case NOTE_FLAT:
        return page_format(p, "%s is flat", m->vehicle.spring[n->item].name);
    case NOTE_SLACK:
        return page_format(p, "%s is slack: below ambient pressure",
                           m->vehicle.spring[n->item].name);
    case NOTE_OFF_TABLE:
        return page_format(p, "%s, flat, leaves its table", m->vehicle.spring[n->item].name);
    case NOTE_LIFT:
        return page_format(p, "wheel %s %s", m->vehicle.corner[n->item].name,
                           m->vehicle.corner[n->item].tyre > 0.0
                               ? "leaves the ground"
                               : "would leave the ground (it has no tyre to do so)");
    case NOTE_BUMP_STOP:
        return page_format(p, "%s meets its bump stop; at most %s into it",
                           m->vehicle.corner[n->item].name,
                           page_quantity(p, BARONET_LENGTH, n->amount));
    case NOTE_REBOUND_STOP:
        return page_format(p, "%s meets its rebound stop; at most %s into it",
                           m->vehicle.corner[n->item].name,
                           page_quantity(p, BARONET_LENGTH, n->amount));
    case NOTE_PILOT:
        return page_format(
            p, "%s is told to open with only %s across it: it waits for %s",
            m->network.edge[n->item].name, page_quantity(p, BARONET_PRESSURE, n->amount),
            page_quantity(p, BARONET_PRESSURE, m->network.edge[n->item].opens_above));
    case NOTE_REVERSE:
    case NOTE_KINDS:
        break;
    }
    return page_format(
        p, "%s is shut against up to %s from behind, which it cannot hold: air goes back",
        m->network.edge[n->item].name, page_quantity(p, BARONET_PRESSURE, n->amount));
}

static bool is_piston(const model *m, int spring_index) {
    return m->vehicle.profile[m->vehicle.spring[spring_index].profile].rows == 0;
}

/* How a run ended that did not come to its end. */
static const char *end_words(page *p, const model *m, const play_answer *a) {
    switch (a->end) {
    case PLAY_OFF_PROFILE:
        return page_format(p, "%s is %s under pressure; give it %sstops that it meets before",
                           m->vehicle.spring[a->item].name,
                           is_piston(m, a->item) ? "squeezed flat" : "at the end of its table",
                           is_piston(m, a->item) ? "" : "a longer table, or ");
    case PLAY_NO_MASS:
        return page_format(p, "no mass is left on %s", m->vehicle.corner[a->item].name);
    case PLAY_STUCK:
        return "no step of the integration goes on";
    case PLAY_SWITCHES:
        return "a condition switches to and fro without end";
    case PLAY_TIPPED:
        return page_format(p, "the body tips over in %s: unstable",
                           a->item == MOTION_ROLL ? "roll" : "pitch");
    case PLAY_STEPS:
    case PLAY_FINISHED:
        break;
    }
    return page_format(p, "the budget of %ld steps is used up", a->budget);
}

/* The corner that moved farthest from where it stood. */
static const channel *farthest(const record *r) {
    const channel *found = NULL;
    double most = 0.0;
    for (int k = 0; k < r->channels; k++) {
        const channel *c = &r->channel[k];
        const double away = fmax(c->highest - c->start, c->start - c->lowest);
        if (c->kind == CHANNEL_HEIGHT_SHIFT && away > most) {
            most = away;
            found = c;
        }
    }
    return found;
}

/* Which corners end a stated drop below where they stood, and when each had lost it. */
static void losses(page *p, const model *m, const record *r) {
    const char *list = "";
    for (int c = 0; c < m->vehicle.corners; c++) {
        const channel *h = record_find(r, CHANNEL_HEIGHT_SHIFT, c);
        if (h->end < h->start - r->drop) {
            list = words_join(
                p, list,
                page_format(p, "%s at %s", m->vehicle.corner[c].name, time_text(p, r->fell[c])),
                false);
        }
    }
    if (list[0] != '\0') {
        page_addf(p, BLOCK_LEAD, "%s lost, and not regained by the end: %s.",
                  page_quantity(p, BARONET_LENGTH, r->drop), list);
    }
}

static void lead(page *p, const model *m, const script *s, const play_answer *a) {
    const channel *c = farthest(a->record);
    if (a->end != PLAY_FINISHED) {
        page_addf(p, BLOCK_LEAD, "%s stops at %s: %s.", s->name, time_text(p, a->time),
                  end_words(p, m, a));
    }
    if (c != NULL) {
        const bool down = c->start - c->lowest > c->highest - c->start;
        page_addf(p, BLOCK_LEAD, "%s moves most: %s at %s, and ends at %s.", channel_subject(m, c),
                  page_fine_change(p, BARONET_LENGTH, (down ? c->lowest : c->highest) - c->start),
                  time_text(p, down ? c->lowest_at : c->highest_at),
                  page_fine_change(p, BARONET_LENGTH, c->end - c->start));
    }
    const channel *roll = record_find(a->record, CHANNEL_BODY, MOTION_ROLL);
    if (roll != NULL && roll->highest - roll->lowest > 1e-4) {
        const bool left = roll->highest - roll->start < roll->start - roll->lowest;
        page_addf(p, BLOCK_LEAD, "Roll: %s at most, at %s; %s at the end (left side up is +).",
                  page_fine_change(p, BARONET_ANGLE, left ? roll->lowest : roll->highest),
                  time_text(p, left ? roll->lowest_at : roll->highest_at),
                  page_fine_change(p, BARONET_ANGLE, roll->end));
    }
    losses(p, m, a->record);
    if (!isnan(a->settled)) {
        page_addf(p, BLOCK_LEAD, "Settled %s after the last thing that was done.",
                  time_text(p, fmax(a->settled - a->last_action, 0.0)));
    } else if (a->end == PLAY_FINISHED) {
        page_add(p, BLOCK_LEAD, "Still on its way at the end.");
    }
}

/* What a scale under the wheel shows at the end. */
static const char *end_load(page *p, const model *m, const record *r, int c) {
    const bool force = p->units == BARONET_SI;
    return c < m->vehicle.wheels ? page_quantity(p, force ? BARONET_FORCE : BARONET_MASS,
                                                 record_find(r, CHANNEL_LOAD, c)->end /
                                                     (force ? 1.0 : STANDARD_GRAVITY))
                                 : "-";
}

/* A table of how quantities of one dimension went, with one more column. */
static table *course_table(page *p, const char *what, baronet_dimension dimension,
                           const char *last) {
    const char *header[] = {page_format(p, "%s %s", what, page_unit(p, dimension)),
                            "start",
                            "lowest",
                            "highest",
                            "at s",
                            "end",
                            last};
    return page_table(p, 7, 1, header);
}

static void course_row(page *p, table *t, const char *name, baronet_dimension dimension,
                       const channel *c, double at, const char *last) {
    const int decimals = page_fine(p, dimension);
    const char *cells[] = {name,
                           page_number(p, dimension, c->start, decimals),
                           page_number(p, dimension, c->lowest, decimals),
                           page_number(p, dimension, c->highest, decimals),
                           page_number(p, BARONET_NUMBER, at, 2),
                           page_number(p, dimension, c->end, decimals),
                           last};
    table_add(t, cells);
}

/* The time is that of the extreme farthest from the start. */
static void corner_table(page *p, const model *m, const record *r) {
    table *t = course_table(p, "height", BARONET_LENGTH, "end load");
    for (int c = 0; c < m->vehicle.corners; c++) {
        const channel *h = record_find(r, CHANNEL_HEIGHT_SHIFT, c);
        const bool down = h->start - h->lowest > h->highest - h->start;
        course_row(p, t, m->vehicle.corner[c].name, BARONET_LENGTH, h,
                   down ? h->lowest_at : h->highest_at, end_load(p, m, r, c));
    }
}

/* The rating of a node's part: its own, of a hose that of its edge. */
static double rating_of(const model *m, int node_index) {
    const node *n = &m->network.node[node_index];
    return n->kind == NODE_HOSE && n->rated <= 0.0 ? m->network.edge[n->item].rated : n->rated;
}

/* Springs and tanks always, lines where their pressure passes a rating. */
static void pressure_table(page *p, const model *m, const record *r) {
    table *t = course_table(p, "pressure", BARONET_PRESSURE, "rated");
    const int decimals = page_fine(p, BARONET_PRESSURE);
    for (int i = 0; i < m->network.nodes; i++) {
        const channel *c = record_find(r, CHANNEL_GAUGE_PRESSURE, i);
        const node_kind kind = m->network.node[i].kind;
        const double rated = rating_of(m, i);
        if (c == NULL ||
            (kind != NODE_SPRING && kind != NODE_TANK && !(rated > 0.0 && c->highest > rated))) {
            continue;
        }
        course_row(p, t, m->network.node[i].name, BARONET_PRESSURE, c, c->highest_at,
                   rated > 0.0 ? page_number(p, BARONET_PRESSURE, rated, decimals) : "none");
    }
}

static void over_ratings(page *p, const model *m, const record *r) {
    for (int i = 0; i < m->network.nodes; i++) {
        const channel *c = record_find(r, CHANNEL_GAUGE_PRESSURE, i);
        const double rated = rating_of(m, i);
        if (c != NULL && rated > 0.0 && c->highest > rated) {
            page_addf(p, BLOCK_CAUTION, "`%s` reaches %s at %s and is rated %s",
                      m->network.node[i].name, page_quantity(p, BARONET_PRESSURE, c->highest),
                      time_text(p, c->highest_at), page_quantity(p, BARONET_PRESSURE, rated));
        }
    }
    for (int i = 0; i < m->network.edges; i++) {
        const edge *e = &m->network.edge[i];
        const channel *ends[] = {record_find(r, CHANNEL_GAUGE_PRESSURE, e->from),
                                 record_find(r, CHANNEL_GAUGE_PRESSURE, e->to)};
        for (int k = 0; k < 2 && e->rated > 0.0; k++) {
            if (ends[k] != NULL && ends[k]->highest > e->rated) {
                page_addf(p, BLOCK_CAUTION, "`%s` sees %s at %s and is rated %s", e->name,
                          page_quantity(p, BARONET_PRESSURE, ends[k]->highest),
                          time_text(p, ends[k]->highest_at),
                          page_quantity(p, BARONET_PRESSURE, e->rated));
                break;
            }
        }
    }
}

/* Compressors that had to deliver above the last row of their tables. */
static void beyond_tables(page *p, const model *m, const record *r) {
    for (int i = 0; i < m->network.edges; i++) {
        const edge *e = &m->network.edge[i];
        const int last = e->table_rows - 1;
        if (e->kind != EDGE_COMPRESSOR || e->table_flow[last] <= 0.0) {
            continue;
        }
        const double tabled = e->table_pressure[last] - m->ambient.pressure;
        const channel *c = record_find(r, CHANNEL_GAUGE_PRESSURE, e->to);
        if (c != NULL && c->highest > tabled) {
            page_addf(p, BLOCK_CAUTION,
                      "`%s` delivers up to %s, above its table's last row of %s: the flow there is "
                      "carried on along the last two rows",
                      e->name, page_quantity(p, BARONET_PRESSURE, c->highest),
                      page_quantity(p, BARONET_PRESSURE, tabled));
        }
    }
}

static void happenings(page *p, const model *m, const script *s, const play_answer *a) {
    const char *header[] = {"at", "what happens"};
    table *t = page_table(p, 2, 2, header);
    table_set_prose(t);
    for (int k = 0; k < a->notes; k++) {
        const char *cells[] = {time_text(p, a->note[k].time), note_words(p, m, s, &a->note[k])};
        table_add(t, cells);
    }
    if (a->notes_full) {
        page_add(p, BLOCK_NOTE, "and more that is not listed");
    }
}

/* Air in grams, whatever it is. */
static const char *air_text(page *p, double kilograms) {
    return page_quantity(p, BARONET_AIR_MASS, kilograms);
}

/* Rounding has no digits worth reading. */
static const char *error_text(page *p, double error) {
    const double rounding = 1e-12;
    return error < rounding ? "better than 1e-12" : page_format(p, "%.0e", error);
}

static void air_account(page *p, const play_answer *a) {
    const double least = 1e-9 * a->air;
    const char *used = "none comes or goes";
    if (fabs(a->given) > least || fabs(a->let_out) > least) {
        used = page_format(p, "%s from supplies, %s %s", air_text(p, a->given),
                           air_text(p, fabs(a->let_out)),
                           a->let_out >= 0.0 ? "let out" : "drawn in by compressors");
    }
    page_addf(p, BLOCK_PLAIN, "Air: %s in all volumes at the start; %s.", air_text(p, a->air),
              used);
    page_addf(p, BLOCK_NOTE, "air conserved to %s of the total%s", error_text(p, a->mass_error),
              a->dynamics->energy ? page_format(p, ", energy to %s", error_text(p, a->energy_error))
                                  : "");
    page_addf(p, BLOCK_NOTE,
              "%ld steps of the integration (of at most %ld), %d starts, tolerance %.0e", a->steps,
              a->budget, a->restarts, DYNAMICS_TOLERANCE);
}

/* Where the wheels' own masses are taken to act; of no matter where none is given. */
static void wheel_centres(page *p, const model *m, bool pushed) {
    bool heavy = false;
    for (int k = 0; k < m->vehicle.wheels; k++) {
        heavy = heavy || m->vehicle.corner[k].unsprung > 0.0;
    }
    if (heavy && pushed) {
        page_addf(p, BLOCK_NOTE, "the wheels' own masses are taken to act at %s above ground",
                  page_quantity(p, BARONET_LENGTH, VEHICLE_WHEEL_CENTRE));
    }
}

static bool has_action(const script *s, action_kind kind) {
    for (int k = 0; k < s->actions; k++) {
        if (s->action[k].kind == kind) {
            return true;
        }
    }
    return false;
}

/* What the event's accelerations act on. */
static void pushes(page *p, const model *m, const script *s) {
    const bool lateral = has_action(s, ACTION_LATERAL), braking = has_action(s, ACTION_BRAKING);
    const bool dives = m->vehicle.body.cg_height_given;
    const bool leans = dives && m->vehicle.body.roll_axis_given;
    if (lateral && !leans) {
        page_add(p, BLOCK_CAUTION,
                 "`vehicle` lacks `cg-height` or `roll-axis`: a lateral acceleration does nothing");
    }
    if (braking && !dives) {
        page_add(p, BLOCK_CAUTION, "`vehicle` lacks `cg-height`: braking does nothing");
    }
    wheel_centres(p, m, (lateral && leans) || (braking && dives));
}

static void assumptions(page *p, const model *m, const script *s, const charge *c) {
    const body_freedom f = vehicle_freedom(&m->vehicle);
    const gas_kind kind = m->gas.kind;
    if (s->until > LONG_EVENT && (kind == GAS_ADIABATIC || kind == GAS_EXPONENT)) {
        page_addf(p, BLOCK_CAUTION,
                  "%s lasts %s with air that never takes heat from its walls: say `gas thermal` "
                  "and a time for what happens slowly",
                  s->name, time_text(p, s->until));
    }
    pushes(p, m, s);
    if (f.roll && c->mass.roll_estimated) {
        page_addf(p, BLOCK_NOTE, "roll inertia is estimated at %s from the corner loads",
                  page_quantity(p, BARONET_INERTIA, c->mass.roll_inertia));
    }
    if (f.pitch && c->mass.pitch_estimated) {
        page_addf(p, BLOCK_NOTE, "pitch inertia is estimated at %s from the corner loads",
                  page_quantity(p, BARONET_INERTIA, c->mass.pitch_inertia));
    }
    for (int k = 0; k < m->vehicle.wheels; k++) {
        if (m->vehicle.corner[k].tyre > 0.0 && m->vehicle.corner[k].unsprung <= 0.0) {
            page_addf(p, BLOCK_NOTE,
                      "wheels without `unsprung` move with an assumed %.0f %% of their load (`%s` "
                      "first)",
                      100.0 * DYNAMICS_WHEEL_SHARE, m->vehicle.corner[k].name);
            break;
        }
    }
}

static series *make_series(page *p, const model *m, const record *r, bool labelled) {
    static const char *const labels[] = {"event"};
    series_column *column = ARENA_ARRAY(p->arena, series_column, r->channels + 1);
    if (column == NULL) {
        p->failed = true;
        return NULL;
    }
    column[0] = (series_column){"time", BARONET_TIME};
    for (int k = 0; k < r->channels; k++) {
        const channel *c = &r->channel[k];
        column[k + 1] =
            (series_column){page_format(p, "%s.%s", channel_subject(m, c), channel_quantity(c)),
                            channel_dimension(c)};
    }
    series *out = page_series(p, labelled ? 1 : 0, labels, r->channels + 1, column);
    series_set_whole(out, r->channels + 1);
    return out;
}

static void add_rows(series *out, const script *s, const record *r) {
    const char *labels[] = {s->name};
    for (size_t k = 0; k < r->rows; k++) {
        series_add(out, labels, r->row + k * (size_t)(r->channels + 1));
    }
}

/* What is drawn where nothing is named: how corners and body move, what springs and tanks hold. */
static bool is_usual(const model *m, const channel *c) {
    switch (c->kind) {
    case CHANNEL_HEIGHT_SHIFT:
    case CHANNEL_LOAD:
        return true;
    case CHANNEL_BODY:
        return c->item != MOTION_HEAVE && c->highest - c->lowest > LEAST_LEAN;
    case CHANNEL_GAUGE_PRESSURE:
        return m->network.node[c->item].kind == NODE_SPRING ||
               m->network.node[c->item].kind == NODE_TANK;
    default:
        return false;
    }
}

/* The picture of one quantity, over time, with what was done. */
static picture *begin_picture(inquiry *q, const script *s, const play_answer *a, const channel *c) {
    page *p = q->page;
    const char *quantity = page_spoken(p, channel_quantity(c));
    const picture_axis time = {"time", BARONET_TIME, false};
    const picture_axis up = {quantity, channel_dimension(c), false};
    picture *out = page_picture(p, page_format(p, "Event %s: %s", s->name, quantity), time, up);
    for (int k = 0; k < a->notes; k++) {
        if (a->note[k].kind == NOTE_ACTION) {
            picture_mark_at(out, a->note[k].time, note_words(p, q->model, s, &a->note[k]));
        }
    }
    return out;
}

/* Adds a channel's curve. */
static picture *add_curve(picture *to, const model *m, const record *r, int index, double *x,
                          double *y) {
    const size_t width = (size_t)r->channels + 1;
    for (size_t i = 0; i < r->rows; i++) {
        x[i] = r->row[i * width];
        y[i] = r->row[i * width + 1 + (size_t)index];
    }
    return picture_add(to, channel_subject(m, &r->channel[index]), (int)r->rows, x, y);
}

static bool is_wanted(const model *m, const channel *c, const char *plot) {
    return plot != NULL ? picture_is_asked(plot, channel_subject(m, c), channel_quantity(c))
                        : is_usual(m, c);
}

/* A picture for each quantity that is wanted, with a curve for each part; false for none. */
static bool draw(inquiry *q, const script *s, const play_answer *a, const char *plot) {
    page *p = q->page;
    const record *r = a->record;
    double *x = page_take(p, r->rows, sizeof *x);
    double *y = page_take(p, r->rows, sizeof *y);
    bool *done = page_take(p, (size_t)r->channels, sizeof *done);
    bool found = false;
    for (int k = 0; k < r->channels && !p->failed; k++) {
        if (done[k] || !is_wanted(q->model, &r->channel[k], plot)) {
            continue;
        }
        found = true;
        picture *out = begin_picture(q, s, a, &r->channel[k]);
        if (plot != NULL) {
            picture_ask(out);
        }
        for (int i = k; i < r->channels; i++) {
            if (is_wanted(q->model, &r->channel[i], plot) &&
                strcmp(channel_quantity(&r->channel[i]), channel_quantity(&r->channel[k])) == 0) {
                out = add_curve(out, q->model, r, i, x, y);
                done[i] = true;
            }
        }
    }
    return found || p->failed;
}

/* False where there is no such quantity to draw. */
static bool event_page(inquiry *q, const script *s, const play_answer *a, const char *plot) {
    page *p = q->page;
    const model *m = q->model;
    lead(p, m, s, a);
    if (!draw(q, s, a, plot)) {
        return false;
    }
    corner_table(p, m, a->record);
    pressure_table(p, m, a->record);
    happenings(p, m, s, a);
    over_ratings(p, m, a->record);
    beyond_tables(p, m, a->record);
    air_account(p, a);
    assumptions(p, m, s, q->charge);
    return true;
}

/* The entry of the state that a script starts in; each named one has one. */
static const states_entry *entry_of(const inquiry *q, int state) {
    const size_t bytes = (size_t)q->model->network.solenoids * sizeof(bool);
    const states_entry *e = q->states.entry;
    while (memcmp(e->open, q->model->state[state].open, bytes) != 0) {
        e++;
    }
    return e;
}

static baronet_status one_event(inquiry *q, const baronet_question *question, const script *s,
                                series **out, const char **what) {
    page *p = q->page;
    const states_entry *e = entry_of(q, s->state);
    page_addf(p, BLOCK_HEADING, "Event %s in %s, %s", s->name, q->model->state[s->state].name,
              time_text(p, s->until));
    if (e->problem.status != BARONET_OK) {
        page_addf(p, BLOCK_LEAD, "%s cannot start: %s.", s->name,
                  words_problem(p, q->model, &e->problem));
        page_set_status(p, e->problem.status);
        return BARONET_OK;
    }
    play_answer *a = NULL;
    const play_settings with = {.points = question->points};
    baronet_status status = play_run(&a, e->rates, q->charge->travel, s, &with, q->allocator);
    if (status != BARONET_OK) {
        return status;
    }
    page_set_status(p, play_status(a->end));
    if (!event_page(q, s, a, question->plot)) {
        *what = question->plot;
        status = BARONET_NO_SUCH_NAME;
    }
    if (*out == NULL) {
        *out = make_series(p, q->model, a->record, question->event == NULL);
    }
    add_rows(*out, s, a->record);
    play_free(a);
    return status;
}

static baronet_status all_events(inquiry *q, const baronet_question *question, const char **what) {
    baronet_status status = BARONET_OK;
    series *out = NULL;
    bool found = false;
    q->page->status = BARONET_OK; /* states that no event starts in do not matter here */
    for (int k = 0; k < q->model->scripts && status == BARONET_OK; k++) {
        const script *s = &q->model->script[k];
        if (question->event == NULL || strcmp(question->event, s->name) == 0) {
            found = true;
            inquiry_tell(question, s->name, k, q->model->scripts);
            status = one_event(q, question, s, &out, what);
        }
    }
    if (!found && question->event != NULL) {
        *what = question->event;
        return BARONET_NO_SUCH_NAME;
    }
    if (!found) {
        page_add(q->page, BLOCK_LEAD,
                 "This netlist has no events; see `event` in docs/netlist.md.");
    }
    return status;
}

baronet_status baronet_play(const baronet_netlist *netlist, const baronet_question *question,
                            baronet_answer **answer, const char **what) {
    inquiry q;
    const char *unwanted = NULL;
    what = what != NULL ? what : &unwanted;
    baronet_question asked = *question;
    asked.state = NULL; /* each event says in which state it starts */
    baronet_status status = inquiry_open(&q, netlist, &asked, STATES_NAMED, INQUIRY_STANDING, what);
    page_set_study(q.page, "play");
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    inquiry_title(&q);
    status = all_events(&q, question, what);
    if (status == BARONET_OK) {
        words_safety(q.page);
    }
    return inquiry_close(&q, status, answer);
}
