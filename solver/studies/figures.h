/* figures.h: a study's scalar results as one list, each with its name, level, subject and SI value:
   what every machine format prints, and what requirements and design commands ask for.
   SPDX-License-Identifier: MIT */
#ifndef STUDIES_FIGURES_H
#define STUDIES_FIGURES_H

#include "base/text.h"
#include "studies/rates.h"

typedef struct figure {
    figure_quantity quantity;
    level level;
    figure_subject kind;
    int item;     /* index by kind; a number from 1; for SUBJECT_MOTION an index of the netlist's
                     motions, one of the built-in ones of script.h, or FIGURE_ONE_WHEEL - corner */
    int other;    /* SUBJECT_PAIR: the corner that travels */
    double value; /* SI */
} figure;

typedef struct figure_list {
    const baronet_allocator *allocator;
    figure *figure;
    size_t count, capacity;
    bool failed;           /* memory ran out */
    bool unsound;          /* some value was no number though it had to be one: */
    struct figure culprit; /* the first of them */
} figure_list;

/* The motion `one-wheel:` of corner 0; the others go down from it. */
enum { FIGURE_ONE_WHEEL = SCRIPT_WARP - 1 };

void figure_list_free(figure_list *list);

/* Whether a value may be told: it is finite, or NAN where there need be no such figure. */
bool figure_is_sound(const figure *f);

/* Adds one; what does not exist is NAN and is left out. No other figure leaves a study: what is not
   sound is left out too, and the list says so. */
void figure_list_add(figure_list *list, figure f);

/* Adds all figures of an answer that exist, in the order of the table of names. Bench masses are
   corners of their spring's name, so a bench spring's load is listed once. */
void figures_of_rates(figure_list *list, const model *m, const rates_answer *answer);

/* Name of a figure's subject, "" for the whole vehicle. */
void figure_subject_text(const model *m, const figure *f, text_buffer *out);

#endif
