/* SPDX-License-Identifier: MIT */
#include "netlist/dial.h"

#include <math.h>
#include <string.h>

#include "model/gas.h"
#include "netlist/build.h"
#include "netlist/suggestion.h"

/* A dial being read. */
typedef struct dialling {
    reading *r;
    source *said;
    const char *called;
    dial *to;
    dial_target *target;
} dialling;

static place part_place(const dialling *d, text part) {
    return (place){d->said, (uint32_t)(part.start - d->said->bytes), (uint32_t)part.length};
}

static text trim(text t) {
    while (t.length > 0 && t.start[0] == ' ') {
        t.start++;
        t.length--;
    }
    while (t.length > 0 && t.start[t.length - 1] == ' ')
        t.length--;
    return t;
}

static bool is_numeric(const attribute *a) {
    for (uint32_t i = 0; i < a->values; i++) {
        if (a->value[i].kind == VALUE_NUMBER)
            return true;
    }
    return false;
}

/* Names that may be dialled: of what has numbers, and those of `let`. */
static const char *name_hint(dialling *d, text wrong) {
    suggestion s = suggestion_begin(d->r, wrong, "what may be changed:");
    for (int k = KEYWORD_LET; k >= 0; k--) {
        const entry *e = d->r->netlist->list[k].first;
        const bool dull = k == KEYWORD_EVENT || k == KEYWORD_STATE || k == KEYWORD_REQUIRE ||
                          k == KEYWORD_CHARGE || k == KEYWORD_ABOUT || k == KEYWORD_MOTION ||
                          k == KEYWORD_CASE;
        for (; e && !dull; e = e->next)
            suggestion_offer(&s, e->name ? (text){e->name->text, e->name->length}
                                         : text_of(grammar_at((keyword)k)->name));
    }
    return suggestion_end(&s);
}

/* The attributes of a statement that are numbers. */
static const char *attribute_hint(dialling *d, const statement *s, text wrong) {
    suggestion hints = suggestion_begin(d->r, wrong, "it gives:");
    for (uint32_t i = 0; i < s->attributes; i++) {
        if (is_numeric(&s->attribute[i]))
            suggestion_offer(&hints, text_of(grammar_word(s->attribute[i].row->word)));
    }
    for (size_t i = 0; s->table && i < s->table->columns; i++) {
        if (!s->table->column[i].row->tested &&
            strcmp(s->table->column[i].row->name, "height") != 0)
            suggestion_offer(&hints, text_of(s->table->column[i].row->name));
    }
    return suggestion_end(&hints);
}

/* The air outside may be changed where the netlist leaves it at the usual, too. */
static bool find_ambient(const dialling *d, text attribute_text, dial_target *to, double *now) {
    static const struct {
        const char *said;
        word word;
    } words[] = {{"pressure", WORD_PRESSURE},
                 {"temperature", WORD_TEMPERATURE},
                 {"altitude", WORD_ALTITUDE}};
    const ambient *const air = &d->r->netlist->model.ambient;
    const double values[] = {air->pressure, air->temperature, 0.0};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (!text_equals(attribute_text, words[i].said))
            continue;
        *to = (dial_target){.keyword = KEYWORD_AMBIENT, .word = words[i].word};
        to->address.row =
            grammar_attribute_find(grammar_at(KEYWORD_AMBIENT), text_of(words[i].said));
        to->address.slot = to->address.row->slot[0];
        *now = values[i];
        return true;
    }
    return false;
}

/* A column of a profile's table as a whole: `area`, `volume` or `load`. */
static bool find_column(const statement *s, text said, dial_target *to) {
    for (size_t i = 0; s->table && i < s->table->columns; i++) {
        const grammar_column *const row = s->table->column[i].row;
        const word w = row->tested                        ? WORD_LOAD
                       : strcmp(row->name, "area") == 0   ? WORD_AREA
                       : strcmp(row->name, "volume") == 0 ? WORD_VOLUME
                                                          : WORD_NONE;
        if (w != WORD_NONE && text_equals(said, grammar_word(w))) {
            *to = (dial_target){.keyword = KEYWORD_PROFILE, .word = w, .entry = s->entry};
            to->address.slot =
                (slot){SLOT_QUANTITY, BARONET_NUMBER, RANGE_POSITIVE, DATUM_FREE, 0, NULL};
            return true;
        }
    }
    return false;
}

/* A number that the statement gives, `part` with the statement's name. */
static bool take_written(dialling *d, const statement *s, word w, text part, dial_target *to,
                         double *now) {
    address found;
    const char *const words = arena_copy_text(d->r->arena, part.start, part.length);
    const baronet_status status =
        words ? netlist_address(d->r->netlist, words, d->r->arena, &found) : BARONET_OUT_OF_MEMORY;
    d->r->failed |= status != BARONET_OK; /* it is there */
    if (d->r->failed)
        return false;
    *to = (dial_target){.keyword = (keyword)s->entry->keyword,
                        .word = w,
                        .entry = s->entry,
                        .written = true,
                        .address = found};
    *now = found.value.number;
    return true;
}

/* The attribute of a statement, `said`; complains where there is none such. */
static bool find_attribute(dialling *d, const statement *s, text part, text said, dial_target *to,
                           double *now) {
    const keyword k = (keyword)s->entry->keyword;
    const grammar_attribute *const known = said.length == 0
                                               ? grammar_direct(grammar_at(k))
                                               : grammar_attribute_find(grammar_at(k), said);
    const attribute *const a = known ? statement_find(s, known->word) : NULL;
    if (a && is_numeric(a))
        return take_written(d, s, known->word, part, to, now);
    *now = 1.0;
    if (find_column(s, said, to))
        return d->to->scale = true;
    if (k == KEYWORD_AMBIENT && find_ambient(d, said, to, now))
        return true;
    const place at = said.length > 0 ? part_place(d, said) : part_place(d, part);
    const char *const hint = attribute_hint(d, s, said);
    if (said.length == 0)
        complain(d->r, at, hint, "say which value of `%s`, as in NAME.attribute",
                 shown(d->r, part));
    else if (a)
        complain(d->r, at, hint, "`%s` is no number", shown(d->r, said));
    else if (known)
        complain(d->r, at, hint, "the netlist gives no `%s` here; write it in first",
                 shown(d->r, said));
    else
        complain(d->r, at, hint, "%s has no `%s`", grammar_at(k)->noun, shown(d->r, said));
    return false;
}

static bool find_target(dialling *d, text part, dial_target *to, double *now) {
    const char *const dot = memchr(part.start, '.', part.length);
    const text named = {part.start, dot ? (size_t)(dot - part.start) : part.length};
    const text said =
        dot ? (text){dot + 1, part.length - named.length - 1} : (text){part.start + part.length, 0};
    const entry *const e = netlist_entry(d->r->netlist, named);
    if (!e && text_equals(named, "ambient") && find_ambient(d, said, to, now))
        return true;
    if (!e) {
        complain(d->r, part_place(d, named.length > 0 ? named : part), name_hint(d, named),
                 "there is no `%s` in the netlist", shown(d->r, named));
        return false;
    }
    scratch x = {0};
    statement s;
    statement_read(d->r, &x, e, &s);
    const bool fine = !d->r->failed && find_attribute(d, &s, part, said, to, now);
    scratch_free(d->r, &x);
    return fine;
}

/* Dimension of what a `let` stands for, so that it stays what it is. */
static slot own_slot(const dial_target *t) {
    slot own = t->address.slot;
    if (own.kind == SLOT_ANY) {
        const baronet_unit *const unit = t->address.value.as.unit;
        own.kind = SLOT_QUANTITY;
        own.dimension = unit ? unit->dimension : BARONET_NUMBER;
        own.range = own.dimension != BARONET_TEMPERATURE && t->address.value.number > 0.0
                        ? RANGE_POSITIVE
                        : RANGE_ANY;
    }
    return own;
}

/* The names before `=`, parted by `+`. */
static bool find_targets(dialling *d, text names_text) {
    int count = 1;
    for (size_t i = 0; i < names_text.length; i++)
        count += names_text.start[i] == '+';
    d->target = READING_ARRAY(d->r, dial_target, count);
    d->to->target = d->target;
    while (!d->r->failed && d->to->targets < count) {
        const char *const plus = memchr(names_text.start, '+', names_text.length);
        const size_t length = plus ? (size_t)(plus - names_text.start) : names_text.length;
        const text part = trim((text){names_text.start, length});
        dial_target *const to = &d->target[d->to->targets];
        double now = 0.0;
        if (!find_target(d, part, to, &now))
            return false;
        const slot own = own_slot(to);
        if (d->to->targets++ == 0) {
            d->to->now = now;
            d->to->slot = own;
            d->to->unit = to->written ? to->address.value.as.unit : NULL;
        } else if (own.kind != d->to->slot.kind || own.dimension != d->to->slot.dimension) {
            complain(d->r, part_place(d, part), NULL, "`%s` is another kind of quantity than `%s`",
                     shown(d->r, part), d->to->name);
            return false;
        }
        names_text.start += length + (plus != NULL);
        names_text.length -= length + (plus != NULL);
    }
    return !d->r->failed;
}

/* A cursor over a part of what was said, in which nothing but blanks parts the values: `..` and
   commas are blanks in a copy that is read, while complaints show what was said. */
static cursor values_cursor(dialling *d, text part) {
    char *const copy = arena_copy_text(d->r->arena, d->said->bytes, d->said->length);
    const size_t start = (size_t)(part.start - d->said->bytes);
    d->r->failed |= !copy;
    if (!copy)
        return cursor_start(d->r, d->said, 0);
    for (size_t i = start; i < d->said->length; i++) {
        if (copy[i] == ',' || copy[i] == ';')
            copy[i] = ' ';
        if (copy[i] == '.' && i + 1 < d->said->length && copy[i + 1] == '.')
            copy[i] = copy[i + 1] = ' ';
    }
    cursor c = {.reading = d->r,
                .source = d->said,
                .order = UINT32_MAX,
                .lexer = lexer_start((text){copy, start + part.length})};
    c.lexer.at = copy + start;
    c.lexer.line_start = false;
    cursor_advance(&c);
    return c;
}

/* A factor of a column is said as a bare number or in per cent. */
static bool read_value(dialling *d, cursor *c, value *out) {
    return quantity_read(c, &d->to->slot, d->called, out);
}

static void complain_of_nothing(dialling *d) {
    complain(d->r, (place){d->said, 0, (uint32_t)d->said->length},
             "as in left-tank.volume=1L..8L, cross.bore=4mm,6mm,8mm or RL.load=+-5%",
             "how far may `%s` change?", d->to->name);
}

static bool read_list(dialling *d, text part) {
    cursor c = values_cursor(d, part);
    const size_t most = part.length / 2 + 1;
    double *const values = READING_ARRAY(d->r, double, most);
    d->to->form = DIAL_LIST;
    d->to->value = values;
    d->to->low = HUGE_VAL;
    d->to->high = -HUGE_VAL;
    while (values && c.now.kind != TOKEN_END) {
        value v;
        if (!read_value(d, &c, &v))
            return false;
        if (d->to->values == 0)
            d->to->unit = v.as.unit;
        values[d->to->values++] = v.number;
        d->to->low = fmin(d->to->low, v.number);
        d->to->high = fmax(d->to->high, v.number);
    }
    if (values && d->to->values == 0)
        complain_of_nothing(d);
    return d->to->values > 0;
}

static bool read_range(dialling *d, text part) {
    cursor c = values_cursor(d, part);
    const place at = part_place(d, part);
    value low, high;
    d->to->form = DIAL_RANGE;
    if (!read_value(d, &c, &low) || !read_value(d, &c, &high))
        return false;
    if (c.now.kind != TOKEN_END) {
        complain(d->r, cursor_place(&c), NULL, "`%s` does not belong here",
                 shown(d->r, cursor_text(&c)));
        return false;
    }
    d->to->unit = low.as.unit;
    d->to->low = low.number;
    d->to->high = high.number;
    if (low.number < high.number)
        return true;
    complain(d->r, at, NULL, "the first of LOW..HIGH is to be below the second");
    return false;
}

/* What follows `+-`: a part of the netlist's value in per cent, or an amount. */
static bool read_tolerance(dialling *d, text part) {
    dial *const to = d->to;
    double number = 0.0;
    const size_t used = text_read_number(part.start, part.start + part.length, &number);
    const text rest = trim((text){part.start + used, part.length - used});
    double amount = 0.0;
    to->form = DIAL_TOLERANCE;
    if (used > 0 && text_equals(rest, "%")) {
        amount = fabs(to->now) * number / 100.0;
    } else if (to->scale) {
        complain(d->r, part_place(d, part), "as in +-3%",
                 "a column of a table changes by per cent");
        return false;
    } else {
        slot wanted = to->slot;
        wanted.range = RANGE_ANY;
        cursor c = values_cursor(d, part);
        value v;
        if (!quantity_read(&c, &wanted, d->called, &v))
            return false;
        amount = v.number - (v.as.unit ? v.as.unit->offset : 0.0);
    }
    to->low = to->now - amount;
    to->high = to->now + amount;
    const grammar_range *const fits = grammar_range_at(to->slot.range);
    const bool inside = (fits->low_in ? to->low >= fits->low : to->low > fits->low) &&
                        (fits->high_in ? to->high <= fits->high : to->high < fits->high);
    if (amount > 0.0 && inside)
        return true;
    complain(d->r, part_place(d, part), NULL,
             amount > 0.0 ? "so wide a tolerance goes beyond what the value can be"
                          : "a tolerance is more than nothing");
    return false;
}

/* Where a tolerance's sign ends; 0 where there is none. */
static size_t sign_length(text t) {
    static const char *const signs[] = {"+-", "+/-", "\xC2\xB1"};
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
        const size_t length = strlen(signs[i]);
        if (t.length >= length && memcmp(t.start, signs[i], length) == 0)
            return length;
    }
    return 0;
}

static bool has_dots(text t) {
    for (size_t i = 0; i + 1 < t.length; i++) {
        if (t.start[i] == '.' && t.start[i + 1] == '.')
            return true;
    }
    return false;
}

static bool read_values(dialling *d, text part) {
    const size_t sign = sign_length(part);
    if (sign > 0)
        return read_tolerance(d, trim((text){part.start + sign, part.length - sign}));
    if (part.length == 0) {
        complain_of_nothing(d);
        return false;
    }
    return has_dots(part) ? read_range(d, part) : read_list(d, part);
}

/* The words of a command line as a source of one line; false for want of memory. */
static bool make_source(source *s, const char *called, const char *said, arena *a) {
    *s = (source){.path = called, .shown = called, .length = strlen(said)};
    s->bytes = arena_copy_text(a, said, s->length);
    if (!s->bytes)
        return false;
    for (char *c = s->bytes; (c = strpbrk(c, "\n\r\t#")) != NULL;)
        *c = ' ';
    return s->length <= BARONET_FILE_LIMIT;
}

static bool is_absolute(const baronet_unit *unit) {
    return unit->datum == BARONET_DATUM_ABSOLUTE;
}

/* What the netlist has, as the unit of the dial counts pressures. */
static void match_datum(dialling *d) {
    dial *const to = d->to;
    if (to->slot.dimension != BARONET_PRESSURE || to->slot.datum != DATUM_FREE)
        return;
    const address *const first = &to->target[0].address;
    const bool now = is_absolute(first->value.as.unit), said = is_absolute(to->unit);
    const double outside = d->r->netlist->model.ambient.pressure;
    to->now += now == said ? 0.0 : said ? outside : -outside;
}

static bool read_dial(dialling *d, source *list) {
    const text all = {d->said->bytes, d->said->length};
    const char *const equals = memchr(all.start, '=', all.length);
    const size_t before = equals ? (size_t)(equals - all.start) : all.length;
    const text names_text = trim((text){all.start, before});
    char *const kept = arena_copy_text(d->r->arena, names_text.start, names_text.length);
    d->r->failed |= !kept;
    d->to->name = kept ? kept : "";
    if (!kept || !find_targets(d, names_text))
        return false;
    const text values = equals ? trim((text){equals + 1, all.length - before - 1})
                               : (text){all.start + all.length, 0};
    if (!list)
        return read_values(d, values);
    d->said = list;
    d->called = list->path;
    return read_list(d, (text){list->bytes, list->length});
}

baronet_status netlist_dial(const baronet_netlist *netlist, const char *called, const char *said,
                            const char *list, arena *a, baronet_diagnostics *diagnostics,
                            dial *out) {
    /* Nothing of the netlist is changed: memory is the caller's, and names are only looked up. */
    reading r = {.netlist = (baronet_netlist *)netlist,
                 .arena = a,
                 .diagnostics = diagnostics,
                 .patience = READING_PATIENCE};
    source words, values;
    *out = (dial){.name = ""};
    if (!make_source(&words, called, said, a) ||
        (list && !make_source(&values, "--from-list", list, a)))
        return BARONET_OUT_OF_MEMORY;
    dialling d = {.r = &r, .said = &words, .called = called, .to = out};
    const bool fine = read_dial(&d, list ? &values : NULL);
    if (fine && !r.failed)
        match_datum(&d);
    if (r.failed)
        return BARONET_OUT_OF_MEMORY;
    return fine ? BARONET_OK : BARONET_BAD_NETLIST;
}

static bool is_weighed(const dial *d) {
    return d->slot.kind == SLOT_WEIGHT && d->unit->dimension == BARONET_MASS;
}

void dial_words(const dial *d, double value_of, int digits, text_buffer *out) {
    const double plain = is_weighed(d) ? value_of / STANDARD_GRAVITY : value_of;
    if (!d->unit) {
        text_buffer_number(out, plain, digits);
        return;
    }
    text_buffer_number(out, (plain - d->unit->offset) / d->unit->factor, digits);
    text_buffer_add(out, " ");
    text_buffer_add(out, d->unit->name);
}

baronet_dimension dial_dimension(const dial *d) {
    return is_weighed(d) ? BARONET_MASS : d->slot.dimension;
}

double dial_shown(const dial *d, double value_of) {
    return is_weighed(d) ? value_of / STANDARD_GRAVITY : value_of;
}
