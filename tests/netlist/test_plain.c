/* SPDX-License-Identifier: MIT */
#include "netlist/plain.h"

#include <criterion/criterion.h>
#include <stdint.h>
#include <string.h>

Test(plain, what_a_terminal_may_not_see) {
    static const struct {
        const char *text, *shown;
    } cases[] = {
        {"tank-1", "tank-1"},
        {"a\tb\rc\nd", "a b c d"},
        {"\033[31mred\177", "?[31mred?"},
        {"\xC3\xA9t\xC3\xA9", "\xC3\xA9t\xC3\xA9"},
        {"\xFF\xFEx", "??x"},
        {"\xC3", "?"},
        {"\xC2\x9B"
         "2J",
         "?2J"}, /* a control of eight bits */
        {"a\xE2\x80\xAE"
         "b",
         "a?b"}, /* right-to-left override */
        {"a\xE2\x80\xA8"
         "b",
         "a?b"},                    /* line separator */
        {"\xED\xA0\x80", "???"},    /* a surrogate */
        {"e\xCC\x81", "e\xCC\x81"}, /* a mark on a letter */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        text_buffer b = {0};
        text_buffer_add(&b, "");
        plain_add(&b, text_of(cases[i].text), SIZE_MAX);
        cr_expect_str_eq(b.bytes, cases[i].shown, "case %zu: %s", i, b.bytes);
        cr_expect_eq(text_valid_utf8(b.bytes, b.length), b.length);
        text_buffer_free(&b);
    }
}

Test(plain, is_cut_by_columns) {
    text_buffer b = {0};
    text_buffer_add(&b, "");
    cr_expect_eq(plain_add(&b, text_of("abcdef"), 4), 4);
    cr_expect_str_eq(b.bytes, "abcd");
    /* A wide character does not fit into one column. */
    cr_expect_eq(plain_add(&b, text_of("\xE6\xB0\x94\xE5\x8E\x8B"), 3), 2);
    cr_expect_str_eq(b.bytes, "abcd\xE6\xB0\x94");
    text_buffer_free(&b);
}

Test(plain, endless_marks_end) {
    text_buffer b = {0};
    static char marks[20002];
    for (size_t i = 0; i + 2 < sizeof marks; i += 2)
        memcpy(marks + i, "\xCC\x81", 2);
    plain_add(&b, (text){marks, sizeof marks - 2}, 10);
    cr_expect_lt(b.length, 200);
    text_buffer_free(&b);
}

Test(plain, steps_by_characters) {
    const char t[] = "a\xC3\xA9\xF0\x9F\x9A\x90\xFFz";
    const char *const end = t + sizeof t - 1;
    static const size_t sizes[] = {1, 2, 4, 1, 1};
    const char *at = t;
    for (size_t i = 0; i < 5; i++) {
        cr_expect_eq(plain_step(at, end), sizes[i]);
        at += sizes[i];
        cr_expect_eq(plain_step_back(t, at), at - sizes[i]);
    }
    cr_expect_eq(at, end);
}

/* The marks and controls of the direction of writing and the separators of lines of The Unicode
   Standard, chapters 23.2 and 23.3, each with its neighbours that are harmless. */
Test(plain, every_mark_of_direction) {
    for (unsigned code = 0x2000; code < 0x2080; code++) {
        const bool unsafe = code == 0x200E || code == 0x200F ||
                            (code >= 0x2028 && code <= 0x202E) ||
                            (code >= 0x2066 && code <= 0x2069);
        const char letters[] = {'\xE2', (char)(0x80 | (code >> 6 & 0x3F)),
                                (char)(0x80 | (code & 0x3F)), '\0'};
        text_buffer b = {0};
        plain_add(&b, text_of(letters), SIZE_MAX);
        cr_expect_str_eq(b.bytes, unsafe ? "?" : letters, "U+%04X", code);
        text_buffer_free(&b);
    }
}
