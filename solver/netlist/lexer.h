/* lexer.h: a file's bytes as tokens, one statement after another. Any bytes are accepted: what is
   no white space, comment, number or quoted text is a word.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_LEXER_H
#define NETLIST_LEXER_H

#include <stdbool.h>
#include <stdint.h>

#include "base/text.h"

typedef enum token_kind {
    TOKEN_END, /* of the statement */
    TOKEN_WORD,
    TOKEN_NUMBER,
    TOKEN_TEXT,    /* "quoted", without its quotes */
    TOKEN_UNCLOSED /* quoted text that the line ends before its quote */
} token_kind;

typedef struct token {
    token_kind kind;
    bool first_in_line;
    bool glued;             /* nothing stands between it and the token before */
    uint32_t start, length; /* bytes of the file */
    double number;          /* infinite where it is too large */
} token;

typedef struct lexer {
    const char *bytes, *at, *end;
    bool line_start; /* no token has come from this line yet */
} lexer;

/* From the first byte, beyond a mark of byte order if there is one. */
lexer lexer_start(text bytes);

/* Goes on to the next statement, over what is left of the present one; false at the end of file. */
bool lexer_next_statement(lexer *l);

/* The next token of the statement. At its end TOKEN_END, as often as asked. */
void lexer_next(lexer *l, token *t);

text token_text(const lexer *l, const token *t);

#endif
