/* The program as a whole: its help, its version, its commands, colour, and the locale around it. */
#define _XOPEN_SOURCE 700 /* for posix_openpt */
#include "program.h"

#include <criterion/criterion.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "baronet/api.h"

Test(main, tells_its_version) {
    ran r = program(NULL, "--version");
    cr_expect_eq(r.code, 0);
    cr_expect_str_eq(r.out, "baronet " BARONET_VERSION "\n");
    ran_free(&r);
}

Test(main, help_goes_to_standard_output_and_complaints_do_not) {
    expect_run("--help", 0, "usage: baronet COMMAND FILE [options]");
    expect_run("", 2, "usage: baronet COMMAND FILE [options]");
    expect_run("no-such-command", 2, "there is no command `no-such-command`");
    expect_run("--no-such-option", 2, "there is no command `--no-such-option`");
}

/* The first paragraph of a page of help, which has to be a command line of ours that works; a
   backslash at a line's end joins it to the next. */
static void run_example(const char *help_words) {
    ran help = program(NULL, help_words);
    cr_assert_eq(help.code, 0, "%s", help_words);
    static const char ours[] = "baronet ";
    cr_assert_eq(strncmp(help.out, ours, strlen(ours)), 0, "%s: %.80s", help_words, help.out);
    for (char *end; (end = strstr(help.out, "\\\n")) != NULL;) {
        end[0] = end[1] = ' ';
    }
    help.out[strcspn(help.out, "\n")] = '\0';
    const char *words = help.out + strlen(ours);
    ran r = program(NULL, words);
    cr_expect_eq(r.code, 0, "`%s` ends with %d: %s", words, r.code, r.err);
    cr_expect_str_eq(r.err, "", "`%s`", words);
    cr_expect_gt(r.length, 200, "`%s` says little: %s", words, r.out);
    ran_free(&r);
    ran_free(&help);
}

Test(main, every_example_in_the_help_works) {
    program_each_help(run_example);
}

/* The README lists what the help lists. */
Test(main, the_readme_lists_every_command) {
    char *const readme = file_bytes("README.md");
    cr_assert_not_null(readme);
    char names[64][16];
    const int count = program_commands(names);
    for (int k = 0; k < count; k++) {
        char words[64];
        snprintf(words, sizeof words, "`baronet %.15s FILE`", names[k]);
        cr_expect_not_null(strstr(readme, words), "README.md has no %s", words);
    }
    free(readme);
}

/* Runs a shell line on a terminal of its own and gives all that it showed; to be freed. */
static char *on_terminal(const char *words) {
    const int master = posix_openpt(O_RDWR | O_NOCTTY);
    cr_assert(master >= 0 && grantpt(master) == 0 && unlockpt(master) == 0);
    const int slave = open(ptsname(master), O_RDWR | O_NOCTTY);
    cr_assert_geq(slave, 0);
    const pid_t child = fork();
    cr_assert_geq(child, 0);
    if (child == 0) {
        dup2(slave, STDOUT_FILENO);
        dup2(slave, STDERR_FILENO);
        execl("/bin/sh", "sh", "-c", words, (char *)NULL);
        _exit(127);
    }
    close(slave);
    size_t room = 1 << 16, length = 0;
    char *shown = malloc(room);
    cr_assert_not_null(shown);
    for (;;) {
        const ssize_t got = read(master, shown + length, room - length - 1);
        if (got <= 0) { /* EIO: the last one that had it open has gone */
            break;
        }
        length += (size_t)got;
        if (length + 1 == room) {
            room *= 2;
            shown = realloc(shown, room);
            cr_assert_not_null(shown);
        }
    }
    shown[length] = '\0';
    cr_assert_eq(waitpid(child, NULL, 0), child);
    close(master);
    return shown;
}

static void expect_colour(const char *words, bool expected) {
    char *const shown = on_terminal(words);
    cr_expect_neq(*shown, '\0', "%s shows nothing", words);
    cr_expect_eq(strchr(shown, '\033') != NULL, expected, "%s shows:\n%.200s", words, shown);
    free(shown);
}

/* On a terminal, unless that cannot or nobody wants it; never in a file or a pipe. */
Test(main, colour_is_for_terminals_that_want_it) {
    unsetenv("NO_COLOR");
    setenv("TERM", "xterm", 1);
    expect_colour("$BARONET rates netlists/rear.air", true);
    expect_colour("env -u TERM $BARONET rates netlists/rear.air", true);
    expect_colour("NO_COLOR= $BARONET rates netlists/rear.air", true); /* empty is not given */
    expect_colour("NO_COLOR=1 $BARONET rates netlists/rear.air", false);
    expect_colour("TERM=dumb $BARONET rates netlists/rear.air", false);
    expect_colour("$BARONET rates netlists/rear.air | cat", false);
    expect_colour("$BARONET rates netlists/rear.air --as csv", false);
    expect_colour("$BARONET rates netlists/rear.air --out -", false);
    expect_colour("$BARONET rates netlists/rear.air --out /dev/stdout", false);
    expect_colour("echo tee | $BARONET rates -", true);
    expect_colour("echo tee | NO_COLOR=1 $BARONET rates -", false);
    expect_colour("echo tee | $BARONET rates - 2>&1 | cat", false);
}

/* A decimal comma around the program reaches neither what it reads nor what it writes. */
Test(main, a_comma_locale_changes_nothing) {
    static const char *const lines[] = {
        "rates netlists/camper.air --swing 12.5mm@1.5Hz --as csv", "states netlists/rear.air",
        "response netlists/rear.air --state soft --motion heave --from 0.5Hz --to 20.5Hz"};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        ran r[2];
        for (int k = 0; k < 2; k++) {
            const char *folder = getenv("COMMA_LOCALES");
            if (folder != NULL) {
                setenv("LOCPATH", folder, 1);
            }
            setenv("LC_ALL", k == 0 ? "C" : "de_DE.UTF-8", 1);
            r[k] = program(NULL, lines[i]);
            cr_expect_eq(r[k].code, 0, "%s", r[k].err);
        }
        cr_expect_str_eq(r[0].out, r[1].out, "%s", lines[i]);
        ran_free(&r[0]);
        ran_free(&r[1]);
    }
}
