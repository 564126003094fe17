/* SPDX-License-Identifier: MIT */
#include "netlist/parser.h"

#include <stdio.h>
#include <string.h>

#include "netlist/suggestion.h"
#include "netlist/table.h"

/* A statement being read. */
typedef struct parser {
    cursor c;
    scratch *scratch;
    const entry *entry;
    uint64_t seen; /* bits of the keyword's attributes that were given */
    bool bad;
} parser;

#define WORDS_ROOM 64 /* bytes of a few words for a message */

void scratch_free(reading *r, scratch *x) {
    memory_resize(arena_allocator(r->arena), x->attribute, 0);
    memory_resize(arena_allocator(r->arena), x->value, 0);
    *x = (scratch){0};
}

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
    p->bad = true;
    while (p->c.now.kind != TOKEN_END && !is_attribute(p) && !at_table(p))
        cursor_advance(&p->c);
}

/* Readers of slots: false after a complaint. `label` is what the slot belongs to. */

static bool read_quantity(parser *p, const slot *wanted, const char *label) {
    value v;
    return quantity_read(&p->c, wanted, label, &v) && push_value(p, v);
}

static bool read_name(parser *p, const slot *wanted, const char *label) {
    const text t = cursor_text(&p->c);
    const bool word_here = p->c.now.kind == TOKEN_WORD;
    const name *const n = word_here ? names_find(p->c.reading->netlist->names, t) : NULL;
    const char *const noun = grammar_want_at(wanted->want)->noun;
    if (word_here && !n && is_attribute(p)) {
        const place at = {p->c.source, p->c.before.start, p->c.before.length};
        complain(p->c.reading, at, NULL, "`%s` wants %s", label, noun);
        return false;
    }
    if (!word_here) {
        cursor_complain(&p->c, label, noun, NULL);
        return false;
    }
    const token now = p->c.now;
    cursor_advance(&p->c);
    return push_value(p, (value){.as.name = n,
                                 .start = now.start,
                                 .length = now.length,
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
    if (p->c.now.kind == TOKEN_WORD && grammar_is_name(cursor_text(&p->c)))
        return push_token(p, VALUE_TEXT, 0.0);
    cursor_complain(&p->c, label, "a name",
                    "a name is a letter, then letters, digits, `_` and `-`");
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
    char words[WORDS_ROOM];
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
    char words[WORDS_ROOM];
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
        return read_quantity(p, &ratio, "ratio");
    }
    if (!quantity_begins(&p->c))
        return true;
    bool fine = read_quantity(p, &ratio, label);
    while (fine && at_lever(p))
        fine = read_name(p, &corner_name, label) && read_quantity(p, &ratio, label);
    return fine;
}

/* True where one more pair begins: a name that something bears, or a word before a number. */
static bool at_share(const parser *p) {
    return at_lever(p) || (p->c.now.kind == TOKEN_WORD && !is_attribute(p) &&
                           reading_find(p->c.reading, cursor_text(&p->c)));
}

static bool read_shares(parser *p, const slot *wanted, const char *label) {
    const slot named = {SLOT_NAME, BARONET_NUMBER, RANGE_ANY, DATUM_FREE, wanted->want, NULL};
    const slot share = {SLOT_QUANTITY, wanted->dimension, wanted->range, DATUM_FREE, 0, NULL};
    bool fine;
    do
        fine = read_name(p, &named, label) && read_quantity(p, &share, label);
    while (fine && at_share(p));
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
    (void)wanted;
    if (!push_token(p, VALUE_CHOICE, (double)index) || !read_quantity(p, &flow->slot, label))
        return false;
    if (!flow->detail_required && !cursor_is_word(&p->c, detail.text))
        return true;
    return read_word(p, &detail, label) && read_quantity(p, &detail, detail.text);
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
    const char *const label = row->word == WORD_NONE ? p->c.keyword->name : grammar_word(row->word);
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
    p->bad = true;
    p->scratch->values = values;
}

static const char *attribute_hint(parser *p, text wrong) {
    char title[WORDS_ROOM];
    const grammar_keyword *const k = p->c.keyword;
    const name *const n = p->entry->name;
    if (p->scratch->attributes == 0 && n && grammar_attribute_find(k, (text){n->text, n->length}))
        return "its name comes first, right after the keyword";
    const entry *const other = reading_find(p->c.reading, wrong);
    if (p->entry->keyword == KEYWORD_SPRING && other && other->keyword == KEYWORD_CORNER)
        return "where several wheels move a spring each has its number: `on RL 0.85 RR 0.15`";
    if (p->entry->keyword == KEYWORD_COMPRESSOR && !wrong.length)
        return "a table below says what it delivers: `pressure bar  flow L/min`, two rows";
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
    for (size_t i = 0; i < k->attributes && !p->bad; i++) {
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
            complain(r, entry_place(p->entry), hint, "`%s` ends too soon", k->name);
        else
            complain(r, entry_name_place(p->entry), hint, "%s has %s", k->noun,
                     missing.bytes ? missing.bytes : "");
        p->bad = true;
    }
    r->failed |= missing.failed;
    text_buffer_free(&missing);
}

/* Points the attributes at their values, which no longer move. */
static void finish(parser *p, statement *out) {
    scratch *const x = p->scratch;
    size_t first = 0;
    for (size_t i = 0; i < x->attributes && x->values > 0; i++) {
        x->attribute[i].value = &x->value[first];
        first += x->attribute[i].values;
    }
    out->attribute = x->attribute;
    out->attributes = (uint32_t)x->attributes;
    out->bad = p->bad;
}

void statement_read(reading *r, scratch *x, const entry *e, statement *out) {
    parser p = {.scratch = x, .entry = e, .bad = e->bad};
    *out = (statement){.entry = e};
    x->attributes = x->values = 0;
    p.c = cursor_start(r, e->source, e->start);
    p.c.keyword = grammar_at((keyword)e->keyword);
    p.c.order = e->order;
    cursor_advance(&p.c);
    if (e->name)
        cursor_advance(&p.c);
    read_attributes(&p);
    if (p.c.keyword->columns > 0 && p.c.now.kind != TOKEN_END)
        out->table = table_read(&p.c, &p.bad);
    check_required(&p);
    finish(&p, out);
}

void statement_keep(reading *r, statement *s) {
    size_t count = 0;
    for (uint32_t i = 0; i < s->attributes; i++)
        count += s->attribute[i].values;
    attribute *const attributes = READING_ARRAY(r, attribute, s->attributes);
    value *at = READING_ARRAY(r, value, count);
    if (!attributes || !at)
        return;
    for (uint32_t i = 0; i < s->attributes; i++) {
        attributes[i] = s->attribute[i];
        if (attributes[i].values > 0)
            memcpy(at, s->attribute[i].value, attributes[i].values * sizeof *at);
        attributes[i].value = at;
        at += attributes[i].values;
    }
    s->attribute = attributes;
}
