/* parser.h: tokens become statements, as the grammar's table says. Whatever is wrong is complained
   of once, and the reading goes on with the next attribute or statement that makes sense.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_PARSER_H
#define NETLIST_PARSER_H

#include "netlist/lexer.h"
#include "netlist/reading.h"

/* A place in the tokens of one source. */
typedef struct cursor {
    reading *reading;
    source *source;
    lexer lexer;
    token now;                      /* to be taken next */
    token before;                   /* taken last */
    const grammar_keyword *keyword; /* whose attributes may follow; NULL for none */
} cursor;

/* At the token that begins at, or after, this byte. */
cursor cursor_start(reading *r, source *s, uint32_t at);
void cursor_advance(cursor *c);
text cursor_text(const cursor *c);
bool cursor_is_word(const cursor *c, const char *wanted);
/* Where the token stands; at the end of the statement the token before it. */
place cursor_place(const cursor *c);

/* Complains that something else was wanted here, as "`from` wants a node, not `12`". */
void cursor_complain(cursor *c, const char *label, const char *wanted, const char *hint);

/* Reads a quantity as the slot asks for; `label` is what wants it, as "`bore`". False after a
   complaint, with the cursor behind what was wrong, or before what may be an attribute. */
bool quantity_read(cursor *c, const slot *wanted, const char *label, value *out);

/* False for a number that is no size of anything on a vehicle. */
bool quantity_is_reasonable(double x);

/* True where a quantity may begin here: a number, or a name that `let` gave. */
bool quantity_begins(const cursor *c);

/* True where this word is a name: a letter, then letters, digits, `_` and `-`. */
bool parser_is_name(text t);

/* Reads the source, and what it includes, into the reading's netlist. */
void parser_read(reading *r, source *s);

#endif
