/* Tests of solver/output/place.c.
   SPDX-License-Identifier: MIT */
#include "output/place.h"

#include <criterion/criterion.h>
#include <stdlib.h>

#include "support.h"

enum { COLUMNS = 7, ROWS = 5 };
static const int lines_x[COLUMNS] = {0, 19, 38, 60, 80, 99, 120};
static const int lines_y[ROWS] = {3, 17, 31, 50, 64};

static place_task make(const bool *taken, int things, const bool *fixed, int links,
                       const place_link *link) {
    return (place_task){.columns = COLUMNS,
                        .rows = ROWS,
                        .x = lines_x,
                        .y = lines_y,
                        .taken = taken,
                        .things = things,
                        .fixed = fixed,
                        .links = links,
                        .link = link};
}

/* A chain between two fixed ends of one row lies in that row, in its order. */
Test(place, a_chain_lies_straight_between_its_ends) {
    const bool taken[ROWS * COLUMNS] = {false}, fixed[] = {true, false, false, false, true};
    const place_link link[] = {{0, 3}, {3, 1}, {1, 2}, {2, 4}};
    const place_task task = make(taken, 5, fixed, 4, link);
    int slot[] = {2 * COLUMNS + 1, -1, -1, -1, 2 * COLUMNS + 5};
    arena *a = arena_create(NULL);
    cr_assert_eq(place_solve(&task, slot, a), BARONET_OK);
    const int expected[] = {15, 17, 18, 16, 19};
    for (int k = 0; k < 5; k++) {
        cr_expect_eq(slot[k], expected[k], "thing %d in %d", k, slot[k]);
    }
    arena_destroy(a);
}

/* Whatever the links: each thing has a place of its own, none of them a closed one, fixed things
   stay, and the same task gives the same places. */
Test(place, everything_has_its_own_place_and_always_the_same) {
    unsigned long long seed = 11;
    for (int n = 0; n < 20; n++) {
        bool taken[ROWS * COLUMNS] = {false}, fixed[20] = {false};
        place_link link[30];
        int slot[2][20];
        for (int k = 0; k < 5; k++) {
            taken[(int)(random_unit(&seed) * ROWS * COLUMNS)] = true;
        }
        for (int k = 0; k < 30; k++) {
            link[k].a = (int)(random_unit(&seed) * 20);
            link[k].b = (link[k].a + 1 + (int)(random_unit(&seed) * 19)) % 20;
        }
        int home = 0;
        while (taken[home]) {
            home++;
        }
        fixed[4] = true;
        const place_task task = make(taken, 20, fixed, 30, link);
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
    const bool taken[ROWS * COLUMNS] = {false}, fixed[] = {false, false};
    const place_link link[] = {{0, 1}};
    const place_task task = make(taken, 2, fixed, 1, link);
    failing f;
    for (size_t k = 1;; k++) {
        arena *a = arena_create(failing_start(&f, k));
        int slot[] = {-1, -1};
        cr_expect_eq(a != NULL ? place_solve(&task, slot, a) : BARONET_OUT_OF_MEMORY,
                     f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        arena_destroy(a);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
}
