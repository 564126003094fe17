/* SPDX-License-Identifier: MIT */
#include "netlist/parser.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "netlist/suggestion.h"
#include "netlist/table.h"

/* What is read of the present statement, before it is known how much it is. */
typedef struct scratch {
    attribute *attribute;
    size_t attributes, attribute_room;
    value *value;
    size_t values, value_room;
} scratch;

typedef struct parser {
    cursor c;
    scratch *scratch;
    statement *s;                /* being read */
    const grammar_keyword *last; /* of the statement before it, NULL for none */
    uint64_t seen;               /* bits of the keyword's attributes that were given */
    int depth;                   /* of includes */
} parser;

#define LABEL 48 /* bytes of a keyword or attribute in backticks */

static bool push_value(parser *p, value v) {
    reading *const r = p->c.reading;
    scratch *const x = p->scratch;
    value *const grown =
        memory_grow(arena_allocator(r->arena), x->value, x->values, &x->value_room, sizeof *grown);
    r->failed |= !grown;
    if (!grown)
        return false;
    x->value = grown;
    x->value[x->values++] = v;
    return true;
}

/* The token at the cursor as a value; goes over it. */
static bool push_token(parser *p, value_kind kind, double number) {
    const token t = p->c.now;
    cursor_advance(&p->c);
    return push_value(
        p, (value){.number = number, .start = t.start, .length = t.length, .kind = kind});
}

static bool is_attribute(const parser *p) {
    return p->c.now.kind == TOKEN_WORD && grammar_attribute_find(p->c.keyword, cursor_text(&p->c));
}

static bool at_table(const parser *p) {
    return p->c.keyword->columns > 0 && p->c.now.first_in_line;
}

/* Goes on to what makes sense again after something that did not. */
static void recover(parser *p) {
    p->s->bad = true;
    while (p->c.now.kind != TOKEN_END && !is_attribute(p) && !at_table(p))
        cursor_advance(&p->c);
}

/* Readers of slots: false after a complaint. `label` is what the slot belongs to. */

static bool read_quantity(parser *p, const slot *wanted, const char *label) {
    value v;
    return quantity_read(&p->c, wanted, label, &v) && push_value(p, v);
}

static bool read_name(parser *p, const slot *wanted, const char *label) {
    if (p->c.now.kind != TOKEN_WORD) {
        cursor_complain(&p->c, label, grammar_want_at(wanted->want)->noun, NULL);
        return false;
    }
    const token t = p->c.now;
    name *const n = reading_name(p->c.reading, cursor_text(&p->c));
    cursor_advance(&p->c);
    return n && push_value(p, (value){.as.name = n,
                                      .start = t.start,
                                      .length = t.length,
                                      .kind = VALUE_NAME,
                                      .want = wanted->want});
}

static bool read_names(parser *p, const slot *wanted, const char *label) {
    bool fine = read_name(p, wanted, label);
    while (fine && p->c.now.kind == TOKEN_WORD && !is_attribute(p))
        fine = read_name(p, wanted, label);
    return fine;
}

static bool read_label(parser *p, const slot *wanted, const char *label) {
    (void)wanted;
    if (p->c.now.kind == TOKEN_WORD && parser_is_name(cursor_text(&p->c)))
        return push_token(p, VALUE_TEXT, 0.0);
    cursor_complain(&p->c, label, "a name", "a letter, then letters, digits, `_` and `-`");
    return false;
}

static bool read_text(parser *p, const slot *wanted, const char *label) {
    (void)wanted;
    if (p->c.now.kind == TOKEN_TEXT)
        return push_token(p, VALUE_TEXT, 0.0);
    cursor_complain(&p->c, label, "a text in quotes", NULL);
    return false;
}

static bool read_word(parser *p, const slot *wanted, const char *label) {
    if (cursor_is_word(&p->c, wanted->text)) {
        cursor_advance(&p->c);
        return true;
    }
    char words[LABEL];
    snprintf(words, sizeof words, "the word `%s`", wanted->text);
    cursor_complain(&p->c, label, words, NULL);
    return false;
}

static bool read_choice(parser *p, const slot *wanted, const char *label) {
    int index = 0;
    for (const char *at = wanted->text; *at; index++) {
        const text one = {at, strcspn(at, " ")};
        if (p->c.now.kind == TOKEN_WORD && text_same(cursor_text(&p->c), one))
            return push_token(p, VALUE_CHOICE, index);
        at += one.length + (at[one.length] == ' ');
    }
    char words[LABEL];
    const size_t first = strcspn(wanted->text, " ");
    snprintf(words, sizeof words, "`%.*s` or `%s`", (int)first, wanted->text,
             wanted->text + first + 1);
    cursor_complain(&p->c, label, words, NULL);
    return false;
}

static const slot plain_number = {SLOT_QUANTITY, BARONET_NUMBER, RANGE_ANY, DATUM_FREE, 0, NULL};
static const slot corner_name = {SLOT_NAME,  BARONET_NUMBER, RANGE_ANY,
                                 DATUM_FREE, WANT_CORNER,    NULL};

/* True where a name and then a number stand at the cursor. */
static bool at_lever(const parser *p) {
    if (p->c.now.kind != TOKEN_WORD || is_attribute(p))
        return false;
    cursor ahead = p->c;
    cursor_advance(&ahead);
    return quantity_begins(&ahead);
}

static bool read_levers(parser *p, const slot *wanted, const char *label) {
    (void)wanted;
    slot ratio = plain_number;
    if (!read_name(p, &corner_name, label))
        return false;
    if (cursor_is_word(&p->c, "ratio")) {
        cursor_advance(&p->c);
        ratio.range = RANGE_POSITIVE;
        return read_quantity(p, &ratio, "`ratio`");
    }
    if (!quantity_begins(&p->c))
        return true;
    bool fine = read_quantity(p, &ratio, label);
    while (fine && at_lever(p))
        fine = read_name(p, &corner_name, label) && read_quantity(p, &ratio, label);
    return fine;
}

static bool read_shares(parser *p, const slot *wanted, const char *label) {
    const slot named = {SLOT_NAME, BARONET_NUMBER, RANGE_ANY, DATUM_FREE, wanted->want, NULL};
    const slot share = {SLOT_QUANTITY, wanted->dimension, wanted->range, DATUM_FREE, 0, NULL};
    bool fine;
    do
        fine = read_name(p, &named, label) && read_quantity(p, &share, label);
    while (fine && p->c.now.kind == TOKEN_WORD && !is_attribute(p));
    return fine;
}

static bool read_law(parser *p, const slot *wanted, const char *label) {
    size_t index = 0;
    while (index < GRAMMAR_LAWS &&
           !cursor_is_word(&p->c, grammar_word(grammar_law_at(index)->word)))
        index++;
    if (index == GRAMMAR_LAWS)
        return read_quantity(p, &grammar_law_at(0)->slot, label);
    const grammar_law *const flow = grammar_law_at(index);
    slot detail = plain_number;
    detail.range = flow->detail_range;
    detail.text = grammar_word(flow->detail);
    char words[LABEL];
    snprintf(words, sizeof words, "`%s`", detail.text);
    (void)wanted;
    if (!push_token(p, VALUE_CHOICE, (double)index) || !read_quantity(p, &flow->slot, label))
        return false;
    if (!flow->detail_required && !cursor_is_word(&p->c, detail.text))
        return true;
    return read_word(p, &detail, label) && read_quantity(p, &detail, words);
}

/* Keeps the stretch of tokens for later. */
static bool read_wish(parser *p, const slot *wanted, const char *label) {
    (void)wanted, (void)label;
    const uint32_t start = p->c.now.start;
    while (p->c.now.kind != TOKEN_END)
        cursor_advance(&p->c);
    const uint32_t end = p->c.before.start + p->c.before.length;
    return push_value(p, (value){.start = start, .length = end - start, .kind = VALUE_TEXT});
}

static bool (*const readers[])(parser *, const slot *, const char *) = {
    [SLOT_QUANTITY] = read_quantity, [SLOT_WEIGHT] = read_quantity, [SLOT_ANY] = read_quantity,
    [SLOT_NAME] = read_name,         [SLOT_NAMES] = read_names,     [SLOT_LABEL] = read_label,
    [SLOT_TEXT] = read_text,         [SLOT_WORD] = read_word,       [SLOT_OPTION] = read_word,
    [SLOT_CHOICE] = read_choice,     [SLOT_LEVERS] = read_levers,   [SLOT_SHARES] = read_shares,
    [SLOT_LAW] = read_law,           [SLOT_WISH] = read_wish,
};

static bool read_pattern(parser *p, const grammar_attribute *row) {
    char label[LABEL];
    snprintf(label, sizeof label, "`%s`",
             row->word == WORD_NONE ? p->c.keyword->name : grammar_word(row->word));
    for (const slot *at = row->slot; at->kind != SLOT_END; at++) {
        if (at->kind == SLOT_OPTION && !cursor_is_word(&p->c, at->text))
            return true;
        if (!readers[at->kind](p, at, label))
            return false;
    }
    return true;
}

static bool push_attribute(parser *p, const grammar_attribute *row, uint32_t start, size_t values) {
    reading *const r = p->c.reading;
    scratch *const x = p->scratch;
    attribute *const grown = memory_grow(arena_allocator(r->arena), x->attribute, x->attributes,
                                         &x->attribute_room, sizeof *grown);
    r->failed |= !grown;
    if (!grown)
        return false;
    x->attribute = grown;
    x->attribute[x->attributes++] = (attribute){row, start, (uint32_t)values, NULL};
    return true;
}

/* Reads one attribute, its word taken already unless it has none. What is wrong is dropped. */
static void read_attribute(parser *p, const grammar_attribute *row, place at) {
    const uint64_t bit = UINT64_C(1) << (row - p->c.keyword->attribute);
    const size_t values = p->scratch->values;
    const bool again = (p->seen & bit) && !row->repeats;
    p->seen |= bit;
    if (again)
        complain(p->c.reading, at, NULL, "`%s` is given twice", grammar_word(row->word));
    const bool fine = read_pattern(p, row);
    if (!fine)
        recover(p);
    if (fine && !again && push_attribute(p, row, at.start, p->scratch->values - values))
        return;
    p->s->bad = true;
    p->scratch->values = values;
}

static const char *attribute_hint(parser *p, text wrong) {
    char title[LABEL];
    const grammar_keyword *const k = p->c.keyword;
    const name *const n = p->s->name;
    if (p->scratch->attributes == 0 && n && grammar_attribute_find(k, (text){n->text, n->length}))
        return "its name comes first, right after the keyword";
    snprintf(title, sizeof title, "%s takes:", k->noun);
    suggestion s = suggestion_begin(p->c.reading, wrong, title);
    for (size_t i = 0; i < k->attributes; i++) {
        if (k->attribute[i].word != WORD_NONE)
            suggestion_offer(&s, text_of(grammar_word(k->attribute[i].word)));
    }
    return suggestion_end(&s);
}

/* Complains of what stands where an attribute is wanted. */
static void complain_of_stray(parser *p) {
    reading *const r = p->c.reading;
    const grammar_keyword *const k = p->c.keyword;
    const text t = cursor_text(&p->c);
    const place at = cursor_place(&p->c);
    if (p->c.now.kind == TOKEN_UNCLOSED)
        complain(r, at, NULL, "a quote is not closed before its line ends");
    else if (k->attributes == 1 && grammar_direct(k))
        complain(r, at, NULL, "`%s` is too much: nothing more belongs to `%s`", shown(r, t),
                 k->name);
    else if (p->c.now.kind == TOKEN_WORD)
        complain(r, at, attribute_hint(p, t), "`%s` is no attribute of %s", shown(r, t), k->noun);
    else
        complain(r, at, attribute_hint(p, (text){0}),
                 "`%s` stands where an attribute of %s is wanted", shown(r, t), k->noun);
    cursor_advance(&p->c);
    recover(p);
}

static void read_attributes(parser *p) {
    const grammar_attribute *const direct = grammar_direct(p->c.keyword);
    while (p->c.now.kind != TOKEN_END && !at_table(p)) {
        const place at = cursor_place(&p->c);
        const grammar_attribute *const row =
            p->c.now.kind == TOKEN_WORD ? grammar_attribute_find(p->c.keyword, cursor_text(&p->c))
                                        : NULL;
        if (row) {
            cursor_advance(&p->c);
            read_attribute(p, row, at);
        } else if (direct && !(p->seen & 1)) {
            read_attribute(p, direct, at);
        } else {
            complain_of_stray(p);
        }
    }
}

/* Complains of all required attributes that are missing, in one message. */
static void check_required(parser *p) {
    reading *const r = p->c.reading;
    const grammar_keyword *const k = p->c.keyword;
    const grammar_attribute *first = NULL;
    text_buffer missing = {.allocator = arena_allocator(r->arena)};
    for (size_t i = 0; i < k->attributes && !p->s->bad; i++) {
        const grammar_attribute *const row = &k->attribute[i];
        if (!row->required || (p->seen & UINT64_C(1) << i))
            continue;
        text_buffer_format(&missing, "%sno `%s`", first ? " and " : "", grammar_word(row->word));
        first = first ? first : row;
    }
    if (first) {
        char hint[128];
        const bool direct = first->word == WORD_NONE;
        snprintf(hint, sizeof hint, "such as `%s%s%s`",
                 direct ? k->example : grammar_word(first->word), direct ? "" : " ",
                 direct ? "" : first->example);
        if (direct)
            complain(r, statement_place(p->s), hint, "`%s` ends too soon", k->name);
        else
            complain(r, statement_name_place(p->s), hint, "%s has %s", k->noun,
                     missing.bytes ? missing.bytes : "");
        p->s->bad = true;
    }
    r->failed |= missing.failed;
    text_buffer_free(&missing);
}

/* Moves what was read from the scratch into the statement. */
static void keep_attributes(parser *p) {
    reading *const r = p->c.reading;
    scratch *const x = p->scratch;
    attribute *const attributes = READING_ARRAY(r, attribute, x->attributes);
    value *at = READING_ARRAY(r, value, x->values);
    if (!attributes || !at)
        return;
    if (x->values > 0)
        memcpy(at, x->value, x->values * sizeof *at);
    for (size_t i = 0; i < x->attributes; i++) {
        attributes[i] = x->attribute[i];
        attributes[i].value = at;
        at += attributes[i].values;
    }
    p->s->attribute = attributes;
    p->s->attributes = (uint32_t)x->attributes;
}

bool parser_is_name(text t) {
    for (size_t i = 0; i < t.length; i++) {
        const char c = t.start[i];
        const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        if (!letter && (i == 0 || !((c >= '0' && c <= '9') || c == '_' || c == '-')))
            return false;
    }
    return t.length > 0;
}

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
static bool may_be_called(parser *p, const name *n) {
    reading *const r = p->c.reading;
    const statement *const taken = n->meaning;
    const char *const why = reserved(p->s->keyword, (text){n->text, n->length});
    const place at = cursor_place(&p->c);
    if (why)
        complain(r, at, why, "%s may not be called `%s`", p->c.keyword->noun, n->text);
    else if (taken && taken->keyword < KEYWORDS)
        complain(r, at, NULL, "`%s` is taken: it is %s at %s", n->text,
                 grammar_at(taken->keyword)->noun, shown_place(r, statement_name_place(taken)));
    return !why && !taken;
}

/* Reads the statement's name; what it stands for is said by the caller. */
static void read_own_name(parser *p) {
    reading *const r = p->c.reading;
    const text t = cursor_text(&p->c);
    if (p->c.now.kind == TOKEN_WORD && parser_is_name(t)) {
        p->s->name = reading_name(r, t);
        p->s->name_start = p->c.now.start;
        if (p->s->name && !may_be_called(p, p->s->name))
            p->s->bad = true;
        else if (p->s->name && p->s->keyword != KEYWORD_LET)
            p->s->name->meaning = p->s;
        cursor_advance(&p->c);
        return;
    }
    char label[LABEL];
    snprintf(label, sizeof label, "`%s`", p->c.keyword->name);
    cursor_complain(&p->c, label, "a name", "a letter, then letters, digits, `_` and `-`");
    recover(p);
}

/* Complains of a word in the first column that is no keyword; whatever it names counts as defined,
   so that its uses are not complained of as well. */
static void complain_of_keyword(parser *p) {
    reading *const r = p->c.reading;
    const text t = cursor_text(&p->c);
    const place at = cursor_place(&p->c);
    const bool carries_on =
        p->c.now.kind == TOKEN_NUMBER || (p->last && grammar_attribute_find(p->last, t));
    suggestion s = suggestion_begin(r, t, "keywords:");
    for (int k = 0; k < KEYWORDS; k++)
        suggestion_offer(&s, text_of(grammar_at((keyword)k)->name));
    const char *const hint = suggestion_end(&s);
    complain(r, at, carries_on ? "lines that carry a statement on are indented" : hint,
             "`%s` is no keyword", shown(r, t));
    cursor_advance(&p->c);
    const text second = cursor_text(&p->c);
    if (p->c.now.kind != TOKEN_WORD || !parser_is_name(second) || carries_on)
        return;
    name *const n = reading_name(r, second);
    statement *const unknown = READING_ARRAY(r, statement, 1);
    if (n && unknown && !n->meaning) {
        *unknown = (statement){.keyword = KEYWORDS, .bad = true, .source = p->c.source};
        n->meaning = unknown;
    }
}

/* Adds the statement to those of its keyword, with its number in the network. */
static void link_statement(parser *p) {
    baronet_netlist *const net = p->c.reading->netlist;
    statement *const s = p->s;
    statement_list *const list = &net->list[s->keyword];
    s->index = list->count++;
    s->node = p->c.keyword->node ? ++net->nodes : -1;
    s->edge = p->c.keyword->edge ? net->edges++ : -1;
    if (list->last)
        list->last->next = s;
    else
        list->first = s;
    list->last = s;
}

static void check_once(parser *p) {
    reading *const r = p->c.reading;
    const statement *const first = r->netlist->list[p->s->keyword].first;
    if (p->c.keyword->once && first)
        complain(r, statement_place(p->s), NULL, "a second `%s`; the first is at %s",
                 p->c.keyword->name, shown_place(r, statement_place(first)));
}

static void read_source(reading *r, source *f, scratch *x, int depth);

/* "`a.air` includes `b.air` includes `a.air`" for a circle that ends at `f`. */
static void complain_of_circle(parser *p, place at, const source *f) {
    reading *const r = p->c.reading;
    text_buffer chain = {.allocator = arena_allocator(r->arena)};
    const size_t most = 400; /* bytes; a longer chain is cut in its middle */
    text_buffer_format(&chain, "`%s`", f->shown);
    for (const source *s = p->c.source; s != f && chain.length < most; s = s->parent)
        text_buffer_format(&chain, ", included by `%s`", s->shown);
    text_buffer_format(&chain, ", included by `%s`", f->shown);
    if (!chain.failed)
        complain(r, at, NULL, "this include is circular: %s", chain.bytes);
    r->failed |= chain.failed;
    text_buffer_free(&chain);
}

static void read_include(parser *p) {
    reading *const r = p->c.reading;
    const value *const v = statement_value(p->s, WORD_NONE);
    if (!v)
        return;
    const place at = statement_value_place(p->s, v);
    if (p->depth >= BARONET_INCLUDE_DEPTH) {
        complain(r, at, NULL, "includes are more than %d deep", BARONET_INCLUDE_DEPTH);
        r->incomplete = true;
        return;
    }
    source *f = NULL;
    bool fresh = false;
    const char *reason = "";
    const char *const path = sources_join(&r->netlist->sources, p->c.source, place_text(at));
    const baronet_status status =
        path ? sources_load(&r->netlist->sources, path, p->c.source, &f, &fresh, &reason)
             : BARONET_OUT_OF_MEMORY;
    if (status == BARONET_OUT_OF_MEMORY) {
        r->failed = true;
    } else if (status != BARONET_OK) {
        complain(r, at, NULL, "`%s` cannot be included: %s", shown(r, text_of(path)), reason);
        r->incomplete = true;
    } else if (fresh) {
        read_source(r, f, p->scratch, p->depth + 1);
    } else if (f->open) {
        complain_of_circle(p, at, f);
    }
}

static void read_table(parser *p) {
    statement_table *table = NULL;
    if (p->c.keyword->columns > 0 && p->c.now.kind != TOKEN_END)
        table = table_read(&p->c, &p->s->bad);
    p->s->table = table;
}

static void read_statement(parser *p) {
    reading *const r = p->c.reading;
    const keyword k = p->c.now.kind == TOKEN_WORD ? grammar_find(cursor_text(&p->c)) : KEYWORDS;
    if (k == KEYWORDS) {
        complain_of_keyword(p);
        return;
    }
    p->s = READING_ARRAY(r, statement, 1);
    if (!p->s)
        return;
    *p->s = (statement){.keyword = k, .source = p->c.source, .start = p->c.now.start};
    p->c.keyword = grammar_at(k);
    p->seen = 0;
    p->scratch->attributes = p->scratch->values = 0;
    cursor_advance(&p->c);
    if (p->c.keyword->named)
        read_own_name(p);
    read_attributes(p);
    read_table(p);
    check_required(p);
    keep_attributes(p);
    check_once(p);
    if (k == KEYWORD_LET && p->s->name && !p->s->name->meaning)
        p->s->name->meaning = p->s;
    if (!p->c.keyword->named || p->s->name)
        link_statement(p);
    p->last = p->c.keyword;
    if (k == KEYWORD_INCLUDE)
        read_include(p);
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

static void check_start(reading *r, source *f, cursor c) {
    if (c.now.kind != TOKEN_END && c.now.start > 0 && c.now.first_in_line &&
        c.lexer.at > f->bytes && f->bytes[c.now.start - 1] != '\n' &&
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
    parser p = {.scratch = x, .depth = depth};
    p.c = (cursor){.reading = r, .source = f, .lexer = lexer_start((text){f->bytes, f->length})};
    f->open = true;
    while (!r->failed && lexer_next_statement(&p.c.lexer)) {
        cursor_advance(&p.c);
        read_statement(&p);
    }
    f->open = false;
}

void parser_read(reading *r, source *s) {
    scratch x = {0};
    read_source(r, s, &x, 0);
    memory_resize(arena_allocator(r->arena), x.attribute, 0);
    memory_resize(arena_allocator(r->arena), x.value, 0);
}
