/* roff.c: the manual's markup; see pages.h.
   SPDX-License-Identifier: MIT */
#include <stdio.h>
#include <string.h>

#include "pages.h"

static void put_character(char c) {
    switch (c) {
    case '\\':
        fputs("\\e", stdout);
        break;
    case '-':
        fputs("\\-", stdout);
        break;
    case '\'':
        fputs("\\(aq", stdout);
        break;
    case '^':
        fputs("\\(ha", stdout);
        break;
    case '~':
        fputs("\\(ti", stdout);
        break;
    default:
        putchar(c);
    }
}

void roff_words(const char *words) {
    bool bold = false, line_start = true;
    for (const char *c = words; *c != '\0'; c++) {
        if (line_start && *c == '.') {
            fputs("\\&", stdout); /* no request */
        }
        if (*c == '`') {
            bold = !bold;
            fputs(bold ? "\\fB" : "\\fR", stdout);
        } else {
            put_character(*c);
        }
        line_start = *c == '\n';
    }
}

void roff_paragraph(const char *words) {
    puts(".PP");
    roff_words(words);
    putchar('\n');
}

void roff_section(const char *title) {
    printf(".SH %s\n", title);
}

void roff_item(const char *name, const char *rest, const char *meaning) {
    printf(".TP\n\\fB");
    roff_words(name);
    printf("\\fR");
    if (rest != NULL && rest[0] != '\0') {
        printf(" \\fI");
        roff_words(rest);
        printf("\\fR");
    }
    putchar('\n');
    roff_words(meaning);
    putchar('\n');
}

void roff_example(const char *lines) {
    puts(".PP\n.in +4n\n.nf");
    roff_words(lines);
    puts("\n.fi\n.in");
}
