/* SPDX-License-Identifier: MIT */
#include "netlist/address.h"

#include <assert.h>
#include <string.h>

#include "netlist/parser.h"

/* The statement that bears the name, or the one of a keyword that stands once. */
static const entry *find_entry(const reading *r, text t) {
    const entry *const named = reading_find(r, t);
    const keyword k = grammar_find(t);
    if (named || k == KEYWORDS || !grammar_at(k)->once)
        return named;
    return r->netlist->list[k].first;
}

static const attribute *find_attribute(const statement *s, const char *word_text) {
    for (uint32_t i = 0; i < s->attributes; i++) {
        const attribute *const a = &s->attribute[i];
        if (a->values > 0 && strcmp(grammar_word(a->row->word), word_text) == 0)
            return a;
    }
    return NULL;
}

static const value *first_number(const attribute *a) {
    for (const value *v = a->value; v < a->value + a->values; v++) {
        if (v->kind == VALUE_NUMBER)
            return v;
    }
    return a->value;
}

const entry *netlist_entry(const baronet_netlist *netlist, text said) {
    const reading r = {.netlist = (baronet_netlist *)netlist};
    return find_entry(&r, said);
}

static slot plain_slot(range range_of) {
    return (slot){SLOT_QUANTITY, BARONET_NUMBER, range_of, DATUM_FREE, 0, NULL};
}

/* A law is a bore, or a word, its number and its detail. */
static slot law_slot(const attribute *a, int position) {
    if (a->value[0].kind == VALUE_NUMBER)
        return grammar_law_at(0)->slot;
    const grammar_law *const flow = grammar_law_at((size_t)a->value[0].number);
    return position == 1 ? flow->slot : plain_slot(flow->detail_range);
}

slot attribute_slot(const attribute *a, int position) {
    const slot *const first = a->row->slot;
    switch (first->kind) {
    case SLOT_LAW:
        return law_slot(a, position);
    case SLOT_LEVERS:
        return plain_slot(a->values == 2 ? RANGE_POSITIVE : RANGE_ANY);
    case SLOT_SHARES:
        return (slot){SLOT_QUANTITY, first->dimension, first->range, DATUM_FREE, 0, NULL};
    default:
        break;
    }
    /* Each value has its slot; words have one too, but leave no value. */
    const slot *at = first;
    for (int before = position; at->kind == SLOT_WORD || at->kind == SLOT_OPTION || before-- > 0;)
        at++;
    assert(at->kind != SLOT_END);
    return *at;
}

baronet_status netlist_address(const baronet_netlist *netlist, const char *said, arena *a,
                               address *out) {
    /* Nothing of the netlist is changed: memory is the caller's, and names are only looked up. */
    reading r = {.netlist = (baronet_netlist *)netlist, .arena = a};
    const char *const dot = strchr(said, '.');
    const entry *const e = find_entry(&r, (text){said, dot ? (size_t)(dot - said) : strlen(said)});
    if (!e || (!dot && e->keyword != KEYWORD_LET))
        return BARONET_NO_SUCH_NAME;
    scratch x = {0};
    statement s;
    statement_read(&r, &x, e, &s);
    const attribute *const found = r.failed ? NULL : find_attribute(&s, dot ? dot + 1 : "");
    if (found) {
        const value *const v = first_number(found);
        const int position = (int)(v - found->value);
        int named = 0;
        for (int i = 0; i < position; i++)
            named += found->value[i].kind == VALUE_NAME;
        *out = (address){.entry = e,
                         .row = found->row,
                         .value = *v,
                         .place = statement_value_place(&s, v),
                         .slot = attribute_slot(found, position),
                         .position = position,
                         .names = named};
    }
    scratch_free(&r, &x);
    if (r.failed)
        return BARONET_OUT_OF_MEMORY;
    return found ? BARONET_OK : BARONET_NO_SUCH_NAME;
}
