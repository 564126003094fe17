/* bench_design.c: how fast variants are worked out, by one processor and by several. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "netlist/wish.h"
#include "numeric/chance.h"
#include "numeric/crew.h"
#include "studies/variants.h"
#include "tell.h"

enum { DIALS = 3, MOST = 4 };

typedef struct field {
    baronet_netlist *netlist;
    arena *arena;
    dial dial[DIALS];
    gauge gauge[MOST];
    int gauges;
} field;

static double seconds(clockid_t clock) {
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void scatter(const void *context, long index, double *values) {
    const field *const f = context;
    for (int k = 0; k < DIALS; k++) {
        values[k] =
            f->dial[k].low + (f->dial[k].high - f->dial[k].low) *
                                 chance_even(1, (unsigned long long)index, (unsigned long long)k);
    }
}

static field open_camper(const char *const *figures, int count) {
    static const char *const said[DIALS] = {"rear-size=2L..6L", "RL.load=+-5%",
                                            "sleeve-medium.area=+-3%"};
    field f = {.arena = arena_create(NULL), .gauges = count};
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    bool fine =
        baronet_netlist_read("netlists/camper.air", NULL, NULL, d, &f.netlist) == BARONET_OK;
    for (int k = 0; k < DIALS && fine; k++) {
        fine =
            netlist_dial(f.netlist, "bench", said[k], NULL, f.arena, d, &f.dial[k]) == BARONET_OK;
    }
    for (int k = 0; k < count && fine; k++) {
        requirement wish;
        fine = netlist_wish(f.netlist, "bench", figures[k], WISH_FIGURE, f.arena, d, &wish) ==
                   BARONET_OK &&
               gauge_find(&f.gauge[k], netlist_model(f.netlist), &wish, wish.state);
    }
    if (!fine) {
        puts(baronet_diagnostics_text(d, false));
        exit(1);
    }
    baronet_diagnostics_destroy(d);
    return f;
}

/* Reads so many variants; the time by this clock, and the processors' time together. */
static double read_all(const field *f, int workers, long count, clockid_t clock, double *busy) {
    const variants_question ask = {.netlist = f->netlist,
                                   .dials = DIALS,
                                   .dial = f->dial,
                                   .gauges = f->gauges,
                                   .gauge = f->gauge,
                                   .amplitude = 0.01,
                                   .workers = workers};
    double *const result = malloc((size_t)count * (size_t)f->gauges * sizeof *result);
    variants *v = NULL;
    long done = 0;
    if (result == NULL || variants_create(&v, &ask, NULL) != BARONET_OK) {
        exit(1);
    }
    const double start = seconds(clock), idle = seconds(CLOCK_PROCESS_CPUTIME_ID);
    if (variants_read(v, scatter, f, 0, count, result, NULL, &done) != BARONET_OK) {
        exit(1);
    }
    const double took = seconds(clock) - start;
    *busy = seconds(CLOCK_PROCESS_CPUTIME_ID) - idle;
    variants_destroy(v);
    free(result);
    return took;
}

static void rate_of(const char *what, const char *const *figures, int count, long variants_of,
                    double wanted) {
    field f = open_camper(figures, count);
    double busy = 0.0;
    const double took = read_all(&f, 1, variants_of, CLOCK_PROCESS_CPUTIME_ID, &busy);
    const double rate = (double)variants_of * count / took;
    if (wanted > 0.0) {
        tell_at_least(what, rate, "/s", wanted);
    } else {
        tell(what, rate, "/s");
    }
    arena_destroy(f.arena);
    baronet_netlist_destroy(f.netlist);
}

static void together(const char *const *figures, int count) {
    field f = open_camper(figures, count);
    const long variants_of = 40000;
    double busy_alone = 0.0, busy = 0.0;
    const double alone = read_all(&f, 1, variants_of, CLOCK_MONOTONIC, &busy_alone);
    for (int workers = 2; workers <= crew_size(); workers *= 2) {
        const double took = read_all(&f, workers, variants_of, CLOCK_MONOTONIC, &busy);
        char what[96];
        snprintf(what, sizeof what, "four states by %d processors: times as fast, elapsed",
                 workers);
        tell(what, alone / took, "times");
        tell("the same: processor time over that of one", busy / busy_alone, "times");
    }
    arena_destroy(f.arena);
    baronet_netlist_destroy(f.netlist);
}

int main(void) {
    static const char *const one[] = {"ride_frequency of RL settled in town"};
    static const char *const linked[] = {"ride_frequency of RL settled in easy"};
    static const char *const four[] = {"roll_rate settled in town", "roll_rate settled in easy",
                                       "roll_rate settled in steady", "roll_rate settled in firm"};
    static const char *const felt[] = {"ride_frequency of RL ride in town"};
    static const char *const settling[] = {"settle_time_63 of roll in easy"};
    tell_section("Variants", "States of the camper a second of one processor's time, each variant "
                             "charged anew, as `vary`\nand `spread` do. Elapsed times count other "
                             "work on the machine.");
    rate_of("one state a variant, springs apart (town)", one, 1, 20000, 1e5);
    rate_of("one state a variant, springs linked (easy)", linked, 1, 20000, 1e5);
    rate_of("four states a variant", four, 4, 10000, 1e5);
    rate_of("one state as felt (level ride)", felt, 1, 100, 0.0);
    rate_of("one settling time", settling, 1, 20, 0.0);
    together(four, 4);
    return 0;
}
