/* Tests of solver/netlist/parser.c and statement.c. The messages are in tests/golden.
   SPDX-License-Identifier: MIT */
#include "netlist/parser.h"

#include <criterion/criterion.h>
#include <string.h>

#include "sample.h"

static baronet_netlist *n;
static reading r;
static scratch x;

static void begin(void) {
    n = sample(sample_van);
    r = (reading){.netlist = n, .arena = n->arena};
}

static void end(void) {
    scratch_free(&r, &x);
    baronet_netlist_destroy(n);
}

static statement read(const char *called) {
    statement s;
    statement_read(&r, &x, reading_find(&r, text_of(called)), &s);
    cr_assert_not(s.bad);
    return s;
}

static void expect_text(place p, const char *expected) {
    const text t = place_text(p);
    cr_expect(text_equals(t, expected), "%.*s", (int)t.length, t.start);
}

Test(parser, attributes_come_in_order_with_their_places, .init = begin, .fini = end) {
    const statement s = read("left-hose");
    static const struct {
        word word;
        const char *value;
    } expected[] = {{WORD_FROM, "left"},     {WORD_TO, "middle"},    {WORD_BORE, "w"},
                    {WORD_LENGTH, "0.45 m"}, {WORD_FITTINGS, "1.2"}, {WORD_ROUGHNESS, "2 um"}};
    cr_assert_eq(s.attributes, 6);
    for (uint32_t i = 0; i < s.attributes; i++) {
        const attribute *const a = &s.attribute[i];
        cr_expect_eq(a->row->word, expected[i].word);
        cr_assert_eq(a->values, 1);
        expect_text(statement_value_place(&s, a->value), expected[i].value);
        expect_text(statement_attribute_place(&s, a), grammar_word(expected[i].word));
    }
    expect_text(entry_place(s.entry), "hose");
    expect_text(entry_name_place(s.entry), "left-hose");
}

Test(parser, patterns_give_their_values, .init = begin, .fini = end) {
    const statement s = read("RL");
    const attribute *const stop = statement_find(&s, WORD_BUMP_STOP);
    cr_assert_eq(stop->values, 2);
    expect_text(statement_value_place(&s, &stop->value[0]), "70 mm");
    expect_text(statement_value_place(&s, &stop->value[1]), "90 N/mm");
    cr_expect_null(statement_find(&s, WORD_BORE));
    cr_expect_eq(statement_number(&s, WORD_BORE, 7.0), 7.0);
    const value *const axle_name = statement_value(&s, WORD_AXLE);
    cr_expect_eq(axle_name->kind, VALUE_TEXT);
    expect_text(statement_value_place(&s, axle_name), "rear");
}

Test(parser, laws_nest_in_a_bypass, .init = begin, .fini = end) {
    const statement s = read("cross");
    const attribute *const bypass = statement_find(&s, WORD_BYPASS);
    cr_assert_eq(bypass->values, 3);
    expect_text(statement_value_place(&s, &bypass->value[0]), "kv");
    expect_text(statement_value_place(&s, &bypass->value[1]), "0.05 m3/h");
    expect_text(statement_value_place(&s, &bypass->value[2]), "0.6");
    cr_expect_null(statement_find(&s, WORD_XT));
}

Test(parser, kept_statements_stay, .init = begin, .fini = end) {
    statement s = read("easy");
    statement_keep(&r, &s);
    read("left-hose");
    const attribute *const open = statement_find(&s, WORD_OPEN);
    cr_assert_eq(open->values, 3);
    expect_text(statement_value_place(&s, &open->value[2]), "cross");
    cr_expect_str_eq(statement_name(&s), "easy");
}

/* Attributes come in any order, on any lines, with commas and comments between. */
Test(parser, layout_does_not_matter) {
    static const char *const same[] = {
        "hose h from a to b bore 9 mm length 1 m\n",
        "hose h length 1m to b bore 9mm from a",
        "hose\n h\n  from\n a # here\n# and here\n\n\tto, b,\n  bore 9 mm, length 1 m",
        "hose h\r\n  from a\r\n  to b\r\n  bore 9 mm\r\n  length 1 m\r\n",
    };
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        char whole[300] = "tank a volume 1 L\ntank b volume 2 L\n";
        strcat(whole, same[i]);
        baronet_netlist *const other = sample(whole);
        const edge *const e = netlist_model(other)->network.edge;
        cr_expect_eq(e->path.bore, 9 * 1e-3);
        cr_expect_eq(e->path.length, 1.0);
        cr_expect_eq(e->to - e->from, 1);
        baronet_netlist_destroy(other);
    }
}

/* What an attribute without values, or a statement without a name, has. */
Test(parser, words_alone_and_no_name, .init = begin, .fini = end) {
    statement s = read("left-gate");
    statement_keep(&r, &s);
    read("easy");
    const attribute *const one_way = statement_find(&s, WORD_ONE_WAY);
    cr_assert_not_null(one_way);
    cr_expect_eq(one_way->values, 0);
    cr_expect_null(statement_value(&s, WORD_ONE_WAY));
    expect_text(statement_value_place(&s, statement_value(&s, WORD_BYPASS)), "0.8 mm");
    statement_read(&r, &x, n->list[KEYWORD_AMBIENT].first, &s);
    cr_expect_str_eq(statement_name(&s), "");
    expect_text(statement_value_place(&s, statement_value(&s, WORD_PRESSURE)), "100 kPa");
}

#define AXLE                                                                                       \
    "profile p area 95 cm2 volume 1.9 L at 150 mm\ntank t volume 3 L\n"                            \
    "corner RL at 0 m 0.8 m load 400 kg\ncorner RR at 0 m -0.8 m load 400 kg\n"

Test(parser, levers_and_labels_that_are_wrong) {
    sample_refused(AXLE "spring s on RL 0.85 RR 0.15 mm profile p height 150 mm\n",
                   "`on` wants a bare number, without `mm`");
    sample_refused(AXLE "spring s on RL 0.85 profile p height 150 mm t 3\n",
                   "`t` is no attribute of a spring");
    sample_refused("tank t volume 3 L\ncorner RL at 0 m 0 m load 4 kN coil 9 N/mm axle =\n",
                   "`axle` wants a name");
}
