/* SPDX-License-Identifier: MIT */
#include "output/symbols.h"

/* Plain symbols by kind: what is filled like paper, what is only lines, what is filled like ink.
   All as they look where air comes from above. Units; ports lie where plan.c has them. */
typedef struct shape {
    const char *paper, *lines, *ink;
} shape;

static const shape shapes[PART_KINDS] = {
    [PART_SPRING] = {"M-15 -21Q-27 -14 -15 -7Q-27 0 -15 7Q-27 14 -15 21H15Q27 14 15 7Q27 0 15 "
                     "-7Q27 -14 15 -21Z",
                     "M-15 -7H15M-15 7H15M0 -24V-21M0 24V21M-20 -21H20M-20 21H20", NULL},
    [PART_TANK] = {"M-18 -16H18A16 16 0 0 1 18 16H-18A16 16 0 0 1 -18 -16Z", NULL, NULL},
    [PART_TEE] = {NULL, NULL, "M-4 0A4 4 0 0 1 4 0A4 4 0 0 1 -4 0Z"},
    [PART_SUPPLY] = {"M0 -16L11 8H-11Z", NULL, NULL},
    [PART_ATMOSPHERE] = {"M-8 -5H8L0 9Z", "M0 -16V-5", NULL},
    [PART_HOSE] = {NULL, "M0 -24V-15Q11 0 0 15V24",
                   "M-2.5 -15A2.5 2.5 0 0 1 2.5 -15A2.5 2.5 0 0 1 -2.5 -15ZM-2.5 15A2.5 2.5 0 0 1 "
                   "2.5 15A2.5 2.5 0 0 1 -2.5 15Z"},
    [PART_RESTRICTOR] = {NULL, "M0 -16V16M-8 -10Q-1 0 -8 10M8 -10Q1 0 8 10", NULL},
    [PART_CHECK_VALVE] = {"M-5 -1A5 5 0 0 1 5 -1A5 5 0 0 1 -5 -1Z",
                          "M0 -16V-8M-8 0L0 -8L8 0M0 4V16", NULL},
    [PART_REGULATOR] = {"M-10 -10H10V10H-10Z",
                        "M0 -16V8M-3.5 3L0 8.5L3.5 3M0 10V16"
                        "M10 0L12 -5L15 5L18 -5L21 5L23 0M11 10L24 -10M19.5 -8.5L24 -10L23.5 -5.3",
                        NULL},
    [PART_RELIEF] = {"M-10 -10H10V10H-10Z",
                     "M0 -16V-10M5 -10V8M1.5 3L5 8.5L8.5 3M0 10V16"
                     "M10 0L12 -5L15 5L18 -5L21 5L23 0M11 10L24 -10M19.5 -8.5L24 -10L23.5 -5.3",
                     NULL},
    [PART_COMPRESSOR] = {"M-16 0A16 16 0 0 1 16 0A16 16 0 0 1 -16 0Z", "M-7 4L0 15L7 4Z", NULL},
};

/* Where air is only taken in, it points into the line. */
static const shape inlet = {"M-8 9H8L0 -5Z", "M0 -16V-5", NULL};

/* Lines that tell a valve what its pressure is: a regulator its outlet's, a relief its inlet's. */
static const char *pilot_of(part_kind kind) {
    return kind == PART_REGULATOR ? "M0 13H-17V0H-10"
           : kind == PART_RELIEF  ? "M0 -13H-17V0H-10"
                                  : NULL;
}

static void add_path(svg in, const char *classes, const char *data) {
    if (data != NULL) {
        text_buffer words = svg_buffer(in);
        text_buffer_add(&words, data);
        svg_path(in, classes, &words);
    }
}

/* The square of a valve that passes, or that stops both ends, about a middle at x. */
static void add_square(svg in, double x, bool passes, bool one_way, bool in_force) {
    svg_box(in, in_force ? "b-part b-force" : "b-part b-paper", x - 8.0, -8.0, 16.0, 16.0);
    text_buffer path = svg_buffer(in);
    if (passes) {
        svg_to(&path, 'M', x, -8.0);
        svg_to(&path, 'L', x, 8.0);
        for (int end = one_way ? 1 : -1; end <= 1; end += 2) {
            svg_to(&path, 'M', x - 3.0, end * 3.0);
            svg_to(&path, 'L', x, end * 7.5);
            svg_to(&path, 'L', x + 3.0, end * 3.0);
        }
    } else {
        for (int end = -1; end <= 1; end += 2) {
            svg_to(&path, 'M', x, end * 8.0);
            svg_to(&path, 'L', x, end * 4.0);
            svg_to(&path, 'M', x - 4.0, end * 4.0);
            svg_to(&path, 'L', x + 4.0, end * 4.0);
        }
    }
    svg_path(in, "b-part", &path);
}

static void draw_solenoid(svg in, const plan_part *q, const edge *e) {
    const bool energised = q->open != e->normally_open;
    const double rest = energised ? -16.0 : 0.0, other = rest + 16.0;
    text_buffer zigzag = svg_buffer(in);
    svg_to(&zigzag, 'M', rest - 8.0, 0.0);
    for (int k = 0; k < 4; k++) {
        svg_to(&zigzag, 'L', rest - 10.0 - 3.0 * k, k % 2 == 0 ? -5.0 : 5.0);
    }
    svg_to(&zigzag, 'L', rest - 20.0, 0.0);
    svg_path(in, "b-part", &zigzag);
    svg_box(in, energised ? "b-part b-force" : "b-part b-paper", other + 8.0, -8.0, 12.0, 16.0);
    svg_line(in, "b-part", other + 8.0, 8.0, other + 20.0, -8.0);
    add_square(in, rest, e->normally_open, e->one_way, !energised);
    add_square(in, other, !e->normally_open, e->one_way, energised);
}

void symbol_draw(svg in, const plan_part *q, const model *m, double x, double y) {
    const svg group = svg_group(in, NULL);
    text_buffer where = svg_buffer(in);
    text_buffer_add(&where, "translate(");
    svg_write(&where, x);
    text_buffer_add(&where, " ");
    svg_write(&where, y);
    text_buffer_add(&where, ")");
    if (q->turn != 0) {
        text_buffer_format(&where, " rotate(%d)", 90 * q->turn);
    }
    /* What is beside the line stands on the same side whichever way the air comes. */
    text_buffer_add(&where, q->turn >= 2 ? " scale(-1 1)" : "");
    svg_take(group, "transform", &where);
    const shape *s = q->inlet ? &inlet : &shapes[q->kind];
    if (q->kind == PART_SOLENOID) {
        draw_solenoid(group, q, &m->network.edge[q->edge]);
    }
    add_path(group, "b-part b-paper", s->paper);
    add_path(group, "b-part", s->lines);
    add_path(group, "b-part b-pilot", pilot_of(q->kind));
    add_path(group, "b-ink", s->ink);
}
