/* bench_scale.c: whole commands on networks of rising size, corners fixed, in processor time and
   memory: a tree of tanks behind one of two springs; and a netlist of 200 MB. */
#define _DEFAULT_SOURCE /* wait4, in process.h */
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "process.h"
#include "tell.h"

static const char file[] = "build/bench/tree.air";

/* Two springs, and behind one a tree of tanks that each pass on to three more; so many nodes, or
   bytes if that is more. The hose's air is a node as well. */
static double write_tree(long nodes, double bytes) {
    FILE *const out = fopen(file, "w");
    if (out == NULL) {
        perror(file);
        exit(1);
    }
    double at =
        fprintf(out, "corner L at 0 m 0.8 m load 500 kg\ncorner R at 0 m -0.7 m load 450 kg\n"
                     "bar b between L R roll 300 N.m/deg\n"
                     "profile p area 90 cm2 volume 2 L at 150 mm\n"
                     "spring a on L profile p height 150 mm\n"
                     "spring c on R profile p height 150 mm\n"
                     "tank t0 volume 0.9 L\nhose h0 from a to t0 bore 9 mm length 0.5 m\n");
    for (long k = 1; 2 * k < nodes || at < bytes; k++) {
        at += fprintf(out,
                      "tank t%ld volume 0.05 L\nhose h%ld from t%ld to t%ld bore 6 mm length "
                      "0.3 m\n",
                      k, k, (k - 1) / 3, k);
    }
    fclose(out);
    return at;
}

/* A command by size: at each decade the time over ten times that of the one below. Where start-up
   counts for much the ratio falls short of what it is beyond. */
static void command(const char *program, const char *const *words, long most) {
    const char *arguments[12] = {program, words[0], file};
    for (int k = 1; words[k] != NULL; k++) {
        arguments[k + 2] = words[k];
    }
    double before = 0.0;
    for (long nodes = 1000; nodes <= most; nodes *= 10) {
        write_tree(nodes, 0.0);
        const process_use u = process_run(arguments);
        char what[96];
        snprintf(what, sizeof what, "`%s`, %ld nodes: time", words[0], nodes);
        tell(what, u.seconds, "s");
        tell("memory", u.megabytes, "MB");
        if (before > 0.0) {
            tell_at_most("over ten times the decade below", u.seconds / before / 10.0, "times",
                         1.3);
        }
        before = u.seconds;
        fflush(stdout);
    }
}

static void large(const char *program) {
    const char *const check[] = {program, "check", file, NULL};
    const char *const rates[] = {program, "rates", file, NULL};
    const double megabytes = 1e-6 * write_tree(0, 2e8);
    tell_section("A netlist of 200 MB",
                 "The same tree, of 4.5 million nodes: whole processes. `check` "
                 "reads it, charges it and finds its\nequilibrium.");
    tell("its size", megabytes, "MB");
    const process_use c = process_run(check);
    tell_at_least("`check`: of the file a second", megabytes / c.seconds, "MB/s", 50.0);
    tell("time", c.seconds, "s");
    tell("memory, over the file's size", c.megabytes / megabytes, "times");
    const process_use r = process_run(rates);
    tell("`rates`, as felt included: time", r.seconds, "s");
    tell("memory, over the file's size", r.megabytes / megabytes, "times");
}

int main(int count, char **arguments) {
    (void)count;
    char program[4096];
    snprintf(program, sizeof program - 16, "%s", arguments[0]);
    char *slash = strrchr(program, '/');
    strcpy(slash != NULL ? slash + 1 : program, "baronet");
    mkdir("build/bench", 0777);
    static const char *const rates[] = {"rates", NULL};
    static const char *const response[] = {"response", "--motion", "heave", "--points", "3",
                                           "--from",   "1Hz",      "--to",  "10Hz",     NULL};
    static const char *const times[] = {"times", NULL};
    tell_section(
        "Whole commands by size",
        "A tree of tanks and hoses behind one of two springs, each tank passing on to three "
        "more:\nprocessor time and memory of one process each, reading included. `rates` "
        "with what is felt;\n`response` of heave at three frequencies; `times` without what "
        "it leaves out of networks\nof more than 5000 nodes (swing table, held steps of "
        "single wheels).");
    command(program, rates, 1000000);
    command(program, response, 1000000);
    command(program, times, getenv("BENCH_LONG") != NULL ? 1000000 : 100000);
    large(program);
    unlink(file);
    return 0;
}
