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

/* Whether the line is to be written now, at so many seconds. */
static bool is_due(const progress *p, double time_now) {
    return time_now - p->began > PATIENCE && time_now - p->told > REFRESH && isatty(STDERR_FILENO);
}

static void told_now(progress *p, double time_now) {
    fflush(stderr);
    p->told = time_now;
    p->shown = true;
}

bool progress_tell(void *context, double part) {
    progress *const p = context;
    const double time_now = now();
    if (part > 0.0 && part < 1.0 && is_due(p, time_now)) {
        fprintf(stderr, "\r%3.0f %%, %.0f s left (Ctrl-C ends with what is done) ", 100.0 * part,
                (time_now - p->began) * (1.0 - part) / part);
        told_now(p, time_now);
    }
    return interrupted == 0;
}

void progress_watch(progress *p) {
    *p = (progress){.began = now()};
}

void progress_part(void *context, const char *part, int done, int count) {
    progress *const p = context;
    const double time_now = now();
    if (is_due(p, time_now)) {
        fprintf(stderr, "\r%4d of %4d: %-40.40s", done + 1, count, part);
        told_now(p, time_now);
    }
}

void progress_clear(const progress *p) {
    if (p->shown) {
        fputs("\r                                                              \r", stderr);
    }
}

void progress_end(progress *p) {
    progress_clear(p);
    (void)sigaction(SIGINT, &p->before, NULL);
}
