/* Interrupts at each call for files, and at any moment: nothing is left half written. */
#include "cli/interrupt.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "program.h"
#include "support.h"

#define OLD "words that were there before\n"

/* Two files, each of a kind of its own. */
#define WORDS                                                                                      \
    "size netlists/rear.air --change left-tank.volume=1L..9L "                                     \
    "--want 'ride_frequency of RL below 1.5 Hz settled in soft' --out %s --write %s"

typedef struct pair {
    char words[1600];
    const char *path[2];
    char *whole[2];
} pair;

static void write_old(pair *p) {
    p->path[0] = scratch_file("out", OLD);
    p->path[1] = scratch_file("write", OLD);
}

static pair open_pair(const char *words) {
    pair p;
    write_old(&p);
    snprintf(p.words, sizeof p.words, words, p.path[0], p.path[1]);
    ran r = program(NULL, p.words);
    cr_assert_eq(r.code, 0, "%s", r.err);
    ran_free(&r);
    for (int k = 0; k < 2; k++) {
        p.whole[k] = file_bytes(p.path[k]);
    }
    return p;
}

static void close_pair(pair *p) {
    free(p->whole[0]);
    free(p->whole[1]);
}

static void expect_files(int count, const char *what) {
    char words[700];
    snprintf(words, sizeof words, "test $(ls -A %s | wc -l) = %d", scratch_folder(), count);
    cr_expect_eq(system(words), 0, "%s: something is left", what);
}

/* Each file is the old one or the new, and there is no other. */
static void expect_whole(const pair *p, const char *what) {
    for (int k = 0; k < 2; k++) {
        char *const bytes = file_bytes(p->path[k]);
        cr_expect(bytes != NULL && (strcmp(bytes, OLD) == 0 || strcmp(bytes, p->whole[k]) == 0),
                  "%s: %s is neither the old nor the new", what, p->path[k]);
        free(bytes);
    }
    expect_files(2, what);
}

Test(interrupt, waits_at_each_call) {
    static const int endings[] = {SIGHUP, SIGINT, SIGQUIT, SIGTERM};
    for (size_t k = 0; k < sizeof endings / sizeof *endings; k++)
        signal(endings[k], SIG_DFL); /* work in the background is started with some ignored */
    pair p = open_pair(WORDS);
    bool met = true;
    for (int which = 1; met; which++) {
        const int number = endings[which % 4];
        char what[80];
        write_old(&p);
        program_call(which, "signal", number);
        ran r = program(NULL, p.words);
        met = program_call_met()[0] != '\0';
        snprintf(what, sizeof what, "signal %d at call %d, %s", number, which, program_call_met());
        cr_expect_eq(r.signal, met ? number : 0, "%s: ends with %d", what, r.signal);
        cr_expect_str_eq(r.err, "", "%s", what);
        expect_whole(&p, what);
        ran_free(&r);
        cr_assert_lt(which, 100);
    }
    close_pair(&p);
}

/* What ignored it goes on to do so, as under `nohup` and in the background of a script. */
Test(interrupt, is_ignored_where_it_was) {
    pair p = open_pair(WORDS);
    bool met = true;
    signal(SIGHUP, SIG_IGN);
    signal(SIGINT, SIG_IGN);
    for (int which = 1; met; which++) {
        write_old(&p);
        program_call(which, "signal", which % 2 == 0 ? SIGHUP : SIGINT);
        ran r = program(NULL, p.words);
        met = program_call_met()[0] != '\0';
        cr_expect_eq(r.code, 0, "call %d: %s", which, r.err);
        for (int k = 0; k < 2; k++) {
            char *const bytes = file_bytes(p.path[k]);
            cr_expect_str_eq(bytes, p.whole[k], "call %d", which);
            free(bytes);
        }
        ran_free(&r);
    }
    close_pair(&p);
}

/* Long work, one kind that is cut off and one that ends with what it has at the first Ctrl-C. */
static const char *const works[] = {
    "report netlists/rear.air --as json --out %s",
    "spread netlists/rear.air --change left-tank.volume=+-5%% --of 'ride_frequency of RL settled' "
    "--runs 20000 --workers 2 --as json --out %s",
};

enum { MOMENTS = 12, LONGEST = 400 }; /* ms */

/* What is there is the old file, or one that is as it has to be: JSON from its start to its end. */
static void expect_ended(const ran *r, const char *path, const char *what) {
    char *const bytes = file_bytes(path);
    cr_assert_not_null(bytes, "%s", what);
    const size_t length = strlen(bytes);
    const bool old = strcmp(bytes, OLD) == 0;
    cr_expect(old || (length > 3 && bytes[0] == '{' && strcmp(bytes + length - 3, "\n}\n") == 0),
              "%s: %.30s ... %s", what, bytes, length > 30 ? bytes + length - 30 : "");
    cr_expect(r->signal != 0 || r->code == 0 || r->code == 4, "%s: %d", what, r->code);
    cr_expect(r->signal != 0 || !old, "%s: ended with %d and wrote nothing", what, r->code);
    free(bytes);
}

Test(interrupt, comes_at_any_moment) {
    static const int endings[] = {SIGINT, SIGTERM, SIGHUP, SIGPIPE};
    unsigned long long chance = 20;
    for (int k = 0; k < MOMENTS; k++) {
        const char *path = scratch_file("out", OLD);
        char words[900], what[80];
        const int number = endings[k / 2 % 4];
        const int moment = (int)(LONGEST * random_unit(&chance));
        snprintf(words, sizeof words, works[k % 2], path);
        snprintf(what, sizeof what, "work %d, signal %d after %d ms", k % 2, number, moment);
        program_strike(number, moment);
        ran r = program(NULL, words);
        cr_expect(r.signal == 0 || r.signal == number, "%s: killed by %d", what, r.signal);
        cr_expect(number != SIGPIPE || r.code == 0, "%s: %d, for it is ignored", what, r.code);
        expect_ended(&r, path, what);
        expect_files(1, what);
        ran_free(&r);
    }
}
