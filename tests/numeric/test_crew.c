/* SPDX-License-Identifier: MIT */
#include "numeric/crew.h"

#include <criterion/criterion.h>

enum { THINGS = 1000, WORKERS = 3 };

typedef struct tally {
    int done[THINGS];
    int by[THINGS];
} tally;

static void work(void *context, int worker, long index) {
    tally *const t = context;
    t->done[index - 7]++;
    t->by[index - 7] = worker;
}

Test(crew, does_each_thing_once) {
    for (int workers = 0; workers <= WORKERS; workers++) {
        tally t = {{0}, {0}};
        crew_do(workers, 7, THINGS, 1 + 6 * workers, work, &t);
        for (int i = 0; i < THINGS; i++) {
            cr_assert_eq(t.done[i], 1, "%d workers, thing %d", workers, i);
            cr_assert(t.by[i] >= 0 && t.by[i] < (workers > 0 ? workers : 1));
        }
    }
}

Test(crew, nothing_to_do) {
    tally t = {{0}, {0}};
    crew_do(2, 7, 0, 1, work, &t);
    cr_expect_eq(t.done[0], 0);
    cr_expect(crew_size() >= 1);
}
