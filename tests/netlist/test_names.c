/* SPDX-License-Identifier: MIT */
#include "netlist/names.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

Test(names, each_text_has_one_entry) {
    arena *const a = arena_create(NULL);
    names *const n = names_create(a);
    enum { COUNT = 20000 };
    static name *entries[COUNT];
    char word[32];
    for (int i = 0; i < COUNT; i++) {
        snprintf(word, sizeof word, i % 2 ? "tank-%d" : "x%d-a-longer-name", i);
        cr_assert_null(names_find(n, text_of(word)));
        entries[i] = names_take(n, text_of(word));
        cr_assert_not_null(entries[i]);
        cr_assert_str_eq(entries[i]->text, word);
        cr_assert_null(entries[i]->meaning);
    }
    for (int i = 0; i < COUNT; i++) {
        snprintf(word, sizeof word, i % 2 ? "tank-%d" : "x%d-a-longer-name", i);
        cr_assert_eq(names_find(n, text_of(word)), entries[i]);
        cr_assert_eq(names_take(n, text_of(word)), entries[i]);
    }
    names_destroy(n);
    arena_destroy(a);
}

Test(names, any_bytes_are_a_name_here) {
    arena *const a = arena_create(NULL);
    names *const n = names_create(a);
    const text with_nul = {"a\0b", 3}, cut = {"a\0c", 2}, empty = {"", 0};
    name *const first = names_take(n, with_nul);
    cr_assert_neq(first, names_take(n, cut));
    cr_assert_neq(first, names_take(n, empty));
    cr_assert_eq(first, names_find(n, with_nul));
    cr_assert_not_null(names_find(n, empty));
    names_destroy(n);
    names_destroy(NULL);
    arena_destroy(a);
}
