/* plan.h: a netlist's plumbing laid out in plan view, front up: wheels and springs where they are
   on the vehicle, all else placed among them, with the lines that join them. Whole steps, so that
   it is the same on every machine.
   SPDX-License-Identifier: MIT */
#ifndef OUTPUT_PLAN_H
#define OUTPUT_PLAN_H

#include "model/model.h"
#include "model/part.h"
#include "output/page.h"
#include "output/route.h"

/* Units that a step is drawn with, size of the words beside parts. */
#define PLAN_STEP 8.0
#define PLAN_TEXT 11.0
/* Steps that the body reaches beyond its wheels' middles, parts that a drawing has at most, lines
 * of words beside one. */
enum { PLAN_BODY = 9, PLAN_PARTS_MOST = 400, PLAN_WORDS = 5, PLAN_PORTS = 6 };

/* A box in steps, ends included, about a part's middle. */
typedef struct plan_box {
    int left, top, right, bottom;
} plan_box;

typedef struct plan_part {
    part_kind kind;
    int node, edge; /* of the network; -1 for none */
    int net;        /* of nodes */
    spot at;
    int turn;             /* way in which the first port of a path lies, or a supply's line */
    bool open;            /* of solenoids, as drawn */
    bool joined;          /* air can go through it, as drawn */
    bool inlet;           /* of the air around: air is only taken in there */
    plan_box body;        /* what the symbol covers */
    bool words_left;      /* words stand at the left */
    int words_x, words_y; /* units from the middle to where they begin, to the first one's base */
    int lines;
    const char *words[PLAN_WORDS];
    plan_box words_box;
} plan_part;

typedef struct plan_wheel {
    spot at;
    const char *name;
} plan_wheel;

/* What is to be shown. */
typedef struct plan_wish {
    const bool *open;       /* solenoids; NULL: at rest, and lines are all drawn alike */
    const char *state;      /* its name; NULL */
    bool bores;             /* sizes beside the names */
    const double *pressure; /* Pa absolute, nodes; NULL: none */
    const plan *laid;       /* NULL; or a plan of the same model and words on the same page, whose
                               places and lines are kept */
} plan_wish;

struct plan {
    const model *model;
    const char *state; /* NULL: valves are drawn at rest */
    int width, height; /* steps */
    int shift;         /* steps that all lies too low, for what is empty above is cut off */
    int nets; /* of air that is joined for good: nodes, and the atmosphere at each of its places */
    int parts;
    plan_part *part;
    int wheels;
    plan_wheel *wheel;
    route_plan routes;
    const int *shade; /* by net: 0 thin, shut off from all springs; else thick, springs that share
                         air have one number; NULL without a state */
};

/* Lays out the model on the page, at whose end it is put. TOO_MANY parts; OUT_OF_MEMORY. */
BARONET_CHECKED baronet_status page_plan(page *p, const model *m, const plan_wish *wish);

/* What a part is called in the legend. */
const char *plan_kind_words(const plan_part *q);

#endif
