/* Random networks and scripts through the whole of `play`: each ends with an answer or a named
   reason, none hangs. 200 of them here; BARONET_EVENTS=10000 in the environment runs more, and
   BARONET_SEED another series. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "baronet/baronet.h"
#include "support.h"

typedef struct dice {
    unsigned long long state;
} dice;

static double between(dice *d, double low, double high) {
    return low + (high - low) * random_unit(&d->state);
}

static bool chance(dice *d, double part) {
    return random_unit(&d->state) < part;
}

static int upto(dice *d, int count) {
    const int k = (int)(random_unit(&d->state) * count);
    return k < count ? k : count - 1;
}

static void write_law(dice *d, text_buffer *b) {
    switch (upto(d, 3)) {
    case 0:
        text_buffer_format(b, " bore %.3f mm", between(d, 0.3, 14.0));
        break;
    case 1:
        text_buffer_format(b, " sonic %.4f L/s.bar critical %.2f", between(d, 0.01, 4.0),
                           between(d, 0.1, 0.5));
        break;
    default:
        text_buffer_format(b, " kv %.4f m3/h", between(d, 0.01, 2.0));
    }
}

static void write_vehicle(dice *d, text_buffer *b, int wheels) {
    static const char *const gases[] = {"adiabatic", "isothermal", "thermal 4 s", "exponent 1.3"};
    text_buffer_format(b, "ambient pressure 99 kPa temperature %.1f C\ngas %s\n",
                       between(d, -10.0, 35.0), gases[upto(d, 4)]);
    if (chance(d, 0.7)) {
        text_buffer_add(b, "vehicle cg-height 0.8 m roll-axis 0.2 m\n");
    }
    text_buffer_add(b, "profile sleeve\n height mm area cm2 volume L\n 100 80 0.9\n 150 76 1.29\n"
                       " 200 74 1.66\n 250 71 2.02\n");
    for (int k = 0; k < wheels; k++) {
        text_buffer_format(b, "corner C%d at %.2f m %.2f m load %.0f kg", k, k < 2 ? 1.5 : -1.5,
                           k % 2 == 0 ? 0.8 : -0.8, between(d, 300.0, 700.0));
        if (chance(d, 0.7)) {
            text_buffer_format(b, " tyre %.0f N/mm", between(d, 150.0, 400.0));
            text_buffer_add(b, chance(d, 0.8) ? " unsprung 45 kg" : "");
        }
        if (chance(d, 0.8)) {
            text_buffer_format(b, " damper %.2f kN.s/m", between(d, 0.3, 4.0));
        }
        if (chance(d, 0.7)) {
            text_buffer_add(b, " bump-stop at 40 mm rate 200 N/mm rebound-stop at 60 mm rate 90 "
                               "N/mm");
        }
        text_buffer_add(b, "\n");
    }
    for (int k = 0; k + 1 < wheels; k += 2) {
        text_buffer_format(b, "bar B%d between C%d C%d roll %.0f N.m/deg\n", k, k, k + 1,
                           between(d, 100.0, 900.0));
    }
}

/* What some solenoids cannot do. */
static void write_nature(dice *d, text_buffer *b) {
    if (chance(d, 0.15)) {
        text_buffer_format(b, " opens-above %.2f bar", between(d, 0.02, 1.0));
    }
    text_buffer_add(b, chance(d, 0.15) ? " one-way" : "");
}

static void write_air(dice *d, text_buffer *b, int springs, bool bench) {
    for (int k = 0; k < springs; k++) {
        if (bench) {
            text_buffer_format(b, "spring s%d load %.0f kg profile sleeve height 165 mm\n", k,
                               between(d, 250.0, 600.0));
        } else {
            text_buffer_format(b, "spring s%d on C%d ratio %.2f profile sleeve height 165 mm\n", k,
                               k, between(d, 0.7, 1.1));
        }
        text_buffer_format(b, "tee j%d\ntank t%d volume %.2f L pressure %.1f bar\n", k, k,
                           between(d, 0.3, 9.0), between(d, 3.0, 8.0));
        if (chance(d, 0.6)) {
            text_buffer_format(b, "hose h%d from s%d to j%d bore %.1f mm length %.2f m\n", k, k, k,
                               between(d, 2.0, 14.0), between(d, 0.1, 3.0));
        } else {
            text_buffer_format(b, "restrictor h%d from s%d to j%d", k, k, k);
            write_law(d, b);
            text_buffer_add(b, "\n");
        }
        text_buffer_format(b, "solenoid g%d from j%d to t%d normally %s", k, k, k,
                           chance(d, 0.8) ? "closed" : "open");
        write_law(d, b);
        write_nature(d, b);
        text_buffer_add(b, chance(d, 0.3) ? " bypass 0.2 mm\n" : "\n");
        if (k > 0) {
            text_buffer_format(b, "solenoid x%d from j%d to j%d normally closed", k, k - 1, k);
            write_law(d, b);
            write_nature(d, b);
            text_buffer_add(b, "\n");
        }
    }
    text_buffer_add(b, "supply line pressure 7 bar\ntank reserve volume 6 L pressure 6.5 bar\n"
                       "check-valve nr from line to reserve bore 4 mm opens-at 0.1 bar\n"
                       "relief blow from reserve to atmosphere set 9 bar bore 4 mm\n"
                       "solenoid fill from reserve to j0 normally closed bore 1.5 mm\n"
                       "solenoid dump from j0 to atmosphere normally closed bore 2 mm\n");
    if (chance(d, 0.5)) {
        text_buffer_add(b, "compressor pump from atmosphere to reserve\n pressure bar flow L/min\n"
                           " 0 60\n 6 30\n 8 0\n");
    }
    text_buffer_add(b, "state shut shut fill\nstate wide open");
    for (int k = 0; k < springs; k++) {
        text_buffer_format(b, " g%d", k);
    }
    text_buffer_add(b, "\n");
}

static void write_action(dice *d, text_buffer *b, int springs, int wheels) {
    const int spring = upto(d, springs);
    const char letter = wheels > 0 ? 'C' : 's';
    switch (upto(d, 13)) {
    case 0:
        text_buffer_format(b, "lateral %.2f m/s2 over %.2f s", between(d, -5.0, 5.0),
                           between(d, 0.0, 1.0));
        break;
    case 1:
        text_buffer_format(b, "braking %.2f m/s2 over %.2f s", between(d, -5.0, 5.0),
                           between(d, 0.1, 1.0));
        break;
    case 2:
        text_buffer_format(b, "bump %c%d %.0f mm over %.3f s", letter, spring,
                           between(d, -60.0, 80.0), between(d, 0.03, 0.6));
        break;
    case 3:
        text_buffer_format(b, "load %c%d %.0f kg", letter, spring, between(d, -350.0, 350.0));
        break;
    case 4:
        text_buffer_format(b, "burst s%d bore %.2f mm", spring, between(d, 0.05, 12.0));
        break;
    case 5:
        text_buffer_add(b, "hold");
        break;
    case 6:
        text_buffer_format(b, "temperature %.0f C over %.1f s", between(d, -20.0, 45.0),
                           between(d, 0.1, 5.0));
        break;
    case 7:
        text_buffer_add(b, "supply line lost");
        break;
    case 8:
        text_buffer_add(b, chance(d, 0.5) ? "state wide" : "state shut");
        break;
    case 9:
        text_buffer_format(b, "step heave %.0f mm", between(d, -20.0, 20.0));
        break;
    case 10:
        text_buffer_format(b, "open g%d", spring);
        break;
    case 11:
        text_buffer_add(b, chance(d, 0.5) ? "open fill" : "open dump");
        break;
    default:
        text_buffer_add(b, chance(d, 0.5) ? "shut fill" : "shut dump");
    }
    text_buffer_add(b, "\n");
}

static void write_script(dice *d, text_buffer *b, int springs, int wheels) {
    const double until = between(d, 0.3, 12.0);
    text_buffer_format(b, "event e in %s\n", chance(d, 0.5) ? "shut" : "wide");
    const int actions = 1 + upto(d, 5);
    for (int k = 0; k < actions; k++) {
        if (chance(d, 0.8)) {
            text_buffer_format(b, " at %.3f s ", between(d, 0.0, 0.9 * until));
        } else {
            text_buffer_format(b, " when height of s%d %s %.1f mm ", upto(d, springs),
                               chance(d, 0.5) ? "above" : "below", between(d, 150.0, 180.0));
        }
        write_action(d, b, springs, wheels);
    }
    text_buffer_format(b, " until %.3f s\n", until);
}

static double seconds(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static baronet_status run(const char *words, unsigned long long number) {
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *netlist = NULL;
    const baronet_status read =
        baronet_netlist_read_text("random", words, strlen(words), NULL, said, &netlist);
    cr_assert_eq(read, BARONET_OK, "%llu: %s\n%s", number, baronet_diagnostics_text(said, false),
                 words);
    baronet_answer *answer = NULL;
    const baronet_question question = {.points = 5};
    const double start = seconds();
    cr_assert_eq(baronet_play(netlist, &question, &answer, NULL), BARONET_OK, "%llu", number);
    const double took = seconds() - start;
    if (took > 5.0) {
        fprintf(stderr, "random %llu took %.1f s: %s\n%s\n", number, took,
                baronet_status_text(baronet_answer_status(answer)), words);
    }
    cr_expect_lt(took, 75.0, "%llu is within its budget of time", number);
    const baronet_status status = baronet_answer_status(answer);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    baronet_diagnostics_destroy(said);
    return status;
}

static unsigned long long setting(const char *name, unsigned long long usual) {
    const char *words = getenv(name);
    return words != NULL ? strtoull(words, NULL, 10) : usual;
}

Test(events, random_networks_and_scripts_end, .timeout = 36000) {
    const unsigned long long count = setting("BARONET_EVENTS", 200);
    const unsigned long long seed = setting("BARONET_SEED", 1);
    int by_status[64] = {0};
    for (unsigned long long k = 0; k < count; k++) {
        dice d = {seed * 1000003u + k * 7919u + 17u};
        text_buffer b = {0};
        const bool bench = chance(&d, 0.2);
        const int springs = bench ? 1 + upto(&d, 3) : 1 + upto(&d, 4);
        write_vehicle(&d, &b, bench ? 0 : springs);
        write_air(&d, &b, springs, bench);
        write_script(&d, &b, springs, bench ? 0 : springs);
        cr_assert_not(b.failed);
        by_status[run(b.bytes, k)]++;
        text_buffer_free(&b);
    }
    for (int k = 0; k < 64; k++) {
        if (by_status[k] > 0 && count > 200) {
            fprintf(stderr, "%6d %s\n", by_status[k], baronet_status_text((baronet_status)k));
        }
    }
    cr_expect_gt(by_status[BARONET_OK], (int)count / 4, "most end well");
    cr_expect_eq(by_status[BARONET_OVER_BUDGET], 0, "none needs its whole budget");
}
