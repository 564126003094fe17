/* The help of the program and of each command fits a terminal. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

/* A page of help: no line beyond column 80, none that ends in a blank. */
static void check_help(const char *words) {
    ran r = program(NULL, words);
    cr_assert_eq(r.code, 0, "%s: %s", words, r.err);
    for (const char *line = r.out; *line != '\0';) {
        const size_t length = strcspn(line, "\n");
        cr_expect_leq(length, 80, "%s: %.*s", words, (int)length, line);
        cr_expect(length == 0 || line[length - 1] != ' ', "%s: %.*s", words, (int)length, line);
        line += length + 1;
    }
    ran_free(&r);
}

Test(lines, help_fits_a_terminal) {
    program_each_help(check_help);
}
