#include "studies/airnet.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"
#include "base/sets.h"
#include "model/flow.h"

/* A drop below this part of the largest pressure swing is rounding of a difference: it says nothing
   of the law, and the law's say in the answer is as small. */
#define AIRNET_SLIGHT 1e-6
/* A drop below this part of the mean pressure is rounding to the law itself, which takes it as the
   difference of two pressures; every law is straight there. A hundredth of it would keep the last
   digit of AIRNET_TOLERANCE from ever coming to rest. */
#define AIRNET_ROUNDING 1e-8
/* What a miss of ln of a conductance asks for as its step, over the miss. With the drop given it is
   one; with the flow given, through a square law, two, since the drop then answers. Each edge's own
   is found as it goes, from a start between them. */
#define AIRNET_LEAST_GAIN 1.0
#define AIRNET_FIRST_GAIN (4.0 / 3.0)
#define AIRNET_MOST_GAIN  2.0
/* Where a hose turns turbulent its law bends so sharply that only small steps settle: they are
   taken after so many rounds. */
#define AIRNET_CAREFUL 0.4
enum { AIRNET_CAREFUL_AFTER = 25 };
/* Swings are worked up to in this many steps of a factor of ten, so that of several consistent
   answers the one that grows out of rest is found. */
enum { AIRNET_STAGES = 2, AIRNET_ITERATIONS = 100 };
/* How well the smaller swings on the way are worked out, and the first round of the whole one: by
   the law at one point of the swing, this part of its amplitude, which gives the first harmonic of
   straight laws and of square ones (1/1.113^2). */
#define AIRNET_WAY_TOLERANCE  0.3
#define AIRNET_LAST_TOLERANCE 0.02
#define AIRNET_POINT          0.8075
/* A law is not asked again where the line through its last two answers is good to this part of the
   tolerance, as the drop counts. The bend that the last three show may miss what comes next, so
   that this much more is allowed for; where a law turns from straight to square it is 0.06. */
#define AIRNET_NEAR      0.1
#define AIRNET_NEAR_BEND 0.3
/* Where a law might be out by this factor and none would notice, it is not asked at all: where no
   air to speak of moves. */
#define AIRNET_UNFELT 1e4
/* An estimate of the condition costs some six solves: it is made of the first system, and where
   pivots are by this factor further apart than of any before. At the lowest frequency they are
   furthest. */
#define AIRNET_WORSE 0.5
/* Unknowns that nothing tells the pressure of get this on their diagonal: it stays what it is. */
#define AIRNET_LONE 1.0

/* What an edge's law answered last, all as logarithms: of its conductance over that of the drop. */
typedef struct near_law {
    int answers;        /* 0 to 3: two make a slope, three a bend */
    double drop;        /* where it was asked last */
    double conductance; /* its answer there */
    double reach;       /* from there to where it was asked before */
    double slope;       /* between the two */
    double bend;        /* second divided difference of the last three */
} near_law;

struct airnet {
    const model *model;
    rates *rates;
    arena *arena;
    const groups *groups;
    const standing *at;
    const bool *open;

    int unknowns;     /* one at least: a netlist has a spring or a tank */
    int *of_node;     /* nodes: unknown, -1 where the pressure is held or the air is in segments */
    double *volume;   /* m3, unknowns */
    double *pressure; /* Pa, unknowns: the mean about which it swings */
    bool *lone;       /* unknowns */
    int links;
    airnet_link *link;
    double largest;      /* Pa per m of the motion: the largest pressure swing */
    const law **law;     /* edges: what passes, NULL for nothing */
    double *rest;        /* kg/(s Pa), edges: the law's slope at no flow */
    double *conductance; /* kg/(s Pa), edges */
    double *flow;        /* kg/s per m of the motion, edges: amplitude */
    double *miss;        /* edges: ln of the law's conductance over the one that was in use */
    double *step;        /* edges: by how much ln of the conductance was changed then */
    double *gain;        /* edges: the step that a miss asks for, over the miss */
    near_law *near;      /* edges */
    double *drop;        /* scratch: sum of complex link flows, pairs, edges */
    int *pieces;         /* edges: number of links */
    double *through;     /* complex pairs, links: flow per difference, of the last fill */

    pattern pattern;
    sparse *sparse;
    double *values;                 /* complex pairs */
    double least_pivots, condition; /* of all systems that were looked at, the worst */
    double factored; /* Hz: where the matrix of the present conductances has been factored, or 0 */
    double *vector;  /* complex pairs, unknowns */
    double *forces;  /* complex pairs, corners */
    double *steel;   /* N/m, corners x corners: all that is not air */
};

/* The law by which an edge passes air for small changes, NULL where it passes none. */
/* Segments of a hose, short against the wavelength at the highest frequency. */
static int segments_of(const airnet *n, const edge *e, double highest) {
    const double sound =
        sqrt(gas_exponent(n->model->gas) * GAS_CONSTANT * n->model->ambient.temperature); /* m/s */
    const double wanted = ceil(AIRNET_SEGMENTS_A_WAVELENGTH * e->path.length * highest / sound);
    return (int)fmin(fmax(wanted, 1.0), AIRNET_SEGMENTS_MOST);
}

static void count_unknowns(airnet *n, double highest) {
    const network *net = &n->model->network;
    for (int i = 0; i < net->nodes; i++) {
        const node *one = &net->node[i];
        const bool own = !node_is_held(one) && one->kind != NODE_HOSE;
        n->of_node[i] = own ? n->unknowns++ : -1;
    }
    for (int i = 0; i < net->edges; i++) {
        n->law[i] = network_law(net, i, n->open, true);
        if (n->law[i] == NULL) {
            continue;
        }
        const bool hose = net->edge[i].kind == EDGE_HOSE;
        const int segments = hose ? segments_of(n, &net->edge[i], highest) : 0;
        n->pieces[i] = segments + 1;
        n->links += segments + 1;
        if (hose) {
            /* The middle segment speaks for the hose's own node. */
            n->of_node[net->edge[i].air] = n->unknowns + segments / 2;
            n->unknowns += segments;
        }
    }
}

static double node_volume(const airnet *n, int index) {
    const node *one = &n->model->network.node[index];
    return one->kind == NODE_SPRING ? n->at->point[one->item].volume : one->volume;
}

static void place_nodes(airnet *n) {
    const network *net = &n->model->network;
    for (int i = 0; i < net->nodes; i++) {
        const int k = n->of_node[i];
        if (k >= 0 && net->node[i].kind != NODE_HOSE) {
            n->volume[k] = node_volume(n, i);
            n->pressure[k] = rates_result(n->rates)->settled.node_pressure[i];
        }
    }
}

static void place_hose(airnet *n, int index, int *first, int *count) {
    const edge *e = &n->model->network.edge[index];
    const int segments = n->pieces[index] - 1;
    const double area = circle_area(e->path.bore);
    const double p = rates_result(n->rates)->settled.node_pressure[e->air];
    int from = n->of_node[e->from];
    for (int k = 0; k <= segments; k++) {
        const bool end = k == 0 || k == segments;
        const double share = (end ? 0.5 : 1.0) / segments;
        const int to = k == segments ? n->of_node[e->to] : *first + k;
        n->link[(*count)++] = (airnet_link){index, from, to, share, share * e->path.length / area};
        if (k < segments) {
            n->volume[to] = n->model->network.node[e->air].volume / segments;
            n->pressure[to] = p;
        }
        from = to;
    }
    *first += segments;
}

static void place_links(airnet *n) {
    const network *net = &n->model->network;
    int first = n->unknowns;
    int count = 0;
    for (int i = 0; i < net->edges; i++) {
        first -= net->edge[i].kind == EDGE_HOSE ? n->pieces[i] - 1 : 0;
    }
    for (int i = 0; i < net->edges; i++) {
        if (n->law[i] == NULL) {
            continue;
        }
        const edge *e = &net->edge[i];
        if (e->kind == EDGE_HOSE) {
            place_hose(n, i, &first, &count);
        } else {
            n->link[count++] = (airnet_link){i, n->of_node[e->from], n->of_node[e->to], 1.0, 0.0};
        }
    }
}

/* Places of the matrix in the order in which fill_values writes them. */
static void list_places(void *context, pattern_writer *w) {
    const airnet *n = context;
    for (int i = 0; i < n->unknowns; i++) {
        pattern_put(w, i, i, 0.0);
    }
    for (int i = 0; i < n->links; i++) {
        const int ends[2] = {n->link[i].from, n->link[i].to};
        for (int k = 0; k < 4; k++) {
            const int row = ends[k / 2], column = ends[k % 2];
            if (row >= 0 && column >= 0) {
                pattern_put(w, row, column, 0.0);
            }
        }
    }
}

static baronet_status make_matrix(airnet *n, const baronet_allocator *allocator) {
    const baronet_status status = pattern_list(&n->pattern, allocator, n->unknowns, list_places, n);
    if (status != BARONET_OK) {
        return status;
    }
    n->values = ARENA_ARRAY(n->arena, double, 2 * (size_t)n->pattern.entries);
    return n->values != NULL ? sparse_create(&n->sparse, &n->pattern, true, NULL)
                             : BARONET_OUT_OF_MEMORY;
}

/* What the wheels feel that is not air: carcass and area terms of the springs, coils, bars, stops.
   It is K with an exponent of zero. */
static baronet_status find_steel(airnet *n) {
    const vehicle *v = &n->model->vehicle;
    double *rate = ARENA_ARRAY(n->arena, double, v->springs);
    if (rate == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    stiffness_find(rates_stiffness(n->rates, false), n->groups, n->at, AIR_ALONE, 0.0, n->steel,
                   rate);
    return BARONET_OK;
}

static bool take_first(airnet *n) {
    const network *net = &n->model->network;
    n->of_node = ARENA_ARRAY(n->arena, int, net->nodes);
    n->law = ARENA_ARRAY(n->arena, const law *, net->edges);
    n->rest = ARENA_ARRAY(n->arena, double, net->edges);
    n->conductance = ARENA_ARRAY(n->arena, double, net->edges);
    n->flow = ARENA_ARRAY(n->arena, double, net->edges);
    n->miss = ARENA_ARRAY(n->arena, double, net->edges);
    n->step = ARENA_ARRAY(n->arena, double, net->edges);
    n->gain = ARENA_ARRAY(n->arena, double, net->edges);
    n->near = ARENA_ARRAY(n->arena, near_law, net->edges);
    n->drop = ARENA_ARRAY(n->arena, double, 2 * (size_t)net->edges);
    n->pieces = ARENA_ARRAY(n->arena, int, net->edges);
    return arena_complete(n->arena);
}

static bool take_second(airnet *n) {
    const size_t unknowns = (size_t)n->unknowns;
    const size_t corners = (size_t)n->model->vehicle.corners;
    n->volume = ARENA_ARRAY(n->arena, double, unknowns);
    n->pressure = ARENA_ARRAY(n->arena, double, unknowns);
    n->lone = ARENA_ARRAY(n->arena, bool, unknowns);
    n->link = ARENA_ARRAY(n->arena, airnet_link, n->links);
    n->through = ARENA_ARRAY(n->arena, double, 2 * (size_t)n->links);
    n->vector = ARENA_ARRAY(n->arena, double, 2 * unknowns);
    n->forces = ARENA_ARRAY(n->arena, double, 2 * corners);
    n->steel = ARENA_ARRAY(n->arena, double, corners *corners);
    return arena_complete(n->arena);
}

/* Unknowns without air of their own or a path to any: a tee alone, a valve block between shut
   valves. A set of joined ones is known by its least. */
static baronet_status find_lone(airnet *n) {
    int *set = ARENA_ARRAY(n->arena, int, n->unknowns);
    if (set == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    sets_start(set, n->unknowns);
    for (int i = 0; i < n->unknowns; i++) {
        n->lone[i] = true;
    }
    for (int i = 0; i < n->links; i++) {
        const airnet_link *l = &n->link[i];
        if (l->from >= 0 && l->to >= 0) {
            sets_join(set, l->from, l->to);
        }
    }
    for (int i = 0; i < n->links; i++) {
        const airnet_link *l = &n->link[i];
        if ((l->from < 0) != (l->to < 0)) {
            n->lone[sets_find(set, l->from < 0 ? l->to : l->from)] = false;
        }
    }
    for (int i = 0; i < n->unknowns; i++) {
        if (n->volume[i] > 0.0) {
            n->lone[sets_find(set, i)] = false;
        }
    }
    for (int i = 0; i < n->unknowns; i++) {
        n->lone[i] = n->lone[sets_find(set, i)];
    }
    return BARONET_OK;
}

static flow_side side_of(const airnet *n, int node_index) {
    return (flow_side){rates_result(n->rates)->settled.node_pressure[node_index],
                       n->model->ambient.temperature};
}

double airnet_edge_conductance(const airnet *n, int edge_index, double amplitude) {
    const edge *e = &n->model->network.edge[edge_index];
    return n->law[edge_index] == NULL
               ? 0.0
               : flow_conductance_between(n->law[edge_index], side_of(n, e->from),
                                          side_of(n, e->to), amplitude);
}

static baronet_status set_up(airnet *n, double highest, const baronet_allocator *allocator) {
    if (!take_first(n)) {
        return BARONET_OUT_OF_MEMORY;
    }
    count_unknowns(n, highest);
    if (!take_second(n)) {
        return BARONET_OUT_OF_MEMORY;
    }
    place_nodes(n);
    place_links(n);
    for (int i = 0; i < n->model->network.edges; i++) {
        n->rest[i] = airnet_edge_conductance(n, i, 0.0);
    }
    baronet_status status = find_lone(n);
    if (status == BARONET_OK) {
        status = find_steel(n);
    }
    return status == BARONET_OK ? make_matrix(n, allocator) : status;
}

baronet_status airnet_create(airnet **out, rates *r, const bool *open, double highest_frequency,
                             const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    airnet *n = ARENA_OWNER(airnet, allocator, &a);
    if (n == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    n->model = rates_model(r);
    n->rates = r;
    n->arena = a;
    n->groups = balance_groups(rates_balance(r, false));
    n->at = balance_standing(rates_balance(r, false));
    n->open = open;
    n->least_pivots = HUGE_VAL;
    const baronet_status status = set_up(n, highest_frequency, allocator);
    if (status != BARONET_OK) {
        airnet_destroy(n);
        return status;
    }
    *out = n;
    return BARONET_OK;
}

void airnet_destroy(airnet *n) {
    if (n != NULL) {
        sparse_destroy(n->sparse);
        pattern_free(&n->pattern);
        arena_destroy(n->arena);
    }
}

/* Flow per difference of a link, 1/(R + jX): division of complex numbers in general minds what is
   not finite, at some cost. */
static double complex admittance(const airnet *n, const airnet_link *l, double frequency) {
    const double R = l->share / n->conductance[l->edge];
    const double X = TWO_PI * frequency * l->inertance;
    const double part = 1.0 / (R * R + X * X);
    return R * part - J * (X * part);
}

static double square_of(const double *pair) {
    return pair[0] * pair[0] + pair[1] * pair[1];
}

static void add_value(airnet *n, int pair, double complex value) {
    double *at = n->values + 2 * (size_t)n->pattern.slot[pair];
    at[0] += creal(value);
    at[1] += cimag(value);
}

static const double *fill_values(airnet *n, double frequency) {
    const double complex s = J * TWO_PI * frequency;
    double real = 0.0, imaginary = 0.0;
    gas_exponent_at(n->model->gas, TWO_PI * frequency, &real, &imaginary);
    const double complex per_volume =
        s / ((real + J * imaginary) * GAS_CONSTANT * n->model->ambient.temperature);
    memset(n->values, 0, 2 * (size_t)n->pattern.entries * sizeof *n->values);
    n->factored = 0.0;
    int pair = 0;
    for (int i = 0; i < n->unknowns; i++) {
        add_value(n, pair++, n->lone[i] ? AIRNET_LONE : per_volume * n->volume[i]);
    }
    for (int i = 0; i < n->links; i++) {
        const airnet_link *l = &n->link[i];
        const double complex Y = admittance(n, l, frequency);
        n->through[2 * i] = creal(Y);
        n->through[2 * i + 1] = cimag(Y);
        const int ends[2] = {l->from, l->to};
        for (int a = 0; a < 2; a++) {
            for (int b = 0; b < 2; b++) {
                if (ends[a] >= 0 && ends[b] >= 0) {
                    add_value(n, pair++, a == b ? Y : -Y);
                }
            }
        }
    }
    return n->values;
}

/* Right-hand side of one spring's compression by a metre. */
static void squeeze_one(airnet *n, int spring_index, double metres, double frequency) {
    const spring *one = &n->model->vehicle.spring[spring_index];
    const double density =
        gas_density(n->at->spring_pressure[spring_index], n->model->ambient.temperature);
    n->vector[2 * (size_t)n->of_node[one->node] + 1] +=
        TWO_PI * frequency * density * n->at->point[spring_index].breathing * metres;
}

/* Right-hand side s rho B dx for the motion, per metre of it. */
static void drive(airnet *n, const double *shape, double frequency) {
    const vehicle *v = &n->model->vehicle;
    memset(n->vector, 0, 2 * (size_t)n->unknowns * sizeof *n->vector);
    for (int i = 0; i < v->springs; i++) {
        double metres = 0.0;
        for (int k = 0; k < v->spring[i].levers; k++) {
            metres += v->spring[i].lever[k].ratio * shape[v->spring[i].lever[k].corner];
        }
        squeeze_one(n, i, metres, frequency);
    }
}

/* Amplitude of each edge's flow, the mean along it, per metre of the motion; and whether a pressure
   passes below vacuum at this amplitude. The last fill's flows per difference are the present ones.
 */
static bool find_flows(airnet *n, double amplitude) {
    memset(n->drop, 0, 2 * (size_t)n->model->network.edges * sizeof *n->drop);
    for (int i = 0; i < n->links; i++) {
        const airnet_link *l = &n->link[i];
        double real = 0.0, imaginary = 0.0; /* of the difference */
        if (l->from >= 0) {
            real += n->vector[2 * (size_t)l->from];
            imaginary += n->vector[2 * (size_t)l->from + 1];
        }
        if (l->to >= 0) {
            real -= n->vector[2 * (size_t)l->to];
            imaginary -= n->vector[2 * (size_t)l->to + 1];
        }
        const double *Y = n->through + 2 * (size_t)i;
        double *sum = n->drop + 2 * (size_t)l->edge;
        sum[0] += l->share * (real * Y[0] - imaginary * Y[1]);
        sum[1] += l->share * (real * Y[1] + imaginary * Y[0]);
    }
    for (int i = 0; i < n->model->network.edges; i++) {
        n->flow[i] = sqrt(square_of(n->drop + 2 * (size_t)i));
    }
    bool below = false;
    double largest = 0.0;
    for (int i = 0; i < n->unknowns; i++) {
        const double swing = square_of(n->vector + 2 * (size_t)i);
        largest = swing > largest ? swing : largest;
        below |= amplitude * amplitude * swing >= n->pressure[i] * n->pressure[i];
    }
    n->largest = sqrt(largest);
    return below;
}

/* The same, told from the law's last answers where that is good to `slack`. */
static double near_conductance(const airnet *n, int edge_index, double amplitude, double slack) {
    near_law *last = &n->near[edge_index];
    const double drop = log(amplitude), by = drop - last->drop, size = fabs(by);
    const double bend = fabs(last->bend) + AIRNET_NEAR_BEND;
    if (last->answers == 3 && bend * size * (size + last->reach) < slack) {
        return exp(last->conductance + by * last->slope);
    }
    const double answer = airnet_edge_conductance(n, edge_index, amplitude);
    if (amplitude > 0.0 && (last->answers == 0 || size > 0.0)) {
        const double slope = (log(answer) - last->conductance) / by;
        *last = (near_law){.answers = last->answers < 3 ? last->answers + 1 : 3,
                           .drop = drop,
                           .conductance = log(answer),
                           .reach = size,
                           .slope = slope,
                           .bend = (slope - last->slope) / (size + last->reach)};
    }
    return answer;
}

/* The same from one point of the swing. */
static double point_conductance(const airnet *n, int edge_index, double amplitude, double slack) {
    (void)slack;
    const edge *e = &n->model->network.edge[edge_index];
    flow_side from = side_of(n, e->from), to = side_of(n, e->to);
    const double half = 0.5 * AIRNET_POINT * amplitude;
    if (half <= AIRNET_ROUNDING * from.pressure || half >= fmin(from.pressure, to.pressure)) {
        return airnet_edge_conductance(n, edge_index, amplitude);
    }
    from.pressure += half;
    to.pressure -= half;
    const double there = flow_at(n->law[edge_index], from, to).mass;
    from.pressure -= 2.0 * half;
    to.pressure += 2.0 * half;
    const double back = flow_at(n->law[edge_index], from, to).mass;
    return (there - back) / (4.0 * half);
}

static void start_conductances(airnet *n) {
    n->factored = 0.0;
    for (int i = 0; i < n->model->network.edges; i++) {
        n->conductance[i] = n->rest[i];
        n->gain[i] = AIRNET_FIRST_GAIN;
    }
}

static baronet_status factor(airnet *n, double frequency) {
    if (n->factored == frequency) {
        return BARONET_OK;
    }
    const baronet_status status = sparse_factor(n->sparse, fill_values(n, frequency), NULL);
    n->factored = status == BARONET_OK ? frequency : 0.0;
    return status;
}

static baronet_status solve_once(airnet *n, const double *shape, double frequency,
                                 airnet_answer *out) {
    drive(n, shape, frequency);
    baronet_status status = factor(n, frequency);
    if (status == BARONET_OK) {
        status = sparse_solve(n->sparse, n->vector);
    }
    const double residual = sparse_quality_of(n->sparse).residual;
    out->account.linear = fmax(out->account.linear, residual);
    return status;
}

/* What ln of a conductance is to change by: the edge's own secant, from the round before, takes the
   miss to zero. */
static double next_step(airnet *n, int i, double miss, int round) {
    const double closed = n->miss[i] - miss;
    if (round > 0 && closed != 0.0) {
        n->gain[i] = fmin(fmax(n->step[i] / closed, AIRNET_LEAST_GAIN), AIRNET_MOST_GAIN);
    }
    n->miss[i] = miss;
    n->step[i] = (round < AIRNET_CAREFUL_AFTER ? n->gain[i] : AIRNET_CAREFUL) * miss;
    return n->step[i];
}

/* An edge's conductance under a difference of that amplitude, good to the part `slack`. */
typedef double conductance_of(const airnet *n, int edge_index, double amplitude, double slack);

/* What a drop counts for in the answer: 1, and less where it is rounding. */
static double weight_of(const airnet *n, int i, double drop, double amplitude) {
    const double *pressure = rates_result(n->rates)->settled.node_pressure;
    const double slight = AIRNET_SLIGHT * n->largest +
                          AIRNET_ROUNDING * pressure[n->model->network.edge[i].from] / amplitude;
    return drop / (drop + slight);
}

/* New conductances from the differences that the present ones lead to; the largest relative change.
   The difference that acts on a law is what its own resistance takes, the air's inertia left out.
 */
static double update(airnet *n, conductance_of *own, double amplitude, double tolerance,
                     int round) {
    double most = 0.0;
    n->factored = 0.0;
    for (int i = 0; i < n->model->network.edges; i++) {
        if (n->law[i] == NULL) {
            continue;
        }
        const double before = n->conductance[i];
        const double drop = n->flow[i] / before;
        const double weight = weight_of(n, i, drop, amplitude);
        if (AIRNET_UNFELT * weight < AIRNET_NEAR * tolerance) {
            n->miss[i] = n->step[i] = 0.0;
            continue;
        }
        const double slack = AIRNET_NEAR * tolerance / weight;
        const double ratio = own(n, i, amplitude * drop, slack) / before;
        n->conductance[i] = before * exp(next_step(n, i, log(ratio), round));
        most = fmax(most, fabs(ratio - 1.0) * weight);
    }
    return most;
}

/* Force per unit of the motion at each corner, and v'Kv/v'v. */
static void find_forces(airnet *n, const double *shape, airnet_answer *out) {
    const vehicle *v = &n->model->vehicle;
    const size_t corners = (size_t)v->corners;
    for (size_t c = 0; c < corners; c++) {
        double sum = 0.0;
        for (size_t d = 0; d < corners; d++) {
            sum += n->steel[c * corners + d] * shape[d];
        }
        n->forces[2 * c] = sum;
        n->forces[2 * c + 1] = 0.0;
    }
    for (int i = 0; i < v->springs; i++) {
        const spring *one = &v->spring[i];
        const size_t at = 2 * (size_t)n->of_node[one->node];
        for (int k = 0; k < one->levers; k++) {
            const double a = one->lever[k].ratio * n->at->point[i].load_pressure;
            n->forces[2 * one->lever[k].corner] += a * n->vector[at];
            n->forces[2 * one->lever[k].corner + 1] += a * n->vector[at + 1];
        }
    }
    double square = 0.0;
    out->storage = out->loss = 0.0;
    for (size_t c = 0; c < corners; c++) {
        square += shape[c] * shape[c];
        out->storage += shape[c] * n->forces[2 * c];
        out->loss += shape[c] * n->forces[2 * c + 1];
    }
    out->storage /= square;
    out->loss /= square;
}

static double largest_travel(const airnet *n, const double *shape) {
    double largest = 0.0;
    for (int c = 0; c < n->model->vehicle.corners; c++) {
        largest = fmax(largest, fabs(shape[c]));
    }
    return largest;
}

/* Rounds at one amplitude until the conductances agree with the differences that they lead to. */
static baronet_status settle(airnet *n, const double *shape, double amplitude, double frequency,
                             conductance_of *own, double tolerance, airnet_answer *out) {
    baronet_status status = BARONET_OK;
    int round = 0;
    do {
        out->account.residual = update(n, own, amplitude, tolerance, round);
        status = solve_once(n, shape, frequency, out);
        if (status != BARONET_OK) {
            return status;
        }
        out->account.below_vacuum = find_flows(n, amplitude);
        out->account.iterations++;
    } while (out->account.residual > tolerance && ++round < AIRNET_ITERATIONS);
    return BARONET_OK;
}

static baronet_status finish(airnet *n, const double *shape, double tolerance,
                             baronet_status status, airnet_answer *out) {
    if (status == BARONET_OK) {
        find_forces(n, shape, out);
        out->account.unsettled = out->account.residual > tolerance;
        status = out->account.unsettled ? BARONET_NOT_CONVERGED : BARONET_OK;
    }
    return status;
}

/* From rest up to the whole swing, roughly. */
static baronet_status grow(airnet *n, const double *shape, double full, double frequency,
                           airnet_answer *out) {
    baronet_status status = BARONET_OK;
    for (int stage = AIRNET_STAGES; stage >= 0 && status == BARONET_OK; stage--) {
        status = settle(n, shape, full * pow(0.1, stage), frequency, point_conductance,
                        stage > 0 ? AIRNET_WAY_TOLERANCE : AIRNET_LAST_TOLERANCE, out);
    }
    return status;
}

baronet_status airnet_swing_within(airnet *n, const double *shape, airnet_drive with,
                                   double tolerance, airnet_answer *out) {
    *out = (airnet_answer){0};
    /* The motion's own metre is where its largest travel is one. */
    const double full = with.amplitude / largest_travel(n, shape);
    if (with.from_rest) {
        start_conductances(n);
    }
    baronet_status status = solve_once(n, shape, with.frequency, out);
    out->account.below_vacuum = find_flows(n, full);
    if (with.amplitude > 0.0 && with.from_rest && status == BARONET_OK) {
        status = grow(n, shape, full, with.frequency, out);
    }
    if (with.amplitude > 0.0 && status == BARONET_OK) {
        status = settle(n, shape, full, with.frequency, near_conductance, tolerance, out);
    }
    return finish(n, shape, tolerance, status, out);
}

baronet_status airnet_swing(airnet *n, const double *shape, double amplitude, double frequency,
                            airnet_answer *out) {
    return airnet_swing_within(n, shape, (airnet_drive){amplitude, frequency, true},
                               AIRNET_TOLERANCE, out);
}

/* One column of K: forces at all corners when one corner travels. */
static baronet_status matrix_column(airnet *n, int corner_index, double frequency, double *K) {
    const vehicle *v = &n->model->vehicle;
    const size_t corners = (size_t)v->corners;
    memset(n->vector, 0, 2 * (size_t)n->unknowns * sizeof *n->vector);
    for (int i = 0; i < v->springs; i++) {
        for (int k = 0; k < v->spring[i].levers; k++) {
            if (v->spring[i].lever[k].corner == corner_index) {
                squeeze_one(n, i, v->spring[i].lever[k].ratio, frequency);
            }
        }
    }
    const baronet_status status = sparse_solve(n->sparse, n->vector);
    for (int i = 0; i < v->springs && status == BARONET_OK; i++) {
        const size_t at = 2 * (size_t)n->of_node[v->spring[i].node];
        for (int k = 0; k < v->spring[i].levers; k++) {
            const double a = v->spring[i].lever[k].ratio * n->at->point[i].load_pressure;
            const size_t place =
                2 * ((size_t)v->spring[i].lever[k].corner * corners + (size_t)corner_index);
            K[place] += a * n->vector[at];
            K[place + 1] += a * n->vector[at + 1];
        }
    }
    return status;
}

baronet_status airnet_matrix(airnet *n, double frequency, double *K) {
    const size_t corners = (size_t)n->model->vehicle.corners;
    for (size_t i = 0; i < corners * corners; i++) {
        K[2 * i] = n->steel[i];
        K[2 * i + 1] = 0.0;
    }
    baronet_status status = factor(n, frequency);
    for (int c = 0; c < n->model->vehicle.corners && status == BARONET_OK; c++) {
        status = matrix_column(n, c, frequency, K);
    }
    return status;
}

baronet_status airnet_condition(airnet *n, double frequency, double *condition) {
    *condition = n->condition;
    baronet_status status = factor(n, frequency);
    const double pivots = status == BARONET_OK ? sparse_pivot_ratio(n->sparse) : 0.0;
    if (pivots <= AIRNET_WORSE * n->least_pivots) {
        double one = HUGE_VAL;
        status = status == BARONET_OK ? sparse_condition(n->sparse, NULL, &one) : status;
        n->least_pivots = pivots;
        n->condition = fmax(n->condition, one);
    }
    *condition = n->condition;
    return status == BARONET_OUT_OF_MEMORY ? status : BARONET_OK;
}

baronet_status airnet_spring_rate(airnet *n, int spring_index, double frequency, double *storage) {
    const profile_point *at = &n->at->point[spring_index];
    const spring *one = &n->model->vehicle.spring[spring_index];
    memset(n->vector, 0, 2 * (size_t)n->unknowns * sizeof *n->vector);
    squeeze_one(n, spring_index, 1.0, frequency);
    baronet_status status = factor(n, frequency);
    if (status == BARONET_OK) {
        status = sparse_solve(n->sparse, n->vector);
    }
    *storage = one->rubber - at->load_height +
               at->load_pressure * n->vector[2 * (size_t)n->of_node[one->node]];
    return status;
}

const double *airnet_conductances(const airnet *n) {
    return n->conductance;
}

const double *airnet_flows(const airnet *n) {
    return n->flow;
}

void airnet_pressures(const airnet *n, double *node_pressures) {
    for (int i = 0; i < n->model->network.nodes; i++) {
        const int k = n->of_node[i];
        node_pressures[2 * i] = k >= 0 ? n->vector[2 * k] : 0.0;
        node_pressures[2 * i + 1] = k >= 0 ? n->vector[2 * k + 1] : 0.0;
    }
}

int airnet_unknowns(const airnet *n) {
    return n->unknowns;
}

int airnet_links(const airnet *n, const airnet_link **link) {
    *link = n->link;
    return n->links;
}

int airnet_unknown_of(const airnet *n, int node_index) {
    return n->of_node[node_index];
}

const double *airnet_volumes(const airnet *n) {
    return n->volume;
}

airnet_system airnet_system_at(airnet *n, double frequency) {
    return (airnet_system){&n->pattern, fill_values(n, frequency), n->sparse};
}
