/* SPDX-License-Identifier: MIT */
#include "studies/cells.h"

#include <math.h>

/* The smallest relative disturbance that tolerances are measured by: below it a pressure is equal
   to its neighbours to rounding. */
#define CELLS_REST 1e-12

struct air_cells {
    cells_setup setup;
    cells_watch watch;
    arena *arena;
    bool energy;                 /* each cell has an energy beside its mass */
    bool heat;                   /* and heat from its wall */
    double gamma, c_v, c_p;      /* J/(kg K) */
    double *mass, *heat_content; /* kg, J: cells, at the start */
    double *absolute, *origin;
    double *reynolds; /* paths: of the last flow, where the search for the next starts */
    pattern pattern;
    ode_problem problem;
    ode *ode;
};

/* The unknowns are what each cell has gained since the start, kg and J, so that errors are parts of
   the disturbance and not of all the air; mass and energy come and go along paths only, so their
   sums are kept to rounding. */
static int mass_of(const air_cells *c, int cell) {
    return c->energy ? 2 * cell : cell;
}

static int energy_of(int cell) {
    return 2 * cell + 1;
}

static double mass_at(const air_cells *c, const double *air, int cell) {
    return c->mass[cell] + air[mass_of(c, cell)];
}

static double energy_at(const air_cells *c, const double *air, int cell) {
    return c->heat_content[cell] + air[energy_of(cell)];
}

double cells_pressure(const air_cells *c, const double *air, int cell) {
    const double V = c->setup.volume[cell];
    return c->energy ? (c->gamma - 1.0) * energy_at(c, air, cell) / V
                     : mass_at(c, air, cell) * GAS_CONSTANT * c->setup.temperature / V;
}

double cells_temperature(const air_cells *c, const double *air, int cell) {
    return c->energy ? energy_at(c, air, cell) / (mass_at(c, air, cell) * c->c_v)
                     : c->setup.temperature;
}

double cells_gain(const air_cells *c, const double *air, int cell) {
    return air[mass_of(c, cell)];
}

double cells_start_mass(const air_cells *c, int cell) {
    return c->mass[cell];
}

static flow_side side_at(const air_cells *c, const double *air, int end) {
    return end < 0 ? (flow_side){c->setup.held_pressure[-1 - end], c->setup.temperature}
                   : (flow_side){cells_pressure(c, air, end), cells_temperature(c, air, end)};
}

static bool fill_rate(void *context, double t, const double *air, double *rate) {
    (void)t;
    const air_cells *c = context;
    const cells_setup *s = &c->setup;
    for (int i = 0; i < s->cells; i++) {
        rate[mass_of(c, i)] = 0.0;
        if (mass_at(c, air, i) <= 0.0 || (c->energy && energy_at(c, air, i) <= 0.0)) {
            return false;
        }
        if (c->energy) {
            rate[energy_of(i)] =
                c->heat ? -(energy_at(c, air, i) - mass_at(c, air, i) * c->c_v * s->temperature) /
                              s->gas.tau
                        : 0.0;
        }
    }
    for (int k = 0; k < s->paths; k++) {
        const cells_path *p = &s->path[k];
        const flow_side from = side_at(c, air, p->from), to = side_at(c, air, p->to);
        const double q = flow_at_near(&p->law, from, to, &c->reynolds[k]).mass;
        const double e = q * c->c_p * (q >= 0.0 ? from.temperature : to.temperature);
        if (p->from >= 0) {
            rate[mass_of(c, p->from)] -= q;
        }
        if (p->to >= 0) {
            rate[mass_of(c, p->to)] += q;
        }
        if (c->energy && p->from >= 0) {
            rate[energy_of(p->from)] -= e;
        }
        if (c->energy && p->to >= 0) {
            rate[energy_of(p->to)] += e;
        }
    }
    return true;
}

static void put_cells(const air_cells *c, pattern_writer *w) {
    const double rate = c->heat ? 1.0 / c->setup.gas.tau : 0.0;
    for (int i = 0; i < c->setup.cells; i++) {
        pattern_put(w, mass_of(c, i), mass_of(c, i), 0.0);
        if (c->energy) {
            pattern_put(w, energy_of(i), energy_of(i), -rate);
            pattern_put(w, energy_of(i), mass_of(c, i), rate * c->c_v * c->setup.temperature);
        }
    }
}

/* How flows of mass and energy along a path change with one unknown of one of its ends. */
typedef struct change {
    double mass, energy;
} change;

/* Changes by the unknown that moves the end's pressure by dp and its temperature by dT. Every law
   goes with 1/sqrt(T) upstream; the little more that viscosity does to a hose is left out here, as
   a Jacobian only leads to the answer. */
static change change_by(const air_cells *c, double slope, const flow *q, bool upstream, double T_up,
                        double dp, double dT) {
    const double own = upstream ? dT : 0.0;
    const double dq = slope * dp - 0.5 * q->mass / T_up * own;
    return (change){dq, c->c_p * (T_up * dq + q->mass * own)};
}

static void put_change(const air_cells *c, pattern_writer *w, const cells_path *p, int column,
                       change d) {
    const int ends[2] = {p->from, p->to};
    for (int k = 0; k < 2; k++) {
        const double sign = k == 0 ? -1.0 : 1.0;
        if (ends[k] >= 0) {
            pattern_put(w, mass_of(c, ends[k]), column, sign * d.mass);
        }
        if (ends[k] >= 0 && c->energy) {
            pattern_put(w, energy_of(ends[k]), column, sign * d.energy);
        }
    }
}

static void put_path(const air_cells *c, pattern_writer *w, int path_index, const double *air) {
    const cells_path *p = &c->setup.path[path_index];
    const int ends[2] = {p->from, p->to};
    flow_side side[2] = {{.pressure = 0.0}, {.pressure = 0.0}};
    flow q = {0};
    if (air != NULL) {
        side[0] = side_at(c, air, p->from);
        side[1] = side_at(c, air, p->to);
        q = flow_at_near(&p->law, side[0], side[1], &c->reynolds[path_index]);
    }
    const int up = q.mass >= 0.0 ? 0 : 1;
    for (int k = 0; k < 2; k++) {
        if (ends[k] < 0) {
            continue;
        }
        const double V = c->setup.volume[ends[k]];
        const double T = side[k].temperature;
        const double slope = k == 0 ? q.by_first : q.by_second;
        change mass = {0}, energy = {0};
        if (air != NULL && c->energy) {
            mass = change_by(c, slope, &q, k == up, side[up].temperature, 0.0,
                             -T / mass_at(c, air, ends[k]));
            energy = change_by(c, slope, &q, k == up, side[up].temperature, (c->gamma - 1.0) / V,
                               T / energy_at(c, air, ends[k]));
        } else if (air != NULL) {
            mass.mass = slope * GAS_CONSTANT * T / V;
        }
        put_change(c, w, p, mass_of(c, ends[k]), mass);
        if (c->energy) {
            put_change(c, w, p, energy_of(ends[k]), energy);
        }
    }
}

static void put_all(const air_cells *c, pattern_writer *w, const double *air) {
    put_cells(c, w);
    for (int k = 0; k < c->setup.paths; k++) {
        put_path(c, w, k, air);
    }
}

static void fill_slope(void *context, double t, const double *air, double *values) {
    (void)t;
    const air_cells *c = context;
    pattern_writer w = {.slot = c->pattern.slot, .values = values};
    put_all(c, &w, air);
}

static void fill_marks(void *context, double t, const double *air, double *g) {
    (void)t;
    const air_cells *c = context;
    const double now = c->watch.measure(c->watch.context, c, air);
    for (int k = 0; k < c->watch.marks; k++) {
        g[k] = now - c->watch.mark[k];
    }
}

static void list_places(void *context, pattern_writer *w) {
    put_all(context, w, NULL);
}

/* How far the air is from rest, in parts of its pressure or temperature. */
static double disturbance(const air_cells *c) {
    const cells_setup *s = &c->setup;
    double most = CELLS_REST;
    for (int k = 0; k < s->paths; k++) {
        const flow_side a = side_at(c, c->origin, s->path[k].from);
        const flow_side b = side_at(c, c->origin, s->path[k].to);
        const double high = fmax(a.pressure, b.pressure);
        most = fmax(most, fabs(a.pressure - b.pressure) / high);
    }
    for (int i = 0; i < s->cells && c->heat; i++) {
        most = fmax(most, fabs(s->start_temperature[i] / s->temperature - 1.0));
    }
    return most;
}

static void fill_start(air_cells *c) {
    const cells_setup *s = &c->setup;
    for (int i = 0; i < s->cells; i++) {
        const double p = s->start_pressure[i];
        const double T = c->energy ? s->start_temperature[i] : s->temperature;
        c->mass[i] = p * s->volume[i] / (GAS_CONSTANT * T);
        c->heat_content[i] = c->energy ? p * s->volume[i] / (c->gamma - 1.0) : 0.0;
    }
    const double part = c->problem.relative * disturbance(c);
    for (int i = 0; i < s->cells; i++) {
        c->absolute[mass_of(c, i)] = part * c->mass[i];
        if (c->energy) {
            c->absolute[energy_of(i)] = part * c->heat_content[i];
        }
    }
}

static bool take_arrays(air_cells *c) {
    const int n = c->setup.cells;
    c->mass = ARENA_ARRAY(c->arena, double, n);
    c->heat_content = ARENA_ARRAY(c->arena, double, n);
    c->absolute = ARENA_ARRAY(c->arena, double, c->problem.size);
    c->origin = ARENA_ARRAY(c->arena, double, c->problem.size);
    c->reynolds = ARENA_ARRAY(c->arena, double, c->setup.paths);
    return arena_complete(c->arena);
}

static baronet_status set_up(air_cells *c, const baronet_allocator *allocator) {
    const double n = gas_exponent(c->setup.gas);
    c->energy = n > 1.0;
    c->heat = c->setup.gas.kind == GAS_THERMAL;
    c->gamma = n;
    c->c_v = c->energy ? GAS_CONSTANT / (n - 1.0) : 0.0;
    c->c_p = n * c->c_v;
    c->problem = (ode_problem){
        .size = c->energy ? 2 * c->setup.cells : c->setup.cells,
        .pattern = &c->pattern,
        .rate = fill_rate,
        .slope = fill_slope,
        .root = fill_marks,
        .roots = c->watch.marks,
        .context = c,
        .steps = CELLS_STEPS,
        .relative = c->setup.tolerance > 0.0 ? c->setup.tolerance : CELLS_TOLERANCE,
    };
    if (!take_arrays(c)) {
        return BARONET_OUT_OF_MEMORY;
    }
    fill_start(c);
    c->problem.absolute = c->absolute;
    baronet_status status = pattern_list(&c->pattern, allocator, c->problem.size, list_places, c);
    if (status == BARONET_OK) {
        status = ode_create(&c->ode, &c->problem, allocator);
    }
    return status == BARONET_OK ? ode_start(c->ode, 0.0, c->origin) : status;
}

baronet_status cells_create(air_cells **out, const cells_setup *setup, const cells_watch *watch,
                            const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    air_cells *c = ARENA_OWNER(air_cells, allocator, &a);
    if (c == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    c->arena = a;
    c->setup = *setup;
    c->watch = watch != NULL ? *watch : (cells_watch){0};
    const baronet_status status = set_up(c, allocator);
    if (status != BARONET_OK) {
        cells_destroy(c);
        return status;
    }
    *out = c;
    return BARONET_OK;
}

void cells_destroy(air_cells *c) {
    if (c != NULL) {
        ode_destroy(c->ode);
        if (c->pattern.start != NULL) {
            pattern_free(&c->pattern);
        }
        arena_destroy(c->arena);
    }
}

baronet_status cells_advance(air_cells *c, double until, int *mark) {
    return ode_advance(c->ode, until, mark);
}

double cells_time(const air_cells *c) {
    return ode_time(c->ode);
}

const double *cells_air(const air_cells *c) {
    return ode_state(c->ode);
}

ode_account cells_account(const air_cells *c) {
    return ode_account_of(c->ode);
}
