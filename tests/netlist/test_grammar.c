/* SPDX-License-Identifier: MIT */
#include "netlist/grammar.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sample.h"

/* What the examples of the grammar speak of. */
#define SCENE                                                                                      \
    "corner RL at -1.62 m 0.81 m load 445 kg axle rear\n"                                          \
    "corner RR at -1.62 m -0.81 m load 431 kg axle rear\n"                                         \
    "profile sleeve-a area 95 cm2 volume 1.9 L at 165 mm\n"                                        \
    "spring left-air on RL profile sleeve-a height 165 mm\n"                                       \
    "spring right-air on RR profile sleeve-a height 165 mm\n"                                      \
    "profile sleeve area 90 cm2 volume 1.7 L at 165 mm\n"                                          \
    "spring left on RL profile sleeve height 165 mm\n"                                             \
    "tank left-tank volume 4 L\ntank right-tank volume 4 L\ntank main-tank volume 9 L\n"           \
    "tee left-tee\nsupply shop-air pressure 8 bar\n"                                               \
    "hose left-hose from left-air to left-tee bore 9.5 mm length 0.45 m\n"                         \
    "solenoid left-gate from left-tee to left-tank normally closed bore 12 mm\n"                   \
    "solenoid right-gate from right-air to right-tank normally closed bore 12 mm\n"                \
    "solenoid cross from left-air to right-air normally closed bore 6 mm\n"                        \
    "state easy open left-gate right-gate cross\nstate taut shut left-gate\n"

/* The scene's statements that the example would say again are left out. */
static void without(const char *scene, const char *name, char *out) {
    char pattern[80];
    *out = 0;
    snprintf(pattern, sizeof pattern, " %s ", name);
    for (const char *line = scene; *line;) {
        const size_t length = strcspn(line, "\n") + 1;
        char copy[200];
        snprintf(copy, sizeof copy, "%.*s ", (int)length - 1, line);
        const char *const named = strchr(copy, ' ');
        if (!named || strncmp(named, pattern, strlen(pattern)) != 0)
            strncat(out, line, length);
        line += length;
    }
}

Test(grammar, each_keywords_example_is_sound) {
    for (int k = 0; k < KEYWORDS; k++) {
        const grammar_keyword *const row = grammar_at((keyword)k);
        char name[40] = "", netlist[4000];
        sscanf(row->example, "%*s %39s", name);
        without(SCENE, row->named ? name : "?", netlist);
        strcat(netlist, row->example);
        strcat(netlist,
               k == KEYWORD_COMPRESSOR ? "\n pressure bar flow L/min\n 0 60\n 8 20\n" : "\n");
        baronet_status status;
        char *const said = sample_said(netlist, &status);
        if (k == KEYWORD_INCLUDE)
            cr_expect_not_null(strstr(said, "no such file"), "%s", said);
        else
            cr_expect_eq(status, BARONET_OK, "%s\n%s", netlist, said);
        free(said);
    }
}

/* Fails the test where an attribute in these words is not read. What does not go together with what
   is missing is not the point here, only that each value is read. */
static void expect_read(const char *keyword_name, bool named, const char *words) {
    char netlist[4000];
    snprintf(netlist, sizeof netlist, SCENE "%s%s%s%s\n", keyword_name, named ? " fresh" : "",
             *keyword_name ? " " : "", words);
    static const char *const refusals[] = {"wants", "is no", "there is no s", "is to be"};
    char *const said = sample_said(netlist, NULL);
    for (size_t i = 0; i < sizeof refusals / sizeof *refusals; i++)
        cr_expect_null(strstr(said, refusals[i]), "%s\n%s", netlist, said);
    free(said);
}

Test(grammar, each_attributes_example_is_read) {
    for (int k = 0; k < KEYWORD_INCLUDE; k++) {
        const grammar_keyword *const row = grammar_at((keyword)k);
        for (size_t i = 0; i < row->attributes; i++) {
            const grammar_attribute *const a = &row->attribute[i];
            char words[200];
            snprintf(words, sizeof words, "%s %s", grammar_word(a->word), a->example);
            expect_read(row->name, row->named, words);
            cr_expect_gt(strlen(a->doc), 0);
        }
    }
}

static char *read_file(const char *path) {
    FILE *const f = fopen(path, "rb");
    cr_assert_not_null(f, "%s", path);
    char *const bytes = calloc(1, 1 << 20);
    cr_assert_gt(fread(bytes, 1, (1 << 20) - 1, f), 0);
    fclose(f);
    return bytes;
}

/* The reference names every word of the format, as `word`. */
Test(grammar, the_reference_has_every_word) {
    char *const page = read_file("docs/netlist.md");
    char quoted[80];
    for (int k = 0; k < KEYWORDS; k++) {
        const grammar_keyword *const row = grammar_at((keyword)k);
        snprintf(quoted, sizeof quoted, "## `%s`", row->name);
        const char *const chapter = strstr(page, quoted);
        cr_assert_not_null(chapter, "%s", quoted);
        const char *const next = strstr(chapter + 1, "\n## ");
        for (size_t i = 0; i < row->attributes + row->columns; i++) {
            const char *const name = i < row->attributes ? grammar_word(row->attribute[i].word)
                                                         : row->column[i - row->attributes].name;
            snprintf(quoted, sizeof quoted, "`%s", name);
            const char *const found = strstr(chapter, quoted);
            cr_expect(found && (!next || found < next), "`%s` of `%s`", name, row->name);
        }
    }
    free(page);
}

/* Reads the example in the last cell of a line of a table, if there is one. */
static void check_line(const grammar_keyword *row, const char *line, size_t length) {
    char copy[400];
    snprintf(copy, sizeof copy, "%.*s", (int)length, line);
    char *const end = strrchr(copy, '`');
    if (strncmp(copy, "| ", 2) != 0 || !end || strcmp(end, "` |") != 0)
        return;
    *end = 0;
    const char *const example = strrchr(copy, '`') + 1;
    const text word_text = {example, strcspn(example, " ")};
    const char *const after = example + word_text.length;
    if (row->columns > 0 && *after && !(after[1] >= '0' && after[1] <= '9'))
        return; /* a column and its unit */
    if (grammar_attribute_find(row, word_text))
        expect_read(row->name, row->named, example);
    else if (text_equals(word_text, row->name))
        expect_read("", false, example);
}

Test(grammar, the_examples_of_the_reference_are_read) {
    char *const page = read_file("docs/netlist.md");
    const grammar_keyword *row = NULL;
    for (const char *line = page; *line;) {
        const size_t length = strcspn(line, "\n");
        char name[40] = "";
        if (strncmp(line, "## ", 3) == 0)
            row = sscanf(line, "## `%39[a-z-]", name) == 1 ? grammar_at(grammar_find(text_of(name)))
                                                           : NULL;
        else if (row)
            check_line(row, line, length);
        line += length + (line[length] == '\n');
    }
    const char *const first = strstr(page, "```\n") + 4;
    char *const sound = strndup(first, (size_t)(strstr(first, "```") - first));
    baronet_netlist_destroy(sample(sound));
    free(sound);
    free(page);
}

Test(grammar, words_and_keywords_are_found_by_their_text) {
    for (int k = 0; k < KEYWORDS; k++) {
        const grammar_keyword *const row = grammar_at((keyword)k);
        cr_expect_eq((int)grammar_find(text_of(row->name)), k);
        cr_expect_leq(row->attributes, 64, "as many as a set of bits holds");
        for (size_t i = 0; i < row->attributes; i++) {
            const grammar_attribute *const a = &row->attribute[i];
            if (a->word != WORD_NONE)
                cr_expect_eq(grammar_attribute_find(row, text_of(grammar_word(a->word))), a);
            cr_expect_eq(a->slot[GRAMMAR_SLOTS - 1].kind, SLOT_END);
        }
    }
    cr_expect_eq(grammar_find(text_of("tan")), KEYWORDS);
    cr_expect_null(grammar_attribute_find(grammar_at(KEYWORD_TANK), text_of("bore")));
    cr_expect_null(grammar_attribute_find(grammar_at(KEYWORD_LET), text_of("")));
}

Test(grammar, names) {
    static const char *const good[] = {"a", "RL", "left-air", "x_1", "B2-", NULL};
    static const char *const bad[] = {"", "1a", "-a", "_a", "a.b", "a/b", "a b", "\xC3\xA9t", NULL};
    for (const char *const *n = good; *n; n++)
        cr_expect(grammar_is_name(text_of(*n)), "%s", *n);
    for (const char *const *n = bad; *n; n++)
        cr_expect_not(grammar_is_name(text_of(*n)), "%s", *n);
}
