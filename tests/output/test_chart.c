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

/* Names as they are where they are short, and cut between characters where they are long. */
Test(chart, names_are_cut_between_characters) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 3.0};
    picture *c = begin(p);
    picture_add(c, "RL", 2, x, (const double[]){0.01, 0.05});
    picture_add(c, "d\xC3\xA9j\xC3\xA0-vu-a-long-time-\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9", 2, x,
                (const double[]){0.03, 0.02});
    text_buffer out = {0};
    chart_write(p, c, &out);
    cr_expect_not_null(strstr(out.bytes, " RL\n"));
    cr_expect_not_null(strstr(out.bytes, " d\xC3\xA9j\xC3\xA0-vu-a-long-time\xE2\x80\xA6\n"), "%s",
                       out.bytes);
    cr_expect_eq(text_valid_utf8(out.bytes, out.length), out.length);
    cr_expect_eq(lines_of(p, c), 14);
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}

/* Curves that end low, in gaps, or nowhere at all have their names in rows of their own. */
Test(chart, each_name_has_its_row) {
    const double nan = (double)NAN;
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.0, nan, 3.0};
    picture *c = begin(p);
    picture_add(c, "low-1", 4, x, (const double[]){0.05, 0.03, 0.0, 0.0});
    picture_add(c, "low-2", 4, x, (const double[]){0.05, 0.02, 0.0, 0.001});
    picture_add(c, "low-3", 4, x, (const double[]){0.05, 0.01, 0.0, 0.0005});
    picture_add(c, "gap", 4, x, (const double[]){0.05, 0.045, nan, nan});
    picture_add(c, "nowhere", 4, x, (const double[]){nan, nan, nan, nan});
    text_buffer out = {0};
    chart_write(p, c, &out);
    static const char *const names[] = {"low-1", "low-2", "low-3", "gap", "nowhere"};
    int row[5] = {0};
    for (int k = 0; k < 5; k++) {
        const char *at = strstr(out.bytes, names[k]);
        cr_assert_not_null(at, "%s in\n%s", names[k], out.bytes);
        for (const char *c1 = out.bytes; c1 < at; c1++) {
            row[k] += *c1 == '\n';
        }
        for (int j = 0; j < k; j++) {
            cr_expect_neq(row[k], row[j], "%s and %s", names[k], names[j]);
        }
    }
    cr_expect_eq(row[0], 12, "the lowest row, under a title");
    cr_expect_leq(row[3], 3, "near where it ends, not in its gap");
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}

/* A mark beyond the axis has its line of words but no dots; numbers without a unit have none. */
Test(chart, marks_and_axes_of_odd_kinds) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {2.0, 3.0}, y[] = {0.1, 0.1};
    picture *c = page_picture(p, "part", (picture_axis){"share", BARONET_NUMBER, false},
                              (picture_axis){"ratio", BARONET_NUMBER, false});
    picture_add(c, "curve", 2, x, y);
    text_buffer before = {0}, after = {0};
    chart_write(p, c, &before);
    picture_mark_at(c, -90.0, "far left");
    picture_mark_at(c, 90.0, "far right");
    chart_write(p, c, &after);
    cr_expect_eq(strncmp(before.bytes, "  part (curve)\n", 15), 0, "%s", before.bytes);
    cr_expect(strchr("0123456789", before.bytes[before.length - 2]) != NULL,
              "a scale without a unit");
    cr_expect_eq(memcmp(before.bytes, after.bytes, before.length), 0, "no dots");
    cr_expect_str_eq(after.bytes + before.length,
                     "          -90.0: far left\n          90.0: far right\n");
    text_buffer_free(&before);
    text_buffer_free(&after);
    baronet_answer_destroy(p);
}

/* Labels that would run into each other are left out. */
Test(chart, labels_are_apart) {
    page *p = page_create(NULL, BARONET_SI);
    const double x[] = {1e10, 1e12}, y[] = {1.0, 2.0};
    picture *c = page_picture(p, "t", (picture_axis){"frequency", BARONET_FREQUENCY, true},
                              (picture_axis){"ratio", BARONET_NUMBER, false});
    picture_add(c, "curve", 2, x, y);
    text_buffer out = {0};
    chart_write(p, c, &out);
    cr_expect_not_null(strstr(out.bytes, " 10000000000 "));
    cr_expect_null(strstr(out.bytes, " 20000000000 "), "%s", out.bytes);
    cr_expect_not_null(strstr(out.bytes, " 50000000000 "));
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}
