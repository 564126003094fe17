/* sheet.h: what the pages of rates and states share: figures of several states by name, as table
   rows.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_SHEET_H
#define OUTPUT_SHEET_H

#include "output/page.h"
#include "studies/states.h"

typedef struct sheet {
    page *page;
    const model *model;
    int count;         /* states */
    const char **name; /* states */
    figure_list *list; /* states; empty where a state has no answer */
} sheet;

/* Lists the figures of every entry; memory is the page's, but for the lists. */
bool sheet_make(sheet *out, page *p, const model *m, const states_answer *states);
void sheet_free(sheet *s);

/* NAN where the state has no such figure. */
double sheet_value(const sheet *s, int state, figure_quantity q, level at, figure_subject kind,
                   int item);

/* One row: a figure over all states. Left out where no state has it. */
void sheet_row(const sheet *s, table *t, const char *label, figure_quantity q, level at,
               figure_subject kind, int item);

/* The same as changes from the base state, with per cent. */
void sheet_change_row(const sheet *s, table *t, const char *label, int base, figure_quantity q,
                      level at, figure_subject kind, int item);

#endif
