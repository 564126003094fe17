#include "cli/options.h"

#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "cli/hint.h"
#include "cli/lines.h"

static const option table[OPTIONS] = {
    [OPTION_STATE] = {"--state", "NAME", "one valve state; every state where not given"},
    [OPTION_CASE] = {"--case", "NAME", "with the masses of this load case"},
    [OPTION_UNITS] = {"--units", "metric|imperial|si", "units of what is printed (metric)"},
    [OPTION_AS] = {"--as", "text|csv|json|xml|svg|html",
                   "format (text; report: html, draw: svg); svg where there are pictures"},
    [OPTION_OUT] = {"--out", "FILE", "write there; whole or not at all"},
    [OPTION_ALL] = {"--all", NULL, "every combination of up to 12 solenoids"},
    [OPTION_MOTION] = {"--motion", "NAME", "heave, roll, pitch, warp, one-wheel:RL, ..."},
    [OPTION_LEVEL] = {"--level", "instant|settled|parked", "which air moves along (settled)"},
    [OPTION_POINTS] = {"--points", "N", "rows of each curve, 3 to 100000"},
    [OPTION_SWING] = {"--swing", "10mm@1Hz", "swing at the wheel that moves most (10mm@1Hz)"},
    [OPTION_BEND] = {"--bend", "3s", "how long a bend lasts (3s)"},
    [OPTION_FROM] = {"--from", "0.01Hz", "lowest frequency (0.01Hz)"},
    [OPTION_TO] = {"--to", "50Hz", "highest frequency (50Hz)"},
    [OPTION_ROAD] = {"--road", NULL, "as csv: the body's answer to the road"},
    [OPTION_ROAD_CLASS] = {"--road-class", "A|B|C|D|E|F|G|H", "road by ISO 8608 (C)"},
    [OPTION_SPEED] = {"--speed", "80km/h", "speed on that road (80km/h)"},
    [OPTION_EVENT] = {"--event", "NAME", "one event; every event where not given"},
    [OPTION_PLOT] = {"--plot", "[NAME.]QUANTITY",
                     "draw it, by its name in the first line of --as csv"},
    [OPTION_DROP] = {"--drop", "25mm", "how far a corner may go down (25mm)"},
    [OPTION_CHANGE] = {"--change", "NAME.ATTRIBUTE=LOW..HIGH",
                       "what may change; again for more. A list 4mm,6mm or +-5% in place of the "
                       "bounds; names joined by + change together"},
    [OPTION_FROM_LIST] = {"--from-list", "4mm,6mm,8mm", "the last --change is one of these"},
    [OPTION_OF] = {"--of", "'FIGURE'",
                   "such as 'ride_frequency of RL ride in easy'; again for more"},
    [OPTION_WANT] = {"--want", "'FIGURE = VALUE'",
                     "or above, below, highest, lowest; again for more"},
    [OPTION_BY_RATIO] = {"--by-ratio", NULL, "steps of equal ratio, not of equal difference"},
    [OPTION_SHARE] = {"--share", "3/16", "as csv: the third of sixteen shares of the rows"},
    [OPTION_RUNS] = {"--runs", "N", "how many vehicles are drawn (1000)"},
    [OPTION_SEED] = {"--seed", "N", "another number draws other vehicles (0)"},
    [OPTION_WORKERS] = {"--workers", "N", "processors that work at once (all)"},
    [OPTION_WRITE] = {"--write", "FILE", "the netlist with the sizes found, comments kept"},
    [OPTION_REPLACE] = {"--replace", NULL, "--write may take the place of the netlist itself"},
    [OPTION_SHOW] = {"--show", "bores|pressures|bores,pressures",
                     "sizes or pressures beside the names"},
    [OPTION_HELP] = {"--help", NULL, "this help"},
};

const option *option_at(option_index index) {
    return &table[index];
}

static bool complain(const char *command_name, const char *what, const char *about) {
    fprintf(stderr, "baronet %s: %s `%s`; `baronet %s --help` lists what fits\n", command_name,
            what, about, command_name);
    return false;
}

enum { HEAD_COLUMNS = 31 }; /* an option with its argument, before its meaning */

void option_print(FILE *to, option_index index) {
    const option *o = &table[index];
    char head[64];
    snprintf(head, sizeof head, "%s %s", o->name, o->argument != NULL ? o->argument : "");
    const bool fits = strlen(head) <= HEAD_COLUMNS;
    fprintf(to, "  %-*s%s", fits ? HEAD_COLUMNS : 0, head, fits ? " " : "\n");
    fprintf(to, "%*s", fits ? 0 : HEAD_COLUMNS + 3, "");
    lines_print(to, HEAD_COLUMNS + 3, o->help);
}

static int find_option(const char *word, size_t length, option_bits allowed) {
    for (int k = 0; k < OPTIONS; k++) {
        if ((allowed & OPTION_BIT(k)) != 0 && strlen(table[k].name) == length &&
            memcmp(table[k].name, word, length) == 0) {
            return k;
        }
    }
    return -1;
}

static void unknown_option(const char *command_name, const char *word, size_t length,
                           option_bits allowed) {
    char name[64];
    snprintf(name, sizeof name, "%.*s", (int)(length < sizeof name ? length : sizeof name), word);
    fprintf(stderr, "baronet %s: there is no option `%s` here\n", command_name, name);
    hint h = hint_begin(name, "options:");
    for (int k = 0; k < OPTIONS; k++) {
        if ((allowed & OPTION_BIT(k)) != 0) {
            hint_offer(&h, table[k].name);
        }
    }
    hint_say(&h);
}

/* How a value becomes a setting, and which. */
typedef struct rule {
    bool (*set)(settings *s, option_index k, const char *value);
    size_t place; /* in the settings */
    double least, most;
    baronet_dimension dimension; /* of a quantity */
} rule;

static const rule rules[OPTIONS];

static void *place_of(settings *s, option_index k) {
    return (char *)s + rules[k].place;
}

/* Place of a value among the choices that an option's argument lists, as in `text|csv`; -1. */
static int choice_of(option_index index, const char *value) {
    const char *choice = table[index].argument;
    for (int k = 0; *choice != '\0'; k++) {
        const size_t length = strcspn(choice, "|");
        if (strlen(value) == length && memcmp(choice, value, length) == 0) {
            return k;
        }
        choice += length + (choice[length] == '|');
    }
    return -1;
}

static bool set_flag(settings *s, option_index k, const char *value) {
    (void)value;
    *(bool *)place_of(s, k) = true;
    return true;
}

static bool set_word(settings *s, option_index k, const char *value) {
    *(const char **)place_of(s, k) = value;
    return true;
}

static bool set_choice(settings *s, option_index k, const char *value) {
    *(const char **)place_of(s, k) = value;
    return choice_of(k, value) >= 0;
}

/* The systems stand in the order of the enumeration. */
static bool set_units(settings *s, option_index k, const char *value) {
    const int choice = choice_of(k, value);
    s->question.units = choice >= 0 ? (baronet_unit_system)choice : BARONET_METRIC;
    return choice >= 0;
}

static bool set_format(settings *s, option_index k, const char *value) {
    s->format = baronet_format_find(value);
    return choice_of(k, value) >= 0;
}

/* A positive quantity of one dimension with its unit, such as 10mm; ends at `end`. */
static bool read_quantity(const char *start, const char *end, baronet_dimension dimension,
                          double *value) {
    double number = 0.0;
    const size_t used = text_read_number(start, end, &number);
    const baronet_unit *unit = baronet_unit_find(start + used, (size_t)(end - start) - used);
    if (used == 0 || unit == NULL || unit->dimension != dimension) {
        return false;
    }
    *value = number * unit->factor + unit->offset;
    return *value > 0.0 && *value < 1e9;
}

static bool read_whole(const char *words, baronet_dimension dimension, double *value) {
    return read_quantity(words, words + strlen(words), dimension, value);
}

static bool set_quantity(settings *s, option_index k, const char *value) {
    return read_whole(value, rules[k].dimension, place_of(s, k));
}

/* `10mm@1Hz`, or the amplitude alone. */
static bool set_swing(settings *s, option_index k, const char *value) {
    const char *at = strchr(value, '@');
    const char *end = at != NULL ? at : value + strlen(value);
    return read_quantity(value, end, rules[k].dimension, &s->question.swing_amplitude) &&
           (at == NULL || read_whole(at + 1, BARONET_FREQUENCY, &s->question.swing_frequency));
}

/* A whole number from `least` to `most`. */
static bool read_count(const char *words, double least, double most, long *out) {
    char *end = NULL;
    *out = strtol(words, &end, 10);
    return *words >= '0' && *words <= '9' && *end == '\0' && (double)*out >= least &&
           (double)*out <= most;
}

static bool set_long(settings *s, option_index k, const char *value) {
    return read_count(value, rules[k].least, rules[k].most, place_of(s, k));
}

static bool set_int(settings *s, option_index k, const char *value) {
    long number = 0;
    const bool fine = read_count(value, rules[k].least, rules[k].most, &number);
    *(int *)place_of(s, k) = fine ? (int)number : 0;
    return fine;
}

static bool set_seed(settings *s, option_index k, const char *value) {
    long number = 0;
    const bool fine = read_count(value, rules[k].least, rules[k].most, &number);
    s->question.seed = fine ? (unsigned long long)number : 0;
    return fine;
}

/* `3/16` */
static bool set_share(settings *s, option_index k, const char *value) {
    long share = 0, shares = 0;
    char first[16];
    const char *slash = strchr(value, '/');
    const size_t length = slash != NULL ? (size_t)(slash - value) : sizeof first;
    if (length >= sizeof first) {
        return false;
    }
    memcpy(first, value, length);
    first[length] = '\0';
    const bool fine = read_count(slash + 1, rules[k].least, rules[k].most, &shares) &&
                      read_count(first, 1.0, (double)shares, &share);
    s->question.share = (int)share;
    s->question.shares = (int)shares;
    return fine;
}

static bool add_change(settings *s, option_index k, const char *value) {
    (void)k;
    if (s->question.changes == OPTIONS_CHANGES) {
        return false;
    }
    s->change[s->question.changes++] = (baronet_change){value, NULL};
    s->question.change = s->change;
    return true;
}

/* A list belongs to the change before it. */
static bool set_list(settings *s, option_index k, const char *value) {
    (void)k;
    if (s->question.changes == 0) {
        return false;
    }
    s->change[s->question.changes - 1].list = value;
    return true;
}

static bool add_wish(settings *s, option_index k, const char *value) {
    (void)k;
    if (s->question.wishes == OPTIONS_CHANGES) {
        return false;
    }
    s->wish[s->question.wishes++] = value;
    s->question.wish = s->wish;
    return true;
}

#define AT(member) .place = offsetof(settings, member)
static const rule rules[OPTIONS] = {
    [OPTION_STATE] = {set_word, AT(question.state)},
    [OPTION_CASE] = {set_word, AT(question.load_case)},
    [OPTION_UNITS] = {.set = set_units},
    [OPTION_AS] = {.set = set_format},
    [OPTION_OUT] = {set_word, AT(out)},
    [OPTION_ALL] = {set_flag, AT(question.all)},
    [OPTION_MOTION] = {set_word, AT(question.motion)},
    [OPTION_LEVEL] = {set_choice, AT(question.level)},
    [OPTION_POINTS] = {set_int, AT(question.points), .least = 3, .most = 100000},
    [OPTION_SWING] = {set_swing, .dimension = BARONET_LENGTH},
    [OPTION_BEND] = {set_quantity, AT(question.bend), .dimension = BARONET_TIME},
    [OPTION_FROM] = {set_quantity, AT(question.from), .dimension = BARONET_FREQUENCY},
    [OPTION_TO] = {set_quantity, AT(question.to), .dimension = BARONET_FREQUENCY},
    [OPTION_ROAD] = {set_flag, AT(question.road)},
    [OPTION_ROAD_CLASS] = {set_choice, AT(question.road_class)},
    [OPTION_SPEED] = {set_quantity, AT(question.speed), .dimension = BARONET_SPEED},
    [OPTION_EVENT] = {set_word, AT(question.event)},
    [OPTION_PLOT] = {set_word, AT(question.plot)},
    [OPTION_DROP] = {set_quantity, AT(question.drop), .dimension = BARONET_LENGTH},
    [OPTION_CHANGE] = {.set = add_change},
    [OPTION_FROM_LIST] = {.set = set_list},
    [OPTION_OF] = {.set = add_wish},
    [OPTION_WANT] = {.set = add_wish},
    [OPTION_BY_RATIO] = {set_flag, AT(question.by_ratio)},
    [OPTION_SHARE] = {set_share, .least = 1, .most = OPTIONS_SHARES},
    [OPTION_RUNS] = {set_long, AT(question.runs), .least = 20, .most = OPTIONS_RUNS},
    [OPTION_SEED] = {set_seed, .least = 0, .most = 2000000000},
    [OPTION_WORKERS] = {set_int, AT(question.workers), .least = 1, .most = 1024},
    [OPTION_WRITE] = {set_word, AT(write)},
    [OPTION_REPLACE] = {set_flag, AT(replace)},
    [OPTION_SHOW] = {set_choice, AT(question.show)},
    [OPTION_HELP] = {set_flag, AT(help)},
};

/* A number alone where a quantity is wanted. */
static bool is_without_unit(option_index k, const char *value) {
    double number = 0.0;
    const char *end = value + strcspn(value, "@");
    return rules[k].dimension != BARONET_NUMBER && end > value &&
           text_read_number(value, end, &number) == (size_t)(end - value);
}

/* A value that does not fit, what would, and the option's line of the help. */
static void refuse(const char *command_name, option_index k, const char *value) {
    fprintf(stderr, "baronet %s: %s cannot be `%s`", command_name, table[k].name, value);
    if (is_without_unit(k, value)) {
        fputs(": its unit is missing", stderr);
    } else if (rules[k].set == add_change || rules[k].set == add_wish) {
        fprintf(stderr, ": there are %d already", OPTIONS_CHANGES);
    } else if (rules[k].set == set_list) {
        fputs(": it belongs to the --change before it", stderr);
    } else if (rules[k].most > 0.0 && rules[k].set != set_share) {
        fprintf(stderr, ": a whole number from %.0f to %.0f is wanted", rules[k].least,
                rules[k].most);
    }
    fputc('\n', stderr);
    option_print(stderr, k);
}

/* One option at arguments[at], as `--name value` or `--name=value`; returns how many arguments it
   took, 0 where it is wrong. */
static int read_option(settings *s, const char *command_name, option_bits allowed, int count,
                       char *const *arguments, int at) {
    const char *word = arguments[at];
    const size_t length = strcspn(word, "=");
    const int k = find_option(word, length, allowed);
    if (k < 0) {
        unknown_option(command_name, word, length, allowed);
        return 0;
    }
    const char *value = word[length] == '=' ? word + length + 1 : NULL;
    int taken = 1;
    if (table[k].argument == NULL && value != NULL) {
        complain(command_name, "no value follows", table[k].name);
        return 0;
    }
    if (table[k].argument != NULL && value == NULL) {
        if (at + 1 == count) {
            complain(command_name, "a value is wanted after", word);
            return 0;
        }
        value = arguments[at + 1];
        taken = 2;
    }
    value = value != NULL ? value : "";
    if (!rules[k].set(s, (option_index)k, value)) {
        refuse(command_name, (option_index)k, value);
        return 0;
    }
    return taken;
}

bool options_read(settings *out, const char *command_name, option_bits allowed, int count,
                  char *const *arguments) {
    *out = (settings){.format = out->format};
    int at = 0;
    while (at < count) {
        const char *word = arguments[at];
        if (word[0] == '-' && word[1] != '\0') {
            const int taken = read_option(out, command_name, allowed, count, arguments, at);
            if (taken == 0) {
                return false;
            }
            at += taken;
        } else if (out->file != NULL) {
            return complain(command_name, "one file at a time, not also", word);
        } else {
            out->file = word;
            at++;
        }
    }
    if (out->file == NULL && !out->help) {
        fprintf(stderr, "baronet %s: which netlist? Give a file, or - for standard input\n",
                command_name);
        return false;
    }
    if (out->format == BARONET_SVG &&
        (allowed & (OPTION_BIT(OPTION_PLOT) | OPTION_BIT(OPTION_SHOW))) == 0) {
        return complain(command_name, "there is nothing to draw for", "--as svg");
    }
    if (out->question.shares > 0 && out->format != BARONET_CSV && !out->help) {
        return complain(command_name, "shares are rows of a table: add --as csv to", "--share");
    }
    if (out->question.all && out->question.state != NULL) {
        return complain(command_name, "--all is every state, not only", out->question.state);
    }
    return true;
}
