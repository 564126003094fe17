/* SPDX-License-Identifier: MIT */
#include "output/picture.h"

#include <math.h>
#include <string.h>

/* Curves that lie within this part of their height of each other are one line on paper. */
#define COINCIDE 0.012

static picture_axis copy_axis(page *p, picture_axis axis) {
    axis.label = page_copy(p, axis.label);
    return axis;
}

picture *page_picture(page *p, const char *title, picture_axis x, picture_axis y) {
    picture *c = page_take(p, 1, sizeof *c);
    if (c == NULL) {
        return NULL;
    }
    *c = (picture){
        .owner = p, .title = page_copy(p, title), .x = copy_axis(p, x), .y = copy_axis(p, y)};
    page_add_picture(p, c);
    return c;
}

typedef struct range {
    double low, high;
} range;

static range widen(range r, const double *values, int count) {
    for (int i = 0; i < count; i++) {
        r.low = values[i] < r.low ? values[i] : r.low; /* false for NAN */
        r.high = values[i] > r.high ? values[i] : r.high;
    }
    return r;
}

static bool coincide(const picture_curve *a, int points, const double *x, const double *y) {
    if (a->points != points) {
        return false;
    }
    const range r = widen(widen((range){HUGE_VAL, -HUGE_VAL}, a->y, points), y, points);
    const double size = fmax(fabs(r.low), fabs(r.high));
    const double within = fmax(COINCIDE * (r.high - r.low), 1e-6 * size);
    for (int i = 0; i < points; i++) {
        const bool gap = !isfinite(a->y[i]) || !isfinite(y[i]);
        if (a->x[i] != x[i] || (gap && isfinite(a->y[i]) != isfinite(y[i])) ||
            (!gap && fabs(a->y[i] - y[i]) > within)) {
            return false;
        }
    }
    return true;
}

/* Another picture like a full one, on the page after it. */
static picture *go_on(picture *full) {
    page *p = full->owner;
    picture *c = page_picture(p, page_format(p, "%s, continued", full->title), full->x, full->y);
    if (c != NULL) {
        c->asked = full->asked;
        for (const picture_mark *m = full->first_mark; m != NULL; m = m->next) {
            picture_mark_at(c, m->x, m->word);
        }
    }
    return c;
}

picture *picture_add(picture *c, const char *name, int points, const double *x, const double *y) {
    if (c == NULL) {
        return NULL;
    }
    page *p = c->owner;
    for (picture_curve *k = c->first; k != NULL; k = k->next) {
        if (coincide(k, points, x, y)) {
            k->name = page_format(p, "%s, %s", k->name, name);
            return c;
        }
    }
    if (c->curves == PICTURE_CURVES) {
        return picture_add(go_on(c), name, points, x, y);
    }
    picture_curve *k = page_take(p, 1, sizeof *k);
    double *values = page_take(p, 2 * (size_t)points, sizeof *values);
    if (k == NULL || values == NULL) {
        return c;
    }
    memcpy(values, x, (size_t)points * sizeof *x);
    memcpy(values + points, y, (size_t)points * sizeof *y);
    *k = (picture_curve){page_copy(p, name), points, values, values + points, NULL};
    *(c->last != NULL ? &c->last->next : &c->first) = k;
    c->last = k;
    c->curves++;
    return c;
}

void picture_mark_at(picture *c, double x, const char *word) {
    picture_mark *m = c != NULL ? page_take(c->owner, 1, sizeof *m) : NULL;
    if (m != NULL) {
        *m = (picture_mark){x, page_copy(c->owner, word), NULL};
        *(c->last_mark != NULL ? &c->last_mark->next : &c->first_mark) = m;
        c->last_mark = m;
    }
}

void picture_ask(picture *c) {
    if (c != NULL) {
        c->asked = true;
    }
}

bool picture_has_line(const picture *c) {
    for (const picture_curve *k = c->first; k != NULL; k = k->next) {
        if (k->points > 1) {
            return true;
        }
    }
    return false;
}

bool picture_is_asked(const char *asked, const char *subject, const char *quantity) {
    const char *dot = asked != NULL ? strrchr(asked, '.') : NULL;
    const size_t length = dot != NULL ? (size_t)(dot - asked) : 0;
    return asked == NULL ||
           (strcmp(dot != NULL ? dot + 1 : asked, quantity) == 0 &&
            (dot == NULL || (strlen(subject) == length && strncmp(subject, asked, length) == 0)));
}

static ticks axis_of(const picture *c, const picture_axis *axis, range r, int wanted, bool up) {
    const double low = page_shown(c->owner, axis->dimension, r.low);
    const double high = page_shown(c->owner, axis->dimension, r.high);
    return axis->logarithmic ? ticks_logarithmic(low, high) : ticks_linear(low, high, wanted, up);
}

ticks picture_across(const picture *c, int wanted) {
    range r = {HUGE_VAL, -HUGE_VAL};
    for (const picture_curve *k = c->first; k != NULL; k = k->next) {
        r = widen(r, k->x, k->points);
    }
    return axis_of(c, &c->x, r, wanted, false);
}

ticks picture_up(const picture *c, int wanted) {
    range r = {HUGE_VAL, -HUGE_VAL};
    for (const picture_curve *k = c->first; k != NULL; k = k->next) {
        r = widen(r, k->y, k->points);
    }
    return axis_of(c, &c->y, r, wanted, true);
}

void picture_axis_words(const page *p, const picture_axis *axis, text_buffer *out) {
    const char *unit = page_unit(p, axis->dimension);
    text_buffer_add(out, axis->label);
    text_buffer_add(out, unit[0] != '\0' && axis->label[0] != '\0' ? ", " : "");
    text_buffer_add(out, unit);
}
