/* SPDX-License-Identifier: MIT */
#include "netlist/address.h"

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
        *out = (address){e, found->row, *v, statement_value_place(&s, v)};
    }
    scratch_free(&r, &x);
    if (r.failed)
        return BARONET_OUT_OF_MEMORY;
    return found ? BARONET_OK : BARONET_NO_SUCH_NAME;
}
