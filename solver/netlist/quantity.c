/* quantity.c: numbers with their units, and the names that stand for them.
   SPDX-License-Identifier: MIT */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "model/gas.h"
#include "netlist/cursor.h"
#include "netlist/suggestion.h"

bool quantity_is_reasonable(double x) {
    return isfinite(x) && fabs(x) <= QUANTITY_LARGEST &&
           (x == 0.0 || fabs(x) >= 1.0 / QUANTITY_LARGEST);
}

static bool fits(const slot *wanted, const baronet_unit *unit) {
    const baronet_dimension d = unit ? unit->dimension : BARONET_NUMBER;
    if (wanted->kind == SLOT_ANY)
        return true;
    if (wanted->kind == SLOT_WEIGHT)
        return d == BARONET_FORCE || d == BARONET_MASS;
    if (wanted->dimension == BARONET_AIR_MASS)
        return d == BARONET_MASS;
    return d == wanted->dimension;
}

/* "a length", "an area", "a force or a mass". */
static const char *wanted_text(cursor *c, const slot *wanted) {
    if (wanted->kind == SLOT_WEIGHT)
        return "a force or a mass";
    if (wanted->kind == SLOT_ANY)
        return "a number, with its unit";
    const char *const words = baronet_dimension_text(wanted->dimension);
    text_buffer buffer = {.allocator = arena_allocator(c->reading->arena)};
    text_buffer_format(&buffer, "%s %s", strchr("aeiou", words[0]) ? "an" : "a", words);
    const char *const kept =
        buffer.failed ? NULL : arena_copy_text(c->reading->arena, buffer.bytes, buffer.length);
    text_buffer_free(&buffer);
    c->reading->failed |= !kept;
    return kept ? kept : "";
}

/* The units that fit, the closest to a wrong one first. */
static const char *unit_hint(cursor *c, const slot *wanted, text wrong) {
    suggestion s = suggestion_begin(c->reading, wrong, "units that fit:");
    size_t count;
    const baronet_unit *const units = baronet_unit_table(&count);
    for (size_t i = 0; i < count; i++) {
        const bool plain = units[i].datum == BARONET_DATUM_PLAIN;
        if (wanted->kind == SLOT_ANY)
            suggestion_compare(&s, text_of(units[i].name));
        else if (fits(wanted, &units[i]) && (plain || wanted->datum == DATUM_FREE))
            suggestion_offer(&s, text_of(units[i].name));
    }
    return suggestion_end(&s);
}

/* The `let` that gave the word at the cursor, above or below; NULL for none. */
static const entry *find_let(const cursor *c) {
    const entry *const e = reading_find(c->reading, cursor_text(c));
    return e && e->keyword == KEYWORD_LET ? e : NULL;
}

bool quantity_begins(const cursor *c) {
    if (c->now.kind != TOKEN_WORD)
        return c->now.kind == TOKEN_NUMBER;
    const entry *const let = find_let(c);
    return let && let->order < c->order;
}

/* True where the word at the cursor belongs to what comes next, and not to a number before it. */
static bool is_next(const cursor *c) {
    return c->now.kind != TOKEN_WORD ||
           (!c->now.glued && (c->now.first_in_line ||
                              (c->keyword && grammar_attribute_find(c->keyword, cursor_text(c)))));
}

/* Complains of what stands where a unit is wanted. */
static void complain_of_unit(cursor *c, const slot *wanted, const char *label, place number) {
    reading *const r = c->reading;
    if (is_next(c)) {
        complain(r, number, unit_hint(c, wanted, (text){0}), "`%s` wants %s; the unit is missing",
                 label, wanted_text(c, wanted));
        return;
    }
    const text word_text = cursor_text(c);
    const baronet_unit *const unit = baronet_unit_find(word_text.start, word_text.length);
    const char *const hint = unit_hint(c, wanted, word_text);
    if (unit)
        complain(r, cursor_place(c), hint, "`%s` wants %s; `%s` is a unit of %s", label,
                 wanted_text(c, wanted), unit->name, baronet_dimension_text(unit->dimension));
    else
        complain(r, cursor_place(c), hint, "`%s` wants %s; `%s` is no unit", label,
                 wanted_text(c, wanted), shown(r, word_text));
    cursor_advance(c);
}

/* True where a unit has to follow, or may follow and does. */
static bool unit_follows(const cursor *c, const slot *wanted) {
    if (wanted->kind == SLOT_QUANTITY)
        return wanted->dimension != BARONET_NUMBER;
    return wanted->kind == SLOT_WEIGHT || !is_next(c);
}

/* True where the word at the cursor names a corner, which goes on with a list of corners and
   numbers even where it reads like a unit, as in `L 0.87 R 0.13`. */
static bool is_corner(const cursor *c) {
    const entry *const named = c->now.glued ? NULL : reading_find(c->reading, cursor_text(c));
    return named && named->keyword == KEYWORD_CORNER;
}

/* False, after a complaint, where a bare number is wanted and more follows it. */
static bool stays_bare(cursor *c, const char *label) {
    const text after = cursor_text(c);
    if (c->now.kind != TOKEN_WORD || is_corner(c))
        return true;
    /* Without a keyword nothing tells the unit `in` from the word. */
    if (!c->now.glued &&
        (!c->keyword || is_next(c) || !baronet_unit_find(after.start, after.length)))
        return true;
    complain(c->reading, cursor_place(c), NULL, "`%s` wants a bare number, without `%s`", label,
             shown(c->reading, after));
    cursor_advance(c);
    return false;
}

/* True where a comma and a digit follow the number at the cursor: in the lands of the decimal comma
   that is one number, and no quantity here is followed by another number. */
static bool has_comma(const cursor *c) {
    const char *const after = c->lexer.at;
    return c->lexer.end - after > 1 && after[0] == ',' && after[1] >= '0' && after[1] <= '9';
}

static bool read_number(cursor *c, const slot *wanted, const char *label, value *out) {
    const token number = c->now;
    const place at = cursor_place(c);
    if (has_comma(c)) {
        complain(c->reading, at, "commas only part words, as spaces do",
                 "`%s` wants a number with a point, not with a comma", label);
        cursor_advance(c);
        return false;
    }
    const baronet_unit *unit = NULL;
    cursor_advance(c);
    uint32_t end = number.start + number.length;
    if (unit_follows(c, wanted)) {
        const text word_text = cursor_text(c);
        if (c->now.kind == TOKEN_WORD)
            unit = baronet_unit_find(word_text.start, word_text.length);
        if (!unit || !fits(wanted, unit)) {
            complain_of_unit(c, wanted, label, at);
            return false;
        }
        end = c->now.start + c->now.length;
        cursor_advance(c);
    } else if (!stays_bare(c, label)) {
        return false;
    }
    *out = (value){.number = unit ? number.number * unit->factor + unit->offset : number.number,
                   .as.unit = unit,
                   .start = number.start,
                   .length = end - number.start,
                   .kind = VALUE_NUMBER};
    return true;
}

/* Complains of a word that is no quantity; goes over it unless it may be the next attribute. */
static void complain_of_word(cursor *c, const slot *wanted, const char *label) {
    reading *const r = c->reading;
    const bool next = c->now.kind == TOKEN_WORD && is_next(c) && !c->now.first_in_line;
    if (c->now.kind == TOKEN_END || next) {
        const place at = {c->source, c->before.start, c->before.length};
        complain(r, at, NULL, "`%s` wants %s", label, wanted_text(c, wanted));
        return;
    }
    if (c->now.kind == TOKEN_WORD && find_let(c)) {
        complain(r, cursor_place(c), NULL, "`%s` is used before its `let`",
                 shown(r, cursor_text(c)));
        cursor_advance(c);
        return;
    }
    suggestion s = suggestion_begin(r, cursor_text(c), "");
    for (const entry *l = r->netlist->list[KEYWORD_LET].first; l; l = l->next)
        suggestion_compare(&s, (text){l->name->text, l->name->length});
    const char *const close = suggestion_end(&s);
    const char *const usual = grammar_is_name(cursor_text(c))
                                  ? "a name in place of a number needs its `let` above"
                                  : NULL;
    cursor_complain(c, label, wanted_text(c, wanted), close ? close : usual);
    cursor_advance(c);
}

static bool read_let(cursor *c, const slot *wanted, const char *label, value *out) {
    reading *const r = c->reading;
    if (!quantity_begins(c)) {
        complain_of_word(c, wanted, label);
        return false;
    }
    const entry *const let = find_let(c);
    assert(let);
    const value *const named = let->as.value;
    const place at = cursor_place(c);
    cursor_advance(c);
    if (!named)
        return false; /* it was complained of where it stands */
    if (!fits(wanted, named->as.unit)) {
        const baronet_dimension d = named->as.unit ? named->as.unit->dimension : BARONET_NUMBER;
        complain(r, at, NULL, "`%s` wants %s; `%s` is a %s", label, wanted_text(c, wanted),
                 let->name->text, baronet_dimension_text(d));
        return false;
    }
    *out = *named;
    out->start = at.start;
    out->length = at.length;
    return true;
}

static bool is_datum(cursor *c, const slot *wanted, const char *label, place at, const value *v) {
    const baronet_datum datum = v->as.unit ? v->as.unit->datum : BARONET_DATUM_PLAIN;
    if (wanted->datum == DATUM_DIFFERENCE && datum == BARONET_DATUM_ABSOLUTE) {
        complain(c->reading, at, unit_hint(c, wanted, (text){0}),
                 "`%s` is a difference of pressures, which `%s` cannot say", label,
                 v->as.unit->name);
        return false;
    }
    if (wanted->datum == DATUM_ABSOLUTE && datum == BARONET_DATUM_GAUGE) {
        complain(c->reading, at, unit_hint(c, wanted, (text){0}),
                 "`%s` is always absolute, which `%s` is not", label, v->as.unit->name);
        return false;
    }
    return true;
}

static bool is_in_range(cursor *c, const slot *wanted, const char *label, place at,
                        const value *v) {
    const grammar_range *const range_row = grammar_range_at(wanted->range);
    const double x = v->number;
    if (!quantity_is_reasonable(x)) {
        complain(c->reading, at, NULL, "`%s`: `%s` is beyond all reason", label,
                 shown(c->reading, place_text(at)));
        return false;
    }
    if ((range_row->low_in ? x >= range_row->low : x > range_row->low) &&
        (range_row->high_in ? x <= range_row->high : x < range_row->high))
        return true;
    complain(c->reading, at, NULL, "`%s` is to be %s, not `%s`", label, range_row->words,
             shown(c->reading, place_text(at)));
    return false;
}

bool quantity_read(cursor *c, const slot *wanted, const char *label, value *out) {
    const bool number = c->now.kind == TOKEN_NUMBER;
    if (!(number ? read_number : read_let)(c, wanted, label, out))
        return false;
    if (wanted->kind == SLOT_WEIGHT && out->as.unit->dimension == BARONET_MASS)
        out->number *= STANDARD_GRAVITY;
    const place at = {c->source, out->start, out->length};
    return is_datum(c, wanted, label, at, out) && is_in_range(c, wanted, label, at, out);
}
