/* rig.h: a netlist from text, solved as the program solves it, with short ways to what the tests
   look at.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_STUDIES_RIG_H
#define TESTS_STUDIES_RIG_H

#include "baronet/baronet.h"
#include "netlist/netlist.h"
#include "studies/figures.h"
#include "studies/play.h"

typedef struct rig {
    baronet_diagnostics *diagnostics;
    baronet_netlist *netlist;
    const model *model;
    charge *charge;
    rates *rates;    /* of the state last asked for, NULL where that was impossible */
    problem problem; /* of the last question */
    arena *arena;    /* for what is asked of it */
} rig;

/* Reads a netlist from text that is made as by printf; fails the test, with all that is said of the
   text, where it is not sound. Free with rig_close. */
rig rig_open(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* The same from a file. */
rig rig_open_file(const char *path);
void rig_close(rig *r);

/* Solves the charge, then a state (NULL: the charge's) from cold for a case (NULL: the base case).
   What came of it is in `problem` as well. */
baronet_status rig_solve(rig *r, const char *state, const char *load_case_name);
baronet_status rig_solve_for(rig *r, const char *state, const load_case *with);

/* The same where nothing but success will do. */
const rates_answer *rig_answer(rig *r, const char *state, const char *load_case_name);
const rates_answer *rig_answer_for(rig *r, const char *state, const load_case *with);

/* Runs an event from where its state stands; nothing but success will do. Free with play_free. */
play_answer *rig_play(rig *r, const script *s, const play_settings *with);

/* Indices by name; an unknown name fails the test. */
int rig_corner(const rig *r, const char *name);
int rig_spring(const rig *r, const char *name);
int rig_node(const rig *r, const char *name);
int rig_edge(const rig *r, const char *name);
int rig_state(const rig *r, const char *name);
const load_case *rig_case(const rig *r, const char *name);

/* Stiffness (N/m) between two corners of an answer's level. */
double rig_stiffness(const rig *r, const rates_answer *answer, level at, int force, int travel);

/* The first figure of a list that has this name, level and subject ("": the whole vehicle), or
 * NULL. */
const figure *rig_figure(const rig *r, const figure_list *list, figure_quantity quantity, level at,
                         const char *subject);

/* Reads a small netlist of its own (states `apart` and `linked`, case `more`), asks one study of it
   and renders the answer, again and again, on memory that ends one request later each time: fails
   the test unless each is refused as out of memory, with every block given back, until none is. */
void rig_starve(baronet_study *study, const baronet_question *question);

#endif
