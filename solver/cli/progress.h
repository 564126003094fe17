/* progress.h: how far long work is, on the terminal, and how it is ended from the keyboard.
   SPDX-License-Identifier: MIT */
#ifndef CLI_PROGRESS_H
#define CLI_PROGRESS_H

#include <signal.h>
#include <stdbool.h>

typedef struct progress {
    double began, told; /* s of a clock that only goes forward */
    bool shown;         /* something stands on the line */
    struct sigaction before;
} progress;

/* From here on Ctrl-C asks the work to end with what it has; once more ends the program. */
void progress_begin(progress *p);

/* To be told now and then; `context` is the progress. Shows the part and the time left where
   standard error is a terminal and more than a second has passed. False once Ctrl-C was pressed. */
bool progress_tell(void *context, double part);

/* From here on a long answer tells its parts; Ctrl-C keeps its meaning. */
void progress_watch(progress *p);

/* To be told of each part, as baronet_progress; `context` is the progress. Shows it where standard
   error is a terminal and more than a second has passed. */
void progress_part(void *context, const char *part, int done, int count);

/* Clears the line. */
void progress_clear(const progress *p);

/* The same after progress_begin, and gives Ctrl-C back its usual meaning. */
void progress_end(progress *p);

#endif
