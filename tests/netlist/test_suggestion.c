/* SPDX-License-Identifier: MIT */
#include "netlist/suggestion.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

static arena *a;
static reading r;

static void begin(void) {
    a = arena_create(NULL);
    r = (reading){.arena = a,
                  .diagnostics = baronet_diagnostics_create(NULL, 0),
                  .patience = READING_PATIENCE};
}

static void end(void) {
    baronet_diagnostics_destroy(r.diagnostics);
    arena_destroy(a);
}

/* The hint for a wrong word among some that end with NULL; "" for none. */
static const char *hint(const char *wrong, const char *const *fitting) {
    suggestion s = suggestion_begin(&r, text_of(wrong), "fits:");
    for (; *fitting; fitting++)
        suggestion_offer(&s, text_of(*fitting));
    const char *const said = suggestion_end(&s);
    return said ? said : "";
}

static const char *const some[] = {"tank", "tee", "hose", "RL", "s", NULL};
static const char *const none[] = {NULL};

Test(suggestion, finds_the_closest, .init = begin, .fini = end) {
    static const struct {
        const char *wrong, *close;
    } cases[] = {{"tnak", "tank"},  {"TANK", "tank"},
                 {"hoses", "hose"}, {"rl", "RL"},
                 {"te", "tee"},     {"S", "s"},
                 {"x", NULL},       {"valve", NULL},
                 {"", NULL},        {"abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz", NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char expected[80] = "";
        if (cases[i].close)
            snprintf(expected, sizeof expected, "did you mean `%s`?\n  ", cases[i].close);
        strcat(expected, "fits: tank tee hose RL s");
        cr_expect_str_eq(hint(cases[i].wrong, some), expected, "%s", cases[i].wrong);
    }
    cr_expect_str_eq(hint("tank", none), "");
}

Test(suggestion, wraps_long_lists_and_ends_endless_ones, .init = begin, .fini = end) {
    suggestion s = suggestion_begin(&r, text_of("zzzz"), "fits:");
    for (int i = 0; i < 1000; i++) {
        char word_text[32];
        snprintf(word_text, sizeof word_text, "word-%d", i);
        suggestion_offer(&s, text_of(word_text));
    }
    const char *const said = suggestion_end(&s);
    for (const char *line = said; line; line = strchr(line, '\n')) {
        line += *line == '\n';
        cr_expect_leq(strcspn(line, "\n"), 76);
    }
    cr_expect_not_null(strstr(said, "\n  word-"));
    cr_expect_null(strstr(said, "word-100"));
    cr_expect_str_eq(said + strlen(said) - 4, " ...");
}

Test(suggestion, patience_ends, .init = begin, .fini = end) {
    r.patience = 3;
    cr_expect_str_eq(hint("tej", some), "did you mean `tee`?\n  fits: tank tee hose RL s");
    cr_expect_str_eq(hint("tej", some), "fits: tank tee hose RL s");
}

Test(suggestion, says_nothing_where_nobody_listens, .init = begin, .fini = end) {
    reading silent = {.arena = a};
    suggestion s = suggestion_begin(&silent, text_of("tnak"), "fits:");
    suggestion_offer(&s, text_of("tank"));
    cr_expect_not(suggestion_wants_more(&s));
    cr_expect_null(suggestion_end(&s));
}

/* More names are looked through for as long as they may still be listed or compared. */
Test(suggestion, wants_more_until_it_is_tired, .init = begin, .fini = end) {
    r.patience = 0;
    suggestion s = suggestion_begin(&r, text_of("tnak"), "fits:");
    int offered = 0;
    for (; suggestion_wants_more(&s); offered++)
        suggestion_offer(&s, text_of("tank"));
    cr_expect_eq(offered, 40, "%d are listed", offered);
    r.patience = 1;
    cr_expect(suggestion_wants_more(&s));
    cr_expect_null(strstr(suggestion_end(&s), "did you mean"));
}
