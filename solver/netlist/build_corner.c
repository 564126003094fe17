/* build_corner.c: corners, those made for springs on a bench, and axles.
   SPDX-License-Identifier: MIT */
#include <math.h>

#include "netlist/build.h"

static void build_wheel(const statement *s, corner *c) {
    const attribute *const at = statement_find(s, WORD_AT);
    const attribute *const bump = statement_find(s, WORD_BUMP_STOP);
    const attribute *const rebound = statement_find(s, WORD_REBOUND_STOP);
    *c = (corner){.name = statement_name(s),
                  .axle = -1,
                  .load = statement_number(s, WORD_LOAD, 0.0),
                  .load_given = statement_find(s, WORD_LOAD) != NULL,
                  .unsprung = statement_number(s, WORD_UNSPRUNG, 0.0),
                  .tyre = statement_number(s, WORD_TYRE, 0.0),
                  .damper = statement_number(s, WORD_DAMPER, 0.0),
                  .coil = statement_number(s, WORD_COIL, 0.0),
                  .carries = statement_number(s, WORD_CARRIES, 0.0),
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

/* Reads all statements of one keyword to keep them. NULL for want of memory. */
static const statement *read_all(build *b, keyword k) {
    statement *const all = READING_ARRAY(b->r, statement, b->list[k].count);
    for (const statement *s = build_first(b, k); s; s = build_next(b)) {
        all[s->entry->index] = *s;
        statement_keep(b->r, &all[s->entry->index]);
    }
    return all;
}

/* Makes a corner for each spring that has none. */
static void build_benches(build *b) {
    int next = b->m->vehicle.wheels;
    for (entry *e = b->list[KEYWORD_SPRING].first; e; e = e->next) {
        const statement *const s = &b->springs[e->index];
        b->bench[e->index] = e->bench ? next : -1;
        if (e->bench)
            b->corner[next++] = (corner){.name = e->name->text,
                                         .bench = true,
                                         .axle = -1,
                                         .load = statement_number(s, WORD_LOAD, 0.0),
                                         .load_given = statement_find(s, WORD_LOAD) != NULL};
    }
}

/* Tells springs on a bench from the others; returns how many there are. */
static int find_benches(build *b) {
    int benches = 0;
    for (entry *e = b->list[KEYWORD_SPRING].first; e; e = e->next) {
        e->bench = !statement_find(&b->springs[e->index], WORD_ON);
        benches += e->bench;
    }
    return benches;
}

/* Complains where the corners are too many for the dense matrices that follow; false then. */
static bool check_count(build *b) {
    const vehicle *const v = &b->m->vehicle;
    if (v->corners <= VEHICLE_CORNERS_MAX)
        return true;
    const entry *e = b->list[v->wheels > 0 ? KEYWORD_CORNER : KEYWORD_SPRING].last;
    complain(b->r, entry_name_place(e), NULL,
             "there are %d corners and springs on a bench; %d are the most", v->corners,
             VEHICLE_CORNERS_MAX);
    return false;
}

/* Warns of two corners in one place, which is mostly a sign that was lost. */
static void check_places(build *b) {
    for (int i = 0; i < b->m->vehicle.wheels; i++) {
        const corner *const a = &b->corner[i];
        int k = 0;
        while (k < i && (fabs(a->x - b->corner[k].x) >= VEHICLE_SAME_PLACE ||
                         fabs(a->y - b->corner[k].y) >= VEHICLE_SAME_PLACE))
            k++;
        if (k < i && !b->corners[i].bad)
            warn(b->r, entry_name_place(b->corners[i].entry), NULL,
                 "`%s` stands in the same place as `%s`", a->name, b->corner[k].name);
    }
}

/* The axle that a corner joins: that of its label, or else the first without a label that is near;
   `first` holds the first corner of each. Their number where there is none such. */
static int find_axle(const build *b, int index, const int *first) {
    const statement *const s = &b->corners[index];
    const value *const label = statement_value(s, WORD_AXLE);
    const int axles = b->m->vehicle.axles;
    for (int i = 0; i < axles; i++) {
        const statement *const other = &b->corners[first[i]];
        const value *const its = statement_value(other, WORD_AXLE);
        const double away = b->corner[index].x - b->corner[first[i]].x;
        if (label && its ? text_same(place_text(statement_value_place(s, label)),
                                     place_text(statement_value_place(other, its)))
                         : !label && !its && fabs(away) < VEHICLE_SAME_AXLE)
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

static const char *axle_name(build *b, int index, int first) {
    const statement *const s = &b->corners[first];
    const value *const label = statement_value(s, WORD_AXLE);
    if (!label)
        return joined_name(b, index);
    const text t = place_text(statement_value_place(s, label));
    const char *const kept = arena_copy_text(b->r->arena, t.start, t.length);
    b->r->failed |= !kept;
    return kept;
}

static void build_axles(build *b) {
    vehicle *const v = &b->m->vehicle;
    axle *const axles = READING_ARRAY(b->r, axle, v->wheels);
    int *const first = READING_ARRAY(b->r, int, v->wheels);
    v->axle = axles;
    for (int i = 0; i < v->wheels && !b->r->failed; i++) {
        corner *const c = &b->corner[i];
        c->axle = find_axle(b, i, first);
        if (c->axle == v->axles)
            first[v->axles++] = i;
        axle *const a = &axles[c->axle];
        a->corners++;
        a->x += (c->x - a->x) / a->corners; /* the mean so far */
    }
    for (int i = 0; i < v->axles && !b->r->failed; i++)
        axles[i].name = axle_name(b, i, first[i]);
}

bool build_corners(build *b) {
    vehicle *const v = &b->m->vehicle;
    v->wheels = b->list[KEYWORD_CORNER].count;
    b->corners = read_all(b, KEYWORD_CORNER);
    b->springs = read_all(b, KEYWORD_SPRING);
    if (b->r->failed)
        return false;
    v->corners = v->wheels + find_benches(b);
    v->corner = b->corner = READING_ARRAY(b->r, corner, v->corners);
    b->bench = READING_ARRAY(b->r, int, b->list[KEYWORD_SPRING].count);
    if (b->r->failed || !check_count(b))
        return false;
    for (int i = 0; i < v->wheels; i++)
        build_wheel(&b->corners[i], &b->corner[i]);
    build_benches(b);
    check_places(b);
    build_axles(b);
    return !b->r->failed;
}
