/* ask.c: see ask.h.
   SPDX-License-Identifier: MIT */
#include "ask.h"

#include <criterion/criterion.h>
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* Columns that people read without scrolling. */
enum { PAGE_COLUMNS = 80 };

const ask_study ask_studies[] = {
    {"check", baronet_check, false, true, true, true},
    {"rates", baronet_rates, false, true, true, true},
    {"states", baronet_states, false, true, true, true},
    {"stroke", baronet_stroke, true, true, true, true},
    {"times", baronet_times, false, false, true, true},
    {"response", baronet_response, true, false, true, true},
    {"ride", baronet_ride, false, false, true, true},
    {"play", baronet_play, true, false, false, true}, /* each event says in which state it starts */
    {"faults", baronet_faults, true, false, true, true},
    {"parts", baronet_parts, true, false, false, false}, /* of every state and case at once */
    {"draw", baronet_draw, false, false, true, false},
    {NULL, NULL, false, false, false, false}};

/* What is said of a netlist, unless nothing keeps it from being asked. */
static void assert_sound(baronet_status status, baronet_diagnostics *said) {
    cr_assert_eq(status, BARONET_OK, "%s", baronet_diagnostics_text(said, false));
    baronet_diagnostics_destroy(said);
}

baronet_netlist *ask_file(const char *path) {
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *netlist = NULL;
    const baronet_status status = baronet_netlist_read(path, NULL, NULL, said, &netlist);
    assert_sound(status, said);
    return netlist;
}

baronet_netlist *ask_text(const char *words) {
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *netlist = NULL;
    const baronet_status status =
        baronet_netlist_read_text("x.air", words, strlen(words), NULL, said, &netlist);
    assert_sound(status, said);
    return netlist;
}

baronet_answer *ask(const baronet_netlist *netlist, baronet_study *study,
                    const baronet_question *question) {
    baronet_answer *answer = NULL;
    const char *what = NULL;
    const baronet_status status = study(netlist, question, &answer, &what);
    cr_assert_eq(status, BARONET_OK, "%s: %s", baronet_status_text(status),
                 what != NULL ? what : "");
    cr_assert_not_null(answer);
    return answer;
}

const char *ask_render(baronet_answer *answer, baronet_format format, bool colour) {
    const char *bytes = NULL;
    size_t length = 0;
    cr_assert_eq(baronet_answer_render(answer, format, colour, &bytes, &length), BARONET_OK);
    cr_assert_eq(strlen(bytes), length);
    return bytes;
}

char *ask_page(const char *netlist_text, baronet_study *study) {
    baronet_netlist *netlist = ask_text(netlist_text);
    const baronet_question question = {0};
    baronet_answer *answer = ask(netlist, study, &question);
    char *page = strdup(ask_render(answer, BARONET_TEXT, false));
    cr_assert_not_null(page);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    return page;
}

/* A copy whose lines, and rows of blanks, are one. */
static char *unbroken(const char *words) {
    char *const copy = malloc(strlen(words) + 1);
    cr_assert_not_null(copy);
    char *to = copy;
    for (const char *c = words; *c != '\0'; c++) {
        const bool blank = *c == ' ' || *c == '\n';
        if (!blank || (to > copy && to[-1] != ' ')) {
            *to++ = blank ? ' ' : *c;
        }
    }
    *to = '\0';
    return copy;
}

bool ask_says(const char *page, const char *part) {
    char *const one_line = unbroken(page);
    const bool says = strstr(page, part) != NULL || strstr(one_line, part) != NULL;
    free(one_line);
    return says;
}

void ask_expect(const char *page, const char *part) {
    cr_expect(ask_says(page, part), "wanted: %s\non the page:\n%s", part, page);
}

/* Columns of the longest word of some text. */
static size_t longest_word(const char *words, size_t length) {
    size_t longest = 0;
    for (size_t at = 0; at < length;) {
        size_t end = at;
        while (end < length && words[end] != ' ' && words[end] != '\n') {
            end++;
        }
        const size_t word = text_columns(words + at, end - at);
        longest = word > longest ? word : longest;
        at = end + 1;
    }
    return longest;
}

/* Words that no number of a page or of a file may be. */
static bool is_no_number(const char *word, size_t length) {
    static const char *const wrong[] = {"nan", "-nan", "inf", "-inf", "+inf", "+nan", "-0"};
    for (size_t k = 0; k < sizeof wrong / sizeof wrong[0]; k++) {
        if (strlen(wrong[k]) == length && memcmp(wrong[k], word, length) == 0) {
            return true;
        }
    }
    /* -0.000, but not -0.001 */
    const bool minus = length > 2 && word[0] == '-' && word[1] == '0' && word[2] == '.';
    return minus && strspn(word + 3, "0") >= length - 3;
}

/* A line may be wider than a page only where a word of its own takes half of it, or where one
   somewhere makes a column of a table wider than a page. */
static void check_line(const char *what, const char *line, size_t length, bool wide) {
    cr_expect(length == 0 || line[length - 1] != ' ', "%s: a blank ends `%.*s`", what, (int)length,
              line);
    const size_t columns = text_columns(line, length);
    cr_expect(columns <= PAGE_COLUMNS || wide || longest_word(line, length) > PAGE_COLUMNS / 2,
              "%s: %zu columns: `%.*s`", what, columns, (int)length, line);
    for (size_t at = 0; at < length;) {
        const char *ends = " ,;:()%";
        size_t end = at;
        while (end < length && strchr(ends, line[end]) == NULL) {
            end++;
        }
        cr_expect(!is_no_number(line + at, end - at), "%s: no number in `%.*s`", what, (int)length,
                  line);
        at = end + 1;
    }
    for (size_t k = 0; k < length; k++) {
        cr_expect(!iscntrl((unsigned char)line[k]), "%s: control character in `%.*s`", what,
                  (int)length, line);
    }
}

void ask_check_page(const char *what, const char *page) {
    cr_expect_eq(text_valid_utf8(page, strlen(page)), strlen(page), "%s: not UTF-8", what);
    cr_expect_neq(*page, '\0', "%s: an empty page", what);
    const bool wide = longest_word(page, strlen(page)) > PAGE_COLUMNS;
    int empty = 0;
    while (*page != '\0') {
        const size_t length = strcspn(page, "\n");
        cr_assert_eq(page[length], '\n', "%s: the last line has no end", what);
        empty = length == 0 ? empty + 1 : 0;
        cr_expect_lt(empty, 2, "%s: two empty lines, before `%.40s`", what, page);
        check_line(what, page, length, wide);
        page += length + 1;
    }
    cr_expect_eq(empty, 0, "%s: an empty line at the end", what);
}

/* Takes one field off `at` in place; `*last` where it ends its line. */
static char *take_field(const char *what, char **at, bool *last) {
    char *const field = **at == '"' ? *at + 1 : *at;
    char *to = field;
    bool quoted = **at == '"';
    *at += quoted;
    while (quoted || (**at != ',' && **at != '\n')) {
        cr_assert_neq(**at, '\0', "%s: a field without an end", what);
        if (quoted && **at == '"') {
            quoted = (*at)[1] == '"';
            *at += quoted;
            if (!quoted) {
                ++*at;
                continue;
            }
        }
        *to++ = *(*at)++;
    }
    *last = **at == '\n';
    ++*at;
    *to = '\0';
    return field;
}

ask_table ask_read_csv(const char *what, const char *words) {
    ask_table table = {.bytes = strdup(words)};
    size_t fields = 0, room = 64;
    table.field = malloc(room * sizeof *table.field);
    char *at = table.bytes;
    while (*at != '\0') {
        bool last = false;
        for (size_t column = 0; !last; column++) {
            if (fields == room) {
                room *= 2;
                table.field = realloc(table.field, room * sizeof *table.field);
            }
            cr_assert_not_null(table.field);
            table.field[fields++] = take_field(what, &at, &last);
            table.columns = table.rows == 0 ? column + 1 : table.columns;
            cr_assert(!last || column + 1 == table.columns, "%s: row %zu has %zu fields", what,
                      table.rows, column + 1);
        }
        table.rows++;
    }
    return table;
}

void ask_free_csv(ask_table *table) {
    free(table->field);
    free(table->bytes);
}

static void check_row(const char *what, const char *const *field, const baronet_figure *f,
                      baronet_unit_system units) {
    const char *const words[] = {f->study, f->state,    f->load_case,
                                 f->level, f->quantity, f->subject};
    for (size_t k = 0; k < 6; k++) {
        cr_expect_str_eq(field[k], words[k], "%s: %s of %s", what, f->quantity, f->subject);
    }
    const baronet_unit *unit = baronet_unit_shown(units, f->dimension);
    cr_expect_str_eq(field[7], unit->name, "%s: %s", what, f->quantity);
    char *end = NULL;
    const double value = strtod(field[6], &end) * unit->factor + unit->offset;
    cr_expect(*end == '\0' && end != field[6], "%s: `%s` is no number", what, field[6]);
    cr_expect(isfinite(value) && strcmp(field[6], "-0") != 0, "%s: %s", what, field[6]);
    const double slack = 5.1e-9 * (fabs(f->value) + fabs(unit->offset));
    cr_expect_float_eq(value, f->value, slack, "%s: %s of %s is %s, not %.12g", what, f->quantity,
                       f->subject, field[6], f->value);
    size_t digits = strspn(field[6], "-");
    const char *first = field[6] + digits + strspn(field[6] + digits, "0.");
    digits = 0;
    for (const char *c = first; *c != '\0' && *c != 'e'; c++) {
        digits += isdigit((unsigned char)*c) != 0;
    }
    cr_expect_leq(digits, 9, "%s: %s has more digits than are true", what, field[6]);
}

void ask_check_figures(const char *what, baronet_answer *answer, baronet_unit_system units) {
    static const char *const header[] = {"study",    "state",   "case",  "level",
                                         "quantity", "subject", "value", "unit"};
    ask_table table = ask_read_csv(what, ask_render(answer, BARONET_CSV, false));
    cr_assert_eq(table.columns, 8, "%s: %zu columns", what, table.columns);
    for (size_t k = 0; k < 8; k++) {
        cr_expect_str_eq(table.field[k], header[k], "%s", what);
    }
    cr_assert_eq(table.rows, baronet_answer_figures(answer) + 1, "%s: %zu rows", what, table.rows);
    for (size_t i = 0; i < baronet_answer_figures(answer); i++) {
        check_row(what, table.field + (i + 1) * 8, baronet_answer_figure(answer, i), units);
    }
    ask_free_csv(&table);
}
