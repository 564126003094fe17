/* text.c: slices, numbers and the buffer. The C library's number routines follow the locale of the
   process, so its decimal point is kept out of what they read and taken out of what they write.
   SPDX-License-Identifier: MIT */
#include "base/text.h"

#include <assert.h>
#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

text text_of(const char *terminated) {
    return (text){terminated, strlen(terminated)};
}

bool text_same(text a, text b) {
    return a.length == b.length && (a.length == 0 || memcmp(a.start, b.start, a.length) == 0);
}

bool text_equals(text a, const char *terminated) {
    return text_same(a, text_of(terminated));
}

/* True where all eight bytes at `start` are ASCII and none is NUL: the usual case, in one test. A
   borrow out of a zero byte can only make a neighbour look wrong too, never hide one. */
static bool eight_plain(const char *start) {
    uint64_t word;
    memcpy(&word, start, sizeof word);
    const uint64_t ones = UINT64_C(0x0101010101010101), tops = ones << 7;
    return (((word - ones) | word) & tops) == 0;
}

/* Bytes of the well-formed UTF-8 sequence at `start`, 0 for none; `*code` receives the code point.
   The Unicode Standard, table 3-7: the first byte's value narrows the second byte's range where a
   sequence would be overlong, a surrogate or above 10FFFF. */
static size_t utf8_sequence(const unsigned char *start, size_t length, uint32_t *code) {
    const unsigned char first = start[0];
    if (first < 0x80) {
        *code = first;
        return first != 0;
    }
    if (first < 0xC2 || first > 0xF4)
        return 0;
    const size_t size = first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
    if (size > length)
        return 0;
    const unsigned char lowest = first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80;
    const unsigned char highest = first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
    if (start[1] < lowest || start[1] > highest)
        return 0;
    *code = (uint32_t)(first & (0x7F >> size)) << 6 | (start[1] & 0x3F);
    for (size_t i = 2; i < size; i++) {
        if ((start[i] & 0xC0) != 0x80)
            return 0;
        *code = *code << 6 | (start[i] & 0x3F);
    }
    return size;
}

size_t text_valid_utf8(const char *start, size_t length) {
    size_t at = 0;
    while (at < length) {
        if (length - at >= 8 && eight_plain(start + at)) {
            at += 8;
            continue;
        }
        uint32_t code;
        const size_t size = utf8_sequence((const unsigned char *)start + at, length - at, &code);
        if (size == 0)
            return at;
        at += size;
    }
    return length;
}

typedef struct code_range {
    uint32_t first, last;
} code_range;

/* Marks that take no column, of the scripts likeliest in names and comments, and the invisible
   controls. A mark that is missing here only puts a caret one column off. Rising order. */
static const code_range no_column[] = {
    {0x0300, 0x036F}, {0x0483, 0x0489}, {0x0591, 0x05BD}, {0x05BF, 0x05BF}, {0x05C1, 0x05C2},
    {0x05C4, 0x05C5}, {0x05C7, 0x05C7}, {0x0610, 0x061A}, {0x064B, 0x065F}, {0x0670, 0x0670},
    {0x06D6, 0x06DC}, {0x06DF, 0x06E4}, {0x06E7, 0x06E8}, {0x06EA, 0x06ED}, {0x0900, 0x0902},
    {0x093A, 0x093A}, {0x093C, 0x093C}, {0x0941, 0x0948}, {0x094D, 0x094D}, {0x0951, 0x0957},
    {0x0E31, 0x0E31}, {0x0E34, 0x0E3A}, {0x0E47, 0x0E4E}, {0x1160, 0x11FF}, {0x1AB0, 0x1AFF},
    {0x1DC0, 0x1DFF}, {0x200B, 0x200F}, {0x202A, 0x202E}, {0x2060, 0x206F}, {0x20D0, 0x20FF},
    {0x3099, 0x309A}, {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F}, {0xFEFF, 0xFEFF}, {0xE0100, 0xE01EF},
};

/* East Asian characters and pictures that take two columns (Unicode Standard Annex 11, wide and
   fullwidth), by blocks. Rising order. */
static const code_range two_columns[] = {
    {0x1100, 0x115F},   {0x2E80, 0x303E},   {0x3041, 0x4DBF},   {0x4E00, 0xA4CF},
    {0xA960, 0xA97F},   {0xAC00, 0xD7A3},   {0xF900, 0xFAFF},   {0xFE30, 0xFE6F},
    {0xFF01, 0xFF60},   {0xFFE0, 0xFFE6},   {0x1F300, 0x1F64F}, {0x1F680, 0x1F6FF},
    {0x1F900, 0x1F9FF}, {0x20000, 0x3FFFD},
};

static bool in_ranges(uint32_t code, const code_range *ranges, size_t count) {
    for (size_t i = 0; i < count && ranges[i].first <= code; i++) {
        if (code <= ranges[i].last)
            return true;
    }
    return false;
}

size_t text_columns(const char *start, size_t length) {
    size_t columns = 0;
    for (size_t at = 0; at < length;) {
        uint32_t code = 0;
        const size_t size = utf8_sequence((const unsigned char *)start + at, length - at, &code);
        at += size > 0 ? size : 1;
        if (in_ranges(code, no_column, sizeof no_column / sizeof *no_column))
            continue;
        columns += in_ranges(code, two_columns, sizeof two_columns / sizeof *two_columns) ? 2 : 1;
    }
    return columns;
}

/* Digits that decide how a decimal rounds: no double, and no midpoint between two, needs more than
   768. Any digit beyond counts only as being there, for which one more stands. */
#define DECISIVE_DIGITS 768

/* A decimal number taken apart: its significant digits without leading zeros, as far as they
   decide, times 10^exponent. */
typedef struct decimal {
    uint64_t leading; /* value of the first 19 digits at most */
    size_t count;     /* significant digits seen */
    size_t kept;      /* of them in `digits` */
    bool rest;        /* a digit other than 0 came after those kept */
    int64_t exponent;
    char digits[DECISIVE_DIGITS + 32]; /* with room for what number_by_library appends */
} decimal;

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* Takes the digits at `at` into the decimal, those after the point with `places` -1 each; returns
   where they end. */
static const char *take_digits(decimal *d, const char *at, const char *end, bool after_point) {
    for (; at < end && is_digit(*at); at++) {
        if (after_point)
            d->exponent--;
        if (*at == '0' && d->count == 0)
            continue;
        if (d->count < 19)
            d->leading = d->leading * 10 + (uint64_t)(*at - '0');
        d->count++;
        if (d->kept < DECISIVE_DIGITS) {
            d->digits[d->kept++] = *at;
        } else {
            d->rest |= *at != '0';
            d->exponent++;
        }
    }
    return at;
}

/* Reads the exponent part at `at`, if one stands there in full. It stops growing long before it
   could overflow, and long after any mantissa in memory could make up for it. */
static const char *take_exponent(decimal *d, const char *at, const char *end) {
    const int64_t enough = INT64_C(100000000000000000);
    const char *digit = at;
    if (digit == end || (*digit != 'e' && *digit != 'E'))
        return at;
    digit++;
    const bool negative = digit < end && *digit == '-';
    if (digit < end && (*digit == '-' || *digit == '+'))
        digit++;
    if (digit == end || !is_digit(*digit))
        return at;
    int64_t exponent = 0;
    for (; digit < end && is_digit(*digit); digit++)
        exponent = exponent < enough ? exponent * 10 + (*digit - '0') : exponent;
    d->exponent += negative ? -exponent : exponent;
    return digit;
}

/* The value through strtod, which sees digits and an exponent but no point, so that no locale
   matters. */
static double number_by_library(decimal *d) {
    const int64_t beyond = 100000; /* either way, of any double with these digits */
    if (d->rest) {
        d->digits[d->kept++] = '1';
        d->exponent--;
    }
    const int64_t e = d->exponent;
    const int exponent = (int)(e > beyond ? beyond : e < -beyond ? -beyond : e);
    snprintf(d->digits + d->kept, sizeof d->digits - d->kept, "e%d", exponent);
    return strtod(d->digits, NULL);
}

/* Up to 15 digits and powers of ten to 22 are exact as doubles, and one multiplication or division
   of exact numbers rounds once (Clinger 1990): the quick way for nearly all numbers. */
static bool number_is_quick(const decimal *d) {
    return FLT_EVAL_METHOD == 0 && d->count <= 15 && d->exponent >= -22 && d->exponent <= 22;
}

static double number_quickly(const decimal *d) {
    static const double powers[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                    1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                    1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    const double digits = (double)d->leading;
    return d->exponent < 0 ? digits / powers[-d->exponent] : digits * powers[d->exponent];
}

size_t text_read_number(const char *start, const char *end, double *value) {
    decimal d;
    d.leading = 0;
    d.count = d.kept = 0;
    d.rest = false;
    d.exponent = 0;
    const char *at = start;
    const bool negative = at < end && *at == '-';
    if (at < end && (*at == '-' || *at == '+'))
        at++;
    const char *const digits = at;
    at = take_digits(&d, at, end, false);
    size_t seen = (size_t)(at - digits);
    if (at < end && *at == '.') {
        const char *const fraction = at + 1;
        at = take_digits(&d, fraction, end, true);
        seen += (size_t)(at - fraction);
    }
    if (seen == 0)
        return 0;
    at = take_exponent(&d, at, end);
    double magnitude = 0.0;
    if (d.count > 0)
        magnitude = number_is_quick(&d) ? number_quickly(&d) : number_by_library(&d);
    *value = negative ? -magnitude : magnitude;
    return (size_t)(at - start);
}

/* Longest words that text_distance compares; longer ones count as unlike unless equal. */
#define LONGEST_WORD 63

static size_t least(size_t a, size_t b) {
    return a < b ? a : b;
}

/* Optimal string alignment: the distance of Levenshtein with swaps of neighbours (Damerau 1964),
   row by row with two rows kept for the swap. */
size_t text_distance(text a, text b, size_t limit) {
    if (text_same(a, b))
        return 0;
    const size_t unlike = a.length > b.length ? a.length - b.length : b.length - a.length;
    if (unlike > limit || a.length > LONGEST_WORD || b.length > LONGEST_WORD)
        return limit + 1;
    size_t rows[3][LONGEST_WORD + 1];
    for (size_t j = 0; j <= b.length; j++)
        rows[0][j] = j;
    for (size_t i = 1; i <= a.length; i++) {
        size_t *const row = rows[i % 3], *const above = rows[(i + 2) % 3];
        size_t best = row[0] = i;
        for (size_t j = 1; j <= b.length; j++) {
            const bool same = a.start[i - 1] == b.start[j - 1];
            row[j] = least(least(above[j], row[j - 1]) + 1, above[j - 1] + !same);
            if (i > 1 && j > 1 && a.start[i - 1] == b.start[j - 2] &&
                a.start[i - 2] == b.start[j - 1])
                row[j] = least(row[j], rows[(i + 1) % 3][j - 2] + 1);
            best = least(best, row[j]);
        }
        /* A swap reaches back two rows at the cost of one, hence not at limit + 1 already. */
        if (best > limit + 1)
            return limit + 1;
    }
    return least(rows[a.length % 3][b.length], limit + 1);
}

size_t text_tolerance(size_t length) {
    const size_t most = 3;
    if (length < 2)
        return 0;
    return length / 4 + 1 < most ? length / 4 + 1 : most;
}

void text_buffer_free(text_buffer *buffer) {
    if (buffer->bytes)
        memory_resize(buffer->allocator, buffer->bytes, 0);
    *buffer = (text_buffer){.allocator = buffer->allocator};
}

/* Makes room for `extra` bytes and the terminator. */
static bool reserve(text_buffer *buffer, size_t extra) {
    if (buffer->failed)
        return false;
    if (extra < buffer->capacity - buffer->length)
        return true;
    const size_t first = 256; /* bytes; most messages fit */
    size_t capacity = buffer->capacity > 0 ? buffer->capacity : first;
    while (capacity <= SIZE_MAX / 2 && capacity - buffer->length <= extra)
        capacity *= 2;
    char *bytes = NULL;
    if (capacity - buffer->length > extra)
        bytes = memory_resize(buffer->allocator, buffer->bytes, capacity);
    if (!bytes) {
        buffer->failed = true;
        return false;
    }
    buffer->bytes = bytes;
    buffer->capacity = capacity;
    return true;
}

void text_buffer_add_bytes(text_buffer *buffer, const char *start, size_t length) {
    if (!reserve(buffer, length))
        return;
    if (length > 0)
        memcpy(buffer->bytes + buffer->length, start, length);
    buffer->length += length;
    buffer->bytes[buffer->length] = 0;
}

void text_buffer_add(text_buffer *buffer, const char *terminated) {
    text_buffer_add_bytes(buffer, terminated, strlen(terminated));
}

void text_buffer_fill(text_buffer *buffer, char character, size_t count) {
    if (!reserve(buffer, count))
        return;
    memset(buffer->bytes + buffer->length, character, count);
    buffer->length += count;
    buffer->bytes[buffer->length] = 0;
}

void text_buffer_vformat(text_buffer *buffer, const char *format, va_list arguments) {
    va_list again;
    va_copy(again, arguments);
    const int length = vsnprintf(NULL, 0, format, arguments);
    assert(length >= 0);
    if (length >= 0 && reserve(buffer, (size_t)length)) {
        vsnprintf(buffer->bytes + buffer->length, (size_t)length + 1, format, again);
        buffer->length += (size_t)length;
    }
    va_end(again);
}

void text_buffer_format(text_buffer *buffer, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    text_buffer_vformat(buffer, format, arguments);
    va_end(arguments);
}

/* Longest text of a number: 309 digits, a sign, a point and as many decimals as we allow. */
#define MOST_DECIMALS  40
#define LONGEST_NUMBER 384

/* Adds what snprintf made of a number, with the locale's decimal point, which may take several
   bytes, made a point: it is whatever is no digit, sign or letter. */
static void add_with_point(text_buffer *buffer, const char *number) {
    char plain[LONGEST_NUMBER];
    size_t length = 0;
    for (const char *c = number; *c; c++) {
        const bool kept = is_digit(*c) || *c == '-' || *c == '+' || (*c >= 'a' && *c <= 'z');
        if (kept)
            plain[length++] = *c;
        else if (length > 0 && plain[length - 1] != '.')
            plain[length++] = '.';
    }
    text_buffer_add_bytes(buffer, plain, length);
}

/* A number that is not finite, in words that do not depend on the C library; false for others. */
static bool add_not_finite(text_buffer *buffer, double value) {
    if (isfinite(value))
        return false;
    text_buffer_add(buffer, isnan(value) ? "nan" : value > 0.0 ? "inf" : "-inf");
    return true;
}

void text_buffer_number(text_buffer *buffer, double value, int significant) {
    assert(significant > 0 && significant <= MOST_DECIMALS);
    char number[LONGEST_NUMBER];
    if (add_not_finite(buffer, value))
        return;
    snprintf(number, sizeof number, "%.*g", significant, value == 0.0 ? 0.0 : value);
    add_with_point(buffer, number);
}

void text_buffer_fixed(text_buffer *buffer, double value, int decimals) {
    assert(decimals >= 0 && decimals <= MOST_DECIMALS);
    char number[LONGEST_NUMBER];
    if (add_not_finite(buffer, value))
        return;
    snprintf(number, sizeof number, "%.*f", decimals, value);
    const bool nothing_left = number[0] == '-' && strpbrk(number, "123456789") == NULL;
    add_with_point(buffer, number + nothing_left);
}
