/* SPDX-License-Identifier: MIT */
#include "netlist/outline.h"

#include <stdio.h>
#include <string.h>

#include "netlist/parser.h"
#include "netlist/suggestion.h"

/* One source being gone over. */
typedef struct outline {
    cursor c;
    scratch *scratch;
    entry *last; /* the statement before, NULL for none */
    int depth;   /* of includes */
} outline;

static bool is_among(text t, const char *const *words) {
    while (*words && !text_equals(t, *words))
        words++;
    return *words != NULL;
}

/* Why a thing of this kind may not have this name; NULL where it may. */
static const char *reserved(keyword k, text t) {
    static const char *const motions[] = {"heave", "pitch", "roll", "warp", NULL};
    static const char *const ends[] = {"ratio", "levelled", "unlevelled", NULL};
    static const char *const positions[] = {"open", "shut", NULL};
    if (text_equals(t, "rest"))
        return "it is the state in which every solenoid is de-energised";
    if (text_equals(t, "atmosphere"))
        return "it is the air outside";
    if ((k == KEYWORD_MOTION || k == KEYWORD_CORNER || k == KEYWORD_SPRING) && is_among(t, motions))
        return "every vehicle has a motion of that name";
    if (k == KEYWORD_CORNER &&
        (is_among(t, ends) || grammar_attribute_find(grammar_at(KEYWORD_SPRING), t)))
        return "where corners are listed, this word ends the list";
    if (k == KEYWORD_SOLENOID && is_among(t, positions))
        return "where solenoids are listed, this word ends the list";
    return NULL;
}

/* True where the statement may take this name. */
static bool may_be_called(outline *o, keyword k, const name *n) {
    reading *const r = o->c.reading;
    const entry *const taken = n->meaning;
    const char *const why = reserved(k, (text){n->text, n->length});
    const place at = cursor_place(&o->c);
    if (why)
        complain(r, at, why, "%s may not be called `%s`", grammar_at(k)->noun, n->text);
    else if (taken && taken->keyword < KEYWORDS)
        complain(r, at, NULL, "`%s` is taken: it is %s at %s", n->text,
                 grammar_at((keyword)taken->keyword)->noun, shown_place(r, entry_place(taken)));
    return !why && !taken;
}

/* Reads the statement's name; false after a complaint that there is none. */
static bool read_own_name(outline *o, entry *e) {
    reading *const r = o->c.reading;
    const text t = cursor_text(&o->c);
    if (o->c.now.kind != TOKEN_WORD || !grammar_is_name(t)) {
        cursor_complain(&o->c, grammar_at((keyword)e->keyword)->name, "a name",
                        "a name is a letter, then letters, digits, `_` and `-`");
        return false;
    }
    e->name = reading_name(r, t);
    if (e->name && may_be_called(o, (keyword)e->keyword, e->name))
        e->name->meaning = e;
    else
        e->bad = true;
    return e->name != NULL;
}

/* Complains of a word in the first column that is no keyword; whatever it names counts as defined,
   so that its uses are not complained of as well. */
static void complain_of_keyword(outline *o) {
    reading *const r = o->c.reading;
    const text t = cursor_text(&o->c);
    const place at = cursor_place(&o->c);
    const bool carries_on =
        o->last && (o->c.now.kind == TOKEN_NUMBER ||
                    grammar_attribute_find(grammar_at((keyword)o->last->keyword), t));
    suggestion s = suggestion_begin(r, t, "keywords:");
    for (int k = 0; k < KEYWORDS; k++)
        suggestion_offer(&s, text_of(grammar_at((keyword)k)->name));
    const char *const hint = suggestion_end(&s);
    complain(r, at, carries_on ? "lines that carry a statement on are indented" : hint,
             "`%s` is no keyword", shown(r, t));
    if (carries_on) {
        o->last->bad = true; /* it has less than was meant */
        return;
    }
    cursor_advance(&o->c);
    const text second = cursor_text(&o->c);
    if (o->c.now.kind != TOKEN_WORD || !grammar_is_name(second))
        return;
    name *const n = reading_name(r, second);
    entry *const unknown = READING_ARRAY(r, entry, 1);
    if (n && unknown && !n->meaning) {
        *unknown = (entry){.source = o->c.source, .keyword = KEYWORDS, .bad = true};
        n->meaning = unknown;
    }
}

/* Adds the statement to those of its keyword, with its number in the network. */
static void link_entry(outline *o, entry *e) {
    baronet_netlist *const net = o->c.reading->netlist;
    const grammar_keyword *const k = grammar_at((keyword)e->keyword);
    entries *const list = &net->list[e->keyword];
    const entry *const first = list->first;
    e->index = list->count++;
    e->as.path.node = k->node ? ++net->nodes : -1;
    e->as.path.edge = k->edge ? net->edges++ : -1;
    if (list->last)
        list->last->next = e;
    else
        list->first = e;
    list->last = e;
    if (k->once && first)
        complain(o->c.reading, entry_place(e), NULL, "a second `%s`; the first is at %s", k->name,
                 shown_place(o->c.reading, entry_place(first)));
}

static void read_source(reading *r, source *f, scratch *x, int depth);

/* "`a.air` includes `b.air` includes `a.air`" for a circle that ends at `f`. */
static void complain_of_circle(outline *o, place at, const source *f) {
    reading *const r = o->c.reading;
    text_buffer chain = {.allocator = arena_allocator(r->arena)};
    const size_t most = 400; /* bytes; a longer chain is cut in its middle */
    text_buffer_format(&chain, "`%s`", f->shown);
    for (const source *s = o->c.source; s != f && chain.length < most; s = s->parent)
        text_buffer_format(&chain, ", included by `%s`", s->shown);
    text_buffer_format(&chain, ", included by `%s`", f->shown);
    if (!chain.failed)
        complain(r, at, NULL, "this include is circular: %s", chain.bytes);
    r->failed |= chain.failed;
    text_buffer_free(&chain);
}

static void read_include(outline *o, const entry *e) {
    reading *const r = o->c.reading;
    statement said;
    statement_read(r, o->scratch, e, &said);
    const value *const v = statement_value(&said, WORD_NONE);
    if (!v)
        return;
    const place at = statement_value_place(&said, v);
    if (o->depth >= BARONET_INCLUDE_DEPTH) {
        complain(r, at, NULL, "includes are more than %d deep", BARONET_INCLUDE_DEPTH);
        r->incomplete = true;
        return;
    }
    source *f = NULL;
    bool fresh = false;
    const char *reason = "";
    const char *const path = sources_join(&r->netlist->sources, o->c.source, place_text(at));
    const baronet_status status =
        path ? sources_load(&r->netlist->sources, path, o->c.source, &f, &fresh, &reason)
             : BARONET_OUT_OF_MEMORY;
    if (status == BARONET_OUT_OF_MEMORY) {
        r->failed = true;
    } else if (status != BARONET_OK) {
        complain(r, at, NULL, "`%s` cannot be included: %s", shown(r, text_of(path)), reason);
        r->incomplete = true;
    } else if (fresh) {
        read_source(r, f, o->scratch, o->depth + 1);
    } else if (f->open) {
        complain_of_circle(o, at, f);
    }
}

/* A value is wanted as soon as its name is. */
static void read_let(outline *o, entry *e) {
    statement s;
    e->as.value = NULL;
    statement_read(o->c.reading, o->scratch, e, &s);
    statement_keep(o->c.reading, &s);
    if (!o->c.reading->failed)
        e->as.value = statement_value(&s, WORD_NONE);
}

static void read_entry(outline *o) {
    reading *const r = o->c.reading;
    const keyword k = o->c.now.kind == TOKEN_WORD ? grammar_find(cursor_text(&o->c)) : KEYWORDS;
    const uint32_t order = r->order++;
    if (k == KEYWORDS) {
        complain_of_keyword(o);
        return;
    }
    entry *const e = READING_ARRAY(r, entry, 1);
    if (!e)
        return;
    e->source = o->c.source;
    e->start = o->c.now.start;
    e->order = order;
    e->keyword = (uint8_t)k;
    o->last = e;
    cursor_advance(&o->c);
    if (grammar_at(k)->named && !read_own_name(o, e))
        return;
    link_entry(o, e);
    if (k == KEYWORD_LET)
        read_let(o, e);
    if (k == KEYWORD_INCLUDE)
        read_include(o, e);
}

/* Complains of the first byte that is no text; false where nothing of the file can be. */
static bool check_bytes(reading *r, source *f) {
    const size_t at = text_valid_utf8(f->bytes, f->length);
    if (at == f->length)
        return true;
    const place where = {f, (uint32_t)at, 1};
    const bool wide = f->length >= 2 && (memcmp(f->bytes, "\xFF\xFE", 2) == 0 ||
                                         memcmp(f->bytes, "\xFE\xFF", 2) == 0);
    if (wide)
        complain(r, (place){f, PLACE_WHOLE, 0}, "save it as UTF-8", "the file is UTF-16");
    else if (f->bytes[at] == 0)
        complain(r, where, NULL, "a NUL byte, which no text has");
    else
        complain(r, where, "save the file as UTF-8", "a byte that is not UTF-8");
    return !wide;
}

/* False, after a complaint, where there are more statements than may be. */
static bool has_room(outline *o) {
    reading *const r = o->c.reading;
    if (r->order < BARONET_STATEMENT_LIMIT)
        return true;
    if (r->order++ == BARONET_STATEMENT_LIMIT)
        complain(r, cursor_place(&o->c), NULL, "a netlist has at most %d statements",
                 BARONET_STATEMENT_LIMIT);
    return false;
}

static void check_start(reading *r, source *f, cursor c) {
    /* A cursor at the start ends before the first statement, unless that is the first byte. */
    if (c.now.kind != TOKEN_END && c.now.start > 0 &&
        (c.now.start != 3 || (unsigned char)f->bytes[0] != 0xEF))
        complain(r, cursor_place(&c), "a statement begins in the first column",
                 "this line carries on a statement, but none stands before it");
}

static void read_source(reading *r, source *f, scratch *x, int depth) {
    if (!check_bytes(r, f)) {
        r->incomplete = true;
        return;
    }
    check_start(r, f, cursor_start(r, f, 0));
    outline o = {.scratch = x, .depth = depth};
    o.c = (cursor){.reading = r, .source = f, .lexer = lexer_start((text){f->bytes, f->length})};
    f->open = true;
    while (!r->failed && lexer_next_statement(&o.c.lexer)) {
        cursor_advance(&o.c);
        if (!has_room(&o))
            break;
        read_entry(&o);
    }
    f->open = false;
}

void outline_read(reading *r, source *s) {
    scratch x = {0};
    read_source(r, s, &x, 0);
    scratch_free(r, &x);
}
