/* What every command does: reads, asks, writes, and ends with the code that says how it went. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define AXLE                                                                                       \
    "profile sleeve\n"                                                                             \
    "  height mm area cm2 volume L\n"                                                              \
    "  110 79.0 0.98\n"                                                                            \
    "  160 76.5 1.37\n"                                                                            \
    "  210 75.5 1.75\n"                                                                            \
    "corner RL at 0 m 0.8 m load 455 kg\n"                                                         \
    "corner RR at 0 m -0.8 m load 430 kg\n"                                                        \
    "spring left on RL profile sleeve height 160 mm\n"                                             \
    "spring right on RR profile sleeve height 162 mm\n"
#define CROSS                                                                                      \
    "solenoid cross from left to right normally closed bore 4 mm\n"                                \
    "state apart shut cross\nstate joined open cross\n"
#define DUMP                                                                                       \
    "solenoid dump from left to atmosphere normally closed bore 4 mm\nstate up shut dump\nstate "  \
    "down open dump\n"

/* The code of a command for a netlist, once as text and once as CSV; what it says, in either. */
static void expect_code(const char *command_words, const char *netlist, int code, const char *out,
                        const char *err) {
    static const char *const formats[] = {"text", "csv"};
    const char *path = scratch_file("x.air", netlist);
    for (int k = 0; k < 2; k++) {
        char words[900];
        snprintf(words, sizeof words, "%s %s --as %s", command_words, path, formats[k]);
        ran r = program(NULL, words);
        cr_expect_eq(r.code, code, "`%s` ends with %d, not %d, and says: %s", words, r.code, code,
                     r.err);
        if (k == 0) {
            cr_expect_not_null(strstr(r.out, out), "`%s` says:\n%s", words, r.out);
        } else {
            cr_expect_not_null(strstr(r.err, err), "`%s` says:\n%s", words, r.err);
            cr_expect(strncmp(r.out, "study,", 6) == 0 || code == 3, "%s", r.out);
        }
        ran_free(&r);
    }
}

/* The five that are not usage; the sixth is the business of test_options.c and test_hint.c. */
Test(command, ends_with_the_code_that_says_how_it_went) {
    expect_code("check", AXLE, 0, "The netlist is sound", "");
    expect_code("check", AXLE "require load of RL above 5 kN\n", 1, "NOT MET",
                "baronet: a requirement is not met; `--as text` says more\n");
    expect_code("check",
                AXLE "tank pot volume 2 L\n"
                     "solenoid gate from left to pot normally closed bore 6 mm\n",
                3, "The system cannot be charged",
                "baronet: a group has no air given; `--as text` says more\n");
    expect_code("rates", AXLE DUMP, 4, "No answer: flat: `left`",
                "baronet: springs are open to atmosphere; `--as text` says more\n");
    expect_code("states --all", AXLE CROSS, 4, "joined: no answer: unstable in roll",
                "baronet: an equilibrium is unstable; `--as text` says more\n");
    expect_run("check no-such-file.air", 5, "`no-such-file.air` cannot be read");
    expect_run("check netlists", 5, "it is a folder");
    expect_run("check netlists/rear.air --out /no/such/folder", 5, "cannot write");
}

/* A wrong netlist is told of on standard error, place by place, and nothing is answered. */
Test(command, a_wrong_netlist_is_told_of) {
    const char *path = scratch_file("wrong.air", "tank pot volume 2 kg\ntee\n");
    char words[700];
    snprintf(words, sizeof words, "rates %s", path);
    ran r = program(NULL, words);
    cr_expect_eq(r.code, 3);
    cr_expect_str_eq(r.out, "");
    cr_expect_not_null(strstr(r.err, "wrong.air:1:19: error: "), "%s", r.err);
    cr_expect_not_null(strstr(r.err, "wrong.air:2:"), "%s", r.err);
    ran_free(&r);
}

/* Warnings go beside the answer, not into it. */
Test(command, warnings_are_kept_from_the_answer) {
    const char *path = scratch_file("warned.air", "tank pot volume 2 L pressure 3 bar\n");
    char words[700];
    snprintf(words, sizeof words, "rates %s --as csv", path);
    ran r = program(NULL, words);
    cr_expect_eq(r.code, 0);
    cr_expect_not_null(strstr(r.err, "warning: "), "%s", r.err);
    cr_expect(strncmp(r.out, "study,", 6) == 0);
    cr_expect_null(strstr(r.out, "warning"));
    ran_free(&r);
}

/* `-` is standard input, which messages name so; includes are then sought where the program is. */
Test(command, a_dash_reads_standard_input) {
    ran file = program(NULL, "rates netlists/rear.air");
    char *const bytes = file_bytes("netlists/rear.air");
    ran input = program(bytes, "rates -");
    cr_expect_eq(input.code, 0, "%s", input.err);
    cr_expect_str_eq(input.out, file.out);
    free(bytes);
    ran_free(&input);
    ran_free(&file);
    input = program("tee\n", "rates -");
    cr_expect_eq(input.code, 3);
    cr_expect(strncmp(input.err, "-:1:", 4) == 0, "%s", input.err);
    ran_free(&input);
    input = program("include \"netlists/rear.air\"\n", "check -");
    cr_expect_eq(input.code, 0, "%s", input.err);
    ran_free(&input);
    input = program(NULL, "check -");
    cr_expect_eq(input.code, 3, "nothing at all is no netlist");
    ran_free(&input);
}

/* The answer to one question, in a file and on standard output, is the same bytes. */
Test(command, a_file_gets_what_standard_output_gets) {
    static const char *const lines[] = {"states netlists/rear.air",
                                        "rates netlists/rear.air --as csv --units imperial"};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        const char *path = scratch_path("out");
        char words[900];
        snprintf(words, sizeof words, "%s --out %s", lines[i], path);
        ran direct = program(NULL, lines[i]), through = program(NULL, words);
        cr_expect_eq(through.code, 0, "%s", through.err);
        cr_expect_str_eq(through.out, "");
        char *const bytes = file_bytes(path);
        cr_assert_not_null(bytes);
        cr_expect_str_eq(bytes, direct.out);
        free(bytes);
        ran_free(&direct);
        ran_free(&through);
    }
}

/* The exit code tells of the answer even where it goes into a file. */
Test(command, the_code_does_not_depend_on_where_the_answer_goes) {
    const char *netlist = scratch_file("missed.air", AXLE "require load of RL above 5 kN\n");
    char words[1400];
    snprintf(words, sizeof words, "check %s --out %s", netlist, scratch_path("out"));
    ran r = program(NULL, words);
    cr_expect_eq(r.code, 1);
    ran_free(&r);
}

/* Thirteen solenoids have 8192 positions: refused, with the limit and what to do instead. */
Test(command, too_many_combinations_are_refused) {
    char netlist[4000] = "tank pot volume 2 L pressure 3 bar\n";
    for (int k = 0; k < 13; k++) {
        snprintf(netlist + strlen(netlist), sizeof netlist - strlen(netlist),
                 "tank t%d volume 1.%d L pressure 3 bar\n"
                 "solenoid v%d from pot to t%d normally closed bore 6 mm\n",
                 k, k, k, k);
    }
    const char *path = scratch_file("many.air", netlist);
    char words[700];
    snprintf(words, sizeof words, "states %s --all", path);
    ran r = program(NULL, words);
    cr_expect_eq(r.code, 2);
    cr_expect_str_eq(r.out, "");
    cr_expect_not_null(strstr(r.err, "a stated limit is exceeded: every combination is looked at "
                                     "of 12 solenoids at most"),
                       "%s", r.err);
    ran_free(&r);
}
