/* What may not change an answer: other units, other names, another order of statements and of
   corners, left for right, a hose or a tank said in two parts, a valve that never opens. Asked of
   the demonstrations and of random netlists; figures are compared by name. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "baronet/baronet.h"
#include "random.h"
#include "rewrite.h"
#include "studies/demos.h"

enum { KEY = 320, RANDOMS = 17 };

/* Heights are compared with this length at least, m, damping with all that there is, other figures
   with this part of the largest of their kind: what is nothing beside it is rounding. */
#define LENGTH 0.1
#define PART   1e-3
/* Constants shorter than this, s, are those of the pieces that a hose or a tank is cut into; so
   much of a settling time is air that moves within a piece. */
#define SHORTEST 3e-3

/* What is expected of two netlists. */
typedef struct twins {
    const char *what;
    double exact; /* relative: of standings, instant, settled and parked */
    double felt;  /* of the level ride, of modes and of paths */
    double timed; /* of settling times and time constants */
    bool renamed; /* the second has the names of rewrite_names */
    bool parts;   /* the second has parts that the first has not, or the reverse */
    bool halves;  /* NAME of the first is NAME and NAME-b in the second */
} twins;

typedef struct line {
    char key[KEY];
    char quantity[48];
    double value, tolerance;
} line;

typedef struct sheet {
    line *line;
    size_t lines;
    baronet_status status;
} sheet;

static int by_key(const void *a, const void *b) {
    return strcmp(((const line *)a)->key, ((const line *)b)->key);
}

static double tolerance_of(const twins *t, const baronet_figure *f) {
    const bool timed =
        strncmp(f->quantity, "settle_time", 11) == 0 || strcmp(f->quantity, "time_constant") == 0;
    const bool felt = strcmp(f->level, "ride") == 0 || strcmp(f->quantity, "path_frequency") == 0 ||
                      strcmp(f->study, "ride") == 0;
    return timed ? t->timed : felt ? t->felt : t->exact;
}

static sheet read_sheet(const char *netlist_text, baronet_study *study, const twins *t,
                        bool second) {
    static const baronet_question question = {.workers = 1};
    baronet_netlist *netlist = ask_text(netlist_text);
    baronet_answer *answer = ask(netlist, study, &question);
    sheet s = {.lines = baronet_answer_figures(answer), .status = baronet_answer_status(answer)};
    s.line = calloc(s.lines + 1, sizeof *s.line);
    for (size_t k = 0; k < s.lines; k++) {
        const baronet_figure *const f = baronet_answer_figure(answer, k);
        char state[64], with[64], subject[128];
        snprintf(state, sizeof state, "%s", f->state);
        snprintf(with, sizeof with, "%s", f->load_case);
        snprintf(subject, sizeof subject, "%s", f->subject);
        rewrite_back(state, sizeof state, second && t->renamed);
        rewrite_back(with, sizeof with, second && t->renamed);
        rewrite_back(subject, sizeof subject, second && t->renamed);
        snprintf(s.line[k].key, KEY, "%s %s|%s|%s|%s", f->quantity, subject, state, with, f->level);
        snprintf(s.line[k].quantity, sizeof s.line[k].quantity, "%s", f->quantity);
        s.line[k].value = f->value;
        s.line[k].tolerance = tolerance_of(t, f);
    }
    qsort(s.line, s.lines, sizeof *s.line, by_key);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    return s;
}

static double largest(const sheet *s, const char *quantity, const twins *t) {
    const bool settles = t->halves && strncmp(quantity, "settle_time", 11) == 0;
    double most = strcmp(quantity, "height_shift") == 0    ? LENGTH / PART
                  : strcmp(quantity, "damping_ratio") == 0 ? 1.0 / PART
                  : settles                                ? SHORTEST / t->timed / PART
                                                           : 0.0;
    for (size_t k = 0; k < s->lines; k++) {
        most =
            strcmp(s->line[k].quantity, quantity) == 0 ? fmax(most, fabs(s->line[k].value)) : most;
    }
    return most;
}

/* What is of a part that is two in the second, or of a path beside one, is not the same. */
static bool is_half(const twins *t, const line *a, const sheet *b) {
    if (!t->halves || strcmp(a->quantity, "path_frequency") == 0) {
        return t->halves;
    }
    if (strcmp(a->quantity, "time_constant") == 0) {
        return a->value < SHORTEST;
    }
    line other = {.value = 0.0};
    const size_t name = strcspn(a->key, "|");
    snprintf(other.key, KEY, "%.*s-b%s", (int)name, a->key, a->key + name);
    return bsearch(&other, b->line, b->lines, sizeof *b->line, by_key) != NULL;
}

/* The worst of two sheets, in parts of what is allowed; infinity for a figure that one lacks. */
typedef struct worst {
    double part;
    char words[2 * KEY + 64];
} worst;

static void compare(worst *out, const char *a_text, const char *b_text, baronet_study *study,
                    const twins *t) {
    sheet a = read_sheet(a_text, study, t, false), b = read_sheet(b_text, study, t, true);
    size_t both = 0;
    if (a.status != b.status || (!t->parts && a.lines != b.lines)) {
        *out = (worst){HUGE_VAL, "other statuses, or so many figures"};
    }
    for (size_t i = 0, k = 0; i < a.lines && k < b.lines;) {
        const line *const x = &a.line[i], *const y = &b.line[k];
        const int order = strcmp(x->key, y->key);
        double part = order == 0 || t->parts ? 0.0 : HUGE_VAL;
        if (order == 0 && !is_half(t, x, &b)) {
            const double scale = fmax(fabs(x->value), PART * largest(&a, x->quantity, t));
            part = fabs(x->value - y->value) / (x->tolerance * scale + 1e-300);
            both++;
        }
        if (part > out->part) {
            out->part = part;
            snprintf(out->words, sizeof out->words, "%s is %.12g, and %s %.12g", x->key, x->value,
                     y->key, y->value);
        }
        i += order <= 0;
        k += order >= 0;
    }
    cr_expect(both > 0 || a.lines == 0, "%s: nothing is compared", t->what);
    free(a.line);
    free(b.line);
}

typedef char *rewriting(const char *netlist);

/* Rates of every demonstration and random netlist; times and modes, which are dear, of some. */
static void check_one(const char *which, const char *netlist, rewriting *one, rewriting *other,
                      const twins *t, bool dear) {
    char *const plain = rewrite_plainly(netlist), *const again = rewrite_plainly(plain);
    char *const a = one != NULL ? one(again) : strdup(again), *const b = other(again);
    worst w = {0.0, ""};
    compare(&w, a, b, baronet_rates, t);
    if (dear) {
        compare(&w, a, b, baronet_times, t);
        compare(&w, a, b, baronet_ride, t);
    }
    cr_expect_leq(w.part, 1.0, "%s: %s: %s: %.3g times what is allowed", t->what, which, w.words,
                  w.part);
    cr_log_info("%s: %s: %.3g of what is allowed", t->what, which, w.part);
    free(plain);
    free(again);
    free(a);
    free(b);
}

static void check_all(rewriting *one, rewriting *other, const twins *t) {
    for (const char *const *path = demos; *path != NULL; path++) {
        char *const netlist = rewrite_whole(*path);
        const bool dear = strstr(*path, "rear") != NULL || strstr(*path, "bench") != NULL ||
                          strstr(*path, "hoses") != NULL;
        check_one(*path, netlist, one, other, t, dear);
        free(netlist);
    }
    for (int k = 0; k < RANDOMS; k++) {
        random_netlist drawn = random_draw(7000u + (unsigned)k, RANDOM_SENSIBLE);
        char which[32];
        snprintf(which, sizeof which, "random %d", k);
        baronet_netlist *netlist = NULL;
        const bool sound = baronet_netlist_read_text("x", drawn.text.bytes, drawn.text.length, NULL,
                                                     NULL, &netlist) == BARONET_OK;
        baronet_netlist_destroy(netlist);
        if (sound) {
            check_one(which, drawn.text.bytes, one, other, t, k % 8 == 0);
        }
        text_buffer_free(&drawn.text);
    }
}

static char *units(const char *netlist) {
    return rewrite_units(netlist, 11);
}

Test(metamorphic, other_units) {
    static const twins t = {"other units", 1e-8, 1e-6, 1e-5, false, false, false};
    check_all(NULL, units, &t);
}

Test(metamorphic, other_names) {
    static const twins t = {"other names", 1e-8, 1e-6, 1e-5, true, false, false};
    check_all(NULL, rewrite_names, &t);
}

static char *order(const char *netlist) {
    return rewrite_order(netlist, 12);
}

Test(metamorphic, another_order_of_statements) {
    static const twins t = {"another order", 1e-8, 1e-6, 1e-5, false, false, false};
    check_all(NULL, order, &t);
}

static char *corners(const char *netlist) {
    return rewrite_corners(netlist, 13);
}

Test(metamorphic, another_order_of_corners) {
    static const twins t = {"another order of corners", 1e-8, 1e-6, 1e-5, false, false, false};
    check_all(NULL, corners, &t);
}

Test(metamorphic, left_for_right) {
    static const twins t = {"left for right", 1e-8, 1e-6, 1e-5, false, false, false};
    check_all(NULL, rewrite_mirrored, &t);
}

static char *whole_hoses(const char *netlist) {
    return rewrite_hoses(netlist, 0);
}

static char *split_hoses(const char *netlist) {
    return rewrite_hoses(netlist, 1);
}

Test(metamorphic, hoses_in_two_halves) {
    static const twins t = {"hoses in halves", 1e-8, 1e-3, 1e-2, false, true, true};
    check_all(whole_hoses, split_hoses, &t);
}

Test(metamorphic, tanks_in_two_parts) {
    static const twins t = {"tanks in two", 1e-8, 1e-3, 1e-2, false, true, true};
    check_all(NULL, rewrite_tanks, &t);
}

static char *shut_valves(const char *netlist) {
    return rewrite_shut(netlist, 0);
}

static char *no_valves(const char *netlist) {
    return rewrite_shut(netlist, 1);
}

Test(metamorphic, a_valve_that_never_opens_is_none) {
    static const twins t = {"no valve", 1e-8, 1e-6, 1e-5, false, true, false};
    check_all(shut_valves, no_valves, &t);
}

Test(metamorphic, a_relief_that_nothing_reaches_is_none) {
    static const twins t = {"a relief", 1e-8, 1e-6, 1e-5, false, true, false};
    check_all(NULL, rewrite_reliefs, &t);
}

/* What all of these are worth: a millionth of a spring's height does not pass for the same. */
Test(metamorphic, a_millionth_is_seen) {
    static const twins all[] = {{"whole", 1e-8, 1e-6, 1e-5, false, false, false},
                                {"renamed", 1e-8, 1e-6, 1e-5, true, false, false},
                                {"parts", 1e-8, 1e-6, 1e-5, false, true, false},
                                {"halves", 1e-8, 1e-3, 1e-2, false, true, true}};
    for (const char *const *path = demos; *path != NULL; path++) {
        char *const netlist = rewrite_whole(*path), *const nudged = rewrite_nudged(netlist);
        for (size_t k = 0; k < sizeof all / sizeof *all; k++) {
            char *const other = all[k].renamed  ? rewrite_names(nudged)
                                : all[k].halves ? rewrite_hoses(nudged, 1)
                                                : strdup(nudged);
            worst w = {0.0, ""};
            compare(&w, netlist, other, baronet_rates, &all[k]);
            cr_expect(w.part > 1.0 && isfinite(w.part), "%s: %s: %s", *path, all[k].what, w.words);
            free(other);
        }
        free(netlist);
        free(nudged);
    }
}
