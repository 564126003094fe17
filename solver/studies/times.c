/* SPDX-License-Identifier: MIT */
#include "studies/times.h"

#include <math.h>
#include <string.h>

static const double sweep_amplitudes[TIMES_SWEEP] = {0.002, 0.005, 0.01, 0.02, 0.04}; /* m */

/* Settling times of the swing table are shown with three digits only. */
#define TIMES_ROUGH 1e-6

/* All courses of a state by kind: body motions, warps, one wheel each, the netlist's. */
static void list_motions(times_answer *out, const rates *r, bool all) {
    static const int body_items[BODY_MOTIONS] = {SCRIPT_HEAVE, SCRIPT_ROLL, SCRIPT_PITCH};
    const rates_answer *answer = rates_result(r);
    const model *m = rates_model(r);
    int at = 0;
    for (int k = 0; k < BODY_MOTIONS; k++) {
        if (answer->has[k]) {
            out->motion[out->motions++] =
                (times_motion){.course = &out->courses.course[at++], .item = body_items[k]};
        }
    }
    for (int k = 0; k < answer->warps; k++, at++) {
        if (k == 0) {
            out->motion[out->motions++] =
                (times_motion){.course = &out->courses.course[at], .item = SCRIPT_WARP};
        }
    }
    out->left_out = answer->warps > 1 ? answer->warps - 1 : 0;
    const int wheels = all || m->network.nodes <= TIMES_LARGE ? TIMES_WHEELS : 0;
    for (int c = 0; c < m->vehicle.corners; c++, at++) {
        if (c < wheels || c >= m->vehicle.wheels) {
            out->motion[out->motions++] =
                (times_motion){.course = &out->courses.course[at], .item = FIGURE_ONE_WHEEL - c};
        } else {
            out->left_out++;
        }
    }
    for (int k = 0; k < m->motions; k++) {
        out->motion[out->motions++] =
            (times_motion){.course = &out->courses.course[at++], .item = k};
    }
}

/* Keeps one motion only, by its name as a subject. */
static baronet_status keep_only(times_answer *out, const model *m, const char *only) {
    int kept = 0;
    bool failed = false;
    for (int k = 0; k < out->motions; k++) {
        text_buffer name = {0};
        const figure f = {.kind = SUBJECT_MOTION, .item = out->motion[k].item};
        figure_subject_text(m, &f, &name);
        if (!name.failed && name.length > 0 && strcmp(name.bytes, only) == 0) {
            out->motion[kept++] = out->motion[k];
        }
        failed = failed || name.failed;
        text_buffer_free(&name);
    }
    out->motions = kept;
    return failed ? BARONET_OUT_OF_MEMORY : BARONET_OK;
}

/* v'Kv/v'v at a level, NAN where the level is not given. */
static double rate_of(const level_rates *l, const double *shape, int corners) {
    double sum = 0.0, square = 0.0;
    for (int a = 0; a < corners && l->given; a++) {
        square += shape[a] * shape[a];
        for (int b = 0; b < corners; b++) {
            sum += shape[a] * l->stiffness[(size_t)a * (size_t)corners + (size_t)b] * shape[b];
        }
    }
    return square > 0.0 ? sum / square : (double)NAN;
}

static void fill_rates(times_answer *out, const rates *r) {
    const rates_answer *answer = rates_result(r);
    const int corners = rates_model(r)->vehicle.corners;
    for (int k = 0; k < out->motions; k++) {
        times_motion *one = &out->motion[k];
        const double *shape = one->course->shape;
        one->instant_rate = rate_of(&answer->level[LEVEL_INSTANT], shape, corners);
        one->settled_rate = rate_of(&answer->level[LEVEL_SETTLED], shape, corners);
        one->parked_rate = rate_of(&answer->level[LEVEL_PARKED], shape, corners);
    }
}

/* Whether any shut valve passes a little. */
static bool bypass_flows(const rates *r) {
    const network *net = &rates_model(r)->network;
    const bool *open = rates_open(r);
    for (int k = 0; k < net->solenoids; k++) {
        if (!open[k] && net->edge[net->solenoid[k]].bypass.kind != LAW_NONE) {
            return true;
        }
    }
    return false;
}

static baronet_status step(times_answer *out, rates *r, const relaxation_question *q,
                           relaxation_answer *answer, const baronet_allocator *allocator) {
    const baronet_status status = relaxation_solve(r, q, answer, allocator);
    out->mass_error = fmax(out->mass_error, answer->mass_error);
    out->steps += answer->account.steps;
    out->unfinished += answer->problem.status == BARONET_OVER_BUDGET;
    return status;
}

static const relaxation_answer no_step = {
    .problem = {.status = BARONET_OK, .item = -1}, .time_63 = (double)NAN, .time_95 = (double)NAN};

static baronet_status solve_steps(times_answer *out, rates *r, unsigned parts,
                                  const baronet_allocator *allocator) {
    const bool flows = bypass_flows(r);
    const bool settled = (parts & TIMES_SETTLED) != 0 || ((parts & TIMES_PARKED) != 0 && !flows);
    baronet_status status = BARONET_OK;
    for (int k = 0; k < out->motions && status == BARONET_OK; k++) {
        times_motion *one = &out->motion[k];
        relaxation_question q = {
            .shape = one->course->shape, .amplitude = out->amplitude, .without = -1};
        one->parked_differs = flows;
        one->settled = one->parked = no_step;
        if (settled) {
            status = step(out, r, &q, &one->settled, allocator);
        }
        if (!flows) {
            one->parked = one->settled;
        } else if (status == BARONET_OK && (parts & TIMES_PARKED) != 0) {
            q.parked = true;
            status = step(out, r, &q, &one->parked, allocator);
        }
    }
    return status;
}

static baronet_status sweep_one(times_answer *out, rates *r, const char *name, double amplitude,
                                double *time, const baronet_allocator *allocator) {
    const course *c = course_find(&out->courses, name);
    *time = (double)NAN;
    if (c == NULL) {
        return BARONET_OK;
    }
    for (int k = 0; k < out->motions && amplitude == out->amplitude; k++) {
        if (out->motion[k].course == c && !isnan(out->motion[k].settled.time_63)) {
            *time = out->motion[k].settled.time_63; /* that step has been run */
            return BARONET_OK;
        }
    }
    const relaxation_question q = {
        .shape = c->shape, .amplitude = amplitude, .without = -1, .tolerance = TIMES_ROUGH};
    relaxation_answer answer;
    const baronet_status status = step(out, r, &q, &answer, allocator);
    *time = answer.time_63;
    return status;
}

static baronet_status solve_sweep(times_answer *out, rates *r, const baronet_allocator *allocator) {
    baronet_status status = BARONET_OK;
    for (int k = 0; k < TIMES_SWEEP && status == BARONET_OK; k++) {
        times_sweep *s = &out->sweep[k];
        s->amplitude = sweep_amplitudes[k];
        status = sweep_one(out, r, "heave", s->amplitude, &s->heave_63, allocator);
        if (status == BARONET_OK) {
            status = sweep_one(out, r, "roll", s->amplitude, &s->roll_63, allocator);
        }
        out->sweeps++;
    }
    return status;
}

/* What needs the paths' conductances. */
static baronet_status solve_paths(times_answer *out, arena *a, rates *r, unsigned parts,
                                  const baronet_allocator *allocator) {
    out->swing = ARENA_ARRAY(a, path_swing, rates_model(r)->network.edges);
    if (out->swing == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    baronet_status status = paths_swing(out->swing, &out->account, r, &out->courses, out->amplitude,
                                        out->frequency, allocator);
    if (status == BARONET_OK) {
        status = paths_solve(&out->paths, a, r, out->swing);
    }
    if (status == BARONET_OK && (parts & TIMES_CONSTANTS) != 0) {
        status = constants_solve(&out->constants, a, r, out->swing, allocator);
    }
    if (status == BARONET_OK && (parts & TIMES_LINKS) != 0) {
        status = links_solve(&out->links, a, r, &out->courses, &out->paths, out->swing,
                             out->amplitude, out->bend, allocator);
    }
    return status;
}

static double given_or(double value, double usual) {
    return value > 0.0 ? value : usual;
}

baronet_status times_solve(times_answer *out, arena *a, rates *r, const times_question *question,
                           const baronet_allocator *allocator) {
    const unsigned parts = question->parts;
    *out = (times_answer){.amplitude = given_or(question->amplitude, TIMES_AMPLITUDE),
                          .frequency = given_or(question->frequency, TIMES_FREQUENCY),
                          .bend = given_or(question->bend, TIMES_BEND)};
    baronet_status status = course_all(&out->courses, a, r);
    if (status != BARONET_OK) {
        return status;
    }
    out->motion = ARENA_ARRAY(a, times_motion, out->courses.count);
    if (out->motion == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    list_motions(out, r, question->only != NULL);
    if (question->only != NULL) {
        status = keep_only(out, rates_model(r), question->only);
    }
    fill_rates(out, r);
    if (status == BARONET_OK && (parts & (TIMES_PATHS | TIMES_CONSTANTS | TIMES_LINKS)) != 0) {
        status = solve_paths(out, a, r, parts, allocator);
    }
    if (status == BARONET_OK) {
        status = solve_steps(out, r, parts, allocator);
    }
    const bool large = rates_model(r)->network.nodes > TIMES_LARGE;
    if (status == BARONET_OK && (parts & TIMES_SWINGS) != 0 && !large) {
        status = solve_sweep(out, r, allocator);
    }
    return status;
}

static void add_times(figure_list *list, const times_answer *answer, figure_quantity q, level at) {
    for (int k = 0; k < answer->motions; k++) {
        const times_motion *one = &answer->motion[k];
        const relaxation_answer *step_of = at == LEVEL_PARKED ? &one->parked : &one->settled;
        const double time = q == FIGURE_SETTLE_TIME_63 ? step_of->time_63 : step_of->time_95;
        figure_list_add(list, (figure){q, at, SUBJECT_MOTION, one->item, -1, time});
    }
}

void figures_of_times(figure_list *list, const times_answer *answer) {
    for (int k = 0; k < answer->constants.count; k++) {
        figure_list_add(list, (figure){FIGURE_TIME_CONSTANT, LEVEL_NONE, SUBJECT_NUMBER, k + 1, -1,
                                       answer->constants.constant[k].time});
    }
    for (int at = LEVEL_SETTLED; at <= LEVEL_PARKED; at++) {
        add_times(list, answer, FIGURE_SETTLE_TIME_63, (level)at);
        add_times(list, answer, FIGURE_SETTLE_TIME_95, (level)at);
    }
    for (int k = 0; k < answer->paths.count; k++) {
        const path_answer *p = &answer->paths.path[k];
        figure_list_add(list, (figure){FIGURE_PATH_FREQUENCY, LEVEL_NONE, SUBJECT_EDGE, p->edge, -1,
                                       p->frequency});
    }
}

unsigned times_parts_of(figure_quantity quantity, level at) {
    switch (quantity) {
    case FIGURE_TIME_CONSTANT:
        return TIMES_PATHS | TIMES_CONSTANTS;
    case FIGURE_PATH_FREQUENCY:
        return TIMES_PATHS;
    case FIGURE_SETTLE_TIME_63:
    case FIGURE_SETTLE_TIME_95:
        return at == LEVEL_PARKED ? TIMES_PARKED : TIMES_SETTLED;
    default:
        return 0;
    }
}
