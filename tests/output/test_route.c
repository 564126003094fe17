/* Tests of solver/output/route.c.
   SPDX-License-Identifier: MIT */
#include "output/route.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "support.h"

enum { WIDE = 60, HIGH = 40 };

static int sign(int value) {
    return (value > 0) - (value < 0);
}

/* Walks along all lines: none passes what is blocked, none runs along another net's, and no two
   nets share a corner or an end. Fills who is where. */
static void check_lines(const route_plan *plan, const bool *blocked, int *owner) {
    static int across[HIGH * WIDE][2];
    static bool bend[HIGH * WIDE];
    memset(across, 0, sizeof across);
    memset(bend, 0, sizeof bend);
    for (int k = 0; k < plan->lines; k++) {
        const route_line *l = &plan->line[k];
        cr_expect_not(l->forced, "line %d", k);
        for (int i = 0; i + 1 < l->points; i++) {
            const spot a = l->point[i], b = l->point[i + 1];
            cr_assert((a.x == b.x) != (a.y == b.y), "upright or level");
            spot q = a;
            for (;;) {
                const int at = q.y * WIDE + q.x, way = a.x == b.x;
                const bool end = (q.x == a.x && q.y == a.y) || (q.x == b.x && q.y == b.y);
                const bool first = (i == 0 && q.x == a.x && q.y == a.y) ||
                                   (i + 2 == l->points && q.x == b.x && q.y == b.y);
                cr_expect(!blocked[at] || first, "line %d through (%d, %d)", k, q.x, q.y);
                for (int w = 0; w < 2; w++) {
                    const bool other = across[at][w] != 0 && across[at][w] != l->net + 1;
                    cr_expect(!other || (w != way && !end && !bend[at]), "line %d at (%d, %d)", k,
                              q.x, q.y);
                }
                across[at][way] = l->net + 1;
                across[at][!way] = end ? l->net + 1 : across[at][!way];
                bend[at] = bend[at] || end;
                owner[at] = l->net + 1;
                if (q.x == b.x && q.y == b.y) {
                    break;
                }
                q = (spot){q.x + sign(b.x - a.x), q.y + sign(b.y - a.y)};
            }
        }
    }
}

Test(route, goes_straight_where_nothing_is_in_the_way) {
    const bool blocked[HIGH * WIDE] = {false};
    const route_port port[] = {{{5, 7}, ROUTE_RIGHT, 0, true}, {{31, 7}, ROUTE_LEFT, 0, false}};
    arena *a = arena_create(NULL);
    route_plan plan;
    cr_assert_eq(route_solve(&plan, a, WIDE, HIGH, blocked, 2, port), BARONET_OK);
    cr_expect_eq(plan.lines, 1);
    cr_expect_eq(plan.line[0].points, 2);
    cr_expect_eq(plan.dots, 0);
    arena_destroy(a);
}

Test(route, leaves_and_arrives_as_its_ports_say) {
    const bool blocked[HIGH * WIDE] = {false};
    const route_port port[] = {{{5, 7}, ROUTE_UP, 0, true}, {{31, 7}, ROUTE_UP, 0, false}};
    arena *a = arena_create(NULL);
    route_plan plan;
    cr_assert_eq(route_solve(&plan, a, WIDE, HIGH, blocked, 2, port), BARONET_OK);
    cr_assert_eq(plan.line[0].points, 4);
    cr_expect_lt(plan.line[0].point[1].y, 7, "out upwards");
    arena_destroy(a);
}

/* A port that may be left in any direction is left towards where the line goes. */
Test(route, leaves_a_port_of_any_way_the_shortest_way) {
    const bool blocked[HIGH * WIDE] = {false};
    const route_port port[] = {{{5, 7}, ROUTE_RIGHT, 0, true}, {{31, 7}, ROUTE_ANY, 0, false}};
    arena *a = arena_create(NULL);
    route_plan plan;
    cr_assert_eq(route_solve(&plan, a, WIDE, HIGH, blocked, 2, port), BARONET_OK);
    cr_expect_eq(plan.line[0].points, 2);
    cr_expect_not(plan.line[0].forced);
    arena_destroy(a);
}

Test(route, three_ends_meet_in_a_dot_or_at_a_part_that_joins) {
    const bool blocked[HIGH * WIDE] = {false};
    route_port port[] = {{{5, 10}, ROUTE_RIGHT, 0, true},
                         {{31, 10}, ROUTE_LEFT, 0, false},
                         {{18, 20}, ROUTE_UP, 0, false}};
    arena *a = arena_create(NULL);
    route_plan plan;
    cr_assert_eq(route_solve(&plan, a, WIDE, HIGH, blocked, 3, port), BARONET_OK);
    cr_expect_eq(plan.dots, 1);
    port[0].way = ROUTE_ANY; /* a tee: lines go to it */
    cr_assert_eq(route_solve(&plan, a, WIDE, HIGH, blocked, 3, port), BARONET_OK);
    cr_expect_eq(plan.dots, 0);
    arena_destroy(a);
}

/* Random tees with random ends about them, and things in the way. */
Test(route, lines_keep_apart_and_join_what_belongs_together) {
    unsigned long long seed = 5;
    for (int n = 0; n < 40; n++) {
        enum { NETS = 7, ENDS = 3 };
        bool blocked[HIGH * WIDE] = {false};
        route_port port[NETS * ENDS];
        int ports = 0;
        for (int k = 0; k < NETS * ENDS; k++) {
            /* Each in a cell of its own, far enough from the others to get out. */
            const spot at = {4 + 8 * (k % 7), 5 + 12 * (k / 7)};
            const int net = k % 2 == 0 ? k / 6 : NETS - 1 - k / 6;
            bool own = true;
            for (int i = 0; i < ports; i++) {
                own = own && port[i].net != net;
            }
            port[ports++] =
                (route_port){at, own ? (int)ROUTE_ANY : (int)(random_unit(&seed) * 4.0), net, own};
            blocked[at.y * WIDE + at.x] = !own;
        }
        for (int k = 0; k < 12; k++) {
            const int x = 8 * (int)(random_unit(&seed) * 7), y = 12 * (int)(random_unit(&seed) * 3);
            blocked[(y + 11) * WIDE + x] = true;
        }
        arena *a = arena_create(NULL);
        route_plan plan;
        cr_assert_eq(route_solve(&plan, a, WIDE, HIGH, blocked, ports, port), BARONET_OK);
        int owner[HIGH * WIDE] = {0};
        check_lines(&plan, blocked, owner);
        for (int k = 0; k < ports; k++) {
            bool alone = true;
            for (int i = 0; i < ports; i++) {
                alone = alone && (i == k || port[i].net != port[k].net);
            }
            cr_expect(alone || owner[port[k].at.y * WIDE + port[k].at.x] == port[k].net + 1,
                      "port %d of run %d", k, n);
        }
        arena_destroy(a);
    }
}

Test(route, says_where_there_is_no_way) {
    bool blocked[HIGH * WIDE] = {false};
    for (int y = 0; y < HIGH; y++) {
        blocked[y * WIDE + 20] = true;
    }
    const route_port port[] = {{{5, 7}, ROUTE_RIGHT, 0, true}, {{31, 7}, ROUTE_LEFT, 0, false}};
    arena *a = arena_create(NULL);
    route_plan plan;
    cr_assert_eq(route_solve(&plan, a, WIDE, HIGH, blocked, 2, port), BARONET_OK);
    cr_expect(plan.line[0].forced);
    arena_destroy(a);
}

Test(route, survives_running_out_of_memory) {
    const bool blocked[HIGH * WIDE] = {false};
    const route_port port[] = {{{5, 7}, ROUTE_RIGHT, 0, true}, {{31, 9}, ROUTE_LEFT, 0, false}};
    failing f;
    for (size_t k = 1;; k++) {
        arena *a = arena_create(failing_start(&f, k));
        route_plan plan;
        cr_expect_eq(a != NULL ? route_solve(&plan, a, WIDE, HIGH, blocked, 2, port)
                               : BARONET_OUT_OF_MEMORY,
                     f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        arena_destroy(a);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
}
