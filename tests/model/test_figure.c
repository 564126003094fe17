/* SPDX-License-Identifier: MIT */
#include "model/figure.h"

#include <criterion/criterion.h>
#include <string.h>

typedef struct expected {
    const char *name;
    baronet_dimension dimension;
    unsigned subjects;
} expected;

/* The names, dimensions and subjects that are promised to whoever reads the machine formats. */
static const expected promised[FIGURES] = {
    {"pressure", BARONET_PRESSURE, SUBJECT_NODE},
    {"gauge_pressure", BARONET_PRESSURE, SUBJECT_NODE},
    {"height", BARONET_LENGTH, SUBJECT_SPRING},
    {"volume", BARONET_VOLUME, SUBJECT_NODE},
    {"load", BARONET_FORCE, SUBJECT_CORNER | SUBJECT_SPRING},
    {"spring_rate", BARONET_STIFFNESS, SUBJECT_SPRING},
    {"wheel_rate", BARONET_STIFFNESS, SUBJECT_CORNER},
    {"ride_rate", BARONET_STIFFNESS, SUBJECT_CORNER},
    {"one_wheel_rate", BARONET_STIFFNESS, SUBJECT_CORNER},
    {"stiffness", BARONET_STIFFNESS, SUBJECT_PAIR},
    {"heave_rate", BARONET_STIFFNESS, SUBJECT_NONE},
    {"pitch_rate", BARONET_ANGULAR_STIFFNESS, SUBJECT_NONE},
    {"roll_rate", BARONET_ANGULAR_STIFFNESS, SUBJECT_NONE},
    {"warp_rate", BARONET_STIFFNESS, SUBJECT_NONE | SUBJECT_NUMBER},
    {"motion_rate", BARONET_STIFFNESS, SUBJECT_MOTION},
    {"ride_frequency", BARONET_FREQUENCY, SUBJECT_CORNER | SUBJECT_MOTION},
    {"roll_gradient", BARONET_ROLL_GRADIENT, SUBJECT_NONE},
    {"roll_share", BARONET_NUMBER, SUBJECT_AXLE},
    {"height_shift", BARONET_LENGTH, SUBJECT_CORNER},
    {"air_mass", BARONET_AIR_MASS, SUBJECT_NONE | SUBJECT_NODE},
    {"time_constant", BARONET_TIME, SUBJECT_NUMBER},
    {"settle_time_63", BARONET_TIME, SUBJECT_MOTION},
    {"settle_time_95", BARONET_TIME, SUBJECT_MOTION},
    {"path_frequency", BARONET_FREQUENCY, SUBJECT_EDGE},
    {"damping_ratio", BARONET_NUMBER, SUBJECT_NUMBER},
    {"comfort", BARONET_ACCELERATION, SUBJECT_NONE | SUBJECT_CORNER},
};

Test(figure, names_are_the_promised_ones) {
    for (int i = 0; i < FIGURES; i++) {
        const figure_name *const row = figure_at((figure_quantity)i);
        cr_assert_str_eq(row->name, promised[i].name);
        cr_assert_eq(row->dimension, promised[i].dimension, "%s", row->name);
        cr_assert_eq(row->subjects, promised[i].subjects, "%s", row->name);
        cr_assert_eq(figure_find(text_of(promised[i].name)), i);
    }
}

Test(figure, words_that_are_no_name_are_not_found) {
    static const char *const words[] = {"", "pressur", "pressures", "Load", "load ", "rest"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        cr_assert_eq(figure_find(text_of(words[i])), -1, "`%s`", words[i]);
}

Test(figure, levels_have_their_names) {
    static const char *const names[LEVELS] = {"", "instant", "settled", "parked", "ride"};
    for (int i = 0; i < LEVELS; i++) {
        cr_assert_str_eq(level_name((level)i), names[i]);
        cr_assert_eq(level_find(text_of(names[i])), (level)i);
    }
    cr_assert_eq(level_find(text_of("instantly")), LEVEL_NONE);
}
