/* SPDX-License-Identifier: MIT */
#include "output/site.h"

#include <math.h>
#include <stdlib.h>

/* Steps a metre along the vehicle, at first and at most; across it is drawn wider, for most
   vehicles are longer than a sheet of paper is. */
#define SCALE_FIRST 24.0
#define SCALE_MOST  400.0
#define SCALE_GROWS 1.12
#define WIDER       1.5
/* Steps from the datum to the furthest wheel, at most: a drawing ten times as long as any vehicle
   helps nobody. */
#define FURTHEST 1500.0
/* Free places that each part is given to choose from. */
#define ROOM 1.5
/* Steps from a wheel inward to its spring; margin about the outer columns; rows before the front
   axle and behind the rear one, at first. */
enum { INWARD = 7, MARGIN = 11, ROWS_BEYOND = 1 };

/* Half-way between two steps goes up on every machine. */
static int whole(double steps) {
    return (int)floor(steps + 0.5 + 1e-6);
}

/* Across the vehicle (left is less), in steps at a scale. */
static int spring_across(const vehicle *v, const spring *s, double scale) {
    double sum = 0.0, weight = 0.0;
    for (int k = 0; k < s->levers; k++) {
        sum += s->lever[k].ratio * v->corner[s->lever[k].corner].y;
        weight += s->lever[k].ratio;
    }
    const double y = weight != 0.0 ? sum / weight : 0.0;
    const int inward = s->levers > 1 || y == 0.0 ? 0 : y > 0.0 ? INWARD : -INWARD;
    return whole(-y * scale * WIDER) + inward;
}

static int spring_along(const vehicle *v, const spring *s, double scale) {
    double sum = 0.0;
    for (int k = 0; k < s->levers; k++) {
        sum += v->corner[s->lever[k].corner].x;
    }
    return whole(-sum / s->levers * scale);
}

static void sort(int *place, int count, bool by_size) {
    for (int i = 1; i < count; i++) {
        const int one = place[i];
        int k = i;
        for (; k > 0 && (by_size ? abs(place[k - 1]) > abs(one) : place[k - 1] > one); k--) {
            place[k] = place[k - 1];
        }
        place[k] = one;
    }
}

/* Sorts places and leaves out those nearer than `pitch` to another; how many are left. Of two that
   are too near the one stays that is nearer to nought, so that no spring's column lies on a wheel
   of a wider axle. */
static int settle(int *place, int count, int pitch) {
    sort(place, count, true);
    int kept = 0;
    for (int i = 0; i < count; i++) {
        bool near = false;
        for (int k = 0; k < kept; k++) {
            near = near || abs(place[i] - place[k]) < pitch;
        }
        if (!near) {
            place[kept++] = place[i];
        }
    }
    sort(place, kept, false);
    return kept;
}

/* Lines through all places, with more between them as far as there is room, and some beyond. */
static int *spread(arena *a, const int *place, int count, int pitch, int beyond, int *lines) {
    int total = 2 * beyond + count;
    for (int i = 0; i + 1 < count; i++) {
        total += (place[i + 1] - place[i]) / pitch - 1;
    }
    int *line = ARENA_ARRAY(a, int, total);
    *lines = 0;
    for (int i = 0; i < count && line != NULL; i++) {
        for (int k = beyond; i == 0 && k > 0; k--) {
            line[(*lines)++] = place[0] - k * pitch;
        }
        line[(*lines)++] = place[i];
        const int gap = i + 1 < count ? place[i + 1] - place[i] : 0;
        for (int k = 1; k < gap / pitch; k++) {
            line[(*lines)++] = place[i] + k * gap / (gap / pitch);
        }
    }
    for (int k = 1; k <= beyond && line != NULL; k++) {
        line[(*lines)++] = place[count - 1] + k * pitch;
    }
    return line;
}

/* The line nearest to a place. */
static int nearest(const int *line, int lines, int place) {
    int best = 0;
    for (int k = 1; k < lines; k++) {
        best = abs(line[k] - place) < abs(line[best] - place) ? k : best;
    }
    return best;
}

/* The column nearest to a spring, but none farther out, where its wheel may be: there is one, for
   of two places that are too near the inner one is kept. */
static int nearest_within(const int *line, int lines, int place) {
    int best = -1;
    for (int k = 0; k < lines; k++) {
        if (abs(line[k]) <= abs(place) &&
            (best < 0 || abs(line[k] - place) < abs(line[best] - place))) {
            best = k;
        }
    }
    return best;
}

/* The free slot nearest to a row and a column. */
static int free_slot(const site *s, const bool *used, int row, int column) {
    int best = -1, best_away = 0;
    for (int k = 0; k < s->rows * s->columns; k++) {
        const int away = 3 * abs(k / s->columns - row) + 2 * abs(k % s->columns - column);
        if (!used[k] && (best < 0 || away < best_away)) {
            best = k;
            best_away = away;
        }
    }
    return best;
}

static bool put_springs(site *s, arena *a, const vehicle *v, double scale) {
    bool *used = ARENA_ARRAY(a, bool, s->rows * s->columns);
    for (int i = 0; i < v->springs && used != NULL; i++) {
        s->spring_slot[i] = -1;
        if (!v->spring[i].bench) {
            const int row = nearest(s->y, s->rows, spring_along(v, &v->spring[i], scale));
            const int column =
                nearest_within(s->x, s->columns, spring_across(v, &v->spring[i], scale));
            s->spring_slot[i] = free_slot(s, used, row, column);
            used[s->spring_slot[i]] = true;
        }
    }
    return used != NULL;
}

/* Closes the slots that a wheel is in the way of, springs' own not counted. */
static void close_slots(site *s, const vehicle *v) {
    for (int k = 0; k < s->rows * s->columns; k++) {
        const int x = s->x[k % s->columns], y = s->y[k / s->columns];
        for (int w = 0; w < v->wheels; w++) {
            s->taken[k] =
                s->taken[k] || (abs(s->wheel[w].x - x) < SITE_COLUMN / 2 + SITE_WHEEL_X + 1 &&
                                abs(s->wheel[w].y - y) < s->pitch / 2 + SITE_WHEEL_Y + 2);
        }
    }
    for (int i = 0; i < v->springs; i++) {
        if (s->spring_slot[i] >= 0) {
            s->taken[s->spring_slot[i]] = false;
        }
    }
}

/* Moves all so that nothing lies left of or above the margin. */
static void shift(site *s, int wheels) {
    int left = s->x[0], right = s->x[s->columns - 1], top = s->y[0], bottom = s->y[s->rows - 1];
    for (int w = 0; w < wheels; w++) {
        left = s->wheel[w].x - SITE_WHEEL_X < left - 2 ? s->wheel[w].x : left;
        right = s->wheel[w].x > right ? s->wheel[w].x : right;
        top = s->wheel[w].y < top ? s->wheel[w].y : top;
        bottom = s->wheel[w].y > bottom ? s->wheel[w].y : bottom;
    }
    for (int k = 0; k < s->columns; k++) {
        s->x[k] += MARGIN - left;
    }
    for (int k = 0; k < s->rows; k++) {
        s->y[k] += MARGIN - top;
    }
    for (int w = 0; w < wheels; w++) {
        s->wheel[w].x += MARGIN - left;
        s->wheel[w].y += MARGIN - top;
    }
    s->width = right - left + 2 * MARGIN + 1;
    s->height = bottom - top + 2 * MARGIN + 1;
}

/* Slots between and beyond the places of the springs at a scale. */
static bool lay_out(site *s, arena *a, const model *m, double scale, int beyond) {
    const vehicle *v = &m->vehicle;
    int *across = ARENA_ARRAY(a, int, v->springs + 2);
    int *along = ARENA_ARRAY(a, int, v->springs + v->wheels);
    int columns = 0, rows = 0;
    for (int i = 0; i < v->springs && across != NULL && along != NULL; i++) {
        if (!v->spring[i].bench) {
            across[columns++] = spring_across(v, &v->spring[i], scale);
            along[rows++] = spring_along(v, &v->spring[i], scale);
        }
    }
    for (int w = 0; w < v->wheels && across != NULL && along != NULL; w++) {
        s->wheel[w] =
            (spot){whole(-v->corner[w].y * scale * WIDER), whole(-v->corner[w].x * scale)};
        along[rows++] = s->wheel[w].y;
    }
    if (across == NULL || along == NULL) {
        return false;
    }
    if (columns == 0) {
        across[columns++] = 0; /* wheels without air */
    }
    columns = settle(across, columns, SITE_COLUMN);
    rows = settle(along, rows, s->pitch);
    s->x = spread(a, across, columns, SITE_COLUMN, columns == 1 ? 2 : 0, &s->columns);
    s->y = spread(a, along, rows, s->pitch, beyond, &s->rows);
    s->taken = ARENA_ARRAY(a, bool, s->rows * s->columns);
    if (!arena_complete(a) || !put_springs(s, a, v, scale)) {
        return false;
    }
    close_slots(s, v);
    return true;
}

/* A plain grid, about as high as wide, for what stands on a bench. */
static bool lay_out_bench(site *s, arena *a, const model *m, int parts) {
    const double slots = ROOM * parts + 1.0;
    s->columns = (int)ceil(sqrt(slots * s->pitch / SITE_COLUMN));
    s->rows = (int)ceil(slots / s->columns);
    s->x = ARENA_ARRAY(a, int, s->columns);
    s->y = ARENA_ARRAY(a, int, s->rows);
    s->taken = ARENA_ARRAY(a, bool, s->rows * s->columns);
    for (int k = 0; k < s->columns && s->x != NULL; k++) {
        s->x[k] = k * SITE_COLUMN;
    }
    for (int k = 0; k < s->rows && s->y != NULL; k++) {
        s->y[k] = k * s->pitch;
    }
    for (int i = 0; i < m->vehicle.springs; i++) {
        s->spring_slot[i] = -1;
    }
    return arena_complete(a);
}

static int free_slots(const site *s) {
    int count = 0;
    for (int k = 0; k < s->rows * s->columns; k++) {
        count += !s->taken[k];
    }
    return count;
}

/* A wide site gets more rows, any other a larger scale: it should fit a sheet of paper. */
static bool is_wide(const site *s) {
    return s->x[s->columns - 1] - s->x[0] > s->y[s->rows - 1] - s->y[0];
}

/* Steps a metre at which no wheel is too far away. */
static double scale_within(const vehicle *v, double scale) {
    double away = 0.0;
    for (int w = 0; w < v->wheels; w++) {
        away = fmax(away, fmax(fabs(v->corner[w].x), WIDER * fabs(v->corner[w].y)));
    }
    return away * scale > FURTHEST ? FURTHEST / away : scale;
}

baronet_status site_make(site *out, arena *a, const model *m, int parts, int pitch) {
    *out = (site){.pitch = pitch,
                  .wheel = ARENA_ARRAY(a, spot, m->vehicle.wheels),
                  .spring_slot = ARENA_ARRAY(a, int, m->vehicle.springs)};
    bool done = out->wheel != NULL && out->spring_slot != NULL;
    if (m->vehicle.wheels == 0) {
        done = done && lay_out_bench(out, a, m, parts);
    } else {
        double scale = scale_within(&m->vehicle, SCALE_FIRST);
        const double most = scale_within(&m->vehicle, SCALE_MOST);
        int beyond = ROWS_BEYOND;
        done = done && lay_out(out, a, m, scale, beyond);
        while (done && free_slots(out) < ROOM * parts) {
            if (is_wide(out) || scale >= most) {
                beyond++;
            } else {
                scale *= SCALE_GROWS;
            }
            done = lay_out(out, a, m, scale, beyond);
        }
    }
    if (!done) {
        return BARONET_OUT_OF_MEMORY;
    }
    shift(out, m->vehicle.wheels);
    return BARONET_OK;
}
