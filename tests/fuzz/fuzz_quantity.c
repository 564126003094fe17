/* Any bytes as a number with its unit, and as the value of any attribute: the first byte chooses.
   SPDX-License-Identifier: MIT */
#include <math.h>
#include <stdlib.h>

#include "base/text.h"
#include "input.h"
#include "netlist/grammar.h"

/* A number that is printed in full comes back as the same. */
static void print_and_read(double x) {
    text_buffer b = {0};
    double again = 0.0;
    text_buffer_number(&b, x, 17);
    if (isfinite(x) &&
        (text_read_number(b.bytes, b.bytes + b.length, &again) != b.length || again != x))
        abort();
    text_buffer_free(&b);
}

static void read_attribute(size_t chosen, const char *words, size_t length) {
    int k = 0;
    while (chosen >= grammar_at((keyword)k)->attributes) {
        chosen -= grammar_at((keyword)k)->attributes;
        k = (k + 1) % KEYWORDS;
    }
    const grammar_keyword *const row = grammar_at((keyword)k);
    text_buffer b = {0};
    text_buffer_format(&b, "%s %s %s ", row->name, row->named ? "it" : "",
                       grammar_word(row->attribute[chosen].word));
    text_buffer_add_bytes(&b, words, length);
    baronet_netlist_destroy(input_netlist((const uint8_t *)b.bytes, b.length));
    text_buffer_free(&b);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size == 0)
        return 0;
    const char *const words = (const char *)data + 1, *const end = words + size - 1;
    double number = 0.0;
    const size_t used = text_read_number(words, end, &number);
    const baronet_unit *const unit = baronet_unit_find(words + used, size - 1 - used);
    print_and_read(unit ? number * unit->factor + unit->offset : number);
    read_attribute(data[0], words, size - 1);
    return 0;
}
