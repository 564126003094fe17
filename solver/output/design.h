/* design.h: what the pages of vary, size and spread start with: what may change and what is asked
   for, read from the words of the question.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_DESIGN_H
#define OUTPUT_DESIGN_H

#include "netlist/wish.h"
#include "output/inquiry.h"
#include "studies/variants.h"

typedef struct design {
    inquiry inquiry;
    const baronet_netlist *netlist;
    int dials;
    dial *dial;
    int gauges;
    gauge *gauge;       /* a wish is asked of each state that it does not name */
    requirement *wish;  /* gauges: what it comes from */
    const char **title; /* gauges: the figure in words, with its state and case */
} design;

/* Opens the inquiry and reads the words. Where there are no wishes, what the netlist requires is
   meant. BAD_USAGE after a complaint to the question's diagnostics, or with a sentence in `*what`.
   Close the inquiry in any case. */
BARONET_CHECKED baronet_status design_open(design *out, const baronet_netlist *netlist,
                                           const baronet_question *question, wish_form form,
                                           const char *called, const char **what);

/* The same question for the variants. */
variants_question design_question(const design *d, const baronet_question *question);

/* Closing words: the cautions of the netlist as it is. */
void design_close(design *d);

/* A dial's value with its unit, and without. */
const char *design_quantity(design *d, int dial_index, double x);
const char *design_number(design *d, int dial_index, double x);
/* "left-tank.volume L" for a table. */
const char *design_column(design *d, int dial_index);
/* The dimension of a gauge's figure. */
baronet_dimension design_dimension(const design *d, int gauge_index);

#endif
