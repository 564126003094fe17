#include "model/profile.h"

#include <math.h>
#include <string.h>

/* Slope at an inner point by the weighted harmonic mean of the secants on both sides (Fritsch and
   Butland 1984, equation 5 with their weights in the widths); zero where they differ in sign. */
static double inner_slope(double width_left, double width_right, double secant_left,
                          double secant_right) {
    if (secant_left * secant_right <= 0.0) {
        return 0.0;
    }
    const double weight_left = 2.0 * width_right + width_left;
    const double weight_right = width_right + 2.0 * width_left;
    return (weight_left + weight_right) / (weight_left / secant_left + weight_right / secant_right);
}

/* Slope at an end by the three-point formula, limited so that the end interval keeps its shape: a
   slope beyond three secants would overshoot (the monotone region of Fritsch and Carlson), which
   needs secants of unlike signs. */
static double end_slope(double width, double next_width, double secant, double next_secant) {
    const double slope =
        ((2.0 * width + next_width) * secant - width * next_secant) / (width + next_width);
    if (slope * secant <= 0.0) {
        return 0.0;
    }
    if (secant * next_secant <= 0.0 && fabs(slope) > 3.0 * fabs(secant)) {
        return 3.0 * secant;
    }
    return slope;
}

static void curve_slopes(int points, const double *x, const double *y, double *slope) {
    const double first = (y[1] - y[0]) / (x[1] - x[0]);
    if (points == 2) {
        slope[0] = slope[1] = first;
        return;
    }
    for (int i = 1; i + 1 < points; i++) {
        slope[i] =
            inner_slope(x[i] - x[i - 1], x[i + 1] - x[i], (y[i] - y[i - 1]) / (x[i] - x[i - 1]),
                        (y[i + 1] - y[i]) / (x[i + 1] - x[i]));
    }
    const int n = points - 1;
    const double last = (y[n] - y[n - 1]) / (x[n] - x[n - 1]);
    const double second = (y[2] - y[1]) / (x[2] - x[1]);
    const double before = (y[n - 1] - y[n - 2]) / (x[n - 1] - x[n - 2]);
    slope[0] = end_slope(x[1] - x[0], x[2] - x[1], first, second);
    slope[n] = end_slope(x[n] - x[n - 1], x[n - 1] - x[n - 2], last, before);
}

static bool curve_make(curve *out, arena *a, int points, const double *x, const double *y) {
    double *own_y = ARENA_ARRAY(a, double, points);
    double *slope = ARENA_ARRAY(a, double, points);
    if (own_y == NULL || slope == NULL) {
        return false;
    }
    memcpy(own_y, y, (size_t)points * sizeof *y);
    curve_slopes(points, x, own_y, slope);
    *out = (curve){points, x, own_y, slope};
    return true;
}

/* Index of the interval that holds x, ends included. */
static int curve_interval(const curve *c, double x) {
    int low = 0;
    int high = c->points - 1;
    while (high - low > 1) {
        const int middle = (low + high) / 2;
        if (x < c->x[middle]) {
            high = middle;
        } else {
            low = middle;
        }
    }
    return low;
}

typedef struct value_slope {
    double value, slope;
} value_slope;

/* Cubic Hermite form inside; the end values held outside. */
static value_slope curve_at(const curve *c, double x) {
    const int n = c->points - 1;
    if (x < c->x[0] || x > c->x[n]) {
        return (value_slope){c->y[x < c->x[0] ? 0 : n], 0.0};
    }
    const int i = curve_interval(c, x);
    const double width = c->x[i + 1] - c->x[i];
    const double t = (x - c->x[i]) / width;
    const double u = 1.0 - t;
    const double y0 = c->y[i], y1 = c->y[i + 1];
    const double d0 = c->slope[i] * width, d1 = c->slope[i + 1] * width;
    return (value_slope){
        u * u * ((1.0 + 2.0 * t) * y0 + t * d0) + t * t * ((3.0 - 2.0 * t) * y1 - u * d1),
        (6.0 * t * u * (y1 - y0) + u * (1.0 - 3.0 * t) * d0 + t * (3.0 * t - 2.0) * d1) / width};
}

/* Integral of the curve's cubic over the part of interval i up to x. */
static double curve_partial_integral(const curve *c, int i, double x) {
    const double width = c->x[i + 1] - c->x[i];
    const double t = (x - c->x[i]) / width;
    const double d0 = c->slope[i] * width, d1 = c->slope[i + 1] * width;
    const double y0 = c->y[i], y1 = c->y[i + 1];
    const double c3 = 2.0 * (y0 - y1) + d0 + d1;
    const double c2 = 3.0 * (y1 - y0) - 2.0 * d0 - d1;
    return width * t * (y0 + t * (d0 / 2.0 + t * (c2 / 3.0 + t * c3 / 4.0)));
}

/* Integral of the area from the first row to h; the end areas held outside. */
static double area_integral(const profile *p, double h) {
    const curve *c = &p->area_curve;
    const int n = c->points - 1;
    if (h < c->x[0]) {
        return (h - c->x[0]) * c->y[0];
    }
    if (h > c->x[n]) {
        return p->integral[n] + (h - c->x[n]) * c->y[n];
    }
    const int i = curve_interval(c, h);
    return p->integral[i] + curve_partial_integral(c, i, h);
}

/* The load against pressure at one height: a cubic through the origin and the test loads, with
   slopes by the parabola through three neighbours, which are linear in the loads: the slope in
   height is then the same formula on the tests' own slopes in height. Straight beyond the last
   test. */
static double test_pressure(const profile *p, int k) {
    return k == 0 ? 0.0 : p->pressure[k - 1];
}

static value_slope test_load(const profile *p, int k, double h) {
    return k == 0 ? (value_slope){0.0, 0.0} : curve_at(&p->load[k - 1], h);
}

static double secant(const profile *p, const double *y, int k) {
    return (y[k + 1] - y[k]) / (test_pressure(p, k + 1) - test_pressure(p, k));
}

/* Slope at point k of tests + 1 points whose nearest three are in y (indexed as the points). */
static double parabola_slope(const profile *p, const double *y, int k) {
    const int n = p->tests;
    if (n == 1) {
        return secant(p, y, 0);
    }
    const int i = k == 0 ? 0 : (k == n ? n - 2 : k - 1);
    const double w0 = test_pressure(p, i + 1) - test_pressure(p, i);
    const double w1 = test_pressure(p, i + 2) - test_pressure(p, i + 1);
    const double s0 = secant(p, y, i);
    const double s1 = secant(p, y, i + 1);
    const double bend = (s1 - s0) / (w0 + w1);
    if (k == 0) {
        return s0 - bend * w0;
    }
    return k == n ? s1 + bend * w1 : s0 + bend * w0;
}

/* Value of the cubic in pressure through y, and its slope. */
static value_slope along_pressure(const profile *p, const double *y, double P) {
    const int n = p->tests;
    int k = 0;
    while (k + 1 < n && P > test_pressure(p, k + 1)) {
        k++;
    }
    const double d1 = parabola_slope(p, y, k + 1);
    if (P > test_pressure(p, n)) {
        return (value_slope){y[n] + d1 * (P - test_pressure(p, n)), d1};
    }
    const double d0 = parabola_slope(p, y, k);
    if (P < 0.0) {
        return (value_slope){d0 * P, d0};
    }
    const double x[2] = {test_pressure(p, k), test_pressure(p, k + 1)};
    const double ends[2] = {y[k], y[k + 1]};
    const double slopes[2] = {d0, d1};
    const curve piece = {2, x, ends, slopes};
    return curve_at(&piece, P);
}

static profile_point load_table_at(const profile *p, double h, double P) {
    double load[PROFILE_TESTS_MAX + 1];
    double slope[PROFILE_TESTS_MAX + 1];
    for (int k = 0; k <= p->tests; k++) {
        const value_slope at = test_load(p, k, h);
        load[k] = at.value;
        slope[k] = at.slope;
    }
    const value_slope F = along_pressure(p, load, P);
    const value_slope dF = along_pressure(p, slope, P);
    return (profile_point){.load = F.value,
                           .area = P != 0.0 ? F.value / P : F.slope,
                           .load_pressure = F.slope,
                           .load_height = dF.value};
}

static void volume_at(const profile *p, double h, profile_point *out) {
    if (p->rows == 0) {
        out->breathing = p->area;
        out->volume = p->anchor_volume + p->area * (h - p->anchor_height);
    } else if (p->volume_curve.points > 0) {
        const curve *c = &p->volume_curve;
        const int n = c->points - 1;
        const value_slope at = curve_at(c, h);
        out->volume = at.value;
        out->breathing = at.slope;
        if (h < c->x[0] || h > c->x[n]) {
            const int end = h < c->x[0] ? 0 : n;
            out->breathing = c->slope[end];
            out->volume = c->y[end] + c->slope[end] * (h - c->x[end]);
        }
    } else {
        out->breathing = curve_at(&p->area_curve, h).value;
        out->volume = p->anchor_volume + area_integral(p, h) - area_integral(p, p->anchor_height);
    }
}

profile_point profile_at(const profile *p, double h, double P) {
    profile_point out;
    if (p->tests > 0) {
        out = load_table_at(p, h, P);
    } else {
        const value_slope area =
            p->rows == 0 ? (value_slope){p->area, 0.0} : curve_at(&p->area_curve, h);
        out = (profile_point){.load = P * area.value,
                              .area = area.value,
                              .load_pressure = area.value,
                              .load_height = P * area.slope};
    }
    volume_at(p, h, &out);
    return out;
}

double profile_overrun(const profile *p, double h) {
    if (h < p->lowest) {
        return h - p->lowest;
    }
    return h > p->highest ? h - p->highest : 0.0;
}

double profile_highest_test(const profile *p) {
    return p->tests > 0 ? p->pressure[p->tests - 1] : HUGE_VAL;
}

/* With a load table and no volume column, the area whose integral is the volume is that of the mean
   over the test pressures. */
static void mean_area(double *area, const profile_table *table) {
    for (int i = 0; i < table->rows; i++) {
        double sum = 0.0;
        for (int k = 0; k < table->tests; k++) {
            sum += table->load[k * table->rows + i] / table->pressure[k];
        }
        area[i] = sum / table->tests;
    }
}

/* The largest relative difference between the area that carries force and the one that moves air.
 */
static void find_disagreement(profile *p) {
    enum { SAMPLES = 8 }; /* an interval: rows are few, so this finds the largest well enough */
    if (p->volume_curve.points == 0) {
        return;
    }
    const double *x = p->volume_curve.x;
    const double P = p->tests > 0 ? p->pressure[p->tests / 2] : 1e5;
    for (int i = 0; i + 1 < p->rows; i++) {
        for (int k = 0; k <= SAMPLES; k++) {
            const double h = x[i] + (x[i + 1] - x[i]) * k / SAMPLES;
            const profile_point at = profile_at(p, h, P);
            const double difference = fabs(at.area - at.breathing) / at.area;
            if (difference > p->disagreement) {
                p->disagreement = difference;
                p->disagreement_height = h;
            }
        }
    }
}

static bool make_loads(profile *p, arena *a, const profile_table *table, const double *height) {
    double *pressure = ARENA_ARRAY(a, double, table->tests);
    curve *load = ARENA_ARRAY(a, curve, table->tests);
    if (pressure == NULL || load == NULL) {
        return false;
    }
    memcpy(pressure, table->pressure, (size_t)table->tests * sizeof *pressure);
    for (int k = 0; k < table->tests; k++) {
        if (!curve_make(&load[k], a, table->rows, height, table->load + k * table->rows)) {
            return false;
        }
    }
    p->tests = table->tests;
    p->pressure = pressure;
    p->load = load;
    return true;
}

static bool make_area(profile *p, arena *a, const profile_table *table, const double *height) {
    double *area = ARENA_ARRAY(a, double, table->rows);
    double *integral = ARENA_ARRAY(a, double, table->rows);
    if (area == NULL || integral == NULL) {
        return false;
    }
    if (table->tests > 0) {
        mean_area(area, table);
    } else {
        memcpy(area, table->area, (size_t)table->rows * sizeof *area);
    }
    if (!curve_make(&p->area_curve, a, table->rows, height, area)) {
        return false;
    }
    for (int i = 0; i + 1 < table->rows; i++) {
        integral[i + 1] = integral[i] + curve_partial_integral(&p->area_curve, i, height[i + 1]);
    }
    p->integral = integral;
    return true;
}

double profile_piston_end(const profile *p) {
    return p->anchor_height - (1.0 - PROFILE_DEAD_VOLUME) * p->anchor_volume / p->area;
}

baronet_status profile_make(profile *out, arena *a, const profile_table *table,
                            double piston_area) {
    *out = (profile){.name = table->name,
                     .rows = table->rows,
                     .lowest = -HUGE_VAL,
                     .highest = HUGE_VAL,
                     .area = piston_area,
                     .anchor_volume = table->anchor_volume,
                     .anchor_height = table->anchor_height};
    if (table->rows == 0) {
        out->lowest = profile_piston_end(out);
        return BARONET_OK;
    }
    double *height = ARENA_ARRAY(a, double, table->rows);
    if (height == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    memcpy(height, table->height, (size_t)table->rows * sizeof *height);
    out->lowest = height[0];
    out->highest = height[table->rows - 1];
    if ((table->tests > 0 && !make_loads(out, a, table, height)) ||
        !make_area(out, a, table, height) ||
        (table->volume != NULL &&
         !curve_make(&out->volume_curve, a, table->rows, height, table->volume))) {
        return BARONET_OUT_OF_MEMORY;
    }
    find_disagreement(out);
    return BARONET_OK;
}
