/* SPDX-License-Identifier: MIT */
#include "output/view.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "output/picture.h"

/* The text of a page, which is checked on the way; to be freed. */
static char *shown(const page *p, bool colour) {
    text_buffer out = {0};
    view_text(p, colour, &out);
    cr_assert_not(out.failed);
    if (!colour && out.length > 0) {
        ask_check_page("a page", out.bytes);
    }
    return out.bytes;
}

static void expect_page(page *p, const char *expected) {
    char *const got = shown(p, false);
    cr_expect_str_eq(got, expected, "got:\n%s", got);
    free(got);
    baronet_answer_destroy(p);
}

Test(view_text, each_kind_of_block_has_its_look) {
    static const char *const header[] = {"what", NULL, "got"};
    page *p = page_create(NULL, BARONET_METRIC);
    page_add(p, BLOCK_TITLE, "A van (invented)");
    page_add(p, BLOCK_PLAIN, "base case");
    page_add(p, BLOCK_LEAD, "It rides.");
    page_add(p, BLOCK_HEADING, "State easy");
    page_add(p, BLOCK_LEAD, "Ride: 1.05 Hz.");
    table_values(page_table(p, 3, 2, header), "rate", BARONET_STIFFNESS, 1,
                 (const double[]){23.4e3});
    page_add(p, BLOCK_NOTE, "the cd is assumed");
    page_add(p, BLOCK_CAUTION, "it may fall");
    expect_page(p, "A van (invented)\n"
                   "  base case\n"
                   "  It rides.\n"
                   "\n"
                   "State easy\n"
                   "  Ride: 1.05 Hz.\n"
                   "\n"
                   "  what         got\n"
                   "  rate  N/mm  23.4\n"
                   "\n"
                   "  note: the cd is assumed\n"
                   "\n"
                   "  caution: it may fall\n");
}

Test(view_text, long_words_are_wrapped_under_themselves) {
    page *p = page_create(NULL, BARONET_METRIC);
    page_add(p, BLOCK_TITLE, "t");
    page_add(p, BLOCK_NOTE,
             "one two three four five six seven eight nine ten eleven twelve thirteen "
             "fourteen fifteen sixteen");
    expect_page(p,
                "t\n"
                "\n"
                "  note: one two three four five six seven eight nine ten eleven twelve thirteen\n"
                "    fourteen fifteen sixteen\n");
}

/* A word goes to the next line as soon as it would pass column 80, not before. */
Test(view_text, lines_are_filled_to_the_last_column) {
    for (int width = 1; width < 120; width++) {
        char words[400];
        snprintf(words, sizeof words, "%0*d %0*d %0*d", width, 1, width, 2, width, 3);
        page *p = page_create(NULL, BARONET_METRIC);
        page_add(p, BLOCK_PLAIN, words);
        char *const got = shown(p, false);
        int lines = 0;
        for (const char *c = got; *c != '\0'; c++) {
            lines += *c == '\n';
        }
        const int expected = 2 + 3 * width + 2 <= 80 ? 1 : (2 + 2 * width + 1 <= 80 ? 2 : 3);
        cr_expect_eq(lines, expected, "width %d:\n%s", width, got);
        free(got);
        baronet_answer_destroy(p);
    }
}

/* Two columns for a wide character, none for a mark that is set on another. */
Test(view_text, columns_are_those_of_a_terminal) {
    static const char *const header[] = {"name", "got"};
    page *p = page_create(NULL, BARONET_METRIC);
    table *t = page_table(p, 2, 1, header);
    table_add(t, (const char *const[]){"\xE8\xBB\x8A\xE4\xB8\xA1", "1.0"});
    table_add(t, (const char *const[]){"e\xCC\x81t\xC3\xA9", "12.0"});
    table_add(t, (const char *const[]){"abcd", "3.0"});
    expect_page(p, "  name   got\n"
                   "  \xE8\xBB\x8A\xE4\xB8\xA1   1.0\n"
                   "  e\xCC\x81t\xC3\xA9   12.0\n"
                   "  abcd   3.0\n");
}

/* Twelve columns of states beside a label: as many as fit, then the rest with the label again. */
Test(view_text, a_wide_table_goes_on_below_itself) {
    enum { COLUMNS = 14 };
    const char *header[COLUMNS] = {"rates", NULL};
    const char *cells[COLUMNS] = {"heave rate", "N/mm"};
    char names[COLUMNS][24];
    for (int k = 2; k < COLUMNS; k++) {
        snprintf(names[k], sizeof names[k], "state-%d", k);
        header[k] = names[k];
        cells[k] = "12.3";
    }
    page *p = page_create(NULL, BARONET_METRIC);
    table_add(page_table(p, COLUMNS, 2, header), cells);
    char *const got = shown(p, false);
    for (int k = 2; k < COLUMNS; k++) {
        ask_expect(got, names[k]);
    }
    int labels = 0;
    for (const char *c = got; (c = strstr(c, "heave rate")) != NULL; c++) {
        labels++;
    }
    cr_expect_eq(labels, 2, "%s", got);
    free(got);
    baronet_answer_destroy(p);
}

/* One cell may be wider than a page; the others are then not drawn into it. */
Test(view_text, a_column_wider_than_the_page_stands_alone) {
    char wide[121];
    memset(wide, 'w', sizeof wide - 1);
    wide[sizeof wide - 1] = '\0';
    const char *const header[] = {"what", wide, "got"};
    page *p = page_create(NULL, BARONET_METRIC);
    table_add(page_table(p, 3, 1, header), (const char *const[]){"rate", "1", "2"});
    text_buffer got = {0};
    view_text(p, false, &got);
    char expected[512];
    snprintf(expected, sizeof expected,
             "  what  %s\n"
             "  rate  %120s\n"
             "\n"
             "  what  got\n"
             "  rate    2\n",
             wide, "1");
    cr_expect_str_eq(got.bytes, expected, "%s", got.bytes);
    text_buffer_free(&got);
    baronet_answer_destroy(p);
}

Test(view_text, sentences_in_a_table_are_wrapped_in_their_column) {
    static const char *const header[] = {"state", "valves"};
    page *p = page_create(NULL, BARONET_METRIC);
    table *t = page_table(p, 2, 1, header);
    table_set_prose(t);
    table_add(t, (const char *const[]){"easy", "open: front-left-gate, front-right-gate, "
                                               "rear-left-gate, rear-right-gate and cross"});
    table_add(t, (const char *const[]){"firm", NULL});
    table_add(t, (const char *const[]){"none", ""});
    expect_page(p, "  state  valves\n"
                   "  easy   open: front-left-gate, front-right-gate, rear-left-gate,\n"
                   "         rear-right-gate and cross\n"
                   "  firm\n"
                   "  none\n");
}

Test(view_text, a_table_without_anything_to_say_is_not_shown) {
    static const char *const header[] = {"what", "got"};
    page *p = page_create(NULL, BARONET_METRIC);
    page_add(p, BLOCK_HEADING, "One");
    page_table(p, 2, 1, header);
    table_add(page_table(p, 1, 1, header), header);
    page_add(p, BLOCK_HEADING, "Two");
    expect_page(p, "One\n\nTwo\n");
}

Test(view_text, colour_is_put_around_and_taken_off_again) {
    page *p = page_create(NULL, BARONET_METRIC);
    page_add(p, BLOCK_TITLE, "A title");
    page_add(p, BLOCK_PLAIN, "plain");
    page_add(p, BLOCK_CAUTION, "it may fall");
    char *const plain = shown(p, false), *const painted = shown(p, true);
    cr_expect_null(strchr(plain, '\033'));
    int depth = 0;
    char bare[512];
    size_t length = 0;
    for (const char *c = painted; *c != '\0';) {
        if (*c == '\033') {
            const size_t code = strcspn(c, "m") + 1;
            depth += memcmp(c, "\033[0m", code) == 0 ? -1 : 1;
            cr_expect(depth == 0 || depth == 1, "a colour within a colour:\n%s", painted);
            c += code;
        } else {
            bare[length++] = *c++;
        }
    }
    bare[length] = '\0';
    cr_expect_eq(depth, 0);
    cr_expect_str_eq(bare, plain);
    free(plain);
    free(painted);
    baronet_answer_destroy(p);
}

/* What a netlist says of itself is somebody's own words. */
Test(view_text, shows_a_hostile_title_without_harm) {
    static const char *const titles[] = {
        "red \x1b[31m and a bell \x07 and a null in words \\0",
        "right to left \xE2\x80\xAE and a line \xE2\x80\xA8 apart",
        "commas, semicolons; `quotes` %s %n %d",
        "",
        "   blanks   in   rows   ",
        "tabs\tand\fform feeds",
        "a title of one word and of many more than would ever go into a line of eighty columns, "
        "and "
        "then some, so that it has to be wrapped",
        "nobreaknobreaknobreaknobreaknobreaknobreaknobreaknobreaknobreaknobreaknobreaknobreak",
        "\xE8\xBB\x8A\xE4\xB8\xA1 \xE8\xBB\x8A\xE4\xB8\xA1\xE8\xBB\x8A\xE4\xB8\xA1 e\xCC\x81",
    };
    for (size_t i = 0; i < sizeof titles / sizeof *titles; i++) {
        char words[1024];
        snprintf(words, sizeof words, "about \"%s\"\ntank t volume 2 L pressure 3 bar\n",
                 titles[i]);
        for (const ask_study *study = ask_studies; study->name != NULL; study++) {
            char *const got = ask_page(words, study->study);
            ask_check_page(titles[i], got);
            free(got);
        }
    }
}

/* A picture that was asked for, but that nothing was put into. */
Test(view_text, an_empty_picture_is_left_out) {
    page *p = page_create(NULL, BARONET_METRIC);
    page_add(p, BLOCK_TITLE, "A van (invented)");
    picture_ask(page_picture(p, "rate", (picture_axis){"time", BARONET_TIME, false},
                             (picture_axis){"load", BARONET_FORCE, false}));
    expect_page(p, "A van (invented)\n");
}
