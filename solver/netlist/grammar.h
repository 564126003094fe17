/* grammar.h: every keyword and attribute of the format in one table. The parser, its messages, its
   suggestions, completions and the documentation's tests all read it, so that they cannot disagree.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_GRAMMAR_H
#define NETLIST_GRAMMAR_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"
#include "baronet/units.h"

typedef enum keyword {
    KEYWORD_ABOUT,
    KEYWORD_AMBIENT,
    KEYWORD_GAS,
    KEYWORD_VEHICLE,
    KEYWORD_CORNER,
    KEYWORD_BAR,
    KEYWORD_PROFILE,
    KEYWORD_SPRING,
    KEYWORD_TANK,
    KEYWORD_TEE,
    KEYWORD_HOSE,
    KEYWORD_RESTRICTOR,
    KEYWORD_SOLENOID,
    KEYWORD_CHECK_VALVE,
    KEYWORD_REGULATOR,
    KEYWORD_RELIEF,
    KEYWORD_COMPRESSOR,
    KEYWORD_SUPPLY,
    KEYWORD_STATE,
    KEYWORD_MOTION,
    KEYWORD_CASE,
    KEYWORD_CHARGE,
    KEYWORD_EVENT,
    KEYWORD_REQUIRE,
    KEYWORD_LET,
    KEYWORD_INCLUDE,
    KEYWORDS
} keyword;

/* The words of all attributes; one word may belong to several keywords. WORD_NONE stands for what
   follows the keyword or the name directly, without a word of its own. */
#define GRAMMAR_WORDS(X)                                                                           \
    X(WORD_NONE, "")                                                                               \
    X(WORD_ADIABATIC, "adiabatic")                                                                 \
    X(WORD_ALTITUDE, "altitude")                                                                   \
    X(WORD_AREA, "area")                                                                           \
    X(WORD_AT, "at")                                                                               \
    X(WORD_AXLE, "axle")                                                                           \
    X(WORD_BETWEEN, "between")                                                                     \
    X(WORD_BORE, "bore")                                                                           \
    X(WORD_BRAKING, "braking")                                                                     \
    X(WORD_BUMP, "bump")                                                                           \
    X(WORD_BUMP_STOP, "bump-stop")                                                                 \
    X(WORD_BURST, "burst")                                                                         \
    X(WORD_BYPASS, "bypass")                                                                       \
    X(WORD_CARRIES, "carries")                                                                     \
    X(WORD_CD, "cd")                                                                               \
    X(WORD_CG_HEIGHT, "cg-height")                                                                 \
    X(WORD_COIL, "coil")                                                                           \
    X(WORD_CRITICAL, "critical")                                                                   \
    X(WORD_CURRENT, "current")                                                                     \
    X(WORD_CV, "cv")                                                                               \
    X(WORD_DAMPER, "damper")                                                                       \
    X(WORD_EXPONENT, "exponent")                                                                   \
    X(WORD_FITTINGS, "fittings")                                                                   \
    X(WORD_FROM, "from")                                                                           \
    X(WORD_HEIGHT, "height")                                                                       \
    X(WORD_HOLD, "hold")                                                                           \
    X(WORD_IN, "in")                                                                               \
    X(WORD_ISOTHERMAL, "isothermal")                                                               \
    X(WORD_KV, "kv")                                                                               \
    X(WORD_LATERAL, "lateral")                                                                     \
    X(WORD_LENGTH, "length")                                                                       \
    X(WORD_LEVELLED, "levelled")                                                                   \
    X(WORD_LOAD, "load")                                                                           \
    X(WORD_NORMALLY, "normally")                                                                   \
    X(WORD_ON, "on")                                                                               \
    X(WORD_ONE_WAY, "one-way")                                                                     \
    X(WORD_OPEN, "open")                                                                           \
    X(WORD_OPENS_ABOVE, "opens-above")                                                             \
    X(WORD_OPENS_AT, "opens-at")                                                                   \
    X(WORD_PITCH_INERTIA, "pitch-inertia")                                                         \
    X(WORD_PRESSURE, "pressure")                                                                   \
    X(WORD_PROFILE, "profile")                                                                     \
    X(WORD_RATED, "rated")                                                                         \
    X(WORD_REBOUND_STOP, "rebound-stop")                                                           \
    X(WORD_ROAD_CLASS, "road-class")                                                               \
    X(WORD_ROLL, "roll")                                                                           \
    X(WORD_ROLL_AXIS, "roll-axis")                                                                 \
    X(WORD_ROLL_INERTIA, "roll-inertia")                                                           \
    X(WORD_ROUGHNESS, "roughness")                                                                 \
    X(WORD_RUBBER, "rubber")                                                                       \
    X(WORD_SEAT, "seat")                                                                           \
    X(WORD_SET, "set")                                                                             \
    X(WORD_SHUT, "shut")                                                                           \
    X(WORD_SONIC, "sonic")                                                                         \
    X(WORD_SPEED, "speed")                                                                         \
    X(WORD_STATE, "state")                                                                         \
    X(WORD_STEP, "step")                                                                           \
    X(WORD_SUPPLY, "supply")                                                                       \
    X(WORD_TEMPERATURE, "temperature")                                                             \
    X(WORD_THERMAL, "thermal")                                                                     \
    X(WORD_TO, "to")                                                                               \
    X(WORD_TYRE, "tyre")                                                                           \
    X(WORD_UNLEVELLED, "unlevelled")                                                               \
    X(WORD_UNSPRUNG, "unsprung")                                                                   \
    X(WORD_UNTIL, "until")                                                                         \
    X(WORD_VOLTS, "volts")                                                                         \
    X(WORD_VOLUME, "volume")                                                                       \
    X(WORD_WHEN, "when")                                                                           \
    X(WORD_XT, "xt")

typedef enum word {
#define GRAMMAR_WORD_ENUM(name, text) name,
    GRAMMAR_WORDS(GRAMMAR_WORD_ENUM)
#undef GRAMMAR_WORD_ENUM
        WORDS
} word;

/* What a value may be, in SI units. */
typedef enum range {
    RANGE_ANY,
    RANGE_POSITIVE,
    RANGE_NOT_NEGATIVE,
    RANGE_SHARE,       /* above 0, up to 1 */
    RANGE_BELOW_ONE,   /* 0 up to, not with, 1 */
    RANGE_EXPONENT,    /* 1 to 2 */
    RANGE_ALTITUDE,    /* that of the standard atmosphere's lowest layer */
    RANGE_TEMPERATURE, /* above absolute zero */
    RANGES
} range;

/* What a name has to stand for. */
typedef enum want {
    WANT_CORNER,
    WANT_LOADED, /* a corner, or a bench spring, which stands on a corner of its own */
    WANT_PROFILE,
    WANT_SPRING,
    WANT_NODE, /* what a path may end at */
    WANT_AIR,  /* a node, or the air inside a hose */
    WANT_EDGE, /* a path */
    WANT_SOLENOID,
    WANT_SUPPLY,
    WANT_STATE,
    WANT_MOTION,
    WANT_CASE,
    WANTS
} want;

/* How a pressure may be written. */
typedef enum pressure_datum {
    DATUM_FREE,       /* gauge unless its unit says absolute */
    DATUM_DIFFERENCE, /* neither: a difference */
    DATUM_ABSOLUTE    /* always absolute */
} pressure_datum;

typedef enum slot_kind {
    SLOT_END,      /* no more */
    SLOT_QUANTITY, /* a number with a unit of its dimension, or a name that `let` gave to one */
    SLOT_WEIGHT,   /* a force, or a mass that is weighed */
    SLOT_ANY,      /* a quantity of any dimension */
    SLOT_NAME,     /* the name of what the slot wants */
    SLOT_NAMES,    /* one such name or more */
    SLOT_LABEL,    /* a name outside the namespace */
    SLOT_TEXT,     /* "quoted" */
    SLOT_WORD,     /* this very word, which is not kept as a value */
    SLOT_OPTION,   /* the same, but the pattern may end before it */
    SLOT_CHOICE,   /* one of the words in `text`, parted by spaces; its number is the value's */
    SLOT_LEVERS,   /* a corner, with `ratio` and a number or not; or corners, each with a number */
    SLOT_SHARES,   /* pairs of a name and a quantity */
    SLOT_LAW,      /* a bore, or a flow law with its words */
    SLOT_WISH      /* a figure and what is asked of it; read when all names are known */
} slot_kind;

typedef struct slot {
    slot_kind kind;
    baronet_dimension dimension;
    range range;
    pressure_datum datum;
    want want;
    const char *text;
} slot;

#define GRAMMAR_SLOTS 6 /* most in one pattern, its end included */

typedef struct grammar_attribute {
    word word;
    slot slot[GRAMMAR_SLOTS];
    bool required;
    bool repeats;        /* may stand more than once: part of a script */
    const char *example; /* its values, "" for none */
    const char *doc;     /* one sentence without a stop */
} grammar_attribute;

/* A column of a table under a statement. */
typedef struct grammar_column {
    const char *name;
    baronet_dimension dimension;
    range range;
    bool required;
    bool tested; /* the name goes on with a test pressure: `load-3bar` */
    const char *doc;
} grammar_column;

typedef struct grammar_keyword {
    const char *name;
    const char *noun; /* as in messages: "a tank" */
    bool named;       /* has a name, which joins the namespace */
    bool once;        /* may stand only once in a netlist */
    bool node, edge;  /* holds air; is a path */
    size_t attributes;
    const grammar_attribute *attribute;
    size_t columns;
    const grammar_column *column;
    const char *example;
    const char *doc;
} grammar_keyword;

const grammar_keyword *grammar_at(keyword k);

/* The keyword of that text, or KEYWORDS. */
keyword grammar_find(text t);

/* The keyword's attribute of that text, or NULL; never one without a word. */
const grammar_attribute *grammar_attribute_find(const grammar_keyword *k, text t);

/* The keyword's attribute without a word, or NULL. */
const grammar_attribute *grammar_direct(const grammar_keyword *k);

const char *grammar_word(word w);

/* True where a word may be a name: a letter, then letters, digits, `_` and `-`. */
bool grammar_is_name(text t);

/* Flow laws that a path may take, as `bypass` nests them. */
typedef struct grammar_law {
    word word;
    slot slot;
    word detail; /* a word that may follow, with its number */
    bool detail_required;
    range detail_range;
} grammar_law;

#define GRAMMAR_LAWS 4 /* bore, sonic, kv, cv */
const grammar_law *grammar_law_at(size_t index);

typedef struct grammar_range {
    double low, high;
    bool low_in, high_in;
    const char *words; /* "is to be ..." */
} grammar_range;

const grammar_range *grammar_range_at(range r);

typedef struct grammar_want {
    const char *noun;       /* "a corner is wanted here" */
    const char *single;     /* "there is no corner `RX`" */
    const char *plural;     /* "corners: RL RR" */
    unsigned long keywords; /* bits 1 << keyword */
} grammar_want;

const grammar_want *grammar_want_at(want w);

#endif
