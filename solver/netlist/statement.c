/* SPDX-License-Identifier: MIT */
#include "netlist/statement.h"

#include <string.h>

#include "netlist/lexer.h"

const attribute *statement_find(const statement *s, word w) {
    for (uint32_t i = 0; i < s->attributes; i++) {
        if (s->attribute[i].row->word == w)
            return &s->attribute[i];
    }
    return NULL;
}

const value *statement_value(const statement *s, word w) {
    const attribute *const a = statement_find(s, w);
    return a && a->values > 0 ? a->value : NULL;
}

double statement_number(const statement *s, word w, double otherwise) {
    const value *const v = statement_value(s, w);
    return v ? v->number : otherwise;
}

const char *statement_name(const statement *s) {
    return s->entry->name ? s->entry->name->text : "";
}

/* The first token of the statement, or its second. */
static place token_place(const entry *e, int skipped) {
    lexer l = lexer_start((text){e->source->bytes, e->source->length});
    token t;
    l.at = e->source->bytes + e->start;
    do
        lexer_next(&l, &t);
    while (skipped-- > 0);
    return (place){e->source, t.start, t.length};
}

place entry_place(const entry *e) {
    return token_place(e, 0);
}

place entry_name_place(const entry *e) {
    return token_place(e, e->name ? 1 : 0);
}

place statement_value_place(const statement *s, const value *v) {
    return (place){s->entry->source, v->start, v->length};
}

place statement_attribute_place(const statement *s, const attribute *a) {
    return (place){s->entry->source, a->start, (uint32_t)strlen(grammar_word(a->row->word))};
}

text place_text(place p) {
    return (text){p.source->bytes + p.start, p.length};
}
