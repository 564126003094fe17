/* The table of commands: each has words for its help, and the help lists them all. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "program.h"

/* The program's objects are not the library's, so what is in the table is seen from outside; that
   the examples work is tested in test_main.c. */
Test(commands, each_leads_with_an_example_of_its_own) {
    char names[64][16];
    const int count = program_commands(names);
    for (int k = 0; k < count; k++) {
        char words[64], start[64];
        snprintf(words, sizeof words, "%.15s --help", names[k]);
        ran help = program(NULL, words);
        snprintf(start, sizeof start, "baronet %.15s netlists/", names[k]);
        cr_expect_eq(strncmp(help.out, start, strlen(start)), 0, "%s: %s", words, help.out);
        ran_free(&help);
    }
}

/* Exit codes are those of statuses (baronet/status.h), whose words may be finer. */
Test(commands, the_help_tells_every_exit_code) {
    ran help = program(NULL, "--help");
    const char *codes = strstr(help.out, "Exit:");
    cr_assert_not_null(codes);
    for (int code = 0; code <= 5; code++) {
        char words[2][16];
        snprintf(words[0], sizeof words[0], " %d ", code);
        snprintf(words[1], sizeof words[1], "\n%d ", code);
        cr_expect(strstr(codes, words[0]) != NULL || strstr(codes, words[1]) != NULL,
                  "no exit code %d: %s", code, codes);
    }
    ran_free(&help);
}
