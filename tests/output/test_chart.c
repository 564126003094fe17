/* Tests of solver/output/chart.c.
   SPDX-License-Identifier: MIT */
#include "output/chart.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static picture *begin(page *p) {
    return page_picture(p, "left", (picture_axis){"time", BARONET_TIME, false},
                        (picture_axis){"height", BARONET_LENGTH, false});
}

/* Lines of a picture, each within a page's width and without blanks at its end. */
static int lines_of(const page *p, const picture *c) {
    text_buffer out = {0};
    chart_write(p, c, &out);
    int lines = 0;
    for (char *line = out.bytes; line != NULL && *line != '\0'; lines++) {
        const size_t length = strcspn(line, "\n");
        cr_expect_leq(text_columns(line, length), 80);
        cr_expect(length == 0 || line[length - 1] != ' ');
        line += length + 1;
    }
    text_buffer_free(&out);
    return lines;
}

Test(chart, a_curve_fills_its_lines_and_no_more) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.0, 2.0, 3.0}, y[] = {0.01, (double)NAN, 0.03, -0.02};
    picture *c = begin(p);
    picture_add(c, "left.height", 4, x, y);
    cr_expect_eq(lines_of(p, c), 14, "a title, 12 rows and a scale");
    picture_mark_at(c, 1.5, "a switch is thrown");
    cr_expect_eq(lines_of(p, c), 15, "and a line for its mark");
    cr_expect_not(p->failed);
    baronet_answer_destroy(p);
}

Test(chart, several_curves_have_their_names_beside_them) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 3.0};
    picture *c = begin(p);
    for (int k = 0; k < PICTURE_CURVES; k++) {
        const double y[] = {0.01 * k, 0.05 + 1e-4 * k};
        char name[] = "a-name-that-is-much-too-long-0";
        name[sizeof name - 2] = (char)('0' + k);
        name[0] = (char)('a' + k);
        picture_add(c, name, 2, x, y);
    }
    text_buffer out = {0};
    chart_write(p, c, &out);
    for (int k = 0; k < PICTURE_CURVES; k++) {
        char name[] = " x-name-that-is-muc";
        name[1] = (char)('a' + k);
        cr_expect_not_null(strstr(out.bytes, name), "%s", name);
    }
    cr_expect_eq(lines_of(p, c), 14);
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}

Test(chart, a_flat_curve_is_a_line_and_a_single_point_nothing) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.0}, y[] = {0.16, 0.16};
    picture *flat = begin(p), *point = begin(p), *none = begin(p);
    picture_add(flat, "flat", 2, x, y);
    picture_add(point, "point", 1, x, y);
    cr_expect_eq(lines_of(p, flat), 14);
    cr_expect_eq(lines_of(p, point), 0);
    cr_expect_eq(lines_of(p, none), 0);
    baronet_answer_destroy(p);
}

Test(chart, frequencies_are_spread_by_their_logarithm) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.01, 0.1, 1.0, 10.0}, y[] = {1e4, 2e4, 3e4, 4e4};
    picture *c = page_picture(p, "roll", (picture_axis){"frequency", BARONET_FREQUENCY, true},
                              (picture_axis){"storage", BARONET_STIFFNESS, false});
    picture_add(c, "roll", 4, x, y);
    text_buffer out = {0};
    chart_write(p, c, &out);
    const char *scale = strstr(out.bytes, " 0.01");
    cr_assert_not_null(scale);
    const char *tenth = strstr(scale, " 0.1 "), *one = strstr(scale, " 1 "),
               *ten = strstr(scale, " 10 Hz");
    cr_assert(tenth != NULL && one != NULL && ten != NULL);
    cr_expect_leq(labs((one - tenth) - (ten - one)), 2, "powers of ten are equally far apart");
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}
