/* How fast events run: each of the demonstrations against the time that it lasts, and one event on
   networks of rising size. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "baronet/baronet.h"
#include "netlist/netlist.h"
#include "studies/play.h"

static const char *const files[] = {"netlists/camper.air", "netlists/trailer.air",
                                    "netlists/expedition.air", "netlists/bench.air",
                                    "netlists/beam.air"};

static double cpu(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Seconds that a run takes, the state solved before; negative where it does not start. */
static double run(charge *c, const script *s, long *steps) {
    const model *m = c->model;
    problem why;
    rates *r = NULL;
    double took = -1.0;
    *steps = 0;
    if (rates_create(&r, c, m->state[s->state].open, NULL, &why) == BARONET_OK &&
        rates_solve(r, NULL) == BARONET_OK) {
        play_answer *a = NULL;
        const play_settings with = {.points = 3};
        const double start = cpu();
        if (play_run(&a, r, c->travel, s, &with, NULL) == BARONET_OK) {
            took = a->end == PLAY_FINISHED ? cpu() - start : -1.0;
            *steps = a->steps;
            play_free(a);
        }
    }
    rates_destroy(r);
    return took;
}

static int each_script(const model *m, int *slow) {
    charge *c = NULL;
    problem why;
    if (charge_create(&c, m, NULL) != BARONET_OK || charge_solve(c, &why) != BARONET_OK) {
        charge_destroy(c);
        return 1;
    }
    for (int k = 0; k < m->scripts; k++) {
        long steps = 0;
        const double took = run(c, &m->script[k], &steps);
        const double ratio = m->script[k].until / took;
        printf("%-24s %9.1f s in %8.4f s: %9.0f times real time, %6ld steps, %5.1f us a step\n",
               m->script[k].name, m->script[k].until, took, ratio, steps,
               1e6 * took / (double)steps);
        *slow += took < 0.0 || ratio < 100.0;
    }
    charge_destroy(c);
    return 0;
}

static baronet_netlist *read_netlist(const char *file, const char *words) {
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *netlist = NULL;
    const baronet_status status =
        words != NULL ? baronet_netlist_read_text(file, words, strlen(words), NULL, said, &netlist)
                      : baronet_netlist_read(file, NULL, NULL, said, &netlist);
    if (status != BARONET_OK) {
        fputs(baronet_diagnostics_text(said, false), stderr);
    }
    baronet_diagnostics_destroy(said);
    return netlist;
}

/* A row of tanks joined by restrictors, emptied at one end. */
static int row_of_tanks(int count) {
    text_buffer b = {0};
    text_buffer_add(&b, "gas adiabatic\n");
    for (int k = 0; k < count; k++) {
        text_buffer_format(&b, "tank t%d volume 1 L pressure 5 bar\n", k);
        if (k > 0) {
            text_buffer_format(&b, "restrictor r%d from t%d to t%d bore 6 mm\n", k, k - 1, k);
        }
    }
    text_buffer_add(&b, "solenoid v from t0 to atmosphere normally closed bore 4 mm\n"
                        "state shut shut v\nevent e in shut at 0 s open v until 10 s\n");
    const double start = cpu();
    baronet_netlist *netlist = b.failed ? NULL : read_netlist("row", b.bytes);
    text_buffer_free(&b);
    if (netlist == NULL) {
        return 1;
    }
    charge *c = NULL;
    problem why;
    const model *m = netlist_model(netlist);
    long steps = 0;
    double took = -1.0;
    if (charge_create(&c, m, NULL) == BARONET_OK && charge_solve(c, &why) == BARONET_OK) {
        took = run(c, &m->script[0], &steps);
    }
    printf("%7d tanks: %8.3f s, %5ld steps, %6.2f us a step and 1000 tanks; all %8.3f s\n", count,
           took, steps, 1e9 * took / (double)steps / count, cpu() - start);
    charge_destroy(c);
    baronet_netlist_destroy(netlist);
    return took < 0.0;
}

int main(void) {
    int slow = 0, failed = 0;
    for (size_t k = 0; k < sizeof files / sizeof files[0]; k++) {
        baronet_netlist *netlist = read_netlist(files[k], NULL);
        failed += netlist == NULL || each_script(netlist_model(netlist), &slow) != 0;
        baronet_netlist_destroy(netlist);
    }
    for (int count = 100; count <= 100000; count *= 10) {
        failed += row_of_tanks(count);
    }
    printf("%d events below 100 times real time\n", slow);
    return failed > 0 ? 1 : 0;
}
