/* Tests of solver/output/svg.c.
   SPDX-License-Identifier: MIT */
#include "output/svg.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "support.h"

static void expect_place(double value, const char *words) {
    text_buffer out = {0};
    svg_write(&out, value);
    cr_expect_str_eq(out.bytes, words, "%g", value);
    text_buffer_free(&out);
}

Test(svg, places_are_hundredths_without_needless_digits) {
    expect_place(0.0, "0");
    expect_place(-0.001, "0");
    expect_place(12.3, "12.3");
    expect_place(12.34, "12.34");
    expect_place(-7.05, "-7.05");
    expect_place(100.0, "100");
    expect_place(0.125, "0.13"); /* a tie goes up, with rounding on either side of it too */
    expect_place(0.125 - 1e-12, "0.13");
    expect_place((double)NAN, "0");
    expect_place(1e300, "10000000");
}

Test(svg, words_are_as_wide_as_their_letters) {
    CHECK_ABS(svg_width(text_of(""), 13.0), 0.0, 0.0, "nothing");
    cr_expect_gt(svg_width(text_of("WWW"), 13.0), 2.0 * svg_width(text_of("iii"), 13.0));
    CHECK_REL(svg_width(text_of("height"), 26.0), 2.0 * svg_width(text_of("height"), 13.0), 1e-12,
              "in proportion to the size");
    cr_expect_eq(svg_fitting(text_of("k\xC3\xBChl"), 10.0, 7.0 + 10.0), 3, "whole characters");
}

Test(svg, text_that_is_cut_short_says_all_of_it_in_its_title) {
    xml_document d;
    const svg root = {&d, xml_begin(&d, NULL, "svg", SVG_SPACE)};
    svg_text_within(root, NULL, SVG_END, 5.0, 7.0, "a-very-long-name-of-a-hose", 13.0, 60.0);
    svg_text_within(root, "b-soft", SVG_START, 5.0, 7.0, "short", 13.0, 60.0);
    text_buffer out = {0};
    xml_write(&d, &out);
    cr_assert_not(out.failed);
    cr_expect_not_null(strstr(out.bytes, "<title>a-very-long-name-of-a-hose</title>"));
    cr_expect_not_null(strstr(out.bytes, "\xE2\x80\xA6</text>"));
    cr_expect_not_null(strstr(out.bytes, "<text class=\"b-soft\" x=\"5\" y=\"7\">short</text>"));
    text_buffer_free(&out);
    xml_end(&d);
}

Test(svg, every_class_that_elements_use_has_its_look) {
    xml_document d;
    const svg root = {&d, xml_begin(&d, NULL, "svg", SVG_SPACE)};
    svg_style(root, true);
    text_buffer out = {0};
    xml_write(&d, &out);
    cr_assert_not(out.failed);
    static const char *const classes[] = {"b-title", "b-soft", "b-grid",    "b-axis",  "b-mark",
                                          "b-curve", "b-lead", "b-curve-7", "b-spot-7"};
    for (size_t k = 0; k < sizeof classes / sizeof classes[0]; k++) {
        cr_expect_not_null(strstr(out.bytes, classes[k]), "%s", classes[k]);
    }
    cr_expect_not_null(strstr(out.bytes, "prefers-color-scheme:dark"));
    cr_expect_not_null(strstr(out.bytes, "@media print"));
    cr_expect_null(strstr(out.bytes, "url("), "nothing is loaded from elsewhere");
    text_buffer_free(&out);
    xml_end(&d);
}
