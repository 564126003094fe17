/* interrupt.h: what ends the program from outside, by the keyboard, a terminal that is closed or
   `kill`: it waits while something is under way that must not be left half done. */
#ifndef CLI_INTERRUPT_H
#define CLI_INTERRUPT_H

#include <signal.h>
#include <stdbool.h>

enum { INTERRUPTS = 4 };

typedef struct interrupts {
    struct sigaction before[INTERRUPTS];
} interrupts;

/* From here on they wait. */
void interrupts_hold(interrupts *i);

/* One of them is waiting. */
bool interrupts_wait(void);

/* They have their usual meaning again, and the one that has waited has its effect now. */
void interrupts_release(const interrupts *i);

#endif
