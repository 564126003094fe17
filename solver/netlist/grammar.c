/* SPDX-License-Identifier: MIT */
#include "netlist/grammar.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "model/atmosphere.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

#define QUANTITY(d, r)                                                                             \
    { SLOT_QUANTITY, BARONET_##d, RANGE_##r, DATUM_FREE, 0, NULL }
#define PRESSURE(r, datum)                                                                         \
    { SLOT_QUANTITY, BARONET_PRESSURE, RANGE_##r, DATUM_##datum, 0, NULL }
#define WEIGHT(r)                                                                                  \
    { SLOT_WEIGHT, BARONET_FORCE, RANGE_##r, DATUM_FREE, 0, NULL }
#define NAME(w)                                                                                    \
    { SLOT_NAME, BARONET_NUMBER, RANGE_ANY, DATUM_FREE, WANT_##w, NULL }
#define NAMES(w)                                                                                   \
    { SLOT_NAMES, BARONET_NUMBER, RANGE_ANY, DATUM_FREE, WANT_##w, NULL }
#define SHARES(w, d)                                                                               \
    { SLOT_SHARES, BARONET_##d, RANGE_ANY, DATUM_FREE, WANT_##w, NULL }
#define TEXTUAL(kind, text)                                                                        \
    { SLOT_##kind, BARONET_NUMBER, RANGE_ANY, DATUM_FREE, 0, text }
#define OTHER(kind) TEXTUAL(kind, NULL)

/* {word, pattern, required, repeats, example, doc} */
#define MUST(w, e, d, ...)                                                                         \
    { WORD_##w, {__VA_ARGS__}, true, false, e, d }
#define MAY(w, e, d, ...)                                                                          \
    { WORD_##w, {__VA_ARGS__}, false, false, e, d }
#define SCRIPT(w, e, d, ...)                                                                       \
    { WORD_##w, {__VA_ARGS__}, false, true, e, d }

#define ENDS                                                                                       \
    MUST(FROM, "left-air", "what it starts at: a spring, tank, tee, supply or `atmosphere`",       \
         NAME(NODE)),                                                                              \
        MUST(TO, "left-tank", "what it ends at", NAME(NODE))

/* One of the first four, with what belongs to it. */
#define FLOW_LAW                                                                                   \
    MAY(BORE, "9 mm", "diameter of the narrowest place", QUANTITY(LENGTH, POSITIVE)),              \
        MAY(SONIC, "0.8 L/s.bar", "sonic conductance C of ISO 6358",                               \
            QUANTITY(SONIC_CONDUCTANCE, POSITIVE)),                                                \
        MAY(KV, "1.1 m3/h", "flow coefficient Kv of IEC 60534", QUANTITY(VOLUME_FLOW, POSITIVE)),  \
        MAY(CV, "1.3", "flow coefficient Cv, a bare number", QUANTITY(NUMBER, POSITIVE)),          \
        MAY(CD, "0.8", "discharge coefficient that goes with `bore`", QUANTITY(NUMBER, SHARE)),    \
        MAY(CRITICAL, "0.3", "critical pressure ratio b that goes with `sonic`",                   \
            QUANTITY(NUMBER, BELOW_ONE)),                                                          \
        MAY(XT, "0.7", "choked pressure ratio xT that goes with `kv` or `cv`",                     \
            QUANTITY(NUMBER, SHARE))

#define RATED MAY(RATED, "10 bar", "pressure that the part is rated for", PRESSURE(POSITIVE, FREE))

static const grammar_attribute about[] = {
    MUST(NONE, "\"Camper van, rear axle (invented)\"", "a line that says what this is",
         OTHER(TEXT)),
};

static const grammar_attribute ambient[] = {
    MAY(PRESSURE, "101.325 kPa", "pressure of the air outside, always absolute",
        PRESSURE(POSITIVE, ABSOLUTE)),
    MAY(TEMPERATURE, "20 C", "temperature of the air outside, and of the air in the system",
        QUANTITY(TEMPERATURE, TEMPERATURE)),
    MAY(ALTITUDE, "1200 m", "altitude, which sets the pressure, and the temperature unless given",
        QUANTITY(LENGTH, ALTITUDE)),
};

static const grammar_attribute gas[] = {
    MAY(ADIABATIC, "", "no heat passes the walls", OTHER(END)),
    MAY(ISOTHERMAL, "", "the air keeps its temperature", OTHER(END)),
    MAY(EXPONENT, "1.38", "a fixed exponent", QUANTITY(NUMBER, EXPONENT)),
    MAY(THERMAL, "6 s", "time constant of the heat exchange with the walls",
        QUANTITY(TIME, POSITIVE)),
};

static const grammar_attribute vehicle[] = {
    MAY(CG_HEIGHT, "0.85 m", "height of the centre of gravity above the ground",
        QUANTITY(LENGTH, POSITIVE)),
    MAY(ROLL_AXIS, "0.12 m", "height of the roll axis above the ground", QUANTITY(LENGTH, ANY)),
    MAY(ROLL_INERTIA, "900 kg.m2", "moment of inertia in roll about the centre of gravity",
        QUANTITY(INERTIA, POSITIVE)),
    MAY(PITCH_INERTIA, "4200 kg.m2", "moment of inertia in pitch about the centre of gravity",
        QUANTITY(INERTIA, POSITIVE)),
    MAY(SEAT, "0.4 m 0.35 m", "where the seat stands: forward, then to the left, of the same datum",
        QUANTITY(LENGTH, ANY), QUANTITY(LENGTH, ANY)),
    MAY(ROAD_CLASS, "C", "class of the road by ISO 8608, from A (smooth) to H",
        TEXTUAL(CHOICE, "A B C D E F G H")),
    MAY(SPEED, "80 km/h", "speed on that road", QUANTITY(SPEED, POSITIVE)),
};

static const grammar_attribute corner[] = {
    MUST(AT, "-1.62 m 0.81 m", "where the wheel stands: forward, then to the left, of any datum",
         QUANTITY(LENGTH, ANY), QUANTITY(LENGTH, ANY)),
    MAY(LOAD, "445 kg", "what a scale under the wheel shows", WEIGHT(POSITIVE)),
    MAY(AXLE, "rear", "name of the axle that it belongs to", OTHER(LABEL)),
    MAY(UNSPRUNG, "55 kg", "mass that moves with the wheel", QUANTITY(MASS, NOT_NEGATIVE)),
    MAY(TYRE, "260 N/mm", "stiffness of the tyre", QUANTITY(STIFFNESS, POSITIVE)),
    MAY(DAMPER, "2.1 kN.s/m", "damping at the wheel", QUANTITY(DAMPING, NOT_NEGATIVE)),
    MAY(COIL, "12 N/mm", "rate at the wheel of a steel spring beside the air",
        QUANTITY(STIFFNESS, NOT_NEGATIVE)),
    MAY(CARRIES, "80 kg", "what the coil holds of the load at the design height",
        WEIGHT(NOT_NEGATIVE)),
    MAY(BUMP_STOP, "at 70 mm rate 90 N/mm", "upward travel at which the stop is met, and its rate",
        TEXTUAL(WORD, "at"), QUANTITY(LENGTH, NOT_NEGATIVE), TEXTUAL(WORD, "rate"),
        QUANTITY(STIFFNESS, POSITIVE)),
    MAY(REBOUND_STOP, "at 85 mm rate 90 N/mm",
        "downward travel at which the stop is met, and its rate", TEXTUAL(WORD, "at"),
        QUANTITY(LENGTH, NOT_NEGATIVE), TEXTUAL(WORD, "rate"), QUANTITY(STIFFNESS, POSITIVE)),
};

static const grammar_attribute bar[] = {
    MUST(BETWEEN, "RL RR", "the two corners that it joins", NAME(CORNER), NAME(CORNER)),
    MUST(ROLL, "300 N.m/deg", "its stiffness in roll of the axle",
         QUANTITY(ANGULAR_STIFFNESS, POSITIVE)),
};

static const grammar_attribute profile[] = {
    MAY(AREA, "95 cm2", "effective area of a piston, the same at every height",
        QUANTITY(AREA, POSITIVE)),
    MAY(VOLUME, "1.9 L at 150 mm", "volume at one height, where no column gives it",
        QUANTITY(VOLUME, POSITIVE), TEXTUAL(WORD, "at"), QUANTITY(LENGTH, ANY)),
};

static const grammar_column profile_columns[] = {
    {"height", BARONET_LENGTH, RANGE_ANY, true, false,
     "height of the spring, strictly rising or falling"},
    {"area", BARONET_AREA, RANGE_POSITIVE, false, false, "effective area: load per gauge pressure"},
    {"volume", BARONET_VOLUME, RANGE_POSITIVE, false, false, "volume of its air"},
    {"load-", BARONET_FORCE, RANGE_POSITIVE, false, true,
     "load at a test pressure, in place of the area"},
};

static const grammar_attribute spring[] = {
    MAY(ON, "RL ratio 0.95",
        "the corner that it carries, with spring travel per wheel travel; or every wheel that "
        "moves it",
        OTHER(LEVERS)),
    MUST(PROFILE, "sleeve-a", "its table of area and volume", NAME(PROFILE)),
    MAY(HEIGHT, "165 mm", "height at design", QUANTITY(LENGTH, ANY)),
    MAY(PRESSURE, "4.2 bar", "pressure at design", PRESSURE(POSITIVE, FREE)),
    MAY(LOAD, "400 kg", "load of a spring on a bench, which has no `on`", WEIGHT(POSITIVE)),
    MAY(RUBBER, "3 N/mm", "rate of the carcass itself", QUANTITY(STIFFNESS, NOT_NEGATIVE)),
    RATED,
};

static const grammar_attribute tank[] = {
    MUST(VOLUME, "4 L", "volume of its air", QUANTITY(VOLUME, POSITIVE)),
    MAY(PRESSURE, "6 bar", "pressure that it was filled to by itself", PRESSURE(ANY, FREE)),
    RATED,
};

static const grammar_attribute tee[] = {
    MAY(VOLUME, "12 cm3", "volume of its air", QUANTITY(VOLUME, NOT_NEGATIVE)),
    RATED,
};

static const grammar_attribute hose[] = {
    ENDS,
    MUST(BORE, "9.5 mm", "inner diameter", QUANTITY(LENGTH, POSITIVE)),
    MUST(LENGTH, "0.45 m", "length", QUANTITY(LENGTH, POSITIVE)),
    MAY(ROUGHNESS, "1.5 um", "roughness of its wall", QUANTITY(LENGTH, NOT_NEGATIVE)),
    MAY(FITTINGS, "1.2", "sum of the loss coefficients of its fittings",
        QUANTITY(NUMBER, NOT_NEGATIVE)),
    RATED,
};

static const grammar_attribute restrictor[] = {ENDS, FLOW_LAW, RATED};

static const grammar_attribute solenoid[] = {
    ENDS,
    MUST(NORMALLY, "closed", "its position without current: `closed` or `open`",
         TEXTUAL(CHOICE, "closed open")),
    FLOW_LAW,
    MAY(BYPASS, "0.8 mm", "what still passes when it is shut: a bore, or any flow law", OTHER(LAW)),
    MAY(VOLTS, "12 V", "voltage of its coil", QUANTITY(VOLTAGE, POSITIVE)),
    MAY(CURRENT, "0.9 A", "current that its coil takes", QUANTITY(CURRENT, POSITIVE)),
    MAY(OPENS_ABOVE, "0.3 bar", "difference that a piloted valve needs to open",
        PRESSURE(NOT_NEGATIVE, DIFFERENCE)),
    MAY(ONE_WAY, "", "it cannot hold against reverse flow", OTHER(END)),
    RATED,
};

static const grammar_attribute check_valve[] = {
    ENDS,
    FLOW_LAW,
    MAY(OPENS_AT, "0.05 bar", "difference at which it opens", PRESSURE(NOT_NEGATIVE, DIFFERENCE)),
    RATED,
};

static const grammar_attribute regulator[] = {
    ENDS,
    FLOW_LAW,
    MUST(SET, "6 bar", "pressure that it keeps at its outlet", PRESSURE(ANY, FREE)),
    RATED,
};

static const grammar_attribute relief[] = {
    MUST(FROM, "left-tank", "what it protects", NAME(NODE)),
    MAY(TO, "atmosphere", "where it blows off to, `atmosphere` unless given", NAME(NODE)),
    FLOW_LAW,
    MUST(SET, "9 bar", "pressure at which it opens", PRESSURE(POSITIVE, FREE)),
    RATED,
};

static const grammar_attribute compressor[] = {
    MAY(FROM, "atmosphere", "where it draws air from, `atmosphere` unless given", NAME(NODE)),
    MUST(TO, "main-tank", "what it fills", NAME(NODE)),
    RATED,
};

static const grammar_column compressor_columns[] = {
    {"pressure", BARONET_PRESSURE, RANGE_ANY, true, false, "pressure at its outlet"},
    {"flow", BARONET_VOLUME_FLOW, RANGE_NOT_NEGATIVE, true, false, "free air that it delivers"},
};

static const grammar_attribute supply[] = {
    MUST(PRESSURE, "8 bar", "pressure that it is held at", PRESSURE(ANY, FREE)),
};

static const grammar_attribute state[] = {
    MAY(OPEN, "left-gate right-gate", "solenoids that are open", NAMES(SOLENOID)),
    MAY(SHUT, "cross", "solenoids that are shut", NAMES(SOLENOID)),
};

static const grammar_attribute motion[] = {
    MUST(NONE, "RL +1 RR -1", "corners, each with its travel", SHARES(CORNER, NUMBER)),
};

static const grammar_attribute load_case[] = {
    MUST(NONE, "RL +150 kg RR +150 kg", "corners, each with the mass that is added",
         SHARES(LOADED, MASS)),
    MAY(LEVELLED, "", "the springs are brought back to their design height", OTHER(END)),
    MAY(UNLEVELLED, "", "no air is added; so it is unless said otherwise", OTHER(END)),
};

static const grammar_attribute charge[] = {
    MUST(IN, "easy", "state in which the system was filled", NAME(STATE)),
};

static const grammar_attribute event[] = {
    MAY(IN, "easy", "state that it starts in", NAME(STATE)),
    SCRIPT(AT, "0 s", "when what follows happens", QUANTITY(TIME, NOT_NEGATIVE)),
    SCRIPT(WHEN, "height of left-air above 190 mm", "what follows happens when a height is passed",
           TEXTUAL(WORD, "height"), TEXTUAL(WORD, "of"), NAME(SPRING),
           TEXTUAL(CHOICE, "above below"), QUANTITY(LENGTH, ANY)),
    SCRIPT(LATERAL, "4 m/s2 over 0.5 s", "lateral acceleration of a bend",
           QUANTITY(ACCELERATION, ANY), TEXTUAL(OPTION, "over"), QUANTITY(TIME, NOT_NEGATIVE)),
    SCRIPT(BRAKING, "6 m/s2 over 0.3 s", "deceleration", QUANTITY(ACCELERATION, ANY),
           TEXTUAL(OPTION, "over"), QUANTITY(TIME, NOT_NEGATIVE)),
    SCRIPT(BUMP, "RL 40 mm over 0.15 s", "a haversine under one wheel", NAME(LOADED),
           QUANTITY(LENGTH, ANY), TEXTUAL(WORD, "over"), QUANTITY(TIME, POSITIVE)),
    SCRIPT(STEP, "roll 10 mm", "a sudden displacement of the wheels in a motion", NAME(MOTION),
           QUANTITY(LENGTH, ANY)),
    SCRIPT(LOAD, "RL 80 kg", "mass added at a corner", NAME(LOADED), QUANTITY(MASS, ANY)),
    SCRIPT(STATE, "taut", "a switch to another state", NAME(STATE)),
    SCRIPT(OPEN, "cross", "one solenoid opens", NAME(SOLENOID)),
    SCRIPT(SHUT, "cross", "one solenoid shuts", NAME(SOLENOID)),
    SCRIPT(BURST, "left-hose bore 6 mm", "a hole opens to the air outside", NAME(AIR),
           TEXTUAL(WORD, "bore"), QUANTITY(LENGTH, POSITIVE)),
    SCRIPT(HOLD, "", "the wheels are held, as on a bench", OTHER(END)),
    SCRIPT(TEMPERATURE, "-10 C over 3 h", "the air outside changes its temperature",
           QUANTITY(TEMPERATURE, TEMPERATURE), TEXTUAL(OPTION, "over"),
           QUANTITY(TIME, NOT_NEGATIVE)),
    SCRIPT(SUPPLY, "shop-air lost", "a supply is shut off", NAME(SUPPLY), TEXTUAL(WORD, "lost")),
    MUST(UNTIL, "10 s", "when it ends", QUANTITY(TIME, POSITIVE)),
};

static const grammar_attribute require[] = {
    MUST(NONE, "settle_time_63 of roll below 0.5 s in easy", "a figure and its bound", OTHER(WISH)),
};

static const grammar_attribute let[] = {
    MUST(NONE, "9.5 mm", "the value that the name stands for", OTHER(ANY)),
};

static const grammar_attribute include[] = {
    MUST(NONE, "\"parts/sleeves.air\"", "path of a file, relative to this one", OTHER(TEXT)),
};

#define NAMED                    true, false
#define ONCE                     false, true
#define MANY                     false, false
#define PLAIN                    false, false
#define NODE                     true, false
#define EDGE                     false, true
#define BOTH                     true, true
#define ROWS(attributes)         COUNT(attributes), attributes, 0, NULL
#define TABLE(attributes, table) COUNT(attributes), attributes, COUNT(table), table

static const grammar_keyword keywords[KEYWORDS] = {
    [KEYWORD_ABOUT] = {"about", "an about line", ONCE, PLAIN, ROWS(about),
                       "about \"Camper van, rear axle (invented)\"", "what this netlist is"},
    [KEYWORD_AMBIENT] = {"ambient", "an ambient line", ONCE, PLAIN, ROWS(ambient),
                         "ambient pressure 101.325 kPa temperature 20 C", "the air outside"},
    [KEYWORD_GAS] = {"gas", "a gas line", ONCE, PLAIN, ROWS(gas), "gas adiabatic",
                     "how quick changes of the air behave"},
    [KEYWORD_VEHICLE] = {"vehicle", "a vehicle line", ONCE, PLAIN, ROWS(vehicle),
                         "vehicle cg-height 0.85 m roll-axis 0.12 m", "the body"},
    [KEYWORD_CORNER] = {"corner", "a corner", NAMED, PLAIN, ROWS(corner),
                        "corner RL at -1.62 m 0.81 m load 445 kg",
                        "a wheel and what stands over it"},
    [KEYWORD_BAR] = {"bar", "an anti-roll bar", NAMED, PLAIN, ROWS(bar),
                     "bar rear-bar between RL RR roll 300 N.m/deg", "an anti-roll bar"},
    [KEYWORD_PROFILE] = {"profile", "a profile", NAMED, PLAIN, TABLE(profile, profile_columns),
                         "profile sleeve-b area 95 cm2 volume 1.9 L at 150 mm",
                         "what one type of air spring is"},
    [KEYWORD_SPRING] = {"spring", "a spring", NAMED, NODE, ROWS(spring),
                        "spring left-air on RL ratio 0.95 profile sleeve-a height 165 mm",
                        "an air spring"},
    [KEYWORD_TANK] = {"tank", "a tank", NAMED, NODE, ROWS(tank),
                      "tank left-tank volume 4 L rated 12 bar", "a vessel of fixed volume"},
    [KEYWORD_TEE] = {"tee", "a tee", NAMED, NODE, ROWS(tee), "tee left-tee",
                     "a place where paths meet"},
    [KEYWORD_HOSE] = {"hose", "a hose", NAMED, BOTH, ROWS(hose),
                      "hose left-hose from left-air to left-tee bore 9.5 mm length 0.45 m",
                      "a hose or pipe, with its air"},
    [KEYWORD_RESTRICTOR] = {"restrictor", "a restrictor", NAMED, EDGE, ROWS(restrictor),
                            "restrictor choke from left-air to left-tank bore 3 mm",
                            "a narrow place that is always open"},
    [KEYWORD_SOLENOID] = {"solenoid", "a solenoid", NAMED, EDGE, ROWS(solenoid),
                          "solenoid cross from left-air to right-air normally closed kv 1.1 m3/h",
                          "a valve that a state opens or shuts"},
    [KEYWORD_CHECK_VALVE] =
        {"check-valve", "a check valve", NAMED, EDGE, ROWS(check_valve),
         "check-valve fill from shop-air to left-tank bore 4 mm opens-at 0.05 bar",
         "a valve that passes one way"},
    [KEYWORD_REGULATOR] = {"regulator", "a regulator", NAMED, EDGE, ROWS(regulator),
                           "regulator feed from shop-air to left-tank set 6 bar bore 4 mm",
                           "a valve that keeps a pressure behind it"},
    [KEYWORD_RELIEF] = {"relief", "a relief valve", NAMED, EDGE, ROWS(relief),
                        "relief safety from left-tank set 9 bar bore 6 mm",
                        "a valve that lets off what is above its pressure"},
    [KEYWORD_COMPRESSOR] = {"compressor", "a compressor", NAMED, EDGE,
                            TABLE(compressor, compressor_columns), "compressor pump to main-tank",
                            "a pump with a table of its flow"},
    [KEYWORD_SUPPLY] = {"supply", "a supply", NAMED, NODE, ROWS(supply),
                        "supply shop-air pressure 8 bar", "a source that is held at a pressure"},
    [KEYWORD_STATE] = {"state", "a state", NAMED, PLAIN, ROWS(state),
                       "state taut shut left-gate right-gate cross", "positions of the solenoids"},
    [KEYWORD_MOTION] = {"motion", "a motion", NAMED, PLAIN, ROWS(motion),
                        "motion twist RL +1 RR -1", "wheel travels of your own"},
    [KEYWORD_CASE] = {"case", "a case", NAMED, PLAIN, ROWS(load_case),
                      "case laden RL +150 kg RR +150 kg levelled", "masses that are added"},
    [KEYWORD_CHARGE] = {"charge", "a charge line", ONCE, PLAIN, ROWS(charge), "charge in easy",
                        "the state in which the system was filled"},
    [KEYWORD_EVENT] = {"event", "an event", NAMED, PLAIN, ROWS(event),
                       "event bend in easy at 0 s lateral 4 m/s2 over 0.5 s until 10 s",
                       "what happens when"},
    [KEYWORD_REQUIRE] = {"require", "a requirement", MANY, PLAIN, ROWS(require),
                         "require settle_time_63 of roll below 0.5 s in easy",
                         "what a figure has to be"},
    [KEYWORD_LET] = {"let", "a value", NAMED, PLAIN, ROWS(let), "let w 9.5 mm",
                     "a name for a value"},
    [KEYWORD_INCLUDE] = {"include", "an include", MANY, PLAIN, ROWS(include),
                         "include \"parts/sleeves.air\"", "another file read in this place"},
};

static const grammar_law laws[GRAMMAR_LAWS] = {
    {WORD_BORE, QUANTITY(LENGTH, POSITIVE), WORD_CD, false, RANGE_SHARE},
    {WORD_SONIC, QUANTITY(SONIC_CONDUCTANCE, POSITIVE), WORD_CRITICAL, true, RANGE_BELOW_ONE},
    {WORD_KV, QUANTITY(VOLUME_FLOW, POSITIVE), WORD_XT, false, RANGE_SHARE},
    {WORD_CV, QUANTITY(NUMBER, POSITIVE), WORD_XT, false, RANGE_SHARE},
};

static const grammar_range ranges[RANGES] = {
    [RANGE_ANY] = {-HUGE_VAL, HUGE_VAL, true, true, "any number"},
    [RANGE_POSITIVE] = {0.0, HUGE_VAL, false, true, "more than 0"},
    [RANGE_NOT_NEGATIVE] = {0.0, HUGE_VAL, true, true, "0 or more"},
    [RANGE_SHARE] = {0.0, 1.0, false, true, "more than 0 and up to 1"},
    [RANGE_BELOW_ONE] = {0.0, 1.0, true, false, "0 or more and below 1"},
    [RANGE_EXPONENT] = {1.0, 2.0, true, true, "from 1 to 2"},
    [RANGE_ALTITUDE] = {ATMOSPHERE_LOWEST, ATMOSPHERE_HIGHEST, true, true, "from -5 km to 11 km"},
    [RANGE_TEMPERATURE] = {0.0, HUGE_VAL, false, true, "above absolute zero"},
};

#define BIT(k) (1ul << KEYWORD_##k)
#define NODES  (BIT(SPRING) | BIT(TANK) | BIT(TEE) | BIT(SUPPLY))
#define EDGES                                                                                      \
    (BIT(HOSE) | BIT(RESTRICTOR) | BIT(SOLENOID) | BIT(CHECK_VALVE) | BIT(REGULATOR) |             \
     BIT(RELIEF) | BIT(COMPRESSOR))

static const grammar_want wants[WANTS] = {
    [WANT_CORNER] = {"a corner", "corner", "corners", BIT(CORNER)},
    [WANT_LOADED] = {"a corner", "corner", "corners", BIT(CORNER) | BIT(SPRING)},
    [WANT_PROFILE] = {"a profile", "profile", "profiles", BIT(PROFILE)},
    [WANT_SPRING] = {"a spring", "spring", "springs", BIT(SPRING)},
    [WANT_NODE] = {"a spring, tank, tee or supply", "spring, tank, tee or supply",
                   "springs, tanks, tees and supplies", NODES},
    [WANT_AIR] = {"something that holds air", "spring, tank, tee, supply or hose", "what holds air",
                  NODES | BIT(HOSE)},
    [WANT_EDGE] = {"a hose or valve", "hose or valve", "hoses and valves", EDGES},
    [WANT_SOLENOID] = {"a solenoid", "solenoid", "solenoids", BIT(SOLENOID)},
    [WANT_SUPPLY] = {"a supply", "supply", "supplies", BIT(SUPPLY)},
    [WANT_STATE] = {"a state", "state", "states", BIT(STATE)},
    [WANT_MOTION] = {"a motion", "motion", "motions", BIT(MOTION)},
    [WANT_CASE] = {"a case", "case", "cases", BIT(CASE)},
};

typedef struct word_text {
    const char *start;
    size_t length;
} word_text;

static const word_text words[WORDS] = {
#define GRAMMAR_WORD_TEXT(name, text) {(text), sizeof(text) - 1},
    GRAMMAR_WORDS(GRAMMAR_WORD_TEXT)
#undef GRAMMAR_WORD_TEXT
};

const grammar_keyword *grammar_at(keyword k) {
    assert(k < KEYWORDS);
    return &keywords[k];
}

keyword grammar_find(text t) {
    int k = 0;
    while (k < KEYWORDS && !text_equals(t, keywords[k].name))
        k++;
    return (keyword)k;
}

const grammar_attribute *grammar_attribute_find(const grammar_keyword *k, text t) {
    if (t.length == 0)
        return NULL;
    for (const grammar_attribute *a = k->attribute; a < k->attribute + k->attributes; a++) {
        const word_text *const w = &words[a->word];
        if (w->length == t.length && memcmp(w->start, t.start, t.length) == 0)
            return a;
    }
    return NULL;
}

const grammar_attribute *grammar_direct(const grammar_keyword *k) {
    return k->attribute[0].word == WORD_NONE ? &k->attribute[0] : NULL;
}

const char *grammar_word(word w) {
    assert(w < WORDS);
    return words[w].start;
}

const grammar_law *grammar_law_at(size_t index) {
    assert(index < GRAMMAR_LAWS);
    return &laws[index];
}

const grammar_range *grammar_range_at(range r) {
    assert(r < RANGES);
    return &ranges[r];
}

const grammar_want *grammar_want_at(want w) {
    assert(w < WANTS);
    return &wants[w];
}

bool grammar_is_name(text t) {
    for (size_t i = 0; i < t.length; i++) {
        const char c = t.start[i];
        const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        if (!letter && (i == 0 || !((c >= '0' && c <= '9') || c == '_' || c == '-')))
            return false;
    }
    return t.length > 0;
}
