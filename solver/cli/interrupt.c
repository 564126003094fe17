#include "cli/interrupt.h"

#include <stddef.h>

static const int endings[INTERRUPTS] = {SIGHUP, SIGINT, SIGQUIT, SIGTERM};

/* The last that came; 0 for none. */
static volatile sig_atomic_t waiting;

static void note(int number) {
    waiting = number;
}

void interrupts_hold(interrupts *i) {
    struct sigaction action = {.sa_flags = 0};
    action.sa_handler = note;
    sigemptyset(&action.sa_mask);
    waiting = 0;
    for (int k = 0; k < INTERRUPTS; k++) {
        (void)sigaction(endings[k], NULL, &i->before[k]);
        if (i->before[k].sa_handler != SIG_IGN) { /* as `nohup` has it */
            (void)sigaction(endings[k], &action, NULL);
        }
    }
}

bool interrupts_wait(void) {
    return waiting != 0;
}

void interrupts_release(const interrupts *i) {
    for (int k = 0; k < INTERRUPTS; k++) {
        (void)sigaction(endings[k], &i->before[k], NULL);
    }
    if (waiting != 0) {
        (void)raise(waiting);
    }
}
