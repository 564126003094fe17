/* parser.h: a statement's bytes become attributes and values, as the grammar's table says. Whatever
   is wrong is complained of once, and the reading goes on with the next attribute that makes sense.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_PARSER_H
#define NETLIST_PARSER_H

#include "netlist/cursor.h"

/* Room for what is read of one statement, used again for the next. Zero-filled is empty. */
typedef struct scratch {
    attribute *attribute;
    size_t attributes, attribute_room;
    value *value;
    size_t values, value_room;
} scratch;

void scratch_free(reading *r, scratch *x);

/* Reads the statement that an entry stands for. Its attributes live in the scratch, until the next
   statement is read there. */
void statement_read(reading *r, scratch *x, const entry *e, statement *out);

/* Makes the attributes of a statement the arena's, so that they stay. */
void statement_keep(reading *r, statement *s);

#endif
