/* units.c: every unit in one table. Factors are exact by definition or constant expressions of
   exact ones (NIST SP 811, 2008, Appendix B; inch, pound and standard gravity by definition).
   SPDX-License-Identifier: MIT */
#include "baronet/units.h"

#include <assert.h>
#include <string.h>

#include "base/numbers.h"

#define INCH    0.0254 /* m */
#define INCH2   (INCH * INCH)
#define INCH3   (INCH * INCH * INCH)
#define FOOT    (12.0 * INCH) /* m */
#define FOOT2   (FOOT * FOOT)
#define FOOT3   (FOOT * FOOT * FOOT)
#define MILE    (5280.0 * FOOT)
#define POUND   0.45359237        /* kg */
#define GRAVITY 9.80665           /* m/s2, standard */
#define LBF     (POUND * GRAVITY) /* N */
#define LBF_FT  (LBF * FOOT)      /* N m */
#define LB_FT2  (POUND * FOOT2)
#define PSI     (LBF / INCH2)
#define GALLON  (231.0 * INCH3) /* m3, US */
#define DEGREE  (PI / 180.0)
#define ICE     273.15 /* K at 0 C */

#define PLAIN(name, dimension, factor)                                                             \
    { name, dimension, factor, 0.0, BARONET_DATUM_PLAIN }
#define OFFSET(name, factor, offset)                                                               \
    { name, BARONET_TEMPERATURE, factor, offset, BARONET_DATUM_PLAIN }
#define GAUGE(name, factor)                                                                        \
    { name, BARONET_PRESSURE, factor, 0.0, BARONET_DATUM_GAUGE }
#define ABSOLUTE(name, factor)                                                                     \
    { name, BARONET_PRESSURE, factor, 0.0, BARONET_DATUM_ABSOLUTE }

/* In byte order of the names, for the search; a test holds it to that. */
static const baronet_unit units[] = {
    PLAIN("A", BARONET_CURRENT, 1.0),
    OFFSET("C", 1.0, ICE),
    OFFSET("F", 5.0 / 9.0, ICE - 32.0 * 5.0 / 9.0),
    PLAIN("Hz", BARONET_FREQUENCY, 1.0),
    PLAIN("K", BARONET_TEMPERATURE, 1.0),
    PLAIN("L", BARONET_VOLUME, 1e-3),
    PLAIN("L/min", BARONET_VOLUME_FLOW, 1e-3 / 60.0),
    PLAIN("L/s.bar", BARONET_SONIC_CONDUCTANCE, 1e-8),
    PLAIN("MPa", BARONET_PRESSURE, 1e6),
    ABSOLUTE("MPaa", 1e6),
    GAUGE("MPag", 1e6),
    PLAIN("N", BARONET_FORCE, 1.0),
    PLAIN("N.m/deg", BARONET_ANGULAR_STIFFNESS, 1.0 / DEGREE),
    PLAIN("N.m/rad", BARONET_ANGULAR_STIFFNESS, 1.0),
    PLAIN("N.s/m", BARONET_DAMPING, 1.0),
    PLAIN("N/m", BARONET_STIFFNESS, 1.0),
    PLAIN("N/mm", BARONET_STIFFNESS, 1e3),
    PLAIN("Pa", BARONET_PRESSURE, 1.0),
    ABSOLUTE("Paa", 1.0),
    GAUGE("Pag", 1.0),
    PLAIN("V", BARONET_VOLTAGE, 1.0),
    PLAIN("bar", BARONET_PRESSURE, 1e5),
    ABSOLUTE("bara", 1e5),
    GAUGE("barg", 1e5),
    PLAIN("cfm", BARONET_VOLUME_FLOW, FOOT3 / 60.0),
    PLAIN("cm", BARONET_LENGTH, 1e-2),
    PLAIN("cm2", BARONET_AREA, 1e-4),
    PLAIN("cm3", BARONET_VOLUME, 1e-6),
    PLAIN("deg", BARONET_ANGLE, DEGREE),
    PLAIN("deg/(m/s2)", BARONET_ROLL_GRADIENT, DEGREE),
    PLAIN("deg/g", BARONET_ROLL_GRADIENT, DEGREE / GRAVITY),
    PLAIN("ft", BARONET_LENGTH, FOOT),
    PLAIN("g", BARONET_ACCELERATION, GRAVITY),
    PLAIN("gal", BARONET_VOLUME, GALLON),
    PLAIN("h", BARONET_TIME, 3600.0),
    PLAIN("in", BARONET_LENGTH, INCH),
    PLAIN("in2", BARONET_AREA, INCH2),
    PLAIN("in3", BARONET_VOLUME, INCH3),
    PLAIN("kN", BARONET_FORCE, 1e3),
    PLAIN("kN.s/m", BARONET_DAMPING, 1e3),
    PLAIN("kN/m", BARONET_STIFFNESS, 1e3),
    PLAIN("kPa", BARONET_PRESSURE, 1e3),
    ABSOLUTE("kPaa", 1e3),
    GAUGE("kPag", 1e3),
    PLAIN("kg", BARONET_MASS, 1.0),
    PLAIN("kg.m2", BARONET_INERTIA, 1.0),
    PLAIN("km/h", BARONET_SPEED, 1.0 / 3.6),
    PLAIN("lb", BARONET_MASS, POUND),
    PLAIN("lb.ft2", BARONET_INERTIA, LB_FT2),
    PLAIN("lbf", BARONET_FORCE, LBF),
    PLAIN("lbf.ft/deg", BARONET_ANGULAR_STIFFNESS, LBF_FT / DEGREE),
    PLAIN("lbf.s/in", BARONET_DAMPING, LBF / INCH),
    PLAIN("lbf/in", BARONET_STIFFNESS, LBF / INCH),
    PLAIN("m", BARONET_LENGTH, 1.0),
    PLAIN("m/s", BARONET_SPEED, 1.0),
    PLAIN("m/s2", BARONET_ACCELERATION, 1.0),
    PLAIN("m2", BARONET_AREA, 1.0),
    PLAIN("m3", BARONET_VOLUME, 1.0),
    PLAIN("m3/(s.Pa)", BARONET_SONIC_CONDUCTANCE, 1.0),
    PLAIN("m3/h", BARONET_VOLUME_FLOW, 1.0 / 3600.0),
    PLAIN("m3/s", BARONET_VOLUME_FLOW, 1.0),
    PLAIN("mA", BARONET_CURRENT, 1e-3),
    PLAIN("mL", BARONET_VOLUME, 1e-6),
    PLAIN("min", BARONET_TIME, 60.0),
    PLAIN("mm", BARONET_LENGTH, 1e-3),
    PLAIN("mm2", BARONET_AREA, 1e-6),
    PLAIN("mph", BARONET_SPEED, MILE / 3600.0),
    PLAIN("ms", BARONET_TIME, 1e-3),
    PLAIN("psi", BARONET_PRESSURE, PSI),
    ABSOLUTE("psia", PSI),
    GAUGE("psig", PSI),
    PLAIN("rad", BARONET_ANGLE, 1.0),
    PLAIN("rad/(m/s2)", BARONET_ROLL_GRADIENT, 1.0),
    PLAIN("s", BARONET_TIME, 1.0),
    PLAIN("um", BARONET_LENGTH, 1e-6),
};

/* Shown but never read: a bare "g" in a netlist is an acceleration. */
static const baronet_unit shown_only[] = {
    PLAIN("", BARONET_NUMBER, 1.0),       PLAIN("g", BARONET_AIR_MASS, 1e-3),
    PLAIN("lb", BARONET_AIR_MASS, POUND), PLAIN("kg", BARONET_AIR_MASS, 1.0),
    PLAIN("kJ", BARONET_ENERGY, 1e3),     PLAIN("lbf.ft", BARONET_ENERGY, LBF_FT),
    PLAIN("J", BARONET_ENERGY, 1.0),
};

typedef struct dimension_entry {
    const char *words;
    const char *shown[3]; /* metric, imperial, SI, as in baronet_unit_system */
} dimension_entry;

static const dimension_entry dimensions[BARONET_DIMENSIONS] = {
    [BARONET_NUMBER] = {"number", {"", "", ""}},
    [BARONET_LENGTH] = {"length", {"mm", "in", "m"}},
    [BARONET_AREA] = {"area", {"cm2", "in2", "m2"}},
    [BARONET_VOLUME] = {"volume", {"L", "in3", "m3"}},
    [BARONET_PRESSURE] = {"pressure", {"bar", "psi", "Pa"}},
    [BARONET_FORCE] = {"force", {"N", "lbf", "N"}},
    [BARONET_MASS] = {"mass", {"kg", "lb", "kg"}},
    [BARONET_STIFFNESS] = {"stiffness", {"N/mm", "lbf/in", "N/m"}},
    [BARONET_ANGULAR_STIFFNESS] = {"angular stiffness", {"N.m/deg", "lbf.ft/deg", "N.m/rad"}},
    [BARONET_TEMPERATURE] = {"temperature", {"C", "F", "K"}},
    [BARONET_TIME] = {"time", {"s", "s", "s"}},
    [BARONET_FREQUENCY] = {"frequency", {"Hz", "Hz", "Hz"}},
    [BARONET_ACCELERATION] = {"acceleration", {"m/s2", "g", "m/s2"}},
    [BARONET_SPEED] = {"speed", {"km/h", "mph", "m/s"}},
    [BARONET_ANGLE] = {"angle", {"deg", "deg", "rad"}},
    [BARONET_VOLTAGE] = {"voltage", {"V", "V", "V"}},
    [BARONET_CURRENT] = {"current", {"A", "A", "A"}},
    [BARONET_VOLUME_FLOW] = {"volume flow", {"L/min", "cfm", "m3/s"}},
    [BARONET_SONIC_CONDUCTANCE] = {"sonic conductance", {"L/s.bar", "L/s.bar", "m3/(s.Pa)"}},
    [BARONET_INERTIA] = {"moment of inertia", {"kg.m2", "lb.ft2", "kg.m2"}},
    [BARONET_DAMPING] = {"damping", {"kN.s/m", "lbf.s/in", "N.s/m"}},
    [BARONET_ROLL_GRADIENT] = {"roll gradient", {"deg/g", "deg/g", "rad/(m/s2)"}},
    [BARONET_AIR_MASS] = {"mass of air", {"g", "lb", "kg"}},
    [BARONET_ENERGY] = {"energy", {"kJ", "lbf.ft", "J"}},
};

/* Order of a name of `length` bytes against a terminated one. */
static int name_order(const char *name, size_t length, const char *terminated) {
    for (size_t i = 0; i < length; i++) {
        const unsigned char a = (unsigned char)name[i], b = (unsigned char)terminated[i];
        if (a != b || b == 0)
            return a < b ? -1 : 1;
    }
    return terminated[length] == 0 ? 0 : -1;
}

const baronet_unit *baronet_unit_find(const char *name, size_t length) {
    size_t low = 0, high = sizeof units / sizeof *units;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const int order = name_order(name, length, units[middle].name);
        if (order == 0)
            return &units[middle];
        if (order < 0)
            high = middle;
        else
            low = middle + 1;
    }
    return NULL;
}

const baronet_unit *baronet_unit_table(size_t *count) {
    *count = sizeof units / sizeof *units;
    return units;
}

const baronet_unit *baronet_unit_shown(baronet_unit_system system, baronet_dimension dimension) {
    assert(system <= BARONET_SI && dimension < BARONET_DIMENSIONS);
    const char *const name = dimensions[dimension].shown[system];
    for (size_t i = 0; i < sizeof shown_only / sizeof *shown_only; i++) {
        if (shown_only[i].dimension == dimension && strcmp(shown_only[i].name, name) == 0)
            return &shown_only[i];
    }
    return baronet_unit_find(name, strlen(name));
}

const char *baronet_dimension_text(baronet_dimension dimension) {
    assert(dimension < BARONET_DIMENSIONS);
    return dimensions[dimension].words;
}
