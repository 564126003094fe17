/* vim.c: colours for vim, from the grammar's and the units' tables; see pages.h.
   SPDX-License-Identifier: MIT */
#include <stdio.h>
#include <string.h>

#include "pages.h"

/* A word of a pattern, `/` and the marks of vim's patterns escaped. */
static void put_pattern(const char *words) {
    for (const char *c = words; *c != '\0'; c++) {
        if (strchr("/.*[]^$~\\", *c) != NULL) {
            putchar('\\');
        }
        putchar(*c);
    }
}

static void print_keywords(void) {
    printf("syn match baronetKeyword /^\\%%(");
    for (int k = 0; k < KEYWORDS; k++) {
        printf("%s", k > 0 ? "\\|" : "");
        put_pattern(grammar_at((keyword)k)->name);
    }
    puts("\\)\\>/");
}

/* Adds each of some words, parted by blanks, that is not there yet. */
static void add_words(text_buffer *list, const char *words) {
    while (*words != '\0') {
        char one[40];
        const size_t length = strcspn(words, " ");
        snprintf(one, sizeof one, " %.*s ", (int)length, words);
        if (list->bytes == NULL || strstr(list->bytes, one) == NULL) {
            text_buffer_add(list, list->length > 0 ? one + 1 : one);
        }
        words += length + (words[length] == ' ');
    }
}

/* The words of patterns too: `at`, `over`, `closed`; but not the letters of road classes. */
static void add_slot_words(text_buffer *list, const slot *s) {
    const bool single = s->kind == SLOT_CHOICE && s->text[1] == ' ';
    if (s->kind == SLOT_WORD || s->kind == SLOT_OPTION || (s->kind == SLOT_CHOICE && !single)) {
        add_words(list, s->text);
    }
}

static void print_attributes(void) {
    text_buffer list = {0};
    for (int w = WORD_NONE + 1; w < WORDS; w++) {
        add_words(&list, grammar_word((word)w));
    }
    add_words(&list, "ratio of with");
    for (int k = 0; k < KEYWORDS; k++) {
        const grammar_keyword *row = grammar_at((keyword)k);
        for (size_t i = 0; i < row->attributes; i++) {
            for (const slot *s = row->attribute[i].slot; s->kind != SLOT_END; s++) {
                add_slot_words(&list, s);
            }
        }
    }
    printf("syn keyword baronetAttribute%.*s\n", (int)list.length - 1,
           list.failed ? "" : list.bytes);
    text_buffer_free(&list);
}

/* The longest alternative has to come first, so they stand in falling order. */
static void print_units(void) {
    size_t count = 0;
    const baronet_unit *unit = baronet_unit_table(&count);
    printf("syn match baronetUnit /\\%%(");
    for (size_t i = count; i-- > 0;) {
        put_pattern(unit[i].name);
        printf("%s", i > 0 ? "\\|" : "");
    }
    puts("\\)\\%([^A-Za-z0-9_.\\/-]\\|$\\)\\@=/ contained");
}

void highlight_vim(void) {
    puts("\" Vim syntax file: netlists of baronet (*.air)\n"
         "\" Made from the program's tables by `make docs`; do not edit.\n\n"
         "if exists('b:current_syntax')\n"
         "  finish\n"
         "endif\n\n"
         "syn case match\n"
         "syn iskeyword @,48-57,_,-\n");
    print_attributes();
    print_keywords();
    print_units();
    puts("syn match baronetNumber /\\%(^\\|[ "
         "\\t,=]\\)\\@1<=[-+]\\?\\%(\\d\\+\\.\\?\\d*\\|\\.\\d\\+\\)"
         "\\%([eE][-+]\\?\\d\\+\\)\\?\\s*/ nextgroup=baronetUnit\n"
         "syn region baronetText start=/\"/ end=/\"/ oneline\n"
         "syn keyword baronetTodo TODO contained\n"
         "syn match baronetComment /#.*/ contains=baronetTodo,@Spell\n\n"
         "hi def link baronetKeyword Statement\n"
         "hi def link baronetAttribute Identifier\n"
         "hi def link baronetNumber Number\n"
         "hi def link baronetUnit Type\n"
         "hi def link baronetText String\n"
         "hi def link baronetComment Comment\n"
         "hi def link baronetTodo Todo\n\n"
         "let b:current_syntax = 'baronet'");
}
