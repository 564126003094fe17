/* Tests of solver/output/symbols.c.
   SPDX-License-Identifier: MIT */
#include "output/symbols.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

static char *drawn(const plan_part *part, const model *m) {
    xml_document d;
    const svg root = {&d, xml_begin(&d, NULL, "svg", SVG_SPACE)};
    symbol_draw(root, part, m, 40.0, 24.0);
    text_buffer out = {0};
    xml_write(&d, &out);
    xml_end(&d);
    cr_assert_not(out.failed);
    return out.bytes;
}

Test(symbols, every_kind_has_its_own) {
    const edge valve = {.kind = EDGE_SOLENOID};
    const model m = {.network = {.edges = 1, .edge = &valve}};
    char *seen[PART_KINDS];
    for (int kind = 0; kind < PART_KINDS; kind++) {
        const plan_part part = {.kind = (part_kind)kind, .turn = ROUTE_RIGHT};
        seen[kind] = drawn(&part, &m);
        cr_expect_not_null(strstr(seen[kind], "<path"));
        cr_expect_not_null(strstr(seen[kind], "translate(40 24) rotate(90)"));
        for (int k = 0; k < kind; k++) {
            cr_expect_str_neq(seen[k], seen[kind]);
        }
    }
    for (int kind = 0; kind < PART_KINDS; kind++) {
        free(seen[kind]);
    }
}

/* The square that is in force meets the line, which is at x = 0: it spans -8 to 8. */
Test(symbols, a_valve_shows_the_square_that_is_in_force) {
    for (int n = 0; n < 4; n++) {
        const edge valve = {.kind = EDGE_SOLENOID, .normally_open = n % 2 == 1};
        const model m = {.network = {.edges = 1, .edge = &valve}};
        const plan_part part = {.kind = PART_SOLENOID, .open = n / 2 == 1};
        char *bytes = drawn(&part, &m);
        cr_expect_not_null(strstr(bytes, "class=\"b-part b-force\" x=\"-8\" y=\"-8\" width=\"16\""),
                           "%s", bytes);
        const bool energised = part.open != valve.normally_open;
        cr_expect_eq(strstr(bytes, "class=\"b-part b-force\" x=\"8\"") != NULL, energised,
                     "its solenoid is filled where it is energised");
        /* An arrow in the square in force where it is open, else in the other. */
        const char *arrow = part.open ? "M0 -8L0 8" : energised ? "M-16 -8L-16 8" : "M16 -8L16 8";
        cr_expect_not_null(strstr(bytes, arrow), "%s", bytes);
        free(bytes);
    }
}
