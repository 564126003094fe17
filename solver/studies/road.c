#include "studies/road.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"
#include "numeric/dense.h"

/* Unknowns: the body's motions, then the rise of each wheel on a tyre. The travel of a corner is
   its wheel's rise (or the road's) less the body's rise over it. */
struct road {
    const model *model;
    rates *rates;
    arena *arena;
    int motions; /* of the body */
    int motion_unknown[BODY_MOTIONS];
    int unknowns;
    int *wheel_unknown;    /* wheels: -1 where it follows the road */
    double *rise;          /* wheels x BODY_MOTIONS: body's rise over each per unit of a motion */
    double complex *lead;  /* wheels x unknowns: travel of each corner per unknown */
    double complex *input; /* wheels: travel that the road itself makes */
    double complex *A;     /* unknowns x unknowns */
    double complex *b;     /* unknowns */
    double *real, *side;   /* 2 unknowns squared, 2 unknowns: the same in real numbers */
};

static bool take_arrays(road *w) {
    const size_t wheels = (size_t)w->model->vehicle.wheels;
    const size_t n = wheels + BODY_MOTIONS;
    w->wheel_unknown = ARENA_ARRAY(w->arena, int, wheels);
    w->rise = ARENA_ARRAY(w->arena, double, wheels *BODY_MOTIONS);
    w->lead = ARENA_ARRAY(w->arena, double complex, wheels *n);
    w->input = ARENA_ARRAY(w->arena, double complex, wheels);
    w->A = ARENA_ARRAY(w->arena, double complex, n *n);
    w->b = ARENA_ARRAY(w->arena, double complex, n);
    w->real = ARENA_ARRAY(w->arena, double, 4 * n * n);
    w->side = ARENA_ARRAY(w->arena, double, 2 * n);
    return arena_complete(w->arena);
}

static void number_unknowns(road *w) {
    const vehicle *v = &w->model->vehicle;
    const body_mass *mass = &rates_task(w->rates)->mass;
    for (int k = 0; k < BODY_MOTIONS; k++) {
        w->motion_unknown[k] = rates_result(w->rates)->has[k] ? w->unknowns++ : -1;
    }
    for (int c = 0; c < v->wheels; c++) {
        const bool own = v->corner[c].tyre > 0.0;
        w->wheel_unknown[c] = own ? w->unknowns++ : -1;
        w->rise[c * BODY_MOTIONS + MOTION_HEAVE] = 1.0;
        w->rise[c * BODY_MOTIONS + MOTION_ROLL] = v->corner[c].y - mass->y;
        w->rise[c * BODY_MOTIONS + MOTION_PITCH] = -(v->corner[c].x - mass->x);
    }
}

baronet_status road_create(road **out, rates *r, const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    road *w = ARENA_OWNER(road, allocator, &a);
    if (w == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    w->model = rates_model(r);
    w->rates = r;
    w->arena = a;
    if (!take_arrays(w)) {
        road_destroy(w);
        return BARONET_OUT_OF_MEMORY;
    }
    number_unknowns(w);
    *out = w;
    return BARONET_OK;
}

void road_destroy(road *w) {
    if (w != NULL) {
        arena_destroy(w->arena);
    }
}

/* Travels per unknown, and those that a road moving by the motion makes by itself. */
static void travels(road *w, body_motion k) {
    const vehicle *v = &w->model->vehicle;
    const int n = w->unknowns;
    memset(w->lead, 0, (size_t)(v->wheels * n) * sizeof *w->lead);
    for (int c = 0; c < v->wheels; c++) {
        for (int j = 0; j < BODY_MOTIONS; j++) {
            if (w->motion_unknown[j] >= 0) {
                w->lead[c * n + w->motion_unknown[j]] = -w->rise[c * BODY_MOTIONS + j];
            }
        }
        const bool own = w->wheel_unknown[c] >= 0;
        if (own) {
            w->lead[c * n + w->wheel_unknown[c]] = 1.0;
        }
        w->input[c] = own ? 0.0 : w->rise[c * BODY_MOTIONS + (int)k];
    }
}

/* Force at corner c per unit travel of corner d: air and steel, and the damper. */
static double complex joint(const road *w, const double *K, int c, int d, double complex s) {
    const size_t at = 2 * ((size_t)c * (size_t)w->model->vehicle.corners + (size_t)d);
    return K[at] + J * K[at + 1] + (c == d ? s * w->model->vehicle.corner[c].damper : 0.0);
}

/* A x = b:  lead' (K + s D) (lead x + input) + inertia and tyres = road's push on the tyres. */
static void assemble(road *w, body_motion k, const double *K, double frequency) {
    const vehicle *v = &w->model->vehicle;
    const body_mass *mass = &rates_task(w->rates)->mass;
    const double complex s = J * (TWO_PI * frequency);
    const int n = w->unknowns;
    memset(w->A, 0, (size_t)(n * n) * sizeof *w->A);
    memset(w->b, 0, (size_t)n * sizeof *w->b);
    for (int c = 0; c < v->wheels; c++) {
        for (int d = 0; d < v->wheels; d++) {
            const double complex force = joint(w, K, c, d, s);
            for (int i = 0; i < n; i++) {
                const double complex weighed = w->lead[c * n + i] * force;
                w->b[i] -= weighed * w->input[d];
                for (int j = 0; j < n; j++) {
                    w->A[i * n + j] += weighed * w->lead[d * n + j];
                }
            }
        }
        const int own = w->wheel_unknown[c];
        if (own >= 0) {
            w->A[own * n + own] += s * s * v->corner[c].unsprung + v->corner[c].tyre;
            w->b[own] += v->corner[c].tyre * w->rise[c * BODY_MOTIONS + (int)k];
        }
    }
    const double inertia[BODY_MOTIONS] = {
        mass->mass, mass->roll_inertia + mass->mass * mass->arm * mass->arm, mass->pitch_inertia};
    for (int j = 0; j < BODY_MOTIONS; j++) {
        const int own = w->motion_unknown[j];
        if (own >= 0) {
            w->A[own * n + own] += s * s * inertia[j];
            w->A[own * n + own] -=
                j == MOTION_ROLL ? mass->mass * STANDARD_GRAVITY * mass->arm : 0.0;
        }
    }
}

/* The complex system as a real one of twice the size. */
static baronet_status solve(road *w) {
    const int n = w->unknowns;
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            const double re = creal(w->A[i * n + j]);
            const double im = cimag(w->A[i * n + j]);
            w->real[(2 * i) * 2 * n + 2 * j] = re;
            w->real[(2 * i) * 2 * n + 2 * j + 1] = -im;
            w->real[(2 * i + 1) * 2 * n + 2 * j] = im;
            w->real[(2 * i + 1) * 2 * n + 2 * j + 1] = re;
        }
        w->side[2 * i] = creal(w->b[i]);
        w->side[2 * i + 1] = cimag(w->b[i]);
    }
    return dense_solve(2 * n, w->real, 1, w->side);
}

baronet_status road_answer(road *w, body_motion k, const double *K, double frequency,
                           double answer[2]) {
    travels(w, k);
    assemble(w, k, K, frequency);
    const baronet_status status = solve(w);
    answer[0] = w->side[2 * w->motion_unknown[k]];
    answer[1] = w->side[2 * w->motion_unknown[k] + 1];
    return status;
}
