/* inquiry.h: what every study's page starts with: the names of the question looked up, the system
   charged, and the states solved.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_INQUIRY_H
#define OUTPUT_INQUIRY_H

#include "baronet/studies.h"
#include "netlist/netlist.h"
#include "output/page.h"
#include "studies/states.h"

typedef struct inquiry {
    const model *model;
    const baronet_allocator *allocator;
    page *page;
    const char *load_case; /* name of the case, "" for the base case */
    const load_case *with; /* NULL for the base case */
    int state;             /* index of the state asked for, -1 for all */
    double amplitude;      /* m, swing of LEVEL_RIDE */
    charge *charge;
    problem problem; /* OK, or why the system could not be charged; the page then says so */
    states_answer states;
} inquiry;

/* Whether the rates as felt are wanted too: they cost far more than all else of a standing. */
typedef enum inquiry_needs { INQUIRY_STANDING, INQUIRY_FELT } inquiry_needs;

/* The same question of the state that it names, or else of the charge's. */
baronet_question inquiry_of_one_state(const model *m, const baronet_question *question);

/* NO_SUCH_NAME with the name in `*what`, TOO_MANY, OUT_OF_MEMORY; else OK, even where nothing could
   be charged. Close in any case. */
BARONET_CHECKED baronet_status inquiry_open(inquiry *out, const baronet_netlist *netlist,
                                            const baronet_question *question, states_choice choice,
                                            inquiry_needs needs, const char **what);

/* Tells whoever watches that one of so many parts of the work begins. */
void inquiry_tell(const baronet_question *question, const char *part, int done, int count);

/* Gives up everything but the page, which is handed over where all went well. */
BARONET_CHECKED baronet_status inquiry_close(inquiry *q, baronet_status status,
                                             baronet_answer **answer);

/* Title of the page: what the netlist is about, the case, the gas. */
void inquiry_title(inquiry *q);

#endif
