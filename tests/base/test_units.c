/* SPDX-License-Identifier: MIT */
#include "baronet/units.h"

#include <criterion/criterion.h>
#include <string.h>

#include "support.h"

static const baronet_unit *find(const char *name) {
    return baronet_unit_find(name, strlen(name));
}

/* Our name for each factor of tests/reference/units.csv that we read as a unit. */
static const char *const reference_names[][2] = {
    {"psi", "psi"},
    {"bar", "bar"},
    {"lbf", "lbf"},
    {"lb", "lb"},
    {"inch", "in"},
    {"ft", "ft"},
    {"mm", "mm"},
    {"in2", "in2"},
    {"in3", "in3"},
    {"US_gal", "gal"},
    {"litre", "L"},
    {"lbf_per_in", "lbf/in"},
    {"N_per_mm", "N/mm"},
    {"lbf_ft_per_deg", "lbf.ft/deg"},
    {"N_m_per_deg", "N.m/deg"},
    {"dm3_per_s_bar", "L/s.bar"},
};

Test(units, factors_agree_with_the_reference) {
    csv *const table = csv_read("units");
    size_t found = 0;
    for (size_t row = 0; row < csv_rows(table); row++) {
        for (size_t i = 0; i < sizeof reference_names / sizeof *reference_names; i++) {
            if (!csv_is(table, row, "quantity", reference_names[i][0]))
                continue;
            CHECK_ROW(find(reference_names[i][1])->factor, table, row);
            found++;
        }
    }
    cr_assert_eq(found, sizeof reference_names / sizeof *reference_names);
    csv_free(table);
}

#define DEFINITION "by definition (NIST SP 811, 2008, Appendix B)"

Test(units, factors_that_the_reference_lacks) {
    static const struct {
        const char *name;
        double factor;
    } expected[] = {
        {"um", 1e-6},
        {"cm", 1e-2},
        {"m", 1.0},
        {"mL", 1e-6},
        {"cm3", 1e-6},
        {"m3", 1.0},
        {"kPa", 1e3},
        {"MPa", 1e6},
        {"Pa", 1.0},
        {"kN", 1e3},
        {"N", 1.0},
        {"kg", 1.0},
        {"N/m", 1.0},
        {"kN/m", 1e3},
        {"N.m/rad", 1.0},
        {"ms", 1e-3},
        {"min", 60.0},
        {"h", 3600.0},
        {"Hz", 1.0},
        {"m2", 1.0},
        {"cm2", 1e-4},
        {"mm2", 1e-6},
        {"m/s2", 1.0},
        {"g", 9.80665},
        {"m/s", 1.0},
        {"km/h", 1000.0 / 3600.0},
        {"mph", 0.44704},
        {"deg", 0.017453292519943295},
        {"rad", 1.0},
        {"V", 1.0},
        {"A", 1.0},
        {"mA", 1e-3},
        {"m3/h", 1 / 3600.0},
        {"L/min", 1e-3 / 60.0},
        {"m3/s", 1.0},
        {"cfm", 4.71947443e-4}, /* given to nine digits there */
        {"kg.m2", 1.0},
        {"lb.ft2", 0.042140110093804800},
        {"N.s/m", 1.0},
        {"kN.s/m", 1e3},
        {"lbf.s/in", 175.12683524647636},
        {"m3/(s.Pa)", 1.0},
        {"rad/(m/s2)", 1.0},
        {"deg/(m/s2)", 0.017453292519943295},
        {"deg/g", 0.017453292519943295 / 9.80665},
    };
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        const baronet_unit *const unit = find(expected[i].name);
        cr_assert(unit != NULL, "no unit %s", expected[i].name);
        const double tolerance = strcmp(unit->name, "cfm") == 0 ? 1e-8 : 1e-12;
        CHECK_REL(unit->factor, expected[i].factor, tolerance, DEFINITION);
    }
}

Test(units, temperatures_have_offsets_and_nothing_else_has) {
    const double boiling_f = 212.0, body_c = 36.6;
    CHECK_REL(boiling_f * find("F")->factor + find("F")->offset, 373.15, 1e-14, DEFINITION);
    CHECK_REL(body_c * find("C")->factor + find("C")->offset, 309.75, 1e-14, DEFINITION);
    size_t count;
    const baronet_unit *const table = baronet_unit_table(&count);
    for (size_t i = 0; i < count; i++) {
        if (table[i].dimension != BARONET_TEMPERATURE)
            cr_expect_eq(table[i].offset, 0.0, "%s", table[i].name);
    }
}

Test(units, each_is_found_by_its_name_and_by_no_other) {
    size_t count;
    const baronet_unit *const table = baronet_unit_table(&count);
    for (size_t i = 0; i < count; i++) {
        const size_t length = strlen(table[i].name);
        cr_assert(i == 0 || strcmp(table[i - 1].name, table[i].name) < 0, "%s is out of order",
                  table[i].name);
        cr_assert_eq(baronet_unit_find(table[i].name, length), &table[i]);
        char longer[32];
        memcpy(longer, table[i].name, length);
        longer[length] = '~';
        cr_assert_null(baronet_unit_find(longer, length + 1));
    }
    static const char *const unknown[] = {"", "BAR", "Mm", "l", "gram", "mmm", "PSI", "N/", "\0"};
    for (size_t i = 0; i < sizeof unknown / sizeof *unknown; i++)
        cr_assert_null(find(unknown[i]), "%s", unknown[i]);
    cr_assert_null(baronet_unit_find("m\0m", 3));
    cr_assert_eq(baronet_unit_find("mm rest", 2), find("mm"));
}

Test(units, pressures_know_their_datum) {
    static const struct {
        const char *plain, *gauge, *absolute;
    } families[] = {{"bar", "barg", "bara"},
                    {"kPa", "kPag", "kPaa"},
                    {"MPa", "MPag", "MPaa"},
                    {"psi", "psig", "psia"},
                    {"Pa", "Pag", "Paa"}};
    for (size_t i = 0; i < sizeof families / sizeof *families; i++) {
        const baronet_unit *const plain = find(families[i].plain);
        const baronet_unit *const gauge = find(families[i].gauge);
        const baronet_unit *const absolute = find(families[i].absolute);
        cr_assert(plain && gauge && absolute);
        cr_assert_eq(plain->datum, BARONET_DATUM_PLAIN);
        cr_assert_eq(gauge->datum, BARONET_DATUM_GAUGE);
        cr_assert_eq(absolute->datum, BARONET_DATUM_ABSOLUTE);
        cr_assert(plain->factor == gauge->factor && plain->factor == absolute->factor);
    }
}

Test(units, a_bare_g_is_an_acceleration_and_min_a_time) {
    cr_assert_eq(find("g")->dimension, BARONET_ACCELERATION);
    cr_assert_eq(find("min")->dimension, BARONET_TIME);
    cr_assert_eq(find("lb")->dimension, BARONET_MASS);
    cr_assert_str_eq(baronet_unit_shown(BARONET_METRIC, BARONET_AIR_MASS)->name, "g");
    CHECK_REL(baronet_unit_shown(BARONET_METRIC, BARONET_AIR_MASS)->factor, 1e-3, 0.0, DEFINITION);
}

Test(units, each_system_shows_each_dimension) {
    for (int system = BARONET_METRIC; system <= BARONET_SI; system++) {
        for (int dimension = 0; dimension < BARONET_DIMENSIONS; dimension++) {
            const baronet_unit *const unit =
                baronet_unit_shown((baronet_unit_system)system, (baronet_dimension)dimension);
            cr_assert(unit != NULL, "system %d, dimension %d", system, dimension);
            cr_assert_eq((int)unit->dimension, dimension, "%s", unit->name);
            cr_assert_eq(unit->datum, BARONET_DATUM_PLAIN);
            if (system == BARONET_SI)
                cr_assert(unit->factor == 1.0 && unit->offset == 0.0, "%s", unit->name);
        }
    }
    cr_assert_str_eq(baronet_unit_shown(BARONET_METRIC, BARONET_NUMBER)->name, "");
    cr_assert_str_eq(baronet_unit_shown(BARONET_IMPERIAL, BARONET_STIFFNESS)->name, "lbf/in");
}

Test(units, each_dimension_has_words_of_its_own) {
    for (int i = 0; i < BARONET_DIMENSIONS; i++) {
        const char *const words = baronet_dimension_text((baronet_dimension)i);
        cr_assert(words && *words);
        for (int j = 0; j < i; j++)
            cr_assert_str_neq(words, baronet_dimension_text((baronet_dimension)j));
    }
}
