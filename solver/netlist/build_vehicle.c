/* build_vehicle.c: corners, axles, springs, anti-roll bars, and whether each spring says enough for
   its charge to be found.
   SPDX-License-Identifier: MIT */
#include <math.h>
#include <string.h>

#include "model/gas.h"
#include "netlist/build.h"

/* What stands on a corner. */
typedef struct burden {
    int springs;
    bool known;   /* one of them has both height and pressure */
    bool unclear; /* something that it rests on was complained of */
} burden;

static void build_wheel(const statement *s, corner *c) {
    const attribute *const at = statement_find(s, WORD_AT);
    const attribute *const bump = statement_find(s, WORD_BUMP_STOP);
    const attribute *const rebound = statement_find(s, WORD_REBOUND_STOP);
    *c = (corner){.name = s->name->text,
                  .axle = -1,
                  .load = build_number(s, WORD_LOAD, 0.0),
                  .load_given = statement_find(s, WORD_LOAD) != NULL,
                  .unsprung = build_number(s, WORD_UNSPRUNG, 0.0),
                  .tyre = build_number(s, WORD_TYRE, 0.0),
                  .damper = build_number(s, WORD_DAMPER, 0.0),
                  .coil = build_number(s, WORD_COIL, 0.0),
                  .carries = build_number(s, WORD_CARRIES, 0.0),
                  .coil_given = statement_find(s, WORD_COIL) != NULL,
                  .carries_given = statement_find(s, WORD_CARRIES) != NULL};
    if (at) {
        c->x = at->value[0].number;
        c->y = at->value[1].number;
    }
    if (bump) {
        c->bump_at = bump->value[0].number;
        c->bump_rate = bump->value[1].number;
    }
    if (rebound) {
        c->rebound_at = rebound->value[0].number;
        c->rebound_rate = rebound->value[1].number;
    }
}

/* Makes a corner for each spring that has none. */
static void build_benches(build *b, int wheels) {
    int next = wheels;
    for (const statement *s = b->list[KEYWORD_SPRING].first; s; s = s->next) {
        b->bench[s->index] = -1;
        if (statement_find(s, WORD_ON))
            continue;
        b->corner[next] = (corner){.name = s->name->text,
                                   .bench = true,
                                   .axle = -1,
                                   .load = build_number(s, WORD_LOAD, 0.0),
                                   .load_given = statement_find(s, WORD_LOAD) != NULL};
        b->bench[s->index] = next++;
    }
    b->m->vehicle.corners = next;
}

/* Complains where the corners are too many for the dense matrices that follow; false then. */
static bool build_corners(build *b) {
    const statement_list *const corners = &b->list[KEYWORD_CORNER];
    vehicle *const v = &b->m->vehicle;
    int benches = 0;
    for (const statement *s = b->list[KEYWORD_SPRING].first; s; s = s->next)
        benches += !statement_find(s, WORD_ON);
    b->bench = READING_ARRAY(b->r, int, b->list[KEYWORD_SPRING].count);
    b->corner = READING_ARRAY(b->r, corner, corners->count + benches);
    if (!b->corner || !b->bench)
        return false;
    v->corner = b->corner;
    v->wheels = corners->count;
    for (const statement *s = corners->first; s; s = s->next) {
        build_wheel(s, &b->corner[s->index]);
        if (s->index == VEHICLE_CORNERS_MAX)
            complain(b->r, statement_name_place(s), NULL, "a vehicle has at most %d corners",
                     VEHICLE_CORNERS_MAX);
    }
    build_benches(b, v->wheels);
    if (v->wheels <= VEHICLE_CORNERS_MAX && v->corners > VEHICLE_CORNERS_MAX)
        complain(b->r, statement_name_place(b->list[KEYWORD_SPRING].last), NULL,
                 "corners and springs on a bench are at most %d together", VEHICLE_CORNERS_MAX);
    return v->corners <= VEHICLE_CORNERS_MAX;
}

/* Warns of two corners in one place, which is mostly a sign that was lost. */
static void check_places(build *b) {
    const statement *s = b->list[KEYWORD_CORNER].first;
    for (int i = 0; i < b->m->vehicle.wheels; i++, s = s->next) {
        for (int k = 0; k < i; k++) {
            const corner *const a = &b->corner[i], *const other = &b->corner[k];
            if (s->bad || fabs(a->x - other->x) >= VEHICLE_SAME_PLACE ||
                fabs(a->y - other->y) >= VEHICLE_SAME_PLACE)
                continue;
            warn(b->r, statement_name_place(s), NULL, "`%s` stands in the same place as `%s`",
                 a->name, other->name);
            break;
        }
    }
}

/* The axle that a corner joins: that of its label, or else the first without a label that is near;
   `first` holds the first corner of each. Their number where there is none such. */
static int find_axle(const build *b, const statement *s, const statement *const *first) {
    const value *const label = statement_value(s, WORD_AXLE);
    const int axles = b->m->vehicle.axles;
    for (int i = 0; i < axles; i++) {
        const value *const other = statement_value(first[i], WORD_AXLE);
        const double away = b->corner[s->index].x - b->corner[first[i]->index].x;
        if (label && other ? text_same(place_text(statement_value_place(s, label)),
                                       place_text(statement_value_place(first[i], other)))
                           : !label && !other && fabs(away) < VEHICLE_SAME_AXLE)
            return i;
    }
    return axles;
}

/* Names an axle without a label by its corners: `RL+RR`. */
static const char *joined_name(build *b, int index) {
    text_buffer name_text = {.allocator = arena_allocator(b->r->arena)};
    for (int i = 0; i < b->m->vehicle.wheels; i++) {
        if (b->corner[i].axle == index)
            text_buffer_format(&name_text, "%s%s", name_text.length > 0 ? "+" : "",
                               b->corner[i].name);
    }
    const char *const kept =
        name_text.failed ? NULL : arena_copy_text(b->r->arena, name_text.bytes, name_text.length);
    text_buffer_free(&name_text);
    b->r->failed |= !kept;
    return kept;
}

static void build_axles(build *b) {
    vehicle *const v = &b->m->vehicle;
    axle *const axles = READING_ARRAY(b->r, axle, v->wheels);
    const statement **const first = READING_ARRAY(b->r, const statement *, v->wheels);
    if (!axles || !first)
        return;
    v->axle = axles;
    for (const statement *s = b->list[KEYWORD_CORNER].first; s; s = s->next) {
        corner *const c = &b->corner[s->index];
        c->axle = find_axle(b, s, first);
        if (c->axle == v->axles)
            first[v->axles++] = s;
        axle *const a = &axles[c->axle];
        a->corners++;
        a->x += (c->x - a->x) / a->corners; /* the mean so far */
    }
    for (int i = 0; i < v->axles && !b->r->failed; i++) {
        const value *const label = statement_value(first[i], WORD_AXLE);
        const text t = label ? place_text(statement_value_place(first[i], label)) : (text){0};
        axles[i].name = label ? arena_copy_text(b->r->arena, t.start, t.length) : joined_name(b, i);
        b->r->failed |= !axles[i].name;
    }
}

/* Levers from `on`: a corner, or a corner and a number, again and again. */
static void build_levers(build *b, const statement *s, spring *to) {
    const attribute *const on = statement_find(s, WORD_ON);
    lever *const levers = READING_ARRAY(b->r, lever, on ? on->values : 1);
    to->lever = levers;
    if (!levers)
        return;
    if (!on) {
        levers[to->levers++] = (lever){b->bench[s->index], 1.0};
        return;
    }
    for (const value *v = on->value; v < on->value + on->values; v++) {
        if (v->kind == VALUE_NUMBER) {
            levers[to->levers - 1].ratio = v->number;
            continue;
        }
        const lever l = {build_corner(b, s, v), 1.0};
        for (int i = 0; l.corner >= 0 && i < to->levers; i++) {
            if (levers[i].corner == l.corner)
                complain(b->r, statement_value_place(s, v), NULL, "`%s` stands twice",
                         v->as.name->text);
        }
        levers[to->levers++] = l;
    }
}

/* What is wrong with one spring by itself. */
static void check_spring(build *b, const statement *s, const spring *sp) {
    const place at = statement_name_place(s);
    const char *const called = s->name->text;
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
    const statement *const p = of ? build_reference(b, s, of) : NULL;
    *to = (spring){.name = s->name->text,
                   .node = s->node,
                   .profile = p ? p->index : 0,
                   .bench = b->bench[s->index] >= 0,
                   .height = build_number(s, WORD_HEIGHT, 0.0),
                   .height_given = statement_find(s, WORD_HEIGHT) != NULL,
                   .pressure = build_gauge(b, s, WORD_PRESSURE),
                   .pressure_given = statement_find(s, WORD_PRESSURE) != NULL,
                   .rubber = build_number(s, WORD_RUBBER, 0.0),
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
        on->unclear |= s->bad;
    }
}

static void check_corner(build *b, const statement *s, const burden *on) {
    const corner *const c = &b->corner[s->index];
    const place at = statement_name_place(s);
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
    else if (c->load_given && sprung <= 0.0)
        complain(b->r, at, NULL, "the `unsprung` mass of `%s` is all of its load", c->name);
    else if (c->load_given && on->springs > 0 && c->carries >= sprung)
        complain(b->r, statement_attribute_place(s, statement_find(s, WORD_CARRIES)), NULL,
                 "the coil of `%s` carries all of its load and leaves none to the air", c->name);
}

static void build_springs(build *b) {
    vehicle *const v = &b->m->vehicle;
    spring *const springs = READING_ARRAY(b->r, spring, b->list[KEYWORD_SPRING].count);
    burden *const burdens = READING_ARRAY(b->r, burden, v->corners);
    if (!springs || !burdens)
        return;
    v->springs = b->list[KEYWORD_SPRING].count;
    v->spring = springs;
    bool unclear = b->r->incomplete;
    for (const statement *s = b->list[KEYWORD_SPRING].first; s && !b->r->failed; s = s->next) {
        build_spring(b, s, &springs[s->index], burdens);
        for (int i = 0; i < springs[s->index].levers; i++)
            unclear |= springs[s->index].lever[i].corner < 0;
    }
    /* A spring whose corner is not known may be the one that another corner lacks. */
    for (const statement *s = b->list[KEYWORD_CORNER].first; s && !unclear; s = s->next) {
        if (!s->bad && !burdens[s->index].unclear)
            check_corner(b, s, &burdens[s->index]);
    }
}

static void build_bar(build *b, const statement *s, bar *to) {
    const attribute *const between = statement_find(s, WORD_BETWEEN);
    *to = (bar){.name = s->name->text, .roll = build_number(s, WORD_ROLL, 0.0)};
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
}

void build_vehicle(build *b) {
    vehicle *const v = &b->m->vehicle;
    if (!build_corners(b))
        return;
    check_places(b);
    build_axles(b);
    build_springs(b);
    bar *const bars = READING_ARRAY(b->r, bar, b->list[KEYWORD_BAR].count);
    v->bars = b->list[KEYWORD_BAR].count;
    v->bar = bars;
    for (const statement *s = b->list[KEYWORD_BAR].first; s && !b->r->failed; s = s->next)
        build_bar(b, s, &bars[s->index]);
}
