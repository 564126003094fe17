/* Tests of solver/output/view_svg.c: the pictures of every study that draws, one below the other.
   SPDX-License-Identifier: MIT */
#include "output/view.h"

#include <criterion/criterion.h>
#include <string.h>

#include "ask.h"
#include "boxes.h"
#include "output/picture.h"

static size_t count_of(const char *words, const char *part) {
    size_t count = 0;
    for (const char *at = strstr(words, part); at != NULL; at = strstr(at + 1, part)) {
        count++;
    }
    return count;
}

static void check_study(const char *path, baronet_study *study, const baronet_question *question,
                        size_t least) {
    baronet_netlist *netlist = ask_file(path);
    baronet_answer *answer = ask(netlist, study, question);
    const char *svg = ask_render(answer, BARONET_SVG, false);
    cr_expect_geq(count_of(svg, "role=\"img\""), least, "%s", path);
    boxes b = boxes_read(svg);
    boxes_check(path, &b);
    boxes_free(&b);
    char *first = strdup(svg);
    cr_expect_str_eq(first, ask_render(answer, BARONET_SVG, true), "the same bytes again");
    free(first);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(view_svg, studies_of_curves_draw_them) {
    const baronet_question stroke = {.state = "easy"}, bend = {.event = "bend-linked"};
    const baronet_question coarse = {.state = "easy", .points = 20};
    check_study("netlists/camper.air", baronet_stroke, &stroke, 3);
    check_study("netlists/camper.air", baronet_play, &bend, 3);
    check_study("netlists/camper.air", baronet_response, &coarse, 3);
}

Test(view_svg, only_what_is_asked_for_is_drawn) {
    const baronet_question one = {.event = "bend-linked", .plot = "vehicle.roll"};
    baronet_netlist *netlist = ask_file("netlists/camper.air");
    baronet_answer *answer = ask(netlist, baronet_play, &one);
    cr_expect_eq(count_of(ask_render(answer, BARONET_SVG, false), "role=\"img\""), 1);
    cr_expect_not_null(strstr(ask_render(answer, BARONET_TEXT, false), "\xE2\xA0"));
    baronet_answer_destroy(answer);
    const baronet_question none = {.event = "bend-linked"};
    answer = ask(netlist, baronet_play, &none);
    cr_expect_null(strstr(ask_render(answer, BARONET_TEXT, false), "\xE2\xA0"),
                   "a page is no picture book");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(view_svg, an_answer_without_pictures_says_so) {
    const baronet_question any = {0};
    check_study("netlists/rear.air", baronet_check, &any, 0);
}

/* A page without a title, and one whose only picture has no line to draw. */
Test(view_svg, what_is_missing_is_said) {
    page *p = page_create(NULL, BARONET_METRIC);
    picture_add(page_picture(p, "one point", (picture_axis){"time", BARONET_TIME, false},
                             (picture_axis){"load", BARONET_FORCE, false}),
                "one", 1, (const double[]){1.0}, (const double[]){2.0});
    text_buffer out = {0};
    view_svg(p, &out);
    cr_expect_not_null(strstr(out.bytes, "<title>Untitled netlist</title>"));
    cr_expect_not_null(strstr(out.bytes, "There is nothing to draw here."));
    cr_expect_null(strstr(out.bytes, "role=\"img\""));
    text_buffer_free(&out);
    baronet_answer_destroy(p);
}
