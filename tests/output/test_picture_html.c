/* Tests of solver/output/picture_html.c: the drawing, and its numbers beside it.
   SPDX-License-Identifier: MIT */
#include "output/picture_html.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "support.h"

static char *shown(const page *p, const picture *c) {
    xml_document d;
    picture_html(&d, xml_begin(&d, NULL, "html", "http://www.w3.org/1999/xhtml"), p, c);
    text_buffer out = {0};
    xml_write_html(&d, &out);
    cr_assert_not(out.failed);
    xml_end(&d);
    return out.bytes;
}

static void expect_part(const char *bytes, const char *part) {
    cr_expect_not_null(strstr(bytes, part), "wanted: %s\nin: %s", part, bytes);
}

static int count_parts(const char *bytes, const char *part) {
    int count = 0;
    for (const char *at = bytes; (at = strstr(at, part)) != NULL; at++) {
        count++;
    }
    return count;
}

/* Places of either curve in one order; where one has no point its cell is a dash. */
Test(picture_html, curves_share_a_table) {
    page *p = page_create(NULL, BARONET_METRIC);
    picture *c =
        page_picture(p, "State soft: load", (picture_axis){"travel", BARONET_LENGTH, false},
                     (picture_axis){"gauge pressure", BARONET_PRESSURE, false});
    picture_add(c, "left", 3, (const double[]){-0.02, 0.0, 0.013},
                (const double[]){2.1e5, 3.4e5, 5.6e5});
    picture_add(c, "right", 3, (const double[]){-0.02, 0.005, 0.013},
                (const double[]){1.1e5, (double)NAN, -0.6e5});
    char *bytes = shown(p, c);
    expect_part(bytes, "<figure data-chart=\"bar\"><div class=\"plot\"><svg ");
    expect_part(
        bytes,
        "<th class=\"n\" scope=\"col\">travel, mm</th><th class=\"n\" scope=\"col\">left</th>"
        "<th class=\"n\" scope=\"col\">right</th>");
    expect_part(bytes, "<tr><th class=\"n\" scope=\"row\">-20.0</th><td class=\"n\">2.10</td>"
                       "<td class=\"n\">1.10</td></tr>");
    expect_part(bytes, "<tr><th class=\"n\" scope=\"row\">0.0</th><td class=\"n\">3.40</td>"
                       "<td class=\"n\">\xE2\x80\x93</td></tr>");
    expect_part(bytes, "<tr><th class=\"n\" scope=\"row\">5.0</th><td class=\"n\">\xE2\x80\x93</td>"
                       "<td class=\"n\">\xE2\x80\x93</td></tr>");
    expect_part(bytes, "<tr><th class=\"n\" scope=\"row\">13.0</th><td class=\"n\">5.60</td>"
                       "<td class=\"n\">-0.60</td></tr>");
    cr_expect_eq(count_parts(bytes, "<tr>"), 5);
    expect_part(bytes, "data-x=\"-20 13\"");
    free(bytes);
    baronet_answer_destroy(p);
}

/* Of a long curve some rows, the first and the last among them. */
Test(picture_html, long_curves_have_some_rows_only) {
    enum { POINTS = 977 };
    double x[POINTS], y[POINTS];
    for (int i = 0; i < POINTS; i++) {
        x[i] = 0.01 * pow(1.007, i);
        y[i] = 2e4 + 3e4 * i / POINTS;
    }
    page *p = page_create(NULL, BARONET_IMPERIAL);
    picture *c = page_picture(p, "storage", (picture_axis){"frequency", BARONET_FREQUENCY, true},
                              (picture_axis){"storage", BARONET_STIFFNESS, false});
    picture_add(c, "heave", POINTS, x, y);
    char *bytes = shown(p, c);
    cr_expect_eq(count_parts(bytes, "<tr>"), 1 + 41);
    expect_part(bytes,
                "<th class=\"n\" scope=\"row\">0.01</th><td class=\"n\">114</td>"); /* 20 kN/m */
    expect_part(bytes, "<th class=\"n\" scope=\"row\">9.05</th>"); /* the last place */
    expect_part(bytes, " log\"");
    free(bytes);
    baronet_answer_destroy(p);
}

Test(picture_html, what_cannot_be_drawn_is_said) {
    page *p = page_create(NULL, BARONET_SI);
    picture *c = page_picture(p, "nothing <here>", (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"load", BARONET_FORCE, false});
    picture_add(c, "one", 1, (const double[]){1.0}, (const double[]){2.0});
    char *bytes = shown(p, c);
    expect_part(bytes, "nothing &lt;here&gt;: too few values to draw.");
    free(bytes);
    baronet_answer_destroy(p);
}

/* A place that is no number is a gap, wherever it stands; what comes after it is not lost. */
Test(picture_html, gaps_in_places_are_stepped_over) {
    const double nan = (double)NAN;
    page *p = page_create(NULL, BARONET_METRIC);
    picture *c = page_picture(p, "load", (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"load", BARONET_FORCE, false});
    picture_add(c, "left", 6, (const double[]){nan, 0.0, nan, nan, 2.0, nan},
                (const double[]){7.0, 11.0, 7.0, 7.0, 13.0, 7.0});
    picture_add(c, "right", 2, (const double[]){1.0, 3.0}, (const double[]){17.0, 19.0});
    char *bytes = shown(p, c);
    expect_part(bytes, "row\">0.00</th><td class=\"n\">11.0</td><td class=\"n\">\xE2\x80\x93</td>");
    expect_part(bytes, "row\">1.00</th><td class=\"n\">\xE2\x80\x93</td><td class=\"n\">17.0</td>");
    expect_part(bytes, "row\">2.00</th><td class=\"n\">13.0</td><td class=\"n\">\xE2\x80\x93</td>");
    expect_part(bytes, "row\">3.00</th><td class=\"n\">\xE2\x80\x93</td><td class=\"n\">19.0</td>");
    cr_expect_eq(count_parts(bytes, "<tr>"), 5);
    free(bytes);
    baronet_answer_destroy(p);
}
