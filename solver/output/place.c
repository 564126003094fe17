/* SPDX-License-Identifier: MIT */
#include "output/place.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* What a link costs, in steps: a corner, a thing in its way, another link that it crosses. */
enum { CORNER = 12, IN_THE_WAY = 24, CROSSING = 30 };
/* Moves that are tried for each thing, and at most; how much worse a move may make it at first. */
enum { MOVES_EACH = 2500, MOVES_MOST = 120000, WORSE_AT_FIRST = 40 };
/* Tries from the same start with other lots, of which the best is kept. */
enum { TRIES = 3 };
enum { EMPTY = -1, CLOSED = -2 };

typedef struct board {
    const place_task *task;
    int *slot;   /* things */
    spot *where; /* things: the middle of that slot */
    int *at;     /* slots: the thing there, EMPTY or CLOSED */
    int *first;  /* things + 1: where its paths begin in `of` */
    int *of;     /* 3 x paths: paths by thing */
    uint64_t chance;
} board;

/* The next of a row of numbers without pattern (a linear congruence modulo 2^64; its upper half),
   below `below`. */
static int draw_lot(board *b, int below) {
    b->chance = b->chance * 6364136223846793005u + 1442695040888963407u;
    return (int)((b->chance >> 33) % (uint64_t)below);
}

static spot spot_of(const board *b, int thing) {
    return b->where[thing];
}

/* Puts a thing into a slot. */
static void stand(board *b, int thing, int slot) {
    const place_task *t = b->task;
    b->slot[thing] = slot;
    b->at[slot] = thing;
    b->where[thing] = (spot){t->x[slot % t->columns], t->y[slot / t->columns]};
}

/* On which side of the line from a to b a point lies. */
static int side(spot a, spot b, spot p) {
    const long z = (long)(b.x - a.x) * (p.y - a.y) - (long)(b.y - a.y) * (p.x - a.x);
    return (z > 0) - (z < 0);
}

static bool crosses(spot a, spot b, spot c, spot d) {
    if ((a.x < c.x && b.x < c.x && a.x < d.x && b.x < d.x) ||
        (a.x > c.x && b.x > c.x && a.x > d.x && b.x > d.x) ||
        (a.y < c.y && b.y < c.y && a.y < d.y && b.y < d.y) ||
        (a.y > c.y && b.y > c.y && a.y > d.y && b.y > d.y)) {
        return false;
    }
    return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

/* Things that stand on a straight link between its ends. */
static int between(const board *b, int slot, int other) {
    const int columns = b->task->columns;
    const int step = slot / columns == other / columns ? 1 : columns;
    const int low = slot < other ? slot : other, high = slot < other ? other : slot;
    int count = 0;
    for (int k = low + step; k < high; k += step) {
        count += b->at[k] >= 0;
    }
    return count;
}

/* Corners of a line from a point, which it leaves in a way, to an end. One that lies beside must be
   entered from its front or back, which costs one more where these are shut. */
static int corners_to(spot at, int way, place_end end) {
    const int x = end.at.x - at.x, y = end.at.y - at.y;
    const int ahead[] = {-y, x, y, -x}, aside[] = {x, y, x, y};
    if (aside[way] == 0) {
        return ahead[way] > 0 ? 0 : 3;
    }
    return ahead[way] > 0 ? 1 : 2 + (ahead[way] == 0 && end.two_sides);
}

int place_turn(spot at, place_end from, place_end to, int *corners) {
    int best = 0;
    *corners = 0;
    for (int way = 0; way < 4; way++) {
        const int count = corners_to(at, way, from) + corners_to(at, (way + 2) % 4, to);
        if (way == 0 || count < *corners) {
            best = way;
            *corners = count;
        }
    }
    return best;
}

/* Links of a path, one of which is from p to q, that a link from c to d crosses. */
static int crossings(const board *b, spot p, spot q, int c, int d, const place_path *o) {
    int count = 0;
    const int ends[] = {o->from, o->to};
    for (int k = 0; k < 2 && o->thing != c && o->thing != d; k++) {
        count += ends[k] != c && ends[k] != d &&
                 crosses(p, q, spot_of(b, o->thing), spot_of(b, ends[k]));
    }
    return count;
}

static long link_cost(const board *b, int thing, int end) {
    const spot p = spot_of(b, thing), q = spot_of(b, end);
    const long length = abs(p.x - q.x) + abs(p.y - q.y);
    return p.x == q.x || p.y == q.y
               ? length + (long)IN_THE_WAY * between(b, b->slot[thing], b->slot[end])
               : length;
}

static long crossing_cost(const board *b, int thing, int end) {
    const spot p = spot_of(b, thing), q = spot_of(b, end);
    int count = 0;
    for (int k = 0; k < b->task->paths; k++) {
        count += crossings(b, p, q, thing, end, &b->task->path[k]);
    }
    return (long)CROSSING * count;
}

static long path_cost(const board *b, int index) {
    const place_path *l = &b->task->path[index];
    const place_end from = {spot_of(b, l->from), b->task->two_sides[l->from]};
    const place_end to = {spot_of(b, l->to), b->task->two_sides[l->to]};
    int corners = 0;
    place_turn(spot_of(b, l->thing), from, to, &corners);
    return (long)CORNER * corners + link_cost(b, l->thing, l->from) + link_cost(b, l->thing, l->to);
}

/* Whether a link between two things passes straight over a point. */
static bool passes(const board *b, int thing, int end, spot p) {
    const spot a = spot_of(b, thing), c = spot_of(b, end);
    return (a.x == p.x && c.x == p.x && (a.y < p.y) != (c.y < p.y) && a.y != p.y && c.y != p.y) ||
           (a.y == p.y && c.y == p.y && (a.x < p.x) != (c.x < p.x) && a.x != p.x && c.x != p.x);
}

/* Links that a thing is in the way of. */
static int passing(const board *b, int thing) {
    int count = 0;
    for (int k = 0; k < b->task->paths; k++) {
        const place_path *l = &b->task->path[k];
        count += passes(b, l->thing, l->from, spot_of(b, thing)) +
                 passes(b, l->thing, l->to, spot_of(b, thing));
    }
    return count;
}

/* All but its paths' crossings, which take longest to count. */
static long thing_cost(const board *b, int thing) {
    long cost = thing >= 0 ? (long)IN_THE_WAY * passing(b, thing) : 0;
    for (int k = thing >= 0 ? b->first[thing] : 0; thing >= 0 && k < b->first[thing + 1]; k++) {
        cost += path_cost(b, b->of[k]);
    }
    return cost;
}

static long thing_crossings(const board *b, int thing) {
    long cost = 0;
    for (int k = thing >= 0 ? b->first[thing] : 0; thing >= 0 && k < b->first[thing + 1]; k++) {
        const place_path *l = &b->task->path[b->of[k]];
        cost += crossing_cost(b, l->thing, l->from) + crossing_cost(b, l->thing, l->to);
    }
    return cost;
}

/* Exchanges what stands in a thing's slot and in another. */
static void swap(board *b, int thing, int slot) {
    const int other = b->at[slot], before = b->slot[thing];
    stand(b, thing, slot);
    b->at[before] = other;
    if (other >= 0) {
        stand(b, other, before);
    }
}

/* Half of the moves go near something that the thing is joined to. */
static int target(board *b, int thing) {
    const place_task *t = b->task;
    const int paths = b->first[thing + 1] - b->first[thing];
    if (paths == 0 || draw_lot(b, 2) == 0) {
        return draw_lot(b, t->columns * t->rows);
    }
    const place_path *l = &t->path[b->of[b->first[thing] + draw_lot(b, paths)]];
    const int end = l->thing != thing ? l->thing : draw_lot(b, 2) == 0 ? l->from : l->to;
    const int near = b->slot[end];
    const int column = near % t->columns + draw_lot(b, 5) - 2;
    const int row = near / t->columns + draw_lot(b, 5) - 2;
    return column < 0 || column >= t->columns || row < 0 || row >= t->rows
               ? near
               : row * t->columns + column;
}

/* Threshold accepting (Dueck and Scheuer 1990): a move is taken unless it makes things worse by
   more than a bound that sinks to nothing. */
static void improve(board *b) {
    const place_task *t = b->task;
    const long wish = (long)MOVES_EACH * t->things;
    const long moves = wish < MOVES_MOST ? wish : MOVES_MOST;
    for (long k = 0; k < moves; k++) {
        const int thing = draw_lot(b, t->things);
        const int slot = target(b, thing);
        const int other = b->at[slot], before = b->slot[thing];
        if (t->fixed[thing] || other == thing || other == CLOSED ||
            (other >= 0 && t->fixed[other])) {
            continue;
        }
        const long bound = WORSE_AT_FIRST - WORSE_AT_FIRST * (k + 1) / (moves - moves / 4);
        const long most = thing_cost(b, thing) + thing_cost(b, other) + thing_crossings(b, thing) +
                          thing_crossings(b, other) + (bound > 0 ? bound : 0);
        swap(b, thing, slot);
        const long now = thing_cost(b, thing) + thing_cost(b, other);
        if (now > most || now + thing_crossings(b, thing) + thing_crossings(b, other) > most) {
            swap(b, thing, before);
        }
    }
}

/* Lists the paths of each thing. */
static void list_paths(board *b) {
    const place_task *t = b->task;
    for (int k = 0; k < t->paths; k++) {
        b->first[t->path[k].thing + 1]++;
        b->first[t->path[k].from + 1]++;
        b->first[t->path[k].to + 1]++;
    }
    for (int i = 0; i < t->things; i++) {
        b->first[i + 1] += b->first[i];
    }
    for (int k = t->paths - 1; k >= 0; k--) {
        /* Each list is filled from its end; what is left is its begin again. */
        b->of[--b->first[t->path[k].thing + 1]] = k;
        b->of[--b->first[t->path[k].from + 1]] = k;
        b->of[--b->first[t->path[k].to + 1]] = k;
    }
    for (int i = 0; i < t->things; i++) {
        b->first[i] = b->first[i + 1];
    }
    b->first[t->things] = 3 * t->paths;
}

/* A start: fixed things where they are, the others in their order from the first free slot on. */
static void start(board *b) {
    const place_task *t = b->task;
    for (int s = 0; s < t->columns * t->rows; s++) {
        b->at[s] = t->taken[s] ? CLOSED : EMPTY;
    }
    for (int i = 0; i < t->things; i++) {
        if (t->fixed[i]) {
            stand(b, i, b->slot[i]);
        }
    }
    int next = 0;
    for (int i = 0; i < t->things; i++) {
        if (!t->fixed[i]) {
            while (b->at[next] != EMPTY) {
                next++;
            }
            stand(b, i, next);
        }
    }
}

static long whole_cost(const board *b) {
    long cost = 0;
    for (int k = 0; k < b->task->paths; k++) {
        const place_path *l = &b->task->path[k];
        cost += path_cost(b, k) + crossing_cost(b, l->thing, l->from) +
                crossing_cost(b, l->thing, l->to);
    }
    return cost;
}

baronet_status place_solve(const place_task *task, int *slot, arena *a) {
    board b = {.task = task,
               .slot = ARENA_ARRAY(a, int, task->things),
               .where = ARENA_ARRAY(a, spot, task->things),
               .at = ARENA_ARRAY(a, int, task->columns * task->rows),
               .first = ARENA_ARRAY(a, int, task->things + 1),
               .of = ARENA_ARRAY(a, int, 3 * task->paths)};
    if (!arena_complete(a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    list_paths(&b);
    const size_t bytes = (size_t)task->things * sizeof *slot;
    memcpy(b.slot, slot, bytes);
    long best = -1;
    for (int k = 1; k <= TRIES && task->things > 0; k++) {
        b.chance = (uint64_t)k;
        start(&b);
        improve(&b);
        const long cost = whole_cost(&b);
        if (best < 0 || cost < best) {
            best = cost;
            memcpy(slot, b.slot, bytes);
        }
    }
    return BARONET_OK;
}
