/* design.h: what the pages of vary, size and spread start with: what may change and what is asked
   for, read from the words of the question.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_DESIGN_H
#define OUTPUT_DESIGN_H

#include "netlist/wish.h"
#include "output/inquiry.h"
#include "studies/variants.h"

/* Most things that change at once, and figures that are asked for, states counted. */
enum { DESIGN_DIALS_MAX = 64, DESIGN_GAUGES_MAX = 400 };

typedef struct design {
    inquiry inquiry;
    const baronet_netlist *netlist;
    int dials;
    dial *dial;
    int gauges;
    gauge *gauge;       /* a wish is asked of each state that it does not name */
    requirement *wish;  /* gauges: what it comes from */
    const char **title; /* gauges: the figure in words, with its state and case */
    series *series;     /* for machines; NULL before it is opened, or for want of memory */
    double *row;        /* its columns of numbers */
    double residual;    /* largest of the equilibria of all variants, for the page's note */
} design;

/* What fills a page whose title stands; a sentence in `*what` where it refuses. */
typedef baronet_status design_solve(design *d, const baronet_question *question, const char **what);

/* How one study reads its wishes and answers. */
typedef struct design_study {
    const char *name;
    wish_form form;
    const char *called; /* the option that its wishes stand in */
    design_solve *solve;
} design_study;

/* Opens the inquiry, reads the words, solves, and closes with the cautions of the netlist as it is.
   Where there are no wishes, what the netlist requires is meant. BAD_USAGE after a complaint to the
   question's diagnostics, or with a sentence in `*what` (may be NULL). */
BARONET_CHECKED baronet_status design_answer(const design_study *study,
                                             const baronet_netlist *netlist,
                                             const baronet_question *question,
                                             baronet_answer **answer, const char **what);

/* The same question for the variants. */
variants_question design_question(const design *d, const baronet_question *question);

/* A dial's value with its unit, and without. */
const char *design_quantity(design *d, int dial_index, double x);
const char *design_number(design *d, int dial_index, double x);
/* "left-tank.volume L" for a table. */
const char *design_column(design *d, int dial_index);
/* The dimension of a gauge's figure. */
baronet_dimension design_dimension(const design *d, int gauge_index);

/* The series for machines: a column of labels and one of row numbers, each where it has a name
   (else NULL), then all that may change and all figures. A `headless` one is to be put below
   others. */
void design_open_series(design *d, const char *label, const char *number, bool headless);
/* A row of it: values that may change (as numbers of the dials), and figures, in SI. */
void design_add_row(design *d, const char *label, long number, const double *x,
                    const double *figures);

#endif
