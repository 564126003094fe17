#include "studies/felt.h"

#include <math.h>
#include <string.h>

#include "base/numbers.h"
#include "studies/airnet.h"

/* A motion's frequency is its own when a round moves it by no more than this part. */
#define FELT_TOLERANCE 1e-6
/* Until a round misses by less, the conductances are worked out no better than this. */
#define FELT_NEAR    1e-2
#define FELT_ROUGHLY 1e-3
/* Few need more than six; halving alone would end in so many. */
enum { FELT_ROUNDS = 40 };
/* No secant leads further up than this, as a logarithm of frequencies. */
#define FELT_STRIDE 10.0
/* What would ride more slowly than this is not held. */
#define FELT_SLOWEST 1e-3 /* Hz */
/* Hoses are cut up for this frequency: wheel hop and all ride are below. */
#define FELT_HIGHEST 50.0 /* Hz */

typedef struct felt {
    rates *rates;
    const model *model;
    airnet *airnet;
    double amplitude;
    double *K;             /* complex pairs, corners x corners */
    double *shape;         /* corners */
    double *swung;         /* corners: the shape of the airnet's last swing */
    double storage;        /* N/m a wheel, of the last swing */
    level_rates *out, now; /* the answer, and the level of one motion */
    felt_account *account;
} felt;

/* All rates by the storage part of K at one frequency, with the conductances of a motion's swing,
   which the first of several swings of one shape works out from rest. */
static baronet_status level_at(felt *f, double frequency, double tolerance) {
    airnet_answer swing;
    const size_t size = (size_t)f->model->vehicle.corners * sizeof *f->shape;
    const airnet_drive with = {f->amplitude, frequency, memcmp(f->swung, f->shape, size) != 0};
    baronet_status status = airnet_swing_within(f->airnet, f->shape, with, tolerance, &swing);
    memcpy(f->swung, f->shape, size);
    if (status != BARONET_OK && status != BARONET_NOT_CONVERGED) {
        return status;
    }
    f->account->iterations += swing.account.iterations;
    if (tolerance <= AIRNET_TOLERANCE) {
        swing_join(&f->account->swing, &swing.account);
    }
    f->storage = swing.storage;
    status = airnet_matrix(f->airnet, frequency, f->K);
    const size_t entries = (size_t)f->model->vehicle.corners * (size_t)f->model->vehicle.corners;
    for (size_t i = 0; i < entries; i++) {
        f->now.stiffness[i] = f->K[2 * i];
    }
    return status == BARONET_OK ? rates_derive(f->rates, &f->now) : status;
}

/* A motion's frequency from a level, NAN where it has none. */
typedef double frequency_of(const felt *f, const level_rates *l, int item);

static double body_frequency(const felt *f, const level_rates *l, int item) {
    (void)f;
    return l->body_frequency[item];
}

static double corner_frequency(const felt *f, const level_rates *l, int item) {
    (void)f;
    return l->ride_frequency[item];
}

/* The corners' sprung masses moving by the present shape, each tyre in series with its wheel's
 * share. */
static double shape_frequency(const felt *f, const level_rates *l, int item) {
    (void)item;
    const vehicle *v = &f->model->vehicle;
    const double *load = rates_task(f->rates)->sprung;
    double stiff = 0.0, mass = 0.0;
    for (int c = 0; c < v->corners; c++) {
        double force = 0.0;
        for (int d = 0; d < v->corners; d++) {
            force += l->stiffness[c * v->corners + d] * f->shape[d];
        }
        const double own = f->shape[c] != 0.0 ? force / f->shape[c] : 0.0;
        const double tyre = v->corner[c].tyre;
        const double with = tyre > 0.0 && own > 0.0 ? own * tyre / (own + tyre) : own;
        stiff += with * f->shape[c] * f->shape[c];
        mass += load[c] / STANDARD_GRAVITY * f->shape[c] * f->shape[c];
    }
    return stiff > 0.0 && mass > 0.0 ? sqrt(stiff / mass) / TWO_PI : (double)NAN;
}

/* Looking for the frequency at which a motion's rate gives that same frequency. At lower ones the
   rate gives more than what is asked, at higher ones less, or nothing where the air in a hose
   swings against the motion. */
typedef struct search {
    double low, high; /* Hz: it lies between them */
    double frequency; /* Hz: asked last */
    double miss;      /* logarithm of what that gave over it, NAN for nothing */
} search;

/* Where to ask next: by the secant, or where that leads out of the bracket, by what was given. */
static double ask_next(search *s, double asked, double given) {
    const double miss = log(given / asked);
    const double slope = (miss - s->miss) / log(asked / s->frequency);
    const double aim = slope < 0.0 ? asked * exp(fmin(-miss / slope, FELT_STRIDE)) : given;
    s->frequency = asked;
    s->miss = miss;
    if (given > asked) {
        s->low = asked;
    } else {
        s->high = asked;
    }
    if (aim > s->low && aim < s->high) {
        return aim;
    }
    return s->low > 0.0 ? sqrt(s->low * s->high) : 0.5 * s->high;
}

/* Goes to the frequency that the present shape has; false where it has none. What settles to
   nothing that holds may still be held while its air has no time to move. */
static baronet_status find_own(felt *f, frequency_of *own, int item, bool *found) {
    const level_rates *at = rates_result(f->rates)->level;
    double frequency = own(f, &at[LEVEL_SETTLED], item);
    if (isnan(frequency)) {
        frequency = own(f, &at[LEVEL_INSTANT], item);
    }
    search s = {.low = 0.0, .high = HUGE_VAL, .frequency = frequency, .miss = (double)NAN};
    *found = false;
    for (int round = 0; round < FELT_ROUNDS && !*found && frequency > FELT_SLOWEST; round++) {
        const double tolerance = fabs(s.miss) < FELT_NEAR ? AIRNET_TOLERANCE : FELT_ROUGHLY;
        const baronet_status status = level_at(f, frequency, tolerance);
        if (status != BARONET_OK) {
            return status;
        }
        const double given = own(f, &f->now, item);
        *found = tolerance <= AIRNET_TOLERANCE && fabs(given / frequency - 1.0) < FELT_TOLERANCE;
        frequency = ask_next(&s, frequency, given);
    }
    f->account->swing.unsettled |= !*found && s.low != 0.0;
    return BARONET_OK;
}

static baronet_status feel_body(felt *f, body_motion k) {
    bool found = false;
    rates_body_shape(f->rates, k, f->shape);
    const baronet_status status = find_own(f, body_frequency, (int)k, &found);
    if (!found || status != BARONET_OK) {
        return status;
    }
    f->out->body_rate[k] = f->now.body_rate[k];
    f->out->body_rate_tyres[k] = f->now.body_rate_tyres[k];
    f->out->body_frequency[k] = f->now.body_frequency[k];
    const vehicle *v = &f->model->vehicle;
    if (k == MOTION_ROLL) {
        f->out->roll_gradient = f->now.roll_gradient;
        memcpy(f->out->roll_share, f->now.roll_share, (size_t)v->axles * sizeof(double));
    } else if (k == MOTION_HEAVE) {
        memcpy(f->out->stiffness, f->now.stiffness,
               (size_t)v->corners * (size_t)v->corners * sizeof(double));
    }
    return BARONET_OK;
}

/* A corner with all wheels moving together, or a bench mass by itself. */
static baronet_status feel_corner(felt *f, int c) {
    const vehicle *v = &f->model->vehicle;
    const bool bench = v->corner[c].bench;
    bool found = false;
    for (int d = 0; d < v->corners; d++) {
        f->shape[d] = bench ? (d == c ? 1.0 : 0.0) : (d < v->wheels ? 1.0 : 0.0);
    }
    const baronet_status status = find_own(f, corner_frequency, c, &found);
    if (!found || status != BARONET_OK) {
        return status;
    }
    f->out->wheel_rate[c] = f->now.wheel_rate[c];
    f->out->ride_rate[c] = f->now.ride_rate[c];
    f->out->ride_frequency[c] = f->now.ride_frequency[c];
    for (int d = 0; bench && d < v->corners; d++) {
        const size_t column = (size_t)d * (size_t)v->corners + (size_t)c;
        f->out->stiffness[column] = f->now.stiffness[column];
    }
    return BARONET_OK;
}

/* A corner alone at the same frequency, then its springs each alone. */
static baronet_status feel_alone(felt *f, int c) {
    const vehicle *v = &f->model->vehicle;
    const double frequency = f->out->ride_frequency[c];
    if (isnan(frequency)) {
        return BARONET_OK;
    }
    for (int d = 0; d < v->corners; d++) {
        f->shape[d] = d == c ? 1.0 : 0.0;
    }
    baronet_status status = level_at(f, frequency, AIRNET_TOLERANCE);
    f->out->one_wheel_rate[c] = f->now.one_wheel_rate[c];
    for (int i = 0; i < v->springs && status == BARONET_OK; i++) {
        if (v->spring[i].lever[0].corner == c) {
            status = airnet_spring_rate(f->airnet, i, frequency, &f->out->spring_rate[i]);
        }
    }
    return status;
}

static baronet_status feel_warps(felt *f) {
    bool found = false;
    baronet_status status = BARONET_OK;
    for (int k = 0; k < rates_result(f->rates)->warps && status == BARONET_OK; k++) {
        rates_warp_shape(f->rates, k, f->shape);
        status = find_own(f, shape_frequency, k, &found);
        if (found) {
            f->out->warp_rate[k] = f->storage;
        }
    }
    for (int k = 0; k < f->model->motions && status == BARONET_OK; k++) {
        memcpy(f->shape, f->model->motion[k].travel,
               (size_t)f->model->vehicle.corners * sizeof *f->shape);
        status = find_own(f, shape_frequency, k, &found);
        if (found) {
            f->out->motion_rate[k] = f->now.motion_rate[k];
        }
    }
    return status;
}

static void fill_nan(double *values, int count) {
    for (int i = 0; i < count; i++) {
        values[i] = (double)NAN;
    }
}

/* Nothing is known until it is found. */
static void clear(felt *f, double amplitude) {
    const vehicle *v = &f->model->vehicle;
    level_rates *l = f->out;
    *f->account = (felt_account){.amplitude = amplitude};
    fill_nan(l->stiffness, v->corners * v->corners);
    fill_nan(l->spring_rate, v->springs);
    fill_nan(l->wheel_rate, v->corners);
    fill_nan(l->one_wheel_rate, v->corners);
    fill_nan(l->ride_rate, v->corners);
    fill_nan(l->ride_frequency, v->corners);
    fill_nan(l->warp_rate, rates_result(f->rates)->warps);
    fill_nan(l->motion_rate, f->model->motions);
    fill_nan(l->roll_share, v->axles);
    fill_nan(l->body_rate, BODY_MOTIONS);
    fill_nan(l->body_rate_tyres, BODY_MOTIONS);
    fill_nan(l->body_frequency, BODY_MOTIONS);
    l->roll_gradient = (double)NAN;
}

/* What has one shape stands together: all corners, then heave, which is the first body motion. */
static baronet_status feel_all(felt *f) {
    const int corners = f->model->vehicle.corners;
    baronet_status status = BARONET_OK;
    for (int c = 0; c < corners && status == BARONET_OK; c++) {
        status = feel_corner(f, c);
    }
    for (int k = 0; k < BODY_MOTIONS && status == BARONET_OK; k++) {
        if (rates_result(f->rates)->has[k]) {
            status = feel_body(f, (body_motion)k);
        }
    }
    for (int c = 0; c < corners && status == BARONET_OK; c++) {
        status = feel_alone(f, c);
    }
    return status == BARONET_OK ? feel_warps(f) : status;
}

baronet_status felt_solve(rates *r, double amplitude, const baronet_allocator *allocator) {
    felt f = {.rates = r, .model = rates_model(r), .amplitude = amplitude};
    f.out = rates_ride_level(r, &f.account);
    clear(&f, amplitude);
    arena *a = arena_create(allocator);
    if (a == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    const size_t corners = (size_t)f.model->vehicle.corners;
    f.K = ARENA_ARRAY(a, double, 2 * corners * corners);
    f.shape = ARENA_ARRAY(a, double, corners);
    f.swung = ARENA_ARRAY(a, double, corners);
    baronet_status status = BARONET_OUT_OF_MEMORY;
    rates_make_level(r, &f.now, a);
    if (arena_complete(a)) {
        status = airnet_create(&f.airnet, r, rates_open(r), FELT_HIGHEST, allocator);
    }
    if (status == BARONET_OK) {
        status = feel_all(&f);
    }
    airnet_destroy(f.airnet);
    arena_destroy(a);
    f.out->given = status == BARONET_OK;
    return status;
}
