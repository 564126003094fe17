/* build_plan.c: valve states, the charge's state, motions and cases.
   SPDX-License-Identifier: MIT */
#include <math.h>
#include <string.h>

#include "netlist/build.h"

/* Room for `count` tables of `size` entries each; complains at the statement after which there
   would be too many, and returns false. */
static bool check_product(build *b, const entries *list, size_t count, size_t size) {
    if (size == 0 || count <= BUILD_PRODUCT_MAX / size)
        return true;
    const entry *e = list->first;
    for (size_t i = 0; i < BUILD_PRODUCT_MAX / size; i++)
        e = e->next;
    complain(b->r, entry_name_place(e), NULL, "there are too many of this kind: %zu times %zu",
             count, size);
    return false;
}

/* Puts one list of a state, `open` or `shut`, into its positions; `named` tells which a solenoid
   was named in. */
static void set_positions(build *b, const statement *s, word w, bool *open, char *named) {
    const attribute *const a = statement_find(s, w);
    for (uint32_t i = 0; a && i < a->values; i++) {
        const value *const v = &a->value[i];
        const entry *const valve = build_reference(b, s, v);
        if (!valve)
            continue;
        const char mark = w == WORD_OPEN ? 'o' : 's';
        if (named[valve->index] != 0 && named[valve->index] != mark)
            complain(b->r, statement_value_place(s, v), NULL, "`%s` is both open and shut in `%s`",
                     v->as.name->text, statement_name(s));
        named[valve->index] = mark;
        open[valve->index] = w == WORD_OPEN;
    }
}

/* Positions without current; NULL for want of memory. */
static bool *rest_positions(build *b) {
    const network *const net = &b->m->network;
    bool *const open = READING_ARRAY(b->r, bool, net->solenoids);
    for (int i = 0; open && i < net->solenoids; i++)
        open[i] = net->edge[net->solenoid[i]].normally_open;
    return open;
}

static void build_states(build *b) {
    const entries *const list = &b->list[KEYWORD_STATE];
    const int solenoids = b->m->network.solenoids;
    const size_t size = (size_t)solenoids * sizeof(bool);
    if (!check_product(b, list, (size_t)list->count, size))
        return;
    valve_state *const states = READING_ARRAY(b->r, valve_state, list->count + 1);
    bool *const rest = rest_positions(b);
    char *const named = READING_ARRAY(b->r, char, solenoids);
    for (const statement *s = build_first(b, KEYWORD_STATE); s; s = build_next(b)) {
        bool *const open = READING_ARRAY(b->r, bool, solenoids);
        if (!open)
            return;
        memcpy(open, rest, size);
        memset(named, 0, (size_t)solenoids);
        set_positions(b, s, WORD_OPEN, open, named);
        set_positions(b, s, WORD_SHUT, open, named);
        states[s->entry->index] =
            (valve_state){statement_name(s), open, memcmp(open, rest, size) == 0};
    }
    if (b->r->failed)
        return;
    states[list->count] = (valve_state){"rest", rest, true};
    b->m->rest_state = list->count;
    b->m->states = list->count + 1;
    b->m->state = states;
}

static void build_charge(build *b) {
    const statement *const s = build_first(b, KEYWORD_CHARGE);
    const value *const in = s ? statement_value(s, WORD_IN) : NULL;
    b->m->charge_state = 0;
    if (in)
        b->m->charge_state = build_state(b, s, in);
}

/* Fills `share` (one a corner) from pairs of a corner and a number; `met` remembers, by the number
   of the statement from 1, which corners it has named already. */
static void set_shares(build *b, const statement *s, double *share, int *met) {
    const attribute *const a = statement_find(s, WORD_NONE);
    for (uint32_t i = 0; a && i + 1 < a->values; i += 2) {
        const value *const named = &a->value[i];
        const int corner_index = build_corner(b, s, named);
        if (corner_index < 0)
            continue;
        if (met[corner_index] == s->entry->index + 1)
            complain(b->r, statement_value_place(s, named), NULL, "`%s` stands twice",
                     named->as.name->text);
        met[corner_index] = s->entry->index + 1;
        share[corner_index] = a->value[i + 1].number;
    }
}

static bool all_zero(const double *x, int count) {
    for (int i = 0; i < count; i++) {
        if (x[i] != 0.0)
            return false;
    }
    return true;
}

static void build_motions(build *b) {
    const entries *const list = &b->list[KEYWORD_MOTION];
    const int corners = b->m->vehicle.corners;
    if (!check_product(b, list, (size_t)list->count, (size_t)corners))
        return;
    motion *const motions = READING_ARRAY(b->r, motion, list->count);
    int *const met = READING_ARRAY(b->r, int, corners);
    b->m->motions = list->count;
    b->m->motion = motions;
    for (const statement *s = build_first(b, KEYWORD_MOTION); s; s = build_next(b)) {
        double *const travel = READING_ARRAY(b->r, double, corners);
        if (!travel)
            return;
        const size_t before = b->r->errors;
        set_shares(b, s, travel, met);
        motions[s->entry->index] = (motion){statement_name(s), travel};
        if (all_zero(travel, corners) && b->r->errors == before && !s->bad && !b->r->incomplete)
            complain(b->r, entry_name_place(s->entry), NULL, "`%s` moves no wheel",
                     statement_name(s));
    }
}

static void build_case(build *b, const statement *s, load_case *to, double *mass) {
    const attribute *const levelled = statement_find(s, WORD_LEVELLED);
    const attribute *const unlevelled = statement_find(s, WORD_UNLEVELLED);
    *to = (load_case){statement_name(s), mass, levelled != NULL};
    if (levelled && unlevelled)
        complain(b->r, statement_attribute_place(s, levelled > unlevelled ? levelled : unlevelled),
                 NULL, "a case is `levelled` or `unlevelled`, not both");
}

static void build_cases(build *b) {
    const entries *const list = &b->list[KEYWORD_CASE];
    const int corners = b->m->vehicle.corners;
    if (!check_product(b, list, (size_t)list->count, (size_t)corners))
        return;
    load_case *const cases = READING_ARRAY(b->r, load_case, list->count);
    int *const met = READING_ARRAY(b->r, int, corners);
    b->m->cases = list->count;
    b->m->load_case = cases;
    for (const statement *s = build_first(b, KEYWORD_CASE); s; s = build_next(b)) {
        double *const mass = READING_ARRAY(b->r, double, corners);
        if (!mass)
            return;
        set_shares(b, s, mass, met);
        build_case(b, s, &cases[s->entry->index], mass);
    }
}

void build_plan(build *b) {
    build_states(b);
    build_charge(b);
    build_motions(b);
    build_cases(b);
}
