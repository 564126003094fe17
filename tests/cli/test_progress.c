/* Long work tells on a terminal how far it is, and Ctrl-C ends it with what is done. */
#define _XOPEN_SOURCE 600 /* posix_openpt */
/* The program is not part of the library that the tests are linked with. */
#include "cli/progress.c"

#include <criterion/criterion.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>

Test(progress, is_ended_from_the_keyboard) {
    signal(SIGINT, SIG_DFL); /* work in the background is started with it ignored */
    progress p;
    progress_begin(&p);
    cr_expect(progress_tell(&p, 0.1));
    raise(SIGINT);
    cr_expect_not(progress_tell(&p, 0.2));
    progress_end(&p);
    progress_begin(&p);
    cr_expect(progress_tell(&p, 0.1), "a new start has not been ended");
    progress_end(&p);
}

/* Parts are told after a second, and only where somebody can see them. */
Test(progress, parts_are_told_on_a_terminal_only) {
    progress p;
    progress_watch(&p);
    progress_part(&p, "easy", 0, 4);
    cr_expect_not(p.shown, "at once");
    p.began -= 5.0;
    progress_part(&p, "easy", 1, 4);
    cr_expect_eq(p.shown, isatty(STDERR_FILENO) != 0);
    progress_clear(&p);
}

/* Standard error becomes a terminal; the end that shows what was written there. */
static int open_terminal(void) {
    const int shown = posix_openpt(O_RDWR | O_NOCTTY);
    cr_assert(shown >= 0 && grantpt(shown) == 0 && unlockpt(shown) == 0);
    const int terminal = open(ptsname(shown), O_RDWR | O_NOCTTY);
    cr_assert(terminal >= 0 && dup2(terminal, STDERR_FILENO) >= 0);
    return shown;
}

static void expect_shown(int shown, const char *words) {
    char line[200] = "";
    const ssize_t length = read(shown, line, sizeof line - 1);
    cr_expect(length > 0 && strstr(line, words) != NULL, "`%s` and not `%s`", line, words);
}

/* After a second, then a few times a second at most, and wiped off at the end. */
Test(progress, a_terminal_shows_how_far_it_is) {
    const int shown = open_terminal();
    progress p;
    progress_begin(&p);
    p.began -= 30.0;
    cr_expect(progress_tell(&p, 0.0));
    cr_expect(progress_tell(&p, 1.0));
    cr_expect_not(p.shown, "neither its beginning nor its end is told");
    cr_expect(progress_tell(&p, 0.25));
    expect_shown(shown, "\r 25 %, 90 s left (Ctrl-C ends with what is done)");
    const double told = p.told;
    cr_expect(progress_tell(&p, 0.26));
    cr_expect_eq(p.told, told, "so soon after the last");
    p.told -= 1.0;
    progress_part(&p, "with the sleeve of the left spring, which has a long name", 2, 31);
    expect_shown(shown, "\r   3 of   31: with the sleeve of the left spring, whic");
    progress_end(&p);
    expect_shown(shown, "\r      ");
}
