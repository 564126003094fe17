/* bench_speed.c: how fast the main job is, beside what is wanted of it; ratios are taken in one
 * run. */
#define _DEFAULT_SOURCE /* wait4, in process.h */
#include <klu.h>
#include <malloc.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "netlist/netlist.h"
#include "studies/airnet.h"
#include "process.h"
#include "tell.h"

static int compare(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Median processor time of a command as a whole process, ms. */
static double process_ms(const char *const *arguments) {
    enum { RUNS = 21 };
    double ms[RUNS];
    for (int k = 0; k < RUNS; k++) {
        ms[k] = 1e3 * process_run(arguments).seconds;
    }
    qsort(ms, RUNS, sizeof ms[0], compare);
    return ms[RUNS / 2];
}

static void processes(const char *program) {
    char path[4096];
    snprintf(path, sizeof path, "%s", program);
    const char *const version[] = {path, "--version", NULL};
    const char *const one[] = {path, "rates", "netlists/camper.air", "--state", "easy", NULL};
    const char *const all[] = {path, "rates", "netlists/camper.air", NULL};
    tell_section("A whole process", "The camper's netlist: processor time, median of 21.");
    tell("start-up alone (`--version`)", process_ms(version), "ms");
    tell_at_most("`rates` of one state, as felt included", process_ms(one), "ms", 10.0);
    tell_at_most("`rates` of every state, as felt included", process_ms(all), "ms", 10.0);
}

typedef struct opened {
    baronet_netlist *netlist;
    charge *charge;
    rates *rates;
} opened;

static opened open_text(const char *bytes, size_t length, int state) {
    opened o = {0};
    problem why;
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    if (baronet_netlist_read_text("bench", bytes, length, NULL, said, &o.netlist) != BARONET_OK ||
        charge_create(&o.charge, netlist_model(o.netlist), NULL) != BARONET_OK ||
        charge_solve(o.charge, &why) != BARONET_OK ||
        rates_create(&o.rates, o.charge, netlist_model(o.netlist)->state[state].open, NULL, &why) !=
            BARONET_OK ||
        rates_solve(o.rates, NULL) != BARONET_OK) {
        puts(baronet_diagnostics_text(said, false));
        exit(1);
    }
    baronet_diagnostics_destroy(said);
    return o;
}

static opened open_file(const char *path, int state) {
    opened o = {0};
    problem why;
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    if (baronet_netlist_read(path, NULL, NULL, said, &o.netlist) != BARONET_OK ||
        charge_create(&o.charge, netlist_model(o.netlist), NULL) != BARONET_OK ||
        charge_solve(o.charge, &why) != BARONET_OK ||
        rates_create(&o.rates, o.charge, netlist_model(o.netlist)->state[state].open, NULL, &why) !=
            BARONET_OK) {
        exit(1);
    }
    baronet_diagnostics_destroy(said);
    return o;
}

static void shut_down(opened *o) {
    rates_destroy(o->rates);
    charge_destroy(o->charge);
    baronet_netlist_destroy(o->netlist);
}

/* Warm-started equilibrium under a changed load, K and all rates of one state. Where bypasses give
   a shut valve's two sides another standing, each evaluation is of two equilibria. */
static void evaluations(void) {
    enum { RUNS = 20000 };
    tell_section("Equilibria", "Each under a changed load, with K and all rates, one processor.");
    for (int state = 0; state < 2; state++) {
        opened o = open_file("netlists/camper.air", state);
        const model *m = netlist_model(o.netlist);
        double mass[VEHICLE_CORNERS_MAX] = {0};
        const load_case with = {"changing", mass, false};
        const double start = tell_now();
        for (int k = 0; k < RUNS; k++) {
            mass[k % 4] = 10.0 + (k * 37) % 90;
            if (rates_solve(o.rates, &with) != BARONET_OK) {
                exit(1);
            }
        }
        const int standings = rates_result(o.rates)->parked.given ? 2 : 1;
        char what[64];
        snprintf(what, sizeof what, "camper, state %s (%s)", m->state[state].name,
                 standings == 2 ? "settled and parked" : "settled");
        tell_at_least(what, standings * RUNS / (tell_now() - start), "/s", 1e5);
        shut_down(&o);
    }
}

/* Two springs, and a chain of tanks and hoses behind one of them. */
static char *chain(int nodes, size_t *length) {
    const size_t room = (size_t)nodes * 90 + 1000;
    char *bytes = malloc(room);
    if (bytes == NULL) {
        exit(1);
    }
    size_t at = (size_t)snprintf(
        bytes, room,
        "corner L at 0 m 0.8 m load 500 kg\ncorner R at 0 m -0.7 m load 450 kg\n"
        "bar b between L R roll 300 N.m/deg\nprofile p area 90 cm2 volume 2 L at 150 mm\n"
        "spring a on L profile p height 150 mm\nspring c on R profile p height 150 mm\n"
        "tank t0 volume 0.01 L\nhose h0 from a to t0 bore 9 mm length 0.5 m\n");
    for (int k = 1; 2 * k < nodes; k++) {
        at += (size_t)snprintf(bytes + at, room - at,
                               "tank t%d volume 0.01 L\nhose h%d from t%d to t%d bore 9 mm length "
                               "0.02 m\n",
                               k, k, k - 1, k);
    }
    *length = at;
    return bytes;
}

/* Seconds from a pattern and its values to a solution by the bare library: analysis, factoring,
   solving. */
static double bare_first_time(const pattern *p, double *values, double *side) {
    klu_common common;
    klu_defaults(&common);
    const double start = tell_now();
    klu_symbolic *symbolic = klu_analyze(p->size, p->start, p->row, &common);
    klu_numeric *numeric = klu_z_factor(p->start, p->row, values, symbolic, &common);
    klu_z_solve(symbolic, numeric, p->size, 1, side, &common);
    const double took = tell_now() - start;
    klu_free_symbolic(&symbolic, &common);
    klu_z_free_numeric(&numeric, &common);
    return took;
}

/* Analysing, factoring and solving the network's own matrix once with the bare library. */
static double bare_network(opened *o) {
    airnet *n = NULL;
    if (airnet_create(&n, o->rates, rates_open(o->rates), 50.0, NULL) != BARONET_OK) {
        exit(1);
    }
    const airnet_system own = airnet_system_at(n, 1.1);
    const pattern *p = own.pattern;
    double *values = calloc(2 * (size_t)p->entries, sizeof *values);
    double *side = calloc(2 * (size_t)p->size, sizeof *side);
    if (values == NULL || side == NULL) {
        exit(1);
    }
    memcpy(values, own.values, 2 * (size_t)p->entries * sizeof *values);
    side[0] = 1.0;
    const double took = bare_first_time(p, values, side);
    free(side);
    free(values);
    airnet_destroy(n);
    return took;
}

/* The best of some runs: memory that was given back stays with the process, so that all but the
   first find it warm, as large sizes and small ones then do alike. */
static void sizes(void) {
    tell_section("Reading, charging and rates in one process",
                 "A chain of tanks and hoses behind one of two springs, without what is felt; best "
                 "of five,\nmemory warm. Beside it bare KLU's analysis, factoring and solution of "
                 "the chain's complex matrix.");
    double before = 0.0;
    for (int nodes = 1000; nodes <= 100000; nodes *= 10) {
        size_t length = 0;
        char *bytes = chain(nodes, &length);
        double best = 1e9, bare = 1e9;
        for (int k = 0; k < 5; k++) {
            const double start = tell_now();
            opened o = open_text(bytes, length, 0);
            const double took = tell_now() - start;
            const double klu = bare_network(&o);
            best = took < best ? took : best;
            bare = klu < bare ? klu : bare;
            shut_down(&o);
        }
        free(bytes);
        char what[64];
        snprintf(what, sizeof what, "%d nodes", nodes);
        tell(what, 1e3 * best, "ms");
        tell("bare KLU's part of such work", 1e3 * bare, "ms");
        if (before > 0.0) {
            tell_at_most("over ten times the decade below", best / before / 10.0, "times", 1.3);
        }
        before = best;
    }
}

/* The same by us, with its checks. */
static double first_time(const pattern *p, double *values, double *side) {
    sparse *fresh = NULL;
    const double start = tell_now();
    if (sparse_create(&fresh, p, true, NULL) != BARONET_OK ||
        sparse_factor(fresh, values, NULL) != BARONET_OK ||
        sparse_solve(fresh, side) != BARONET_OK) {
        exit(1);
    }
    const double took = tell_now() - start;
    sparse_destroy(fresh);
    return took;
}

static void first_times(const pattern *p, double *values, double *side, int runs) {
    double ours = 0.0, bare = 0.0;
    for (int k = 0; k < runs; k++) {
        memset(side, 0, 2 * (size_t)p->size * sizeof *side);
        side[0] = 1.0;
        ours += first_time(p, values, side);
        memset(side, 0, 2 * (size_t)p->size * sizeof *side);
        side[0] = 1.0;
        bare += bare_first_time(p, values, side);
    }
    tell("analysis, factoring and solution, over bare KLU's", ours / bare, "times");
}

/* A frequency's refactor and checked solve, against the bare library's on the same matrix. */
static void point(const char *what, opened *o, int runs) {
    airnet *n = NULL;
    airnet_answer swing;
    double *shape = calloc((size_t)netlist_model(o->netlist)->vehicle.corners, sizeof *shape);
    if (shape == NULL || airnet_create(&n, o->rates, rates_open(o->rates), 50.0, NULL) != 0) {
        puts("  no network");
        exit(1);
    }
    shape[0] = 1.0;
    const baronet_status swung = airnet_swing(n, shape, 0.0, 1.0, &swing);
    if (swung != BARONET_OK) {
        printf("  no swing: %s\n", baronet_status_text(swung));
        exit(1);
    }
    const airnet_system own = airnet_system_at(n, 1.1);
    const pattern *p = own.pattern;
    double *values = malloc(2 * (size_t)p->entries * sizeof *values);
    double *side = calloc(2 * (size_t)p->size, sizeof *side);
    klu_common common;
    klu_defaults(&common);
    if (values == NULL || side == NULL) {
        exit(1);
    }
    memcpy(values, own.values, 2 * (size_t)p->entries * sizeof *values);
    klu_symbolic *symbolic = klu_analyze(p->size, p->start, p->row, &common);
    klu_numeric *numeric = klu_z_factor(p->start, p->row, values, symbolic, &common);
    double ours = 0.0, bare = 0.0;
    for (int k = 0; k < runs; k++) {
        memset(side, 0, 2 * (size_t)p->size * sizeof *side);
        side[0] = 1.0;
        double start = tell_now();
        if (sparse_factor(own.solver, values, NULL) != BARONET_OK ||
            sparse_solve(own.solver, side) != BARONET_OK) {
            puts("  no solution");
            exit(1);
        }
        ours += tell_now() - start;
        memset(side, 0, 2 * (size_t)p->size * sizeof *side);
        side[0] = 1.0;
        start = tell_now();
        klu_z_refactor(p->start, p->row, values, symbolic, numeric, &common);
        klu_z_solve(symbolic, numeric, p->size, 1, side, &common);
        bare += tell_now() - start;
    }
    tell_at_most(what, ours / bare, "times", 1.3);
    tell("our part of that", 1e6 * ours / runs, "us");
    first_times(p, values, side, runs / 10 + 3);
    klu_free_symbolic(&symbolic, &common);
    klu_z_free_numeric(&numeric, &common);
    free(side);
    free(values);
    free(shape);
    airnet_destroy(n);
}

static void points(void) {
    tell_section("A frequency", "Refactoring and checked solution over bare KLU's on the same "
                                "matrix, taken in turns.");
    opened o = open_file("netlists/camper.air", 0);
    if (rates_solve(o.rates, NULL) != BARONET_OK) {
        exit(1);
    }
    point("camper", &o, 20000);
    shut_down(&o);
    size_t length = 0;
    char *bytes = chain(100000, &length);
    o = open_text(bytes, length, 0);
    point("a chain of 10^5 nodes", &o, 10);
    shut_down(&o);
    free(bytes);
}

int main(int count, char **arguments) {
    (void)count;
    char program[4096];
    snprintf(program, sizeof program, "%s", arguments[0]);
    char *slash = strrchr(program, '/');
    strcpy(slash != NULL ? slash + 1 : program, "baronet");
    processes(program);
    mallopt(M_MMAP_THRESHOLD, 1 << 30);
    mallopt(M_TRIM_THRESHOLD, 1 << 30);
    evaluations();
    sizes();
    points();
    return 0;
}
