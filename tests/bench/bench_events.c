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
#include "tell.h"

static const char *const files[] = {"netlists/camper.air", "netlists/trailer.air",
                                    "netlists/expedition.air", "netlists/bench.air",
                                    "netlists/beam.air"};

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
        const double start = tell_now();
        if (play_run(&a, r, c->travel, s, &with, NULL) == BARONET_OK) {
            took = a->end == PLAY_FINISHED ? tell_now() - start : -1.0;
            *steps = a->steps;
            play_free(a);
        }
    }
    rates_destroy(r);
    return took;
}

/* How often as fast as real time, of all events. */
typedef struct speeds {
    int count, slow;
    double ratio[256];
} speeds;

static int each_script(const model *m, speeds *all) {
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
        all->slow += took < 0.0 || ratio < 100.0;
        if (all->count < 256) {
            all->ratio[all->count++] = took < 0.0 ? 0.0 : ratio;
        }
        if (took < 0.0 || ratio < 100.0) {
            fprintf(stderr, "%s: %.0f times real time, %ld steps\n", m->script[k].name, ratio,
                    steps);
        }
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
    char what[64];
    snprintf(what, sizeof what, "a row of %d tanks is emptied: a step, over its tanks", count);
    tell(what, 1e6 * took / (double)steps / count, "us");
    charge_destroy(c);
    baronet_netlist_destroy(netlist);
    return took < 0.0;
}

static int rising(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(void) {
    int failed = 0;
    static speeds all;
    for (size_t k = 0; k < sizeof files / sizeof files[0]; k++) {
        baronet_netlist *netlist = read_netlist(files[k], NULL);
        failed += netlist == NULL || each_script(netlist_model(netlist), &all) != 0;
        baronet_netlist_destroy(netlist);
    }
    qsort(all.ratio, (size_t)all.count, sizeof all.ratio[0], rising);
    tell_section("Events",
                 "Processor time of each event of the demonstrations against the time that "
                 "it lasts.");
    tell("events", all.count, "");
    tell_at_least("the slowest, over real time", all.ratio[0], "times", 100.0);
    tell_at_least("the median", all.ratio[all.count / 2], "times", 100.0);
    for (int count = 100; count <= 100000; count *= 10) {
        failed += row_of_tanks(count);
    }
    return failed > 0 ? 1 : 0;
}
