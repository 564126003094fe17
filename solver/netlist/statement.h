/* statement.h: what was written. An entry is what is kept of each statement: its keyword, its name
   and where it stands. The rest is read from its bytes whenever it is wanted, as a statement:
   attributes and values, each with its place, so that a value can be found by its address
   (`cross.bypass`) and written anew with all around it kept.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_STATEMENT_H
#define NETLIST_STATEMENT_H

#include "netlist/grammar.h"
#include "netlist/names.h"
#include "netlist/source.h"

typedef struct value value;

typedef struct entry {
    source *source;
    name *name;         /* NULL for none */
    struct entry *next; /* of the same keyword */
    union {
        struct {
            int node, edge; /* in the network; -1 for none */
        } path;
        const value *value; /* of a `let`; NULL where it is wrong */
    } as;
    uint32_t start;  /* of its keyword */
    uint32_t order;  /* in which the statements stand, includes in place */
    int index;       /* among those of its keyword */
    uint8_t keyword; /* KEYWORDS for one that is not known, and whatever bears its name */
    bool bad;        /* something about its name was complained of */
    bool bench;      /* a spring without a corner; known once the springs have been read */
} entry;

typedef enum value_kind {
    VALUE_NUMBER, /* with a unit or without */
    VALUE_NAME,
    VALUE_CHOICE, /* a word among some; `number` is its index */
    VALUE_TEXT
} value_kind;

struct value {
    double number; /* SI by its unit; a mass that is weighed is a force here. A pressure is as
                      written: its unit says against what */
    union {
        const baronet_unit *unit; /* VALUE_NUMBER; NULL for none */
        const name *name;         /* VALUE_NAME; NULL where no statement bears it */
    } as;
    uint32_t start, length; /* bytes of the statement's source; number and unit together, a name
                               that `let` gave alone, text without its quotes */
    value_kind kind;
    want want; /* VALUE_NAME: what it has to stand for */
};

typedef struct attribute {
    const grammar_attribute *row;
    uint32_t start; /* of its word */
    uint32_t values;
    const value *value; /* values */
} attribute;

/* A table's column; `test` is the pressure in its name where it is tested. */
typedef struct table_column {
    const grammar_column *row;
    const baronet_unit *unit;
    value test;
    uint32_t start, length;
} table_column;

typedef struct statement_table {
    size_t columns, rows;
    const table_column *column;
    const value *cell; /* rows x columns */
} statement_table;

typedef struct statement {
    const entry *entry;
    bool bad; /* something in it was complained of: what is missing is no news then */
    uint32_t attributes;
    const attribute *attribute;
    const statement_table *table; /* NULL for none */
} statement;

/* The statement's attribute of that word, the first where it may repeat, or NULL. */
const attribute *statement_find(const statement *s, word w);

/* Its first value, or NULL where it is not given. */
const value *statement_value(const statement *s, word w);

/* Its first number, or `otherwise`. */
double statement_number(const statement *s, word w, double otherwise);

const char *statement_name(const statement *s);

place entry_place(const entry *e);      /* its keyword */
place entry_name_place(const entry *e); /* its name, or its keyword without one */
place statement_value_place(const statement *s, const value *v);
place statement_attribute_place(const statement *s, const attribute *a); /* its word */

/* Bytes of a place. */
text place_text(place p);

#endif
