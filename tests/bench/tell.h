/* tell.h: what the benches print: sections of tables in Markdown, each figure beside what is wanted
   of it; docs/performance.md is made of them. SPDX-License-Identifier: MIT */
#ifndef BENCH_TELL_H
#define BENCH_TELL_H

#include <stdio.h>
#include <time.h>

/* Seconds of this process's own processor time: other work on the machine counts little. */
static inline double tell_now(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static inline void tell_section(const char *heading, const char *words) {
    printf("\n## %s\n\n%s\n\n| what | measured | wanted | |\n| --- | ---: | ---: | --- |\n",
           heading, words);
}

static inline void tell(const char *what, double got, const char *unit) {
    printf("| %s | %.3g %s | | |\n", what, got, unit);
}

static inline void tell_at_most(const char *what, double got, const char *unit, double wanted) {
    printf("| %s | %.3g %s | at most %g | %s |\n", what, got, unit, wanted,
           got <= wanted ? "ok" : "SHORT");
}

static inline void tell_at_least(const char *what, double got, const char *unit, double wanted) {
    printf("| %s | %.3g %s | at least %g | %s |\n", what, got, unit, wanted,
           got >= wanted ? "ok" : "SHORT");
}

#endif
