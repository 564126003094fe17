/* Tests of solver/output/drawing_svg.c: words that can be read on every drawing, in every state.
   SPDX-License-Identifier: MIT */
#include "output/drawing_svg.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "ask.h"
#include "boxes.h"
#include "studies/demos.h"

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
