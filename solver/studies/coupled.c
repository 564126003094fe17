/* SPDX-License-Identifier: MIT */
#include "studies/coupled.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"

/* Units of the unknowns, so that a vector's entries are of like size. */
#define COUPLED_PRESSURE 1e5  /* Pa */
#define COUPLED_FLOW     1e-2 /* kg/s */

/* How a coordinate moves a corner: travel per unit of it. */
typedef struct carrier {
    int coordinate;
    double ratio;
} carrier;

enum { CARRIERS = BODY_MOTIONS + 1 };

struct coupled {
    const model *model;
    rates *rates;
    arena *arena;
    const baronet_allocator *allocator;
    airnet *airnet;
    const standing *at;
    double temperature; /* K */

    int coordinates;
    coordinate *coordinate;
    carrier *carrier; /* corners x CARRIERS */
    int *carriers;    /* corners: how many of them */
    int *own;         /* corners: coordinate of the wheel or bench mass, -1 for none */
    double *steel;    /* N/m, corners x corners: all that is not air */
    double tips;      /* N m/rad: gravity on the arm above the roll axis */

    int air; /* unknowns of the network */
    int links;
    const airnet_link *link;
    double *volume;   /* m3, air: 0 for those that only follow */
    double *pressure; /* Pa, air: at the standing */
    int *node;        /* air: node of the netlist */
    bool *lone;       /* air: joined to nothing and without volume */
    double exponent;  /* pressure per isothermal pressure of a quick change */
    bool thermal;
    int *heat;           /* air: unknown of its wall's heat, -1 for none */
    int *flow;           /* links: unknown, -1 where it has no inertance */
    double *conductance; /* edges */

    int size;
    pattern pattern;
    double *a, *e;
    bool filled;
    sparse *sparse; /* s E - A, complex */
    double *values;
    double omega;
};

static bool take_vehicle(coupled *s) {
    const size_t corners = (size_t)s->model->vehicle.corners;
    s->coordinate = ARENA_ARRAY(s->arena, coordinate, corners + BODY_MOTIONS);
    s->carrier = ARENA_ARRAY(s->arena, carrier, corners * CARRIERS);
    s->carriers = ARENA_ARRAY(s->arena, int, corners);
    s->own = ARENA_ARRAY(s->arena, int, corners);
    s->steel = ARENA_ARRAY(s->arena, double, corners *corners);
    s->conductance = ARENA_ARRAY(s->arena, double, s->model->network.edges);
    return arena_complete(s->arena);
}

static bool take_air(coupled *s) {
    s->volume = ARENA_ARRAY(s->arena, double, s->air);
    s->pressure = ARENA_ARRAY(s->arena, double, s->air);
    s->node = ARENA_ARRAY(s->arena, int, s->air);
    s->lone = ARENA_ARRAY(s->arena, bool, s->air);
    s->heat = ARENA_ARRAY(s->arena, int, s->air);
    s->flow = ARENA_ARRAY(s->arena, int, s->links);
    return arena_complete(s->arena);
}

static void add_carrier(coupled *s, int corner_index, int coordinate_index, double ratio) {
    s->carrier[corner_index * CARRIERS + s->carriers[corner_index]++] =
        (carrier){coordinate_index, ratio};
}

/* Body motions first, then wheels on tyres, then bench masses. */
static void number_coordinates(coupled *s) {
    const vehicle *v = &s->model->vehicle;
    const body_mass *mass = &rates_task(s->rates)->mass;
    const double inertia[BODY_MOTIONS] = {
        mass->mass, mass->roll_inertia + mass->mass * mass->arm * mass->arm, mass->pitch_inertia};
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (!rates_result(s->rates)->has[k]) {
            continue;
        }
        for (int c = 0; c < v->wheels; c++) {
            const double rise[BODY_MOTIONS] = {1.0, v->corner[c].y - mass->y,
                                               -(v->corner[c].x - mass->x)};
            add_carrier(s, c, s->coordinates, -rise[k]);
        }
        s->coordinate[s->coordinates++] = (coordinate){COORDINATE_BODY, k, inertia[k]};
    }
    for (int c = 0; c < v->corners; c++) {
        const corner *at = &v->corner[c];
        const bool own = at->bench || at->tyre > 0.0;
        s->own[c] = own ? s->coordinates : -1;
        if (own) {
            add_carrier(s, c, s->coordinates, at->bench ? -1.0 : 1.0);
            s->coordinate[s->coordinates++] = (coordinate){
                at->bench ? COORDINATE_BENCH : COORDINATE_WHEEL, c,
                at->bench ? rates_task(s->rates)->sprung[c] / STANDARD_GRAVITY : at->unsprung};
        }
    }
    s->tips = mass->mass * STANDARD_GRAVITY * mass->arm;
}

/* K with an exponent of nought: what the wheels feel that is not air. */
static baronet_status find_steel(coupled *s) {
    double *rate = ARENA_ARRAY(s->arena, double, s->model->vehicle.springs);
    if (rate == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    stiffness_find(rates_stiffness(s->rates, false), balance_groups(rates_balance(s->rates, false)),
                   s->at, AIR_ALONE, 0.0, s->steel, rate);
    return BARONET_OK;
}

/* Volumes of the unknowns of the network: a hose's are the inner ends of its links. */
static void place_air(coupled *s) {
    const network *net = &s->model->network;
    const state_standing *standing_now = &rates_result(s->rates)->settled;
    for (int i = 0; i < net->nodes; i++) {
        const int k = airnet_unknown_of(s->airnet, i);
        if (k >= 0 && net->node[i].kind != NODE_HOSE) {
            s->volume[k] = standing_now->node_volume[i];
            s->pressure[k] = standing_now->node_pressure[i];
            s->node[k] = i;
        }
    }
    for (int i = 0; i < s->links;) {
        const edge *e = &net->edge[s->link[i].edge];
        int pieces = 1;
        while (i + pieces < s->links && s->link[i + pieces].edge == s->link[i].edge) {
            pieces++;
        }
        for (int k = i; k + 1 < i + pieces; k++) {
            s->volume[s->link[k].to] = net->node[e->air].volume / (pieces - 1);
            s->pressure[s->link[k].to] = standing_now->node_pressure[e->air];
            s->node[s->link[k].to] = e->air;
        }
        i += pieces;
    }
}

static void find_lone(coupled *s) {
    for (int i = 0; i < s->air; i++) {
        s->lone[i] = s->volume[i] <= 0.0;
    }
    for (int i = 0; i < s->links; i++) {
        const int ends[2] = {s->link[i].from, s->link[i].to};
        for (int k = 0; k < 2; k++) {
            if (ends[k] >= 0) {
                s->lone[ends[k]] = false;
            }
        }
    }
}

static void number_unknowns(coupled *s) {
    s->size = 2 * s->coordinates + s->air;
    for (int i = 0; i < s->air; i++) {
        s->heat[i] = s->thermal && s->volume[i] > 0.0 ? s->size++ : -1;
    }
    for (int i = 0; i < s->links; i++) {
        s->flow[i] = s->link[i].inertance > 0.0 ? s->size++ : -1;
    }
}

static int speed_row(const coupled *s, int k) {
    return s->coordinates + k;
}

static int air_row(const coupled *s, int i) {
    return 2 * s->coordinates + i;
}

/* Writes the entries of A and E in one fixed order. */
typedef struct emitter {
    pattern_writer a, e;
} emitter;

static void emit(emitter *out, int row, int column, double a, double e) {
    pattern_put(&out->a, row, column, a);
    pattern_put(&out->e, row, column, e);
}

static void emit_pressure(const coupled *s, emitter *out, int row, int i, double factor) {
    const double n = s->volume[i] > 0.0 ? s->exponent : 1.0;
    emit(out, row, air_row(s, i), factor * n * COUPLED_PRESSURE, 0.0);
    if (s->heat[i] >= 0) {
        emit(out, row, s->heat[i], factor * COUPLED_PRESSURE, 0.0);
    }
}

/* Forces of steel and dampers between corners on the coordinates that move them. */
static void emit_corners(const coupled *s, emitter *out) {
    const vehicle *v = &s->model->vehicle;
    for (int c = 0; c < v->corners; c++) {
        for (int d = 0; d < v->corners; d++) {
            const double k = s->steel[(size_t)c * (size_t)v->corners + (size_t)d];
            const double damper = c == d ? v->corner[c].damper : 0.0;
            if (k == 0.0 && damper == 0.0) {
                continue;
            }
            for (int i = 0; i < s->carriers[c]; i++) {
                const carrier *p = &s->carrier[c * CARRIERS + i];
                for (int j = 0; j < s->carriers[d]; j++) {
                    const carrier *q = &s->carrier[d * CARRIERS + j];
                    const int row = speed_row(s, p->coordinate);
                    emit(out, row, q->coordinate, -p->ratio * k * q->ratio, 0.0);
                    emit(out, row, speed_row(s, q->coordinate), -p->ratio * damper * q->ratio, 0.0);
                }
            }
        }
    }
}

/* Speeds, masses, tyres, and gravity on the arm. */
static void emit_coordinates(const coupled *s, emitter *out) {
    for (int k = 0; k < s->coordinates; k++) {
        const coordinate *c = &s->coordinate[k];
        const int row = speed_row(s, k);
        emit(out, k, row, 1.0, 0.0);
        emit(out, k, k, 0.0, 1.0);
        emit(out, row, row, 0.0, c->mass);
        const bool rolls = c->kind == COORDINATE_BODY && c->item == MOTION_ROLL;
        const double tyre =
            c->kind == COORDINATE_WHEEL ? s->model->vehicle.corner[c->item].tyre : 0.0;
        emit(out, row, k, (rolls ? s->tips : 0.0) - tyre, 0.0);
    }
}

static double density_at(const coupled *s, int i) {
    return gas_density(s->pressure[i], s->temperature);
}

/* A spring's pressure on the coordinates, and their speeds on its air. */
static void emit_springs(const coupled *s, emitter *out) {
    const vehicle *v = &s->model->vehicle;
    for (int i = 0; i < v->springs; i++) {
        const spring *one = &v->spring[i];
        const int air = airnet_unknown_of(s->airnet, one->node);
        const profile_point *at = &s->at->point[i];
        for (int k = 0; k < one->levers; k++) {
            const lever *l = &one->lever[k];
            for (int j = 0; j < s->carriers[l->corner]; j++) {
                const carrier *p = &s->carrier[l->corner * CARRIERS + j];
                const double ratio = l->ratio * p->ratio;
                const int row = speed_row(s, p->coordinate);
                emit_pressure(s, out, row, air, -ratio * at->load_pressure);
                emit(out, air_row(s, air), row, density_at(s, air) * at->breathing * ratio, 0.0);
            }
        }
    }
}

/* Capacities: (V/RT) da/dt = flows in, with a the pressure of isothermal air; and the wall's heat,
   tau dd/dt = -d - (gamma - 1) a, which gives p = gamma a + d the exponent n(s) of gas.h. */
static void emit_volumes(const coupled *s, emitter *out) {
    const double tau = s->model->gas.tau;
    for (int i = 0; i < s->air; i++) {
        const int row = air_row(s, i);
        const double capacity = s->volume[i] / (GAS_CONSTANT * s->temperature);
        emit(out, row, row, s->lone[i] ? -1.0 : 0.0, capacity * COUPLED_PRESSURE);
        if (s->heat[i] >= 0) {
            emit(out, s->heat[i], s->heat[i], -1.0, tau);
            emit(out, s->heat[i], row, -(s->exponent - 1.0), 0.0);
        }
    }
}

/* L dq/dt = p_from - p_to - q share/G, or without inertance q = (p_from - p_to) G/share. */
static void emit_links(const coupled *s, emitter *out) {
    for (int i = 0; i < s->links; i++) {
        const airnet_link *l = &s->link[i];
        const double resistance = l->share / s->conductance[l->edge];
        const int ends[2] = {l->from, l->to};
        const double sign[2] = {1.0, -1.0};
        if (s->flow[i] >= 0) {
            emit(out, s->flow[i], s->flow[i], -resistance * COUPLED_FLOW,
                 l->inertance * COUPLED_FLOW);
        }
        for (int k = 0; k < 2; k++) {
            if (ends[k] >= 0 && s->flow[i] >= 0) {
                emit_pressure(s, out, s->flow[i], ends[k], sign[k]);
                emit(out, air_row(s, ends[k]), s->flow[i], -sign[k] * COUPLED_FLOW, 0.0);
            } else if (ends[k] >= 0) {
                for (int j = 0; j < 2; j++) {
                    if (ends[j] >= 0) {
                        emit_pressure(s, out, air_row(s, ends[k]), ends[j],
                                      -sign[k] * sign[j] / resistance);
                    }
                }
            }
        }
    }
}

static void emit_all(const coupled *s, emitter *out) {
    emit_coordinates(s, out);
    emit_corners(s, out);
    emit_springs(s, out);
    emit_volumes(s, out);
    emit_links(s, out);
}

static void list_places(void *context, pattern_writer *w) {
    emitter places = {.a = *w};
    emit_all(context, &places);
    *w = places.a;
}

static baronet_status make_matrix(coupled *s) {
    const baronet_status status = pattern_list(&s->pattern, s->allocator, s->size, list_places, s);
    if (status != BARONET_OK) {
        return status;
    }
    s->a = ARENA_ARRAY(s->arena, double, s->pattern.entries);
    s->e = ARENA_ARRAY(s->arena, double, s->pattern.entries);
    s->values = ARENA_ARRAY(s->arena, double, 2 * (size_t)s->pattern.entries);
    return arena_complete(s->arena) ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

static baronet_status set_up(coupled *s, double highest) {
    if (!take_vehicle(s)) {
        return BARONET_OUT_OF_MEMORY;
    }
    number_coordinates(s);
    baronet_status status = find_steel(s);
    if (status == BARONET_OK) {
        status = airnet_create(&s->airnet, s->rates, rates_open(s->rates), highest, s->allocator);
    }
    if (status != BARONET_OK) {
        return status;
    }
    s->air = airnet_unknowns(s->airnet);
    s->links = airnet_links(s->airnet, &s->link);
    if (!take_air(s)) {
        return BARONET_OUT_OF_MEMORY;
    }
    place_air(s);
    find_lone(s);
    number_unknowns(s);
    for (int i = 0; i < s->model->network.edges; i++) {
        s->conductance[i] = airnet_edge_conductance(s->airnet, i, 0.0);
    }
    return make_matrix(s);
}

baronet_status coupled_create(coupled **out, rates *r, double highest_frequency,
                              const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    coupled *s = ARENA_OWNER(coupled, allocator, &a);
    if (s == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    s->model = rates_model(r);
    s->rates = r;
    s->arena = a;
    s->allocator = allocator;
    s->at = balance_standing(rates_balance(r, false));
    s->temperature = s->model->ambient.temperature;
    s->exponent = gas_exponent(s->model->gas);
    s->thermal = s->model->gas.kind == GAS_THERMAL;
    const baronet_status status = set_up(s, highest_frequency);
    if (status != BARONET_OK) {
        coupled_destroy(s);
        return status;
    }
    *out = s;
    return BARONET_OK;
}

void coupled_destroy(coupled *s) {
    if (s != NULL) {
        sparse_destroy(s->sparse);
        pattern_free(&s->pattern);
        airnet_destroy(s->airnet);
        arena_destroy(s->arena);
    }
}

int coupled_size(const coupled *s) {
    return s->size;
}

int coupled_coordinates(const coupled *s, const coordinate **list) {
    *list = s->coordinate;
    return s->coordinates;
}

void coupled_set(coupled *s, const double *conductance) {
    for (int i = 0; i < s->model->network.edges; i++) {
        s->conductance[i] = conductance[i] > 0.0 ? conductance[i] : s->conductance[i];
    }
    s->filled = false;
}

const double *coupled_conductances(const coupled *s) {
    return s->conductance;
}

static void fill_values(coupled *s) {
    if (!s->filled) {
        memset(s->a, 0, (size_t)s->pattern.entries * sizeof *s->a);
        memset(s->e, 0, (size_t)s->pattern.entries * sizeof *s->e);
        emitter values = {.a = {.slot = s->pattern.slot, .values = s->a},
                          .e = {.slot = s->pattern.slot, .values = s->e}};
        emit_all(s, &values);
    }
    s->filled = true;
}

spectrum_pencil coupled_pencil(coupled *s) {
    fill_values(s);
    return (spectrum_pencil){.pattern = &s->pattern, .a = s->a, .e = s->e};
}

baronet_status coupled_prepare(coupled *s, double frequency) {
    fill_values(s);
    s->omega = TWO_PI * frequency;
    for (int i = 0; i < s->pattern.entries; i++) {
        s->values[2 * i] = -s->a[i];
        s->values[2 * i + 1] = s->omega * s->e[i];
    }
    baronet_status status = BARONET_OK;
    if (s->sparse == NULL) {
        status = sparse_create(&s->sparse, &s->pattern, true, NULL);
    }
    if (status == BARONET_OK) {
        status = sparse_factor(s->sparse, s->values, NULL);
    }
    return status;
}

/* A wheel without a tyre is the road: its rise is a travel. */
static void push_corner(const coupled *s, int wheel, double *x) {
    const vehicle *v = &s->model->vehicle;
    for (int c = 0; c < v->corners; c++) {
        const double k = s->steel[(size_t)c * (size_t)v->corners + (size_t)wheel];
        for (int i = 0; i < s->carriers[c]; i++) {
            const carrier *p = &s->carrier[c * CARRIERS + i];
            double *at = x + 2 * speed_row(s, p->coordinate);
            at[0] -= p->ratio * k;
            at[1] -= c == wheel ? p->ratio * s->omega * v->corner[c].damper : 0.0;
        }
    }
    for (int i = 0; i < v->springs; i++) {
        const int air = airnet_unknown_of(s->airnet, v->spring[i].node);
        for (int k = 0; k < v->spring[i].levers; k++) {
            const lever *l = &v->spring[i].lever[k];
            if (l->corner == wheel) {
                x[2 * air_row(s, air) + 1] +=
                    s->omega * density_at(s, air) * s->at->point[i].breathing * l->ratio;
            }
        }
    }
}

baronet_status coupled_answer(coupled *s, int wheel, double *x) {
    memset(x, 0, 2 * (size_t)s->size * sizeof *x);
    if (s->own[wheel] >= 0) {
        x[2 * speed_row(s, s->own[wheel])] = s->model->vehicle.corner[wheel].tyre;
    } else {
        push_corner(s, wheel, x);
    }
    return sparse_solve(s->sparse, x);
}

double coupled_residual(const coupled *s) {
    return s->sparse != NULL ? sparse_quality_of(s->sparse).residual : 0.0;
}

const airnet *coupled_airnet(const coupled *s) {
    return s->airnet;
}

static double complex part(const double *x, int i) {
    return x[2 * i] + J * x[2 * i + 1];
}

static void put(double complex value, double out[2]) {
    out[0] = creal(value);
    out[1] = cimag(value);
}

static double complex moved(const coupled *s, int corner_index, const double *x) {
    double complex sum = 0.0;
    for (int i = 0; i < s->carriers[corner_index]; i++) {
        const carrier *p = &s->carrier[corner_index * CARRIERS + i];
        sum += p->ratio * part(x, p->coordinate);
    }
    return sum;
}

void coupled_travel(const coupled *s, int corner_index, const double *x, double out[2]) {
    put(moved(s, corner_index, x), out);
}

static double complex pressure_of(const coupled *s, int i, const double *x) {
    if (i < 0) {
        return 0.0;
    }
    const double n = s->volume[i] > 0.0 ? s->exponent : 1.0;
    const double complex heat = s->heat[i] >= 0 ? part(x, s->heat[i]) : 0.0;
    return COUPLED_PRESSURE * (n * part(x, air_row(s, i)) + heat);
}

void coupled_pressure(const coupled *s, int i, const double *x, double out[2]) {
    put(pressure_of(s, i, x), out);
}

static double complex flow_of(const coupled *s, int link, const double *x) {
    const airnet_link *l = &s->link[link];
    return s->flow[link] >= 0 ? COUPLED_FLOW * part(x, s->flow[link])
                              : (pressure_of(s, l->from, x) - pressure_of(s, l->to, x)) *
                                    s->conductance[l->edge] / l->share;
}

void coupled_flow(const coupled *s, int link, const double *x, double out[2]) {
    put(flow_of(s, link, x), out);
}

void coupled_gain(const coupled *s, int node_index, const double *x, double out[2]) {
    double complex sum = 0.0;
    for (int i = 0; i < s->links; i++) {
        const airnet_link *l = &s->link[i];
        const bool leaves = l->from >= 0 && s->node[l->from] == node_index;
        const bool arrives = l->to >= 0 && s->node[l->to] == node_index;
        if (leaves != arrives) {
            sum += leaves ? -flow_of(s, i, x) : flow_of(s, i, x);
        }
    }
    put(sum, out);
}

/* Mean density along a link; a held end has its neighbour's. */
static double link_density(const coupled *s, const airnet_link *l) {
    const int first = l->from >= 0 ? l->from : l->to;
    const int second = l->to >= 0 ? l->to : first;
    return first >= 0 ? 0.5 * (density_at(s, first) + density_at(s, second)) : HUGE_VAL;
}

static void account_air(const coupled *s, const double *x, coupled_budget *out, double *link_loss,
                        double *wall_loss) {
    for (int i = 0; i < s->links; i++) {
        const airnet_link *l = &s->link[i];
        const double size = abs_square(flow_of(s, i, x)) / link_density(s, l);
        const double lost = size * l->share / s->conductance[l->edge];
        out->flow += lost;
        out->air += 0.5 * size * l->inertance;
        if (link_loss != NULL) {
            link_loss[i] = lost;
        }
    }
    /* The part p - a of the pressure relaxes as a spring and a dashpot in a row do: with
       p0 (gamma - 1)/V and that times tau. */
    for (int i = 0; i < s->air; i++) {
        double lost = 0.0;
        if (s->heat[i] >= 0) {
            const double complex strain =
                COUPLED_PRESSURE *
                ((s->exponent - 1.0) * part(x, air_row(s, i)) + part(x, s->heat[i]));
            lost = abs_square(strain) * s->volume[i] /
                   (s->pressure[i] * (s->exponent - 1.0) * s->model->gas.tau);
        }
        out->wall += lost;
        if (wall_loss != NULL) {
            wall_loss[i] = lost;
        }
    }
}

coupled_budget coupled_account(const coupled *s, const double value[2], const double *x,
                               double *wheel_energy, double *link_loss, double *wall_loss) {
    const vehicle *v = &s->model->vehicle;
    const double complex rate = value[0] + J * value[1];
    coupled_budget out = {0};
    for (int k = 0; k < s->coordinates; k++) {
        const coordinate *c = &s->coordinate[k];
        const double energy = 0.5 * c->mass * abs_square(rate * part(x, k));
        double *const sums[] = {&out.body, &out.wheel, &out.bench};
        *sums[c->kind] += energy;
        if (wheel_energy != NULL && c->kind == COORDINATE_WHEEL) {
            wheel_energy[c->item] = energy;
        }
    }
    for (int c = 0; c < v->corners; c++) {
        out.damper += v->corner[c].damper * abs_square(rate * moved(s, c, x));
    }
    account_air(s, x, &out, link_loss, wall_loss);
    return out;
}

int coupled_node_of(const coupled *s, int unknown) {
    return s->node[unknown];
}

int coupled_edge_of(const coupled *s, int link) {
    return s->link[link].edge;
}

int coupled_links(const coupled *s) {
    return s->links;
}

int coupled_air(const coupled *s) {
    return s->air;
}
