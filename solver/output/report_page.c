/* The page of `report`: all studies asked one after another, the answer first. Each study's own
   page becomes a chapter, without what all of them say alike. */
#include <math.h>
#include <string.h>
#include <time.h>

#include "base/digest.h"
#include "output/inquiry.h"
#include "output/paths_section.h"
#include "output/picture.h"
#include "output/plan.h"
#include "output/sheet.h"
#include "output/words.h"

/* Changes below this part are none that anybody feels. */
#define UNCHANGED 0.02
/* States side by side in the short table, axles told apart in a sentence, states drawn, lines of a
   file. */
enum { STATES_SHOWN = 24, PLACES_SHOWN = 6, PLANS_SHOWN = 8, LINES_SHOWN = 4000 };

/* The studies in order, each with its chapter. */
static const struct {
    const char *name;
    baronet_study *study;
    const char *chapter;
} studies[] = {
    {"check", baronet_check, NULL}, /* spread over several chapters */
    {"states", baronet_states, "Valve states side by side"},
    {"rates", baronet_rates, "Pressures, heights and rates"},
    {"stroke", baronet_stroke, "Over the travel"},
    {"times", baronet_times, "How fast air evens out"},
    {"response", baronet_response, "From slow to quick"},
    {"ride", baronet_ride, "Ride, comfort and load"},
    {"play", baronet_play, "Events"},
    {"faults", baronet_faults, "Single failures"},
    {"parts", baronet_parts, "Parts, ratings and wiring"},
};
enum {
    CHECK,
    STATES,
    RATES,
    STROKE,
    TIMES,
    RESPONSE,
    STUDIES = sizeof studies / sizeof studies[0]
};

typedef struct report {
    inquiry inquiry;
    page *page;
    const baronet_netlist *netlist;
    const baronet_question *question;
    page *part[STUDIES];
    sheet sheet;
} report;

/* Whether a part says this after its heading `Cautions and notes`, as most parts do. */
static bool says(const page *part, const block *wanted) {
    for (const block *b = part->first; b != NULL; b = b->next) {
        if (b->kind == wanted->kind && strcmp(b->text, wanted->text) == 0) {
            return true;
        }
    }
    return false;
}

static bool is_remark(const block *b) {
    return b->kind == BLOCK_NOTE || b->kind == BLOCK_CAUTION;
}

static bool is_heading(const block *b, const char *words) {
    return b->kind == BLOCK_HEADING && strcmp(b->text, words) == 0;
}

static const block *after_heading(const page *part, const char *words) {
    const block *b = part->first;
    while (b != NULL && !is_heading(b, words)) {
        b = b->next;
    }
    return b != NULL ? b->next : NULL;
}

/* The line below the title, with which each part begins. */
static const block *line_of(const page *part) {
    return part->first->next;
}

/* The pictures of the section that a block is in, which stand at its end, where tables begin. */
static void add_pictures(report *r, const page *part, const block *from) {
    for (const block *b = from; b != NULL && b->section == from->section; b = b->next) {
        if (b->kind == BLOCK_PICTURE) {
            page_repeat(r->page, part, b);
        }
    }
}

/* A curve's points, with room for all rows of `response`. */
typedef struct dots {
    double *x, *y;
    int count;
} dots;

/* Adds a state's storage in one motion from the rows of `response` as a curve. */
static picture *add_curve(report *r, picture *to, dots *d, const char *state, const char *moved) {
    d->count = 0;
    for (const series_row *row = r->part[RESPONSE]->series->first; row != NULL; row = row->next) {
        if (strcmp(row->label[0], state) == 0 && strcmp(row->label[2], moved) == 0) {
            d->x[d->count] = row->value[0];
            d->y[d->count++] = row->value[1];
        }
    }
    if (d->count == 0) {
        return to;
    }
    to = to != NULL
             ? to
             : page_picture(r->page, page_format(r->page, "All states: stiffness in %s", moved),
                            (picture_axis){"frequency", BARONET_FREQUENCY, true},
                            (picture_axis){"storage", BARONET_STIFFNESS, false});
    return picture_add(to, state, d->count, d->x, d->y);
}

/* What states do to a motion, side by side. */
static void compare_states(report *r) {
    static const char *const motions[] = {"heave", "roll", "pitch"};
    size_t rows = 0;
    for (const series_row *row = r->part[RESPONSE]->series->first; row != NULL; row = row->next) {
        rows++;
    }
    dots d = {.x = page_take(r->page, rows, sizeof *d.x),
              .y = page_take(r->page, rows, sizeof *d.y)};
    for (size_t i = 0; i < sizeof motions / sizeof motions[0] && !r->page->failed; i++) {
        picture *out = NULL;
        for (int k = 0; k < r->inquiry.states.count && k < PICTURE_CURVES; k++) {
            out = add_curve(r, out, &d, r->inquiry.states.entry[k].name, motions[i]);
        }
    }
}

/* A study's page as a chapter, but for what `check` says too; pictures before tables. */
static void add_chapter(report *r, int k) {
    const page *part = r->part[k];
    int drawn = 0;
    page_add(r->page, BLOCK_CHAPTER, studies[k].chapter);
    if (k == RESPONSE && r->inquiry.states.count > 1) {
        compare_states(r);
    }
    for (const block *b = line_of(part)->next; b != NULL; b = b->next) {
        if (is_heading(b, "Cautions and notes") || is_heading(b, "Positions of the valves") ||
            (is_remark(b) && says(r->part[CHECK], b))) {
            continue;
        }
        if (b->kind == BLOCK_TABLE && b->section > drawn) {
            add_pictures(r, part, b);
            drawn = b->section;
        }
        if (b->kind != BLOCK_PICTURE || b->section > drawn || b->section == 0) {
            page_repeat(r->page, part, b);
        }
    }
}

/* The blocks of `check` below one of its headings, of two kinds or (BLOCK_TITLE) of any. */
static void add_below(report *r, const char *heading, block_kind kind) {
    const page *part = r->part[CHECK];
    for (const block *b = after_heading(part, heading); b != NULL && b->kind != BLOCK_HEADING;
         b = b->next) {
        if (kind == BLOCK_TITLE || b->kind == kind) {
            page_repeat(r->page, part, b);
        }
    }
}

/* How the requirements did, as `check` sums it up; NULL where there are none. */
static const char *requirements_words(const report *r) {
    const block *b = after_heading(r->part[CHECK], "Requirements");
    while (b != NULL && b->kind != BLOCK_PLAIN && b->kind != BLOCK_CAUTION) {
        b = b->next;
    }
    return b != NULL ? b->text : NULL;
}

static void add_verdict(report *r) {
    page *p = r->page;
    const states_answer *all = &r->inquiry.states;
    int stands_in = 0;
    const char *rest = NULL;
    for (int k = 0; k < all->count; k++) {
        stands_in += all->entry[k].problem.status == BARONET_OK;
        rest = all->entry[k].rest ? all->entry[k].name : rest;
    }
    const char *stands =
        stands_in < all->count
            ? page_format(p, "%d of %d valve states have an answer", stands_in, all->count)
        : all->count == 1 ? page_format(p, "It stands in %s", all->entry[0].name)
                          : page_format(p, "It stands in all %d valve states", all->count);
    const char *met = requirements_words(r);
    page_addf(p, BLOCK_LEAD, "%s%s%s%s", stands, met != NULL ? "; " : "", met != NULL ? met : "",
              met != NULL && met[strlen(met) - 1] == '.' ? "" : ".");
    if (rest != NULL && r->inquiry.model->network.solenoids > 0) {
        page_addf(p, BLOCK_LEAD, "With no current on any solenoid it is in %s.", rest);
    }
    for (int k = 0; k < all->count; k++) {
        const states_entry *e = &all->entry[k];
        if (e->problem.status != BARONET_OK) {
            page_addf(p, BLOCK_CAUTION, "%s: %s", e->name,
                      words_problem(p, r->inquiry.model, &e->problem));
        }
    }
}

/* Where a figure is looked at: an axle, as the mean of its wheels, or a mass on a bench. */
static int places_of(const report *r) {
    const vehicle *v = &r->inquiry.model->vehicle;
    return v->axles + v->corners - v->wheels;
}

static const char *place_name(const report *r, int at) {
    const vehicle *v = &r->inquiry.model->vehicle;
    return at < v->axles ? v->axle[at].name : v->corner[v->wheels + at - v->axles].name;
}

static double place_value(const report *r, int state, figure_quantity quantity, int at) {
    const vehicle *v = &r->inquiry.model->vehicle;
    if (at >= v->axles) {
        return sheet_value(&r->sheet, state, quantity, LEVEL_RIDE, SUBJECT_CORNER,
                           v->wheels + at - v->axles);
    }
    double sum = 0.0;
    int count = 0;
    for (int c = 0; c < v->wheels; c++) {
        if (v->corner[c].axle == at) {
            sum += sheet_value(&r->sheet, state, quantity, LEVEL_RIDE, SUBJECT_CORNER, c);
            count++;
        }
    }
    return sum / count;
}

/* Roll as a lean by lateral acceleration where a bend makes it lean outward, else as a rate. */
static double roll_value(const report *r, int state, level at, bool lean) {
    return sheet_value(&r->sheet, state, lean ? FIGURE_ROLL_GRADIENT : FIGURE_ROLL_RATE, at,
                       SUBJECT_NONE, -1);
}

static bool leans(const report *r) {
    for (int k = 0; k < r->sheet.count; k++) {
        if (roll_value(r, k, LEVEL_RIDE, true) > 0.0) {
            return true;
        }
    }
    return false;
}

/* "31 % quicker", "unchanged". */
static const char *change_words(page *p, double from, double to, const char *more,
                                const char *less) {
    const double part = to / from - 1.0;
    return fabs(part) < UNCHANGED
               ? "unchanged"
               : page_format(p, "%.0f %% %s", 100.0 * fabs(part), part > 0.0 ? more : less);
}

/* "ride 31 % quicker (front), unchanged (rear)"; places alike are one. */
static const char *places_words(const report *r, int base, int state, figure_quantity quantity,
                                const char *what, const char *more, const char *less) {
    page *p = r->page;
    const int places = places_of(r) < PLACES_SHOWN ? places_of(r) : PLACES_SHOWN;
    const char *said[PLACES_SHOWN] = {NULL};
    bool alike = true, any = false;
    for (int i = 0; i < places; i++) {
        const double from = place_value(r, base, quantity, i);
        const double to = place_value(r, state, quantity, i);
        said[i] = isfinite(from) && isfinite(to) ? change_words(p, from, to, more, less)
                                                 : "without a figure";
        any = any || said[i][0] != 'w';
        alike = alike && strcmp(said[i], said[0]) == 0;
    }
    if (!any) {
        return NULL;
    }
    const char *list = page_format(p, "%s %s", what, said[0]);
    list = alike ? list : page_format(p, "%s (%s)", list, place_name(r, 0));
    for (int i = 1; i < places && !alike; i++) {
        list = page_format(p, "%s, %s (%s)", list, said[i], place_name(r, i));
    }
    return list;
}

static const char *roll_words(const report *r, int base, int state) {
    page *p = r->page;
    const bool lean = leans(r);
    const char *more = lean ? "more" : "stiffer", *less = lean ? "less" : "softer";
    const double from = roll_value(r, base, LEVEL_RIDE, lean);
    const double to = roll_value(r, state, LEVEL_RIDE, lean);
    if (!isfinite(from) || !isfinite(to)) {
        return NULL;
    }
    const char *quick = change_words(p, from, to, more, less);
    const char *slow = change_words(p, roll_value(r, base, LEVEL_SETTLED, lean),
                                    roll_value(r, state, LEVEL_SETTLED, lean), more, less);
    const char *words = page_format(p, "%s %s", lean ? "lean in bends" : "roll", quick);
    return strcmp(quick, slow) == 0 ? words : page_format(p, "%s, %s in a long bend", words, slow);
}

/* What a state does to ride, roll and bumps of one wheel, against the base state. */
static void add_effect(report *r, int base, int state) {
    page *p = r->page;
    const char *words[] = {
        places_words(r, base, state, FIGURE_RIDE_FREQUENCY, "ride", "quicker", "slower"),
        roll_words(r, base, state),
        r->inquiry.model->vehicle.wheels > 1
            ? places_words(r, base, state, FIGURE_ONE_WHEEL_RATE, "bumps of one wheel", "harder",
                           "softer")
            : NULL};
    const char *list = "";
    for (int i = 0; i < 3; i++) {
        list = words[i] != NULL
                   ? page_format(p, "%s%s%s", list, list[0] != '\0' ? "; " : "", words[i])
                   : list;
    }
    if (list[0] != '\0') {
        page_addf(p, BLOCK_LEAD, "%s against %s: %s.", r->sheet.name[state], r->sheet.name[base],
                  list);
    }
}

/* One row of the short table, and one below it with the changes in per cent. */
static void key_row(report *r, table *t, const char *label, baronet_dimension dimension,
                    const double *value) {
    page *p = r->page;
    const int base = r->inquiry.states.base;
    const char *cells[STATES_SHOWN + 2] = {page_format(p, "  against %s", r->sheet.name[base])};
    const int count = r->sheet.count < STATES_SHOWN ? r->sheet.count : STATES_SHOWN;
    bool any = false, compared = false;
    for (int k = 0; k < count; k++) {
        any = any || isfinite(value[k]);
        if (k != base && isfinite(value[k]) && isfinite(value[base])) {
            compared = true;
            const double part = value[k] / value[base] - 1.0;
            cells[k + 2] = fabs(part) < 0.005 ? "=" : page_format(p, "%+.0f %%", 100.0 * part);
        }
    }
    if (any) {
        table_values(t, label, dimension, count, value);
    }
    if (compared) {
        table_add(t, cells);
    }
}

static void key_places(report *r, table *t, const char *what, figure_quantity quantity) {
    for (int i = 0; i < places_of(r) && i < PLACES_SHOWN; i++) {
        double value[STATES_SHOWN];
        for (int k = 0; k < r->sheet.count && k < STATES_SHOWN; k++) {
            value[k] = place_value(r, k, quantity, i);
        }
        key_row(r, t, page_format(r->page, "%s %s", what, place_name(r, i)),
                figure_at(quantity)->dimension, value);
    }
}

static void key_roll(report *r, table *t, level at) {
    double value[STATES_SHOWN];
    const bool lean = leans(r);
    for (int k = 0; k < r->sheet.count && k < STATES_SHOWN; k++) {
        value[k] = roll_value(r, k, at, lean);
    }
    key_row(r, t,
            page_format(r->page, "%s, %s", lean ? "roll gradient" : "roll rate",
                        at == LEVEL_RIDE ? "as felt" : "in a long bend"),
            lean ? BARONET_ROLL_GRADIENT : BARONET_ANGULAR_STIFFNESS, value);
}

static void add_key_table(report *r) {
    page *p = r->page;
    const char *header[STATES_SHOWN + 2] = {"Key figures"};
    const int count = r->sheet.count < STATES_SHOWN ? r->sheet.count : STATES_SHOWN;
    for (int k = 0; k < count; k++) {
        header[k + 2] = r->sheet.name[k];
    }
    table *t = page_table(p, count + 2, 2, header);
    table_set_states(t);
    key_places(r, t, "ride frequency", FIGURE_RIDE_FREQUENCY);
    key_roll(r, t, LEVEL_RIDE);
    key_roll(r, t, LEVEL_SETTLED);
    if (r->inquiry.model->vehicle.wheels > 1) {
        key_places(r, t, "one-wheel rate", FIGURE_ONE_WHEEL_RATE);
    }
    if (r->sheet.count > count) {
        page_addf(p, BLOCK_NOTE, "and %d more states", r->sheet.count - count);
    }
}

static void add_answer(report *r) {
    const states_answer *all = &r->inquiry.states;
    page_add(r->page, BLOCK_CHAPTER, "In short");
    add_verdict(r);
    for (int k = 0; k < all->count && k < STATES_SHOWN; k++) {
        if (k != all->base && all->entry[k].problem.status == BARONET_OK &&
            all->entry[all->base].problem.status == BARONET_OK) {
            add_effect(r, all->base, k);
        }
    }
    add_key_table(r);
}

/* Cautions of all studies that are about the design, and how many more the chapters have. */
static void add_cautions(report *r) {
    page *p = r->page;
    page_add(p, BLOCK_CHAPTER, "Cautions");
    const block *before = p->last;
    for (int k = 0; k < STUDIES; k++) {
        int own = 0;
        for (const block *b = r->part[k]->first; b != NULL; b = b->next) {
            bool said = b->kind != BLOCK_CAUTION;
            for (const block *c = before; c != NULL && !said; c = c->next) {
                said = c->kind == BLOCK_CAUTION && strcmp(c->text, b->text) == 0;
            }
            own += !said;
            if (!said && k == CHECK) {
                page_add(p, BLOCK_CAUTION, b->text);
            }
        }
        if (own > 0 && k != CHECK) {
            page_addf(p, BLOCK_NOTE, "%d more in the chapter \"%s\"", own, studies[k].chapter);
        }
    }
}

/* The plan in each state, as far as it can be drawn. */
static void add_plumbing(report *r) {
    page *p = r->page;
    const model *m = r->inquiry.model;
    baronet_status status = BARONET_OK;
    const plan *laid = NULL;
    page_add(p, BLOCK_CHAPTER, "Plumbing and valves");
    add_below(r, "States", BLOCK_TABLE);
    for (int k = 0; k < r->inquiry.states.count && k < PLANS_SHOWN; k++) {
        const states_entry *e = &r->inquiry.states.entry[k];
        const plan_wish wish = {.open = e->open, .state = e->name, .bores = true, .laid = laid};
        page_set_state(p, e->name);
        status = status == BARONET_OK ? page_plan(p, m, &wish) : status;
        laid = status == BARONET_OK ? p->last->plan : NULL;
    }
    page_set_state(p, NULL);
    p->failed |= status == BARONET_OUT_OF_MEMORY;
    if (status == BARONET_TOO_MANY) {
        page_add(p, BLOCK_NOTE, "there are too many parts to draw");
    }
    paths_section(p, m, NULL);
}

static void add_rests(report *r) {
    page_add(r->page, BLOCK_CHAPTER, "What the figures rest on");
    const block *last = r->page->last;
    page_repeat(r->page, r->part[CHECK], line_of(r->part[CHECK]));
    add_below(r, "Cautions and notes", BLOCK_NOTE);
    if (r->page->last == last) {
        page_add(r->page, BLOCK_NOTE, "nothing had to be assumed");
    }
}

/* The folder that a path stands in, with its slash. */
static size_t folder_of(const char *path) {
    const char *slash = strrchr(path, '/');
    return slash != NULL ? (size_t)(slash - path) + 1 : 0;
}

/* A file's name as seen from the netlist itself, so that a report is the same wherever it lies. */
static const char *file_name(const report *r, const netlist_file *f) {
    const char *first = netlist_file_at(r->netlist, 0).path;
    const size_t folder = folder_of(first);
    if (strcmp(f->path, "-") == 0) {
        return "standard input";
    }
    return strncmp(first, f->path, folder) == 0 ? f->path + folder : f->path;
}

/* Bytes of the first lines of a file. */
static size_t bytes_shown(const netlist_file *f) {
    size_t at = 0;
    for (int line = 0; line < LINES_SHOWN && at < f->length; line++) {
        const char *end = memchr(f->bytes + at, '\n', f->length - at);
        at = end != NULL ? (size_t)(end - f->bytes) + 1 : f->length;
    }
    return at;
}

static void add_files(report *r) {
    page *p = r->page;
    page_add(p, BLOCK_CHAPTER, "Netlist");
    for (int k = 0;; k++) {
        const netlist_file f = netlist_file_at(r->netlist, k);
        if (f.path == NULL) {
            break;
        }
        const size_t shown = bytes_shown(&f);
        page_add(p, BLOCK_HEADING, file_name(r, &f));
        page_addf(p, BLOCK_LISTING, "%.*s", (int)shown, f.bytes);
        if (shown < f.length) {
            page_addf(p, BLOCK_NOTE, "the first %d lines; the file has more", LINES_SHOWN);
        }
    }
}

static void quality_row(page *p, table *t, const states_entry *e) {
    const rates_answer *a = rates_result(e->rates);
    const balance_account *own = &a->settled.account;
    const bool felt = a->level[LEVEL_RIDE].given;
    const char *cells[] = {e->name,
                           page_format(p, "%d", own->unknowns),
                           page_format(p, "%d", own->iterations),
                           page_slight(p, own->residual),
                           own->unknowns > 0 ? page_slight(p, words_condition(p, e->rates)) : "-",
                           felt ? page_format(p, "%d", a->felt.iterations) : "-",
                           felt ? page_slight(p, a->felt.swing.residual) : "-"};
    table_add(t, cells);
}

static void add_quality(report *r) {
    page *p = r->page;
    static const char *const header[] = {"state",     "unknowns", "steps",     "residual",
                                         "condition", "rounds",   "consistent"};
    page_add(p, BLOCK_CHAPTER, "How well it was solved");
    table *t = page_table(p, 7, 1, header);
    for (int k = 0; k < r->inquiry.states.count; k++) {
        const states_entry *e = &r->inquiry.states.entry[k];
        if (e->problem.status == BARONET_OK) {
            quality_row(p, t, e);
        }
    }
    page_add(
        p, BLOCK_NOTE,
        "all but counts are bounds: the residual is of the equilibrium, against the whole load "
        "or a group's air; the condition times the residual is how far, in m, rad or 100 kPa, it "
        "may be out; rounds and what is consistent are of the paths' resistances under the swing");
    page_add(p, BLOCK_NOTE,
             "each chapter tells at its end how well its own runs were solved: air conserved, "
             "steps, residuals");
}

static void add_file_table(report *r) {
    static const char *const header[] = {"file", "bytes", "SHA-256"};
    page *p = r->page;
    table *t = page_table(p, 3, 1, header);
    table_set_prose(t);
    for (int k = 0;; k++) {
        const netlist_file f = netlist_file_at(r->netlist, k);
        if (f.path == NULL) {
            break;
        }
        char hex[DIGEST_LENGTH + 1];
        digest_of(f.bytes, f.length, hex);
        const char *cells[] = {file_name(r, &f), page_format(p, "%zu", f.length), hex};
        table_add(t, cells);
    }
}

static void add_about(report *r) {
    page *p = r->page;
    page_add(p, BLOCK_CHAPTER, "About this report");
    page_addf(p, BLOCK_PLAIN,
              "Made by baronet %s from the files below; `sha256sum` tells whether "
              "they are still the same.",
              BARONET_VERSION);
    struct tm day;
    const time_t when = (time_t)r->question->date;
    if (r->question->date > 0 && gmtime_r(&when, &day) != NULL) {
        page_addf(p, BLOCK_PLAIN, "Date: %04d-%02d-%02d.", day.tm_year + 1900, day.tm_mon + 1,
                  day.tm_mday);
    }
    add_file_table(r);
}

/* Asks every study. */
static baronet_status ask_all(report *r, const char **what) {
    baronet_question asked = *r->question;
    asked.plot = NULL;
    asked.progress = NULL; /* of each study's own parts */
    for (int k = 0; k < STUDIES; k++) {
        inquiry_tell(r->question, studies[k].name, k, STUDIES);
        const baronet_status status = studies[k].study(r->netlist, &asked, &r->part[k], what);
        if (status != BARONET_OK) {
            return status;
        }
        page_adopt(r->page, r->part[k]);
        page_set_status(r->page, r->part[k]->status);
    }
    return BARONET_OK;
}

/* Whether a part has anything to say beyond that there is nothing. */
static bool has_content(const report *r, int k) {
    return strcmp(studies[k].name, "play") != 0 || r->inquiry.model->scripts > 0;
}

static void compose(report *r) {
    const bool charged = r->inquiry.problem.status == BARONET_OK;
    if (charged) {
        inquiry_title(&r->inquiry);
        if (sheet_make(&r->sheet, r->page, r->inquiry.model, &r->inquiry.states)) {
            add_answer(r);
        }
        sheet_free(&r->sheet);
        add_cautions(r);
        add_plumbing(r);
        if (r->inquiry.model->requirements > 0) {
            page_add(r->page, BLOCK_CHAPTER, "Requirements");
            add_below(r, "Requirements", BLOCK_TITLE);
        }
        for (int k = CHECK + 1; k < STUDIES; k++) {
            if (has_content(r, k)) {
                add_chapter(r, k);
            }
        }
        add_rests(r);
    }
    add_files(r);
    if (charged) {
        add_quality(r);
    }
    add_about(r);
}

baronet_status baronet_report(const baronet_netlist *netlist, const baronet_question *question,
                              baronet_answer **answer, const char **what) {
    report r = {.netlist = netlist, .question = question};
    const char *unwanted = NULL;
    what = what != NULL ? what : &unwanted;
    baronet_status status =
        inquiry_open(&r.inquiry, netlist, question, STATES_NAMED, INQUIRY_FELT, what);
    page_set_study(r.inquiry.page, "report");
    r.page = r.inquiry.page;
    if (status == BARONET_OK) {
        status = ask_all(&r, what);
    }
    if (status == BARONET_OK) {
        compose(&r);
    }
    return inquiry_close(&r.inquiry, status, answer);
}
