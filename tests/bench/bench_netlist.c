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
#include "tell.h"

#define BRANCHES 250000 /* of four statements each */
#define READINGS 4

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
    tell_section("Reading a netlist", "A million statements, 50 MB, read, checked and built in one "
                                      "process. The first reading also gets\nits memory from the "
                                      "system.");
    const size_t before = mallinfo2().uordblks;
    for (int i = 0; i < READINGS; i++) {
        baronet_netlist *n = NULL;
        const double start = tell_now();
        if (baronet_netlist_read_text("bench", bytes, length, NULL, NULL, &n) != BARONET_OK)
            return 1;
        const double spent = tell_now() - start;
        taken = mallinfo2().uordblks - before;
        const double rate = (double)length * 1e-6 / spent;
        if (i == 0 || i == READINGS - 1) {
            tell_at_least(i == 0 ? "the first time" : "again, memory warm", rate, "MB/s", 50.0);
        }
        baronet_netlist_destroy(n);
    }
    free(bytes);
    mallopt(M_MMAP_THRESHOLD, 1 << 20);
    const double start = tell_now();
    char *const fresh = malloc(taken);
    if (!fresh)
        return 1;
    memset(fresh, 1, taken);
    tell("touching as much fresh memory", (double)taken * 1e-6 / (tell_now() - start), "MB/s");
    return fresh[taken / 2] == 1 ? 0 : 1;
}
