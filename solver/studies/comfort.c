/* SPDX-License-Identifier: MIT */
#include "studies/comfort.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"

/* Hoses are cut up for this frequency: above it little is left of the weighting. */
#define COMFORT_HOSES 50.0 /* Hz */
/* With the drop given a square-root law answers with no slope, with the flow given with a half:
   steps of this part of the logarithm leave at most a third of an error. */
#define COMFORT_RELAXATION (4.0 / 3.0)
/* Small steps where those do not settle, as where hoses turn turbulent. */
#define COMFORT_CAREFUL 0.4
enum { COMFORT_ITERATIONS = 60, COMFORT_CAREFUL_AFTER = 20 };
/* A drop of less than this part of the largest pressure swing does not matter. */
#define COMFORT_SLIGHT 1e-4
/* A pressure that swings so many times its r.m.s. value is the rare worst. */
#define COMFORT_WORST 3.0
/* A wheel that carries no more has no load that could vary by a part of it. */
#define COMFORT_LIGHTEST 1.0 /* N */

double comfort_roughness(int class_index) {
    return ldexp(16e-6, 2 * class_index);
}

/* ISO 2631-1:1997 Annex A, W_k: high pass at f1, low pass at f2 (second-order Butterworth), then
   the transition from acceleration to velocity (f3, f4, Q4) and the step upwards (f5, Q5, f6, Q6).
 */
double comfort_weighting(double frequency) {
    static const double f1 = 0.4, f2 = 100.0, f3 = 12.5, f4 = 12.5, Q4 = 0.63, f5 = 2.37, Q5 = 0.91,
                        f6 = 3.35, Q6 = 0.91;
    const double complex s = J * frequency;
    const double root = sqrt(2.0);
    const double complex high = s * s / (s * s + root * f1 * s + f1 * f1);
    const double complex low = f2 * f2 / (s * s + root * f2 * s + f2 * f2);
    const double complex transition = (1.0 + s / f3) / (1.0 + s / (Q4 * f4) + s * s / (f4 * f4));
    const double complex step = (1.0 + s / (Q5 * f5) + s * s / (f5 * f5)) /
                                (1.0 + s / (Q6 * f6) + s * s / (f6 * f6)) * (f5 * f5) / (f6 * f6);
    return cabs(high * low * transition * step);
}

/* x K1(x) = integral of x cosh(u) exp(-x cosh(u)) over u from 0 (Abramowitz and Stegun 9.6.24); the
   trapezoid rule's error falls off exponentially. */
double comfort_coherence(double wave_number, double distance) {
    const double x = TWO_PI * wave_number * fabs(distance);
    if (x < 1e-6) {
        return 1.0;
    }
    if (x > 700.0) {
        return 0.0;
    }
    /* Beyond this u the exponent is below -40. */
    const double highest = acosh(1.0 + 40.0 / x);
    enum { STEPS = 64 };
    const double step = highest / STEPS;
    double sum = 0.5 * x * exp(-x);
    for (int k = 1; k <= STEPS; k++) {
        const double grown = x * cosh(k * step);
        sum += grown * exp(-grown);
    }
    return step * sum;
}

/* With amplitudes A = rms s^2 the mean of G(A) A^2 over Rayleigh's density is the integral of
   G s^7 exp(-s^4/2), for which midpoints are good to 1e-7 whether G is constant or falls as 1/s. */
enum { RAYLEIGH = 12 };
#define RAYLEIGH_STEP 0.25

double comfort_conductance(const airnet *n, int edge_index, double rms) {
    double sum = 0.0;
    for (int k = 0; k < RAYLEIGH; k++) {
        const double s = (k + 0.5) * RAYLEIGH_STEP;
        const double weight = RAYLEIGH_STEP * pow(s, 7.0) * exp(-0.5 * s * s * s * s);
        sum += weight * airnet_edge_conductance(n, edge_index, rms * s * s);
    }
    return sum;
}

struct comfort {
    const model *model;
    rates *rates;
    arena *arena;
    coupled *system;
    const airnet_link *link;
    int links;
    double *x;                 /* wheels x size, complex pairs: answers to each wheel's road */
    double complex *out;       /* wheels: one output per metre under each wheel */
    double complex *cross;     /* wheels x wheels: how the roads under them go together */
    double *conductance;       /* edges */
    double *flow;              /* edges: r.m.s. squared, kg2/s2 */
    double *swing;             /* unknowns of the network: r.m.s. squared, Pa2 */
    double complex *edge_flow; /* edges x wheels */
    double *travel, *tyre, *corner, *part;
};

static bool take_arrays(comfort *c) {
    const size_t wheels = (size_t)c->model->vehicle.wheels;
    const size_t edges = (size_t)c->model->network.edges;
    const size_t size = (size_t)coupled_size(c->system);
    c->x = ARENA_ARRAY(c->arena, double, 2 * wheels * size);
    c->out = ARENA_ARRAY(c->arena, double complex, wheels);
    c->cross = ARENA_ARRAY(c->arena, double complex, wheels *wheels);
    c->conductance = ARENA_ARRAY(c->arena, double, edges);
    c->flow = ARENA_ARRAY(c->arena, double, edges);
    c->swing = ARENA_ARRAY(c->arena, double, coupled_air(c->system));
    c->edge_flow = ARENA_ARRAY(c->arena, double complex, edges *wheels);
    c->travel = ARENA_ARRAY(c->arena, double, wheels);
    c->tyre = ARENA_ARRAY(c->arena, double, wheels);
    c->corner = ARENA_ARRAY(c->arena, double, wheels);
    c->part = ARENA_ARRAY(c->arena, double, wheels);
    return arena_complete(c->arena);
}

baronet_status comfort_create(comfort **out, rates *r, const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    comfort *c = ARENA_OWNER(comfort, allocator, &a);
    if (c == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    c->model = rates_model(r);
    c->rates = r;
    c->arena = a;
    baronet_status status = coupled_create(&c->system, r, COMFORT_HOSES, allocator);
    if (status == BARONET_OK && !take_arrays(c)) {
        status = BARONET_OUT_OF_MEMORY;
    }
    if (status != BARONET_OK) {
        comfort_destroy(c);
        return status;
    }
    c->links = airnet_links(coupled_airnet(c->system), &c->link);
    *out = c;
    return BARONET_OK;
}

bool comfort_is_large(const comfort *c) {
    return coupled_size(c->system) > COMFORT_LARGE;
}

void comfort_destroy(comfort *c) {
    if (c != NULL) {
        coupled_destroy(c->system);
        arena_destroy(c->arena);
    }
}

/* How the roads under two wheels go together, as a part of the density of either: the one that is
   further back meets the same waves later. Only pairs j < i are wanted. */
static void find_cross(comfort *c, double frequency, double speed) {
    const vehicle *v = &c->model->vehicle;
    for (int i = 0; i < v->wheels; i++) {
        for (int j = 0; j < i; j++) {
            const double delay = (v->corner[j].x - v->corner[i].x) / speed; /* s, of i after j */
            const double alike =
                comfort_coherence(frequency / speed, v->corner[i].y - v->corner[j].y);
            c->cross[i * v->wheels + j] = alike * cexp(-J * TWO_PI * frequency * delay);
        }
    }
}

/* Mean square per unit of the road's density of what `h` gives per metre under each wheel. */
static double gather(const comfort *c, const double complex *h) {
    const int wheels = c->model->vehicle.wheels;
    double sum = 0.0;
    for (int i = 0; i < wheels; i++) {
        sum += abs_square(h[i]);
        for (int j = 0; j < i; j++) {
            sum += 2.0 * creal(h[i] * conj(h[j]) * c->cross[i * wheels + j]);
        }
    }
    return fmax(sum, 0.0); /* rounding of a sum that is none */
}

static const double *answer_of(const comfort *c, int wheel) {
    return c->x + 2 * (size_t)wheel * (size_t)coupled_size(c->system);
}

/* Rise of the body over a point per metre under each wheel. */
static void rise_over(comfort *c, double x, double y) {
    const body_mass *mass = &rates_task(c->rates)->mass;
    const double rise[BODY_MOTIONS] = {1.0, y - mass->y, -(x - mass->x)};
    const coordinate *list = NULL;
    const int count = coupled_coordinates(c->system, &list);
    for (int w = 0; w < c->model->vehicle.wheels; w++) {
        const double *at = answer_of(c, w);
        c->out[w] = 0.0;
        for (int k = 0; k < count; k++) {
            if (list[k].kind == COORDINATE_BODY) {
                c->out[w] += rise[list[k].item] * (at[2 * k] + J * at[2 * k + 1]);
            }
        }
    }
}

/* Travel of a corner; the road's own where its wheel is the road. */
static void travel_of(comfort *c, int corner_index) {
    const bool rigid = !(c->model->vehicle.corner[corner_index].tyre > 0.0);
    for (int w = 0; w < c->model->vehicle.wheels; w++) {
        double travel[2];
        coupled_travel(c->system, corner_index, answer_of(c, w), travel);
        c->out[w] = travel[0] + J * travel[1] + (rigid && w == corner_index ? 1.0 : 0.0);
    }
}

/* Tyre's deflection: the road less the wheel. */
static void deflection_of(comfort *c, int corner_index) {
    const coordinate *list = NULL;
    const int count = coupled_coordinates(c->system, &list);
    for (int w = 0; w < c->model->vehicle.wheels; w++) {
        c->out[w] = w == corner_index ? 1.0 : 0.0;
        for (int k = 0; k < count; k++) {
            if (list[k].kind == COORDINATE_WHEEL && list[k].item == corner_index) {
                const double *at = answer_of(c, w) + 2 * k;
                c->out[w] -= at[0] + J * at[1];
            }
        }
    }
}

/* Mean squares of each edge's flow, the mean along it, and of each pressure. */
static void add_air(comfort *c, double density) {
    const int wheels = c->model->vehicle.wheels, edges = c->model->network.edges;
    for (int i = 0; i < edges * wheels; i++) {
        c->edge_flow[i] = 0.0;
    }
    for (int i = 0; i < c->links; i++) {
        for (int w = 0; w < wheels; w++) {
            double flow[2];
            coupled_flow(c->system, i, answer_of(c, w), flow);
            c->edge_flow[c->link[i].edge * wheels + w] +=
                c->link[i].share * (flow[0] + J * flow[1]);
        }
    }
    for (int i = 0; i < edges; i++) {
        c->flow[i] += density * gather(c, c->edge_flow + (size_t)i * (size_t)wheels);
    }
    for (int i = 0; i < coupled_air(c->system); i++) {
        for (int w = 0; w < wheels; w++) {
            double p[2];
            coupled_pressure(c->system, i, answer_of(c, w), p);
            c->out[w] = p[0] + J * p[1];
        }
        c->swing[i] += density * gather(c, c->out);
    }
}

/* Mean squares of what the vehicle does, over a road of unit density and a band. */
static void add_vehicle(comfort *c, double density, double frequency, comfort_answer *out) {
    const vehicle *v = &c->model->vehicle;
    const double omega = TWO_PI * frequency;
    const double accelerated = density * omega * omega * omega * omega;
    const double weighting = comfort_weighting(frequency);
    rise_over(c, out->seat_x, out->seat_y);
    const double seat = accelerated * gather(c, c->out);
    out->plain += seat;
    out->comfort += weighting * weighting * seat;
    for (int k = 0; k < v->wheels; k++) {
        const double tyre = v->corner[k].tyre;
        rise_over(c, v->corner[k].x, v->corner[k].y);
        c->corner[k] += weighting * weighting * accelerated * gather(c, c->out);
        travel_of(c, k);
        c->travel[k] += density * gather(c, c->out);
        deflection_of(c, k);
        c->tyre[k] += tyre > 0.0 ? density * tyre * tyre * gather(c, c->out) : (double)NAN;
    }
}

/* Clears the sums. */
static void begin(comfort *c, comfort_answer *out) {
    const size_t wheels = (size_t)c->model->vehicle.wheels;
    out->comfort = out->plain = 0.0;
    memset(c->travel, 0, wheels * sizeof *c->travel);
    memset(c->tyre, 0, wheels * sizeof *c->tyre);
    memset(c->corner, 0, wheels * sizeof *c->corner);
    memset(c->flow, 0, (size_t)c->model->network.edges * sizeof *c->flow);
    memset(c->swing, 0, (size_t)coupled_air(c->system) * sizeof *c->swing);
}

/* One pass over all frequencies. With L = ln f the sum of G(f) df is that of G(f) f dL, by the
   trapezoid rule; G(f) = G(n)/v, which falls as 1/n2. `air`: what paths do; else what the vehicle
   does. */
static baronet_status sum_up(comfort *c, comfort_answer *out, bool air) {
    const double speed = out->road.speed, step = log(out->to / out->from) / (out->points - 1);
    baronet_status status = BARONET_OK;
    begin(c, out);
    for (int k = 0; k < out->points && status == BARONET_OK; k++) {
        const double f = out->from * exp(step * k);
        const double n = f / speed / COMFORT_REFERENCE;
        const double part = (k == 0 || k + 1 == out->points ? 0.5 : 1.0) * step * f;
        const double density = part * comfort_roughness(out->road.class_index) / (n * n * speed);
        find_cross(c, f, speed);
        status = coupled_prepare(c->system, f);
        for (int w = 0; w < c->model->vehicle.wheels && status == BARONET_OK; w++) {
            status = coupled_answer(c->system, w,
                                    c->x + 2 * (size_t)w * (size_t)coupled_size(c->system));
            out->account.linear = fmax(out->account.linear, coupled_residual(c->system));
        }
        if (status == BARONET_OK && air) {
            add_air(c, density);
        } else if (status == BARONET_OK) {
            add_vehicle(c, density, f, out);
        }
    }
    return status;
}

/* New conductances from the swings that the present ones lead to; the largest relative change of
   one that matters. */
static double update(comfort *c, int round) {
    const airnet *net = coupled_airnet(c->system);
    const double part = round < COMFORT_CAREFUL_AFTER ? COMFORT_RELAXATION : COMFORT_CAREFUL;
    double most = 0.0, largest = 0.0;
    for (int i = 0; i < coupled_air(c->system); i++) {
        largest = fmax(largest, sqrt(c->swing[i]));
    }
    for (int i = 0; i < c->model->network.edges; i++) {
        const double before = coupled_conductances(c->system)[i];
        c->conductance[i] = before;
        if (before > 0.0 && c->flow[i] > 0.0) {
            const double drop = sqrt(c->flow[i]) / before;
            const double ratio = comfort_conductance(net, i, drop) / before;
            c->conductance[i] = before * pow(ratio, part);
            most = fmax(most, fabs(ratio - 1.0) * drop / (drop + COMFORT_SLIGHT * largest));
        }
    }
    coupled_set(c->system, c->conductance);
    return most;
}

static bool below_vacuum(const comfort *c) {
    const state_standing *at = &rates_result(c->rates)->settled;
    bool below = false;
    for (int i = 0; i < coupled_air(c->system); i++) {
        const double p = at->node_pressure[coupled_node_of(c->system, i)];
        below = below || COMFORT_WORST * sqrt(c->swing[i]) >= p;
    }
    return below;
}

static void set_range(comfort *c, comfort_road road, comfort_answer *out) {
    const body *b = &c->model->vehicle.body;
    const body_mass *mass = &rates_task(c->rates)->mass;
    *out = (comfort_answer){.road = road,
                            .seat_given = b->seat_given,
                            .seat_x = b->seat_given ? b->seat_x : mass->x,
                            .seat_y = b->seat_given ? b->seat_y : mass->y,
                            .corner_comfort = c->corner,
                            .travel = c->travel,
                            .tyre = c->tyre,
                            .tyre_part = c->part,
                            .points = COMFORT_POINTS};
    out->from = fmax(COMFORT_LOWEST, COMFORT_LONGEST * road.speed);
    out->to = fmin(COMFORT_HIGHEST, COMFORT_SHORTEST * road.speed);
}

/* Stops are sharper than any linear answer knows. */
static int find_stop(const comfort *c) {
    const vehicle *v = &c->model->vehicle;
    const double *at = rates_result(c->rates)->settled.travel;
    for (int k = 0; k < v->wheels; k++) {
        const corner *one = &v->corner[k];
        const double most = COMFORT_WORST * c->travel[k];
        if ((one->bump_rate > 0.0 && at[k] + most > one->bump_at) ||
            (one->rebound_rate > 0.0 && most - at[k] > one->rebound_at)) {
            return k;
        }
    }
    return -1;
}

static void finish(comfort *c, comfort_answer *out) {
    out->comfort = sqrt(out->comfort);
    out->plain = sqrt(out->plain);
    for (int k = 0; k < c->model->vehicle.wheels; k++) {
        c->corner[k] = sqrt(c->corner[k]);
        c->travel[k] = sqrt(c->travel[k]);
        c->tyre[k] = sqrt(c->tyre[k]);
        const double load = rates_result(c->rates)->settled.load[k];
        c->part[k] = load > COMFORT_LIGHTEST ? c->tyre[k] / load : (double)NAN;
    }
    out->stop = find_stop(c);
}

baronet_status comfort_solve(comfort *c, comfort_road road, comfort_answer *out) {
    set_range(c, road, out);
    baronet_status status = BARONET_OK;
    if (comfort_is_large(c)) {
        out->points = COMFORT_FEWER;
    }
    do {
        status = sum_up(c, out, true);
        if (status != BARONET_OK) {
            return status;
        }
        out->account.below_vacuum = below_vacuum(c);
        out->account.residual = update(c, out->account.iterations++);
    } while (out->account.residual > COMFORT_TOLERANCE &&
             out->account.iterations < COMFORT_ITERATIONS);
    out->account.unsettled = out->account.residual > COMFORT_TOLERANCE;
    out->points = COMFORT_POINTS;
    status = sum_up(c, out, false);
    finish(c, out);
    return status;
}

void comfort_figures(figure_list *list, const model *m, const comfort_answer *answer) {
    figure_list_add(list,
                    (figure){FIGURE_COMFORT, LEVEL_NONE, SUBJECT_NONE, -1, -1, answer->comfort});
    for (int k = 0; k < m->vehicle.wheels; k++) {
        figure_list_add(list, (figure){FIGURE_COMFORT, LEVEL_NONE, SUBJECT_CORNER, k, -1,
                                       answer->corner_comfort[k]});
    }
}
