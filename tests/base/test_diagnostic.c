/* SPDX-License-Identifier: MIT */
#include "base/diagnostic.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "support.h"

static void add_at(baronet_diagnostics *d, baronet_severity severity, const char *file, int line,
                   int column, const char *message) {
    const baronet_diagnostic diagnostic = {
        .severity = severity, .file = file, .line = line, .column = column, .message = message};
    diagnostics_add(d, &diagnostic);
}

static const baronet_diagnostic misspelt = {
    .severity = BARONET_ERROR,
    .file = "camper.air",
    .line = 12,
    .column = 5,
    .message = "there is no unit \"psf\"",
    .excerpt = "bore 3 psf length 4 m",
    .caret = 7,
    .width = 3,
    .hint = "did you mean \"psi\"?",
};

Test(diagnostic, text_shows_place_line_caret_and_hint) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    diagnostics_add(d, &misspelt);
    cr_assert_str_eq(baronet_diagnostics_text(d, false),
                     "camper.air:12:5: error: there is no unit \"psf\"\n"
                     "  bore 3 psf length 4 m\n"
                     "         ^~~\n"
                     "  did you mean \"psi\"?\n");
    baronet_diagnostics_destroy(d);
}

Test(diagnostic, text_shows_as_much_place_as_there_is) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    add_at(d, BARONET_ERROR, "a.air", 0, 0, "nothing to solve");
    add_at(d, BARONET_WARNING, "a.air", 3, 0, "odd");
    add_at(d, BARONET_NOTE, NULL, 0, 0, "by the way");
    cr_assert_str_eq(baronet_diagnostics_text(d, false), "note: by the way\n"
                                                         "a.air: error: nothing to solve\n"
                                                         "a.air:3: warning: odd\n");
    baronet_diagnostics_destroy(d);
}

Test(diagnostic, colour_changes_nothing_but_colour) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    diagnostics_add(d, &misspelt);
    add_at(d, BARONET_WARNING, "camper.air", 13, 1, "odd");
    cr_assert_null(strchr(baronet_diagnostics_text(d, false), '\033'));
    char plain[1024], stripped[1024];
    strcpy(plain, baronet_diagnostics_text(d, false));
    size_t length = 0;
    const char *coloured = baronet_diagnostics_text(d, true);
    cr_assert_not_null(strstr(coloured, "\033[1;31merror:\033[0m"));
    cr_assert_not_null(strstr(coloured, "\033[1;33mwarning:\033[0m"));
    for (; *coloured; coloured++) {
        if (*coloured == '\033')
            coloured = strchr(coloured, 'm');
        else
            stripped[length++] = *coloured;
    }
    stripped[length] = 0;
    cr_assert_str_eq(stripped, plain);
    baronet_diagnostics_destroy(d);
}

Test(diagnostic, places_come_in_order_and_files_as_first_seen) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    add_at(d, BARONET_ERROR, "z.air", 9, 4, "c");
    add_at(d, BARONET_ERROR, "a.air", 2, 1, "e");
    add_at(d, BARONET_ERROR, "z.air", 9, 2, "b");
    add_at(d, BARONET_NOTE, "z.air", 9, 4, "d");
    add_at(d, BARONET_ERROR, "a.air", 10, 1, "f");
    add_at(d, BARONET_WARNING, "z.air", 1, 7, "a");
    cr_assert_eq(baronet_diagnostics_count(d), 6);
    for (size_t i = 0; i < 6; i++) {
        const char expected[] = {(char)('a' + i), 0};
        cr_assert_str_eq(baronet_diagnostics_at(d, i)->message, expected);
    }
    baronet_diagnostics_destroy(d);
}

Test(diagnostic, strings_are_copied) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    char file[] = "a.air", message[] = "first";
    add_at(d, BARONET_ERROR, file, 1, 1, message);
    strcpy(file, "b.air");
    strcpy(message, "later");
    cr_assert_str_eq(baronet_diagnostics_at(d, 0)->file, "a.air");
    cr_assert_str_eq(baronet_diagnostics_at(d, 0)->message, "first");
    cr_assert_null(baronet_diagnostics_at(d, 0)->excerpt);
    baronet_diagnostics_destroy(d);
}

Test(diagnostic, beyond_the_limit_they_are_only_counted) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 2);
    add_at(d, BARONET_ERROR, "a.air", 1, 1, "one");
    cr_assert(!diagnostics_full(d));
    add_at(d, BARONET_ERROR, "a.air", 2, 1, "two");
    cr_assert(diagnostics_full(d));
    add_at(d, BARONET_ERROR, "a.air", 3, 1, "three");
    cr_assert_str_eq(baronet_diagnostics_text(d, false), "a.air:1:1: error: one\n"
                                                         "a.air:2:1: error: two\n"
                                                         "... and 1 more error\n");
    add_at(d, BARONET_ERROR, "a.air", 4, 1, "four");
    add_at(d, BARONET_WARNING, "a.air", 5, 1, "odd");
    cr_assert_not_null(strstr(baronet_diagnostics_text(d, false), "... and 2 more errors\n"));
    cr_assert_eq(baronet_diagnostics_count(d), 2);
    cr_assert_eq(baronet_diagnostics_total(d, BARONET_ERROR), 4);
    cr_assert_eq(baronet_diagnostics_total(d, BARONET_WARNING), 1);
    cr_assert_eq(baronet_diagnostics_total(d, BARONET_NOTE), 0);
    baronet_diagnostics_destroy(d);
}

Test(diagnostic, an_error_takes_the_room_of_a_warning) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 2);
    add_at(d, BARONET_WARNING, "a.air", 1, 1, "odd");
    add_at(d, BARONET_WARNING, "a.air", 2, 1, "odder");
    add_at(d, BARONET_WARNING, "a.air", 3, 1, "oddest");
    cr_assert(!diagnostics_full(d));
    cr_assert_not_null(strstr(baronet_diagnostics_text(d, false), "... and 1 more warning\n"));
    add_at(d, BARONET_ERROR, "a.air", 4, 1, "wrong");
    cr_assert_str_eq(baronet_diagnostics_text(d, false), "a.air:1:1: warning: odd\n"
                                                         "a.air:4:1: error: wrong\n"
                                                         "... and 2 more warnings\n");
    baronet_diagnostics_destroy(d);
}

Test(diagnostic, fifty_are_kept_unless_told_otherwise) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    cr_assert_str_eq(baronet_diagnostics_text(d, true), "");
    for (int i = 0; i < 60; i++)
        add_at(d, BARONET_ERROR, "a.air", 60 - i, 1, "wrong");
    cr_assert_eq(baronet_diagnostics_count(d), 50);
    cr_assert_eq(baronet_diagnostics_at(d, 0)->line, 11);
    baronet_diagnostics_destroy(d);
    baronet_diagnostics_destroy(NULL);
}

Test(diagnostic, each_refusal_of_memory_is_remembered) {
    failing f;
    for (size_t k = 1;; k++) {
        baronet_diagnostics *const d = baronet_diagnostics_create(failing_start(&f, k), 100);
        for (int i = 0; d && i < 60; i++) {
            char file[32];
            snprintf(file, sizeof file, "part-%d.air", i / 3);
            add_at(d, BARONET_ERROR, file, 60 - i, 1, "wrong");
            diagnostics_add(d, &misspelt);
        }
        const bool failed_adding = d && diagnostics_failed(d);
        const char *const text = d ? baronet_diagnostics_text(d, true) : NULL;
        cr_assert_eq(f.failed, !d || failed_adding || !text, "request %zu", k);
        baronet_diagnostics_destroy(d);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
}

/* Even where errors stand last, it is the warning among them that makes room. */
Test(diagnostic, a_warning_before_errors_makes_room) {
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 2);
    add_at(d, BARONET_WARNING, "a.air", 1, 1, "odd");
    add_at(d, BARONET_ERROR, "a.air", 4, 1, "wrong");
    add_at(d, BARONET_ERROR, "a.air", 5, 1, "bad");
    cr_assert_str_eq(baronet_diagnostics_text(d, false), "a.air:4:1: error: wrong\n"
                                                         "a.air:5:1: error: bad\n"
                                                         "... and 1 more warning\n");
    baronet_diagnostics_destroy(d);
}
