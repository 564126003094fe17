#include "studies/stroke.h"

#include <math.h>
#include <string.h>

/* What the travel starts from, and a standing of its own to move. */
typedef struct stroke {
    const model *model;
    const groups *groups;
    const standing *from;
    const balance_task *task;
    stiffness *stiffness;
    stiffness_air air;
    double exponent;
    const double *shape;
    standing now;
    double *K, *rate;
} stroke;

static bool take_arrays(stroke *s, arena *a) {
    const size_t corners = (size_t)s->model->vehicle.corners;
    standing_make(&s->now, a, s->model);
    s->K = ARENA_ARRAY(a, double, corners *corners);
    s->rate = ARENA_ARRAY(a, double, s->model->vehicle.springs);
    return arena_complete(a);
}

/* Volumes and pressures after the wheels have moved: p V^n constant. */
static void squeeze(stroke *s) {
    const vehicle *v = &s->model->vehicle;
    memcpy(s->now.volume, s->groups->fixed, (size_t)s->groups->count * sizeof *s->now.volume);
    for (int i = 0; i < v->springs; i++) {
        const int group = s->groups->of_node[v->spring[i].node];
        s->now.height[i] =
            s->task->design->height[i] - spring_compression(&v->spring[i], s->now.travel);
        /* The volume depends on height alone. */
        s->now.volume[group] +=
            profile_at(&v->profile[v->spring[i].profile], s->now.height[i], 0.0).volume;
    }
    for (int g = 0; g < s->groups->count; g++) {
        s->now.pressure[g] = s->from->pressure[g];
        if (s->groups->held[g] < 0 && s->from->volume[g] > 0.0) {
            s->now.pressure[g] *= pow(s->from->volume[g] / s->now.volume[g], s->exponent);
        }
    }
    for (int i = 0; i < v->springs; i++) {
        const int group = s->groups->of_node[v->spring[i].node];
        const profile *p = &v->profile[v->spring[i].profile];
        double pressure = s->now.pressure[group];
        if (s->air == AIR_ALONE) {
            pressure = s->from->pressure[group] *
                       pow(s->from->point[i].volume / profile_at(p, s->now.height[i], 0.0).volume,
                           s->exponent);
        }
        s->now.spring_pressure[i] = pressure;
        s->now.point[i] = profile_at(p, s->now.height[i], pressure - s->model->ambient.pressure);
        s->now.load[i] = s->now.point[i].load +
                         v->spring[i].rubber * spring_compression(&v->spring[i], s->now.travel);
    }
}

static void add_forces(stroke *s) {
    const vehicle *v = &s->model->vehicle;
    for (int c = 0; c < v->corners; c++) {
        s->now.force[c] =
            s->task->design->carries[c] + corner_steel_force(&v->corner[c], s->now.travel[c]);
    }
    vehicle_add_bars(v, s->now.travel, s->now.force);
    vehicle_add_springs(v, s->now.load, s->now.force);
}

static void move_to(stroke *s, double travel) {
    for (int c = 0; c < s->model->vehicle.corners; c++) {
        s->now.travel[c] = s->from->travel[c] + travel * s->shape[c];
    }
    squeeze(s);
    add_forces(s);
}

/* Whether the parts allow where the wheels are now; names what does not. */
static bool allowed(const stroke *s, stroke_end *end, int *item) {
    const vehicle *v = &s->model->vehicle;
    for (int i = 0; i < v->springs; i++) {
        const bool still = s->groups->held[s->groups->of_node[v->spring[i].node]] == 0;
        /* One that is open to the atmosphere may lie below its table, but not without room. */
        const double least = PROFILE_DEAD_VOLUME * s->from->point[i].volume;
        const bool flat = !(s->now.point[i].volume > least);
        if (flat || (!still &&
                     profile_overrun(&v->profile[v->spring[i].profile], s->now.height[i]) != 0.0)) {
            *end = STROKE_PROFILE;
            *item = i;
            return false;
        }
        if (!still && s->now.spring_pressure[i] < s->model->ambient.pressure) {
            *end = STROKE_SLACK;
            *item = i;
            return false;
        }
    }
    for (int c = 0; c < v->wheels; c++) {
        if (s->now.force[c] + v->corner[c].unsprung * STANDARD_GRAVITY < 0.0) {
            *end = STROKE_LIFT;
            *item = c;
            return false;
        }
    }
    return true;
}

/* The farthest travel allowed in one direction, by bisection. */
static double find_end(stroke *s, double sign, stroke_end *end, int *item) {
    *end = STROKE_LIMIT;
    *item = -1;
    double good = 0.0;
    double bad = sign * STROKE_LONGEST;
    move_to(s, bad);
    if (allowed(s, end, item)) {
        return bad;
    }
    for (int step = 0; step < 50; step++) {
        const double middle = 0.5 * (good + bad);
        move_to(s, middle);
        if (allowed(s, end, item)) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    return good;
}

/* A step of 1, 2 or 5 times a power of ten that gives at most `points` rows between the ends. */
static double round_step(double span, int points) {
    const double least = span / (points > 3 ? points - 2 : 1);
    const double decade = pow(10.0, floor(log10(least)));
    static const double round[] = {1.0, 2.0, 5.0, 10.0};
    for (size_t i = 0; i + 1 < sizeof round / sizeof round[0]; i++) {
        if (round[i] * decade >= least * (1.0 - 1e-9)) {
            return round[i] * decade;
        }
    }
    return 10.0 * decade;
}

static bool keep_row(stroke *s, arena *a, stroke_row *row, double travel) {
    const vehicle *v = &s->model->vehicle;
    const size_t corners = (size_t)v->corners;
    *row = (stroke_row){.travel = travel,
                        .load = ARENA_ARRAY(a, double, corners),
                        .rate = ARENA_ARRAY(a, double, corners),
                        .pressure = ARENA_ARRAY(a, double, v->springs),
                        .height = ARENA_ARRAY(a, double, v->springs)};
    if (!arena_complete(a)) {
        return false;
    }
    move_to(s, travel);
    stiffness_find(s->stiffness, s->groups, &s->now, s->air, s->exponent, s->K, s->rate);
    for (size_t c = 0; c < corners; c++) {
        double force = 0.0;
        for (size_t d = 0; d < corners; d++) {
            force += s->K[c * corners + d] * s->shape[d];
        }
        row->load[c] = s->now.force[c] + v->corner[c].unsprung * STANDARD_GRAVITY;
        row->rate[c] = s->shape[c] != 0.0 ? force / s->shape[c] : (double)NAN;
    }
    memcpy(row->pressure, s->now.spring_pressure, (size_t)v->springs * sizeof *row->pressure);
    memcpy(row->height, s->now.height, (size_t)v->springs * sizeof *row->height);
    return true;
}

static baronet_status keep_rows(stroke *s, stroke_answer *out, arena *a, double low, double high,
                                int points) {
    const double step = round_step(fmax(high - low, 1e-6), points);
    const int first = (int)ceil(low / step - 1e-6);
    const int last = (int)floor(high / step + 1e-6);
    out->row = ARENA_ARRAY(a, stroke_row, last - first + 3);
    if (out->row == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    /* Ends that are no round travel are rows too, unless they fall on one. */
    const double near_end = 1e-3 * step;
    bool kept = first * step - low < near_end || keep_row(s, a, &out->row[out->rows++], low);
    for (int k = first; k <= last && kept; k++) {
        /* A round travel that falls on an end is not to lie beyond it by rounding. */
        kept = keep_row(s, a, &out->row[out->rows++], fmax(low, fmin(high, k * step)));
    }
    kept = kept && (high - last * step < near_end || keep_row(s, a, &out->row[out->rows++], high));
    return kept ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

baronet_status stroke_solve(stroke_answer *out, arena *a, rates *r, const double *shape, level at,
                            int points) {
    *out = (stroke_answer){0};
    const bool parked = at == LEVEL_PARKED && rates_result(r)->parked.given;
    balance *b = rates_balance(r, parked);
    stroke s = {.model = rates_model(r),
                .groups = balance_groups(b),
                .from = balance_standing(b),
                .task = rates_task(r),
                .stiffness = rates_stiffness(r, parked),
                .air = at == LEVEL_INSTANT ? AIR_ALONE : AIR_GROUP,
                .exponent = at == LEVEL_PARKED ? 1.0 : gas_exponent(rates_model(r)->gas),
                .shape = shape};
    if (!take_arrays(&s, a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    const double low = find_end(&s, -1.0, &out->low_end, &out->low_spring);
    const double high = find_end(&s, 1.0, &out->high_end, &out->high_spring);
    return keep_rows(&s, out, a, low, high, points);
}
