/* SPDX-License-Identifier: MIT */
#include "model/profile.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "support.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* A profile of areas (m2) with an anchor in its middle. */
static profile of_areas(arena *a, int rows, const double *height, const double *area) {
    const profile_table table = {.name = "areas",
                                 .rows = rows,
                                 .height = height,
                                 .area = area,
                                 .anchored = true,
                                 .anchor_volume = 2.9e-3,
                                 .anchor_height = 0.37 * height[0] + 0.63 * height[rows - 1]};
    profile p;
    cr_assert_eq(profile_make(&p, a, &table, 0.0), BARONET_OK);
    return p;
}

static double area_slope(const profile *p, double h) {
    return profile_at(p, h, 1.0).load_height; /* P dA/dh at 1 Pa */
}

Test(profile, meets_an_example_by_hand) {
    /* Points (0,0), (1,1), (3,2): secants 1 and 1/2 over widths 1 and 2. Inner slope
       (5 + 4)/(5/1 + 4/(1/2)) = 9/13; ends ((2 1 + 2) 1 - 1 (1/2))/3 = 7/6 and
       ((2 2 + 1) (1/2) - 2 1)/3 = 1/6; at 2 the mean of the ends of the interval and a quarter of
       the difference of its slopes: 3/2 + (9/13 - 1/6)/4. */
    static const double x[] = {0.0, 1.0, 3.0}, y[] = {0.0, 1.0, 2.0};
    const char *const hand = "worked by hand from the formulas named in profile.h";
    arena *const a = arena_create(NULL);
    const profile p = of_areas(a, 3, x, y);
    CHECK_REL(area_slope(&p, 0.0), 7.0 / 6.0, 1e-14, hand);
    CHECK_REL(area_slope(&p, 1.0), 9.0 / 13.0, 1e-14, hand);
    CHECK_REL(area_slope(&p, 3.0), 1.0 / 6.0, 1e-14, hand);
    CHECK_REL(profile_at(&p, 2.0, 0.0).area, 1.5 + (9.0 / 13.0 - 1.0 / 6.0) / 4.0, 1e-14, hand);
    arena_destroy(a);
}

typedef struct curve_point {
    double x, y, slope;
} curve_point;

typedef struct curve_case {
    const char *name;
    int rows;
    double x[8], y[8];
    curve_point at[9];
} curve_case;

/* scipy.interpolate.PchipInterpolator and its derivative, scipy 1.10.1 with numpy 1.24.2. It takes
   the same weighted harmonic mean inside and the same limited three-point formula at the ends, so
   that the values agree to rounding. */
static const curve_case curves[] = {
    {"a sleeve",
     8,
     {0.078, 0.095, 0.115, 0.138, 0.160, 0.185, 0.212, 0.238},
     {148.3, 146.3, 144.3, 142.6, 141.3, 140.1, 139.1, 138.1},
     {{0.078, 148.30000000000001, -125.75516693163752},
      {0.084879999999999997, 147.45540236204627, -119.57193634162608},
      {0.11159999999999999, 144.60155935182999, -91.906589553603197},
      {0.13832, 142.5790338114011, -65.416883534444224},
      {0.15799999999999997, 141.40718034593181, -54.096593111754011},
      {0.17719999999999997, 140.44328927409549, -46.041478796821096},
      {0.20776, 139.25643713348481, -36.187573603404672},
      {0.23287999999999998, 138.29981455629147, -38.891341970675875},
      {0.238, 138.09999999999999, -39.160350481105205}}},
    {"a wavy one with a flat piece",
     7,
     {0.05, 0.061, 0.09, 0.094, 0.13, 0.171, 0.18},
     {92.0, 101.5, 101.5, 99.0, 113.7, 88.2, 90.1},
     {{0.05, 92, 1101.136363636364},
      {0.055590000000000001, 98.355468650178437, 1011.0354122839974},
      {0.077300000000000008, 101.5, 0},
      {0.099010000000000015, 99.774859067013892, 293.50829861111185},
      {0.115, 108.17048611111112, 595.48611111111131},
      {0.13059999999999999, 113.68377672987914, -53.81117511353483},
      {0.15543000000000001, 96.43933719050797, -878.9715805052158},
      {0.17584, 88.823070392242229, 239.77936155776294},
      {0.18, 90.099999999999994, 361.06233062330534}}},
    {"one that turns at its start",
     3,
     {0.02, 0.05, 0.055},
     {40.0, 41.0, 60.0},
     {{0.02, 40, 0},
      {0.021505, 40.00111085713786, 1.525558390390388},
      {0.027349999999999999, 40.03337260216216, 10.257686486486477},
      {0.033195000000000002, 40.129722364678358, 23.4547346066066},
      {0.0375, 40.256894394394394, 36.030030030030034},
      {0.041700000000000001, 40.438079478358361, 50.632812012011996},
      {0.048385, 40.86688849752128, 78.630507435435447},
      {0.053879999999999997, 54.658088998007919, 5041.6909149240701},
      {0.055, 60.000000000000043, 4338.0952380952313}}},
    {"one whose end would overshoot",
     4,
     {0.1, 0.13, 0.134, 0.2},
     {70.0, 58.0, 71.0, 69.5},
     {{0.1, 70, -1200},
      {0.1043, 65.54426355555556, -880.65333333333342},
      {0.121, 58.323999999999998, -107.99999999999989},
      {0.13770000000000002, 70.999735719801322, -0.21428124217380443},
      {0.15, 70.978629267885466, -4.0070122714750864},
      {0.162, 70.885466232573677, -12.271475081392431},
      {0.1811, 70.454842270848985, -34.723422238918104},
      {0.1968, 69.707774271642037, -61.730528424743305},
      {0.2, 69.5, -68.181818181818201}}},
};

Test(profile, meets_another_program_s_curves) {
    const char *const source = "scipy 1.10.1, PchipInterpolator";
    arena *const a = arena_create(NULL);
    for (size_t i = 0; i < COUNT(curves); i++) {
        const curve_case *const c = &curves[i];
        const profile p = of_areas(a, c->rows, c->x, c->y);
        for (size_t k = 0; k < COUNT(c->at); k++) {
            CHECK_REL(profile_at(&p, c->at[k].x, 0.0).area, c->at[k].y, 1e-13, source);
            CHECK_ABS(area_slope(&p, c->at[k].x), c->at[k].slope,
                      1e-9 + 1e-11 * fabs(c->at[k].slope), source);
        }
    }
    arena_destroy(a);
}

enum { ROWS = 7 };

/* Rows at uneven heights; values that rise (direction 1), fall (-1) or wander (0). */
static void random_rows(unsigned long long *state, int direction, double *x, double *y) {
    x[0] = 0.05 + 0.02 * random_unit(state);
    y[0] = 90.0;
    for (int i = 1; i < ROWS; i++) {
        const double step = exp(4.0 * random_unit(state)) - 0.999;
        const double sign = direction != 0 ? direction : random_unit(state) < 0.5 ? -1.0 : 1.0;
        x[i] = x[i - 1] + 0.002 + 0.04 * random_unit(state);
        y[i] = y[i - 1] + sign * step * (random_unit(state) < 0.2 ? 0.0 : 1.0);
    }
}

/* Between two rows the curve runs one way, from the one value to the other. */
static void check_shape(const profile *p, const double *x, const double *y) {
    for (int i = 0; i + 1 < ROWS; i++) {
        double last = y[i];
        const double rises = y[i + 1] - y[i];
        for (int k = 0; k <= 40; k++) {
            const double h = x[i] + (x[i + 1] - x[i]) * k / 40.0;
            const double value = profile_at(p, h, 0.0).area;
            const double slack = 1e-12 * 1e3;
            cr_assert_geq((value - last) * (rises >= 0.0 ? 1.0 : -1.0), -slack);
            cr_assert_geq(area_slope(p, h) * rises, -1e-9 * fabs(rises) - 1e-9);
            last = value;
        }
        CHECK_REL(last, y[i + 1], 1e-13, "a row");
    }
}

Test(profile, keeps_the_shape_of_its_rows) {
    unsigned long long state = 7;
    for (int trial = 0; trial < 300; trial++) {
        double x[ROWS], y[ROWS];
        random_rows(&state, trial % 3 - 1, x, y);
        arena *const a = arena_create(NULL);
        const profile p = of_areas(a, ROWS, x, y);
        check_shape(&p, x, y);
        arena_destroy(a);
    }
}

Test(profile, is_smooth_across_its_rows) {
    /* Fritsch and Carlson's sufficient condition for monotony is that no slope is beyond three
       secants; C1 is that the slope has one value on both sides of a row. */
    unsigned long long state = 11;
    for (int trial = 0; trial < 100; trial++) {
        double x[ROWS], y[ROWS];
        random_rows(&state, trial % 3 - 1, x, y);
        arena *const a = arena_create(NULL);
        const profile p = of_areas(a, ROWS, x, y);
        for (int i = 1; i + 1 < ROWS; i++) {
            const double e = 1e-10;
            const double left = area_slope(&p, x[i] - e), right = area_slope(&p, x[i] + e);
            const double bend = 1e8; /* more than any curvature of such rows */
            CHECK_ABS(right, left, e * bend, "C1");
            CHECK_ABS(profile_at(&p, x[i] + e, 0.0).area, y[i], e * 1e6, "C0");
            for (int side = -1; side <= 0; side++) {
                const double secant =
                    (y[i + side + 1] - y[i + side]) / (x[i + side + 1] - x[i + side]);
                cr_assert_leq(fabs(area_slope(&p, x[i])), 3.0 * fabs(secant) * (1.0 + 1e-12));
            }
        }
        arena_destroy(a);
    }
}

Test(profile, a_straight_table_is_straight) {
    static const double x[] = {0.071, 0.09, 0.13, 0.141, 0.2};
    double y[5];
    for (int i = 0; i < 5; i++)
        y[i] = 0.0193 - 0.0437 * (x[i] - 0.12);
    arena *const a = arena_create(NULL);
    const profile p = of_areas(a, 5, x, y);
    for (double h = x[0]; h <= x[4]; h += 0.00331) {
        CHECK_REL(profile_at(&p, h, 0.0).area, 0.0193 - 0.0437 * (h - 0.12), 1e-13, "a line");
        CHECK_REL(area_slope(&p, h), -0.0437, 1e-11, "a line");
    }
    arena_destroy(a);
}

Test(profile, two_rows_are_a_line) {
    static const double x[] = {0.11, 0.19}, y[] = {0.021, 0.017};
    arena *const a = arena_create(NULL);
    const profile p = of_areas(a, 2, x, y);
    CHECK_REL(profile_at(&p, 0.13, 0.0).area, 0.02, 1e-14, "a line through two points");
    CHECK_REL(area_slope(&p, 0.17), -0.05, 1e-13, "a line through two points");
    arena_destroy(a);
}

/* Integral by Gauss and Legendre's three points in each of many pieces. */
static double integral(const profile *p, double from, double to) {
    enum { PIECES = 700 };
    const double w = (to - from) / PIECES;
    const double at = sqrt(0.6);
    double sum = 0.0;
    for (int k = 0; k < PIECES; k++) {
        const double middle = from + (k + 0.5) * w;
        sum += w / 18.0 *
               (5.0 * profile_at(p, middle - 0.5 * w * at, 0.0).area +
                8.0 * profile_at(p, middle, 0.0).area +
                5.0 * profile_at(p, middle + 0.5 * w * at, 0.0).area);
    }
    return sum;
}

Test(profile, volume_without_a_column_is_the_integral_of_the_area) {
    const curve_case *const c = &curves[0];
    double area[8];
    for (int i = 0; i < c->rows; i++)
        area[i] = c->y[i] * 1e-4;
    arena *const a = arena_create(NULL);
    const profile p = of_areas(a, c->rows, c->x, area);
    CHECK_REL(profile_at(&p, p.anchor_height, 3.3e5).volume, 2.9e-3, 1e-14, "the anchor");
    for (double h = c->x[0]; h < c->x[7]; h += 0.00937) {
        const profile_point at = profile_at(&p, h, 3.3e5);
        CHECK_REL(at.volume, 2.9e-3 + integral(&p, p.anchor_height, h), 1e-9, "Gauss and Legendre");
        CHECK_REL(at.breathing, at.area, 1e-15, "B = A where the volume is the area's integral");
    }
    CHECK_ABS(p.disagreement, 0.0, 0.0, "an integral agrees with its integrand");
    arena_destroy(a);
}

static const double heights[] = {0.066, 0.081, 0.112, 0.147, 0.171};
static const double volumes[] = {1.207e-3, 1.463e-3, 1.951e-3, 2.437e-3, 2.719e-3};
static const double areas[] = {0.0175, 0.0169, 0.0154, 0.0133, 0.0119};

static profile of_volumes(arena *a) {
    const profile_table table = {.rows = 5, .height = heights, .area = areas, .volume = volumes};
    profile p;
    cr_assert_eq(profile_make(&p, a, &table, 0.0), BARONET_OK);
    return p;
}

Test(profile, a_volume_column_is_kept_and_breathes_by_its_slope) {
    arena *const a = arena_create(NULL);
    const profile p = of_volumes(a);
    for (int i = 0; i < 5; i++) {
        CHECK_REL(profile_at(&p, heights[i], 2e5).volume, volumes[i], 1e-14, "a row");
        CHECK_REL(profile_at(&p, heights[i], 2e5).area, areas[i], 1e-14, "a row");
    }
    for (double h = 0.067; h < 0.17; h += 0.00473) {
        const double e = 1e-6;
        const double slope =
            (profile_at(&p, h + e, 0.0).volume - profile_at(&p, h - e, 0.0).volume);
        CHECK_REL(profile_at(&p, h, 0.0).breathing, slope / (2.0 * e), 1e-5, "central difference");
    }
    arena_destroy(a);
}

Test(profile, area_and_volume_that_disagree_are_found) {
    /* Straight columns: area 0.02 - 0.06 (h - 0.1), volume with slope 0.015; they differ most at
       the low end, by 0.0062/0.0212. */
    static const double h[] = {0.08, 0.1, 0.17};
    static const double A[] = {0.0212, 0.02, 0.0158}, V[] = {1.7e-3, 2e-3, 3.05e-3};
    const profile_table table = {.rows = 3, .height = h, .area = A, .volume = V};
    arena *const a = arena_create(NULL);
    profile p;
    cr_assert_eq(profile_make(&p, a, &table, 0.0), BARONET_OK);
    CHECK_REL(p.disagreement, 0.0062 / 0.0212, 1e-9, "by hand");
    CHECK_REL(p.disagreement_height, 0.08, 1e-12, "by hand");
    arena_destroy(a);
}

Test(profile, load_and_its_slopes_agree) {
    arena *const a = arena_create(NULL);
    const profile p = of_volumes(a);
    const double P = 4.37e5, e = 1e-6;
    for (double h = 0.067; h < 0.17; h += 0.00473) {
        const profile_point at = profile_at(&p, h, P);
        CHECK_REL(at.load, P * at.area, 1e-15, "effective area is load over gauge pressure");
        CHECK_REL(at.load_pressure, at.area, 1e-15, "an area table");
        const double slope =
            (profile_at(&p, h + e, P).load - profile_at(&p, h - e, P).load) / (2.0 * e);
        CHECK_ABS(at.load_height, slope, 1e-4 * fabs(slope) + 1.0, "central difference");
    }
    arena_destroy(a);
}

Test(profile, outside_the_table_its_ends_are_held) {
    arena *const a = arena_create(NULL);
    const profile p = of_volumes(a);
    CHECK_REL(profile_overrun(&p, 0.061), -0.005, 1e-12, "how far below");
    CHECK_REL(profile_overrun(&p, 0.1777), 0.0067, 1e-12, "how far above");
    CHECK_ABS(profile_overrun(&p, 0.066), 0.0, 0.0, "an end is inside");
    CHECK_ABS(profile_overrun(&p, 0.171), 0.0, 0.0, "an end is inside");
    const profile_point low = profile_at(&p, 0.066, 2e5), below = profile_at(&p, 0.05, 2e5);
    CHECK_REL(below.load, low.load, 1e-15, "held");
    CHECK_REL(below.breathing, low.breathing, 1e-13, "held");
    CHECK_ABS(below.load_height, 0.0, 0.0, "held");
    CHECK_REL(below.volume, low.volume - 0.016 * low.breathing, 1e-12, "a straight line on");
    const profile_point high = profile_at(&p, 0.171, 2e5), above = profile_at(&p, 0.19, 2e5);
    CHECK_REL(above.load, high.load, 1e-15, "held");
    CHECK_REL(above.volume, high.volume + 0.019 * high.breathing, 1e-12, "a straight line on");
    arena_destroy(a);
}

Test(profile, an_integral_goes_on_beyond_the_ends) {
    static const double x[] = {0.11, 0.19}, y[] = {0.021, 0.017};
    arena *const a = arena_create(NULL);
    const profile p = of_areas(a, 2, x, y);
    const double first = profile_at(&p, 0.11, 0.0).volume, last = profile_at(&p, 0.19, 0.0).volume;
    CHECK_REL(last - first, 0.019 * 0.08, 1e-13, "mean area times height");
    CHECK_REL(profile_at(&p, 0.1, 0.0).volume, first - 0.01 * 0.021, 1e-13, "end area held");
    CHECK_REL(profile_at(&p, 0.2, 0.0).volume, last + 0.01 * 0.017, 1e-13, "end area held");
    arena_destroy(a);
}

Test(profile, a_piston_ends_where_its_air_is_gone) {
    const profile_table table = {
        .name = "piston", .anchored = true, .anchor_volume = 1.87e-3, .anchor_height = 0.163};
    profile p;
    arena *const a = arena_create(NULL);
    cr_assert_eq(profile_make(&p, a, &table, 0.0123), BARONET_OK);
    const profile_point at = profile_at(&p, 0.2, 5.1e5);
    CHECK_REL(at.load, 5.1e5 * 0.0123, 1e-15, "load = P A");
    CHECK_ABS(at.load_height, 0.0, 0.0, "a constant area");
    CHECK_REL(at.volume, 1.87e-3 + 0.037 * 0.0123, 1e-14, "a cylinder");
    CHECK_REL(at.breathing, 0.0123, 0.0, "a cylinder");
    const double gone = 0.163 - 1.87e-3 / 0.0123;
    CHECK_ABS(profile_at(&p, gone, 0.0).volume, 0.0, 1e-17, "a cylinder");
    const double last = gone + 1e-3 * 1.87e-3 / 0.0123;
    CHECK_REL(profile_overrun(&p, last - 0.004), -0.004, 1e-10, "below a thousandth of its air");
    CHECK_ABS(profile_overrun(&p, last + 1e-9), 0.0, 0.0, "before it");
    CHECK_ABS(profile_overrun(&p, 7.0), 0.0, 0.0, "no upper end");
    cr_assert(isinf(profile_highest_test(&p)));
    arena_destroy(a);
}

/* Loads of a test house's kind at three uneven pressures, not quite in proportion to them. */
static const double tests[] = {2.1e5, 4.3e5, 7.6e5};
static const double loads[] = {3610.0, 3480.0, 3155.0,  2700.0,  2390.0,  7540.0,  7260.0, 6610.0,
                               5700.0, 5080.0, 13690.0, 13170.0, 12010.0, 10380.0, 9270.0};

static profile of_loads(arena *a, bool with_volumes) {
    const profile_table table = {.rows = 5,
                                 .height = heights,
                                 .volume = with_volumes ? volumes : NULL,
                                 .tests = 3,
                                 .pressure = tests,
                                 .load = loads,
                                 .anchored = !with_volumes,
                                 .anchor_volume = 2.2e-3,
                                 .anchor_height = 0.1};
    profile p;
    cr_assert_eq(profile_make(&p, a, &table, 0.0), BARONET_OK);
    return p;
}

Test(profile, a_load_table_gives_back_its_values) {
    arena *const a = arena_create(NULL);
    const profile p = of_loads(a, true);
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < 5; i++) {
            const profile_point at = profile_at(&p, heights[i], tests[k]);
            CHECK_REL(at.load, loads[5 * k + i], 1e-13, "the table");
            CHECK_REL(at.area, loads[5 * k + i] / tests[k], 1e-13, "load over gauge pressure");
        }
    CHECK_REL(profile_highest_test(&p), 7.6e5, 0.0, "the table");
    arena_destroy(a);
}

Test(profile, a_load_table_is_smooth_in_pressure_and_height) {
    arena *const a = arena_create(NULL);
    const profile p = of_loads(a, true);
    for (double h = 0.0671; h < 0.17; h += 0.0097) {
        for (double P = -0.43e5; P < 9e5; P += 0.211e5) {
            const profile_point at = profile_at(&p, h, P);
            const double e = 2.0, d = 1e-6;
            const double along = profile_at(&p, h, P + e).load - profile_at(&p, h, P - e).load;
            const double across = profile_at(&p, h + d, P).load - profile_at(&p, h - d, P).load;
            CHECK_REL(at.load_pressure, along / (2.0 * e), 1e-6, "central difference");
            CHECK_ABS(at.load_height, across / (2.0 * d), 1e-4 * fabs(at.load_height) + 5.0,
                      "central difference");
        }
        for (int k = 0; k < 3; k++) {
            const double below = profile_at(&p, h, tests[k] - 1e-3).load_pressure;
            const double above = profile_at(&p, h, tests[k] + 1e-3).load_pressure;
            CHECK_REL(above, below, 1e-8, "C1 at a test pressure");
        }
    }
    arena_destroy(a);
}

Test(profile, a_load_table_of_a_parabola_is_that_parabola) {
    /* Loads A(h) P (1 + bend P) with a straight A: slopes by the parabola through three neighbours
       are exact for it, and so is the cubic between. */
    const double bend = 2.7e-8;
    double own[15];
    for (int k = 0; k < 3; k++)
        for (int i = 0; i < 5; i++)
            own[5 * k + i] = (0.02 - 0.031 * heights[i]) * tests[k] * (1.0 + bend * tests[k]);
    const profile_table table = {.rows = 5,
                                 .height = heights,
                                 .volume = volumes,
                                 .tests = 3,
                                 .pressure = tests,
                                 .load = own};
    arena *const a = arena_create(NULL);
    profile p;
    cr_assert_eq(profile_make(&p, a, &table, 0.0), BARONET_OK);
    for (double h = 0.067; h < 0.17; h += 0.0113) {
        const double A = 0.02 - 0.031 * h;
        for (double P = 0.05e5; P < 7.6e5; P += 0.391e5) {
            const profile_point at = profile_at(&p, h, P);
            CHECK_REL(at.load, A * P * (1.0 + bend * P), 1e-12, "a parabola");
            CHECK_REL(at.load_pressure, A * (1.0 + 2.0 * bend * P), 1e-11, "its slope");
            CHECK_REL(at.load_height, -0.031 * P * (1.0 + bend * P), 1e-9, "its slope");
        }
        CHECK_REL(profile_at(&p, h, 0.0).area, A, 1e-12, "the limit of load over pressure");
        /* Beyond the last test a straight line with the slope there. */
        const double last = A * 7.6e5 * (1.0 + bend * 7.6e5);
        CHECK_REL(profile_at(&p, h, 8.9e5).load, last + 1.3e5 * A * (1.0 + 2.0 * bend * 7.6e5),
                  1e-12, "straight beyond the last test");
    }
    arena_destroy(a);
}

Test(profile, one_test_pressure_is_a_proportion) {
    const profile_table table = {.rows = 5,
                                 .height = heights,
                                 .volume = volumes,
                                 .tests = 1,
                                 .pressure = tests + 1,
                                 .load = loads + 5};
    arena *const a = arena_create(NULL);
    profile p;
    cr_assert_eq(profile_make(&p, a, &table, 0.0), BARONET_OK);
    CHECK_REL(profile_at(&p, heights[2], 1.9e5).load, 6610.0 * 1.9 / 4.3, 1e-13, "a proportion");
    CHECK_REL(profile_at(&p, heights[2], 6.2e5).load, 6610.0 * 6.2 / 4.3, 1e-13, "a proportion");
    arena_destroy(a);
}

Test(profile, a_load_table_without_volumes_breathes_by_its_mean_area) {
    arena *const a = arena_create(NULL);
    const profile p = of_loads(a, false);
    for (int i = 0; i < 5; i++) {
        double mean = 0.0;
        for (int k = 0; k < 3; k++)
            mean += loads[5 * k + i] / tests[k] / 3.0;
        CHECK_REL(profile_at(&p, heights[i], 3e5).breathing, mean, 1e-13, "mean over the tests");
    }
    CHECK_REL(profile_at(&p, 0.1, 3e5).volume, 2.2e-3, 1e-14, "the anchor");
    const double e = 1e-6;
    const double slope =
        profile_at(&p, 0.13 + e, 0.0).volume - profile_at(&p, 0.13 - e, 0.0).volume;
    CHECK_REL(profile_at(&p, 0.13, 3e5).breathing, slope / (2.0 * e), 1e-7, "central difference");
    arena_destroy(a);
}

static baronet_status make_any(arena *a, int kind) {
    profile p;
    const profile_table table = {.rows = 5,
                                 .height = heights,
                                 .area = kind == 0 ? areas : NULL,
                                 .volume = volumes,
                                 .tests = kind == 0 ? 0 : 3,
                                 .pressure = tests,
                                 .load = loads};
    return profile_make(&p, a, &table, 0.0);
}

Test(profile, a_want_of_memory_is_told) {
    for (int kind = 0; kind < 2; kind++) {
        failing f;
        for (size_t k = 1;; k++) {
            arena *const a = arena_create(failing_start(&f, k));
            if (a != NULL)
                cr_assert_eq(make_any(a, kind), f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
            arena_destroy(a);
            cr_assert_eq(f.live, 0);
            if (!f.failed)
                break;
        }
    }
}
