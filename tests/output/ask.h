/* ask.h: questions asked of netlists as the program asks them, and what has to hold of every text
   and every table of figures that comes back.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_OUTPUT_ASK_H
#define TESTS_OUTPUT_ASK_H

#include "baronet/baronet.h"

typedef struct ask_study {
    const char *name;
    baronet_study *study;
    bool series; /* its CSV is one of curves, not of figures */
    bool quick;  /* cheap enough for every combination of what can be asked */
    bool states; /* answers for the state that is asked for */
    bool cases;  /* answers for the load case that is asked for */
} ask_study;

/* Every study that there is; a name of NULL ends the list. */
extern const ask_study ask_studies[];

/* A netlist that has to be sound, from a file or from text. */
baronet_netlist *ask_file(const char *path);
baronet_netlist *ask_text(const char *words);

/* An answer that has to come, whatever it is. */
baronet_answer *ask(const baronet_netlist *netlist, baronet_study *study,
                    const baronet_question *question);

/* A rendering that has to succeed; the answer's, until the next. */
const char *ask_render(baronet_answer *answer, baronet_format format, bool colour);

/* The page of one question in metric units, every state; to be freed. */
char *ask_page(const char *netlist_text, baronet_study *study);

/* Whether this is part of the page, as it is or once its broken lines are joined. */
bool ask_says(const char *page, const char *part);

/* Fails the test where it is not. */
void ask_expect(const char *page, const char *part);

/* Fails the test where a line is wider than a page and could have been broken, ends in a blank,
   follows two empty ones, or holds a control character or a number that is none. */
void ask_check_page(const char *what, const char *page);

/* A table of comma-separated values in its lines and fields, quotes taken off. */
typedef struct ask_table {
    char *bytes;
    const char **field; /* rows times columns, the header first */
    size_t rows, columns;
} ask_table;

ask_table ask_read_csv(const char *what, const char *words);
void ask_free_csv(ask_table *table);

/* Fails the test unless every figure of the answer is a row, in its order, with nine significant
   digits in the system's unit, and nothing else is. */
void ask_check_figures(const char *what, baronet_answer *answer, baronet_unit_system units);

#endif
