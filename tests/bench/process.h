/* process.h: a command run as a whole process, and what it took; for sources with _DEFAULT_SOURCE.
   SPDX-License-Identifier: MIT */
#ifndef BENCH_PROCESS_H
#define BENCH_PROCESS_H

#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

typedef struct process_use {
    double seconds; /* of processor time, the system's included */
    double megabytes;
} process_use;

/* What it prints is thrown away; a command that does not end well ends the bench. */
static inline process_use process_run(const char *const *arguments) {
    fflush(NULL); /* or the child prints it again */
    const pid_t child = fork();
    if (child == 0) {
        if (freopen("/dev/null", "w", stdout) == NULL) {
            _exit(126);
        }
        execv(arguments[0], (char *const *)arguments);
        _exit(127);
    }
    int status = 0;
    struct rusage use = {0};
    wait4(child, &status, 0, &use);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        fprintf(stderr, "%s failed\n", arguments[1]);
        exit(1);
    }
    return (process_use){(double)(use.ru_utime.tv_sec + use.ru_stime.tv_sec) +
                             1e-6 * (double)(use.ru_utime.tv_usec + use.ru_stime.tv_usec),
                         (double)use.ru_maxrss / 1024.0};
}

#endif
