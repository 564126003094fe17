/* SPDX-License-Identifier: MIT */
#include "netlist/build.h"

#include <stdio.h>
#include <string.h>

#include "netlist/suggestion.h"

static const char *const motions[] = {"heave", "roll", "pitch", "warp"}; /* -1, -2, -3, -4 */

const statement *build_next(build *b) {
    if (!b->next || b->r->failed)
        return NULL;
    statement_read(b->r, &b->scratch, b->next, &b->s);
    b->next = b->next->next;
    return b->r->failed ? NULL : &b->s;
}

const statement *build_first(build *b, keyword k) {
    b->next = b->list[k].first;
    return build_next(b);
}

static bool is_wanted(want w, const entry *e) {
    if (e->keyword == KEYWORDS || !(grammar_want_at(w)->keywords & 1ul << e->keyword))
        return false;
    return w != WANT_LOADED || e->keyword == KEYWORD_CORNER || e->bench;
}

void resolve_offer(suggestion *s, want w) {
    const entries *const list = s->reading->netlist->list;
    for (int k = 0; k < KEYWORDS; k++) {
        const entry *at = grammar_want_at(w)->keywords & 1ul << k ? list[k].first : NULL;
        for (; at && suggestion_wants_more(s); at = at->next) {
            if (is_wanted(w, at))
                suggestion_offer(s, (text){at->name->text, at->name->length});
        }
    }
    if (w == WANT_NODE)
        suggestion_offer(s, text_of("atmosphere"));
    if (w == WANT_STATE)
        suggestion_offer(s, text_of("rest"));
    for (size_t i = 0; w == WANT_MOTION && i < sizeof motions / sizeof *motions; i++)
        suggestion_offer(s, text_of(motions[i]));
}

static const char *name_hint(reading *r, want w, text wrong, const grammar_keyword *ends) {
    char title[64];
    snprintf(title, sizeof title, "%s:", grammar_want_at(w)->plural);
    suggestion s = suggestion_begin(r, wrong, title);
    for (size_t i = 0; ends && i < ends->attributes; i++)
        suggestion_compare(&s, text_of(grammar_word(ends->attribute[i].word)));
    resolve_offer(&s, w);
    return suggestion_end(&s);
}

static bool is_valve(const entry *e) {
    switch (e->keyword) {
    case KEYWORD_RESTRICTOR:
    case KEYWORD_SOLENOID:
    case KEYWORD_CHECK_VALVE:
    case KEYWORD_REGULATOR:
    case KEYWORD_RELIEF:
    case KEYWORD_COMPRESSOR:
        return true;
    default:
        return false;
    }
}

const entry *resolve(reading *r, want w, place at, const name *n, const grammar_keyword *ends) {
    const entry *const what = n ? n->meaning : NULL;
    if (what && is_wanted(w, what))
        return what;
    if (what ? what->keyword == KEYWORDS : r->incomplete)
        return NULL; /* what hides it was complained of */
    if (!what)
        complain(r, at, name_hint(r, w, place_text(at), ends), "there is no %s `%s`",
                 grammar_want_at(w)->single, shown(r, place_text(at)));
    else if (w == WANT_NODE && what->keyword == KEYWORD_HOSE)
        complain(r, at, "put a tee where something joins a hose",
                 "`%s` is a hose, which nothing else can end at", n->text);
    else if (w == WANT_NODE && is_valve(what))
        complain(r, at, "put a tee between the two, at which both end",
                 "`%s` is %s, which nothing else can end at", n->text,
                 grammar_at((keyword)what->keyword)->noun);
    else if (w == WANT_LOADED && what->keyword == KEYWORD_SPRING)
        complain(r, at, name_hint(r, w, (text){0}, NULL),
                 "`%s` is a spring on a corner; the corner itself is wanted here", n->text);
    else
        complain(r, at, name_hint(r, w, (text){0}, NULL), "`%s` is %s; %s is wanted here", n->text,
                 grammar_at((keyword)what->keyword)->noun, grammar_want_at(w)->noun);
    return NULL;
}

const entry *build_reference(build *b, const statement *s, const value *v) {
    return resolve(b->r, v->want, statement_value_place(s, v), v->as.name,
                   grammar_at((keyword)s->entry->keyword));
}

/* For names that no statement bears. */
static bool is_called(const statement *s, const value *v, const char *reserved) {
    return (!v->as.name || !v->as.name->meaning) &&
           text_equals(place_text(statement_value_place(s, v)), reserved);
}

int build_node(build *b, const statement *s, const value *v) {
    if (!v || (v->want == WANT_NODE && is_called(s, v, "atmosphere")))
        return 0;
    const entry *const what = build_reference(b, s, v);
    return what ? what->as.path.node : -1;
}

int build_state(build *b, const statement *s, const value *v) {
    if (!v)
        return b->m->charge_state;
    if (is_called(s, v, "rest"))
        return b->m->rest_state;
    const entry *const what = build_reference(b, s, v);
    return what ? what->index : -1;
}

int build_corner(build *b, const statement *s, const value *v) {
    const entry *const what = build_reference(b, s, v);
    if (!what)
        return -1;
    return what->keyword == KEYWORD_SPRING ? b->bench[what->index] : what->index;
}

int build_motion(build *b, const statement *s, const value *v) {
    for (size_t i = 0; i < sizeof motions / sizeof *motions; i++) {
        if (is_called(s, v, motions[i]))
            return SCRIPT_HEAVE - (int)i;
    }
    const entry *const what = build_reference(b, s, v);
    return what ? what->index : 0;
}

static bool is_absolute(const value *v) {
    return v->as.unit->datum == BARONET_DATUM_ABSOLUTE;
}

double pressure_gauge(const model *m, const value *v) {
    return is_absolute(v) ? v->number - m->ambient.pressure : v->number;
}

double pressure_absolute(const model *m, const value *v) {
    return is_absolute(v) ? v->number : v->number + m->ambient.pressure;
}

double build_gauge(build *b, const statement *s, word w) {
    const value *const v = statement_value(s, w);
    if (!v)
        return 0.0;
    const double gauge = pressure_gauge(b->m, v);
    if (gauge <= 0.0)
        complain(b->r, statement_value_place(s, v), NULL, "`%s` is to be above ambient pressure",
                 grammar_word(w));
    return gauge;
}

double build_absolute(build *b, const statement *s, word w) {
    const value *const v = statement_value(s, w);
    if (!v)
        return 0.0;
    const double absolute = pressure_absolute(b->m, v);
    if (absolute <= 0.0)
        complain(b->r, statement_value_place(s, v),
                 "pressures are gauge unless the unit ends in `a`", "`%s` is below a vacuum",
                 grammar_word(w));
    return absolute;
}
