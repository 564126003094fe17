/* SPDX-License-Identifier: MIT */
#include "model/valve.h"

#include <math.h>

#include "model/atmosphere.h"
#include "model/gas.h"

static flow path_flow(const edge *e, bool open, flow_side from, flow_side to, double ambient) {
    (void)open;
    (void)ambient;
    return flow_at(&e->path, from, to);
}

static flow check_valve_flow(const edge *e, bool open, flow_side from, flow_side to,
                             double ambient) {
    (void)open;
    (void)ambient;
    from.pressure -= e->opens_at;
    return from.pressure > to.pressure ? flow_at(&e->path, from, to) : (flow){0};
}

/* How far a valve is open, and how that changes with the two pressures (1/Pa). */
typedef struct opening {
    double share, by_first, by_second;
} opening;

/* Part of the band that `excess` covers; its changes are of the excess with the two pressures. */
static opening opening_at(double excess, double gauge_set, double by_first, double by_second) {
    const double band = fmax(VALVE_BAND * gauge_set, VALVE_LEAST_BAND);
    if (excess <= 0.0) {
        return (opening){0};
    }
    if (excess >= band) {
        return (opening){.share = 1.0};
    }
    return (opening){excess / band, by_first / band, by_second / band};
}

static flow throttled(flow full, opening o) {
    return (flow){.mass = o.share * full.mass,
                  .by_first = o.share * full.by_first + o.by_first * full.mass,
                  .by_second = o.share * full.by_second + o.by_second * full.mass,
                  .choked = full.choked && o.share > 0.0};
}

/* From what a valve passes while shut to what it passes when fully open. */
static flow lifted(flow shut, flow full, opening o) {
    const flow more = {full.mass - shut.mass, full.by_first - shut.by_first,
                       full.by_second - shut.by_second, full.choked};
    const flow part = throttled(more, o);
    return (flow){shut.mass + part.mass, shut.by_first + part.by_first,
                  shut.by_second + part.by_second, part.choked};
}

static flow solenoid_flow(const edge *e, bool open, flow_side from, flow_side to, double ambient) {
    (void)ambient;
    const flow full = flow_at(&e->path, from, to), shut = flow_at(&e->bypass, from, to);
    const double difference = from.pressure - to.pressure;
    if (open && e->opens_above > 0.0) {
        const double side = difference < 0.0 ? -1.0 : 1.0;
        return lifted(shut, full,
                      opening_at(side * difference - e->opens_above, e->opens_above, side, -side));
    }
    if (!open && e->one_way) {
        return lifted(shut, full, opening_at(-difference, 0.0, -1.0, 1.0));
    }
    return open ? full : shut;
}

static flow relief_flow(const edge *e, bool open, flow_side from, flow_side to, double ambient) {
    (void)open;
    (void)ambient;
    const double excess = from.pressure - to.pressure - e->set;
    if (excess <= 0.0) {
        return (flow){0};
    }
    return throttled(flow_at(&e->path, from, to), opening_at(excess, e->set, 1.0, -1.0));
}

static flow regulator_flow(const edge *e, bool open, flow_side from, flow_side to, double ambient) {
    (void)open;
    const double excess = e->set - to.pressure;
    if (excess <= 0.0 || from.pressure <= to.pressure) {
        return (flow){0};
    }
    return throttled(flow_at(&e->path, from, to), opening_at(excess, e->set - ambient, 0.0, -1.0));
}

/* A value and its change with the pressure. */
typedef struct delivery {
    double flow, slope; /* m3/s, m3/(s Pa) */
} delivery;

static delivery table_at(const edge *e, double p) {
    const double *const at = e->table_pressure, *const flow_of = e->table_flow;
    const int last = e->table_rows - 1;
    if (last < 0) {
        return (delivery){0};
    }
    if (last == 0 || p <= at[0]) {
        return (delivery){.flow = flow_of[0]};
    }
    int i = 1;
    while (i < last && p > at[i]) {
        i++;
    }
    const double slope = (flow_of[i] - flow_of[i - 1]) / (at[i] - at[i - 1]);
    const double value = flow_of[i] + slope * (p - at[i]);
    return value > 0.0 ? (delivery){value, slope} : (delivery){0};
}

static flow compressor_flow(const edge *e, bool open, flow_side from, flow_side to,
                            double ambient) {
    (void)open;
    (void)ambient;
    const double free_air = gas_density(1e5, 293.15); /* kg/m3: 20 C, 100 kPa, dry */
    const double per_pascal = free_air / ATMOSPHERE_PRESSURE;
    const delivery d = table_at(e, to.pressure);
    return (flow){.mass = d.flow * per_pascal * from.pressure,
                  .by_first = d.flow * per_pascal,
                  .by_second = d.slope * per_pascal * from.pressure};
}

static flow (*const rules[])(const edge *e, bool open, flow_side from, flow_side to,
                             double ambient) = {
    [EDGE_HOSE] = path_flow,
    [EDGE_RESTRICTOR] = path_flow,
    [EDGE_SOLENOID] = solenoid_flow,
    [EDGE_CHECK_VALVE] = check_valve_flow,
    [EDGE_REGULATOR] = regulator_flow,
    [EDGE_RELIEF] = relief_flow,
    [EDGE_COMPRESSOR] = compressor_flow,
};

flow valve_flow(const edge *e, bool open, flow_side from, flow_side to, double ambient) {
    return rules[e->kind](e, open, from, to, ambient);
}
