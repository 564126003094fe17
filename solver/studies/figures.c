#include "studies/figures.h"

#include <math.h>
#include <string.h>

void figure_list_free(figure_list *list) {
    memory_resize(list->allocator, list->figure, 0);
    *list = (figure_list){.allocator = list->allocator};
}

bool figure_is_sound(const figure *f) {
    const bool absent = !figure_at(f->quantity)->always || f->level == LEVEL_RIDE;
    return isfinite(f->value) || (isnan(f->value) && absent);
}

void figure_list_add(figure_list *list, figure f) {
    if (!figure_is_sound(&f) && !list->unsound) {
        list->unsound = true;
        list->culprit = f;
    }
    if (!isfinite(f.value) || list->failed) {
        return;
    }
    if (list->count == list->capacity) {
        figure *more =
            memory_grow(list->allocator, list->figure, list->count, &list->capacity, sizeof *more);
        if (more == NULL) {
            list->failed = true;
            return;
        }
        list->figure = more;
    }
    list->figure[list->count++] = f;
}

static void add_list(figure_list *list, figure_quantity q, level at, figure_subject kind, int count,
                     const double *values) {
    for (int i = 0; i < count; i++) {
        figure_list_add(list,
                        (figure){q, at, kind, kind == SUBJECT_NUMBER ? i + 1 : i, -1, values[i]});
    }
}

static void add_whole(figure_list *list, figure_quantity q, level at, double value) {
    figure_list_add(list, (figure){q, at, SUBJECT_NONE, -1, -1, value});
}

/* One figure a node but the atmosphere; a supply has no air of its own. */
static void add_nodes(figure_list *list, figure_quantity q, level at, const network *net,
                      const double *values, double less) {
    const bool own = q == FIGURE_VOLUME || q == FIGURE_AIR_MASS;
    for (int i = 1; i < net->nodes; i++) {
        if (!own || net->node[i].kind != NODE_SUPPLY) {
            figure_list_add(list, (figure){q, at, SUBJECT_NODE, i, -1, values[i] - less});
        }
    }
}

static double whole_air(const network *net, const double *air) {
    double sum = 0.0;
    for (int i = 1; i < net->nodes; i++) {
        sum += net->node[i].kind != NODE_SUPPLY ? air[i] : 0.0;
    }
    return sum;
}

static void add_standing(figure_list *list, const model *m, const state_standing *s, level at) {
    if (!s->given) {
        return;
    }
    const network *net = &m->network;
    const vehicle *v = &m->vehicle;
    add_nodes(list, FIGURE_PRESSURE, at, net, s->node_pressure, 0.0);
    add_nodes(list, FIGURE_GAUGE_PRESSURE, at, net, s->node_pressure, m->ambient.pressure);
    add_list(list, FIGURE_HEIGHT, at, SUBJECT_SPRING, v->springs, s->spring_height);
    add_nodes(list, FIGURE_VOLUME, at, net, s->node_volume, 0.0);
    add_list(list, FIGURE_LOAD, at, SUBJECT_CORNER, v->corners, s->load);
    for (int i = 0; i < v->springs; i++) {
        if (!v->spring[i].bench) {
            figure_list_add(list,
                            (figure){FIGURE_LOAD, at, SUBJECT_SPRING, i, -1, s->spring_load[i]});
        }
    }
    add_list(list, FIGURE_HEIGHT_SHIFT, at, SUBJECT_CORNER, v->corners, s->height_shift);
    add_nodes(list, FIGURE_AIR_MASS, at, net, s->node_air, 0.0);
    add_whole(list, FIGURE_AIR_MASS, at, whole_air(net, s->node_air));
}

static void add_warps(figure_list *list, level at, const level_rates *l, int warps) {
    if (warps == 1) {
        add_whole(list, FIGURE_WARP_RATE, at, l->warp_rate[0]);
    } else {
        add_list(list, FIGURE_WARP_RATE, at, SUBJECT_NUMBER, warps, l->warp_rate);
    }
}

static void add_level(figure_list *list, const model *m, const rates_answer *answer, level at) {
    const level_rates *l = &answer->level[at];
    if (!l->given) {
        return;
    }
    const int corners = m->vehicle.corners;
    add_list(list, FIGURE_SPRING_RATE, at, SUBJECT_SPRING, m->vehicle.springs, l->spring_rate);
    add_list(list, FIGURE_WHEEL_RATE, at, SUBJECT_CORNER, corners, l->wheel_rate);
    add_list(list, FIGURE_RIDE_RATE, at, SUBJECT_CORNER, corners, l->ride_rate);
    add_list(list, FIGURE_ONE_WHEEL_RATE, at, SUBJECT_CORNER, corners, l->one_wheel_rate);
    for (int a = 0; a < corners; a++) {
        for (int b = 0; b < corners; b++) {
            const double k = l->stiffness[(size_t)a * (size_t)corners + (size_t)b];
            figure_list_add(list, (figure){FIGURE_STIFFNESS, at, SUBJECT_PAIR, a, b, k});
        }
    }
    add_whole(list, FIGURE_HEAVE_RATE, at, l->body_rate[MOTION_HEAVE]);
    add_whole(list, FIGURE_PITCH_RATE, at, l->body_rate[MOTION_PITCH]);
    add_whole(list, FIGURE_ROLL_RATE, at, l->body_rate[MOTION_ROLL]);
    add_warps(list, at, l, answer->warps);
    add_list(list, FIGURE_MOTION_RATE, at, SUBJECT_MOTION, m->motions, l->motion_rate);
    add_list(list, FIGURE_RIDE_FREQUENCY, at, SUBJECT_CORNER, corners, l->ride_frequency);
    static const int builtin[BODY_MOTIONS] = {SCRIPT_HEAVE, SCRIPT_ROLL, SCRIPT_PITCH};
    for (int k = 0; k < BODY_MOTIONS; k++) {
        figure_list_add(list, (figure){FIGURE_RIDE_FREQUENCY, at, SUBJECT_MOTION, builtin[k], -1,
                                       l->body_frequency[k]});
    }
    add_whole(list, FIGURE_ROLL_GRADIENT, at, l->roll_gradient);
    add_list(list, FIGURE_ROLL_SHARE, at, SUBJECT_AXLE, m->vehicle.axles, l->roll_share);
}

void figures_of_rates(figure_list *list, const model *m, const rates_answer *answer) {
    add_standing(list, m, &answer->settled, LEVEL_NONE);
    add_standing(list, m, &answer->parked, LEVEL_PARKED);
    for (int at = LEVEL_INSTANT; at < LEVELS; at++) {
        add_level(list, m, answer, (level)at);
    }
}

static void add_motion_name(const model *m, int item, text_buffer *out) {
    if (item >= 0) {
        text_buffer_add(out, m->motion[item].name);
    } else if (item > FIGURE_ONE_WHEEL) {
        text_buffer_add(out, script_motion_name((script_motion)item));
    } else {
        text_buffer_format(out, "one-wheel:%s", m->vehicle.corner[FIGURE_ONE_WHEEL - item].name);
    }
}

void figure_subject_text(const model *m, const figure *f, text_buffer *out) {
    switch (f->kind) {
    case SUBJECT_NONE:
        break;
    case SUBJECT_CORNER:
        text_buffer_add(out, m->vehicle.corner[f->item].name);
        break;
    case SUBJECT_AXLE:
        text_buffer_add(out, m->vehicle.axle[f->item].name);
        break;
    case SUBJECT_NODE:
        text_buffer_add(out, m->network.node[f->item].name);
        break;
    case SUBJECT_SPRING:
        text_buffer_add(out, m->vehicle.spring[f->item].name);
        break;
    case SUBJECT_EDGE:
        text_buffer_add(out, m->network.edge[f->item].name);
        break;
    case SUBJECT_MOTION:
        add_motion_name(m, f->item, out);
        break;
    case SUBJECT_NUMBER:
        text_buffer_format(out, "%d", f->item);
        break;
    case SUBJECT_PAIR:
        text_buffer_format(out, "%s/%s", m->vehicle.corner[f->item].name,
                           m->vehicle.corner[f->other].name);
        break;
    }
}
