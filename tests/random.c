/* random.c: see random.h.
   SPDX-License-Identifier: MIT */
#include "random.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "baronet/units.h"
#include "support.h"

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

enum { MOST_WHEELS = 8, MOST_SPRINGS = 20, MOST_NAMES = 80, MOST_PROFILES = 3, NAME = 12 };

typedef struct name_list {
    char name[MOST_NAMES][NAME];
    int count;
} name_list;

typedef struct type {
    double low, high; /* m, heights of its table */
    double area;      /* m2, about */
} type;

typedef struct drawing {
    unsigned long long dice;
    text_buffer *out;
    bool sensible;
    double odd;     /* part of all quantities that are out of all measure */
    double ambient; /* Pa */
    int wheels;     /* 0: springs on a bench */
    bool sprung[MOST_WHEELS];
    type profile[MOST_PROFILES];
    int profiles;
    name_list springs;
    name_list loaded;  /* corners, or springs on a bench */
    name_list inner;   /* nodes on the springs' side */
    name_list outer;   /* nodes of the supply's side, and the atmosphere */
    name_list vessels; /* what can burst */
    name_list tanks;
    name_list solenoids; /* all of them */
    name_list states;
    name_list cases;
    bool supply;
    int edges;
} drawing;

static double between(drawing *d, double low, double high) {
    return low + (high - low) * random_unit(&d->dice);
}

/* Between two positive values, each decade as likely as any other. */
static double spread(drawing *d, double low, double high) {
    return low * pow(high / low, random_unit(&d->dice));
}

static bool chance(drawing *d, double part) {
    return random_unit(&d->dice) < part;
}

static int upto(drawing *d, int count) {
    const int k = (int)(random_unit(&d->dice) * count);
    return k < count ? k : count - 1;
}

static void say(drawing *d, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void say(drawing *d, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    text_buffer_vformat(d->out, format, arguments);
    va_end(arguments);
}

static const char *keep(name_list *list, const char *letter, int number) {
    char *const name = list->name[list->count < MOST_NAMES - 1 ? list->count++ : list->count];
    snprintf(name, NAME, "%s%d", letter, number);
    return name;
}

static const char *any(drawing *d, const name_list *list) {
    return list->name[upto(d, list->count)];
}

static void number(drawing *d, double value) {
    say(d, " ");
    text_buffer_number(d->out, value, chance(d, 0.5) ? 3 : 7);
}

/* A quantity in any unit of its dimension, a blank before the unit or not. Pressures are gauge
   pressures unless the unit says absolute. */
static void quantity(drawing *d, baronet_dimension dimension, double value) {
    if (chance(d, d->odd)) {
        value *= pow(10.0, between(d, -5.0, 5.0));
    }
    size_t count = 0;
    const baronet_unit *const table = baronet_unit_table(&count);
    const baronet_unit *unit = NULL;
    while (unit == NULL || unit->dimension != dimension) {
        unit = &table[upto(d, (int)count)];
    }
    const double shift = unit->datum == BARONET_DATUM_ABSOLUTE ? d->ambient : 0.0;
    say(d, " ");
    text_buffer_number(d->out, (value + shift - unit->offset) / unit->factor,
                       shift > 0.0 || chance(d, 0.5) ? 8 : 4);
    say(d, "%s%s", chance(d, 0.7) ? " " : "", unit->name);
}

/* A quantity in one unit, for the ones that are differences or absolute. */
static void plainly(drawing *d, double value, const char *unit) {
    number(d, chance(d, d->odd) ? value * pow(10.0, between(d, -5.0, 5.0)) : value);
    say(d, " %s", unit);
}

static void attribute(drawing *d, double part, const char *word, baronet_dimension dimension,
                      double value) {
    if (chance(d, part)) {
        say(d, "%s%s", chance(d, 0.1) ? "\n   " : "  ", word);
        quantity(d, dimension, value);
    }
}

static void write_setting(drawing *d) {
    static const char *const gases[] = {"gas adiabatic\n", "gas isothermal\n", ""};
    if (chance(d, 0.7)) {
        say(d, "about \"Random (invented)\"\n");
    }
    if (chance(d, 0.3)) {
        say(d, "ambient altitude %d m\n", upto(d, 3000));
    } else if (chance(d, 0.8)) {
        d->ambient = between(d, 85e3, 104e3);
        say(d, "ambient pressure");
        plainly(d, 1e-3 * d->ambient, "kPa");
        attribute(d, 0.7, "temperature", BARONET_TEMPERATURE, between(d, 255.0, 310.0));
        say(d, "\n");
    }
    switch (upto(d, 5)) {
    case 0:
        say(d, "gas exponent %.2f\n", between(d, 1.0, 1.67));
        break;
    case 1:
        say(d, "gas thermal");
        quantity(d, BARONET_TIME, spread(d, 0.1, 100.0));
        say(d, "\n");
        break;
    default:
        say(d, "%s", gases[upto(d, COUNT(gases))]);
    }
}

static void write_vehicle(drawing *d) {
    if (d->wheels == 0 || chance(d, 0.2)) {
        return;
    }
    say(d, "vehicle");
    attribute(d, 0.9, "cg-height", BARONET_LENGTH, between(d, 0.4, 1.1));
    attribute(d, 0.8, "roll-axis", BARONET_LENGTH, between(d, -0.05, 0.35));
    attribute(d, 0.4, "roll-inertia", BARONET_INERTIA, between(d, 300.0, 2000.0));
    attribute(d, 0.4, "pitch-inertia", BARONET_INERTIA, between(d, 900.0, 7000.0));
    if (chance(d, 0.3)) {
        say(d, " seat");
        quantity(d, BARONET_LENGTH, between(d, -1.0, 1.0));
        quantity(d, BARONET_LENGTH, between(d, -0.6, 0.6));
    }
    if (chance(d, 0.3)) {
        say(d, " road-class %c", 'A' + upto(d, 8));
    }
    attribute(d, 0.3, "speed", BARONET_SPEED, spread(d, 2.0, 40.0));
    say(d, "\n");
}

/* Rows of a table: the area falls or rises evenly, and the volume is what it sweeps. */
static void write_rows(drawing *d, const type *t, double slope, int loads) {
    static const double tests[] = {2.0, 3.5, 6.0};
    const int rows = 2 + upto(d, 5);
    const bool falling = chance(d, 0.3), volumes = loads >= 0;
    const double first = t->area * t->low * between(d, 0.5, 1.2);
    say(d, "   height mm  %s", volumes ? "volume L" : "");
    for (int k = 0; k < loads; k++) {
        say(d, "  load-%.1fbar N", tests[k]);
    }
    say(d, "%s\n", loads <= 0 ? "  area cm2" : "");
    for (int k = 0; k < rows; k++) {
        const double part = (double)(falling ? rows - 1 - k : k) / (rows - 1);
        const double rise = part * (t->high - t->low);
        const double area = t->area * (1.0 + slope * (part - 0.5));
        say(d, "   %.2f", 1e3 * (t->low + rise));
        if (volumes) {
            say(d, " %.5f", 1e3 * (first + t->area * rise * (1.0 + slope * (0.5 * part - 0.5))));
        }
        for (int i = 0; i < loads; i++) {
            say(d, " %.2f", area * 1e5 * tests[i] * (1.0 - 0.01 * tests[i]));
        }
        if (loads <= 0) {
            say(d, " %.4f", 1e4 * area);
        }
        say(d, "\n");
    }
}

static void write_profile(drawing *d, int index) {
    type *const t = &d->profile[index];
    t->low = between(d, 0.06, 0.2);
    t->high = t->low + between(d, 0.09, 0.25);
    t->area = d->sensible ? spread(d, 6e-3, 1.2e-2) : spread(d, 3e-3, 2.5e-2);
    int loads = 0;
    say(d, "profile p%d", index);
    switch (upto(d, 4)) {
    case 0:
        say(d, "  area");
        quantity(d, BARONET_AREA, t->area);
        say(d, " volume");
        quantity(d, BARONET_VOLUME, t->area * t->high);
        say(d, " at %.1f mm\n", 1e3 * t->high);
        break;
    case 1:
        say(d, "  volume");
        quantity(d, BARONET_VOLUME, t->area * t->high * between(d, 0.8, 1.2));
        say(d, " at %.2f mm\n", 1e3 * t->high);
        write_rows(d, t, between(d, -0.3, 0.15), -1);
        break;
    case 2:
        say(d, "\n");
        loads = 1 + upto(d, 3);
        write_rows(d, t, between(d, -0.3, 0.15), loads);
        break;
    default:
        say(d, "\n");
        write_rows(d, t, between(d, -0.3, 0.15), 0);
    }
}

static void write_stops(drawing *d) {
    static const char *const words[] = {"bump-stop", "rebound-stop"};
    for (int k = 0; k < COUNT(words); k++) {
        if (chance(d, d->sensible ? 0.8 : 0.5)) {
            say(d, "\n   %s at", words[k]);
            quantity(d, BARONET_LENGTH, between(d, 0.02, 0.07));
            say(d, " rate");
            quantity(d, BARONET_STIFFNESS, spread(d, 5e4, 8e5));
        }
    }
}

static void write_corner(drawing *d, int index, double x, double y, int axle, double load) {
    const char *const name = keep(&d->loaded, "C", index);
    say(d, "corner %s at", name);
    quantity(d, BARONET_LENGTH, x);
    quantity(d, BARONET_LENGTH, y);
    if (chance(d, 0.5)) {
        attribute(d, 1.0, "load", BARONET_MASS, load);
    } else {
        attribute(d, 1.0, "load", BARONET_FORCE, 9.80665 * load);
    }
    if (axle >= 0) {
        say(d, "  axle X%d", axle);
    }
    attribute(d, 0.7, "unsprung", BARONET_MASS, load * between(d, 0.03, 0.2));
    attribute(d, 0.7, "tyre", BARONET_STIFFNESS, between(d, 1.5e5, 5e5));
    attribute(d, 0.8, "damper", BARONET_DAMPING, spread(d, 300.0, 6000.0));
    d->sprung[index] = !chance(d, 0.15) || index == 0;
    if (!d->sprung[index]) {
        attribute(d, 1.0, "coil", BARONET_STIFFNESS, load * between(d, 60.0, 200.0));
    } else if (chance(d, 0.15)) {
        attribute(d, 1.0, "coil", BARONET_STIFFNESS, load * between(d, 5.0, 40.0));
        attribute(d, 0.7, "carries", BARONET_MASS, load * between(d, 0.0, 0.5));
    }
    write_stops(d);
    say(d, "\n");
}

/* Axles of two wheels, now and then of one; hardly held ones stand in one line or in one place. */
static void write_corners(drawing *d) {
    const bool line = !d->sensible && chance(d, 0.08), place = !d->sensible && chance(d, 0.03);
    const bool named = chance(d, 0.5);
    double x = between(d, -0.5, 2.0);
    int index = 0;
    for (int axle = 0; index < d->wheels; axle++) {
        const int wheels = d->wheels - index > 1 && !chance(d, 0.05) ? 2 : 1;
        const double load = between(d, 220.0, 900.0), half = between(d, 0.5, 1.0);
        for (int k = 0; k < wheels; k++) {
            const double side = wheels == 1 ? 0.0 : k == 0 ? half : -half * between(d, 0.95, 1.05);
            write_corner(d, index++, place ? 0.0 : x, line || place ? 0.0 : side, named ? axle : -1,
                         load * between(d, 0.85, 1.1));
        }
        if (wheels == 2 && chance(d, 0.6)) {
            say(d, "bar B%d between C%d C%d roll", axle, index - 2, index - 1);
            quantity(d, BARONET_ANGULAR_STIFFNESS, spread(d, 2e3, 1.2e5));
            say(d, "\n");
        }
        x -= between(d, 0.9, 3.5);
    }
}

static void write_spring(drawing *d, int index, int corner, const char *lever) {
    const int profile = upto(d, d->profiles);
    const type *const t = &d->profile[profile];
    const char *const name = keep(&d->springs, "s", index);
    keep(&d->inner, "s", index);
    keep(&d->vessels, "s", index);
    say(d, "spring %s", name);
    if (d->wheels > 0 && lever != NULL) {
        say(d, "  %s", lever);
    } else if (d->wheels > 0) {
        say(d, "  on C%d", corner);
        if (chance(d, 0.7)) {
            say(d, " ratio %.3f", between(d, 0.6, 1.15));
        }
    } else {
        keep(&d->loaded, "s", index);
        attribute(d, 1.0, "load", BARONET_FORCE, t->area * between(d, 2e5, 8e5));
    }
    say(d, "  profile p%d", profile);
    const bool by_pressure = !d->sensible && chance(d, 0.05);
    attribute(d, by_pressure ? 0.0 : 1.0, "height", BARONET_LENGTH,
              t->low + (t->high - t->low) * between(d, 0.4, 0.6));
    attribute(d, by_pressure ? 1.0 : 0.0, "pressure", BARONET_PRESSURE, between(d, 3e5, 8e5));
    attribute(d, 0.2, "rubber", BARONET_STIFFNESS, between(d, 500.0, 5000.0));
    attribute(d, 0.5, "rated", BARONET_PRESSURE, between(d, 6e5, 1.2e6));
    say(d, "\n");
}

static void write_springs(drawing *d) {
    int index = 0;
    const int bench = 1 + upto(d, 3);
    for (int k = 0; d->wheels == 0 && k < bench; k++) {
        write_spring(d, index++, 0, NULL);
    }
    for (int k = 0; k < d->wheels; k++) {
        const bool pair = k + 1 < d->wheels && d->sprung[k] && d->sprung[k + 1];
        if (pair && chance(d, 0.08)) {
            for (int i = 0; i < 2; i++) {
                char lever[48];
                const double near = between(d, 0.6, 0.95);
                snprintf(lever, sizeof lever, "on C%d %.3f C%d %.3f", k + i, near, k + 1 - i,
                         1.0 - near);
                write_spring(d, index++, k + i, lever);
            }
            k++;
            continue;
        }
        for (int left = d->sprung[k] ? 1 + chance(d, 0.12) : 0; left > 0; left--) {
            write_spring(d, index++, k, NULL);
        }
    }
}

static void write_law(drawing *d, double bore) {
    switch (upto(d, 4)) {
    case 0:
        attribute(d, 1.0, "sonic", BARONET_SONIC_CONDUCTANCE, 1.4e-3 * bore * bore);
        say(d, " critical %.2f", between(d, 0.05, 0.55));
        break;
    case 1:
        attribute(d, 1.0, "kv", BARONET_VOLUME_FLOW, 9.0 * bore * bore);
        break;
    case 2:
        say(d, "  cv");
        number(d, 3.7e4 * bore * bore);
        say(d, chance(d, 0.3) ? " xt 0.62" : "");
        break;
    default:
        attribute(d, 1.0, "bore", BARONET_LENGTH, bore);
        say(d, chance(d, 0.3) ? " cd 0.71" : "");
    }
}

static void write_nature(drawing *d, double bore) {
    if (chance(d, 0.2)) {
        say(d, "\n   bypass");
        if (chance(d, 0.5)) {
            plainly(d, 1e3 * bore * between(d, 0.01, 0.2), "mm");
        } else {
            write_law(d, bore * between(d, 0.01, 0.2));
        }
    }
    if (chance(d, 0.1)) {
        say(d, " opens-above");
        plainly(d, between(d, 0.02, 1.0), "bar");
    }
    say(d, chance(d, 0.1) ? " one-way" : "");
    attribute(d, 0.3, "volts", BARONET_VOLTAGE, chance(d, 0.5) ? 12.0 : 24.0);
    attribute(d, 0.3, "current", BARONET_CURRENT, between(d, 0.2, 2.0));
}

typedef enum joint { JOINT_HOSE, JOINT_RESTRICTOR, JOINT_SOLENOID, JOINTS } joint;

static void join(drawing *d, joint kind, const char *from, const char *to) {
    static const char *const words[] = {"hose", "restrictor", "solenoid"};
    const double bore = d->sensible ? between(d, 0.003, 0.014) : spread(d, 0.0008, 0.03);
    const int index = d->edges++;
    say(d, "%s e%d from %s to %s", words[kind], index, from, to);
    if (kind == JOINT_HOSE) {
        attribute(d, 1.0, "bore", BARONET_LENGTH, bore);
        attribute(d, 1.0, "length", BARONET_LENGTH, spread(d, 0.05, d->sensible ? 3.0 : 30.0));
        attribute(d, 0.2, "roughness", BARONET_LENGTH, spread(d, 5e-7, 5e-5));
        if (chance(d, 0.6)) {
            say(d, " fittings %.1f", between(d, 0.0, 6.0));
        }
        keep(&d->vessels, "e", index);
    } else {
        say(d, kind == JOINT_SOLENOID ? "  normally %s" : "", chance(d, 0.8) ? "closed" : "open");
        write_law(d, bore);
    }
    if (kind == JOINT_SOLENOID) {
        keep(&d->solenoids, "e", index);
        write_nature(d, bore);
    }
    attribute(d, 0.3, "rated", BARONET_PRESSURE, between(d, 6e5, 1.2e6));
    say(d, "\n");
}

static const char *write_tee(drawing *d) {
    const char *const name = keep(&d->inner, "j", d->inner.count);
    say(d, "tee %s", name);
    attribute(d, 0.3, "volume", BARONET_VOLUME, spread(d, 1e-6, 2e-4));
    say(d, "\n");
    return name;
}

static const char *write_tank(drawing *d, double pressure) {
    const int index = d->tanks.count;
    const char *const name = keep(&d->tanks, "t", index);
    keep(&d->vessels, "t", index);
    say(d, "tank %s", name);
    attribute(d, 1.0, "volume", BARONET_VOLUME, spread(d, 2e-4, 2e-2));
    attribute(d, pressure > 0.0 ? 1.0 : 0.0, "pressure", BARONET_PRESSURE, pressure);
    attribute(d, 0.5, "rated", BARONET_PRESSURE, between(d, 8e5, 1.4e6));
    say(d, "\n");
    return name;
}

/* A tank behind a valve needs air of its own, for the valve may be shut when all is filled. */
static void write_branch(drawing *d, const char *from) {
    const char *at = from;
    if (chance(d, 0.6)) {
        const char *const tee = write_tee(d);
        join(d, chance(d, 0.7) ? JOINT_HOSE : JOINT_RESTRICTOR, at, tee);
        at = tee;
    }
    if (chance(d, 0.75)) {
        const joint kind = chance(d, 0.6) ? JOINT_SOLENOID : (joint)upto(d, JOINTS);
        const bool own = kind == JOINT_SOLENOID ? d->sensible || chance(d, 0.95) : chance(d, 0.3);
        const char *const tank = write_tank(d, own ? between(d, 3e5, 8e5) : 0.0);
        join(d, kind, at, tank);
    }
}

static void write_cross(drawing *d) {
    const char *const from = any(d, &d->inner), *to = any(d, &d->inner);
    if (from == to) {
        return;
    }
    if (chance(d, 0.5)) {
        join(d, chance(d, 0.6) ? JOINT_SOLENOID : (joint)upto(d, JOINTS), from, to);
        return;
    }
    const char *const near = write_tee(d), *const far = write_tee(d);
    join(d, JOINT_HOSE, from, near);
    join(d, chance(d, 0.6) ? JOINT_SOLENOID : JOINT_RESTRICTOR, near, far);
    join(d, JOINT_HOSE, far, to);
}

static void write_pump(drawing *d, const char *to) {
    say(d, "compressor pump");
    say(d, chance(d, 0.5) ? " from atmosphere" : "");
    say(d, " to %s\n   pressure bar  flow L/min\n", to);
    double flow = between(d, 20.0, 300.0), pressure = 0.0;
    for (int rows = 2 + upto(d, 3); rows > 1; rows--) {
        say(d, "   %.2f %.2f\n", pressure, flow);
        pressure += between(d, 1.0, 5.0);
        flow *= between(d, 0.5, 0.95);
    }
    say(d, "   %.2f 0\n", pressure);
}

static void valve(drawing *d, const char *words, const char *extra, double value, double bore) {
    say(d, "%s", words);
    if (extra != NULL) {
        say(d, " %s", extra);
        plainly(d, value, "bar");
    }
    write_law(d, bore);
    say(d, "\n");
}

static void write_supply(drawing *d) {
    d->supply = true;
    say(d, "supply line pressure");
    quantity(d, BARONET_PRESSURE, between(d, 6e5, 1e6));
    say(d, "\ntank reserve volume");
    quantity(d, BARONET_VOLUME, between(d, 2e-3, 3e-2));
    say(d, " pressure");
    quantity(d, BARONET_PRESSURE, between(d, 5e5, 1e6));
    say(d, "\n");
    const bool sprung = chance(d, 0.7);
    valve(d, "check-valve nr from line to reserve", sprung ? "opens-at" : NULL,
          between(d, 0.0, 0.4), 0.004);
    valve(d, "relief blow from reserve", "set", between(d, 7.0, 12.0), 0.006);
    const char *feed = "reserve";
    if (chance(d, 0.4)) {
        say(d, "tank rail volume 0.4 L pressure 5 bar\n");
        valve(d, "regulator reg from reserve to rail", "set", between(d, 4.0, 8.0), 0.005);
        feed = "rail";
    }
    if (chance(d, 0.5)) {
        write_pump(d, "reserve");
    }
    for (int left = 1 + upto(d, 3); left > 0; left--) {
        join(d, JOINT_SOLENOID, feed, any(d, &d->inner));
    }
}

static void write_air(drawing *d) {
    const int springs = d->springs.count;
    for (int k = 0; k < springs; k++) {
        for (int left = chance(d, 0.8) ? 1 + chance(d, 0.1) : 0; left > 0; left--) {
            write_branch(d, d->springs.name[k]);
        }
    }
    for (int left = upto(d, springs > 1 ? 4 : 2); left > 0; left--) {
        write_cross(d);
    }
    if (chance(d, 0.4)) {
        write_supply(d);
    }
    if (chance(d, 0.3)) {
        join(d, JOINT_SOLENOID, any(d, &d->inner), "atmosphere");
    }
    if (!d->sensible && chance(d, 0.04)) {
        join(d, JOINT_RESTRICTOR, any(d, &d->inner), "atmosphere");
    }
    if (!d->sensible && chance(d, 0.04)) {
        say(d, "tank alone volume 3 L\n"); /* joined to nothing, and no air in it */
    }
}

static void write_states(drawing *d) {
    for (int left = upto(d, 4); left > 0; left--) {
        say(d, "state %s", keep(&d->states, "v", d->states.count));
        for (int side = 0; side < 2; side++) {
            bool said = false;
            for (int k = side; k < d->solenoids.count; k += 2) {
                if (chance(d, 0.6)) {
                    say(d, "%s %s",
                        said        ? ""
                        : side == 0 ? " open"
                                    : " shut",
                        d->solenoids.name[k]);
                    said = true;
                }
            }
        }
        say(d, "\n");
    }
    if (d->states.count > 0 && chance(d, 0.3)) {
        say(d, "charge in %s\n", any(d, &d->states));
    }
}

static void write_motion(drawing *d) {
    if (d->wheels > 1 && chance(d, 0.3)) {
        const int first = upto(d, d->wheels);
        say(d, "motion M0 C%d +1 C%d %.2f\n", first, (first + 1) % d->wheels,
            between(d, -1.2, 1.2));
    }
}

static void write_cases(drawing *d) {
    for (int left = upto(d, 3); left > 0; left--) {
        say(d, "case %s", keep(&d->cases, "k", d->cases.count));
        const int first = upto(d, d->loaded.count), count = 1 + upto(d, d->loaded.count);
        for (int k = 0; k < count; k++) {
            say(d, " %s", d->loaded.name[(first + k) % d->loaded.count]);
            quantity(d, BARONET_MASS, between(d, d->sensible ? 5.0 : -60.0, 120.0));
        }
        say(d, "%s\n", chance(d, 0.5) ? " levelled" : chance(d, 0.5) ? " unlevelled" : "");
    }
}

/* Actions of events that need no more than a number or two. */
typedef struct action {
    const char *words;
    baronet_dimension dimension;
    double low, high;
    double over; /* s, at most; 0: at once */
} action;

static void write_simple(drawing *d) {
    static const action actions[] = {{"lateral", BARONET_ACCELERATION, -4.0, 4.0, 1.0},
                                     {"braking", BARONET_ACCELERATION, -2.0, 5.0, 1.0},
                                     {"step heave", BARONET_LENGTH, -0.02, 0.02, 0.0},
                                     {"temperature", BARONET_TEMPERATURE, 255.0, 320.0, 5.0}};
    const action *const a = &actions[upto(d, COUNT(actions))];
    say(d, "%s", a->words);
    quantity(d, a->dimension, between(d, a->low, a->high));
    if (a->over > 0.0 && chance(d, 0.7)) {
        say(d, " over %.2f s", between(d, 0.0, a->over));
    }
}

static void write_action(drawing *d) {
    switch (upto(d, 8)) {
    case 0:
        say(d, "bump %s", any(d, &d->loaded));
        quantity(d, BARONET_LENGTH, between(d, -0.05, 0.07));
        say(d, " over %.3f s", between(d, 0.03, 0.5));
        break;
    case 1:
        say(d, "load %s", any(d, &d->loaded));
        quantity(d, BARONET_MASS, between(d, -100.0, 150.0));
        break;
    case 2:
        say(d, "burst %s bore", any(d, &d->vessels));
        quantity(d, BARONET_LENGTH, spread(d, 1e-4, 1e-2));
        break;
    case 3:
        say(d, chance(d, 0.4) ? "hold" : d->supply ? "supply line lost" : "step heave 9 mm");
        break;
    case 4:
        say(d, "state %s", d->states.count > 0 ? any(d, &d->states) : "rest");
        break;
    case 5:
        if (d->solenoids.count > 0) {
            say(d, chance(d, 0.6) ? "open " : "shut ");
            say(d, "%s", any(d, &d->solenoids));
            break;
        } /* fall through */
    default:
        write_simple(d);
    }
    say(d, "\n");
}

static void write_event(drawing *d, int index) {
    const double until = spread(d, 0.2, chance(d, 0.1) ? 20000.0 : 10.0);
    say(d, "event E%d", index);
    if (d->states.count > 0 && chance(d, 0.6)) {
        say(d, " in %s", any(d, &d->states));
    }
    for (int left = 1 + upto(d, 4); left > 0; left--) {
        if (chance(d, 0.85)) {
            say(d, "\n   at %.3f s ", between(d, 0.0, 0.9 * until));
        } else {
            say(d, "\n   when height of %s", any(d, &d->springs));
            say(d, chance(d, 0.5) ? " above" : " below");
            quantity(d, BARONET_LENGTH, between(d, 0.1, 0.25));
            say(d, " ");
        }
        write_action(d);
    }
    say(d, "   until %.3f s\n", until);
}

static void write_require(drawing *d) {
    static const char *const figures[] = {"gauge_pressure below 9 bar",
                                          "heave_rate below 300 N/mm settled",
                                          "spring_rate above 1 N/mm instant",
                                          "settle_time_63 of heave below 0.6 s",
                                          "ride_frequency below 2.5 Hz",
                                          "height above 3 in",
                                          "roll_rate above 100 lbf.ft/deg settled"};
    say(d, "require %s", figures[upto(d, COUNT(figures))]);
    if (d->states.count > 0 && chance(d, 0.5)) {
        say(d, " in %s", any(d, &d->states));
    }
    if (d->cases.count > 0 && chance(d, 0.3)) {
        say(d, " with %s", any(d, &d->cases));
    }
    say(d, "\n");
}

static void write_questions(drawing *d, random_netlist *r) {
    static const char *const figures[] = {"heave_rate settled", "heave_rate instant",
                                          "ride_frequency settled", "volume"};
    const char *const spring = any(d, &d->springs), *const loaded = any(d, &d->loaded);
    snprintf(r->change[0], RANDOM_WORDS, "%s.height=+-%d%%", spring, 1 + upto(d, 5));
    if (d->tanks.count > 0) {
        snprintf(r->change[1], RANDOM_WORDS, "%s.volume=0.3L..%dL", any(d, &d->tanks),
                 1 + upto(d, 9));
    } else {
        snprintf(r->change[1], RANDOM_WORDS, "%s.load=300kg..500kg", loaded);
    }
    snprintf(r->tolerance, RANDOM_WORDS, "%s.load=+-%d%%", loaded, 1 + upto(d, 10));
    snprintf(r->figure[0], RANDOM_WORDS, "gauge_pressure of %s", spring);
    if (d->wheels > 0) {
        snprintf(r->figure[1], RANDOM_WORDS, "%s", figures[upto(d, COUNT(figures))]);
    } else {
        snprintf(r->figure[1], RANDOM_WORDS, "spring_rate of %s settled", spring);
    }
    snprintf(r->target, RANDOM_WORDS, "gauge_pressure of %s below %d bar", spring, 3 + upto(d, 5));
}

random_netlist random_draw(unsigned long long seed, random_mood mood) {
    random_netlist r = {0};
    drawing d = {.dice = seed * 0x9E3779B97F4A7C15u + 12345u, .out = &r.text};
    random_unit(&d.dice);
    const double mood_of = random_unit(&d.dice);
    d.sensible = mood == RANDOM_SENSIBLE;
    d.odd = d.sensible || mood_of < 0.6 ? 0.0 : mood_of < 0.9 ? 0.01 : 0.15;
    d.ambient = 101325.0;
    d.wheels = chance(&d, 0.15) ? 0 : chance(&d, 0.5) ? 1 + upto(&d, 2) : 1 + upto(&d, 4);
    d.wheels = d.wheels > 0 && chance(&d, 0.08) ? 4 + upto(&d, 5) : d.wheels;
    write_setting(&d);
    write_vehicle(&d);
    d.profiles = 1 + upto(&d, MOST_PROFILES);
    for (int k = 0; k < d.profiles; k++) {
        write_profile(&d, k);
    }
    write_corners(&d);
    write_springs(&d);
    write_air(&d);
    write_states(&d);
    write_motion(&d);
    write_cases(&d);
    for (int k = 0, events = upto(&d, 3); k < events; k++) {
        write_event(&d, k);
    }
    for (int left = upto(&d, 3); left > 0; left--) {
        write_require(&d);
    }
    write_questions(&d, &r);
    return r;
}
