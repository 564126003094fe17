/* Speed of reading, checking and building a netlist of a million statements: the first time, when
   the system gives each page of memory, and again, when the allocator has it. The time to touch as
   much fresh memory stands beside it.
   SPDX-License-Identifier: MIT */
#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "netlist/reading.h"

#define BRANCHES 250000 /* of four statements each */
#define READINGS 4

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static char *write_netlist(size_t *length) {
    char *const bytes = malloc((size_t)BRANCHES * 260);
    if (!bytes)
        exit(1);
    size_t used = 0;
    for (int i = 0; i < BRANCHES; i++)
        used += (size_t)sprintf(bytes + used,
                                "tank tank-%d volume %d L rated 12 bar\ntee tee-%d\n"
                                "hose hose-%d from tee-%d to tee-%d bore %d.5 mm length 0.%d5 m\n"
                                "hose run-%d from tee-%d to tank-%d bore 9.5 mm length 0.45 m\n",
                                i, 3 + i % 7, i, i, (i + 1) % BRANCHES, i, 6 + i % 5, 1 + i % 9, i,
                                i, i);
    *length = used;
    return bytes;
}

int main(void) {
    size_t length;
    char *const bytes = write_netlist(&length);
    /* Given back memory stays with the process, as it does in a program that reads a second time.
     */
    mallopt(M_MMAP_THRESHOLD, 1 << 30);
    mallopt(M_TRIM_THRESHOLD, 1 << 30);
    size_t taken = 0;
    for (int i = 0; i < READINGS; i++) {
        baronet_netlist *n = NULL;
        const double start = now();
        if (baronet_netlist_read_text("bench", bytes, length, NULL, NULL, &n) != BARONET_OK)
            return 1;
        const double spent = now() - start;
        taken = arena_used(n->arena) + length;
        printf("netlist: %.1f MB, %d statements, %s: %.2f s, %.0f MB/s\n", (double)length * 1e-6,
               4 * BRANCHES, i == 0 ? "first" : "again", spent, (double)length * 1e-6 / spent);
        baronet_netlist_destroy(n);
    }
    free(bytes);
    mallopt(M_MMAP_THRESHOLD, 1 << 20);
    const double start = now();
    char *const fresh = malloc(taken);
    if (!fresh)
        return 1;
    memset(fresh, 1, taken);
    printf("netlist: touching as much fresh memory, %.0f MB: %.2f s\n", (double)taken * 1e-6,
           now() - start);
    return fresh[taken / 2] == 1 ? 0 : 1;
}
