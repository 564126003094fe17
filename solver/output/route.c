/* SPDX-License-Identifier: MIT */
#include "output/route.h"

#include <stdlib.h>
#include <string.h>

/* What a line costs, in steps: a corner, another line that it crosses, an end within a line of its
   own net (better at a part, above all at one that is there to join lines). */
enum { CORNER = 6, CROSSING = 22, WITHIN = 16, WITHIN_TEE = 30 };
/* And each step beside another line, one or two steps away from it. */
enum { BESIDE = 2, NEAR = 1 };
/* Rounds in which each line is taken up and laid anew among the others. */
enum { ROUNDS = 2 };
enum { NOBODY = 0, NOT_YET = 0x3FFFFFFF };

/* A line that has to be laid: from a port to its net. */
typedef struct task {
    int port; /* where it starts */
    bool laid;
    route_line line;
} task;

typedef struct router {
    arena *arena;
    int width, height;
    const bool *blocked;
    int ports;
    const route_port *port;
    /* By point, net + 1 or NOBODY: a line that passes level, one that passes upright, one that has
       a corner or an end there. */
    int *level, *upright, *corner;
    int *door;  /* by point: net + 1 of a port there */
    int *porch; /* by point: net + 1 of a port that is left through it: others may only cross */
    /* By point and way of arrival: cost so far, whence. */
    int *cost, *from;
    int *heap, *heap_at; /* states by cost; the place of each in the heap, from 1 */
    int heap_count;
    bool *goal; /* points x ways */
    spot *trail;
    int within; /* cost of the net that is being laid */
    int tasks;
    task *task;
} router;

static const spot steps[4] = {{0, -1}, {1, 0}, {0, 1}, {-1, 0}};

spot route_step(spot at, int way) {
    return (spot){at.x + steps[way].x, at.y + steps[way].y};
}

static int index_of(const router *r, spot p) {
    return p.y * r->width + p.x;
}

static bool is_inside(const router *r, spot p) {
    return p.x >= 0 && p.y >= 0 && p.x < r->width && p.y < r->height;
}

/* A heap of states, the cheapest first; those of one cost by their number, so that nothing depends
   on how it is kept. */
static bool is_before(const router *r, int a, int b) {
    return r->cost[a] < r->cost[b] || (r->cost[a] == r->cost[b] && a < b);
}

static void put(router *r, int place, int state) {
    r->heap[place] = state;
    r->heap_at[state] = place;
}

static void rise(router *r, int place) {
    const int state = r->heap[place];
    while (place > 1 && is_before(r, state, r->heap[place / 2])) {
        put(r, place, r->heap[place / 2]);
        place /= 2;
    }
    put(r, place, state);
}

static int take_first(router *r) {
    const int first = r->heap[1];
    const int state = r->heap[r->heap_count--];
    r->heap_at[first] = 0;
    int place = 1;
    for (int next = 2; next <= r->heap_count; next = 2 * place) {
        next += next < r->heap_count && is_before(r, r->heap[next + 1], r->heap[next]);
        if (!is_before(r, r->heap[next], state)) {
            break;
        }
        put(r, place, r->heap[next]);
        place = next;
    }
    if (r->heap_count > 0) {
        put(r, place, state);
    }
    return first;
}

static void offer(router *r, int state, int cost, int from) {
    if (cost >= r->cost[state]) {
        return;
    }
    r->cost[state] = cost;
    r->from[state] = from;
    if (r->heap_at[state] == 0) {
        put(r, ++r->heap_count, state);
    }
    rise(r, r->heap_at[state]);
}

/* Whether a line of a net may enter a point on its way; it then may be bound to go straight on. */
static bool may_enter(const router *r, int net, int at, int way, bool *straight, bool *crossing) {
    const int own = net + 1;
    const int along = way % 2 == 0 ? r->upright[at] : r->level[at];
    const int across = way % 2 == 0 ? r->level[at] : r->upright[at];
    *crossing = across != NOBODY && across != own;
    *straight = *crossing || (r->porch[at] != NOBODY && r->porch[at] != own);
    return (r->corner[at] == NOBODY || r->corner[at] == own) && (along == NOBODY || along == own) &&
           (r->door[at] == NOBODY || r->door[at] == own);
}

/* What a step into a point costs for lines that run beside it. */
static int crowd_cost(const router *r, int at, int way) {
    static const int cost[] = {NEAR, BESIDE, 0, BESIDE, NEAR};
    const int place = way % 2 == 0 ? at % r->width : at / r->width;
    const int places = way % 2 == 0 ? r->width : r->height;
    const int apart = way % 2 == 0 ? 1 : r->width;
    const int *line = way % 2 == 0 ? r->upright : r->level;
    int sum = 0;
    for (int k = -2; k <= 2; k++) {
        if (place + k >= 0 && place + k < places && line[at + k * apart] != NOBODY) {
            sum += cost[k + 2];
        }
    }
    return sum;
}

/* From a state on in one direction. */
static void go(router *r, int net, int state, int way) {
    const int at = state / 4, came = state % 4;
    const spot next = route_step((spot){at % r->width, at / r->width}, way);
    bool here_straight = false, straight = false, crossing = false;
    if (!is_inside(r, next) || way == (came + 2) % 4) {
        return;
    }
    may_enter(r, net, at, came, &here_straight, &crossing);
    const int to = index_of(r, next);
    const bool goal = r->goal[4 * to + way];
    if ((here_straight && way != came) || (r->blocked[to] && !goal) ||
        !may_enter(r, net, to, way, &straight, &crossing) || (goal && crossing)) {
        return;
    }
    const bool own =
        r->door[to] == NOBODY &&
        (r->level[to] == net + 1 || r->upright[to] == net + 1 || r->corner[to] == net + 1);
    offer(r, 4 * to + way,
          r->cost[state] + 1 + (way != came ? CORNER : 0) + (crossing ? CROSSING : 0) +
              (own ? r->within : 0) + crowd_cost(r, to, way),
          state);
}

/* The cheapest way from a port to a goal; the last state, -1 for none. */
static int search(router *r, const route_port *p) {
    const int states = 4 * r->width * r->height;
    for (int k = 0; k < states; k++) {
        r->cost[k] = NOT_YET;
        r->from[k] = -1;
        r->heap_at[k] = 0;
    }
    r->heap_count = 0;
    const int start = index_of(r, p->at);
    for (int way = 0; way < 4; way++) {
        if (p->way == ROUTE_ANY || p->way == way) {
            offer(r, 4 * start + way, 0, -1);
        }
    }
    while (r->heap_count > 0) {
        const int state = take_first(r);
        if (r->goal[state] && r->from[state] >= 0) {
            return state;
        }
        const int came = state % 4;
        for (int way = 0; way < 4; way++) {
            if (r->from[state] >= 0 || way == came) {
                go(r, p->net, state, way);
            }
        }
    }
    return -1;
}

/* Adds to each point of a line what it does there. */
static void mark(router *r, const route_line *l) {
    const int value = l->net + 1;
    for (int k = 0; k + 1 < l->points && !l->forced; k++) {
        const spot a = l->point[k], b = l->point[k + 1];
        const spot by = {(b.x > a.x) - (b.x < a.x), (b.y > a.y) - (b.y < a.y)};
        for (spot q = a;; q = (spot){q.x + by.x, q.y + by.y}) {
            const int at = index_of(r, q);
            const bool end = (q.x == a.x && q.y == a.y) || (q.x == b.x && q.y == b.y);
            *(end ? &r->corner[at] : by.x != 0 ? &r->level[at] : &r->upright[at]) = value;
            if (q.x == b.x && q.y == b.y) {
                break;
            }
        }
    }
}

/* Ways in which a port or a point of the net's lines may be reached. */
static void set_goals(router *r, int net) {
    memset(r->goal, 0, (size_t)(4 * r->width * r->height) * sizeof *r->goal);
    r->within = WITHIN;
    for (int k = 0; k < r->ports; k++) {
        const route_port *p = &r->port[k];
        const bool joined = p->own && p->net == net;
        r->within = joined && p->way == ROUTE_ANY ? WITHIN_TEE : r->within;
        for (int way = 0; way < 4 && joined; way++) {
            r->goal[4 * index_of(r, p->at) + way] = p->way == ROUTE_ANY || p->way == (way + 2) % 4;
        }
    }
    for (int at = 0; at < r->width * r->height; at++) {
        const int own = net + 1;
        if (r->level[at] == own || r->upright[at] == own || r->corner[at] == own) {
            for (int way = 0; way < 4; way++) {
                r->goal[4 * at + way] = (r->door[at] == NOBODY || r->corner[at] == own) &&
                                        (r->porch[at] == NOBODY || r->porch[at] == own);
            }
        }
    }
}

/* The corners of the way that a search has found, from its end to its start. */
static bool keep_trail(router *r, int state, route_line *l) {
    int count = 0;
    for (int k = state; k >= 0; k = r->from[k]) {
        const bool turns = k == state || r->from[k] < 0 || r->from[k] % 4 != k % 4;
        /* The corner lies where the step into the new way began. */
        if (k == state) {
            r->trail[count++] = (spot){k / 4 % r->width, k / 4 / r->width};
        }
        if (turns && r->from[k] >= 0 && r->from[k] % 4 != k % 4) {
            r->trail[count++] = (spot){r->from[k] / 4 % r->width, r->from[k] / 4 / r->width};
        } else if (r->from[k] < 0) {
            r->trail[count++] = (spot){k / 4 % r->width, k / 4 / r->width};
        }
    }
    l->points = count;
    l->point = ARENA_ARRAY(r->arena, spot, count);
    if (l->point != NULL) {
        memcpy(l->point, r->trail, (size_t)count * sizeof *r->trail);
    }
    return l->point != NULL;
}

/* Straight across, where there is no way: to the net's first port of the node. */
static bool force(router *r, int net, const route_port *start, route_line *l) {
    const route_port *to = start;
    for (int k = 0; k < r->ports; k++) {
        to = r->port[k].net == net && r->port[k].own ? &r->port[k] : to;
    }
    l->forced = true;
    l->points = 2;
    l->point = ARENA_ARRAY(r->arena, spot, 2);
    if (l->point != NULL) {
        l->point[0] = start->at;
        l->point[1] = to->at;
    }
    return l->point != NULL;
}

static bool lay(router *r, int index) {
    task *t = &r->task[index];
    const route_port *p = &r->port[t->port];
    t->line = (route_line){.net = p->net};
    set_goals(r, p->net);
    const int end = search(r, p);
    const bool done = end >= 0 ? keep_trail(r, end, &t->line) : force(r, p->net, p, &t->line);
    if (done) {
        mark(r, &t->line);
        t->laid = true;
    }
    return done;
}

/* Puts the marks of all lines anew, for lines of one net may share points. */
static void mark_all(router *r) {
    const size_t bytes = (size_t)(r->width * r->height) * sizeof(int);
    memset(r->level, 0, bytes);
    memset(r->upright, 0, bytes);
    memset(r->corner, 0, bytes);
    for (int k = 0; k < r->tasks; k++) {
        if (r->task[k].laid) {
            mark(r, &r->task[k].line);
        }
    }
}

/* Takes up all lines of a task's net and lays them anew, for they may end in one another. */
static bool lay_net(router *r, int index) {
    const int net = r->port[r->task[index].port].net;
    for (int k = index; k < r->tasks; k++) {
        r->task[k].laid = r->task[k].laid && r->port[r->task[k].port].net != net;
    }
    mark_all(r);
    bool done = true;
    for (int k = index; k < r->tasks && done; k++) {
        done = r->port[r->task[k].port].net != net || lay(r, k);
    }
    return done;
}

static bool is_first_of_net(const router *r, int index) {
    const int net = r->port[r->task[index].port].net;
    for (int k = 0; k < index; k++) {
        if (r->port[r->task[k].port].net == net) {
            return false;
        }
    }
    return true;
}

/* How far a port is from the nearest of its net's own part. */
static int distance(const router *r, const route_port *p) {
    int least = NOT_YET;
    for (int k = 0; k < r->ports; k++) {
        const route_port *o = &r->port[k];
        const int away = abs(o->at.x - p->at.x) + abs(o->at.y - p->at.y);
        least = o->net == p->net && o->own && away < least ? away : least;
    }
    return least;
}

/* One task for each port that is not a node's own, the shortest first. */
static bool make_tasks(router *r) {
    r->task = ARENA_ARRAY(r->arena, task, r->ports);
    int *far = ARENA_ARRAY(r->arena, int, r->ports);
    if (r->task == NULL || far == NULL) {
        return false;
    }
    for (int k = 0; k < r->ports; k++) {
        const route_port *p = &r->port[k];
        r->door[index_of(r, p->at)] = p->net + 1;
        for (int way = 0; way < 4; way++) {
            const spot out = route_step(p->at, way);
            if ((p->way == way || p->way == ROUTE_ANY) && is_inside(r, out)) {
                r->porch[index_of(r, out)] = p->net + 1;
            }
        }
        if (r->port[k].own) {
            continue;
        }
        const int away = distance(r, &r->port[k]);
        int i = r->tasks++;
        for (; i > 0 && far[i - 1] > away; i--) {
            far[i] = far[i - 1];
            r->task[i] = r->task[i - 1];
        }
        far[i] = away;
        r->task[i] = (task){.port = k};
    }
    return true;
}

static bool take_room(router *r) {
    const int points = r->width * r->height;
    r->level = ARENA_ARRAY(r->arena, int, points);
    r->upright = ARENA_ARRAY(r->arena, int, points);
    r->corner = ARENA_ARRAY(r->arena, int, points);
    r->door = ARENA_ARRAY(r->arena, int, points);
    r->porch = ARENA_ARRAY(r->arena, int, points);
    r->cost = ARENA_ARRAY(r->arena, int, 4 * points);
    r->from = ARENA_ARRAY(r->arena, int, 4 * points);
    r->heap = ARENA_ARRAY(r->arena, int, 4 * points + 1);
    r->heap_at = ARENA_ARRAY(r->arena, int, 4 * points);
    r->goal = ARENA_ARRAY(r->arena, bool, 4 * points);
    r->trail = ARENA_ARRAY(r->arena, spot, 4 * points + 1);
    return arena_complete(r->arena);
}

static bool has_step(const route_line *l, int k, spot at, int *arms) {
    const spot a = l->point[k], b = l->point[k + 1];
    const int low_x = a.x < b.x ? a.x : b.x, high_x = a.x < b.x ? b.x : a.x;
    const int low_y = a.y < b.y ? a.y : b.y, high_y = a.y < b.y ? b.y : a.y;
    if (at.x < low_x || at.x > high_x || at.y < low_y || at.y > high_y) {
        return false;
    }
    *arms |= (at.y > low_y) << ROUTE_UP | (at.x < high_x) << ROUTE_RIGHT |
             (at.y < high_y) << ROUTE_DOWN | (at.x > low_x) << ROUTE_LEFT;
    return true;
}

/* Arms of a net's lines at a point, one bit a way. */
static int arms_at(const router *r, int net, spot at) {
    int arms = 0;
    for (int k = 0; k < r->tasks; k++) {
        const route_line *l = &r->task[k].line;
        for (int i = 0; i + 1 < l->points && l->net == net && !l->forced; i++) {
            has_step(l, i, at, &arms);
        }
    }
    return arms;
}

/* Lines end where they join others: three arms or more there are a dot. */
static bool find_dots(router *r, route_plan *out) {
    out->dot = ARENA_ARRAY(r->arena, spot, r->tasks);
    for (int k = 0; k < r->tasks && out->dot != NULL; k++) {
        const route_line *l = &r->task[k].line;
        const int arms = arms_at(r, l->net, l->point[0]);
        const int count = (arms & 1) + (arms >> 1 & 1) + (arms >> 2 & 1) + (arms >> 3 & 1);
        if (count > 2 && r->door[index_of(r, l->point[0])] == NOBODY) {
            out->dot[out->dots++] = l->point[0];
        }
    }
    return out->dot != NULL;
}

baronet_status route_solve(route_plan *out, arena *a, int width, int height, const bool *blocked,
                           int ports, const route_port *port) {
    router r = {.arena = a,
                .width = width,
                .height = height,
                .blocked = blocked,
                .ports = ports,
                .port = port};
    *out = (route_plan){0};
    bool done = take_room(&r) && make_tasks(&r);
    for (int round = 0; round <= ROUNDS && done; round++) {
        for (int k = 0; k < r.tasks && done; k++) {
            done = !is_first_of_net(&r, k) || lay_net(&r, k);
        }
    }
    out->line = done ? ARENA_ARRAY(a, route_line, r.tasks) : NULL;
    if (out->line == NULL || !find_dots(&r, out)) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (int k = 0; k < r.tasks; k++) {
        out->line[out->lines++] = r.task[k].line;
    }
    return BARONET_OK;
}
