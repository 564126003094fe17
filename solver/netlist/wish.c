/* SPDX-License-Identifier: MIT */
#include "netlist/wish.h"

#include <math.h>
#include <string.h>

#include "model/figure.h"
#include "netlist/build.h"
#include "netlist/suggestion.h"

/* A wish being read. */
typedef struct wish {
    cursor c;
    wish_form form;
    requirement *to;
    const figure_name *figure;
} wish;

static const struct {
    unsigned bit;
    const char *words;
    want fits; /* names to offer; WANTS for none */
} kinds[] = {
    {SUBJECT_NONE, "the whole vehicle", WANTS},
    {SUBJECT_CORNER, "a corner", WANT_LOADED},
    {SUBJECT_AXLE, "an axle", WANTS},
    {SUBJECT_NODE, "a spring, tank, tee or hose", WANT_AIR},
    {SUBJECT_SPRING, "a spring", WANT_SPRING},
    {SUBJECT_EDGE, "a hose or valve", WANT_EDGE},
    {SUBJECT_MOTION, "a motion", WANT_MOTION},
    {SUBJECT_NUMBER, "a number from 1", WANTS},
    {SUBJECT_PAIR, "two corners, as `RL/RR`", WANT_LOADED},
};

static const char *keep(reading *r, text t) {
    const char *const copy = r->failed ? NULL : arena_copy_text(r->arena, t.start, t.length);
    r->failed |= !copy;
    return copy ? copy : "";
}

/* "a corner or a motion", the arena's. */
static const char *subject_words(reading *r, unsigned bits) {
    text_buffer words = {.allocator = arena_allocator(r->arena)};
    text_buffer_add(&words, "");
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (bits & kinds[i].bit)
            text_buffer_format(&words, "%s%s", words.length > 0 ? " or " : "", kinds[i].words);
    }
    const char *const kept = words.failed ? "" : keep(r, (text){words.bytes, words.length});
    r->failed |= words.failed;
    text_buffer_free(&words);
    return kept;
}

static bool is_named(const reading *r, text t, want w) {
    const entry *const e = reading_find(r, t);
    return e && e->keyword < KEYWORDS && (grammar_want_at(w)->keywords & 1ul << e->keyword);
}

/* Corners, and springs on a bench, which stand on one. */
static bool is_corner(const reading *r, text t) {
    const entry *const e = reading_find(r, t);
    return e && (e->keyword == KEYWORD_CORNER || e->bench);
}

static bool is_pair(const reading *r, text t) {
    const char *const slash = memchr(t.start, '/', t.length);
    if (!slash)
        return false;
    const size_t first = (size_t)(slash - t.start);
    return is_corner(r, (text){t.start, first}) &&
           is_corner(r, (text){slash + 1, t.length - first - 1});
}

static bool is_motion(const reading *r, text t) {
    static const char *const usual[] = {"heave", "pitch", "roll", "warp"};
    static const char one_wheel[] = "one-wheel:";
    const size_t length = sizeof one_wheel - 1;
    for (size_t i = 0; i < sizeof usual / sizeof *usual; i++) {
        if (text_equals(t, usual[i]))
            return true;
    }
    if (t.length > length && memcmp(t.start, one_wheel, length) == 0)
        return is_corner(r, (text){t.start + length, t.length - length});
    return is_named(r, t, WANT_MOTION);
}

static bool is_axle(const reading *r, text t) {
    const vehicle *const v = &r->netlist->model.vehicle;
    for (int i = 0; i < v->axles; i++) {
        if (text_equals(t, v->axle[i].name))
            return true;
    }
    return false;
}

/* True where the figure may be of what the token says. */
static bool is_subject(const reading *r, unsigned bits, const token *t, text said) {
    if (t->kind == TOKEN_NUMBER)
        return (bits & SUBJECT_NUMBER) && t->number >= 1.0 && floor(t->number) == t->number;
    return ((bits & SUBJECT_CORNER) && is_corner(r, said)) ||
           ((bits & SUBJECT_AXLE) && is_axle(r, said)) ||
           ((bits & SUBJECT_NODE) &&
            (is_named(r, said, WANT_AIR) || text_equals(said, "atmosphere"))) ||
           ((bits & SUBJECT_SPRING) && is_named(r, said, WANT_SPRING)) ||
           ((bits & SUBJECT_EDGE) && is_named(r, said, WANT_EDGE)) ||
           ((bits & SUBJECT_MOTION) && is_motion(r, said)) ||
           ((bits & SUBJECT_PAIR) && is_pair(r, said));
}

static bool read_quantity(wish *w) {
    reading *const r = w->c.reading;
    const text t = cursor_text(&w->c);
    const int quantity = w->c.now.kind == TOKEN_WORD ? figure_find(t) : -1;
    if (quantity < 0) {
        suggestion s = suggestion_begin(r, t, "figures:");
        for (int i = 0; i < FIGURES; i++)
            suggestion_offer(&s, text_of(figure_at((figure_quantity)i)->name));
        const char *const hint = suggestion_end(&s);
        if (w->c.now.kind == TOKEN_END)
            complain(r, cursor_place(&w->c), hint, "the name of a figure is missing");
        else
            complain(r, cursor_place(&w->c), hint, "`%s` is no figure", shown(r, t));
        return false;
    }
    w->figure = figure_at((figure_quantity)quantity);
    w->to->quantity = w->figure->name;
    cursor_advance(&w->c);
    return true;
}

static const char *subject_hint(wish *w, text said) {
    reading *const r = w->c.reading;
    const vehicle *const v = &r->netlist->model.vehicle;
    suggestion s = suggestion_begin(r, said, "what fits:");
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if ((w->figure->subjects & kinds[i].bit) && kinds[i].fits != WANTS)
            resolve_offer(&s, kinds[i].fits);
    }
    for (int i = 0; (w->figure->subjects & SUBJECT_AXLE) && i < v->axles; i++)
        suggestion_offer(&s, text_of(v->axle[i].name));
    return suggestion_end(&s);
}

static bool read_subject(wish *w) {
    reading *const r = w->c.reading;
    w->to->subject = "";
    if (!cursor_is_word(&w->c, "of"))
        return true;
    cursor_advance(&w->c);
    const text said = cursor_text(&w->c);
    const bool here = w->c.now.kind == TOKEN_WORD || w->c.now.kind == TOKEN_NUMBER;
    if (here && is_subject(r, w->figure->subjects, &w->c.now, said)) {
        w->to->subject = keep(r, said);
        cursor_advance(&w->c);
        return true;
    }
    if (here && r->incomplete)
        return false;
    const char *const fits = subject_words(r, w->figure->subjects);
    const char *const hint = subject_hint(w, here ? said : (text){0});
    const entry *const what = here ? reading_find(r, said) : NULL;
    if (!here)
        cursor_complain(&w->c, "of", fits, hint);
    else if (what && what->keyword < KEYWORDS)
        complain(r, cursor_place(&w->c), hint, "`%s` is of %s; `%s` is %s", w->figure->name, fits,
                 shown(r, said), grammar_at((keyword)what->keyword)->noun);
    else if (!what)
        complain(r, cursor_place(&w->c), hint, "`%s` is of %s, which `%s` is not", w->figure->name,
                 fits, shown(r, said));
    return false;
}

static bool read_relation(wish *w) {
    static const struct {
        const char *word;
        requirement_relation relation;
        bool goal; /* said of what is sized only */
    } relations[] = {{"above", REQUIRE_ABOVE, false},
                     {"below", REQUIRE_BELOW, false},
                     {"=", REQUIRE_EQUAL, true},
                     {"highest", REQUIRE_HIGHEST, true},
                     {"lowest", REQUIRE_LOWEST, true}};
    for (size_t i = 0; i < sizeof relations / sizeof *relations; i++) {
        if ((w->form == WISH_GOAL || !relations[i].goal) &&
            cursor_is_word(&w->c, relations[i].word)) {
            w->to->relation = relations[i].relation;
            cursor_advance(&w->c);
            return true;
        }
    }
    w->to->relation = REQUIRE_NOTHING;
    if (w->form == WISH_FIGURE)
        return true;
    cursor_complain(&w->c, w->figure->name,
                    w->form == WISH_GOAL ? "`above`, `below`, `=`, `highest` or `lowest`"
                                         : "`above` or `below`",
                    NULL);
    return false;
}

static bool read_value(wish *w) {
    if (w->to->relation >= REQUIRE_HIGHEST)
        return true;
    const slot wanted = {SLOT_QUANTITY, w->figure->dimension, RANGE_ANY, DATUM_FREE, 0, NULL};
    value v;
    if (!quantity_read(&w->c, &wanted, w->figure->name, &v))
        return false;
    const model *const m = &w->c.reading->netlist->model;
    w->to->value = v.number;
    if (w->figure == figure_at(FIGURE_PRESSURE))
        w->to->value = pressure_absolute(m, &v);
    else if (w->figure == figure_at(FIGURE_GAUGE_PRESSURE))
        w->to->value = pressure_gauge(m, &v);
    return true;
}

/* The state or the case that is named at the cursor; -1 after a complaint. */
static int read_index(wish *w, want wanted, const char *label) {
    reading *const r = w->c.reading;
    if (w->c.now.kind != TOKEN_WORD) {
        cursor_complain(&w->c, label, grammar_want_at(wanted)->noun, NULL);
        return -1;
    }
    const text t = cursor_text(&w->c);
    const place at = cursor_place(&w->c);
    cursor_advance(&w->c);
    if (wanted == WANT_STATE && text_equals(t, "rest"))
        return r->netlist->model.rest_state;
    const entry *const e = resolve(r, wanted, at, names_find(r->netlist->names, t), NULL);
    return e ? e->index : -1;
}

/* One of a level, `in STATE` and `with CASE`; false after a complaint. */
static bool read_scope(wish *w) {
    requirement *const to = w->to;
    const text t = cursor_text(&w->c);
    const level l = w->c.now.kind == TOKEN_WORD ? level_find(t) : LEVEL_NONE;
    if (l != LEVEL_NONE && to->level == LEVEL_NONE) {
        to->level = (int)l;
        cursor_advance(&w->c);
        return true;
    }
    if (cursor_is_word(&w->c, "in") && to->state < 0) {
        cursor_advance(&w->c);
        to->state = read_index(w, WANT_STATE, "in");
        return to->state >= 0;
    }
    if (cursor_is_word(&w->c, "with") && to->load_case < 0) {
        cursor_advance(&w->c);
        to->load_case = read_index(w, WANT_CASE, "with");
        return to->load_case >= 0;
    }
    suggestion s = suggestion_begin(w->c.reading, t, "what may follow:");
    for (int i = LEVEL_INSTANT; to->level == LEVEL_NONE && i < LEVELS; i++)
        suggestion_offer(&s, text_of(level_name((level)i)));
    if (to->state < 0)
        suggestion_offer(&s, text_of("in"));
    if (to->load_case < 0)
        suggestion_offer(&s, text_of("with"));
    complain(w->c.reading, cursor_place(&w->c), suggestion_end(&s), "`%s` does not belong here",
             shown(w->c.reading, t));
    return false;
}

/* The tokens from a cursor on, parted by single spaces; glued ones stay so. */
static const char *one_line(cursor c) {
    text_buffer line = {.allocator = arena_allocator(c.reading->arena)};
    text_buffer_add(&line, "");
    for (; c.now.kind != TOKEN_END; cursor_advance(&c)) {
        if (line.length > 0 && !c.now.glued)
            text_buffer_add(&line, " ");
        const text t = cursor_text(&c);
        text_buffer_add_bytes(&line, t.start, t.length);
    }
    const char *const kept = line.failed ? "" : keep(c.reading, (text){line.bytes, line.length});
    c.reading->failed |= line.failed;
    text_buffer_free(&line);
    return kept;
}

/* Reads the wish at the cursor to the end of its statement. */
static bool read_wish(cursor c, wish_form form, requirement *to) {
    wish w = {.c = c, .form = form, .to = to};
    *to = (requirement){.text = "", .state = -1, .load_case = -1};
    if (!read_quantity(&w) || !read_subject(&w) || !read_relation(&w) || !read_value(&w))
        return false;
    while (w.c.now.kind != TOKEN_END) {
        if (!read_scope(&w))
            return false;
    }
    to->text = one_line(c);
    return true;
}

void build_requirements(build *b) {
    const int count = b->list[KEYWORD_REQUIRE].count;
    requirement *const requirements = READING_ARRAY(b->r, requirement, count);
    b->m->requirements = count;
    b->m->requirement = requirements;
    for (const statement *s = build_first(b, KEYWORD_REQUIRE); s; s = build_next(b)) {
        const value *const v = statement_value(s, WORD_NONE);
        requirement *const to = &requirements[s->entry->index];
        int column;
        if (!v || !read_wish(cursor_start(b->r, s->entry->source, v->start), WISH_BOUND, to))
            continue;
        to->file = s->entry->source->shown;
        source_locate(s->entry->source, b->r->arena, s->entry->start, &to->line, &column);
        b->r->failed |= to->line == 0;
    }
}

baronet_status netlist_wish(const baronet_netlist *netlist, const char *called, const char *said,
                            wish_form form, arena *a, baronet_diagnostics *diagnostics,
                            requirement *out) {
    /* Nothing of the netlist is changed: the arena is the caller's, and names are only looked up.
     */
    reading r = {.netlist = (baronet_netlist *)netlist,
                 .arena = a,
                 .diagnostics = diagnostics,
                 .patience = READING_PATIENCE};
    const size_t length = strlen(said);
    source s = {.path = called, .shown = called, .length = length};
    s.bytes = arena_copy_text(a, said, length);
    if (!s.bytes || length > BARONET_FILE_LIMIT)
        return BARONET_OUT_OF_MEMORY;
    for (char *c = s.bytes; (c = strpbrk(c, "\n#")) != NULL;)
        *c = ' '; /* it is one line, whatever it holds */
    const bool fine = read_wish(cursor_start(&r, &s, 0), form, out);
    if (r.failed)
        return BARONET_OUT_OF_MEMORY;
    return fine ? BARONET_OK : BARONET_BAD_NETLIST;
}
