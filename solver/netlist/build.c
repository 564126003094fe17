/* SPDX-License-Identifier: MIT */
#include "netlist/build.h"

#include <stdio.h>
#include <string.h>

#include "netlist/suggestion.h"

static const char *const motions[] = {"heave", "roll", "pitch", "warp"}; /* -1, -2, -3, -4 */

/* True for a spring that stands on a bench. */
static bool is_bench(const statement *s) {
    return s->keyword == KEYWORD_SPRING && !statement_find(s, WORD_ON);
}

static bool is_wanted(want w, const statement *s) {
    if (s->keyword == KEYWORDS || !(grammar_want_at(w)->keywords & 1ul << s->keyword))
        return false;
    return w != WANT_LOADED || s->keyword == KEYWORD_CORNER || is_bench(s);
}

/* Offers all names that would do. */
static void offer_names(suggestion *s, want w, const statement_list *list) {
    for (int k = 0; k < KEYWORDS; k++) {
        const statement *at = grammar_want_at(w)->keywords & 1ul << k ? list[k].first : NULL;
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
    offer_names(&s, w, r->netlist->list);
    return suggestion_end(&s);
}

const statement *resolve(reading *r, want w, place at, const name *n, const grammar_keyword *ends) {
    const statement *const what = n ? n->meaning : NULL;
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
    else if (w == WANT_LOADED && what->keyword == KEYWORD_SPRING)
        complain(r, at, name_hint(r, w, (text){0}, NULL),
                 "`%s` is a spring on a corner; the corner itself is wanted here", n->text);
    else
        complain(r, at, name_hint(r, w, (text){0}, NULL), "`%s` is %s; %s is wanted here", n->text,
                 grammar_at(what->keyword)->noun, grammar_want_at(w)->noun);
    return NULL;
}

const statement *build_reference(build *b, const statement *s, const value *v) {
    return resolve(b->r, v->want, statement_value_place(s, v), v->as.name, grammar_at(s->keyword));
}

int build_node(build *b, const statement *s, const value *v) {
    if (!v || (v->want == WANT_NODE && strcmp(v->as.name->text, "atmosphere") == 0))
        return 0;
    const statement *const what = build_reference(b, s, v);
    return what ? what->node : -1;
}

int build_state(build *b, const statement *s, const value *v) {
    if (!v)
        return b->m->charge_state;
    if (strcmp(v->as.name->text, "rest") == 0)
        return b->m->rest_state;
    const statement *const what = build_reference(b, s, v);
    return what ? what->index : -1;
}

int build_corner(build *b, const statement *s, const value *v) {
    const statement *const what = build_reference(b, s, v);
    if (!what)
        return -1;
    return what->keyword == KEYWORD_SPRING ? b->bench[what->index] : what->index;
}

int build_motion(build *b, const statement *s, const value *v) {
    for (size_t i = 0; i < sizeof motions / sizeof *motions; i++) {
        if (strcmp(v->as.name->text, motions[i]) == 0)
            return SCRIPT_HEAVE - (int)i;
    }
    const statement *const what = build_reference(b, s, v);
    return what ? what->index : 0;
}

static bool is_absolute(const value *v) {
    return v->as.unit && v->as.unit->datum == BARONET_DATUM_ABSOLUTE;
}

double pressure_gauge(const model *m, const value *v) {
    return is_absolute(v) ? v->number - m->ambient.pressure : v->number;
}

double pressure_absolute(const model *m, const value *v) {
    return is_absolute(v) ? v->number : v->number + m->ambient.pressure;
}

double build_number(const statement *s, word w, double otherwise) {
    const value *const v = statement_value(s, w);
    return v ? v->number : otherwise;
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
