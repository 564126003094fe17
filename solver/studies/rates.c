#include "studies/rates.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"
#include "numeric/dense.h"

struct rates {
    const model *model;
    charge *charge;
    arena *arena;
    balance *settled, *parked; /* parked is NULL where no bypass joins what the state keeps apart */
    stiffness stiffness, parked_stiffness;
    levelling levelling;
    double *node_amount;            /* Pa m3, nodes */
    double *amount, *parked_amount; /* Pa m3, groups */
    double *sprung;                 /* N, corners */
    balance_task task, parked_task;
    bool started;
    bool afresh;        /* each solve is as the first */
    unsigned skipped;   /* levels that nobody asks for, as bits */
    double *with_tyres; /* wheels x wheels: K with tyres in series */
    double *work;       /* wheels x wheels */
    double *side;       /* wheels x wheels */
    int *on_tyre;       /* wheels: those with a tyre */
    double *shape;      /* corners: a motion */
    double *basis;      /* wheels x warps, orthonormal columns */
    double *warp;       /* warps x warps: eigenvectors within the basis, at the settled level */
    bool *open;         /* solenoids */
    rates_answer answer;
};

void rates_make_level(const rates *r, level_rates *out, arena *a) {
    const model *m = r->model;
    const size_t n = (size_t)m->vehicle.corners;
    *out = (level_rates){.stiffness = ARENA_ARRAY(a, double, n *n),
                         .spring_rate = ARENA_ARRAY(a, double, m->vehicle.springs),
                         .wheel_rate = ARENA_ARRAY(a, double, n),
                         .one_wheel_rate = ARENA_ARRAY(a, double, n),
                         .ride_rate = ARENA_ARRAY(a, double, n),
                         .ride_frequency = ARENA_ARRAY(a, double, n),
                         .warp_rate = ARENA_ARRAY(a, double, r->answer.warps),
                         .motion_rate = ARENA_ARRAY(a, double, m->motions),
                         .roll_share = ARENA_ARRAY(a, double, m->vehicle.axles)};
}

static void take_standing(state_standing *s, arena *a, const model *m) {
    const int corners = m->vehicle.corners;
    const int springs = m->vehicle.springs;
    const int nodes = m->network.nodes;
    s->load = ARENA_ARRAY(a, double, corners);
    s->height_shift = ARENA_ARRAY(a, double, corners);
    s->travel = ARENA_ARRAY(a, double, corners);
    s->spring_height = ARENA_ARRAY(a, double, springs);
    s->spring_load = ARENA_ARRAY(a, double, springs);
    s->node_pressure = ARENA_ARRAY(a, double, nodes);
    s->node_volume = ARENA_ARRAY(a, double, nodes);
    s->node_air = ARENA_ARRAY(a, double, nodes);
    s->group = ARENA_ARRAY(a, int, nodes);
}

/* The warps: an orthonormal basis of the wheel travels that no motion of a rigid body makes. They
   do not depend on where its centre of gravity is. */
static baronet_status find_warps(rates *r) {
    const vehicle *v = &r->model->vehicle;
    const body_freedom freedom = vehicle_freedom(v);
    r->answer.has[MOTION_HEAVE] = freedom.heave;
    r->answer.has[MOTION_ROLL] = freedom.roll;
    r->answer.has[MOTION_PITCH] = freedom.pitch;
    const int n = v->wheels;
    r->basis = ARENA_ARRAY(r->arena, double, (size_t)n *(size_t)n);
    double *rigid = ARENA_ARRAY(r->arena, double, (size_t)n *BODY_MOTIONS);
    if (r->basis == NULL || rigid == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    if (n == 0) {
        return BARONET_OK;
    }
    int count = 0;
    for (int c = 0; c < n; c++) {
        const double motions[BODY_MOTIONS] = {1.0, v->corner[c].y, v->corner[c].x};
        count = 0;
        for (int k = 0; k < BODY_MOTIONS; k++) {
            if (r->answer.has[k]) {
                rigid[c * freedom.count + count++] = motions[k];
            }
        }
    }
    int rank = 0;
    const baronet_status status = dense_complement(n, count, rigid, r->basis, &rank);
    r->answer.warps = status == BARONET_OK ? n - rank : 0;
    return status;
}

static bool take_arrays(rates *r) {
    const model *m = r->model;
    const size_t n = (size_t)m->vehicle.wheels;
    r->node_amount = ARENA_ARRAY(r->arena, double, m->network.nodes);
    r->amount = ARENA_ARRAY(r->arena, double, m->network.nodes);
    r->parked_amount = ARENA_ARRAY(r->arena, double, m->network.nodes);
    r->sprung = ARENA_ARRAY(r->arena, double, m->vehicle.corners);
    r->with_tyres = ARENA_ARRAY(r->arena, double, n *n);
    r->work = ARENA_ARRAY(r->arena, double, n *n);
    r->side = ARENA_ARRAY(r->arena, double, n *n);
    r->on_tyre = ARENA_ARRAY(r->arena, int, n);
    r->shape = ARENA_ARRAY(r->arena, double, m->vehicle.corners);
    r->warp = ARENA_ARRAY(r->arena, double, n *n);
    r->open = ARENA_ARRAY(r->arena, bool, m->network.solenoids);
    take_standing(&r->answer.settled, r->arena, m);
    take_standing(&r->answer.parked, r->arena, m);
    for (int k = LEVEL_INSTANT; k < LEVELS; k++) {
        rates_make_level(r, &r->answer.level[k], r->arena);
    }
    return arena_complete(r->arena);
}

/* The parked standing is another one where a bypass joins what the state keeps apart. */
static baronet_status set_parked(rates *r, const bool *open, const baronet_allocator *allocator) {
    bool any = false;
    for (int k = 0; k < r->model->network.solenoids; k++) {
        any =
            any || (!open[k] &&
                    r->model->network.edge[r->model->network.solenoid[k]].bypass.kind != LAW_NONE);
    }
    if (!any) {
        return BARONET_OK;
    }
    baronet_status status = balance_create(&r->parked, r->model, allocator);
    if (status != BARONET_OK) {
        return status;
    }
    status = balance_set_valves(r->parked, open, true, &r->answer.parked_problem);
    if (status == BARONET_TWO_SOURCES) {
        return BARONET_OK; /* kept as the parked problem */
    }
    if (status == BARONET_OK &&
        balance_groups(r->parked)->count == balance_groups(r->settled)->count) {
        balance_destroy(r->parked);
        r->parked = NULL;
    }
    return status;
}

static baronet_status set_up(rates *r, const bool *open, const baronet_allocator *allocator,
                             problem *why) {
    baronet_status status = find_warps(r);
    if (status == BARONET_OK && !take_arrays(r)) {
        status = BARONET_OUT_OF_MEMORY;
    }
    if (status == BARONET_OK) {
        memcpy(r->open, open, (size_t)r->model->network.solenoids * sizeof *open);
        status = levelling_make(&r->levelling, r->arena, r->charge);
    }
    if (status == BARONET_OK) {
        status = stiffness_make(&r->stiffness, r->arena, r->model);
    }
    if (status == BARONET_OK) {
        status = stiffness_make(&r->parked_stiffness, r->arena, r->model);
    }
    if (status == BARONET_OK) {
        status = balance_create(&r->settled, r->model, allocator);
    }
    if (status == BARONET_OK) {
        status = balance_set_valves(r->settled, open, false, why);
    }
    if (status == BARONET_OK) {
        status = set_parked(r, open, allocator);
    }
    if (status == BARONET_OK) {
        stiffness_set_groups(&r->stiffness, balance_groups(r->settled));
        if (r->parked != NULL) {
            stiffness_set_groups(&r->parked_stiffness, balance_groups(r->parked));
        }
    }
    return status;
}

baronet_status rates_create(rates **out, charge *c, const bool *open,
                            const baronet_allocator *allocator, problem *why) {
    *out = NULL;
    *why = (problem){.status = BARONET_OK, .item = -1};
    arena *a;
    rates *r = ARENA_OWNER(rates, allocator, &a);
    if (r == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    r->model = c->model;
    r->charge = c;
    r->arena = a;
    const baronet_status status = set_up(r, open, allocator, why);
    if (status != BARONET_OK) {
        rates_destroy(r);
        return status;
    }
    *out = r;
    return BARONET_OK;
}

void rates_destroy(rates *r) {
    if (r != NULL) {
        balance_destroy(r->settled);
        balance_destroy(r->parked);
        arena_destroy(r->arena);
    }
}

/* The standing in the answer's terms. */
static void describe(rates *r, balance *b, const balance_task *task, state_standing *out) {
    const model *m = r->model;
    const standing *now = balance_standing(b);
    const groups *g = balance_groups(b);
    out->given = true;
    out->groups = g->count;
    out->lean = now->body[MOTION_ROLL];
    out->rake = now->body[MOTION_PITCH];
    out->mass = task->mass;
    out->account = balance_report(b);
    for (int c = 0; c < m->vehicle.corners; c++) {
        out->travel[c] = now->travel[c];
        out->load[c] = now->force[c] + m->vehicle.corner[c].unsprung * STANDARD_GRAVITY;
        out->height_shift[c] = r->charge->travel[c] - now->travel[c];
    }
    for (int i = 0; i < m->vehicle.springs; i++) {
        out->spring_height[i] = now->height[i];
        out->spring_load[i] = now->load[i];
    }
    for (int i = 0; i < m->network.nodes; i++) {
        const node *n = &m->network.node[i];
        const int group = g->of_node[i];
        const double V = n->kind == NODE_SPRING ? now->point[n->item].volume : n->volume;
        const bool own = now->volume[group] > 0.0 || g->held[group] >= 0;
        out->group[i] = group;
        out->node_volume[i] = V;
        out->node_pressure[i] = own ? now->pressure[group] : r->charge->node_pressure[i];
        out->node_air[i] = out->node_pressure[i] * V / (GAS_CONSTANT * m->ambient.temperature);
    }
}

static double quadratic(const double *K, size_t stride, int n, const double *v) {
    double sum = 0.0;
    for (int a = 0; a < n; a++) {
        for (int b = 0; b < n; b++) {
            sum += v[a] * K[(size_t)a * stride + (size_t)b] * v[b];
        }
    }
    return sum;
}

/* K with each tyre in series, K - K_:T (K_TT + Kt)^-1 K_T:, over the wheels T that have one. */
static baronet_status put_tyres(rates *r, const double *K) {
    const vehicle *v = &r->model->vehicle;
    const int n = v->wheels;
    const size_t stride = (size_t)v->corners;
    int tyres = 0;
    for (int c = 0; c < n; c++) {
        if (v->corner[c].tyre > 0.0) {
            r->on_tyre[tyres++] = c;
        }
        for (int d = 0; d < n; d++) {
            r->with_tyres[c * n + d] = K[(size_t)c * stride + (size_t)d];
        }
    }
    if (tyres == 0) {
        return BARONET_OK;
    }
    for (int a = 0; a < tyres; a++) {
        const double *row = K + (size_t)r->on_tyre[a] * stride;
        for (int b = 0; b < tyres; b++) {
            r->work[a * tyres + b] = row[r->on_tyre[b]];
        }
        r->work[a * tyres + a] += v->corner[r->on_tyre[a]].tyre;
        for (int d = 0; d < n; d++) {
            r->side[a * n + d] = row[d];
        }
    }
    const baronet_status status = dense_solve(tyres, r->work, n, r->side);
    for (int c = 0; c < n && status == BARONET_OK; c++) {
        for (int a = 0; a < tyres; a++) {
            const double factor = K[(size_t)c * stride + (size_t)r->on_tyre[a]];
            for (int d = 0; d < n; d++) {
                r->with_tyres[c * n + d] -= factor * r->side[a * n + d];
            }
        }
    }
    return status;
}

static double frequency(double rate, double inertia) {
    return rate > 0.0 && inertia > 0.0 ? sqrt(rate / inertia) / TWO_PI : (double)NAN;
}

static void corner_rates(const rates *r, level_rates *l) {
    const vehicle *v = &r->model->vehicle;
    const size_t stride = (size_t)v->corners;
    for (int c = 0; c < v->corners; c++) {
        const double *row = l->stiffness + (size_t)c * stride;
        double sum = 0.0;
        for (int d = 0; d < v->wheels && c < v->wheels; d++) {
            sum += row[d];
        }
        const double tyre = v->corner[c].tyre;
        l->one_wheel_rate[c] = row[c];
        l->wheel_rate[c] = c < v->wheels ? sum : row[c];
        l->ride_rate[c] =
            tyre > 0.0 ? l->wheel_rate[c] * tyre / (l->wheel_rate[c] + tyre) : l->wheel_rate[c];
        l->ride_frequency[c] = frequency(l->ride_rate[c], r->sprung[c] / STANDARD_GRAVITY);
    }
}

/* Wheel travels of a body motion about the centre of gravity, per unit of it. */
static void body_shape(rates *r, const body_mass *mass, body_motion k) {
    for (int c = 0; c < r->model->vehicle.wheels; c++) {
        const corner *at = &r->model->vehicle.corner[c];
        const double shapes[BODY_MOTIONS] = {1.0, at->y - mass->y, at->x - mass->x};
        r->shape[c] = shapes[k];
    }
}

static void roll_shares(const rates *r, level_rates *l, double whole) {
    const vehicle *v = &r->model->vehicle;
    for (int k = 0; k < v->axles; k++) {
        l->roll_share[k] = whole > 0.0 ? 0.0 : (double)NAN;
    }
    for (int c = 0; c < v->wheels && whole > 0.0; c++) {
        double force = 0.0;
        for (int d = 0; d < v->wheels; d++) {
            force += r->with_tyres[c * v->wheels + d] * r->shape[d];
        }
        l->roll_share[v->corner[c].axle] += r->shape[c] * force / whole;
    }
}

/* Body rates about the centre of gravity. The body rolls about its roll axis, so roll's frequency
   has the inertia about that axis, and gravity on the arm above it takes from the stiffness; the
   gradient is m h/(K - m g h) (Gillespie, Fundamentals of Vehicle Dynamics, 1992, chapter 6). */
static void body_rates(rates *r, const body_mass *mass, level_rates *l) {
    const vehicle *v = &r->model->vehicle;
    const double tips = mass->mass * STANDARD_GRAVITY * mass->arm;
    const double inertia[BODY_MOTIONS] = {
        mass->mass, mass->roll_inertia + mass->mass * mass->arm * mass->arm, mass->pitch_inertia};
    l->roll_gradient = (double)NAN;
    for (int k = 0; k < v->axles; k++) {
        l->roll_share[k] = (double)NAN;
    }
    for (int k = 0; k < BODY_MOTIONS; k++) {
        l->body_rate[k] = l->body_rate_tyres[k] = l->body_frequency[k] = (double)NAN;
        if (!r->answer.has[k]) {
            continue;
        }
        body_shape(r, mass, (body_motion)k);
        l->body_rate[k] = quadratic(l->stiffness, (size_t)v->corners, v->wheels, r->shape);
        l->body_rate_tyres[k] = quadratic(r->with_tyres, (size_t)v->wheels, v->wheels, r->shape);
        const double left = l->body_rate_tyres[k] - (k == MOTION_ROLL ? tips : 0.0);
        l->body_frequency[k] = frequency(left, inertia[k]);
        if (k == MOTION_ROLL) {
            roll_shares(r, l, l->body_rate_tyres[k]);
            const bool known = v->body.cg_height_given && v->body.roll_axis_given;
            l->roll_gradient = known && left > 0.0 ? mass->mass * mass->arm / left : (double)NAN;
        }
    }
}

/* Rates of the warps, softest first: eigenvalues of K within their space. */
static baronet_status warp_rates(rates *r, level_rates *l) {
    const int n = r->model->vehicle.wheels;
    const size_t stride = (size_t)r->model->vehicle.corners;
    const int warps = r->answer.warps;
    for (int a = 0; a < warps; a++) {
        for (int b = 0; b < warps; b++) {
            double sum = 0.0;
            for (int c = 0; c < n; c++) {
                for (int d = 0; d < n; d++) {
                    sum += r->basis[c * warps + a] * l->stiffness[(size_t)c * stride + (size_t)d] *
                           r->basis[d * warps + b];
                }
            }
            r->work[a * warps + b] = sum;
        }
    }
    if (warps == 1) {
        l->warp_rate[0] = r->work[0];
    }
    return warps > 1 ? dense_symmetric_eigen(warps, r->work, l->warp_rate) : BARONET_OK;
}

static void motion_rates(const rates *r, level_rates *l) {
    const vehicle *v = &r->model->vehicle;
    for (int k = 0; k < r->model->motions; k++) {
        const double *travel = r->model->motion[k].travel;
        double square = 0.0;
        for (int c = 0; c < v->wheels; c++) {
            square += travel[c] * travel[c];
        }
        l->motion_rate[k] = quadratic(l->stiffness, (size_t)v->corners, v->wheels, travel) / square;
    }
}

baronet_status rates_derive(rates *r, level_rates *l) {
    corner_rates(r, l);
    motion_rates(r, l);
    baronet_status status = put_tyres(r, l->stiffness);
    if (status == BARONET_OK) {
        body_rates(r, &r->task.mass, l);
        status = warp_rates(r, l);
    }
    l->given = status == BARONET_OK;
    return status;
}

static baronet_status find_level(rates *r, level at, bool parked, stiffness_air air, double n) {
    level_rates *l = &r->answer.level[at];
    balance *b = parked ? r->parked : r->settled;
    stiffness_find(parked ? &r->parked_stiffness : &r->stiffness, balance_groups(b),
                   balance_standing(b), air, n, l->stiffness, l->spring_rate);
    const baronet_status status = rates_derive(r, l);
    if (at == LEVEL_SETTLED) {
        memcpy(r->warp, r->work, (size_t)(r->answer.warps * r->answer.warps) * sizeof *r->warp);
    }
    return status;
}

/* The parked standing starts where the settled one is; its air is what the nodes of the state hold.
   That there is none is not the state's own problem; want of memory is. */
static baronet_status solve_parked(rates *r) {
    problem *why = &r->answer.parked_problem;
    if (why->status == BARONET_TWO_SOURCES) {
        return BARONET_OK;
    }
    const state_standing *from = &r->answer.settled;
    for (int i = 0; i < r->model->network.nodes; i++) {
        r->node_amount[i] = from->node_pressure[i] * from->node_volume[i];
    }
    balance_gather(r->parked, r->node_amount, r->parked_amount);
    r->parked_task = (balance_task){&r->charge->fill, r->sprung, r->parked_amount, r->task.mass};
    if (!r->started) {
        balance_start(r->parked, &r->parked_task);
    }
    *why = (problem){.status = BARONET_OK, .item = -1};
    baronet_status status = balance_solve(r->parked, &r->parked_task, why);
    if (status == BARONET_OK) {
        describe(r, r->parked, &r->parked_task, &r->answer.parked);
        status = find_level(r, LEVEL_PARKED, true, AIR_GROUP, 1.0);
        why->status = status;
    }
    return status == BARONET_OUT_OF_MEMORY ? status : BARONET_OK;
}

static bool is_wanted(const rates *r, level at) {
    return (r->skipped & 1u << at) == 0;
}

/* The levels that do not need a standing of their own, then the parked one. */
static baronet_status find_levels(rates *r) {
    const double n = gas_exponent(r->model->gas);
    baronet_status status = BARONET_OK;
    if (is_wanted(r, LEVEL_INSTANT)) {
        status = find_level(r, LEVEL_INSTANT, false, AIR_ALONE, n);
    }
    if (status == BARONET_OK && is_wanted(r, LEVEL_SETTLED)) {
        status = find_level(r, LEVEL_SETTLED, false, AIR_GROUP, n);
    }
    if (status != BARONET_OK || !is_wanted(r, LEVEL_PARKED)) {
        return status;
    }
    if (r->parked == NULL) {
        return find_level(r, LEVEL_PARKED, false, AIR_GROUP, 1.0);
    }
    return solve_parked(r);
}

static baronet_status solve_settled(rates *r, const load_case *with) {
    const vehicle *v = &r->model->vehicle;
    r->answer.sprung_added = 0.0;
    for (int c = 0; c < v->corners; c++) {
        const double added = with != NULL ? with->mass[c] : 0.0;
        r->answer.sprung_added += added;
        r->sprung[c] = r->charge->fill.sprung[c] + added * STANDARD_GRAVITY;
    }
    balance_gather(r->settled, r->charge->node_amount, r->amount);
    r->task = (balance_task){&r->charge->fill, r->sprung, r->amount, vehicle_mass(v, r->sprung)};
    if (with != NULL && with->levelled) {
        const baronet_status status =
            levelling_solve(&r->levelling, r->settled, &r->task, r->amount, &r->answer.problem);
        r->answer.levelled = r->levelling.account;
        return status;
    }
    if (!r->started) {
        balance_start(r->settled, &r->task);
    }
    return balance_solve(r->settled, &r->task, &r->answer.problem);
}

void rates_limit(rates *r, unsigned levels) {
    r->skipped = ~levels;
}

void rates_be_afresh(rates *r) {
    r->afresh = true;
}

static baronet_status forget(rates *r) {
    r->started = false;
    const baronet_status status = balance_forget(r->settled);
    return status == BARONET_OK && r->parked != NULL ? balance_forget(r->parked) : status;
}

baronet_status rates_solve(rates *r, const load_case *with) {
    rates_answer *answer = &r->answer;
    answer->problem = (problem){.status = BARONET_OK, .item = -1};
    answer->settled.given = answer->parked.given = false;
    for (int k = 0; k < LEVELS; k++) {
        answer->level[k].given = false;
    }
    baronet_status status = r->afresh ? forget(r) : BARONET_OK;
    if (status == BARONET_OK) {
        status = solve_settled(r, with);
    }
    if (status == BARONET_OK) {
        describe(r, r->settled, &r->task, &answer->settled);
        status = find_levels(r);
    }
    r->started = status == BARONET_OK && answer->parked_problem.status == BARONET_OK;
    answer->problem.status = status;
    return status;
}

const rates_answer *rates_result(const rates *r) {
    return &r->answer;
}

const model *rates_model(const rates *r) {
    return r->model;
}

balance *rates_balance(rates *r, bool parked) {
    return parked && r->parked != NULL ? r->parked : r->settled;
}

double rates_residual(const rates *r) {
    const rates_answer *const a = &r->answer;
    return fmax(a->settled.given ? a->settled.account.residual : 0.0,
                a->parked.given ? a->parked.account.residual : 0.0);
}

baronet_status rates_join(balance_worst *all, rates *r, level at, const char *where) {
    const bool other = at == LEVEL_NONE || at == LEVEL_PARKED;
    baronet_status status = BARONET_OK;
    if (r->answer.settled.given && (at != LEVEL_PARKED || r->parked == NULL)) {
        status = balance_join(all, r->settled, where);
    }
    if (status == BARONET_OK && other && r->answer.parked.given) {
        status = balance_join(all, r->parked, where);
    }
    return status;
}

const balance_task *rates_task(const rates *r) {
    return &r->task;
}

stiffness *rates_stiffness(rates *r, bool parked) {
    return parked && r->parked != NULL ? &r->parked_stiffness : &r->stiffness;
}

const bool *rates_open(const rates *r) {
    return r->open;
}

level_rates *rates_ride_level(rates *r, felt_account **account) {
    *account = &r->answer.felt;
    return &r->answer.level[LEVEL_RIDE];
}

/* Scales a shape so that its largest travel is one. */
static void scale_shape(const rates *r, double *shape) {
    double most = 0.0;
    for (int c = 0; c < r->model->vehicle.corners; c++) {
        most = fmax(most, fabs(shape[c]));
    }
    for (int c = 0; c < r->model->vehicle.corners; c++) {
        shape[c] /= most;
    }
}

void rates_body_shape(rates *r, body_motion k, double *shape) {
    memset(shape, 0, (size_t)r->model->vehicle.corners * sizeof *shape);
    body_shape(r, &r->task.mass, k);
    memcpy(shape, r->shape, (size_t)r->model->vehicle.wheels * sizeof *shape);
    scale_shape(r, shape);
}

void rates_warp_shape(const rates *r, int warp, double *shape) {
    const int warps = r->answer.warps;
    memset(shape, 0, (size_t)r->model->vehicle.corners * sizeof *shape);
    for (int c = 0; c < r->model->vehicle.wheels; c++) {
        for (int k = 0; k < warps; k++) {
            const double part = warps == 1 ? 1.0 : r->warp[k * warps + warp];
            shape[c] += r->basis[c * warps + k] * part;
        }
    }
    scale_shape(r, shape);
}
