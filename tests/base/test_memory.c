/* SPDX-License-Identifier: MIT */
#include "base/memory.h"

#include <criterion/criterion.h>
#include <stdint.h>
#include <string.h>

#include "support.h"

Test(memory, an_arena_hands_out_zeroed_aligned_and_separate_memory) {
    arena *const a = arena_create(NULL);
    unsigned char *pieces[400];
    for (size_t i = 0; i < 400; i++) {
        const size_t size = 1 + (i * 37) % 301;
        pieces[i] = arena_take(a, size, 1);
        cr_assert(pieces[i] != NULL);
        cr_assert_eq((uintptr_t)pieces[i] % _Alignof(max_align_t), 0);
        for (size_t k = 0; k < size; k++)
            cr_assert_eq(pieces[i][k], 0);
        memset(pieces[i], (int)(i % 255) + 1, size);
    }
    for (size_t i = 0; i < 400; i++) {
        const size_t size = 1 + (i * 37) % 301;
        for (size_t k = 0; k < size; k++)
            cr_assert_eq(pieces[i][k], i % 255 + 1, "piece %zu was overwritten", i);
    }
    arena_destroy(a);
}

Test(memory, a_large_request_leaves_the_current_block_in_use) {
    failing f;
    arena *const a = arena_create(failing_start(&f, 0));
    cr_assert(arena_take(a, 1, 100) != NULL);
    const size_t before = f.calls;
    cr_assert(arena_take(a, 1, 100000) != NULL);
    cr_assert(arena_take(a, 1, 100) != NULL);
    cr_assert_eq(f.calls, before + 1);
    arena_destroy(a);
    cr_assert_eq(f.live, 0);
}

Test(memory, a_million_small_requests_cost_few_calls) {
    failing f;
    arena *const a = arena_create(failing_start(&f, 0));
    for (int i = 0; i < 1000000; i++)
        cr_assert(arena_take(a, 1, 16) != NULL);
    cr_assert(f.calls < 40, "%zu calls of the allocator", f.calls);
    arena_destroy(a);
    cr_assert_eq(f.live, 0);
}

Test(memory, sizes_that_overflow_are_refused) {
    arena *const a = arena_create(NULL);
    cr_assert_null(arena_take(a, SIZE_MAX, 2));
    cr_assert_null(arena_take(a, SIZE_MAX / 8, 16));
    cr_assert_null(arena_take(a, SIZE_MAX, 1));
    cr_assert_null(arena_take(a, 1, SIZE_MAX - 20));
    cr_assert_null(arena_copy_text(a, "", SIZE_MAX));
    cr_assert_not_null(arena_take(a, 3, 5));
    arena_destroy(a);
}

Test(memory, nothing_can_be_taken_and_nothing_destroyed) {
    arena *const a = arena_create(NULL);
    cr_assert_not_null(arena_take(a, 0, 8));
    cr_assert_not_null(arena_take(a, 8, 0));
    cr_assert_null(arena_allocator(a));
    arena_destroy(a);
    arena_destroy(NULL);
}

Test(memory, text_is_copied_and_terminated) {
    arena *const a = arena_create(NULL);
    cr_assert_str_eq(arena_copy_text(a, "left-air rest", 8), "left-air");
    cr_assert_str_eq(arena_copy_text(a, NULL, 0), "");
    arena_destroy(a);
}

Test(memory, an_arena_that_has_refused_once_is_never_complete_again) {
    failing f;
    arena *const a = arena_create(failing_start(&f, 3));
    cr_assert_not_null(arena_take(a, 3, 500)); /* the arena is the first request, this the second */
    cr_assert(arena_complete(a));
    cr_assert_null(arena_take(a, 3, 50000));
    cr_assert_not_null(arena_take(a, 3, 5)); /* for which there is room left */
    cr_assert_not(arena_complete(a));
    arena_destroy(a);

    arena *const b = arena_create(NULL);
    cr_assert_null(arena_copy_text(b, "", SIZE_MAX));
    cr_assert_not(arena_complete(b));
    arena_destroy(b);
    arena *const c = arena_create(NULL);
    cr_assert_null(arena_take(c, SIZE_MAX / 8, 16));
    cr_assert_not(arena_complete(c));
    arena_destroy(c);
}

Test(memory, an_arena_and_its_owner_come_together_or_not_at_all) {
    for (size_t k = 1; k <= 3; k++) {
        failing f;
        arena *a;
        double *const owner = ARENA_OWNER(double, failing_start(&f, k), &a);
        cr_assert_eq(owner != NULL, k == 3);
        cr_assert_eq(a != NULL, k == 3);
        cr_assert(owner == NULL || *owner == 0.0);
        arena_destroy(a);
        cr_assert_eq(f.live, 0);
    }
}

/* Some work on an arena; true where all of it was granted. */
static bool fill_arena(const baronet_allocator *allocator) {
    arena *const a = arena_create(allocator);
    bool granted = a != NULL;
    for (size_t i = 0; granted && i < 60; i++) {
        granted = ARENA_ARRAY(a, double, 40 + i) && arena_copy_text(a, "abc", 3) &&
                  arena_take(a, i % 7, 9000);
    }
    arena_destroy(a);
    return granted;
}

Test(memory, an_arena_survives_each_refusal) {
    failing f;
    for (size_t k = 1;; k++) {
        const bool granted = fill_arena(failing_start(&f, k));
        cr_assert_eq(granted, !f.failed, "request %zu", k);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
}

Test(memory, an_array_grows_by_doubling_and_keeps_its_items) {
    failing f;
    const baronet_allocator *const allocator = failing_start(&f, 0);
    size_t *items = NULL, capacity = 0;
    for (size_t count = 0; count < 1000; count++) {
        items = memory_grow(allocator, items, count, &capacity, sizeof *items);
        cr_assert(items != NULL && capacity > count);
        items[count] = count * 3;
    }
    for (size_t i = 0; i < 1000; i++)
        cr_assert_eq(items[i], i * 3);
    cr_assert(f.calls <= 8);
    memory_resize(allocator, items, 0);
    cr_assert_eq(f.live, 0);
}

Test(memory, an_array_that_cannot_grow_stays_valid) {
    failing f;
    const baronet_allocator *const allocator = failing_start(&f, 2);
    size_t capacity = 0;
    int *const items = memory_grow(allocator, NULL, 0, &capacity, sizeof *items);
    const size_t full = capacity;
    cr_assert_null(memory_grow(allocator, items, full, &capacity, sizeof *items));
    cr_assert_eq(capacity, full);
    items[full - 1] = 5;
    memory_resize(allocator, items, 0);
    size_t huge = SIZE_MAX / 4;
    cr_assert_null(memory_grow(NULL, NULL, huge, &huge, 16));
    huge = SIZE_MAX / 2 + 1;
    cr_assert_null(memory_grow(NULL, NULL, huge, &huge, 1));
}
