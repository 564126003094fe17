/* Tests of solver/output/drawing_svg.c: words that can be read on every drawing, in every state.
   SPDX-License-Identifier: MIT */
#include "output/drawing_svg.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "ask.h"
#include "boxes.h"
#include "output/page.h"
#include "studies/demos.h"
#include "support.h"

static void check_drawing(const char *path, const baronet_question *question) {
    baronet_netlist *netlist = ask_file(path);
    baronet_answer *answer = ask(netlist, baronet_draw, question);
    char *bytes = strdup(ask_render(answer, BARONET_SVG, false));
    boxes b = boxes_read(bytes);
    boxes_check(path, &b);
    boxes_free(&b);
    cr_expect_not_null(strstr(bytes, "role=\"img\""));
    baronet_answer *again = ask(netlist, baronet_draw, question);
    cr_expect_str_eq(bytes, ask_render(again, BARONET_SVG, false), "the same bytes again");
    free(bytes);
    baronet_answer_destroy(again);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(drawing_svg, demonstrations_can_be_read) {
    for (const char *const *path = demos; *path != NULL; path++) {
        const baronet_question plain = {0};
        const baronet_question full = {.show = "bores,pressures", .units = BARONET_IMPERIAL};
        check_drawing(*path, &plain);
        check_drawing(*path, &full);
    }
}

Test(drawing_svg, states_of_sixty_parts_can_be_read) {
    const baronet_question soft = {.state = "soft", .show = "bores"};
    check_drawing("tests/output/sixty.air", &soft);
}

static size_t count_of(const char *words, const char *part) {
    size_t count = 0;
    for (const char *at = strstr(words, part); at != NULL; at = strstr(at + 1, part)) {
        count++;
    }
    return count;
}

/* With a state, air of springs is thick and what is shut off thin and dashed; the legend says so.
 */
Test(drawing_svg, a_state_tells_open_from_shut) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    const struct {
        const char *state;
        size_t live, apart;
    } cases[] = {{"firm", 6, 3}, {"soft", 6, 0}, {"linked", 6, 0}};
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        const baronet_question question = {.state = cases[k].state};
        baronet_answer *answer = ask(netlist, baronet_draw, &question);
        const char *bytes = ask_render(answer, BARONET_SVG, false);
        const size_t legend = 1;
        cr_expect_eq(count_of(bytes, "class=\"b-line b-apart\""), (k == 0 ? 2 : 0) + legend, "%s",
                     cases[k].state);
        cr_expect_eq(count_of(bytes, "class=\"b-line b-live"), (k == 0 ? 4 : 6) + legend, "%s",
                     cases[k].state);
        baronet_answer_destroy(answer);
    }
    const baronet_question rest = {0};
    baronet_answer *answer = ask(netlist, baronet_draw, &rest);
    const char *bytes = ask_render(answer, BARONET_SVG, false);
    cr_expect_eq(count_of(bytes, "class=\"b-line\""), 6, "two lines for each of three valves");
    cr_expect_not_null(strstr(bytes, ">front</text>"));
    cr_expect_not_null(strstr(bytes, "cross joins left-air and right-air."));
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* One wheel has no outline of a body between its wheels, and a netlist need not say what it is. */
Test(drawing_svg, one_wheel_without_a_name) {
    baronet_netlist *netlist =
        ask_text("profile p area 95 cm2 volume 2.9 L at 150 mm\n"
                 "corner RL at 0 m 0.8 m load 300 kg\nspring bag on RL profile p height 150 mm\n");
    const baronet_question question = {0};
    baronet_answer *answer = ask(netlist, baronet_draw, &question);
    const char *bytes = ask_render(answer, BARONET_SVG, false);
    cr_expect_not_null(strstr(bytes, ">Untitled netlist</text>"));
    cr_expect_null(strstr(bytes, "class=\"b-body\""));
    boxes b = boxes_read(bytes);
    boxes_check("one wheel", &b);
    boxes_free(&b);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(drawing_svg, tells_of_any_refusal) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    const baronet_question question = {.state = "soft", .show = "bores,pressures"};
    page *p = ask(netlist, baronet_draw, &question);
    for (int k = 0; k < 2; k++) {
        const baronet_format format = k == 0 ? BARONET_SVG : BARONET_HTML;
        failing f = {.failed = true};
        for (size_t request = 1; f.failed; request += request < 60 ? 1 : 7) {
            text_buffer_free(&p->rendered);
            p->allocator = p->rendered.allocator = failing_start(&f, request);
            const char *bytes = NULL;
            size_t length = 0;
            cr_expect_eq(baronet_answer_render(p, format, false, &bytes, &length),
                         f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", request);
            text_buffer_free(&p->rendered);
            cr_expect_eq(f.live, 0);
            p->allocator = p->rendered.allocator = NULL;
        }
    }
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}
