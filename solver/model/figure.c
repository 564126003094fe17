/* SPDX-License-Identifier: MIT */
#include "model/figure.h"

static const figure_name table[FIGURES] = {
    [FIGURE_PRESSURE] = {"pressure", BARONET_PRESSURE, SUBJECT_NODE, true},
    [FIGURE_GAUGE_PRESSURE] = {"gauge_pressure", BARONET_PRESSURE, SUBJECT_NODE, true},
    [FIGURE_HEIGHT] = {"height", BARONET_LENGTH, SUBJECT_SPRING, true},
    [FIGURE_VOLUME] = {"volume", BARONET_VOLUME, SUBJECT_NODE, false},
    [FIGURE_LOAD] = {"load", BARONET_FORCE, SUBJECT_CORNER | SUBJECT_SPRING, true},
    [FIGURE_SPRING_RATE] = {"spring_rate", BARONET_STIFFNESS, SUBJECT_SPRING, true},
    [FIGURE_WHEEL_RATE] = {"wheel_rate", BARONET_STIFFNESS, SUBJECT_CORNER, true},
    [FIGURE_RIDE_RATE] = {"ride_rate", BARONET_STIFFNESS, SUBJECT_CORNER, true},
    [FIGURE_ONE_WHEEL_RATE] = {"one_wheel_rate", BARONET_STIFFNESS, SUBJECT_CORNER, true},
    [FIGURE_STIFFNESS] = {"stiffness", BARONET_STIFFNESS, SUBJECT_PAIR, true},
    [FIGURE_HEAVE_RATE] = {"heave_rate", BARONET_STIFFNESS, SUBJECT_NONE, false},
    [FIGURE_PITCH_RATE] = {"pitch_rate", BARONET_ANGULAR_STIFFNESS, SUBJECT_NONE, false},
    [FIGURE_ROLL_RATE] = {"roll_rate", BARONET_ANGULAR_STIFFNESS, SUBJECT_NONE, false},
    [FIGURE_WARP_RATE] = {"warp_rate", BARONET_STIFFNESS, SUBJECT_NONE | SUBJECT_NUMBER, false},
    [FIGURE_MOTION_RATE] = {"motion_rate", BARONET_STIFFNESS, SUBJECT_MOTION, false},
    [FIGURE_RIDE_FREQUENCY] = {"ride_frequency", BARONET_FREQUENCY, SUBJECT_CORNER | SUBJECT_MOTION,
                               false},
    [FIGURE_ROLL_GRADIENT] = {"roll_gradient", BARONET_ROLL_GRADIENT, SUBJECT_NONE, false},
    [FIGURE_ROLL_SHARE] = {"roll_share", BARONET_NUMBER, SUBJECT_AXLE, false},
    [FIGURE_HEIGHT_SHIFT] = {"height_shift", BARONET_LENGTH, SUBJECT_CORNER, true},
    [FIGURE_AIR_MASS] = {"air_mass", BARONET_AIR_MASS, SUBJECT_NONE | SUBJECT_NODE, false},
    [FIGURE_TIME_CONSTANT] = {"time_constant", BARONET_TIME, SUBJECT_NUMBER, true},
    [FIGURE_SETTLE_TIME_63] = {"settle_time_63", BARONET_TIME, SUBJECT_MOTION, false},
    [FIGURE_SETTLE_TIME_95] = {"settle_time_95", BARONET_TIME, SUBJECT_MOTION, false},
    [FIGURE_PATH_FREQUENCY] = {"path_frequency", BARONET_FREQUENCY, SUBJECT_EDGE, false},
    [FIGURE_DAMPING_RATIO] = {"damping_ratio", BARONET_NUMBER, SUBJECT_NUMBER, false},
    [FIGURE_COMFORT] = {"comfort", BARONET_ACCELERATION, SUBJECT_NONE | SUBJECT_CORNER, false},
};

static const char *const level_names[LEVELS] = {
    [LEVEL_NONE] = "",         [LEVEL_INSTANT] = "instant", [LEVEL_SETTLED] = "settled",
    [LEVEL_PARKED] = "parked", [LEVEL_RIDE] = "ride",
};

const figure_name *figure_at(figure_quantity quantity) {
    return &table[quantity];
}

int figure_find(text name) {
    for (int i = 0; i < FIGURES; i++) {
        if (text_equals(name, table[i].name)) {
            return i;
        }
    }
    return -1;
}

const char *level_name(level l) {
    return level_names[l];
}

level level_find(text name) {
    for (int i = LEVEL_INSTANT; i < LEVELS; i++) {
        if (text_equals(name, level_names[i])) {
            return (level)i;
        }
    }
    return LEVEL_NONE;
}
