/* SPDX-License-Identifier: MIT */
#include "netlist/lexer.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* All tokens of a text as `kind:text`, statements parted by `|`, `^` before one that begins a line
   and
   `_` before one that is glued. */
static void spell(const char *bytes, size_t length, char *out, size_t room) {
    static const char kinds[] = {'e', 'w', 'n', 't', 'u'};
    lexer l = lexer_start((text){bytes, length});
    size_t used = 0;
    token t;
    while (lexer_next_statement(&l)) {
        for (lexer_next(&l, &t); t.kind != TOKEN_END; lexer_next(&l, &t))
            used += (size_t)snprintf(out + used, room - used, "%s%s%c:%.*s ",
                                     t.first_in_line ? "^" : "", t.glued ? "_" : "", kinds[t.kind],
                                     (int)t.length, bytes + t.start);
        lexer_next(&l, &t);
        cr_expect_eq(t.kind, TOKEN_END);
        used += (size_t)snprintf(out + used, room - used, "| ");
    }
    out[used] = 0;
}

Test(lexer, splits_statements_and_tokens) {
    static const struct {
        const char *text, *tokens;
    } cases[] = {
        {"", ""},
        {"tee a", "^w:tee w:a | "},
        {"\xEF\xBB\xBFtee a\r\ntee b\r\n", "^w:tee w:a | ^w:tee w:b | "},
        {"tank a volume 4 L\n  rated,12,bar # strong\n\ntee b\n",
         "^w:tank w:a w:volume n:4 w:L ^w:rated n:12 w:bar | ^w:tee w:b | "},
        {"tank a # one\n# two\n\n   # three\n  volume 4L", "^w:tank w:a ^w:volume n:4 _w:L | "},
        {"  lost\ntee a", "^w:tee w:a | "},
        {"\n\n \n", ""},
        {"x 9mm 1.5e3Pa -0.81 +1 .5 5. 1.2.3 1-2 - -a 1/2 4L/s.bar",
         "^w:x n:9 _w:mm n:1.5e3 _w:Pa n:-0.81 n:+1 n:.5 n:5. w:1.2.3 w:1-2 w:- w:-a w:1/2 n:4 "
         "_w:L/s.bar | "},
        {"x 1e 1e+ 1e5 0x10 12abc nan inf",
         "^w:x n:1 _w:e n:1 _w:e+ n:1e5 n:0 _w:x10 n:12 _w:abc w:nan "
         "w:inf | "},
        {"x \"two words # no comment\" y", "^w:x t:two words # no comment w:y | "},
        {"x \"open\ny", "^w:x u:open | ^w:y | "},
        {"x \"\"\"b\"", "^w:x t: _t:b | "},
        {"a=b = c", "^w:a _w:= _w:b w:= w:c | "},
        {"x#y\n z", "^w:x ^w:z | "},
        {"x\ry\vz\ft", "^w:x w:y w:z w:t | "},
        {"\rtee a", ""},
        {"RL+RR one-wheel:RL RL/RR", "^w:RL+RR w:one-wheel:RL w:RL/RR | "},
        {"\xC3\xA9t\xC3\xA9 \xFF", "^w:\xC3\xA9t\xC3\xA9 w:\xFF | "},
    };
    char out[1024];
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        spell(cases[i].text, strlen(cases[i].text), out, sizeof out);
        cr_expect_str_eq(out, cases[i].tokens, "case %zu: %s", i, out);
    }
    spell("a\0b", 3, out, sizeof out);
    cr_expect_str_eq(out, "^w:a w:b | ");
}

Test(lexer, numbers_have_their_value) {
    const char bytes[] = "x 0.1 -2.5e-3 1e999";
    lexer l = lexer_start((text){bytes, sizeof bytes - 1});
    token t;
    lexer_next_statement(&l);
    lexer_next(&l, &t);
    lexer_next(&l, &t);
    cr_expect_eq(t.number, 0.1);
    lexer_next(&l, &t);
    cr_expect_eq(t.number, -2.5e-3);
    lexer_next(&l, &t);
    cr_expect(isinf(t.number));
}

Test(lexer, a_statement_may_be_left_anywhere) {
    const char bytes[] = "a 1 2\n  3 \"4\n  5\nb 6\n# c\nd";
    lexer l = lexer_start((text){bytes, sizeof bytes - 1});
    token t;
    for (const char *wanted = "abd"; *wanted; wanted++) {
        cr_assert(lexer_next_statement(&l));
        lexer_next(&l, &t);
        cr_expect_eq(bytes[t.start], *wanted);
    }
    cr_expect_not(lexer_next_statement(&l));
}
