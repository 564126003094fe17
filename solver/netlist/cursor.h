/* cursor.h: a place in the tokens of one source, and the quantities that stand there.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_CURSOR_H
#define NETLIST_CURSOR_H

#include "netlist/lexer.h"
#include "netlist/reading.h"

typedef struct cursor {
    reading *reading;
    source *source;
    lexer lexer;
    token now;                      /* to be taken next */
    token before;                   /* taken last */
    const grammar_keyword *keyword; /* whose attributes may follow; NULL for none */
    uint32_t order;                 /* of the statement: a `let` counts from the next one on */
} cursor;

/* At the token that begins at, or after, this byte. */
cursor cursor_start(reading *r, source *s, uint32_t at);
void cursor_advance(cursor *c);
text cursor_text(const cursor *c);
bool cursor_is_word(const cursor *c, const char *wanted);
/* Where the token stands; at the end of the statement the token before it. */
place cursor_place(const cursor *c);

/* Complains that `label` wants something else here, as "`from` wants a node, not `12`". */
void cursor_complain(cursor *c, const char *label, const char *wanted, const char *hint);

/* Reads a quantity as the slot asks for; `label` is the word that wants it. False after a
   complaint, with the cursor behind what was wrong, or before what may be an attribute. */
bool quantity_read(cursor *c, const slot *wanted, const char *label, value *out);

/* True where a quantity may begin here: a number, or a name that `let` gave above. */
bool quantity_begins(const cursor *c);

/* Numbers beyond this, or below its reciprocal, are no size of anything on a vehicle. Their squares
   are still finite, so that nothing behind the netlist overflows for their sake. */
#define QUANTITY_LARGEST 1e30

/* False for a number that is no size of anything on a vehicle. */
bool quantity_is_reasonable(double x);

#endif
