/* SPDX-License-Identifier: MIT */
#include "studies/paths.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"

static void note_passing(path_swing *out, const model *m, const bool *open) {
    const network *net = &m->network;
    for (int i = 0; i < net->edges; i++) {
        const edge *e = &net->edge[i];
        const bool shut = e->kind == EDGE_SOLENOID && !open[e->solenoid];
        const bool passes = network_law(net, i, open, true) != NULL;
        out[i] = (path_swing){.passes = passes, .shut = shut && passes, .course = -1};
    }
}

static void take_swing(path_swing *out, const airnet *n, int edges, int course_index,
                       double amplitude) {
    const double *flow = airnet_flows(n), *conductance = airnet_conductances(n);
    for (int i = 0; i < edges; i++) {
        const double q = amplitude * flow[i];
        if (out[i].passes && q > out[i].flow * (1.0 + 1e-9)) {
            out[i].flow = q;
            out[i].course = course_index;
            out[i].conductance = conductance[i];
        }
    }
}

/* Whether a course is one of those whose swings tell: body motions, the softest warps, and each
   mass on a bench. */
static bool tells(const rates *r, int course_index) {
    const rates_answer *answer = rates_result(r);
    int bodily = 0;
    for (int k = 0; k < BODY_MOTIONS; k++) {
        bodily += answer->has[k];
    }
    const int warps = answer->warps < PATHS_WARPS ? answer->warps : PATHS_WARPS;
    const int bench = bodily + answer->warps + rates_model(r)->vehicle.wheels;
    const int last = bodily + answer->warps + rates_model(r)->vehicle.corners;
    return course_index < bodily + warps || (course_index >= bench && course_index < last);
}

/* Flows below this part of the most are rounding: that path carries nothing in any motion. */
#define PATHS_STILL 1e-12

static void fill_still(path_swing *out, const airnet *n, int edges) {
    double most = 0.0;
    for (int i = 0; i < edges; i++) {
        most = fmax(most, out[i].flow);
    }
    for (int i = 0; i < edges; i++) {
        if (out[i].passes && out[i].flow <= PATHS_STILL * most) {
            out[i].course = -1;
            out[i].flow = 0.0;
            out[i].conductance = airnet_edge_conductance(n, i, 0.0);
        }
    }
}

baronet_status paths_swing(path_swing *out, swing_account *account, rates *r,
                           const course_list *courses, double amplitude, double frequency,
                           const baronet_allocator *allocator) {
    const model *m = rates_model(r);
    *account = (swing_account){0};
    note_passing(out, m, rates_open(r));
    airnet *n = NULL;
    baronet_status status = airnet_create(&n, r, rates_open(r), frequency, allocator);
    for (int k = 0; k < courses->count && status == BARONET_OK; k++) {
        if (!tells(r, k)) {
            continue;
        }
        airnet_answer swing;
        status = airnet_swing(n, courses->course[k].shape, amplitude, frequency, &swing);
        swing_join(account, &swing.account);
        if (status == BARONET_OK || status == BARONET_NOT_CONVERGED) {
            take_swing(out, n, m->network.edges, k, amplitude);
            status = airnet_condition(n, frequency, &account->condition);
        }
    }
    if (status == BARONET_OK) {
        fill_still(out, n, m->network.edges);
    }
    airnet_destroy(n);
    return status;
}

/* What a set of nodes holds. */
typedef struct holding {
    double capacity; /* kg/Pa, of what is not held */
    int held;        /* sides in it that keep their pressure */
    int vessels;     /* springs, tanks and held sides */
    int springs;
    unsigned long mark; /* of the set of its springs */
} holding;

/* The open network as a graph, a hose being one edge, and its depth-first tree. */
typedef struct tree {
    const model *model;
    const path_swing *swing;
    int *start;         /* nodes + 1: of the list of neighbours */
    int *edge;          /* 2 x edges: edge to each neighbour */
    int *seen;          /* nodes: order in which it was met, from 1; 0 for not yet */
    int *low;           /* nodes: the earliest that its subtree reaches otherwise */
    int *parent_edge;   /* nodes: tree edge to it, -1 for a root */
    int *next;          /* nodes: next neighbour to look at */
    int *stack;         /* nodes */
    int *root;          /* nodes: root of its tree */
    holding *sum;       /* nodes: of its subtree; at a root, of the whole */
    int *corner;        /* nodes: at a root, the only corner of its springs; -1 none, -2 several */
    int *near, *far_by; /* nodes: nearest spring, and how many paths away */
} tree;

static int other_end(const edge *e, int from) {
    return e->from == from ? e->to : e->from;
}

static bool is_open(const tree *t, int edge_index) {
    return t->swing[edge_index].passes && !t->swing[edge_index].shut;
}

static bool take_tree(tree *t, arena *a) {
    const int nodes = t->model->network.nodes, edges = t->model->network.edges;
    int **const ints[] = {&t->seen, &t->low,  &t->parent_edge, &t->next,  &t->stack,
                          &t->root, &t->near, &t->far_by,      &t->corner};
    for (size_t k = 0; k < sizeof ints / sizeof ints[0]; k++) {
        *ints[k] = ARENA_ARRAY(a, int, nodes);
    }
    t->start = ARENA_ARRAY(a, int, nodes + 1);
    t->edge = ARENA_ARRAY(a, int, 2 * (size_t)edges);
    t->sum = ARENA_ARRAY(a, holding, nodes);
    return arena_complete(a);
}

static void list_neighbours(tree *t) {
    const network *net = &t->model->network;
    for (int i = 0; i < net->edges; i++) {
        if (is_open(t, i)) {
            t->start[net->edge[i].from + 1]++;
            t->start[net->edge[i].to + 1]++;
        }
    }
    for (int i = 0; i < net->nodes; i++) {
        t->start[i + 1] += t->start[i];
        t->next[i] = t->start[i];
    }
    for (int i = 0; i < net->edges; i++) {
        if (is_open(t, i)) {
            t->edge[t->next[net->edge[i].from]++] = i;
            t->edge[t->next[net->edge[i].to]++] = i;
        }
    }
    for (int i = 0; i < net->nodes; i++) {
        t->next[i] = t->start[i];
    }
}

/* Numbers that sums of sets can be told apart by (the finisher of Steele, Lea and Flood's
   splitmix, OOPSLA 2014). */
static unsigned long mark_of(int spring_index) {
    unsigned long long z = ((unsigned long long)spring_index + 1) * 0x9e3779b97f4a7c15ull;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ull;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebull;
    return (unsigned long)(z ^ (z >> 31));
}

/* The corner that gives a spring most of its travel. */
static int corner_of(const spring *s) {
    int best = 0;
    for (int k = 1; k < s->levers; k++) {
        best = fabs(s->lever[k].ratio) > fabs(s->lever[best].ratio) ? k : best;
    }
    return s->lever[best].corner;
}

static void fill_own(tree *t, const state_standing *at) {
    const network *net = &t->model->network;
    const double per_volume =
        1.0 / (gas_exponent(t->model->gas) * GAS_CONSTANT * t->model->ambient.temperature);
    for (int i = 0; i < net->nodes; i++) {
        const node *one = &net->node[i];
        const bool spring_node = one->kind == NODE_SPRING;
        t->sum[i].capacity = one->kind == NODE_HOSE ? 0.0 : per_volume * at->node_volume[i];
        t->sum[i].held = node_is_held(one);
        t->sum[i].vessels = spring_node || one->kind == NODE_TANK || node_is_held(one);
        t->sum[i].springs = spring_node;
        t->sum[i].mark = spring_node ? mark_of(one->item) : 0;
        t->corner[i] = spring_node ? corner_of(&t->model->vehicle.spring[one->item]) : -1;
    }
    for (int i = 0; i < net->edges; i++) {
        const edge *e = &net->edge[i];
        if (e->air >= 0) {
            t->sum[e->from].capacity += 0.5 * per_volume * at->node_volume[e->air];
            t->sum[e->to].capacity += 0.5 * per_volume * at->node_volume[e->air];
        }
    }
}

static int join_corners(int a, int b) {
    return a == -1 ? b : (b == -1 || a == b ? a : -2);
}

/* A finished node gives its sums to its parent. */
static void hand_up(tree *t, int child, int parent) {
    t->low[parent] = t->low[child] < t->low[parent] ? t->low[child] : t->low[parent];
    t->sum[parent].capacity += t->sum[child].capacity;
    t->sum[parent].held += t->sum[child].held;
    t->sum[parent].vessels += t->sum[child].vessels;
    t->sum[parent].springs += t->sum[child].springs;
    t->sum[parent].mark ^= t->sum[child].mark;
    t->corner[parent] = join_corners(t->corner[parent], t->corner[child]);
}

static void grow_from(tree *t, int root, int *order) {
    const network *net = &t->model->network;
    int depth = 0;
    t->stack[depth++] = root;
    t->parent_edge[root] = -1;
    t->root[root] = root;
    t->seen[root] = t->low[root] = ++*order;
    while (depth > 0) {
        const int at = t->stack[depth - 1];
        if (t->next[at] == t->start[at + 1]) {
            depth--;
            if (depth > 0) {
                hand_up(t, at, t->stack[depth - 1]);
            }
            continue;
        }
        const int by = t->edge[t->next[at]++];
        const int to = other_end(&net->edge[by], at);
        if (t->seen[to] == 0) {
            t->stack[depth++] = to;
            t->parent_edge[to] = by;
            t->root[to] = root;
            t->seen[to] = t->low[to] = ++*order;
        } else if (by != t->parent_edge[at] && t->seen[to] < t->low[at]) {
            t->low[at] = t->seen[to];
        }
    }
}

/* The spring nearest to each node, by breadth from all springs at once. */
static void find_nearest(tree *t) {
    const network *net = &t->model->network;
    int head = 0, tail = 0;
    for (int i = 0; i < net->nodes; i++) {
        t->near[i] = net->node[i].kind == NODE_SPRING ? net->node[i].item : -1;
        if (t->near[i] >= 0) {
            t->stack[tail++] = i;
        }
    }
    while (head < tail) {
        const int at = t->stack[head++];
        for (int k = t->start[at]; k < t->start[at + 1]; k++) {
            const int to = other_end(&net->edge[t->edge[k]], at);
            if (t->near[to] < 0) {
                t->near[to] = t->near[at];
                t->far_by[to] = t->far_by[at] + 1;
                t->stack[tail++] = to;
            }
        }
    }
}

/* The two sides of a path, and whether nothing else joins them. */
typedef struct sides {
    bool apart;
    holding one, two;
    bool several; /* their springs are of different corners */
} sides;

static sides sides_of(const tree *t, int edge_index) {
    const edge *e = &t->model->network.edge[edge_index];
    if (!is_open(t, edge_index)) {
        const int a = t->root[e->from], b = t->root[e->to];
        return (sides){.apart = a != b,
                       .one = t->sum[a],
                       .two = t->sum[b],
                       .several = join_corners(t->corner[a], t->corner[b]) == -2};
    }
    const int child = t->parent_edge[e->to] == edge_index     ? e->to
                      : t->parent_edge[e->from] == edge_index ? e->from
                                                              : -1;
    if (child < 0 || t->low[child] != t->seen[child]) {
        return (sides){0};
    }
    const int root = t->root[child];
    const holding whole = t->sum[root];
    sides s = {.apart = true, .one = t->sum[child], .several = t->corner[root] == -2};
    s.two = (holding){whole.capacity - s.one.capacity, whole.held - s.one.held,
                      whole.vessels - s.one.vessels, whole.springs - s.one.springs,
                      whole.mark ^ s.one.mark};
    return s;
}

/* Both sides in series: one that is held takes all. Zero where neither gives way. */
static double series(const holding *a, const holding *b) {
    if (a->held > 0 || b->held > 0) {
        return a->held > 0 ? (b->held > 0 ? 0.0 : b->capacity) : a->capacity;
    }
    return a->capacity * b->capacity / (a->capacity + b->capacity); /* a spring is on one side */
}

/* Ride frequency of a body motion by its course's place, NAN for others. */
static double motion_frequency(const level_rates *l, const rates_answer *answer, int course_index) {
    int place = 0;
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (answer->has[k] && place++ == course_index) {
            return l->body_frequency[k];
        }
    }
    return (double)NAN;
}

static double ride_of(const path_answer *p, const rates_answer *answer, const model *m,
                      int course_index) {
    double f = (double)NAN;
    const level levels[] = {LEVEL_RIDE, LEVEL_SETTLED};
    for (int k = 0; k < 2; k++) {
        const level_rates *l = &answer->level[levels[k]];
        if (isnan(f) && l->given && p->link) {
            f = motion_frequency(l, answer, course_index);
        }
        if (isnan(f) && l->given) {
            f = l->ride_frequency[corner_of(&m->vehicle.spring[p->nearest])];
        }
    }
    return f;
}

static int nearest_to(const tree *t, const edge *e) {
    const int a = t->near[e->from], b = t->near[e->to];
    if (a < 0 || b < 0) {
        return a < 0 ? b : a;
    }
    return t->far_by[e->to] < t->far_by[e->from] ? b : a;
}

static void judge(path_answer *p, const tree *t, const rates_answer *answer) {
    const model *m = t->model;
    const path_swing *swing = &t->swing[p->edge];
    const sides s = sides_of(t, p->edge);
    p->nearest = nearest_to(t, &m->network.edge[p->edge]);
    p->loop = !s.apart;
    p->frequency = p->present = (double)NAN;
    p->link = s.apart && s.several && s.one.springs > 0 && s.two.springs > 0;
    p->parted = s.one.mark < s.two.mark ? s.one.mark : s.two.mark;
    if (s.apart) {
        p->capacity = series(&s.one, &s.two);
        p->stub = s.one.vessels == 0 || s.two.vessels == 0;
    }
    if (p->capacity > 0.0) {
        p->frequency = swing->conductance / (TWO_PI * p->capacity);
    }
    p->ride = ride_of(p, answer, m, swing->course);
    if (!isnan(p->frequency) && !isnan(p->ride)) {
        const double x = p->ride / p->frequency;
        p->present = 1.0 / (1.0 + x * x);
    }
}

baronet_status paths_solve(paths_answer *out, arena *a, rates *r, const path_swing *swing) {
    const model *m = rates_model(r);
    const rates_answer *answer = rates_result(r);
    tree t = {.model = m, .swing = swing};
    *out = (paths_answer){.path = ARENA_ARRAY(a, path_answer, m->network.edges)};
    if (out->path == NULL || !take_tree(&t, a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    list_neighbours(&t);
    fill_own(&t, &answer->settled);
    int order = 0;
    for (int i = 0; i < m->network.nodes; i++) {
        if (t.seen[i] == 0) {
            grow_from(&t, i, &order);
        }
    }
    find_nearest(&t);
    for (int i = 0; i < m->network.edges; i++) {
        const edge *e = &m->network.edge[i];
        if (swing[i].passes && (t.near[e->from] >= 0 || t.near[e->to] >= 0)) {
            path_answer *p = &out->path[out->count++];
            p->edge = i;
            judge(p, &t, answer);
        }
    }
    return BARONET_OK;
}
