/* dictionary.c: the words of netlists and command lines, for the fuzz targets; see pages.h.
   SPDX-License-Identifier: MIT */
#include <stdio.h>
#include <string.h>

#include "model/figure.h"
#include "model/script.h"
#include "pages.h"

/* Words parted by blanks or bars, each in quotes on its line. None holds a quote or a backslash. */
static void put_words(const char *words) {
    while (*words != '\0') {
        const size_t length = strcspn(words, " |\n");
        if (length > 0) {
            printf("\"%.*s\"\n", (int)length, words);
        }
        words += length + (words[length] != '\0');
    }
}

static void put_slots(const slot *s) {
    for (; s->kind != SLOT_END; s++) {
        if (s->kind == SLOT_WORD || s->kind == SLOT_OPTION || s->kind == SLOT_CHOICE) {
            put_words(s->text);
        }
    }
}

static void put_grammar(void) {
    for (int k = 0; k < KEYWORDS; k++) {
        const grammar_keyword *const row = grammar_at((keyword)k);
        printf("\"%s \"\n\"\\x0a%s \"\n", row->name, row->name);
        for (size_t i = 0; i < row->attributes; i++) {
            put_slots(row->attribute[i].slot);
        }
        for (size_t i = 0; i < row->columns; i++) {
            put_words(row->column[i].name);
        }
    }
    for (int w = WORD_NONE + 1; w < WORDS; w++) {
        put_words(grammar_word((word)w));
    }
}

static void put_units(void) {
    size_t count = 0;
    const baronet_unit *const unit = baronet_unit_table(&count);
    for (size_t i = 0; i < count; i++) {
        put_words(unit[i].name);
    }
}

static void put_figures(void) {
    for (int k = 0; k < FIGURES; k++) {
        put_words(figure_at((figure_quantity)k)->name);
    }
}

static void put_motions(void) {
    for (int k = SCRIPT_HEAVE; k >= SCRIPT_WARP; k--) {
        put_words(script_motion_name((script_motion)k));
    }
}

static void put_options(void) {
    for (int k = 0; k < OPTIONS; k++) {
        const option *const o = option_at((option_index)k);
        put_words(o->name);
        if (o->argument != NULL) {
            put_words(o->argument);
        }
    }
}

void list_words(void) {
    puts("# Words for the fuzz targets, from the program's tables by `make docs`; do not edit.");
    put_grammar();
    put_units();
    put_figures();
    put_motions();
    put_options();
}
