/* rewrite.c: see rewrite.h.
   SPDX-License-Identifier: MIT */
#include "rewrite.h"

#include <criterion/criterion.h>
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "baronet/units.h"
#include "support.h"

enum { MOST_TOKENS = 20000, MOST_STATEMENTS = 2000, DIGITS = 17 };

typedef struct token {
    char word[96];
    int statement;
    bool begins; /* the first of its line */
} token;

/* A netlist as words; comments are gone. */
typedef struct words {
    token *token;
    int count, statements;
} words;

static void cut(words *w, const char *netlist) {
    *w = (words){.token = calloc(MOST_TOKENS, sizeof(token)), .statements = -1};
    cr_assert_not_null(w->token);
    bool line = true;
    for (const char *at = netlist; *at != '\0';) {
        const bool column_one = at == netlist || at[-1] == '\n';
        if (*at == '#') {
            at += strcspn(at, "\n");
        } else if (isspace((unsigned char)*at) || *at == ',') {
            line |= *at++ == '\n';
        } else {
            const size_t length = *at == '"' ? strcspn(at + 1, "\"") + 2 : strcspn(at, " \t\r\n,#");
            cr_assert(w->count < MOST_TOKENS && length < sizeof w->token->word);
            token *const t = &w->token[w->count++];
            w->statements += column_one;
            memcpy(t->word, at, length);
            t->statement = w->statements;
            t->begins = line;
            line = false;
            at += length;
        }
    }
    w->statements++;
}

static void add(text_buffer *out, const token *t, bool first) {
    text_buffer_add(out, first ? "" : t->begins ? "\n  " : " ");
    text_buffer_add(out, t->word);
}

/* The statements one after another in an order (NULL: as they are); one without words is left out.
 */
static char *paste(words *w, const int *order) {
    text_buffer out = {0};
    int *const first = calloc((size_t)w->statements + 1, sizeof *first);
    for (int i = 0, k = 0; i <= w->count; i++) {
        while (i == w->count ? k <= w->statements : k <= w->token[i].statement) {
            first[k++] = i;
        }
    }
    for (int n = 0; n < w->statements; n++) {
        const int k = order != NULL ? order[n] : n;
        if (w->token[first[k]].word[0] == '\0') {
            continue;
        }
        for (int i = first[k]; i < first[k + 1]; i++) {
            if (w->token[i].word[0] != '\0') {
                add(&out, &w->token[i], i == first[k]);
            }
        }
        text_buffer_add(&out, "\n");
    }
    cr_assert(!out.failed && out.bytes != NULL);
    free(first);
    free(w->token);
    return out.bytes;
}

static bool is(const token *t, const char *word) {
    return strcmp(t->word, word) == 0;
}

static const token *keyword_of(const words *w, int i) {
    while (i > 0 && w->token[i - 1].statement == w->token[i].statement) {
        i--;
    }
    return &w->token[i];
}

/* The word after `attribute` in the statement that begins at `from`; -1 where it has none. */
static int after(const words *w, int from, const char *attribute) {
    for (int i = from; i < w->count && w->token[i].statement == w->token[from].statement; i++) {
        if (is(&w->token[i], attribute)) {
            return i + 1;
        }
    }
    return -1;
}

/* A number with what stands behind it, "" where that is nothing. */
static bool number(const token *t, double *value, const char **rest) {
    const size_t used = text_read_number(t->word, t->word + strlen(t->word), value);
    *rest = t->word + used;
    return used > 0;
}

static void write_number(token *t, double value, const char *unit) {
    text_buffer out = {0};
    text_buffer_number(&out, value, DIGITS);
    cr_assert(!out.failed);
    snprintf(t->word, sizeof t->word, "%s%s%s", out.bytes, unit[0] ? " " : "", unit);
    text_buffer_free(&out);
}

char *rewrite_whole(const char *path) {
    FILE *file = fopen(path, "r");
    cr_assert_not_null(file, "%s", path);
    text_buffer out = {0};
    char line[512];
    while (fgets(line, sizeof line, file) != NULL) {
        char name[256], full[512];
        if (sscanf(line, "include \"%255[^\"]\"", name) == 1) {
            const char *const slash = strrchr(path, '/');
            snprintf(full, sizeof full, "%.*s/%s", (int)(slash - path), path, name);
            char *const part = rewrite_whole(full);
            text_buffer_add(&out, part);
            free(part);
        } else {
            text_buffer_add(&out, line);
        }
    }
    fclose(file);
    cr_assert(!out.failed && out.bytes != NULL, "%s", path);
    return out.bytes;
}

char *rewrite_plainly(const char *netlist) {
    words w;
    cut(&w, netlist);
    for (int i = 0; i < w.count; i++) {
        if (!is(&w.token[i], "let") || keyword_of(&w, i) != &w.token[i]) {
            continue;
        }
        char value[192] = "";
        snprintf(value, sizeof value, "%s%s%s", w.token[i + 2].word, " ",
                 w.token[i + 3].statement == w.token[i].statement ? w.token[i + 3].word : "");
        for (int k = i + 2; k < w.count; k++) {
            if (is(&w.token[k], w.token[i + 1].word)) {
                snprintf(w.token[k].word, sizeof w.token[k].word, "%.95s", value);
            }
        }
        w.token[i].word[0] = '\0';
    }
    /* Cut again, so that a value is two words. */
    return paste(&w, NULL);
}

/* Another unit of the same kind. */
static const baronet_unit *other_unit(const baronet_unit *unit, unsigned long long *dice) {
    size_t count = 0;
    const baronet_unit *const table = baronet_unit_table(&count);
    const size_t from = (size_t)(random_unit(dice) * (double)count);
    for (size_t k = 0; k < count; k++) {
        const baronet_unit *const one = &table[(from + k) % count];
        if (one->dimension == unit->dimension && one->datum == unit->datum && one != unit) {
            return one;
        }
    }
    return unit;
}

static const baronet_unit *unit_of(const char *word) {
    return word[0] != '\0' ? baronet_unit_find(word, strlen(word)) : NULL;
}

static double in_unit(double value, const baronet_unit *from, const baronet_unit *to) {
    return (value * from->factor + from->offset - to->offset) / to->factor;
}

/* The columns of a table: their names with units, then rows of numbers. */
static int change_table(words *w, int i, unsigned long long *dice) {
    const baronet_unit *from[20], *to[20];
    int columns = 0;
    const int statement = w->token[i].statement;
    do {
        token *const unit = &w->token[i + 1];
        from[columns] = unit_of(unit->word);
        cr_assert_not_null(from[columns], "%s is no unit", unit->word);
        to[columns] = other_unit(from[columns], dice);
        snprintf(unit->word, sizeof unit->word, "%s", to[columns]->name);
        columns++;
        i += 2;
    } while (!w->token[i].begins);
    for (int k = 0; i < w->count && w->token[i].statement == statement; i++, k++) {
        double value = 0.0;
        const char *rest = NULL;
        cr_assert(number(&w->token[i], &value, &rest), "%s", w->token[i].word);
        write_number(&w->token[i], in_unit(value, from[k % columns], to[k % columns]), "");
    }
    return i - 1;
}

static bool begins_table(const words *w, int i) {
    const token *const t = &w->token[i];
    const token *const keyword = keyword_of(w, i);
    return t->begins && t != keyword && (is(keyword, "profile") || is(keyword, "compressor")) &&
           i + 1 < w->count && unit_of(t[1].word) != NULL;
}

char *rewrite_units(const char *netlist, unsigned long long seed) {
    words w;
    cut(&w, netlist);
    for (int i = 0; i < w.count; i++) {
        token *const t = &w.token[i];
        double value = 0.0;
        const char *rest = NULL;
        if (begins_table(&w, i)) {
            i = change_table(&w, i, &seed);
        } else if (number(t, &value, &rest)) {
            const bool apart = rest[0] == '\0';
            const bool next = i + 1 < w.count && t[1].statement == t->statement;
            const baronet_unit *const from = unit_of(apart ? (next ? t[1].word : "") : rest);
            if (from != NULL) {
                const baronet_unit *const to = other_unit(from, &seed);
                write_number(t, in_unit(value, from, to), apart ? "" : to->name);
                if (apart) {
                    snprintf(t[1].word, sizeof t[1].word, "%s", to->name);
                }
            }
        }
    }
    return paste(&w, NULL);
}

static bool is_separator(char c) {
    return c == '/' || c == ':' || c == '+';
}

static void reverse(char *from, char *to) {
    for (; from < to; from++, to--) {
        const char c = *from;
        *from = *to;
        *to = c;
    }
}

static const char *const namers[] = {
    "corner",     "bar",      "profile", "spring",      "tank",      "tee",    "hose",
    "restrictor", "solenoid", "let",     "check-valve", "regulator", "relief", "compressor",
    "supply",     "state",    "motion",  "case",        "event"};

/* Whether some statement of the netlist gives this name. */
static bool is_name(const words *w, const char *word, size_t length) {
    for (int i = 0; i + 1 < w->count; i++) {
        const token *const t = &w->token[i];
        const bool here = strlen(t[1].word) == length && memcmp(t[1].word, word, length) == 0;
        if (!here || t[1].statement != t->statement) {
            continue;
        }
        bool gives = is(t, "axle") && is(keyword_of(w, i), "corner");
        for (size_t k = 0; k < sizeof namers / sizeof *namers && !gives; k++) {
            gives = is(t, namers[k]) && keyword_of(w, i) == t;
        }
        if (gives) {
            return true;
        }
    }
    return false;
}

char *rewrite_names(const char *netlist) {
    words w, was;
    cut(&w, netlist);
    cut(&was, netlist);
    for (int i = 0; i < w.count; i++) {
        const char *const word = was.token[i].word;
        const bool said = keyword_of(&was, i) == &was.token[i] || word[0] == '"';
        double value = 0.0;
        const char *rest = NULL;
        if (said || unit_of(word) != NULL || number(&was.token[i], &value, &rest)) {
            continue;
        }
        char out[256] = "";
        for (const char *at = word; *at != '\0';) {
            const size_t length = is_separator(*at) ? 1 : strcspn(at, "/:+");
            char part[96];
            snprintf(part, sizeof part, "%.*s", (int)length, at);
            const bool named = is_name(&was, at, length);
            if (named) {
                reverse(part, part + length - 1);
            }
            snprintf(out + strlen(out), sizeof out - strlen(out), "%s%s", named ? "n-" : "", part);
            at += length;
        }
        snprintf(w.token[i].word, sizeof w.token[i].word, "%.95s", out);
    }
    free(was.token);
    return paste(&w, NULL);
}

static int by_alphabet(const void *a, const void *b) {
    return strcmp(a, b);
}

void rewrite_back(char *name, unsigned size, int renamed) {
    char part[16][96], joint[16] = "";
    int parts = 0;
    for (const char *at = name; *at != '\0' && parts < 16; parts++) {
        const size_t length = strcspn(at, "/:+");
        snprintf(part[parts], sizeof part[parts], "%.*s", (int)length, at);
        if (renamed && strncmp(part[parts], "n-", 2) == 0 && length > 2) {
            memmove(part[parts], part[parts] + 2, length - 1);
            reverse(part[parts], part[parts] + length - 3);
        }
        joint[parts] = at[length];
        at += length + (at[length] != '\0');
    }
    if (parts > 1 && joint[0] == '+') {
        qsort(part, (size_t)parts, sizeof *part, by_alphabet);
    }
    name[0] = '\0';
    for (int k = 0; k < parts; k++) {
        const size_t at = strlen(name);
        snprintf(name + at, size - at, "%s%c", part[k], joint[k]);
    }
}

/* The keyword of each statement; to be freed. */
static const char **keywords_of(const words *w) {
    const char **const keyword = calloc((size_t)w->statements, sizeof *keyword);
    cr_assert_not_null(keyword);
    for (int i = w->count - 1; i >= 0; i--) {
        keyword[w->token[i].statement] = w->token[i].word;
    }
    return keyword;
}

/* Mixes the places of an order that hold such statements (NULL: all) among themselves. */
static void mix(int *order, const char **keyword, int from, int count, const char *which,
                unsigned long long *dice) {
    for (int k = from; k < count; k++) {
        const int other = k + (int)(random_unit(dice) * (count - k));
        if (which == NULL ||
            (strcmp(keyword[order[k]], which) == 0 && strcmp(keyword[order[other]], which) == 0)) {
            const int swapped = order[k];
            order[k] = order[other];
            order[other] = swapped;
        }
    }
}

/* Puts the statements of one kind back into their own order, in the places that they have. */
static void restore(int *order, const char **keyword, int count, const char *which) {
    for (int k = 0; k < count; k++) {
        for (int i = k + 1; i < count; i++) {
            if (strcmp(keyword[order[k]], which) == 0 && strcmp(keyword[order[i]], which) == 0 &&
                order[i] < order[k]) {
                const int swapped = order[k];
                order[k] = order[i];
                order[i] = swapped;
            }
        }
    }
}

char *rewrite_order(const char *netlist, unsigned long long seed) {
    words w;
    cut(&w, netlist);
    const char **const keyword = keywords_of(&w);
    int *const order = calloc((size_t)w.statements, sizeof *order);
    int lets = 0, place = 0;
    for (int first = 1; first >= 0; first--) {
        for (int k = 0; k < w.statements; k++) {
            if ((strcmp(keyword[k], "let") == 0) == first) {
                order[place++] = k;
                lets += first;
            }
        }
    }
    mix(order, keyword, lets, w.statements, NULL, &seed);
    restore(order, keyword, w.statements, "state");
    restore(order, keyword, w.statements, "corner");
    char *const pasted = paste(&w, order);
    free(keyword);
    free(order);
    return pasted;
}

char *rewrite_corners(const char *netlist, unsigned long long seed) {
    words w;
    cut(&w, netlist);
    const char **const keyword = keywords_of(&w);
    int *const order = calloc((size_t)w.statements, sizeof *order);
    for (int k = 0; k < w.statements; k++) {
        order[k] = k;
    }
    for (int times = 0; times < 9; times++) {
        mix(order, keyword, 0, w.statements, "corner", &seed);
    }
    char *const pasted = paste(&w, order);
    free(keyword);
    free(order);
    return pasted;
}

/* The number at or behind `i` changes its sign; the place behind it and its unit. */
static int negate(words *w, int i) {
    double value = 0.0;
    const char *rest = NULL;
    cr_assert(number(&w->token[i], &value, &rest), "%s", w->token[i].word);
    char unit[48];
    snprintf(unit, sizeof unit, "%s", rest);
    write_number(&w->token[i], -value, unit);
    return i + (unit[0] != '\0' ? 1 : 2);
}

char *rewrite_mirrored(const char *netlist) {
    words w;
    cut(&w, netlist);
    for (int i = 0; i + 1 < w.count; i++) {
        const token *const keyword = keyword_of(&w, i);
        const bool place = (is(&w.token[i], "at") && is(keyword, "corner") &&
                            i == after(&w, i, "at") - 1 && &w.token[i] == keyword + 2) ||
                           (is(&w.token[i], "seat") && is(keyword, "vehicle"));
        if (place) {
            negate(&w, negate(&w, i + 1)); /* the one across */
            negate(&w, i + 1);             /* the one along, back again */
        } else if (is(&w.token[i], "lateral") && is(keyword, "event")) {
            negate(&w, i + 1);
        }
    }
    return paste(&w, NULL);
}

char *rewrite_nudged(const char *netlist) {
    words w;
    cut(&w, netlist);
    for (int i = 0; i + 1 < w.count; i++) {
        double value = 0.0;
        const char *rest = NULL;
        if (is(&w.token[i], "height") && is(keyword_of(&w, i), "spring") &&
            number(&w.token[i + 1], &value, &rest)) {
            char unit[48];
            snprintf(unit, sizeof unit, "%s", rest);
            write_number(&w.token[i + 1], value * (1.0 + 1e-6), unit);
        }
    }
    return paste(&w, NULL);
}

/* A quantity of a statement in SI, where its number and its unit stand; 0 where it has none. */
static double read_quantity(const words *w, int from, const char *attribute, int *place) {
    const int i = after(w, from, attribute);
    double value = 0.0;
    const char *rest = NULL;
    *place = i;
    if (i < 0) {
        return 0.0;
    }
    cr_assert(number(&w->token[i], &value, &rest), "%s", w->token[i].word);
    const baronet_unit *const unit = unit_of(rest[0] != '\0' ? rest : w->token[i + 1].word);
    return unit != NULL ? value * unit->factor + unit->offset : value;
}

/* A statement as it is, but for some of its words; "" for one that is left out with its unit. */
typedef struct change {
    int place;
    const char *words;
} change;

static void add_statement(text_buffer *out, const words *w, int from, int changes,
                          const change *changed) {
    bool unit_follows = false;
    for (int i = from; i < w->count && w->token[i].statement == w->token[from].statement; i++) {
        const char *written = w->token[i].word;
        bool replaced = false;
        for (int k = 0; k < changes; k++) {
            replaced |= changed[k].place == i;
            written = changed[k].place == i ? changed[k].words : written;
        }
        const bool skipped = unit_follows && !replaced && unit_of(written) != NULL;
        double value = 0.0;
        const char *rest = NULL;
        unit_follows = replaced && number(&w->token[i], &value, &rest) && rest[0] == '\0';
        if (!skipped) {
            text_buffer_add(out, i == from ? "" : w->token[i].begins ? "\n  " : " ");
            text_buffer_add(out, written);
        }
    }
}

static char *in_words(char *out, size_t size, double value, const char *unit) {
    text_buffer b = {0};
    text_buffer_number(&b, value, DIGITS);
    snprintf(out, size, "%s%s", b.bytes, unit);
    text_buffer_free(&b);
    return out;
}

static void split_hose(text_buffer *out, const words *w, int i, bool split) {
    int length_at, fittings_at;
    char length[64], fittings[64], name[128], middle[128];
    const double l = read_quantity(w, i, "length", &length_at);
    const double f = read_quantity(w, i, "fittings", &fittings_at);
    in_words(length, sizeof length, split ? 0.5 * l : l, " m");
    in_words(fittings, sizeof fittings, split ? 0.5 * f : f + 1.5, "");
    snprintf(name, sizeof name, "%s-b", w->token[i + 1].word);
    snprintf(middle, sizeof middle, "%s-m", w->token[i + 1].word);
    change changed[] = {{length_at, length}, {fittings_at, fittings}, {-1, NULL}, {-1, NULL}};
    for (int half = 0; half <= split; half++) {
        if (split) {
            changed[2] = half == 0 ? (change){after(w, i, "to"), middle} : (change){i + 1, name};
            changed[3] = half == 0 ? (change){-1, NULL} : (change){after(w, i, "from"), middle};
        }
        add_statement(out, w, i, 4, changed);
        if (fittings_at < 0) {
            text_buffer_format(out, " fittings %s", fittings);
        }
        text_buffer_add(out, "\n");
    }
    if (split) {
        text_buffer_format(out, "tee %s\n", middle);
    }
}

static void split_tank(text_buffer *out, const words *w, int i) {
    int at;
    char near[64], far[64], name[128];
    const double v = read_quantity(w, i, "volume", &at);
    in_words(near, sizeof near, 0.37 * v, " m3");
    in_words(far, sizeof far, 0.63 * v, " m3");
    snprintf(name, sizeof name, "%s-b", w->token[i + 1].word);
    const change first[] = {{at, near}}, second[] = {{at, far}, {i + 1, name}};
    add_statement(out, w, i, 1, first);
    text_buffer_add(out, "\n");
    add_statement(out, w, i, 2, second);
    text_buffer_format(out, "\nrestrictor %s-w from %s to %s bore 90 mm cd 1\n", name,
                       w->token[i + 1].word, name);
}

/* Each statement goes through `rewrite`, or stays as it is where that says false. */
static char *each_statement(const char *netlist,
                            bool (*rewrite)(text_buffer *out, const words *w, int from, int how),
                            int how) {
    words w;
    cut(&w, netlist);
    text_buffer out = {0};
    for (int i = 0; i < w.count; i++) {
        const bool first = keyword_of(&w, i) == &w.token[i];
        if (first && !rewrite(&out, &w, i, how)) {
            add_statement(&out, &w, i, 0, NULL);
            text_buffer_add(&out, "\n");
        }
    }
    cr_assert(!out.failed && out.bytes != NULL);
    free(w.token);
    return out.bytes;
}

static bool hose(text_buffer *out, const words *w, int from, int how) {
    const bool found = is(&w->token[from], "hose");
    if (found) {
        split_hose(out, w, from, how != 0);
    }
    return found;
}

char *rewrite_hoses(const char *netlist, int split) {
    return each_statement(netlist, hose, split);
}

static bool tank(text_buffer *out, const words *w, int from, int how) {
    (void)how;
    const bool found = is(&w->token[from], "tank");
    if (found) {
        split_tank(out, w, from);
    }
    return found;
}

char *rewrite_tanks(const char *netlist) {
    return each_statement(netlist, tank, 0);
}

/* A solenoid that is shut at rest, that nothing passes then and that no state opens. */
static bool never_open(const words *w, int from) {
    bool opened =
        after(w, from, "bypass") >= 0 || !is(&w->token[after(w, from, "normally")], "closed");
    for (int i = 0; i < w->count; i++) {
        if (is(&w->token[i], w->token[from + 1].word) && is(keyword_of(w, i), "state")) {
            int k = i;
            while (!is(&w->token[k], "open") && !is(&w->token[k], "shut")) {
                k--;
            }
            opened |= is(&w->token[k], "open");
        }
    }
    return !opened;
}

/* The solenoid of that name that is never open; false for all others. */
static bool is_idle(const words *w, const token *name) {
    for (int i = 0; i + 1 < w->count; i++) {
        if (is(&w->token[i], "solenoid") && is(&w->token[i + 1], name->word)) {
            return never_open(w, i);
        }
    }
    return false;
}

/* A state without them; `open` or `shut` without any name is left out too. */
static void add_state(text_buffer *out, const words *w, int from) {
    const char *list = "";
    text_buffer_format(out, "state %s", w->token[from + 1].word);
    for (int i = from + 2; i < w->count && w->token[i].statement == w->token[from].statement; i++) {
        const token *const t = &w->token[i];
        if (is(t, "open") || is(t, "shut")) {
            list = t->word;
        } else if (!is_idle(w, t)) {
            text_buffer_format(out, "%s%s %s", list[0] != '\0' ? " " : "", list, t->word);
            list = "";
        }
    }
    text_buffer_add(out, "\n");
}

static bool shut(text_buffer *out, const words *w, int from, int how) {
    const token *const keyword = &w->token[from];
    if (is(keyword, "state") && how != 0) {
        add_state(out, w, from);
        return true;
    }
    return is(keyword, "event") || (how != 0 && is(keyword, "solenoid") && never_open(w, from));
}

char *rewrite_shut(const char *netlist, int without) {
    return each_statement(netlist, shut, without);
}

static bool relief(text_buffer *out, const words *w, int from, int how) {
    (void)how;
    if (is(&w->token[from], "tank")) {
        text_buffer_format(out, "relief %s-off from %s set 900 bar bore 3 mm\n",
                           w->token[from + 1].word, w->token[from + 1].word);
    }
    return false;
}

char *rewrite_reliefs(const char *netlist) {
    return each_statement(netlist, relief, 0);
}
