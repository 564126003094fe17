/* Tests of solver/output/place.c.
   SPDX-License-Identifier: MIT */
#include "output/place.h"

#include <criterion/criterion.h>
#include <stdlib.h>

#include "support.h"

enum { COLUMNS = 7, ROWS = 5 };
static const int lines_x[COLUMNS] = {0, 19, 38, 60, 80, 99, 120};
static const int lines_y[ROWS] = {3, 17, 31, 50, 64};

static place_task make(const bool *taken, int things, const bool *fixed, int paths,
                       const place_path *path) {
    return (place_task){.columns = COLUMNS,
                        .rows = ROWS,
                        .x = lines_x,
                        .y = lines_y,
                        .taken = taken,
                        .things = things,
                        .fixed = fixed,
                        .two_sides = fixed,
                        .paths = paths,
                        .path = path};
}

/* A chain between two fixed ends of one row lies in that row, in its order. */
Test(place, a_chain_lies_straight_between_its_ends) {
    const bool taken[ROWS * COLUMNS] = {false}, fixed[] = {true, false, false, false, true};
    const place_path path[] = {{3, 0, 1}, {2, 1, 4}};
    const place_task task = make(taken, 5, fixed, 2, path);
    int slot[] = {2 * COLUMNS + 1, -1, -1, -1, 2 * COLUMNS + 5};
    arena *a = arena_create(NULL);
    cr_assert_eq(place_solve(&task, slot, a), BARONET_OK);
    const int expected[] = {15, 17, 18, 16, 19};
    for (int k = 0; k < 5; k++) {
        cr_expect_eq(slot[k], expected[k], "thing %d in %d", k, slot[k]);
    }
    arena_destroy(a);
}

/* Counted by hand on squared paper: straight on, round one corner, back beside itself. */
Test(place, a_path_looks_where_its_lines_bend_least) {
    static const struct {
        spot from, to;
        int way, corners;
    } cases[] = {{{50, 20}, {50, 90}, 0, 0}, {{83, 41}, {7, 41}, 1, 0}, {{9, 41}, {77, 41}, 3, 0},
                 {{50, 90}, {50, 20}, 2, 0}, {{50, 20}, {9, 90}, 0, 1}, {{9, 20}, {83, 93}, 0, 2},
                 {{50, 90}, {9, 41}, 1, 2},  {{50, 20}, {50, 9}, 0, 3}};
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        int corners = -1;
        const int way = place_turn((spot){50, 41}, (place_end){cases[k].from, false},
                                   (place_end){cases[k].to, false}, &corners);
        cr_expect_eq(corners, cases[k].corners, "case %zu: %d corners", k, corners);
        cr_expect_eq(way, cases[k].way, "case %zu: way %d", k, way);
    }
    int corners = -1;
    const place_end below = {{50, 90}, true}, beside = {{9, 41}, false};
    cr_expect_eq(place_turn((spot){50, 41}, below, beside, &corners), 2,
                 "straight to the one that has two sides");
    cr_expect_eq(corners, 2);
    cr_expect_eq(place_turn((spot){50, 41}, beside, below, &corners), 0);
}

/* Whatever the paths: each thing has a place of its own, none of them a closed one, fixed things
   stay, and the same task gives the same places. */
Test(place, everything_has_its_own_place_and_always_the_same) {
    unsigned long long seed = 11;
    for (int n = 0; n < 20; n++) {
        bool taken[ROWS * COLUMNS] = {false}, fixed[20] = {false};
        place_path path[15];
        int slot[2][20];
        for (int k = 0; k < 5; k++) {
            taken[(int)(random_unit(&seed) * ROWS * COLUMNS)] = true;
        }
        for (int k = 0; k < 15; k++) {
            const int one = (int)(random_unit(&seed) * 20);
            const int by = 1 + (int)(random_unit(&seed) * 9);
            path[k] = (place_path){one, (one + by) % 20, (one + 2 * by) % 20};
        }
        int home = 0;
        while (taken[home]) {
            home++;
        }
        fixed[4] = true;
        const place_task task = make(taken, 20, fixed, 15, path);
        arena *a = arena_create(NULL);
        for (int pass = 0; pass < 2; pass++) {
            for (int k = 0; k < 20; k++) {
                slot[pass][k] = k == 4 ? home : -1;
            }
            cr_assert_eq(place_solve(&task, slot[pass], a), BARONET_OK);
        }
        bool used[ROWS * COLUMNS] = {false};
        for (int k = 0; k < 20; k++) {
            cr_assert(slot[0][k] >= 0 && slot[0][k] < ROWS * COLUMNS);
            cr_expect_not(taken[slot[0][k]]);
            cr_expect_not(used[slot[0][k]]);
            cr_expect_eq(slot[0][k], slot[1][k]);
            used[slot[0][k]] = true;
        }
        cr_expect_eq(slot[0][4], home);
        arena_destroy(a);
    }
}

Test(place, survives_running_out_of_memory) {
    const bool taken[ROWS * COLUMNS] = {false}, fixed[] = {false, false, false};
    const place_path path[] = {{0, 1, 2}};
    const place_task task = make(taken, 3, fixed, 1, path);
    failing f;
    for (size_t k = 1;; k++) {
        arena *a = arena_create(failing_start(&f, k));
        int slot[] = {-1, -1, -1};
        cr_expect_eq(a != NULL ? place_solve(&task, slot, a) : BARONET_OUT_OF_MEMORY,
                     f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        arena_destroy(a);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
}

Test(place, nothing_is_placed_at_once) {
    static const bool taken[COLUMNS * ROWS] = {false};
    const place_task task = make(taken, 0, NULL, 0, NULL);
    arena *a = arena_create(NULL);
    int slot = 3;
    cr_expect_eq(place_solve(&task, &slot, a), BARONET_OK);
    cr_expect_eq(slot, 3);
    arena_destroy(a);
}
