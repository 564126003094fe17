/* build_spring.c: springs and anti-roll bars, and whether each corner and spring says enough for
   its charge to be found.
   SPDX-License-Identifier: MIT */
#include <math.h>

#include "model/gas.h"
#include "netlist/build.h"

/* What stands on a corner. */
typedef struct burden {
    int springs;
    bool known; /* one of them has both height and pressure */
} burden;

/* Place of a corner among the levers, or their number. */
static int find_lever(const spring *s, int corner_index) {
    int i = 0;
    while (i < s->levers && s->lever[i].corner != corner_index)
        i++;
    return i;
}

/* Levers from `on`: a corner, or a corner and a number, again and again. */
static void build_levers(build *b, const statement *s, spring *to) {
    const attribute *const on = statement_find(s, WORD_ON);
    lever *const levers = READING_ARRAY(b->r, lever, on ? on->values : 1);
    to->lever = levers;
    if (!levers)
        return;
    if (!on) {
        levers[to->levers++] = (lever){b->bench[s->entry->index], 1.0};
        return;
    }
    int last = 0;
    for (const value *v = on->value; v < on->value + on->values; v++) {
        if (v->kind == VALUE_NUMBER) {
            levers[last].ratio = v->number;
            continue;
        }
        const int corner_index = build_corner(b, s, v);
        last = find_lever(to, corner_index);
        if (last == to->levers)
            levers[to->levers++] = (lever){corner_index, 1.0};
        else if (corner_index >= 0)
            complain(b->r, statement_value_place(s, v), NULL, "`%s` stands twice",
                     v->as.name->text);
    }
}

/* What is wrong with one spring by itself. */
static void check_spring(build *b, const statement *s, const spring *sp) {
    const place at = entry_name_place(s->entry);
    const char *const called = statement_name(s);
    const value *const height = statement_value(s, WORD_HEIGHT);
    const profile *const p = &b->m->vehicle.profile[sp->profile];
    const bool loaded = statement_find(s, WORD_LOAD) != NULL;
    if (height && p->name && profile_overrun(p, sp->height) != 0.0)
        complain(b->r, statement_value_place(s, height), NULL,
                 "the design height is outside the profile `%s`", p->name);
    if (loaded && !sp->bench)
        complain(b->r, statement_attribute_place(s, statement_find(s, WORD_LOAD)),
                 "its load is that of its corner", "a spring with `on` takes no `load`");
    if (s->bad)
        return;
    if (!sp->height_given && !sp->pressure_given)
        complain(b->r, at, "one of them is needed, the other follows from the load",
                 "`%s` has neither `height` nor `pressure`", called);
    else if (sp->bench && !loaded && !(sp->height_given && sp->pressure_given))
        complain(b->r, at, "a spring without `on` stands on a bench",
                 "`%s` needs two of `load`, `height` and `pressure`", called);
    else if (!sp->height_given && p->name && p->rows == 0)
        complain(b->r, at, "a piston carries the same load at every height",
                 "`%s` has no `height`, which does not follow for a piston", called);
}

static void build_spring(build *b, const statement *s, spring *to, burden *burdens) {
    const value *const of = statement_value(s, WORD_PROFILE);
    const entry *const p = of ? build_reference(b, s, of) : NULL;
    *to = (spring){.name = statement_name(s),
                   .node = s->entry->as.path.node,
                   .profile = p ? p->index : 0,
                   .bench = b->bench[s->entry->index] >= 0,
                   .height = statement_number(s, WORD_HEIGHT, 0.0),
                   .height_given = statement_find(s, WORD_HEIGHT) != NULL,
                   .pressure = build_gauge(b, s, WORD_PRESSURE),
                   .pressure_given = statement_find(s, WORD_PRESSURE) != NULL,
                   .rubber = statement_number(s, WORD_RUBBER, 0.0),
                   .rated = build_gauge(b, s, WORD_RATED)};
    build_levers(b, s, to);
    if (p)
        check_spring(b, s, to);
    for (int i = 0; i < to->levers; i++) {
        if (to->lever[i].corner < 0)
            continue;
        burden *const on = &burdens[to->lever[i].corner];
        on->springs++;
        on->known |= to->height_given && to->pressure_given;
    }
}

static void check_corner(build *b, const statement *s, const burden *on) {
    const corner *const c = &b->corner[s->entry->index];
    const place at = entry_name_place(s->entry);
    const attribute *const unsprung = statement_find(s, WORD_UNSPRUNG);
    const double sprung = c->load - c->unsprung * STANDARD_GRAVITY;
    if (c->carries_given && c->coil <= 0.0)
        complain(b->r, statement_attribute_place(s, statement_find(s, WORD_CARRIES)), NULL,
                 "`carries` is what a coil holds, but `%s` has no `coil`", c->name);
    else if (on->springs == 0 && c->coil <= 0.0)
        complain(b->r, at, NULL, "`%s` has neither a spring nor a coil to stand on", c->name);
    else if (!c->load_given && on->springs == 0)
        complain(b->r, at, NULL, "`%s` has no `load`", c->name);
    else if (!c->load_given && !on->known)
        complain(b->r, at, "give its `load`, or both for a spring on it",
                 "`%s` has no `load`, and no spring on it has `height` and `pressure`", c->name);
    else if (c->load_given && sprung <= 0.0) /* loads are above zero */
        complain(b->r, statement_attribute_place(s, unsprung), NULL,
                 "the `unsprung` mass of `%s` is all of its load", c->name);
    else if (c->load_given && on->springs > 0 && c->carries >= sprung)
        complain(b->r, statement_attribute_place(s, statement_find(s, WORD_CARRIES)), NULL,
                 "the coil of `%s` carries all of its load and leaves none to the air", c->name);
}

static void build_springs(build *b) {
    vehicle *const v = &b->m->vehicle;
    const int count = b->list[KEYWORD_SPRING].count;
    spring *const springs = READING_ARRAY(b->r, spring, count);
    burden *const burdens = READING_ARRAY(b->r, burden, v->corners);
    bool unclear = b->r->incomplete;
    for (int i = 0; i < count && !b->r->failed; i++) {
        build_spring(b, &b->springs[i], &springs[i], burdens);
        unclear |= b->springs[i].bad;
        for (int k = 0; k < springs[i].levers; k++)
            unclear |= springs[i].lever[k].corner < 0;
    }
    if (b->r->failed)
        return;
    v->springs = count;
    v->spring = springs;
    /* A spring that is wrong may be the one that another corner lacks. */
    for (int i = 0; i < v->wheels && !unclear; i++) {
        if (!b->corners[i].bad)
            check_corner(b, &b->corners[i], &burdens[i]);
    }
}

/* Wheels this many tracks apart fore and aft are taken to be on one side, of which one is a little
   further out. */
#define BAR_SLANT 3.0

static void build_bar(build *b, const statement *s, bar *to) {
    const attribute *const between = statement_find(s, WORD_BETWEEN);
    *to = (bar){.name = statement_name(s), .roll = statement_number(s, WORD_ROLL, 0.0)};
    if (!between)
        return;
    to->left = build_corner(b, s, &between->value[0]);
    to->right = build_corner(b, s, &between->value[1]);
    if (to->left < 0 || to->right < 0)
        return;
    const double track = b->corner[to->left].y - b->corner[to->right].y;
    const place at = statement_value_place(s, &between->value[1]);
    if (to->left == to->right)
        complain(b->r, at, NULL, "`%s` joins `%s` to itself", to->name, b->corner[to->left].name);
    else if (fabs(track) < VEHICLE_SAME_PLACE)
        complain(b->r, at, NULL, "`%s` and `%s` stand in one line, so that a bar has no track",
                 b->corner[to->left].name, b->corner[to->right].name);
    else if (fabs(b->corner[to->left].x - b->corner[to->right].x) > BAR_SLANT * fabs(track))
        complain(b->r, at, "an anti-roll bar joins the left and the right wheel of one axle",
                 "`%s` and `%s` stand one behind the other", b->corner[to->left].name,
                 b->corner[to->right].name);
}

void build_vehicle(build *b) {
    if (!build_corners(b))
        return;
    build_springs(b);
    bar *const bars = READING_ARRAY(b->r, bar, b->list[KEYWORD_BAR].count);
    b->m->vehicle.bar = bars;
    b->m->vehicle.bars = b->list[KEYWORD_BAR].count;
    for (const statement *s = build_first(b, KEYWORD_BAR); s; s = build_next(b))
        build_bar(b, s, &bars[s->entry->index]);
}
