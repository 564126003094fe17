/* SPDX-License-Identifier: MIT */
#include "base/text.h"

#include <criterion/criterion.h>
#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support.h"

static size_t valid(const char *bytes) {
    return text_valid_utf8(bytes, strlen(bytes));
}

Test(text, slices_compare_by_content) {
    cr_assert(text_equals((text){"left-air rest", 8}, "left-air"));
    cr_assert(!text_equals((text){"left-air rest", 8}, "left-ai"));
    cr_assert(!text_equals((text){"left", 4}, "left-air"));
    cr_assert(text_equals((text){NULL, 0}, ""));
    cr_assert(text_same(text_of("bar"), (text){"barg", 3}));
    cr_assert(!text_same(text_of("bar"), text_of("baR")));
}

Test(text, well_formed_utf8_is_accepted) {
    static const char *const good[] = {"",
                                       "plain",
                                       "0123456789abcdef",
                                       "\x7f",
                                       "\xc2\x80",
                                       "\xdf\xbf",
                                       "\xe0\xa0\x80",
                                       "\xed\x9f\xbf",
                                       "\xee\x80\x80",
                                       "\xef\xbf\xbf",
                                       "\xf0\x90\x80\x80",
                                       "\xf4\x8f\xbf\xbf",
                                       "eight by\xc3\xa9 and then some more"};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++)
        cr_assert_eq(valid(good[i]), strlen(good[i]), "%zu", i);
}

/* The Unicode Standard, table 3-7: each is refused at its first byte. */
Test(text, ill_formed_utf8_is_refused_at_its_first_byte) {
    static const char *const bad[] = {"\x80",
                                      "\xbf",
                                      "\xc0\x80",
                                      "\xc1\xbf",
                                      "\xc3",
                                      "\xc3(",
                                      "\xe0\x9f\xbf",
                                      "\xe1\x80",
                                      "\xe1\x80(",
                                      "\xed\xa0\x80",
                                      "\xed\xbf\xbf",
                                      "\xf0\x8f\xbf\xbf",
                                      "\xf0\x90\x80",
                                      "\xf4\x90\x80\x80",
                                      "\xf5\x80\x80\x80",
                                      "\xff",
                                      "\xfe",
                                      "\xf1\x80\x80("};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        for (size_t ahead = 0; ahead < 20; ahead++) {
            char bytes[64];
            memset(bytes, 'a', ahead);
            strcpy(bytes + ahead, bad[i]);
            strcat(bytes, "tail and more");
            cr_assert_eq(valid(bytes), ahead, "%zu after %zu", i, ahead);
        }
    }
}

Test(text, a_nul_is_refused) {
    for (size_t at = 0; at < 24; at++) {
        char bytes[24];
        memset(bytes, '\x01', sizeof bytes);
        bytes[at] = 0;
        cr_assert_eq(text_valid_utf8(bytes, sizeof bytes), at);
    }
}

Test(text, columns_are_what_a_terminal_shows) {
    static const struct {
        const char *bytes;
        size_t columns;
    } cases[] = {
        {"", 0},
        {"abc", 3},
        {"caf\xc3\xa9", 4},
        {"e\xcc\x81", 1},                /* e and a combining acute */
        {"\xe6\xb0\x97\xe5\x9c\xa7", 4}, /* two Han characters */
        {"\xf0\x9f\x9a\x90", 2},         /* a minibus */
        {"a\xff\xfe"
         "b",
         4},                             /* bytes that are no UTF-8 */
        {"\xe2\x80\x8b", 0},             /* zero width space */
        {"\xef\xbc\xa1\xef\xbd\xb1", 3}, /* a fullwidth A, a halfwidth kana */
        {"\xe0\xb8\x81\xe0\xb8\xb4", 1}, /* Thai letter with a vowel above */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        cr_assert_eq(text_columns(cases[i].bytes, strlen(cases[i].bytes)), cases[i].columns, "%zu",
                     i);
}

/* Reads a whole number text and compares with strtod under the C locale, which rounds correctly. */
static void check_number(const char *number) {
    double got = -7.0;
    const size_t used = text_read_number(number, number + strlen(number), &got);
    const double expected = strtod(number, NULL);
    cr_assert_eq(used, strlen(number), "%s", number);
    cr_assert(memcmp(&got, &expected, sizeof got) == 0, "%.60s gave %.17g, not %.17g", number, got,
              expected);
}

Test(text, numbers_are_read_correctly_rounded) {
    static const char *const numbers[] = {
        "0",
        "-0",
        "+0.0",
        "1",
        "-1.5",
        "9.80665",
        ".5",
        "5.",
        "+.25e1",
        "1e22",
        "1e23",
        "1E-7",
        "123456789012345",
        "1234567890123456",
        "9007199254740993",
        "9007199254740992.9999999999",
        "0.1",
        "0.30000000000000004",
        "2.2250738585072014e-308",
        "2.2250738585072011e-308",
        "4.9406564584124654e-324",
        "2.4703282292062327e-324",
        "2.4703282292062328e-324",
        "1.7976931348623157e308",
        "1.7976931348623158e308",
        "1.7976931348623159e308",
        "1e309",
        "-1e400",
        "1e-400",
        "1e99999999999999999999",
        "1e-99999999999999999999",
        "0e99999999999999999999",
        "0.000000000000000000000000000001",
        "00000000000000000000012",
        "1000000000000000000000000000000e-30",
        "8.5",
        "0.00000000000000000000000000000000123456789",
    };
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        check_number(numbers[i]);
}

Test(text, random_numbers_survive_being_written_and_read) {
    unsigned long long state = 20260101;
    for (int i = 0; i < 200000; i++) {
        uint64_t bits = (uint64_t)(random_unit(&state) * 0x1p32) << 32;
        bits |= (uint64_t)(random_unit(&state) * 0x1p32);
        double value;
        memcpy(&value, &bits, sizeof value);
        if (!isfinite(value))
            continue;
        char number[64];
        snprintf(number, sizeof number, "%.*g", 1 + i % 20, value);
        check_number(number);
    }
}

/* 1 + 2^-53, a midpoint, has 53 decimals; what follows far behind decides. */
Test(text, a_distant_digit_decides_a_midpoint) {
    const char *const middle = "1.00000000000000011102230246251565404236316680908203125";
    double value;
    char number[3000];
    memset(number, '0', sizeof number);
    memcpy(number, middle, strlen(middle));
    text_read_number(number, number + sizeof number, &value);
    cr_assert(value == 1.0);
    number[sizeof number - 1] = '1';
    text_read_number(number, number + sizeof number, &value);
    cr_assert(value == 1.0 + DBL_EPSILON);
}

Test(text, numbers_of_a_million_digits_are_read) {
    const size_t length = 1000000;
    char *const number = malloc(length + 32);
    memset(number, '7', length);
    strcpy(number + length, "e-999999");
    double value;
    cr_assert_eq(text_read_number(number, number + length + 8, &value), length + 8);
    CHECK_REL(value, 7.777777777777778, 1e-15, "arithmetic");
    memset(number, '0', length);
    memcpy(number, "0.", 2);
    strcpy(number + length, "25e999998");
    cr_assert_eq(text_read_number(number, number + length + 9, &value), length + 9);
    CHECK_REL(value, 0.25, 0.0, "arithmetic");
    free(number);
}

Test(text, a_number_ends_where_it_must) {
    static const struct {
        const char *bytes;
        size_t used;
    } cases[] = {
        {"9mm", 1},  {"9.5bar", 3}, {"1e", 1},  {"1e+", 1},  {"1e-x", 1},  {"1em", 1},
        {"2E5x", 3}, {"", 0},       {"-", 0},   {"+", 0},    {".", 0},     {"-.", 0},
        {"e5", 0},   {"inf", 0},    {"nan", 0}, {"0x10", 1}, {"1.2.3", 3}, {"1,5", 1},
        {"--1", 0},  {" 1", 0},     {"1 2", 1}, {"1_0", 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        double value;
        const char *const start = cases[i].bytes;
        cr_assert_eq(text_read_number(start, start + strlen(start), &value), cases[i].used, "%s",
                     start);
    }
    double value;
    const char *const digits = "12345";
    cr_assert_eq(text_read_number(digits, digits + 2, &value), 2);
    cr_assert(value == 12.0);
}

Test(text, distances_count_edits_and_swaps) {
    static const struct {
        const char *a, *b;
        size_t limit, distance;
    } cases[] = {
        {"spring", "spring", 2, 0},  {"sprign", "spring", 2, 1}, {"sprng", "spring", 2, 1},
        {"springs", "spring", 2, 1}, {"spling", "spring", 2, 1}, {"tank", "hose", 3, 4},
        {"tank", "hose", 9, 4},      {"", "abc", 3, 3},          {"", "abc", 2, 3},
        {"ab", "ba", 1, 1},          {"ca", "abc", 5, 3},        {"left-ari", "left-air", 0, 1},
        {"abcdef", "badcfe", 9, 3},  {"abcdef", "badcfe", 2, 3}, {"abcdefgh", "stuvwxyz", 3, 4},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const text a = text_of(cases[i].a), b = text_of(cases[i].b);
        cr_assert_eq(text_distance(a, b, cases[i].limit), cases[i].distance, "%zu", i);
        cr_assert_eq(text_distance(b, a, cases[i].limit), cases[i].distance, "%zu", i);
    }
    char longer[100];
    memset(longer, 'a', sizeof longer);
    const text whole = {longer, 100}, part = {longer, 99};
    cr_assert_eq(text_distance(whole, whole, 2), 0);
    cr_assert_eq(text_distance(whole, part, 2), 3);
    const text long_word = {longer, 64}, shorter = {longer, 63};
    cr_assert_eq(text_distance(shorter, long_word, 2), 3, "longer than is compared");
    cr_assert_eq(text_distance(long_word, shorter, 2), 3);
    cr_assert_eq(text_distance(shorter, (text){longer, 62}, 2), 1);
}

Test(text, longer_words_may_be_less_alike) {
    static const size_t tolerances[][2] = {{0, 0}, {1, 0}, {2, 1}, {3, 1},
                                           {4, 2}, {7, 2}, {8, 3}, {40, 3}};
    for (size_t i = 0; i < sizeof tolerances / sizeof *tolerances; i++)
        cr_expect_eq(text_tolerance(tolerances[i][0]), tolerances[i][1], "%zu letters",
                     tolerances[i][0]);
}

/* What a buffer holds after one call. */
#define WRITTEN(call, expected)                                                                    \
    do {                                                                                           \
        text_buffer buffer = {0};                                                                  \
        call;                                                                                      \
        cr_assert_str_eq(buffer.bytes, expected);                                                  \
        cr_assert_eq(buffer.length, strlen(expected));                                             \
        text_buffer_free(&buffer);                                                                 \
    } while (0)

/* All number output, to be the same under every locale. */
static void check_number_output(void) {
    WRITTEN(text_buffer_number(&buffer, 1234.5678, 6), "1234.57");
    WRITTEN(text_buffer_number(&buffer, 0.5, 9), "0.5");
    WRITTEN(text_buffer_number(&buffer, 1e-8, 9), "1e-08");
    WRITTEN(text_buffer_number(&buffer, 101325.0, 9), "101325");
    WRITTEN(text_buffer_number(&buffer, -1.5e300, 3), "-1.5e+300");
    WRITTEN(text_buffer_number(&buffer, -0.0, 3), "0");
    WRITTEN(text_buffer_number(&buffer, HUGE_VAL, 3), "inf");
    WRITTEN(text_buffer_number(&buffer, -HUGE_VAL, 3), "-inf");
    WRITTEN(text_buffer_number(&buffer, (double)NAN, 3), "nan");
    WRITTEN(text_buffer_fixed(&buffer, 2.675, 2), "2.67"); /* the double lies below */
    WRITTEN(text_buffer_fixed(&buffer, 1234567.0, 1), "1234567.0");
    WRITTEN(text_buffer_fixed(&buffer, -0.04, 1), "0.0");
    WRITTEN(text_buffer_fixed(&buffer, -0.0, 0), "0");
    WRITTEN(text_buffer_fixed(&buffer, -0.06, 1), "-0.1");
    WRITTEN(text_buffer_fixed(&buffer, 12.0, 0), "12");
    WRITTEN(text_buffer_fixed(&buffer, (double)NAN, 2), "nan");
    WRITTEN(text_buffer_fixed(&buffer, -HUGE_VAL, 0), "-inf");
    text_buffer widest = {0};
    text_buffer_fixed(&widest, -DBL_MAX, 40);
    cr_assert_eq(widest.length, 1 + 309 + 1 + 40);
    text_buffer_free(&widest);
}

Test(text, numbers_are_written_with_a_point) {
    check_number_output();
}

Test(text, a_comma_locale_reaches_neither_reading_nor_writing) {
    const char *const folder = getenv("COMMA_LOCALES");
    if (folder)
        setenv("LOCPATH", folder, 1);
    if (!setlocale(LC_NUMERIC, "de_DE.UTF-8")) {
        fprintf(stderr, "note: no locale with a decimal comma here, nothing was tested\n");
        return;
    }
    char comma[8];
    snprintf(comma, sizeof comma, "%.1f", 1.5);
    cr_assert_str_eq(comma, "1,5", "the locale is in force");
    check_number_output();
    double value;
    const char *const quick = "1.5", *const slow = "1.50000000000000000000000000001";
    cr_assert_eq(text_read_number(quick, quick + 3, &value), 3);
    cr_assert(value == 1.5);
    cr_assert_eq(text_read_number(slow, slow + strlen(slow), &value), strlen(slow));
    cr_assert(value == 1.5);
    cr_assert_eq(text_read_number(comma, comma + 3, &value), 1);
}

Test(text, a_buffer_gathers_what_is_written) {
    text_buffer buffer = {0};
    text_buffer_add(&buffer, "state ");
    text_buffer_add_bytes(&buffer, "easyXX", 4);
    text_buffer_fill(&buffer, '.', 3);
    text_buffer_format(&buffer, "%d of %s", 2, "RL");
    text_buffer_add_bytes(&buffer, NULL, 0);
    cr_assert_str_eq(buffer.bytes, "state easy...2 of RL");
    for (int i = 0; i < 5000; i++)
        text_buffer_format(&buffer, "%03d", i % 1000);
    cr_assert_eq(buffer.length, 20 + 15000);
    cr_assert_eq(buffer.bytes[buffer.length], 0);
    text_buffer_fill(&buffer, ' ', 100000);
    cr_assert_eq(buffer.length, 20 + 15000 + 100000);
    text_buffer_free(&buffer);
    cr_assert_null(buffer.bytes);
    text_buffer_free(&buffer);
}

Test(text, a_buffer_keeps_its_first_failure) {
    failing f;
    for (size_t k = 1;; k++) {
        text_buffer buffer = {.allocator = failing_start(&f, k)};
        for (int i = 0; i < 300; i++)
            text_buffer_number(&buffer, i + 0.5, 6);
        text_buffer_format(&buffer, "%0600d", 1);
        text_buffer_fill(&buffer, 'x', 3000);
        cr_assert_eq(buffer.failed, f.failed);
        text_buffer_free(&buffer);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    text_buffer huge = {0};
    text_buffer_fill(&huge, 'x', SIZE_MAX - 1);
    cr_assert(huge.failed);
    text_buffer_add(&huge, "ignored");
    cr_assert_null(huge.bytes);
}

/* Beyond the last block of wide characters. */
Test(text, private_characters_take_one_column) {
    cr_assert_eq(text_columns("\xF4\x80\x80\x80", 4), 1);
    cr_assert_eq(text_columns("\xF0\xA0\x80\x80", 4), 2, "U+20000, ideographs");
}
