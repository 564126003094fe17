#include "output/load_section.h"

#include <math.h>

#include "output/words.h"

/* Points of a hundred by which a share has to differ before words speak of it. */
#define WORTH_SAYING 1.0
/* Wheels shown in a table of loads. */
enum { WHEELS_SHOWN = 8 };

static const char *const air_words[LATERAL_AIRS] = {
    [LATERAL_AT_ONCE] = "at once", [LATERAL_EVENED] = "evened out"};

/* What a scale would show, in kg or lb; N in SI. */
static const char *weight(page *p, double newtons) {
    return p->units == BARONET_SI ? page_number(p, BARONET_FORCE, newtons, 0)
                                  : page_number(p, BARONET_MASS, newtons / STANDARD_GRAVITY, 0);
}

static const char *weight_unit(const page *p) {
    return page_unit(p, p->units == BARONET_SI ? BARONET_FORCE : BARONET_MASS);
}

static int foremost(const vehicle *v) {
    int front = 0;
    for (int k = 1; k < v->axles; k++) {
        front = v->axle[k].x > v->axle[front].x ? k : front;
    }
    return front;
}

static bool compared(const lateral_answer *a) {
    return a->bends && a->row[LATERAL_AT_ONCE][LOAD_COMPARED].given &&
           a->row[LATERAL_EVENED][LOAD_COMPARED].given;
}

static double share(const model *m, const lateral_answer *a, lateral_air air) {
    return 100.0 * a->row[air][LOAD_COMPARED].roll_share[foremost(&m->vehicle)];
}

/* What a change of the front's share by so many points usually does. */
static const char *tendency(double points) {
    return points > 0.0 ? "more" : "less";
}

static const char *change_words(page *p, const char *base_name, double at_once, double later) {
    const bool first = fabs(at_once) >= WORTH_SAYING, then = fabs(later) >= WORTH_SAYING;
    if (!first && !then) {
        return page_format(p, "as in %s to a point", base_name);
    }
    if (first && then) {
        const char *turn = at_once * later > 0.0
                               ? ""
                               : page_format(p, " at once and %s in a long bend", tendency(later));
        return page_format(p, "%+.0f and %+.0f points from %s, which tends to %s understeer%s",
                           at_once, later, base_name, tendency(at_once), turn);
    }
    const double points = first ? at_once : later;
    return page_format(p, "%+.0f points from %s %s, which tends to %s understeer there", points,
                       base_name, first ? "at once" : "in a long bend", tendency(points));
}

const char *load_balance_words(page *p, const model *m, const char *state,
                               const lateral_answer *own, const char *base_name,
                               const lateral_answer *base) {
    if (m->vehicle.axles < 2 || !compared(own)) {
        return NULL;
    }
    const double now = share(m, own, LATERAL_AT_ONCE), later = share(m, own, LATERAL_EVENED);
    const char *how = page_format(p,
                                  "%s: axle %s holds %s %% of the roll couple at once and %s %% "
                                  "in a long bend",
                                  state, m->vehicle.axle[foremost(&m->vehicle)].name,
                                  page_number(p, BARONET_NUMBER, now, 0),
                                  page_number(p, BARONET_NUMBER, later, 0));
    if (base == NULL || !compared(base)) {
        return page_format(p, "%s.", how);
    }
    return page_format(p, "%s; %s.", how,
                       change_words(p, base_name, now - share(m, base, LATERAL_AT_ONCE),
                                    later - share(m, base, LATERAL_EVENED)));
}

static const char *reach_words(page *p, double at, bool height) {
    return height ? page_quantity(p, BARONET_LENGTH, at)
                  : page_format(p, "%.2f g", at / STANDARD_GRAVITY);
}

const char *load_limit_words(page *p, const model *m, const lateral_limit *limit, bool height) {
    const char *at = reach_words(p, limit->at, height);
    return limit->lifts ? page_format(p, "%s %s", m->vehicle.corner[limit->wheel].name, at)
                        : page_format(p, "> %s", at);
}

const lateral_limit *load_first_lift(const lateral_answer *answer, lateral_air air) {
    const lateral_limit *left = &answer->bend[air][0], *right = &answer->bend[air][1];
    if (left->lifts != right->lifts) {
        return left->lifts ? left : right;
    }
    return right->at < left->at ? right : left;
}

/* Where a table or a search had to stop before anything lifted. */
static void say_stopped(page *p, const model *m, const char *where, const problem *why) {
    if (why->status == BARONET_OFF_PROFILE) {
        page_addf(p, BLOCK_NOTE, "%s: no further, for there `%s` is off its profile", where,
                  m->vehicle.spring[why->item].name);
    } else if (why->status != BARONET_OK) {
        page_addf(p, BLOCK_CAUTION, "%s: no further, for there %s", where,
                  words_problem(p, m, why));
    }
}

/* Cells of one row: each quantity at once, then evened out. */
enum { BEND_COLUMNS = 9 };

static void bend_cells(page *p, const model *m, const lateral_answer *a, int row_index, int air,
                       const char **cells) {
    const lateral_row *row = &a->row[air][row_index];
    const int front = foremost(&m->vehicle);
    if (!row->given) {
        cells[1 + air] = cells[3 + air] = cells[5 + air] = cells[7 + air] = "-";
        return;
    }
    const char *name = m->vehicle.corner[row->lightest].name;
    cells[1 + air] = page_degrees(p, row->roll, 2);
    const bool axles = m->vehicle.axles > 1; /* one axle takes it all */
    cells[3 + air] =
        axles ? page_number(p, BARONET_NUMBER, 100.0 * row->roll_share[front], 0) : "-";
    cells[5 + air] =
        axles ? page_number(p, BARONET_NUMBER, 100.0 * row->load_share[front], 0) : "-";
    cells[7 + air] = row->lifted > 0
                         ? page_format(p, "%s LIFTS", name)
                         : page_format(p, "%s %s", name, weight(p, row->load[row->lightest]));
}

/* What stands for both airs when a limit is told: once where they are the same. */
static void say_lifts(page *p, const model *m, const lateral_answer *a) {
    page_addf(p, BLOCK_PLAIN,
              "First wheel to lift: to the left %s at once and %s evened out, to the right %s and "
              "%s.",
              load_limit_words(p, m, &a->bend[LATERAL_AT_ONCE][0], false),
              load_limit_words(p, m, &a->bend[LATERAL_EVENED][0], false),
              load_limit_words(p, m, &a->bend[LATERAL_AT_ONCE][1], false),
              load_limit_words(p, m, &a->bend[LATERAL_EVENED][1], false));
}

static void bends(page *p, const model *m, const char *state, const lateral_answer *a) {
    if (!a->bends) {
        return;
    }
    const char *const header[BEND_COLUMNS] = {
        "left bend", "deg", "later", "springs %", "later", "tyres %", "later", "lightest", "later"};
    table *t = page_table(p, BEND_COLUMNS, 1, header);
    for (int k = 0; k < LATERAL_ROWS; k++) {
        const char *cells[BEND_COLUMNS] = {page_format(p, "%.1f g", LATERAL_STEP * (k + 1))};
        for (int air = 0; air < LATERAL_AIRS; air++) {
            bend_cells(p, m, a, k, air, cells);
        }
        table_add(t, cells);
    }
    for (int air = 0; air < LATERAL_AIRS; air++) {
        say_stopped(p, m, page_format(p, "%s, left bend, %s", state, air_words[air]),
                    &a->row_problem[air]);
    }
    say_lifts(p, m, a);
}

enum { BRAKING_COLUMNS = 7 };

static void braking(page *p, const lateral_answer *a) {
    if (!a->brakes) {
        return;
    }
    const char *const header[BRAKING_COLUMNS] = {
        "braking", "pitch deg",
        "later",   page_format(p, "front down %s", page_unit(p, BARONET_LENGTH)),
        "later",   page_format(p, "rear up %s", page_unit(p, BARONET_LENGTH)),
        "later"};
    table *t = page_table(p, BRAKING_COLUMNS, 1, header);
    for (int k = 0; k < LATERAL_BRAKINGS; k++) {
        const char *cells[BRAKING_COLUMNS] = {
            page_format(p, "%.1f g", lateral_braking(k) / STANDARD_GRAVITY)};
        for (int air = 0; air < LATERAL_AIRS; air++) {
            const braking_row *row = &a->braking[air][k];
            cells[1 + air] = row->given ? page_degrees(p, row->pitch, 2) : "-";
            cells[3 + air] = row->given ? page_number(p, BARONET_LENGTH, row->dip, -1) : "-";
            cells[5 + air] = row->given ? page_number(p, BARONET_LENGTH, row->rise, -1) : "-";
        }
        table_add(t, cells);
    }
}

static const char *raised_names(page *p, const model *m, const lateral_answer *a) {
    const char *list = "";
    int left = 0;
    for (int c = 0; c < m->vehicle.wheels; c++) {
        left += a->raised[c];
    }
    for (int c = 0; c < m->vehicle.wheels; c++) {
        if (a->raised[c]) {
            list = words_join(p, list, m->vehicle.corner[c].name, --left == 0);
        }
    }
    return list;
}

static void warps(page *p, const model *m, const lateral_answer *a, const char *state) {
    const int wheels = m->vehicle.wheels < WHEELS_SHOWN ? m->vehicle.wheels : WHEELS_SHOWN;
    const char *header[WHEELS_SHOWN + 1];
    if (!a->warps) {
        return;
    }
    header[0] = page_format(p, "%s raised, load %s", raised_names(p, m, a), weight_unit(p));
    for (int c = 0; c < wheels; c++) {
        header[c + 1] = m->vehicle.corner[c].name;
    }
    table *t = page_table(p, wheels + 1, 1, header);
    for (int k = 0; k < LATERAL_HEIGHTS; k++) {
        for (int air = 0; air < LATERAL_AIRS; air++) {
            const warp_row *row = &a->warp[air][k];
            const char *cells[WHEELS_SHOWN + 1] = {
                page_format(p, "by %s, %s", page_quantity(p, BARONET_LENGTH, lateral_height(k)),
                            air_words[air])};
            for (int c = 0; c < wheels && row->given; c++) {
                cells[c + 1] = weight(p, row->load[c]);
            }
            if (row->given) {
                table_add(t, cells);
            }
        }
    }
    page_addf(p, BLOCK_PLAIN, "Over a diagonal obstacle a wheel lifts: %s at once, %s evened out.",
              load_limit_words(p, m, &a->obstacle[LATERAL_AT_ONCE], true),
              load_limit_words(p, m, &a->obstacle[LATERAL_EVENED], true));
    for (int air = 0; air < LATERAL_AIRS; air++) {
        say_stopped(p, m, page_format(p, "%s, obstacle, %s", state, air_words[air]),
                    &a->obstacle[air].problem);
    }
}

void load_section(page *p, const model *m, const char *state, const lateral_answer *answer) {
    bends(p, m, state, answer);
    braking(p, answer);
    warps(p, m, answer, state);
}

void load_notes(page *p, const lateral_answer *answer) {
    if (answer->bends) {
        page_addf(
            p, BLOCK_NOTE,
            "bends: full curves of springs and stops, tyres that only push, the state's air "
            "kept; roll is the body's against the road. The couple of the roll axis and of "
            "the wheels' own masses (taken to act at %s, assumed) goes to the tyres "
            "directly, so roll is a little more than the gradient of `rates`. `springs` is the "
            "foremost axle's part of what springs and bars hold, `tyres` its part of all "
            "load that moves across; `later` is once open paths have evened out, `>` how far it "
            "was "
            "looked for; loads are in %s",
            page_quantity(p, BARONET_LENGTH, VEHICLE_WHEEL_CENTRE), weight_unit(p));
        page_add(p, BLOCK_NOTE,
                 "that more front roll share tends to more understeer is common practice, no "
                 "source; tyres, geometry and driver decide as well");
    }
    if (answer->brakes) {
        page_add(p, BLOCK_NOTE,
                 "braking acts at cg-height, without anti-dive of the links: with it the body "
                 "pitches less");
    }
}
