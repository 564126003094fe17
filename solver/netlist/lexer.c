/* SPDX-License-Identifier: MIT */
#include "netlist/lexer.h"

#include <string.h>

typedef enum byte_class {
    CLASS_WORD, /* any other byte, those of UTF-8 included */
    CLASS_SPACE,
    CLASS_NEWLINE,
    CLASS_COMMENT,
    CLASS_QUOTE,
    CLASS_EQUALS, /* a word by itself */
    CLASS_DIGIT,
    CLASS_SIGN /* may begin a number */
} byte_class;

/* NUL is white space: the reader of the file has complained of it already. */
static const unsigned char classes[256] = {
    [0] = CLASS_SPACE,     [' '] = CLASS_SPACE,  ['\t'] = CLASS_SPACE, ['\r'] = CLASS_SPACE,
    ['\v'] = CLASS_SPACE,  ['\f'] = CLASS_SPACE, [','] = CLASS_SPACE,  ['\n'] = CLASS_NEWLINE,
    ['#'] = CLASS_COMMENT, ['"'] = CLASS_QUOTE,  ['='] = CLASS_EQUALS, ['0'] = CLASS_DIGIT,
    ['1'] = CLASS_DIGIT,   ['2'] = CLASS_DIGIT,  ['3'] = CLASS_DIGIT,  ['4'] = CLASS_DIGIT,
    ['5'] = CLASS_DIGIT,   ['6'] = CLASS_DIGIT,  ['7'] = CLASS_DIGIT,  ['8'] = CLASS_DIGIT,
    ['9'] = CLASS_DIGIT,   ['+'] = CLASS_SIGN,   ['-'] = CLASS_SIGN,   ['.'] = CLASS_SIGN,
};

static byte_class class_at(const char *at) {
    return (byte_class)classes[(unsigned char)*at];
}

static bool goes_on(byte_class c) {
    return c == CLASS_WORD || c == CLASS_DIGIT || c == CLASS_SIGN;
}

lexer lexer_start(text bytes) {
    const bool marked = bytes.length >= 3 && memcmp(bytes.start, "\xEF\xBB\xBF", 3) == 0;
    return (lexer){bytes.start, bytes.start + (marked ? 3 : 0), bytes.start + bytes.length, true};
}

static const char *line_end(const lexer *l) {
    const char *const newline = memchr(l->at, '\n', (size_t)(l->end - l->at));
    return newline ? newline : l->end;
}

/* True where a line begins at `at` with something in its first column that is no comment. */
static bool begins_statement(const lexer *l, const char *at) {
    if (at == l->end)
        return false;
    const byte_class c = class_at(at);
    return c != CLASS_SPACE && c != CLASS_NEWLINE && c != CLASS_COMMENT;
}

/* Skips white space, comments and line ends as far as the statement goes; false at its end. */
static bool skip_blank(lexer *l) {
    while (l->at < l->end) {
        switch (class_at(l->at)) {
        case CLASS_SPACE:
            l->at++;
            break;
        case CLASS_COMMENT:
            l->at = line_end(l);
            break;
        case CLASS_NEWLINE:
            if (begins_statement(l, l->at + 1))
                return false;
            l->at++;
            l->line_start = true;
            break;
        default:
            return true;
        }
    }
    return false;
}

/* Goes over what is left of the present line and ends at the start of the next. */
static void skip_line(lexer *l) {
    l->at = line_end(l);
    if (l->at < l->end)
        l->at++;
    l->line_start = true;
}

bool lexer_next_statement(lexer *l) {
    if (!l->line_start)
        skip_line(l);
    while (l->at < l->end && !begins_statement(l, l->at))
        skip_line(l);
    return l->at < l->end;
}

static void finish(const lexer *l, token *t, token_kind kind, const char *start, const char *end) {
    t->kind = kind;
    t->start = (uint32_t)(start - l->bytes);
    t->length = (uint32_t)(end - start);
}

static void take_word(lexer *l, token *t) {
    const char *const start = l->at;
    const char *at = start + 1;
    if (class_at(start) != CLASS_EQUALS)
        while (at < l->end && goes_on(class_at(at)))
            at++;
    l->at = at;
    finish(l, t, TOKEN_WORD, start, at);
}

/* A number ends where a letter begins, as in `9mm`; what goes on otherwise, as in `1.2.3`, is a
   word. */
static void take_number(lexer *l, token *t) {
    const size_t used = text_read_number(l->at, l->end, &t->number);
    const char *const after = l->at + used;
    if (used == 0 || (after < l->end && (class_at(after) == CLASS_SIGN || *after == '/'))) {
        take_word(l, t);
        return;
    }
    finish(l, t, TOKEN_NUMBER, l->at, after);
    l->at = after;
}

static void take_text(lexer *l, token *t) {
    const char *const start = l->at + 1;
    const char *const end = line_end(l);
    const char *const quote = memchr(start, '"', (size_t)(end - start));
    finish(l, t, quote ? TOKEN_TEXT : TOKEN_UNCLOSED, start, quote ? quote : end);
    l->at = quote ? quote + 1 : end;
}

void lexer_next(lexer *l, token *t) {
    const char *const before = l->at;
    const bool more = skip_blank(l);
    t->first_in_line = l->line_start;
    t->glued = l->at == before && !l->line_start;
    if (!more) {
        finish(l, t, TOKEN_END, l->at, l->at);
        return;
    }
    l->line_start = false;
    const byte_class c = class_at(l->at);
    if (c == CLASS_QUOTE)
        take_text(l, t);
    else if (c == CLASS_DIGIT || c == CLASS_SIGN)
        take_number(l, t);
    else
        take_word(l, t);
}

text token_text(const lexer *l, const token *t) {
    return (text){l->bytes + t->start, t->length};
}
