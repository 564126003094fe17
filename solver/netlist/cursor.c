/* cursor.c: a place in the tokens of one source.
   SPDX-License-Identifier: MIT */
#include "netlist/cursor.h"

cursor cursor_start(reading *r, source *s, uint32_t at) {
    cursor c = {.reading = r,
                .source = s,
                .order = UINT32_MAX,
                .lexer = lexer_start((text){s->bytes, s->length})};
    if (at > 0) {
        c.lexer.at = s->bytes + at;
        c.lexer.line_start = false;
    }
    cursor_advance(&c);
    return c;
}

void cursor_advance(cursor *c) {
    c->before = c->now;
    lexer_next(&c->lexer, &c->now);
}

text cursor_text(const cursor *c) {
    return token_text(&c->lexer, &c->now);
}

bool cursor_is_word(const cursor *c, const char *wanted) {
    return c->now.kind == TOKEN_WORD && text_equals(cursor_text(c), wanted);
}

place cursor_place(const cursor *c) {
    const token *const t = c->now.kind == TOKEN_END ? &c->before : &c->now;
    return (place){c->source, t->start, t->length};
}

void cursor_complain(cursor *c, const char *label, const char *wanted, const char *hint) {
    reading *const r = c->reading;
    if (c->now.kind == TOKEN_END)
        complain(r, cursor_place(c), hint, "`%s` wants %s", label, wanted);
    else if (c->now.kind == TOKEN_UNCLOSED)
        complain(r, cursor_place(c), NULL, "a quote is not closed before its line ends");
    else
        complain(r, cursor_place(c), hint, "`%s` wants %s, not `%s`", label, wanted,
                 shown(r, cursor_text(c)));
}
