#include "studies/response.h"

#include <math.h>
#include <string.h>

#include "studies/road.h"

/* A storage part this far below settled is the air column swinging, not rounding. */
#define RESPONSE_SOFT 0.98

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
    c->iterations = swing.iterations > c->iterations ? swing.iterations : c->iterations;
    c->residual = fmax(c->residual, swing.residual);
    c->linear = fmax(c->linear, swing.linear);
    c->converged = c->converged && status == BARONET_OK;
    c->below_vacuum = c->below_vacuum || swing.below_vacuum;
    if (own == BODY_MOTIONS) {
        return BARONET_OK;
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

/* What stands out in a curve. */
static void find_marks(response_curve *c, int points) {
    const double half = 0.5 * (c->settled + c->instant);
    int loss = 0, soft = 0, most = 0;
    c->half_frequency = c->soft_frequency = c->road_frequency = (double)NAN;
    for (int k = 0; k < points; k++) {
        const response_row *row = &c->row[k];
        loss = row->loss > c->row[loss].loss ? k : loss;
        soft = row->storage < c->row[soft].storage && row->frequency > 1.0 ? k : soft;
        most = magnitude(row) > magnitude(&c->row[most]) ? k : most;
        if (k > 0 && isnan(c->half_frequency) && row->storage >= half &&
            c->row[k - 1].storage < half) {
            const response_row *before = row - 1;
            const double part = (half - before->storage) / (row->storage - before->storage);
            c->half_frequency = before->frequency * pow(row->frequency / before->frequency, part);
        }
    }
    c->loss_frequency = c->row[loss].frequency;
    if (c->row[soft].storage < RESPONSE_SOFT * c->settled && soft > 0 && soft + 1 < points) {
        c->soft_frequency = c->row[soft].frequency;
    }
    if (!isnan(magnitude(&c->row[most]))) {
        c->road_frequency = c->row[most].frequency;
    }
}

static baronet_status one_curve(response *s, arena *a, const course *course_of, response_curve *c) {
    *c = (response_curve){.course = course_of,
                          .row = ARENA_ARRAY(a, response_row, s->range.points),
                          .settled = level_rate(s, LEVEL_SETTLED, course_of->shape),
                          .instant = level_rate(s, LEVEL_INSTANT, course_of->shape),
                          .converged = true};
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
    airnet_destroy(s.airnet);
    road_destroy(s.road);
    return status;
}
