/* SPDX-License-Identifier: MIT */
#include "netlist/statement.h"

#include <string.h>

const attribute *statement_find(const statement *s, word w) {
    for (const attribute *a = s->attribute; a < s->attribute + s->attributes; a++) {
        if (a->row->word == w)
            return a;
    }
    return NULL;
}

const value *statement_value(const statement *s, word w) {
    const attribute *const a = statement_find(s, w);
    return a && a->values > 0 ? a->value : NULL;
}

place statement_place(const statement *s) {
    return (place){s->source, s->start, (uint32_t)strlen(grammar_at(s->keyword)->name)};
}

place statement_name_place(const statement *s) {
    return s->name ? (place){s->source, s->name_start, s->name->length} : statement_place(s);
}

place statement_value_place(const statement *s, const value *v) {
    return (place){s->source, v->start, v->length};
}

place statement_attribute_place(const statement *s, const attribute *a) {
    return (place){s->source, a->start, (uint32_t)strlen(grammar_word(a->row->word))};
}

text place_text(place p) {
    return (text){p.source->bytes + p.start, p.length};
}
