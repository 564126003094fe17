/* SPDX-License-Identifier: MIT */
#include "studies/dynamics.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"

/* Sizes of what an error is measured by: a position, a speed. */
#define DYNAMICS_POSITION 0.1 /* m, or rad */
#define DYNAMICS_SPEED    1.0 /* m/s, or rad/s */
/* The air of hoses and tees and its flow may err by this much more: it rings like an organ pipe
   after each switching, which matters to no spring. */
#define DYNAMICS_LINE 10.0

static bool take_nodes_and_edges(dynamics *m) {
    const network *net = &m->model->network;
    m->edge = ARENA_ARRAY(m->arena, edge, net->edges);
    m->open = ARENA_ARRAY(m->arena, bool, net->solenoids);
    m->lost = ARENA_ARRAY(m->arena, bool, net->nodes);
    m->fixed = ARENA_ARRAY(m->arena, double, net->nodes);
    m->first_mass = ARENA_ARRAY(m->arena, double, net->nodes);
    m->first_energy = ARENA_ARRAY(m->arena, double, net->nodes);
    m->half = ARENA_ARRAY(m->arena, law, net->edges);
    m->ring = ARENA_ARRAY(m->arena, double, net->edges);
    m->mass_row = ARENA_ARRAY(m->arena, int, net->nodes);
    m->energy_row = ARENA_ARRAY(m->arena, int, net->nodes);
    m->flow_row = ARENA_ARRAY(m->arena, int, net->edges);
    m->pressure = ARENA_ARRAY(m->arena, double, net->nodes);
    m->temperature = ARENA_ARRAY(m->arena, double, net->nodes);
    m->volume = ARENA_ARRAY(m->arena, double, net->nodes);
    return arena_complete(m->arena);
}

static bool take_vehicle(dynamics *m) {
    const int corners = m->model->vehicle.corners, springs = m->model->vehicle.springs;
    const int most = corners + BODY_MOTIONS;
    int reaches = 0;
    for (int i = 0; i < springs; i++) {
        reaches += m->model->vehicle.spring[i].levers * DYNAMICS_CARRIERS;
    }
    m->sprung = ARENA_ARRAY(m->arena, double, corners);
    m->corner_position = ARENA_ARRAY(m->arena, int, corners);
    m->inertia = ARENA_ARRAY(m->arena, double, most);
    m->carrier = ARENA_ARRAY(m->arena, reach, corners * DYNAMICS_CARRIERS);
    m->carriers = ARENA_ARRAY(m->arena, int, corners);
    m->reach_start = ARENA_ARRAY(m->arena, int, springs + 1);
    m->reach = ARENA_ARRAY(m->arena, reach, reaches);
    m->road = ARENA_ARRAY(m->arena, double, corners);
    m->road_speed = ARENA_ARRAY(m->arena, double, corners);
    m->travel = ARENA_ARRAY(m->arena, double, corners);
    m->speed = ARENA_ARRAY(m->arena, double, corners);
    m->force = ARENA_ARRAY(m->arena, double, corners);
    m->contact = ARENA_ARRAY(m->arena, double, corners);
    m->ground = ARENA_ARRAY(m->arena, double, corners);
    m->link = ARENA_ARRAY(m->arena, double, corners);
    m->height = ARENA_ARRAY(m->arena, double, springs);
    m->height_speed = ARENA_ARRAY(m->arena, double, springs);
    m->load = ARENA_ARRAY(m->arena, double, springs);
    m->scratch = ARENA_ARRAY(m->arena, double, springs);
    m->point = ARENA_ARRAY(m->arena, profile_point, springs);
    return arena_complete(m->arena);
}

/* Air that swings to and fro in a hose drags on a thin layer at the wall, which takes far more than
   the friction of steady laminar flow: Kirchhoff's wide tube (Rayleigh, The Theory of Sound, 1896,
   section 350), alpha = sqrt(nu w/2)/r [1 + (gamma - 1)/sqrt(Pr)] in 1/s, taken at the quarter wave
   of the hose. It acts on the difference of the flows at both ends, so steady flow has none. */
static double ring_damping(const edge *e, double p, double T) {
    const double prandtl = 0.71;
    const double omega = 0.5 * PI * sqrt(GAS_GAMMA * GAS_CONSTANT * T) / e->path.length;
    const double layer = sqrt(0.5 * omega * gas_viscosity(T) / gas_density(p, T));
    return 2.0 * layer / (0.5 * e->path.bore) * (1.0 + (GAS_GAMMA - 1.0) / sqrt(prandtl));
}

/* A stuck valve is a plain path from then on, by its law or, shut, by what passes it then. */
static void stick(edge *e, dynamics_stuck_kind kind) {
    if (e->kind == EDGE_COMPRESSOR) {
        e->table_rows = kind == STUCK_SHUT ? 0 : e->table_rows;
        return;
    }
    if (kind == STUCK_SHUT) {
        e->path = e->bypass;
    }
    e->kind = EDGE_RESTRICTOR;
}

static baronet_status take_plumbing(dynamics *m, const dynamics_setup *setup, rates *r) {
    const network *net = &m->model->network;
    const state_standing *at = &rates_result(r)->settled;
    memcpy(m->edge, net->edge, (size_t)net->edges * sizeof *m->edge);
    memcpy(m->open, rates_open(r), (size_t)net->solenoids * sizeof *m->open);
    for (int i = 0; i < net->nodes; i++) {
        m->highest = fmax(m->highest, at->node_pressure[i]);
    }
    for (int k = 0; k < setup->stucks; k++) {
        stick(&m->edge[setup->stuck[k].edge], setup->stuck[k].kind);
    }
    m->holes = setup->holes;
    m->hole = ARENA_ARRAY(m->arena, dynamics_hole, setup->holes);
    if (m->hole == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    if (setup->holes > 0) {
        memcpy(m->hole, setup->hole, (size_t)setup->holes * sizeof *m->hole);
    }
    for (int i = 0; i < net->edges; i++) {
        m->edge[i].path.zone = m->edge[i].bypass.zone = DYNAMICS_ZONE * m->highest;
        if (net->edge[i].kind == EDGE_CHECK_VALVE) {
            m->edge[i].path.zone = DYNAMICS_POPPET * m->highest;
        }
        if (net->edge[i].kind == EDGE_HOSE) {
            m->half[i] = flow_hose_part(&net->edge[i].path, 0.5);
            m->ring[i] = ring_damping(&net->edge[i], at->node_pressure[net->edge[i].air],
                                      m->model->ambient.temperature);
        }
    }
    return BARONET_OK;
}

/* A tee has no volume in the netlist, but air in time cannot be without: it takes a share of each
   hose that ends there, whose air is then that much less. */
static void share_hoses(dynamics *m) {
    const network *net = &m->model->network;
    for (int i = 0; i < net->nodes; i++) {
        m->fixed[i] = net->node[i].kind == NODE_SPRING ? 0.0 : net->node[i].volume;
    }
    for (int i = 0; i < net->edges; i++) {
        const edge *e = &net->edge[i];
        const int ends[2] = {e->from, e->to};
        for (int k = 0; k < 2 && e->kind == EDGE_HOSE; k++) {
            if (net->node[ends[k]].kind == NODE_TEE) {
                const double share = DYNAMICS_HOSE_SHARE * net->node[e->air].volume;
                m->fixed[ends[k]] += share;
                m->fixed[e->air] -= share;
            }
        }
    }
}

/* The others borrow from the largest volume that no valve can part them from, so that no air is
   added to any group; those between valves only have a little of their own. */
static baronet_status share_fittings(dynamics *m) {
    const network *net = &m->model->network;
    groups g;
    bool *shut = ARENA_ARRAY(m->arena, bool, net->solenoids);
    int *lender = ARENA_ARRAY(m->arena, int, net->nodes);
    int *needy = ARENA_ARRAY(m->arena, int, net->nodes);
    if (!arena_complete(m->arena) || groups_make(&g, m->arena, net) != BARONET_OK) {
        return BARONET_OUT_OF_MEMORY;
    }
    groups_find(&g, net, shut, false, m->model->ambient.pressure);
    for (int k = 0; k < g.count; k++) {
        lender[k] = -1;
    }
    for (int i = 0; i < net->nodes; i++) {
        const int k = g.of_node[i];
        needy[k] += net->node[i].kind == NODE_TEE && m->fixed[i] <= 0.0;
        if (!dynamics_is_held(m, i) && m->volume[i] > 0.0 &&
            (lender[k] < 0 || m->volume[i] > m->volume[lender[k]])) {
            lender[k] = i;
        }
    }
    for (int i = 0; i < net->nodes; i++) {
        const int k = g.of_node[i];
        if (net->node[i].kind == NODE_TEE && m->fixed[i] <= 0.0) {
            const double most = lender[k] >= 0
                                    ? DYNAMICS_FITTING_SHARE * m->volume[lender[k]] / needy[k]
                                    : HUGE_VAL;
            m->fixed[i] = fmin(DYNAMICS_FITTING, most);
            if (lender[k] >= 0) {
                m->fixed[lender[k]] -= m->fixed[i];
            }
        }
    }
    return BARONET_OK;
}

static void number_air(dynamics *m) {
    const network *net = &m->model->network;
    m->energy = m->gamma > 1.0;
    m->heat = m->model->gas.kind == GAS_THERMAL;
    m->size = 0;
    for (int i = 0; i < net->nodes; i++) {
        m->mass_row[i] = m->size++;
        m->energy_row[i] = m->energy && !dynamics_is_held(m, i) ? m->size++ : -1;
    }
    const int ledger = m->energy ? m->size++ : -1;
    m->heat_row = m->energy ? m->size++ : -1;
    m->work_row = m->energy ? m->size++ : -1;
    for (int i = 0; i < net->nodes; i++) {
        m->energy_row[i] = dynamics_is_held(m, i) ? ledger : m->energy_row[i];
    }
    for (int i = 0; i < net->edges; i++) {
        const bool hose = m->edge[i].kind == EDGE_HOSE;
        m->flow_row[i] = hose ? m->size : -1;
        m->size += hose ? 2 : 0;
    }
}

/* Rise of the body over a corner per unit of a body motion about its centre of gravity. */
static double rise_of(const dynamics *m, int c, int k) {
    const corner *one = &m->model->vehicle.corner[c];
    const double rise[BODY_MOTIONS] = {1.0, one->y - m->mass.y, -(one->x - m->mass.x)};
    return rise[k];
}

static void carry(dynamics *m, int c, int position, double ratio) {
    m->carrier[c * DYNAMICS_CARRIERS + m->carriers[c]++] = (reach){position, ratio};
}

/* What moves each corner, and each spring through its levers: one entry a position. */
static void list_reaches(dynamics *m) {
    const vehicle *v = &m->model->vehicle;
    for (int c = 0; c < v->corners; c++) {
        m->carriers[c] = 0;
        for (int k = 0; k < BODY_MOTIONS && c < v->wheels; k++) {
            if (m->body_position[k] >= 0) {
                carry(m, c, m->body_position[k], -rise_of(m, c, k));
            }
        }
        if (m->corner_position[c] >= 0) {
            carry(m, c, m->corner_position[c], v->corner[c].bench ? -1.0 : 1.0);
        }
    }
    int count = 0;
    for (int i = 0; i < v->springs; i++) {
        m->reach_start[i] = count;
        for (int k = 0; k < v->spring[i].levers; k++) {
            const lever *l = &v->spring[i].lever[k];
            for (int j = 0; j < m->carriers[l->corner]; j++) {
                const reach *r = &m->carrier[l->corner * DYNAMICS_CARRIERS + j];
                int at = m->reach_start[i];
                while (at < count && m->reach[at].position != r->position) {
                    at++;
                }
                if (at == count) {
                    m->reach[count++] = (reach){.position = r->position};
                }
                m->reach[at].ratio -= l->ratio * r->ratio;
            }
        }
    }
    m->reach_start[v->springs] = count;
}

static void set_inertias(dynamics *m) {
    const vehicle *v = &m->model->vehicle;
    const body_mass *b = &m->mass;
    const double least = 1e-3; /* kg m2: of a body whose wheels stand in a line */
    const double whole[BODY_MOTIONS] = {b->mass,
                                        fmax(b->roll_inertia + b->mass * b->arm * b->arm, least),
                                        fmax(b->pitch_inertia, least)};
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (m->body_position[k] >= 0) {
            m->inertia[m->body_position[k]] = whole[k];
        }
    }
    for (int c = 0; c < v->corners; c++) {
        if (m->corner_position[c] >= 0) {
            const double share =
                fmax(DYNAMICS_WHEEL_SHARE * m->design->sprung[c] / STANDARD_GRAVITY, 1.0);
            const double unsprung = v->corner[c].unsprung;
            m->inertia[m->corner_position[c]] = v->corner[c].bench ? m->sprung[c] / STANDARD_GRAVITY
                                                : unsprung > 0.0   ? unsprung
                                                                   : share;
        }
    }
}

static void number_motion(dynamics *m) {
    const vehicle *v = &m->model->vehicle;
    const body_freedom freedom = vehicle_freedom(v);
    const bool exists[BODY_MOTIONS] = {freedom.heave, freedom.roll, freedom.pitch};
    for (int k = 0; k < BODY_MOTIONS; k++) {
        m->body_position[k] = exists[k] ? m->positions++ : -1;
    }
    for (int c = 0; c < v->corners; c++) {
        const bool own = v->corner[c].bench || v->corner[c].tyre > 0.0;
        m->corner_position[c] = own ? m->positions++ : -1;
    }
    m->first_position = m->size;
    m->first_speed = m->size + m->positions;
    m->size += 2 * m->positions;
}

/* A tee stands at the pressure of a hose that lends it air, else where its state puts it. */
static double pressure_at_start(const dynamics *m, const state_standing *at, int node_index) {
    const network *net = &m->model->network;
    double p = at->node_pressure[node_index];
    for (int i = 0; i < net->edges && net->node[node_index].kind == NODE_TEE; i++) {
        const edge *e = &net->edge[i];
        if (e->kind == EDGE_HOSE && (e->from == node_index || e->to == node_index)) {
            return at->node_pressure[e->air];
        }
    }
    return p;
}

static void fill_air(dynamics *m, const state_standing *at) {
    const double T = m->model->ambient.temperature;
    for (int i = 0; i < m->model->network.nodes; i++) {
        if (!dynamics_is_held(m, i)) {
            const double pV = pressure_at_start(m, at, i) * m->volume[i];
            m->first_mass[i] = pV / (GAS_CONSTANT * T);
            m->first_energy[i] = m->energy ? pV / (m->gamma - 1.0) : 0.0;
        }
    }
}

/* The least mass and energy that count, a `part` of what is there. */
static void allow_air(dynamics *m, const state_standing *at, double part) {
    double mass = 0.0, energy = 0.0;
    for (int i = 0; i < m->model->network.nodes; i++) {
        mass += m->first_mass[i];
        energy += m->first_energy[i];
    }
    for (int i = 0; i < m->size; i++) {
        m->absolute[i] = part * fmax(energy, 1.0); /* heat, work and what held nodes were given */
    }
    for (int i = 0; i < m->model->network.nodes; i++) {
        const bool held = dynamics_is_held(m, i);
        const node_kind kind = m->model->network.node[i].kind;
        const bool line = kind == NODE_TEE || kind == NODE_HOSE;
        /* A line may stand empty at first and be filled from what is highest. */
        const double own = line ? part * m->highest / at->node_pressure[i] : part;
        m->absolute[m->mass_row[i]] = held ? part * fmax(mass, 1e-6) : own * m->first_mass[i];
        if (m->energy && !held) {
            m->absolute[m->energy_row[i]] = own * m->first_energy[i];
        }
    }
}

/* The same of what moves: air in hoses, body and wheels. */
static void allow_motion(dynamics *m, double part) {
    for (int i = 0; i < m->model->network.edges; i++) {
        if (m->flow_row[i] >= 0) {
            const flow_side full = {m->highest, m->model->ambient.temperature};
            const flow choked = flow_at(&m->half[i], full, (flow_side){0.0, full.temperature});
            m->absolute[m->flow_row[i]] = DYNAMICS_LINE * part * choked.mass;
            m->absolute[m->flow_row[i] + 1] = m->absolute[m->flow_row[i]];
        }
    }
    for (int k = 0; k < m->positions; k++) {
        m->absolute[m->first_position + k] = part * DYNAMICS_POSITION;
        m->absolute[m->first_speed + k] = part * DYNAMICS_SPEED;
    }
}

static baronet_status set_tolerances(dynamics *m, const state_standing *at, double tolerance) {
    const double part = tolerance > 0.0 ? tolerance : DYNAMICS_TOLERANCE;
    m->absolute = ARENA_ARRAY(m->arena, double, m->size);
    if (m->absolute == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    allow_air(m, at, part);
    allow_motion(m, part);
    m->problem = (ode_problem){.size = m->size,
                               .pattern = &m->pattern,
                               .rate = dynamics_rate,
                               .slope = dynamics_slope,
                               .context = m,
                               .order = 2,
                               .fresh = 3,
                               .relative = part,
                               .absolute = m->absolute};
    return BARONET_OK;
}

void dynamics_start(const dynamics *m, rates *r, double *y) {
    const vehicle *v = &m->model->vehicle;
    const standing *at = balance_standing(rates_balance(r, false));
    double x = 0.0, side = 0.0; /* where the balance counts body motions from */
    for (int c = 0; c < v->wheels; c++) {
        x += v->corner[c].x / v->wheels;
        side += v->corner[c].y / v->wheels;
    }
    memset(y, 0, (size_t)m->size * sizeof *y);
    const double whole[BODY_MOTIONS] = {at->body[MOTION_HEAVE] +
                                            at->body[MOTION_ROLL] * (m->mass.y - side) -
                                            at->body[MOTION_PITCH] * (m->mass.x - x),
                                        at->body[MOTION_ROLL], at->body[MOTION_PITCH]};
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (m->body_position[k] >= 0) {
            y[m->first_position + m->body_position[k]] = whole[k];
        }
    }
    for (int c = 0; c < v->corners; c++) {
        if (m->corner_position[c] >= 0) {
            y[m->first_position + m->corner_position[c]] = at->wheel[c];
        }
    }
}

/* Room that hoses and fittings share among nodes, and what springs have themselves. */
static void fill_volumes(dynamics *m, const state_standing *at) {
    for (int i = 0; i < m->model->network.nodes; i++) {
        const bool moves = m->model->network.node[i].kind == NODE_SPRING;
        m->volume[i] = m->fixed[i] + (moves ? at->node_volume[i] : 0.0);
    }
}

static baronet_status set_up(dynamics *m, rates *r, const dynamics_setup *setup) {
    const state_standing *at = &rates_result(r)->settled;
    const balance_task *task = rates_task(r);
    if (!take_nodes_and_edges(m) || !take_vehicle(m)) {
        return BARONET_OUT_OF_MEMORY;
    }
    m->design = task->design;
    m->mass = task->mass;
    memcpy(m->sprung, task->sprung, (size_t)m->model->vehicle.corners * sizeof *m->sprung);
    baronet_status status = take_plumbing(m, setup, r);
    if (status == BARONET_OK) {
        status = forcing_make(&m->forcing, m->arena, m->model->vehicle.corners, setup->bumps,
                              m->model->ambient.temperature);
    }
    if (status != BARONET_OK) {
        return status;
    }
    share_hoses(m);
    fill_volumes(m, at);
    status = share_fittings(m);
    if (status != BARONET_OK) {
        return status;
    }
    fill_volumes(m, at);
    number_air(m);
    number_motion(m);
    set_inertias(m);
    list_reaches(m);
    fill_air(m, at);
    status = set_tolerances(m, at, setup->tolerance);
    return status == BARONET_OK ? dynamics_make_pattern(m) : status;
}

baronet_status dynamics_create(dynamics **out, rates *r, const dynamics_setup *setup,
                               const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    dynamics *m = ARENA_OWNER(dynamics, allocator, &a);
    if (m == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    m->model = rates_model(r);
    m->arena = a;
    m->allocator = allocator;
    m->gamma = gas_exponent(m->model->gas);
    m->c_v = m->gamma > 1.0 ? GAS_CONSTANT / (m->gamma - 1.0) : 0.0;
    m->c_p = m->gamma * m->c_v;
    const baronet_status status = set_up(m, r, setup);
    if (status != BARONET_OK) {
        dynamics_destroy(m);
        return status;
    }
    *out = m;
    return BARONET_OK;
}

void dynamics_destroy(dynamics *m) {
    if (m != NULL) {
        if (m->pattern.start != NULL) {
            pattern_free(&m->pattern);
        }
        arena_destroy(m->arena);
    }
}

/* The body's place and speed are those of its centre of gravity, which a load moves. */
static void shift_body(const dynamics *m, double *y, const body_mass *from) {
    const int heave = m->body_position[MOTION_HEAVE];
    const int roll = m->body_position[MOTION_ROLL];
    const int pitch = m->body_position[MOTION_PITCH];
    double *const parts[2] = {y + m->first_position, y + m->first_speed};
    for (int k = 0; k < 2 && heave >= 0; k++) {
        parts[k][heave] += (roll >= 0 ? parts[k][roll] * (m->mass.y - from->y) : 0.0) -
                           (pitch >= 0 ? parts[k][pitch] * (m->mass.x - from->x) : 0.0);
    }
}

bool dynamics_add_load(dynamics *m, double *y, int corner_index, double kilograms) {
    const vehicle *v = &m->model->vehicle;
    const double least = 1.0; /* kg */
    m->sprung[corner_index] += kilograms * STANDARD_GRAVITY;
    if (v->corner[corner_index].bench) {
        set_inertias(m);
        return m->sprung[corner_index] > least * STANDARD_GRAVITY;
    }
    const body_mass before = m->mass;
    m->mass = vehicle_mass(v, m->sprung);
    if (m->mass.mass < least) {
        return false;
    }
    set_inertias(m);
    list_reaches(m);
    shift_body(m, y, &before);
    return true;
}

/* Springs that a jump has squeezed keep p V^n; the work is what their energy gains. */
static void squeeze(dynamics *m, double t, double *y, const double *before) {
    (void)dynamics_see(m, t, y);
    for (int i = 0; i < m->model->vehicle.springs && m->energy; i++) {
        const int own = m->model->vehicle.spring[i].node;
        const double V = m->fixed[own] + m->point[i].volume;
        if (V > 0.0 && V != before[i]) {
            const double U = m->first_energy[own] + y[m->energy_row[own]];
            const double gain = U * (pow(before[i] / V, m->gamma - 1.0) - 1.0);
            y[m->energy_row[own]] += gain;
            y[m->work_row] -= gain;
        }
    }
}

void dynamics_step(dynamics *m, double t, double *y, const double *shape, double size) {
    const vehicle *v = &m->model->vehicle;
    (void)dynamics_see(m, t, y);
    double *before = m->scratch;
    for (int i = 0; i < v->springs; i++) {
        const int own = v->spring[i].node;
        before[i] = m->fixed[own] + m->point[i].volume;
    }
    for (int c = 0; c < v->corners; c++) {
        const int at = m->corner_position[c];
        m->forcing.base[c] += shape[c] * size;
        if (m->held && at >= 0 && !v->corner[c].bench) {
            y[m->first_position + at] += shape[c] * size;
        }
    }
    squeeze(m, t, y, before);
}

void dynamics_hold(dynamics *m, double *y) {
    m->held = true;
    memset(y + m->first_speed, 0, (size_t)m->positions * sizeof *y);
}
