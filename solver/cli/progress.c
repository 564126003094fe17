#include "cli/progress.h"

#include <signal.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

/* Before this nobody wonders; and so often the line changes. */
#define PATIENCE 1.0 /* s */
#define REFRESH  0.2 /* s */

static volatile sig_atomic_t interrupted;

static void note_interrupt(int signal_number) {
    (void)signal_number;
    interrupted = 1;
}

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void progress_begin(progress *p) {
    *p = (progress){.began = now()};
    interrupted = 0;
    struct sigaction action = {.sa_flags = (int)SA_RESETHAND};
    action.sa_handler = note_interrupt;
    sigemptyset(&action.sa_mask);
    (void)sigaction(SIGINT, NULL, &p->before);
    if (p->before.sa_handler != SIG_IGN) { /* as a shell has it for work in the background */
        (void)sigaction(SIGINT, &action, NULL);
    }
}

bool progress_tell(void *context, double part) {
    progress *const p = context;
    const double time_now = now(), passed = time_now - p->began;
    if (passed > PATIENCE && part > 0.0 && part < 1.0 && time_now - p->told > REFRESH &&
        isatty(STDERR_FILENO)) {
        fprintf(stderr, "\r%3.0f %%, %.0f s left (Ctrl-C ends with what is done) ", 100.0 * part,
                passed * (1.0 - part) / part);
        fflush(stderr);
        p->told = time_now;
        p->shown = true;
    }
    return interrupted == 0;
}

void progress_end(progress *p) {
    if (p->shown) {
        fputs("\r                                                              \r", stderr);
    }
    (void)sigaction(SIGINT, &p->before, NULL);
}
