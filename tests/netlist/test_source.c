/* SPDX-License-Identifier: MIT */
#include "netlist/source.h"

#include <criterion/criterion.h>
#include <string.h>

#include "sample.h"

static arena *a;
static sources all;

static void begin(void) {
    a = arena_create(NULL);
    cr_assert_eq(sources_make(&all, a, NULL), BARONET_OK);
}

static void end(void) {
    sources_free(&all);
    arena_destroy(a);
}

static source *add(const char *path, const char *bytes) {
    source *s = NULL;
    const char *reason = NULL;
    cr_assert_eq(sources_add_text(&all, path, text_of(bytes), &s, &reason), BARONET_OK);
    return s;
}

Test(source, lines_and_columns, .init = begin, .fini = end) {
    source *const s = add("x", "\xEF\xBB\xBF"
                               "ab\n\n\xC3\xA9t\xC3\xA9 x\r\nlast");
    static const struct {
        uint32_t at;
        int line, column;
    } cases[] = {{3, 1, 1}, {4, 1, 2},  {5, 1, 3},  {6, 2, 1},  {7, 3, 1},
                 {9, 3, 2}, {13, 3, 5}, {16, 4, 1}, {20, 4, 5}, {3, 1, 1}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        int line, column;
        source_locate(s, a, cases[i].at, &line, &column);
        cr_expect_eq(line, cases[i].line, "at %u: %d", cases[i].at, line);
        cr_expect_eq(column, cases[i].column, "at %u: %d", cases[i].at, column);
    }
}

static void check_excerpt(const char *bytes, uint32_t start, uint32_t length, const char *line,
                          int caret, int width) {
    const source *const s = add("x", bytes);
    text_buffer b = {0};
    int c, w;
    source_excerpt(s, start, length, &b, &c, &w);
    cr_expect_str_eq(b.bytes, line, "got `%s`", b.bytes);
    cr_expect_eq(c, caret, "caret %d", c);
    cr_expect_eq(w, width, "width %d", w);
    text_buffer_free(&b);
}

Test(source, excerpts, .init = begin, .fini = end) {
    check_excerpt("one\ntank a\r\nthree", 9, 1, "tank a", 5, 1);
    check_excerpt("\ttank\ta", 6, 1, " tank a", 6, 1);
    check_excerpt("one\ntwo", 4, 100, "two", 0, 3);
    check_excerpt("", 0, 0, "", 0, 1);
    check_excerpt("a\033[2Jb", 5, 1, "a?[2Jb", 5, 1);
    check_excerpt("\xEF\xBB\xBF"
                  "tee",
                  3, 3, "tee", 0, 3);
    check_excerpt("\xE6\xB0\x94 x", 4, 1, "\xE6\xB0\x94 x", 3, 1);
}

Test(source, an_excerpt_of_a_long_line_is_cut_around_its_place, .init = begin, .fini = end) {
    static char line[5000];
    memset(line, '.', sizeof line - 1);
    memcpy(line + 3000, "here", 4);
    const source *const s = add("x", line);
    for (uint32_t at = 0; at < sizeof line - 1; at += 7) {
        text_buffer b = {0};
        int caret, width;
        source_excerpt(s, at, 4, &b, &caret, &width);
        cr_expect_eq(b.length, SOURCE_EXCERPT, "%zu at %u", b.length, at);
        cr_expect_leq(caret + width, SOURCE_EXCERPT);
        cr_expect_eq(b.bytes[caret], line[at]);
        text_buffer_free(&b);
    }
}

Test(source, paths_are_relative_to_the_includer, .init = begin, .fini = end) {
    static const struct {
        const char *includer, *included, *joined;
    } cases[] = {
        {"van.air", "parts/a.air", "parts/a.air"},
        {"netlists/van.air", "parts/a.air", "netlists/parts/a.air"},
        {"netlists/van.air", "../a.air", "netlists/../a.air"},
        {"netlists/van.air", "/a.air", "/a.air"},
        {"-", "a.air", "a.air"},
        {"van.air", "-", "./-"},
        {"netlists/van.air", "", "netlists/"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        cr_expect_str_eq(sources_join(&all, add(cases[i].includer, ""), text_of(cases[i].included)),
                         cases[i].joined);
}

Test(source, one_path_in_several_spellings_is_one_source) {
    static const sample_file files[] = {
        {"a/b.air", "1"}, {"../a/b.air", "2"}, {"/a/b.air", "3"}, {NULL, NULL}};
    static const struct {
        const char *path;
        bool fresh;
    } cases[] = {{"a/b.air", true},          {"./a/b.air", false},    {"a//b.air", false},
                 {"a/./b.air", false},       {"a/c/../b.air", false}, {"../a/b.air", true},
                 {"x/../../a/b.air", false}, {"/a/b.air", true},      {"/../a/b.air", false}};
    a = arena_create(NULL);
    const baronet_reader reader = sample_reader(files);
    cr_assert_eq(sources_make(&all, a, &reader), BARONET_OK);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        source *s;
        bool fresh;
        const char *reason;
        cr_expect_eq(sources_load(&all, cases[i].path, NULL, &s, &fresh, &reason), BARONET_OK);
        cr_expect_eq(fresh, cases[i].fresh, "%s", cases[i].path);
    }
    end();
}

static baronet_status read_nothing(void *context, const char *path, size_t limit,
                                   const baronet_allocator *allocator, char **bytes, size_t *length,
                                   const char **reason) {
    (void)context, (void)path, (void)limit, (void)allocator, (void)bytes, (void)reason;
    *length = 0;
    return BARONET_OK;
}

/* A reader may give no block for an empty file. */
Test(source, a_reader_without_bytes) {
    a = arena_create(NULL);
    const baronet_reader reader = {read_nothing, NULL};
    cr_assert_eq(sources_make(&all, a, &reader), BARONET_OK);
    source *s;
    bool fresh;
    const char *reason;
    cr_assert_eq(sources_load(&all, "empty.air", NULL, &s, &fresh, &reason), BARONET_OK);
    cr_expect_not_null(s->bytes);
    cr_expect_eq(s->length, 0);
    int line, column;
    source_locate(s, a, 0, &line, &column);
    cr_expect_eq(line, 1);
    cr_expect_eq(column, 1);
    end();
}
