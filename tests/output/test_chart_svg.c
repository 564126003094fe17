/* Tests of solver/output/chart_svg.c: words that can be read, curves that are where their values
   are.
   SPDX-License-Identifier: MIT */
#include "output/chart_svg.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "boxes.h"
#include "support.h"

/* A picture of that many curves, with so many marks. */
static picture *make(page *p, int curves, int marks, const char *name, unsigned long long seed) {
    enum { POINTS = 40 };
    double x[POINTS], y[POINTS];
    picture *c = page_picture(p, "Event a-bend-with-a-long-name: gauge pressure of what is there",
                              (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"gauge pressure", BARONET_PRESSURE, false});
    for (int k = 0; k < curves; k++) {
        const double size = 1e5 * pow(10.0, 2.0 * random_unit(&seed));
        for (int i = 0; i < POINTS; i++) {
            x[i] = 0.37 * i;
            y[i] = size * sin(0.3 * i + k) * exp(-0.2 * i);
        }
        char words[300];
        snprintf(words, sizeof words, "%s%d", name, k);
        c = picture_add(c, words, POINTS, x, y);
    }
    for (int k = 0; k < marks; k++) {
        picture_mark_at(c, 14.0 * random_unit(&seed),
                        "a switch is thrown that has quite long words");
    }
    return c;
}

static char *drawn(const page *p, const picture *c) {
    xml_document d;
    const svg root = {&d, xml_begin(&d, NULL, "svg", SVG_SPACE)};
    double height = 0.0;
    cr_assert_not_null(chart_svg(root, p, c, &height).element);
    svg_size(root, CHART_SVG_WIDTH, height, 1.0);
    text_buffer out = {0};
    xml_write(&d, &out);
    cr_assert_not(out.failed);
    xml_end(&d);
    return out.bytes;
}

Test(chart_svg, no_word_lies_over_another_or_is_cut_off) {
    unsigned long long seed = 3;
    for (int n = 0; n < 120; n++) {
        page *p = page_create(NULL, (baronet_unit_system)(n % 3));
        const char *name = n % 4 == 0 ? "an-uncommonly-long-name-of-a-part-" : "RL";
        const picture *c = make(p, 1 + n % PICTURE_CURVES, n % 15, name, seed + (unsigned)n);
        char *bytes = drawn(p, c);
        boxes b = boxes_read(bytes);
        char what[32];
        snprintf(what, sizeof what, "chart %d", n);
        boxes_check(what, &b);
        boxes_free(&b);
        free(bytes);
        baronet_answer_destroy(p);
    }
}

Test(chart_svg, curves_that_coincide_share_a_label_of_several_lines) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.0}, y[] = {0.1, 0.3};
    picture *c = page_picture(p, "bend", (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"height", BARONET_LENGTH, false});
    for (int k = 0; k < 5; k++) {
        const char name[] = {(char)('a' + k), '-', 'a', 'i', 'r', '\0'};
        picture_add(c, name, 2, x, y);
    }
    char *bytes = drawn(p, c);
    cr_expect_not_null(strstr(bytes, ">a-air,</text>"));
    cr_expect_not_null(strstr(bytes, ">b-air,</text>"));
    cr_expect_not_null(strstr(bytes, ">c-air,\xE2\x80\xA6</text>"));
    cr_expect_not_null(strstr(bytes, "<title>a-air, b-air, c-air, d-air, e-air</title>"));
    free(bytes);
    baronet_answer_destroy(p);
}

/* Places read back from the path and from the labels of the ticks give the values again. */
Test(chart_svg, curves_stand_where_their_values_are) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.3, 2.9, 4.0}, y[] = {0.010, 0.085, -0.030, 0.061};
    picture *c = page_picture(p, "bend", (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"height", BARONET_LENGTH, false});
    picture_add(c, "RL", 4, x, y);
    char *bytes = drawn(p, c);
    boxes b = boxes_read(bytes);
    double y_zero = (double)NAN, y_forty = (double)NAN;
    for (size_t k = 0; k < b.count; k++) {
        const double baseline = b.box[k].bottom - 0.2 * 12.0 - 0.35 * 12.0;
        y_zero = strcmp(b.box[k].words, "0") == 0 && isnan(y_zero) ? baseline : y_zero;
        y_forty = strcmp(b.box[k].words, "40") == 0 ? baseline : y_forty;
    }
    const char *path = strstr(bytes, "b-curve b-curve-1\" d=\"M");
    cr_assert_not_null(path);
    double px[4], py[4];
    cr_assert_eq(sscanf(path + 22, "M%lf %lfL%lf %lfL%lf %lfL%lf %lf\"", &px[0], &py[0], &px[1],
                        &py[1], &px[2], &py[2], &px[3], &py[3]),
                 8);
    for (int k = 0; k < 4; k++) {
        CHECK_ABS(40.0 * (py[k] - y_zero) / (y_forty - y_zero), 1e3 * y[k], 0.05,
                  "mm by the ticks");
        CHECK_ABS(4.0 * (px[k] - px[0]) / (px[3] - px[0]), x[k], 0.005, "s by the ends");
    }
    boxes_free(&b);
    free(bytes);
    baronet_answer_destroy(p);
}

Test(chart_svg, says_in_words_what_there_is_to_see) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.5, 3.0}, y[] = {0.161, 0.124, 0.158};
    picture *c = page_picture(p, "bend", (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"height", BARONET_LENGTH, false});
    picture_add(c, "left-air", 3, x, y);
    char *bytes = drawn(p, c);
    cr_expect_not_null(strstr(bytes, "role=\"img\""));
    cr_expect_not_null(strstr(bytes, "<title>bend</title>"));
    cr_expect_not_null(strstr(
        bytes, "<desc>left-air: from 161 mm at 0.0 s, lowest 124 mm at 1.50 s, highest 161 mm at "
               "0.0 s, to 158 mm at 3.00 s.</desc>"));
    free(bytes);
    baronet_answer_destroy(p);
}

Test(chart_svg, nothing_to_draw_is_no_element) {
    page *p = page_create(NULL, BARONET_METRIC);
    const picture *c = make(p, 0, 2, "", 1);
    xml_document d;
    const svg root = {&d, xml_begin(&d, NULL, "svg", SVG_SPACE)};
    cr_expect_null(chart_svg(root, p, c, NULL).element);
    xml_end(&d);
    baronet_answer_destroy(p);
}

Test(chart_svg, survives_running_out_of_memory) {
    failing f;
    const baronet_allocator *allocator = failing_start(&f, 0);
    page *p = page_create(allocator, BARONET_METRIC);
    const picture *c = make(p, 3, 3, "left-air-", 5);
    size_t k = 1;
    for (bool more = true; more; k += k < 60 ? 1 : 11) {
        const size_t live = f.live;
        f.failed = false;
        f.fail_at = f.calls + k;
        xml_document d;
        const svg root = {&d, xml_begin(&d, allocator, "svg", SVG_SPACE)};
        text_buffer out = {.allocator = allocator};
        chart_svg(root, p, c, NULL);
        xml_write(&d, &out);
        cr_expect_eq(out.failed, f.failed, "request %zu", k);
        more = f.failed;
        text_buffer_free(&out);
        xml_end(&d);
        cr_assert_eq(f.live, live);
    }
    f.fail_at = 0;
    baronet_answer_destroy(p);
    cr_assert_eq(f.live, 0);
}

/* The path of a picture's only curve. */
static char *path_of(const char *bytes) {
    const char *at = strstr(bytes, "<path class=\"b-curve b-curve-1\"");
    cr_assert_not_null(at);
    at = strstr(at, " d=\"") + 4;
    return strndup(at, strcspn(at, "\""));
}

static void expect_commands(int points, const double *x, const double *y, const char *commands) {
    page *p = page_create(NULL, BARONET_SI);
    picture *c = page_picture(p, "a picture", (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"load", BARONET_FORCE, false});
    picture_add(c, "curve", points, x, y);
    char *bytes = drawn(p, c), *const path = path_of(bytes);
    char got[64] = "";
    for (const char *at = path; (at = strpbrk(at, "ML")) != NULL; at++) {
        strncat(got, at, 1);
    }
    cr_expect_str_eq(got, commands, "%s", path);
    free(path);
    free(bytes);
    baronet_answer_destroy(p);
}

Test(chart_svg, gaps_and_ways_back_are_drawn_as_they_are) {
    const double nan = (double)NAN;
    expect_commands(7, (const double[]){0.0, 1.0, 2.0, 3.0, nan, 5.0, 6.0},
                    (const double[]){1.0, 2.5, nan, 3.0, 4.0, 4.0, nan}, "MLMM");
    expect_commands(4, (const double[]){0.0, 1.0, 0.0, 1.0}, (const double[]){1.0, 2.0, 1.0, 2.0},
                    "MLLL");
    expect_commands(5, (const double[]){0.0, 1.0, 2.0, 3.0, 4.0},
                    (const double[]){1.0, 2.0, 3.0, 4.0, 5.0}, "ML");
}

/* Spots stand on the curve alone: not before it begins, nor on its way back. */
Test(chart_svg, spots_stand_on_the_curve) {
    enum { POINTS = 101 };
    double x[POINTS], y[POINTS];
    for (int i = 0; i < POINTS; i++) {
        x[i] = i < 61 ? 0.1 * i : 0.1 * (120 - i);
        y[i] = i < 31 ? (double)NAN : 3.0 + i;
    }
    x[100] = 0.0; /* the axis is twice as long as the curve */
    y[100] = (double)NAN;
    page *p = page_create(NULL, BARONET_SI);
    picture *c = page_picture(p, "a picture", (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"load", BARONET_FORCE, false});
    picture_add(c, "curve", POINTS, x, y);
    picture_add(c, "other", 2, (const double[]){0.0, 6.0}, (const double[]){9.0, 20.0});
    char *bytes = drawn(p, c);
    double left = HUGE_VAL, right = 0.0;
    char *const path = path_of(bytes);
    for (const char *at = path; (at = strpbrk(at, "ML")) != NULL; at++) {
        left = fmin(left, strtod(at + 1, NULL));
        right = fmax(right, strtod(at + 1, NULL));
    }
    free(path);
    int spots = 0;
    for (const char *at = bytes;
         (at = strstr(at, "<circle class=\"b-spot b-spot-1\" cx=\"")) != NULL; spots++) {
        at += strlen("<circle class=\"b-spot b-spot-1\" cx=\"");
        /* One more stands beside the plot, with the name. */
        cr_expect(strtod(at, NULL) > 350.0 ||
                  (strtod(at, NULL) >= left - 1e-9 && strtod(at, NULL) <= right + 1e-9));
    }
    cr_expect_eq(spots, 3, "%d", spots);
    free(bytes);
    baronet_answer_destroy(p);
}

Test(chart_svg, marks_beyond_the_axis_are_left_out) {
    page *p = page_create(NULL, BARONET_SI);
    picture *c = make(p, 1, 0, "curve", 7);
    picture_mark_at(c, -0.4, "too early");
    picture_mark_at(c, 99.0, "too late");
    char *outside = drawn(p, c);
    cr_expect_null(strstr(outside, "b-mark"));
    picture_mark_at(c, 3.7, "in time");
    char *inside = drawn(p, c);
    cr_expect_not_null(strstr(inside, "b-mark"));
    cr_expect_not_null(strstr(inside, "in time"));
    cr_expect_null(strstr(inside, "too late"));
    free(outside);
    free(inside);
    baronet_answer_destroy(p);
}

Test(chart_svg, labels_and_titles_that_are_too_long) {
    page *p = page_create(NULL, BARONET_SI);
    char title[1200] = "word ";
    memset(title + 5, 'w', 400);
    for (int k = 0; k < 60; k++) {
        strcat(title, " and more");
    }
    picture *c = page_picture(p, title, (picture_axis){"frequency", BARONET_FREQUENCY, true},
                              (picture_axis){"load", BARONET_FORCE, false});
    picture_add(c, "curve", 2, (const double[]){1e10, 1e12}, (const double[]){1.0, 2.0});
    char *bytes = drawn(p, c);
    cr_expect_null(strstr(bytes, ">10000000000<"), "it would stick out");
    cr_expect_not_null(strstr(bytes, ">20000000000<"));
    cr_expect_null(strstr(bytes, ">50000000000<"));
    boxes b = boxes_read(bytes);
    boxes_check("a long title", &b);
    boxes_free(&b);
    free(bytes);
    baronet_answer_destroy(p);
}

/* Spots of a curve that goes from right to left. */
Test(chart_svg, a_curve_that_only_goes_back_has_no_spots) {
    page *p = page_create(NULL, BARONET_SI);
    picture *c = page_picture(p, "a picture", (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"load", BARONET_FORCE, false});
    picture_add(c, "back", 3, (const double[]){6.0, 2.5, 0.0}, (const double[]){9.0, 11.0, 20.0});
    char *bytes = drawn(p, c);
    cr_expect_not_null(strstr(bytes, "b-spot b-spot-1"), "the one beside its name");
    cr_expect_null(strstr(strstr(bytes, "b-spot b-spot-1") + 1, "b-spot b-spot-1"));
    free(bytes);
    baronet_answer_destroy(p);
}
