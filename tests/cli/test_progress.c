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
