/* SPDX-License-Identifier: MIT */
#include "base/ration.h"

#include <criterion/criterion.h>
#include <stdint.h>
#include <string.h>

#include "base/memory.h"
#include "baronet/baronet.h"

Test(ration, counts_what_is_taken_and_given_back) {
    ration r;
    ration_start(&r, 1000);
    char *a = memory_resize(&r.allocator, NULL, 300);
    char *const b = memory_resize(&r.allocator, NULL, 450);
    cr_assert(a && b);
    cr_expect_eq(r.used, 750);
    memset(a, 7, 300);
    a = memory_resize(&r.allocator, a, 550);
    cr_assert(a != NULL);
    cr_expect_eq(r.used, 1000);
    for (int k = 0; k < 300; k++)
        cr_assert_eq(a[k], 7);
    cr_expect_not(r.refused);
    a = memory_resize(&r.allocator, a, 120);
    cr_expect_eq(r.used, 570);
    memory_resize(&r.allocator, a, 0);
    memory_resize(&r.allocator, b, 0);
    cr_expect_eq(r.used, 0);
}

Test(ration, refuses_what_is_beyond_it_and_leaves_the_rest_alone) {
    ration r;
    ration_start(&r, 1000);
    char *const a = memory_resize(&r.allocator, NULL, 600);
    cr_expect_null(memory_resize(&r.allocator, NULL, 401));
    cr_expect(r.refused);
    cr_expect_null(memory_resize(&r.allocator, a, 1001));
    cr_expect_null(memory_resize(&r.allocator, NULL, SIZE_MAX));
    cr_expect_eq(r.used, 600);
    memset(a, 1, 600);
    memory_resize(&r.allocator, a, 0);
    cr_expect_eq(r.used, 0);
}

/* A netlist that needs more is refused, with nothing left behind. */
Test(ration, a_netlist_keeps_within_it) {
    const char words[] = "tank t volume 3.1 L\n";
    baronet_netlist *n = NULL;
    ration r;
    ration_start(&r, 3000);
    cr_expect_eq(baronet_netlist_read_text("x", words, strlen(words), &r.allocator, NULL, &n),
                 BARONET_OUT_OF_MEMORY);
    cr_expect(r.refused);
    cr_expect_eq(r.used, 0);
    ration_start(&r, 300000);
    cr_expect_eq(baronet_netlist_read_text("x", words, strlen(words), &r.allocator, NULL, &n),
                 BARONET_OK);
    cr_expect_gt(r.used, 0);
    baronet_netlist_destroy(n);
    cr_expect_eq(r.used, 0);
}
