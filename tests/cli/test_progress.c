/* Ctrl-C ends long work with what is done. */
/* The program is not part of the library that the tests are linked with. */
#include "cli/progress.c"

#include <criterion/criterion.h>
#include <signal.h>

Test(progress, is_ended_from_the_keyboard) {
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
