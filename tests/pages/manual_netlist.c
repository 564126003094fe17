/* manual_netlist.c: the manual page of the netlist, from the grammar's tables.
   SPDX-License-Identifier: MIT */
#include <stdio.h>
#include <string.h>

#include "model/figure.h"
#include "pages.h"

static const char form[] =
    "A netlist says what stands under a vehicle: where the wheels are, which air springs carry "
    "them,\n"
    "and how the air is plumbed. It is UTF-8 text in files that end in `.air`. A statement begins "
    "in\n"
    "the first column with its keyword; indented lines carry it on; `#` begins a comment. A comma "
    "is\n"
    "the same as a space, so a number has a point. What follows the name comes in any order.";

static const char names[] = "A name is a letter, then letters, digits, `_` and `-`; capitals "
                            "matter; no two things have the\n"
                            "same name. `rest` is the state in which no solenoid has current, "
                            "`atmosphere` the air outside.";

static const char quantities[] =
    "A quantity is a number and a unit, `9 mm` or `9mm`; the unit may not be left out. Pressures "
    "are\n"
    "what a gauge shows, unless their unit ends in `a` (`bara`, `psia`). `ambient pressure` is\n"
    "always absolute.";

/* "length, more than 0" of each quantity in a pattern. */
static void add_slots(text_buffer *out, const grammar_attribute *a) {
    const char *before = "";
    for (const slot *s = a->slot; s->kind != SLOT_END; s++) {
        const bool number = s->kind == SLOT_QUANTITY;
        if (!number && s->kind != SLOT_WEIGHT) {
            continue;
        }
        const char *words = number ? baronet_dimension_text(s->dimension) : "force or mass";
        text_buffer_format(out, "%s%s", before[0] != '\0' ? before : " (", words);
        if (s->range != RANGE_ANY) {
            text_buffer_format(out, ", %s", grammar_range_at(s->range)->words);
        }
        before = "; ";
    }
    text_buffer_add(out, before[0] != '\0' ? ")" : "");
}

static void print_attribute(const grammar_attribute *a) {
    text_buffer meaning = {0};
    text_buffer_add(&meaning, a->doc);
    add_slots(&meaning, a);
    text_buffer_add(&meaning, a->required ? ". Needed." : ".");
    if (!meaning.failed) {
        roff_item(a->word == WORD_NONE ? a->example : grammar_word(a->word),
                  a->word == WORD_NONE ? "" : a->example, meaning.bytes);
    }
    text_buffer_free(&meaning);
}

static void print_column(const grammar_column *c) {
    text_buffer meaning = {0};
    text_buffer_format(&meaning, "a column of its table: %s (%s). %s", c->doc,
                       baronet_dimension_text(c->dimension), c->required ? "Needed." : "");
    if (!meaning.failed) {
        roff_item(c->name, c->tested ? "PRESSURE" : "", meaning.bytes);
    }
    text_buffer_free(&meaning);
}

static void print_statements(void) {
    roff_section("STATEMENTS");
    for (int k = 0; k < KEYWORDS; k++) {
        const grammar_keyword *row = grammar_at((keyword)k);
        printf(".SS %s%s\n", row->name, row->named ? " \\fINAME\\fR" : "");
        roff_words(row->doc);
        puts(row->once ? ", at most once" : "");
        roff_example(row->example);
        for (size_t i = 0; i < row->attributes; i++) {
            print_attribute(&row->attribute[i]);
        }
        for (size_t i = 0; i < row->columns; i++) {
            print_column(&row->column[i]);
        }
    }
}

static void print_units(void) {
    size_t count = 0;
    const baronet_unit *unit = baronet_unit_table(&count);
    roff_section("UNITS");
    for (int d = 0; d < BARONET_DIMENSIONS; d++) {
        text_buffer list = {0};
        for (size_t i = 0; i < count; i++) {
            if ((int)unit[i].dimension == d) {
                text_buffer_format(&list, "%s`%s`", list.length > 0 ? " " : "", unit[i].name);
            }
        }
        if (list.length > 0 && !list.failed) {
            roff_item(baronet_dimension_text((baronet_dimension)d), NULL, list.bytes);
        }
        text_buffer_free(&list);
    }
    roff_paragraph(
        "`gal` is the gallon of the United States. A flow is of free air: 20 C, 100 kPa.");
}

static void print_figures(void) {
    static const struct {
        figure_subject kind;
        const char *words;
    } kinds[] = {{SUBJECT_NONE, "the whole vehicle"},
                 {SUBJECT_CORNER, "a corner"},
                 {SUBJECT_AXLE, "an axle"},
                 {SUBJECT_NODE, "a spring, tank, tee or hose"},
                 {SUBJECT_SPRING, "a spring"},
                 {SUBJECT_EDGE, "a hose or valve"},
                 {SUBJECT_MOTION, "a motion"},
                 {SUBJECT_NUMBER, "a number, from 1"},
                 {SUBJECT_PAIR, "two corners, `RL/RR`"}};
    roff_section("FIGURES");
    puts("What");
    puts(".B require");
    puts("may ask for, each with its dimension and what it is of:");
    for (int q = 0; q < FIGURES; q++) {
        const figure_name *row = figure_at((figure_quantity)q);
        text_buffer words = {0};
        text_buffer_format(&words, "%s; of", baronet_dimension_text(row->dimension));
        const char *before = " ";
        for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
            if ((row->subjects & kinds[k].kind) != 0) {
                text_buffer_format(&words, "%s%s", before, kinds[k].words);
                before = " or ";
            }
        }
        if (!words.failed) {
            roff_item(row->name, NULL, words.bytes);
        }
        text_buffer_free(&words);
    }
}

void manual_netlist(void) {
    puts(".\\\" Made from the program's tables by `make docs`; do not edit.");
    printf(".TH BARONET 5 \"\" \"baronet %s\"\n", BARONET_VERSION);
    roff_section("NAME");
    puts("baronet \\- netlists of compressed air under a vehicle");
    roff_section("DESCRIPTION");
    roff_words(form);
    putchar('\n');
    roff_paragraph(names);
    roff_paragraph(quantities);
    print_statements();
    print_units();
    print_figures();
    roff_section("\"SEE ALSO\"");
    puts(".BR baronet (1)");
}
