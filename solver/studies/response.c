#include "studies/response.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "studies/road.h"

/* A storage part that falls by this part of settled is the air column swinging, not rounding. */
#define RESPONSE_SOFT 0.02
/* Levels and losses within this part of the instant rate are the same or none: a mark would be of
   rounding. */
#define RESPONSE_STILL 1e-6

typedef struct response {
    const model *model;
    rates *rates;
    airnet *airnet;
    road *road;
    double *K; /* complex pairs, corners x corners */
    response_range range;
} response;

static double frequency_at(const response_range *r, int k) {
    return k == 0
               ? r->from
               : (k + 1 == r->points ? r->to
                                     : r->from * pow(r->to / r->from, (double)k / (r->points - 1)));
}

static double level_rate(const response *s, level at, const double *shape) {
    const double *K = rates_result(s->rates)->level[at].stiffness;
    const int n = s->model->vehicle.corners;
    double sum = 0.0, square = 0.0;
    for (int a = 0; a < n; a++) {
        square += shape[a] * shape[a];
        for (int b = 0; b < n; b++) {
            sum += shape[a] * K[a * n + b] * shape[b];
        }
    }
    return sum / square;
}

/* The body motion of a course, or BODY_MOTIONS. */
static body_motion body_motion_of(const char *name) {
    static const char *const names[BODY_MOTIONS] = {"heave", "roll", "pitch"};
    int k = 0;
    while (k < BODY_MOTIONS && strcmp(names[k], name) != 0) {
        k++;
    }
    return (body_motion)k;
}

static baronet_status one_row(response *s, response_curve *c, body_motion own, response_row *row) {
    airnet_answer swing;
    baronet_status status =
        airnet_swing(s->airnet, c->course->shape, s->range.amplitude, row->frequency, &swing);
    if (status != BARONET_OK && status != BARONET_NOT_CONVERGED) {
        return status;
    }
    row->storage = swing.storage;
    row->loss = swing.loss;
    row->road[0] = row->road[1] = (double)NAN;
    swing_join(&c->account, &swing.account);
    status = airnet_condition(s->airnet, row->frequency, &c->account.condition);
    if (own == BODY_MOTIONS || status != BARONET_OK) {
        return status;
    }
    status = airnet_matrix(s->airnet, row->frequency, s->K);
    if (status == BARONET_OK &&
        road_answer(s->road, own, s->K, row->frequency, row->road) == BARONET_SINGULAR) {
        row->road[0] = row->road[1] = (double)NAN; /* an undamped resonance has no figure */
    }
    return status;
}

static double magnitude(const response_row *row) {
    return hypot(row->road[0], row->road[1]);
}

/* Where the storage first rises through half-way, straight in the logarithm between rows. */
static double half_frequency(const response_curve *c, int points) {
    const double half = 0.5 * (c->settled + c->instant);
    if (c->instant - c->settled <= RESPONSE_STILL * fabs(c->instant)) {
        return (double)NAN;
    }
    for (int k = 1; k < points; k++) {
        const response_row *before = &c->row[k - 1], *after = &c->row[k];
        if (before->storage < half && after->storage >= half) {
            const double part = (half - before->storage) / (after->storage - before->storage);
            return before->frequency * pow(after->frequency / before->frequency, part);
        }
    }
    return (double)NAN;
}

/* Where the storage is least of all that has fallen on its way up the range, and is below settled.
   Paths that only resist make it rise throughout, from below settled too where air warms or valves
   leak; an end of the range is no trough. */
static double soft_frequency(const response_curve *c, int points) {
    const double clear = RESPONSE_SOFT * fabs(c->settled);
    double highest = c->row[0].storage;
    int soft = 0;
    for (int k = 1; k + 1 < points; k++) {
        const double storage = c->row[k].storage;
        const bool fallen = storage < highest - clear && storage < c->settled - clear;
        if (fallen && (soft == 0 || storage < c->row[soft].storage)) {
            soft = k;
        }
        highest = fmax(highest, storage);
    }
    const bool trough = soft > 0 && c->row[soft + 1].storage > c->row[soft].storage;
    return trough ? c->row[soft].frequency : (double)NAN;
}

/* What stands out in a curve. */
static void find_marks(response_curve *c, int points) {
    int loss = 0, most = 0;
    for (int k = 1; k < points; k++) {
        loss = c->row[k].loss > c->row[loss].loss ? k : loss;
        const double largest = magnitude(&c->row[most]); /* NAN at an undamped resonance */
        most = isnan(largest) || magnitude(&c->row[k]) > largest ? k : most;
    }
    const bool lossy = c->row[loss].loss > RESPONSE_STILL * fabs(c->instant);
    c->loss_frequency = lossy ? c->row[loss].frequency : (double)NAN;
    c->half_frequency = half_frequency(c, points);
    c->soft_frequency = soft_frequency(c, points);
    c->road_frequency = isnan(magnitude(&c->row[most])) ? (double)NAN : c->row[most].frequency;
}

static baronet_status one_curve(response *s, arena *a, const course *course_of, response_curve *c) {
    *c = (response_curve){.course = course_of,
                          .row = ARENA_ARRAY(a, response_row, s->range.points),
                          .settled = level_rate(s, LEVEL_SETTLED, course_of->shape),
                          .instant = level_rate(s, LEVEL_INSTANT, course_of->shape)};
    if (c->row == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    const body_motion own = body_motion_of(course_of->name);
    baronet_status status = BARONET_OK;
    for (int k = 0; k < s->range.points && status == BARONET_OK; k++) {
        c->row[k].frequency = frequency_at(&s->range, k);
        status = one_row(s, c, own, &c->row[k]);
    }
    if (status == BARONET_OK) {
        find_marks(c, s->range.points);
    }
    return status;
}

static baronet_status curves(response *s, response_answer *out, arena *a, const char *name) {
    const course *one = name != NULL ? course_find(&out->courses, name) : NULL;
    if (name != NULL && one == NULL) {
        return BARONET_NO_SUCH_NAME;
    }
    out->curve = ARENA_ARRAY(a, response_curve, out->courses.count);
    baronet_status status = out->curve != NULL ? BARONET_OK : BARONET_OUT_OF_MEMORY;
    for (int k = 0; k < out->courses.count && status == BARONET_OK; k++) {
        if (one == NULL || one == &out->courses.course[k]) {
            status = one_curve(s, a, &out->courses.course[k], &out->curve[out->curves++]);
        }
    }
    return status;
}

baronet_status response_solve(response_answer *out, arena *a, rates *r, const char *motion_name,
                              response_range range, const baronet_allocator *allocator) {
    *out = (response_answer){0};
    assert(range.points > 0 && range.from > 0.0 && range.to > 0.0);
    if (range.points > RESPONSE_POINTS_MOST) {
        return BARONET_TOO_MANY;
    }
    response s = {.model = rates_model(r), .rates = r, .range = range};
    const size_t corners = (size_t)s.model->vehicle.corners;
    s.K = ARENA_ARRAY(a, double, 2 * corners * corners);
    baronet_status status = s.K != NULL ? BARONET_OK : BARONET_OUT_OF_MEMORY;
    if (status == BARONET_OK) {
        status = course_all(&out->courses, a, r);
    }
    if (status == BARONET_OK) {
        status = airnet_create(&s.airnet, r, rates_open(r), range.to, allocator);
    }
    if (status == BARONET_OK) {
        status = road_create(&s.road, r, allocator);
    }
    if (status == BARONET_OK) {
        status = curves(&s, out, a, motion_name);
    }
    if (status == BARONET_OK) {
        status = resonance_solve(&out->resonances, a, s.airnet, s.model, range.to, allocator);
    }
    airnet_destroy(s.airnet);
    road_destroy(s.road);
    return status;
}
