/* The page of `times`: whether each path is in play, when each motion has softened, what a
   cross-link does within a bend. */
#include <math.h>
#include <string.h>

#include "output/inquiry.h"
#include "output/words.h"
#include "studies/times.h"

/* Rows shown; CSV has all. */
enum { PATHS_SHOWN = 40, CONSTANTS_SHOWN = 10, NAMES_SHOWN = 6 };
/* Quicker constants are of hoses and blocks, and nobody feels them. */
#define CONSTANT_SHORTEST 1e-3 /* s */
/* How much of its softening a path must have at ride frequency to be in play, or partly. Common
   practice, no source. */
#define IN_PLAY 0.8
#define PARTLY  0.2
/* Residuals of constants are told down to this: what is less is rounding, and differs from one
   processor to another where constants are far apart. */
#define CONSTANT_NOISE 1e-8
/* Heat that makes less than this part of a softening is not worth a word. */
#define HEAT_WORTH 0.02

/* A state and what it has to say. */
typedef struct section {
    inquiry *inquiry;
    const states_entry *entry;
    const rates_answer *rates;
    const times_answer *times;
} section;

static const char *motion_name(page *p, const model *m, int item) {
    text_buffer name = {.allocator = p->allocator};
    const figure f = {.kind = SUBJECT_MOTION, .item = item};
    figure_subject_text(m, &f, &name);
    return page_keep(p, &name);
}

/* A moment that was chosen and not found: 0.5 s, not 0.500 s. */
static const char *moment(page *p, double time) {
    text_buffer words = {.allocator = p->allocator};
    text_buffer_number(&words, time, 3);
    text_buffer_add(&words, " s");
    return page_keep(p, &words);
}

static const char *percent(page *p, double part) {
    return isnan(part) ? "-"
                       : page_format(p, "%s %%", page_number(p, BARONET_NUMBER, 100.0 * part, 0));
}

/* Part of a softening that air brings by flowing, the rest being heat. */
static double by_flow(const relaxation_answer *a) {
    return a->settles ? (a->instant - a->dry_end) / (a->instant - a->end) : (double)NAN;
}

/* One motion's answer in a sentence. */
static void lead_motion(const section *s, int item) {
    page *p = s->inquiry->page;
    for (int k = 0; k < s->times->motions; k++) {
        const times_motion *one = &s->times->motion[k];
        if (one->item != item) {
            continue;
        }
        const char *name = motion_name(p, s->inquiry->model, item);
        if (!one->settled.settles) {
            page_addf(p, BLOCK_LEAD, "Softening of %s: none; no open path leads its air anywhere.",
                      name);
            return;
        }
        const double heat = 1.0 - by_flow(&one->settled);
        page_addf(p, BLOCK_LEAD, "Softening of %s: 63 %% is there after %s, 95 %% after %s%s.",
                  name, page_quantity(p, BARONET_TIME, one->settled.time_63),
                  page_quantity(p, BARONET_TIME, one->settled.time_95),
                  heat < HEAT_WORTH
                      ? ""
                      : page_format(p, " (%s of it is heat from the walls)", percent(p, heat)));
    }
}

static void lead_motions(const section *s) {
    const model *m = s->inquiry->model;
    lead_motion(s, SCRIPT_HEAVE);
    lead_motion(s, SCRIPT_ROLL);
    for (int c = m->vehicle.wheels; c < m->vehicle.corners; c++) {
        lead_motion(s, FIGURE_ONE_WHEEL - c);
    }
}

/* How far a path takes part at ride frequency; none where nothing at its ends has one. */
typedef enum part {
    PART_IN_PLAY,
    PART_PARTLY,
    PART_NOT,
    PART_NO_RIDE,
    PART_LOOP,
    PART_STUB,
    PARTS
} part;

static part part_of(const path_answer *p) {
    if (p->loop) {
        return PART_LOOP;
    }
    if (p->stub) {
        return PART_STUB;
    }
    if (isnan(p->present)) {
        return PART_NO_RIDE;
    }
    return p->present >= IN_PLAY ? PART_IN_PLAY : (p->present >= PARTLY ? PART_PARTLY : PART_NOT);
}

/* The path that makes a cross-link slow is said to be that: it may be meant to be. */
static const char *path_name(const section *s, const path_answer *one) {
    const char *name = s->inquiry->model->network.edge[one->edge].name;
    for (int k = 0; k < s->times->links.count; k++) {
        if (s->times->links.link[k].edge[0] == one->edge) {
            return page_format(s->inquiry->page, "%s (cross-link)", name);
        }
    }
    return name;
}

/* Names of the open paths of one part, as a list; NULL where there are none. */
static const char *paths_of(const section *s, part wanted, int *count) {
    page *p = s->inquiry->page;
    const times_answer *t = s->times;
    *count = 0;
    for (int k = 0; k < t->paths.count; k++) {
        *count += part_of(&t->paths.path[k]) == wanted && !t->swing[t->paths.path[k].edge].shut;
    }
    const char *list = "";
    int shown = 0;
    for (int k = 0; k < t->paths.count && shown < NAMES_SHOWN; k++) {
        const path_answer *one = &t->paths.path[k];
        if (part_of(one) == wanted && !t->swing[one->edge].shut) {
            shown++;
            list = words_join(p, list, path_name(s, one), shown == *count);
        }
    }
    return *count > shown ? page_format(p, "%s and %d more", list, *count - shown) : list;
}

static void lead_paths(const section *s) {
    page *p = s->inquiry->page;
    int in_play, partly, not_in_play;
    const char *good = paths_of(s, PART_IN_PLAY, &in_play);
    const char *half = paths_of(s, PART_PARTLY, &partly);
    const char *bad = paths_of(s, PART_NOT, &not_in_play);
    if (in_play + partly + not_in_play == 0) {
        return;
    }
    if (partly + not_in_play == 0) {
        page_addf(p, BLOCK_LEAD, "In play at ride frequency: every open path (%s).", good);
        return;
    }
    if (not_in_play > 0) {
        page_addf(p, BLOCK_LEAD, "Not in play at ride frequency: %s.", bad);
    }
    if (partly > 0) {
        page_addf(p, BLOCK_LEAD, "Partly in play: %s.", half);
    }
    if (in_play > 0) {
        page_addf(p, BLOCK_LEAD, "In play: %s.", good);
    }
}

static const char *link_name(page *p, const model *m, const link_answer *l) {
    const char *name = m->network.edge[l->edge[0]].name;
    return l->shut ? page_format(p, "%s, shut, through its bypass", name) : name;
}

/* What a link does, in a sentence for its verdict. */
static const char *verdict_words(const section *s, const link_answer *l) {
    page *p = s->inquiry->page;
    const char *bend = moment(p, s->times->bend);
    const char *what = s->times->courses.course[l->course].name;
    const double onset = fmin(s->times->bend, LINK_ONSET);
    const char *early = NULL, *late = NULL;
    for (int k = 0; k < LINKS_MOMENTS; k++) {
        early = l->moment[k] == onset ? percent(p, l->there[k]) : early;
        late = l->moment[k] == s->times->bend ? percent(p, l->there[k]) : late;
    }
    switch (l->verdict) {
    case LINK_TOO_SLOW:
        return page_format(p, "too slow for %s of %s: %s of what it takes from %s is there then",
                           l->is_roll ? "a bend" : "a move", bend, late, what);
    case LINK_PART_WAY:
        return page_format(p, "part of the way in %s of %s: %s of what it takes from %s",
                           l->is_roll ? "a bend" : "a move", bend, late, what);
    case LINK_EVENS_OUT:
        return page_format(
            p, "evens out in %s of %s: %s of what it takes from %s after %s, %s then",
            l->is_roll ? "a bend" : "a move", bend, early, what, moment(p, onset), late);
    case LINK_GONE:
        return page_format(p,
                           "quick: what it takes from %s is already gone when %s begins (%s after "
                           "%s)",
                           what, l->is_roll ? "a bend" : "a move", early, moment(p, onset));
    case LINK_NOTHING:
        break;
    }
    return "does nothing that can be felt in roll or in what it carries most";
}

static void lead_links(const section *s) {
    page *p = s->inquiry->page;
    const model *m = s->inquiry->model;
    for (int k = 0; k < s->times->links.count; k++) {
        const link_answer *l = &s->times->links.link[k];
        if (l->problem.status != BARONET_OK) {
            page_addf(p, BLOCK_CAUTION, "cross-link %s has no answer: %s", link_name(p, m, l),
                      words_problem(p, m, &l->problem));
        } else {
            page_addf(p, BLOCK_LEAD, "Cross-link %s: %s.", link_name(p, m, l), verdict_words(s, l));
        }
    }
}

static void step_rows(const section *s, bool parked) {
    page *p = s->inquiry->page;
    const model *m = s->inquiry->model;
    const bool thermal = m->gas.kind == GAS_THERMAL;
    const char *const header[] = {page_format(p, "%s, %s", parked ? "parked" : "bypasses tight",
                                              page_unit(p, BARONET_STIFFNESS)),
                                  "instant",
                                  parked ? "parked" : "settled",
                                  page_format(p, "63 %% %s", page_unit(p, BARONET_TIME)),
                                  page_format(p, "95 %% %s", page_unit(p, BARONET_TIME)),
                                  thermal ? "by flow" : NULL};
    table *t = page_table(p, thermal ? 6 : 5, 1, header);
    for (int k = 0; k < s->times->motions; k++) {
        const times_motion *one = &s->times->motion[k];
        const relaxation_answer *a = parked ? &one->parked : &one->settled;
        const double end = parked ? one->parked_rate : one->settled_rate;
        const char *cells[] = {
            motion_name(p, m, one->item),
            page_number(p, BARONET_STIFFNESS, one->instant_rate, -1),
            page_number(p, BARONET_STIFFNESS, end, -1),
            page_number(p, BARONET_TIME, a->time_63, -1),
            page_number(p, BARONET_TIME, a->time_95, -1),
            percent(p, by_flow(a)),
        };
        table_add(t, cells);
    }
}

static void step_problems(const section *s) {
    page *p = s->inquiry->page;
    const model *m = s->inquiry->model;
    for (int k = 0; k < s->times->motions; k++) {
        const times_motion *one = &s->times->motion[k];
        if (one->settled.problem.status != BARONET_OK) {
            page_addf(p, BLOCK_CAUTION, "%s has no settling time: %s", motion_name(p, m, one->item),
                      words_problem(p, m, &one->settled.problem));
        }
    }
    if (s->rates->parked_problem.status != BARONET_OK) {
        page_addf(p, BLOCK_CAUTION, "parked it has no answer: %s",
                  words_problem(p, m, &s->rates->parked_problem));
    }
}

static void steps(const section *s) {
    page *p = s->inquiry->page;
    const times_answer *t = s->times;
    page_addf(p, BLOCK_HEADING, "%s: after a held bump of %s, rates a wheel", s->entry->name,
              page_quantity(p, BARONET_LENGTH, t->amplitude));
    step_rows(s, false);
    if (t->motion[0].parked_differs) {
        step_rows(s, true);
    }
    step_problems(s);
    if (t->left_out > 0) {
        page_addf(p, BLOCK_NOTE, "%d more motions were not looked at", t->left_out);
    }
}

static void sweep(const section *s) {
    page *p = s->inquiry->page;
    const times_answer *t = s->times;
    if (t->sweeps == 0) {
        page_add(p, BLOCK_NOTE, "no table of swings for a network of so many volumes");
        return;
    }
    const char *header[2 + TIMES_SWEEP] = {"63 % after a bump of", NULL};
    double heave[TIMES_SWEEP], roll[TIMES_SWEEP];
    bool any_heave = false, any_roll = false;
    for (int k = 0; k < t->sweeps; k++) {
        header[2 + k] = page_quantity(p, BARONET_LENGTH, t->sweep[k].amplitude);
        heave[k] = t->sweep[k].heave_63;
        roll[k] = t->sweep[k].roll_63;
        any_heave = any_heave || !isnan(heave[k]);
        any_roll = any_roll || !isnan(roll[k]);
    }
    if (!any_heave && !any_roll) {
        return;
    }
    table *out = page_table(p, 2 + t->sweeps, 2, header);
    if (any_heave) {
        table_values(out, "heave", BARONET_TIME, t->sweeps, heave);
    }
    if (any_roll) {
        table_values(out, "roll", BARONET_TIME, t->sweeps, roll);
    }
}

static const char *const part_words[PARTS] = {
    [PART_IN_PLAY] = "in play", [PART_PARTLY] = "partly in play", [PART_NOT] = "not in play",
    [PART_NO_RIDE] = "no ride", [PART_LOOP] = "part of a loop",   [PART_STUB] = "a dead end",
};

static bool is_assumed(const edge *e, bool shut) {
    return shut ? e->bypass.assumed : e->path.assumed;
}

static void path_row(const section *s, table *t, const path_answer *one) {
    page *p = s->inquiry->page;
    const model *m = s->inquiry->model;
    const path_swing *swing = &s->times->swing[one->edge];
    const edge *e = &m->network.edge[one->edge];
    const bool frequency = part_of(one) < PART_LOOP;
    const char *cells[] = {
        page_format(p, "%s%s%s", e->name, swing->shut ? " (shut)" : "",
                    is_assumed(e, swing->shut) ? " *" : ""),
        swing->course >= 0 ? s->times->courses.course[swing->course].name : "-",
        frequency ? page_number(p, BARONET_FREQUENCY, one->frequency, -1) : "-",
        frequency ? page_number(p, BARONET_FREQUENCY, one->ride, -1) : "-",
        frequency ? percent(p, one->present) : "-",
        part_words[part_of(one)],
    };
    table_add(t, cells);
}

static void path_table(const section *s) {
    page *p = s->inquiry->page;
    const model *m = s->inquiry->model;
    const times_answer *t = s->times;
    if (t->paths.count == 0) {
        return;
    }
    page_addf(p, BLOCK_HEADING, "%s: paths, for swings of %s at %s", s->entry->name,
              page_quantity(p, BARONET_LENGTH, t->amplitude),
              page_quantity(p, BARONET_FREQUENCY, t->frequency));
    const char *const header[] = {"path",
                                  "most in",
                                  page_format(p, "path %s", page_unit(p, BARONET_FREQUENCY)),
                                  page_format(p, "ride %s", page_unit(p, BARONET_FREQUENCY)),
                                  "there",
                                  "verdict"};
    table *out = page_table(p, 6, 2, header);
    table_set_prose(out);
    bool assumed = false;
    for (int k = 0; k < t->paths.count && k < PATHS_SHOWN; k++) {
        const path_answer *one = &t->paths.path[k];
        path_row(s, out, one);
        assumed = assumed || is_assumed(&m->network.edge[one->edge], t->swing[one->edge].shut);
    }
    if (t->paths.count > PATHS_SHOWN) {
        page_addf(p, BLOCK_NOTE, "and %d more of the paths; `--as csv` has all",
                  t->paths.count - PATHS_SHOWN);
    }
    if (assumed) {
        page_add(p, BLOCK_NOTE,
                 "* rests on an assumed cd, xt or roughness, and so do the times through it");
    }
}

static void link_table(const section *s) {
    page *p = s->inquiry->page;
    const times_answer *t = s->times;
    const char *header[2 + LINKS_MOMENTS] = {"cross-link: there after", "in"};
    table *out = NULL;
    for (int k = 0; k < t->links.count; k++) {
        const link_answer *l = &t->links.link[k];
        if (l->verdict == LINK_NOTHING) {
            continue;
        }
        const char *cells[2 + LINKS_MOMENTS] = {
            page_format(p, "%s%s", s->inquiry->model->network.edge[l->edge[0]].name,
                        l->shut ? " (shut)" : ""),
            t->courses.course[l->course].name};
        for (int i = 0; i < LINKS_MOMENTS; i++) {
            header[2 + i] = moment(p, l->moment[i]);
            cells[2 + i] = percent(p, l->there[i]);
        }
        out = out != NULL ? out : page_table(p, 2 + LINKS_MOMENTS, 2, header);
        table_add(out, cells);
    }
    for (int k = 0; k < t->links.count; k++) {
        const link_answer *l = &t->links.link[k];
        if (l->verdict != LINK_NOTHING) {
            page_addf(p, BLOCK_PLAIN, "%s in the end takes %s a wheel from %s.",
                      link_name(p, s->inquiry->model, l),
                      page_quantity(p, BARONET_STIFFNESS, l->taken),
                      t->courses.course[l->course].name);
        }
    }
}

static const char *side_words(const section *s, const constant_side *side) {
    page *p = s->inquiry->page;
    const network *net = &s->inquiry->model->network;
    const char *list = "";
    for (int k = 0; k < side->count; k++) {
        list = words_join(p, list, net->node[side->node[k]].name,
                          k + 1 == side->count && !side->others);
    }
    return side->others ? page_format(p, "%s and others", list) : list;
}

/* "rear-left-tank into rear-left-air". */
static const char *shape_words(const section *s, const constant *c) {
    page *p = s->inquiry->page;
    const char *from = side_words(s, &c->giver), *to = side_words(s, &c->taker);
    if (c->held >= 0 && (from[0] == '\0' || to[0] == '\0')) {
        to = s->inquiry->model->network.node[c->held].name;
        from = from[0] == '\0' ? side_words(s, &c->taker) : from;
    }
    return page_format(p, "%s into %s", from, to);
}

static void constant_table(const section *s) {
    page *p = s->inquiry->page;
    const times_answer *t = s->times;
    const constants_answer *c = &t->constants;
    if (c->all == 0) {
        return;
    }
    page_addf(p, BLOCK_HEADING, "%s: time constants, for swings of %s at %s", s->entry->name,
              page_quantity(p, BARONET_LENGTH, t->amplitude),
              page_quantity(p, BARONET_FREQUENCY, t->frequency));
    const char *const header[] = {"number", page_unit(p, BARONET_TIME), "what breathes into what"};
    table *out = page_table(p, 3, 1, header);
    table_set_prose(out);
    int shown = 0;
    while (shown < c->count && shown < CONSTANTS_SHOWN &&
           (c->constant[shown].time >= CONSTANT_SHORTEST || shown == 0)) {
        const constant *one = &c->constant[shown++];
        const char *cells[] = {page_format(p, "%d", shown),
                               page_number(p, BARONET_TIME, one->time, -1), shape_words(s, one)};
        table_add(out, cells);
    }
    if (shown < c->all) {
        page_addf(p, BLOCK_NOTE, "%d quicker, of hoses and blocks mostly; `--as csv` has %s",
                  c->all - shown, c->count < c->all ? "the slowest" : "all");
    }
    page_addf(p, BLOCK_NOTE,
              "left out: %d constant%s without end, one for each group of volumes that keeps "
              "its air%s",
              c->sealed, c->sealed == 1 ? "" : "s",
              c->idle > 0 ? ", and groups that no wheel moves" : "");
}

static void account(const section *s) {
    page *p = s->inquiry->page;
    const times_answer *t = s->times;
    double heat = 0.0;
    for (int k = 0; k < t->motions; k++) {
        heat =
            t->motion[k].settled.settles ? fmax(heat, 1.0 - by_flow(&t->motion[k].settled)) : heat;
    }
    if (heat > HEAT_WORTH) {
        page_addf(p, BLOCK_NOTE,
                  "`by flow` is the part of the softening that moving air brings; the rest waits "
                  "for heat from the walls (%s), and 95 %% often lies in it",
                  page_quantity(p, BARONET_TIME, s->inquiry->model->gas.tau));
    }
    double residual = CONSTANT_NOISE;
    for (int k = 0; k < t->constants.count; k++) {
        residual = fmax(residual, t->constants.constant[k].residual);
    }
    page_addf(p, BLOCK_NOTE,
              "air kept to %s of itself in %ld steps; conductances consistent to %s; linear "
              "condition about %s%s%s",
              page_slight(p, t->mass_error), t->steps, page_slight(p, t->account.residual),
              page_slight(p, t->account.condition),
              t->constants.count > 0 ? "; each constant fulfils its equation within " : "",
              t->constants.count > 0 ? page_slight(p, residual) : "");
    words_rounding(p, t->account.condition);
    if (t->unfinished > 0 || t->account.unsettled) {
        page_addf(p, BLOCK_CAUTION, "%d runs did not come to their end%s", t->unfinished,
                  t->account.unsettled ? "; some swing is not consistent" : "");
    }
    if (t->account.below_vacuum) {
        page_add(p, BLOCK_CAUTION,
                 "in some swing a pressure would pass below vacuum: ask for a smaller --swing");
    }
}

static void write_answer(inquiry *q, const states_entry *e, const times_answer *answer) {
    const section s = {q, e, rates_result(e->rates), answer};
    if (answer->motions == 0) {
        page_add(q->page, BLOCK_LEAD,
                 "Nothing settles here: there is no spring that could breathe.");
        return;
    }
    lead_motions(&s);
    lead_paths(&s);
    lead_links(&s);
    steps(&s);
    sweep(&s);
    link_table(&s);
    path_table(&s);
    constant_table(&s);
    account(&s);
    figure_list list = {.allocator = q->allocator};
    figures_of_times(&list, answer);
    page_figures(q->page, "times", e->name, q->load_case, q->model, &list);
    figure_list_free(&list);
}

static baronet_status one_state(inquiry *q, const baronet_question *question,
                                const states_entry *e) {
    page *p = q->page;
    page_set_state(p, e->name);
    page_addf(p, BLOCK_HEADING, "State %s%s (%s)", e->name, e->rest ? ", de-energised" : "",
              words_position(p, q->model, e->open));
    if (e->problem.status != BARONET_OK) {
        page_addf(p, BLOCK_LEAD, "No answer: %s.", words_problem(p, q->model, &e->problem));
        return BARONET_OK;
    }
    const times_question ask = {.parts = TIMES_ALL,
                                .amplitude = question->swing_amplitude,
                                .frequency = question->swing_frequency,
                                .bend = question->bend};
    times_answer answer;
    const baronet_status status = times_solve(&answer, p->arena, e->rates, &ask, q->allocator);
    if (status != BARONET_OK) {
        page_addf(p, BLOCK_LEAD, "No answer: %s.", baronet_status_text(status));
        page_set_status(p, status);
        return status == BARONET_OUT_OF_MEMORY ? status : BARONET_OK;
    }
    write_answer(q, e, &answer);
    return BARONET_OK;
}

static void meanings(inquiry *q) {
    page *p = q->page;
    page_set_state(p, NULL);
    page_add(p, BLOCK_HEADING, "Cautions and notes");
    page_add(p, BLOCK_NOTE,
             "after a held bump the wheels stay where they are put; the times are by the full flow "
             "laws, until the motion's force has come so far from instant to its end");
    page_add(p, BLOCK_NOTE,
             "a path is in play at ride frequency if 80 % or more of its softening is there, "
             "partly from 20 % on; its frequency and the time constants are of the stated swing. A "
             "held bump of that size drives more air at once, which paths resist the more, so it "
             "takes longer than the constants");
    for (int i = 0; i < q->model->network.edges; i++) {
        if (q->model->network.edge[i].kind > EDGE_SOLENOID) {
            page_add(p, BLOCK_NOTE,
                     "check valves, regulators, reliefs and compressors are held shut in all of "
                     "this page");
            break;
        }
    }
    words_cautions(p, q->charge, &q->states);
}

baronet_status baronet_times(const baronet_netlist *netlist, const baronet_question *question,
                             baronet_answer **answer, const char **what) {
    inquiry q;
    baronet_status status = inquiry_open(&q, netlist, question, STATES_NAMED, INQUIRY_FELT, what);
    page_set_study(q.page, "times");
    if (status != BARONET_OK || q.problem.status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    inquiry_title(&q);
    for (int k = 0; k < q.states.count && status == BARONET_OK; k++) {
        inquiry_tell(question, q.states.entry[k].name, k, q.states.count);
        status = one_state(&q, question, &q.states.entry[k]);
    }
    if (status == BARONET_OK) {
        meanings(&q);
    }
    return inquiry_close(&q, status, answer);
}
