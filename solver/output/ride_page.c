/* The page of `ride`: how each state swings, what a road does to seat, suspension and tyres, and
   how load moves between the wheels; the states side by side first. */
#include <math.h>
#include <string.h>

#include "output/inquiry.h"
#include "output/load_section.h"
#include "output/words.h"
#include "studies/ride.h"

/* Modes and corners shown in tables for people; CSV has all. */
enum { MODES_SHOWN = 40, CORNERS_SHOWN = 8 };
/* An eigenvalue's residual beyond this is worth a caution. */
#define RESIDUAL_WORTH 1e-9
/* More states than this stand below one another, not side by side. */
enum { SIDE_BY_SIDE = 8 };

typedef struct section {
    inquiry *inquiry;
    ride_question ask;
    bool assumed;           /* the road is the usual one */
    ride_answer *answer;    /* states */
    baronet_status *status; /* states: of the answer */
} section;

static const char *const shape_words[] = {
    [SHAPE_HEAVE] = "heave", [SHAPE_PITCH] = "pitch", [SHAPE_ROLL] = "roll"};

static const char *body_words(page *p, const model *m, const ride_mode *mode) {
    const char *first = mode->shape == SHAPE_AXLE
                            ? page_format(p, "%s bounce", m->vehicle.axle[mode->item].name)
                            : shape_words[mode->shape];
    return mode->with != mode->shape
               ? page_format(p, "%s with some %s", first, shape_words[mode->with])
               : first;
}

/* Hundredths without a sign before a nought. */
static double percent_of(double part) {
    const double percent = 100.0 * part;
    return fabs(percent) < 0.05 ? 0.0 : percent;
}

/* What moves in a mode. */
static const char *mode_words(page *p, const model *m, const ride_mode *mode) {
    const vehicle *v = &m->vehicle;
    const network *net = &m->network;
    switch (mode->shape) {
    case SHAPE_WHEEL:
        return page_format(p, "wheel hop %s", v->corner[mode->item].name);
    case SHAPE_TOGETHER:
        return page_format(p, "wheel hop %s, together", v->axle[mode->item].name);
    case SHAPE_TRAMP:
        return page_format(p, "wheel hop %s, in turn", v->axle[mode->item].name);
    case SHAPE_BENCH:
        return page_format(p, "bounce of %s", v->corner[mode->item].name);
    case SHAPE_COLUMN:
        return page_format(p, "air swings in %s", net->edge[mode->item].name);
    case SHAPE_EXCHANGE:
        return page_format(p, "air exchange %s to %s", net->node[mode->item].name,
                           net->node[mode->other].name);
    case SHAPE_CREEP:
        return page_format(p, "creep of %s", v->corner[mode->item].name);
    default:
        return body_words(p, m, mode);
    }
}

static bool is_body(const ride_mode *mode) {
    return mode->frequency > 0.0 && mode->shape <= SHAPE_AXLE;
}

/* "heave 1.02 Hz (damping 24 %)" of the body's modes. */
static const char *body_list(page *p, const model *m, const ridemodes_answer *modes) {
    const char *list = "";
    int left = 0;
    for (int k = 0; k < modes->modes; k++) {
        left += is_body(&modes->mode[k]);
    }
    for (int k = 0; k < modes->modes; k++) {
        const ride_mode *mode = &modes->mode[k];
        if (is_body(mode)) {
            const char *one = page_format(p, "%s %s (%.0f %%)", mode_words(p, m, mode),
                                          page_quantity(p, BARONET_FREQUENCY, mode->frequency),
                                          percent_of(mode->damping));
            list = words_join(p, list, one, --left == 0);
        }
    }
    return list;
}

static const char *road_words(page *p, const comfort_road *road) {
    return page_format(p, "%c at %s", 'A' + road->class_index,
                       page_quantity(p, BARONET_SPEED, road->speed));
}

static double largest(const double *values, int count) {
    double most = (double)NAN;
    for (int k = 0; k < count; k++) {
        most = fmax(most, values[k]);
    }
    return most;
}

static bool side_by_side(const section *s) {
    return s->inquiry->states.count > 1 && s->inquiry->states.count <= SIDE_BY_SIDE;
}

/* Corners whose dampers hold them so hard that nothing swings there, each once; "" for none. */
static const char *creeping(page *p, const model *m, const ridemodes_answer *modes) {
    const char *list = "";
    for (int k = 0; k < modes->modes; k++) {
        bool told = modes->mode[k].shape != SHAPE_CREEP;
        for (int j = 0; j < k && !told; j++) {
            told =
                modes->mode[j].shape == SHAPE_CREEP && modes->mode[j].item == modes->mode[k].item;
        }
        if (!told) {
            list = words_join(p, list, m->vehicle.corner[modes->mode[k].item].name, false);
        }
    }
    return list[0] != '\0' ? page_format(p, "; damped beyond swinging: %s", list) : "";
}

static void lead_state(const section *s, int k) {
    page *p = s->inquiry->page;
    const model *m = s->inquiry->model;
    const states_entry *e = &s->inquiry->states.entry[k];
    if (e->problem.status != BARONET_OK) {
        page_addf(p, BLOCK_LEAD, "%s: no answer: %s.", e->name, words_problem(p, m, &e->problem));
        return;
    }
    const ride_answer *a = &s->answer[k];
    const char *swings = body_list(p, m, &a->modes), *creeps = creeping(p, m, &a->modes);
    if (swings[0] != '\0' || creeps[0] != '\0') {
        page_addf(p, BLOCK_LEAD, "%s, with damping: %s%s.", e->name,
                  swings[0] != '\0' ? swings : "no swing of the body", creeps);
    }
    if (a->roads > 0 && !side_by_side(s)) {
        const comfort_answer *c = &a->comfort[0];
        const double tyre = largest(c->tyre_part, m->vehicle.wheels);
        page_addf(p, BLOCK_LEAD, "%s, road class %s: %s weighted %s, suspension %s r.m.s.%s",
                  e->name, road_words(p, &c->road),
                  page_quantity(p, BARONET_ACCELERATION, c->comfort),
                  c->seat_given ? "at the seat" : "over the centre of gravity",
                  page_quantity(p, BARONET_LENGTH, largest(c->travel, m->vehicle.wheels)),
                  isnan(tyre) ? "" : page_format(p, ", tyre loads vary by %.0f %%.", 100.0 * tyre));
    }
}

static void lead_balance(const section *s) {
    const states_answer *states = &s->inquiry->states;
    const bool base_stands = states->entry[states->base].problem.status == BARONET_OK;
    for (int k = 0; k < states->count; k++) {
        const lateral_answer *base =
            base_stands && k != states->base ? &s->answer[states->base].loads : NULL;
        const char *words =
            states->entry[k].problem.status != BARONET_OK
                ? NULL
                : load_balance_words(s->inquiry->page, s->inquiry->model, states->entry[k].name,
                                     &s->answer[k].loads, states->entry[states->base].name, base);
        if (words != NULL) {
            page_add(s->inquiry->page, BLOCK_LEAD, words);
        }
    }
}

/* One row of the comparison: a cell for each state. */
typedef const char *cell_of(const section *s, int state, int item);

static const char *comfort_cell(const section *s, int state, int item) {
    const ride_answer *a = &s->answer[state];
    return item < a->roads
               ? page_number(s->inquiry->page, BARONET_ACCELERATION, a->comfort[item].comfort, -1)
               : NULL;
}

static const char *travel_cell(const section *s, int state, int item) {
    (void)item;
    const ride_answer *a = &s->answer[state];
    return a->roads > 0
               ? page_number(s->inquiry->page, BARONET_LENGTH,
                             largest(a->comfort[0].travel, s->inquiry->model->vehicle.wheels), -1)
               : NULL;
}

static const char *tyre_cell(const section *s, int state, int item) {
    (void)item;
    const ride_answer *a = &s->answer[state];
    const double part = a->roads > 0
                            ? largest(a->comfort[0].tyre_part, s->inquiry->model->vehicle.wheels)
                            : (double)NAN;
    return isnan(part) ? NULL : page_number(s->inquiry->page, BARONET_NUMBER, 100.0 * part, 1);
}

static const char *least_cell(const section *s, int state, int item) {
    (void)item;
    const ridemodes_answer *modes = &s->answer[state].modes;
    double least = HUGE_VAL;
    for (int k = 0; k < modes->modes; k++) {
        least = is_body(&modes->mode[k]) ? fmin(least, modes->mode[k].damping) : least;
    }
    return isinf(least) ? NULL
                        : page_number(s->inquiry->page, BARONET_NUMBER, percent_of(least), 0);
}

static const char *ratio_cell(const section *s, int state, int item) {
    (void)item;
    const flat_ride *f = &s->answer[state].flat;
    return f->given ? page_number(s->inquiry->page, BARONET_NUMBER, f->ratio, 2) : NULL;
}

static const char *roll_cell(const section *s, int state, int item) {
    const lateral_row *row = &s->answer[state].loads.row[item][LOAD_COMPARED];
    return row->given ? page_degrees(s->inquiry->page, row->roll, 2) : NULL;
}

static const char *share_cell(const section *s, int state, int item) {
    const lateral_row *row = &s->answer[state].loads.row[item][LOAD_COMPARED];
    const vehicle *v = &s->inquiry->model->vehicle;
    return row->given && v->axles > 1
               ? page_number(s->inquiry->page, BARONET_NUMBER,
                             100.0 * row->roll_share[s->answer[state].flat.front], 0)
               : NULL;
}

static const char *lift_cell(const section *s, int state, int item) {
    const lateral_answer *a = &s->answer[state].loads;
    return a->bends ? load_limit_words(s->inquiry->page, s->inquiry->model,
                                       load_first_lift(a, (lateral_air)item), false)
                    : NULL;
}

static const char *warp_cell(const section *s, int state, int item) {
    const lateral_answer *a = &s->answer[state].loads;
    return a->warps
               ? load_limit_words(s->inquiry->page, s->inquiry->model, &a->obstacle[item], true)
               : NULL;
}

/* A row is left out where no state has it. */
static void compare_row(const section *s, table *t, const char *label, const char *unit,
                        cell_of *cell, int item) {
    const states_answer *states = &s->inquiry->states;
    const char *cells[SIDE_BY_SIDE + 2] = {label, unit};
    bool any = false;
    for (int k = 0; k < states->count; k++) {
        if (states->entry[k].problem.status == BARONET_OK) {
            cells[k + 2] = cell(s, k, item);
            any = any || cells[k + 2] != NULL;
        }
    }
    if (any) {
        table_add(t, cells);
    }
}

static void compare(const section *s) {
    page *p = s->inquiry->page;
    const states_answer *states = &s->inquiry->states;
    const char *header[SIDE_BY_SIDE + 2] = {"states side by side", NULL};
    if (!side_by_side(s)) {
        return;
    }
    for (int k = 0; k < states->count; k++) {
        header[k + 2] = states->entry[k].name;
    }
    table *t = page_table(p, states->count + 2, 2, header);
    for (int i = 0; i < RIDE_ROADS; i++) {
        const comfort_answer *road = NULL;
        for (int k = 0; k < states->count && road == NULL; k++) {
            road = i < s->answer[k].roads ? &s->answer[k].comfort[i] : NULL;
        }
        if (road != NULL) {
            compare_row(s, t, page_format(p, "comfort, %s", road_words(p, &road->road)),
                        page_unit(p, BARONET_ACCELERATION), comfort_cell, i);
        }
    }
    compare_row(s, t, "travel r.m.s.", page_unit(p, BARONET_LENGTH), travel_cell, 0);
    compare_row(s, t, "tyre load r.m.s.", "%", tyre_cell, 0);
    compare_row(s, t, "least body damping", "%", least_cell, 0);
    compare_row(s, t, "frequency rear/front", NULL, ratio_cell, 0);
    compare_row(s, t, "roll at 0.3 g, at once", "deg", roll_cell, LATERAL_AT_ONCE);
    compare_row(s, t, "  evened out", "deg", roll_cell, LATERAL_EVENED);
    compare_row(s, t, "front roll share, at once", "%", share_cell, LATERAL_AT_ONCE);
    compare_row(s, t, "  evened out", "%", share_cell, LATERAL_EVENED);
    compare_row(s, t, "wheel lifts, at once", NULL, lift_cell, LATERAL_AT_ONCE);
    compare_row(s, t, "  evened out", NULL, lift_cell, LATERAL_EVENED);
    compare_row(s, t, "on obstacle, at once", NULL, warp_cell, LATERAL_AT_ONCE);
    compare_row(s, t, "  evened out", NULL, warp_cell, LATERAL_EVENED);
}

static const char *part_cell(page *p, double damping, double part) {
    return isnan(part) ? "-" : page_number(p, BARONET_NUMBER, percent_of(damping * part), 1);
}

/* Modes that swing, with their damping and what makes it; then the slow exchanges of air. */
static void mode_table(const section *s, const ridemodes_answer *modes) {
    page *p = s->inquiry->page;
    const char *const header[] = {"what swings", "no.",     page_unit(p, BARONET_FREQUENCY),
                                  "damping %",   "dampers", "air",
                                  "walls"};
    table *t = NULL;
    int number = 0;
    for (int k = 0; k < modes->modes && number < MODES_SHOWN; k++) {
        const ride_mode *mode = &modes->mode[k];
        if (mode->frequency <= 0.0) {
            continue;
        }
        const double z = mode->damping;
        const char *cells[] = {mode_words(p, s->inquiry->model, mode),
                               page_format(p, "%d", ++number),
                               page_number(p, BARONET_FREQUENCY, mode->frequency, -1),
                               page_number(p, BARONET_NUMBER, percent_of(z), 1),
                               part_cell(p, z, mode->damper),
                               part_cell(p, z, mode->flow),
                               part_cell(p, z, mode->wall)};
        t = t != NULL ? t : page_table(p, 7, 1, header);
        table_add(t, cells);
    }
    if (modes->swinging > number) {
        page_addf(p, BLOCK_NOTE, "and %d more that swing; `--as csv` has all",
                  modes->swinging - number);
    }
}

static void slow_table(const section *s, const ridemodes_answer *modes) {
    page *p = s->inquiry->page;
    const char *const header[] = {"what does not",
                                  page_format(p, "dies away in %s", page_unit(p, BARONET_TIME))};
    table *t = NULL;
    int walls = 0, shown = 0;
    bool creeps = false;
    for (int k = 0; k < modes->modes; k++) {
        const ride_mode *mode = &modes->mode[k];
        walls += mode->shape == SHAPE_WALL;
        if (mode->frequency > 0.0 || mode->shape == SHAPE_WALL || shown >= MODES_SHOWN) {
            continue;
        }
        const char *cells[] = {mode_words(p, s->inquiry->model, mode),
                               page_number(p, BARONET_TIME, -1.0 / mode->value[0], -1)};
        t = t != NULL ? t : page_table(p, 2, 1, header);
        table_add(t, cells);
        creeps = creeps || mode->shape == SHAPE_CREEP;
        shown++;
    }
    if (creeps) {
        page_add(p, BLOCK_NOTE,
                 "creep: it comes back slowly and does not swing, for its dampers resist more than "
                 "its springs push");
    }
    if (walls > 0) {
        page_addf(p, BLOCK_NOTE, "%d more are heat passing between air and walls, left out", walls);
    }
}

/* How well paths were made straight; "" where there are none. */
static const char *straight_words(page *p, const swing_account *paths) {
    return paths->condition > 0.0
               ? page_format(p,
                             ", consistent to %s (linear residual at most %s, condition about %s)",
                             page_slight(p, paths->residual), page_slight(p, paths->linear),
                             page_slight(p, paths->condition))
               : "";
}

static void mode_account(const section *s, const ridemodes_answer *modes) {
    page *p = s->inquiry->page;
    const bool doubtful = modes->residual > RESIDUAL_WORTH || modes->straight.unsettled;
    page_addf(p, doubtful ? BLOCK_CAUTION : BLOCK_NOTE,
              "all %d modes up to %s of a system of %d unknowns, paths straight for a swing of %s "
              "at %s%s; each fulfils its equation within %s",
              modes->modes, page_quantity(p, BARONET_FREQUENCY, modes->highest), modes->unknowns,
              page_quantity(p, BARONET_LENGTH, modes->amplitude),
              page_quantity(p, BARONET_FREQUENCY, modes->swing_frequency),
              straight_words(p, &modes->straight), page_slight(p, modes->residual));
    words_rounding(p, modes->straight.condition);
    if (modes->highest < RIDEMODES_HIGHEST) {
        page_add(p, BLOCK_CAUTION,
                 "the network is large: quicker modes, wheel hop among them, are not listed");
    }
}

static void flat_words(const section *s, const flat_ride *f) {
    page *p = s->inquiry->page;
    const vehicle *v = &s->inquiry->model->vehicle;
    if (!f->given) {
        return;
    }
    page_addf(p, BLOCK_PLAIN,
              "Flat ride: %s %s, %s %s, a ratio of %.2f; the front's rate over its mass is %.0f %% "
              "%s the rear's. The guideline asks for %.0f %% below.",
              v->axle[f->front].name, page_quantity(p, BARONET_FREQUENCY, f->front_frequency),
              v->axle[f->rear].name, page_quantity(p, BARONET_FREQUENCY, f->rear_frequency),
              f->ratio, 100.0 * fabs(f->softer), f->softer >= 0.0 ? "below" : "above",
              100.0 * FLAT_RIDE_SOFTER);
}

static void percent_row(page *p, table *t, const char *label, int count, const double *values) {
    const char *cells[CORNERS_SHOWN + 2] = {label, "%"};
    for (int k = 0; k < count; k++) {
        cells[k + 2] =
            isnan(values[k]) ? "-" : page_number(p, BARONET_NUMBER, 100.0 * values[k], 1);
    }
    table_add(t, cells);
}

static void corner_table(const section *s, const comfort_answer *c) {
    page *p = s->inquiry->page;
    const vehicle *v = &s->inquiry->model->vehicle;
    const int count = v->wheels < CORNERS_SHOWN ? v->wheels : CORNERS_SHOWN;
    const char *header[CORNERS_SHOWN + 2] = {
        page_format(p, "road class %s", road_words(p, &c->road)), NULL};
    for (int k = 0; k < count; k++) {
        header[k + 2] = v->corner[k].name;
    }
    table *t = page_table(p, count + 2, 2, header);
    table_values(t, "body over the wheel, weighted", BARONET_ACCELERATION, count,
                 c->corner_comfort);
    table_values(t, "suspension travel r.m.s.", BARONET_LENGTH, count, c->travel);
    percent_row(p, t, "tyre load r.m.s.", count, c->tyre_part);
}

static void road_table(const section *s, const ride_answer *a) {
    page *p = s->inquiry->page;
    const int wheels = s->inquiry->model->vehicle.wheels;
    const char *const header[] = {
        "road class", page_format(p, "weighted %s", page_unit(p, BARONET_ACCELERATION)), "plain",
        page_format(p, "travel %s", page_unit(p, BARONET_LENGTH)), "tyre load %"};
    table *t = page_table(p, 5, 1, header);
    for (int k = 0; k < a->roads; k++) {
        const comfort_answer *c = &a->comfort[k];
        const double tyre = largest(c->tyre_part, wheels);
        const char *cells[] = {road_words(p, &c->road),
                               page_number(p, BARONET_ACCELERATION, c->comfort, -1),
                               page_number(p, BARONET_ACCELERATION, c->plain, -1),
                               page_number(p, BARONET_LENGTH, largest(c->travel, wheels), -1),
                               isnan(tyre) ? "-" : page_number(p, BARONET_NUMBER, 100.0 * tyre, 1)};
        table_add(t, cells);
    }
}

static void comfort_account(const section *s, const ride_answer *a) {
    page *p = s->inquiry->page;
    swing_account all = {0};
    for (int k = 0; k < a->roads; k++) {
        swing_join(&all, &a->comfort[k].account);
    }
    page_addf(
        p, all.unsettled ? BLOCK_CAUTION : BLOCK_NOTE,
        "path resistances made consistent with what each road does in at most %d rounds, to "
        "%s of themselves; linear residual at most %s; load tables add a residual of at most %s",
        all.iterations, page_slight(p, all.residual), page_slight(p, all.linear),
        page_slight(p, a->loads.residual));
    for (int k = 0; k < a->roads; k++) {
        if (a->comfort[k].stop >= 0) {
            page_addf(p, BLOCK_CAUTION,
                      "on road class %s %s meets its stop at times (at three times the r.m.s. "
                      "travel): it is harsher than the linear answer then",
                      road_words(p, &a->comfort[k].road),
                      s->inquiry->model->vehicle.corner[a->comfort[k].stop].name);
            break;
        }
    }
    if (all.below_vacuum) {
        page_add(p, BLOCK_CAUTION,
                 "on one of these roads a pressure would at times pass below vacuum, or a spring "
                 "go slack: linear answers do not hold there");
    }
}

static void one_state(const section *s, int k) {
    page *p = s->inquiry->page;
    const states_entry *e = &s->inquiry->states.entry[k];
    const ride_answer *a = &s->answer[k];
    if (e->problem.status != BARONET_OK) {
        return;
    }
    page_set_state(p, e->name);
    page_addf(p, BLOCK_HEADING, "State %s%s (%s)", e->name, e->rest ? ", de-energised" : "",
              words_position(p, s->inquiry->model, e->open));
    if (s->status[k] != BARONET_OK) {
        page_addf(p, BLOCK_LEAD, "No answer: %s.", baronet_status_text(s->status[k]));
    }
    mode_table(s, &a->modes);
    slow_table(s, &a->modes);
    mode_account(s, &a->modes);
    flat_words(s, &a->flat);
    if (a->roads > 0) {
        corner_table(s, &a->comfort[0]);
        road_table(s, a);
        comfort_account(s, a);
    }
    load_section(p, s->inquiry->model, e->name, &a->loads);
    figure_list list = {.allocator = p->allocator};
    figures_of_ride(&list, s->inquiry->model, a);
    p->failed = p->failed || list.failed;
    page_figures(p, "ride", e->name, s->inquiry->load_case, s->inquiry->model, &list);
    figure_list_free(&list);
}

static bool undamped(const section *s) {
    for (int k = 0; k < s->inquiry->states.count; k++) {
        if (s->inquiry->states.entry[k].problem.status == BARONET_OK) {
            return s->answer[k].undamped;
        }
    }
    return false;
}

static void comfort_notes(const section *s) {
    page *p = s->inquiry->page;
    if (undamped(s)) {
        page_add(p, BLOCK_CAUTION,
                 "no corner has a `damper`: nothing ends a resonance, so no comfort is given");
        return;
    }
    page_addf(p, BLOCK_NOTE,
              "comfort: vertical r.m.s. acceleration weighted with W_k (ISO 2631-1), road by "
              "ISO 8608 (geometric mean of its class, waves of %.3g to %.3g cycles a metre), "
              "rear wheels after front ones by their distance, left and right as alike as on "
              "an isotropic surface; %s%s",
              COMFORT_LONGEST, COMFORT_SHORTEST,
              s->inquiry->model->vehicle.body.seat_given
                  ? "at the seat point"
                  : "no `seat` is given, so over the centre of gravity",
              s->assumed ? "; road class or speed is assumed (class C, 80 km/h)" : "");
    page_add(p, BLOCK_NOTE,
             "body rigid, seat and bushes left out, wheels never leave the ground: a real seat "
             "is softer, a real road has potholes");
}

static void notes(const section *s) {
    page *p = s->inquiry->page;
    const model *m = s->inquiry->model;
    page_set_state(p, NULL);
    page_add(p, BLOCK_HEADING, "Cautions and notes");
    page_add(p, BLOCK_NOTE,
             "damping is in parts of critical; its parts are shares of the energy that is lost, in "
             "dampers, by air in hoses and valves, and as heat at the walls");
    if (m->vehicle.wheels > 0) {
        comfort_notes(s);
    }
    if (m->vehicle.axles > 1) {
        page_add(p, BLOCK_NOTE,
                 "flat ride: guidance attributed to Olley, as summarised by Gillespie (1992) "
                 "chapter 5, from memory; it is for cars at speed, and no requirement");
    }
    for (int k = 0; k < s->inquiry->states.count; k++) {
        if (s->answer[k].loads.bends || s->answer[k].loads.brakes) {
            load_notes(p, &s->answer[k].loads);
            break;
        }
    }
    if (m->vehicle.wheels > 0 &&
        !(m->vehicle.body.cg_height_given && m->vehicle.body.roll_axis_given)) {
        page_add(p, BLOCK_NOTE, "cg-height and roll-axis are wanted for bends and braking");
    }
    words_cautions(p, s->inquiry->charge, &s->inquiry->states);
    words_equilibria(p, &s->inquiry->states, LEVEL_SETTLED, (balance_worst){0});
}

static baronet_status solve_all(section *s, const baronet_question *question) {
    inquiry *q = s->inquiry;
    baronet_status status = BARONET_OK;
    s->answer = ARENA_ARRAY(q->page->arena, ride_answer, q->states.count);
    s->status = ARENA_ARRAY(q->page->arena, baronet_status, q->states.count);
    if (s->answer == NULL || s->status == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (int k = 0; k < q->states.count && status != BARONET_OUT_OF_MEMORY; k++) {
        inquiry_tell(question, q->states.entry[k].name, k, q->states.count);
        if (q->states.entry[k].problem.status == BARONET_OK) {
            status = ride_solve(&s->answer[k], q->page->arena, q->states.entry[k].rates, &s->ask,
                                q->allocator);
            s->status[k] = status;
            page_set_status(q->page, status);
        }
    }
    return status == BARONET_OUT_OF_MEMORY ? status : BARONET_OK;
}

/* The class of a letter, -1 where none is given, -2 for what is none. */
static int class_of(const char *letter) {
    if (letter == NULL) {
        return -1;
    }
    const int class_index = letter[0] - 'A';
    return letter[0] != '\0' && letter[1] == '\0' && class_index >= 0 &&
                   class_index < COMFORT_CLASSES
               ? class_index
               : -2;
}

baronet_status baronet_ride(const baronet_netlist *netlist, const baronet_question *question,
                            baronet_answer **answer, const char **what) {
    inquiry q;
    const char *unwanted = NULL;
    what = what != NULL ? what : &unwanted;
    baronet_status status = inquiry_open(&q, netlist, question, STATES_NAMED, INQUIRY_FELT, what);
    page_set_study(q.page, "ride");
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    const int class_index = class_of(question->road_class);
    if (class_index < -1) {
        *what = "--road-class: A to H";
        return inquiry_close(&q, BARONET_BAD_USAGE, answer);
    }
    section s = {.inquiry = &q, .ask = {.parts = RIDE_ALL, .amplitude = q.amplitude}};
    s.ask.frequency = question->swing_frequency > 0.0 ? question->swing_frequency : 1.0;
    s.ask.road = ride_road(q.model, class_index, question->speed, &s.assumed);
    inquiry_title(&q);
    status = solve_all(&s, question);
    if (status == BARONET_OK) {
        for (int k = 0; k < q.states.count; k++) {
            lead_state(&s, k);
        }
        lead_balance(&s);
        compare(&s);
        for (int k = 0; k < q.states.count; k++) {
            one_state(&s, k);
        }
        notes(&s);
    }
    return inquiry_close(&q, status, answer);
}
