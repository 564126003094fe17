/* SPDX-License-Identifier: MIT */
#include "model/figure.h"

static const figure_name table[FIGURES] = {
    [FIGURE_PRESSURE] = {"pressure", BARONET_PRESSURE, SUBJECT_NODE},
    [FIGURE_GAUGE_PRESSURE] = {"gauge_pressure", BARONET_PRESSURE, SUBJECT_NODE},
    [FIGURE_HEIGHT] = {"height", BARONET_LENGTH, SUBJECT_SPRING},
    [FIGURE_VOLUME] = {"volume", BARONET_VOLUME, SUBJECT_NODE},
    [FIGURE_LOAD] = {"load", BARONET_FORCE, SUBJECT_CORNER | SUBJECT_SPRING},
    [FIGURE_SPRING_RATE] = {"spring_rate", BARONET_STIFFNESS, SUBJECT_SPRING},
    [FIGURE_WHEEL_RATE] = {"wheel_rate", BARONET_STIFFNESS, SUBJECT_CORNER},
    [FIGURE_RIDE_RATE] = {"ride_rate", BARONET_STIFFNESS, SUBJECT_CORNER},
    [FIGURE_ONE_WHEEL_RATE] = {"one_wheel_rate", BARONET_STIFFNESS, SUBJECT_CORNER},
    [FIGURE_STIFFNESS] = {"stiffness", BARONET_STIFFNESS, SUBJECT_PAIR},
    [FIGURE_HEAVE_RATE] = {"heave_rate", BARONET_STIFFNESS, SUBJECT_NONE},
    [FIGURE_PITCH_RATE] = {"pitch_rate", BARONET_ANGULAR_STIFFNESS, SUBJECT_NONE},
    [FIGURE_ROLL_RATE] = {"roll_rate", BARONET_ANGULAR_STIFFNESS, SUBJECT_NONE},
    [FIGURE_WARP_RATE] = {"warp_rate", BARONET_STIFFNESS, SUBJECT_NONE | SUBJECT_NUMBER},
    [FIGURE_MOTION_RATE] = {"motion_rate", BARONET_STIFFNESS, SUBJECT_MOTION},
    [FIGURE_RIDE_FREQUENCY] = {"ride_frequency", BARONET_FREQUENCY,
                               SUBJECT_CORNER | SUBJECT_MOTION},
    [FIGURE_ROLL_GRADIENT] = {"roll_gradient", BARONET_ROLL_GRADIENT, SUBJECT_NONE},
    [FIGURE_ROLL_SHARE] = {"roll_share", BARONET_NUMBER, SUBJECT_AXLE},
    [FIGURE_HEIGHT_SHIFT] = {"height_shift", BARONET_LENGTH, SUBJECT_CORNER},
    [FIGURE_AIR_MASS] = {"air_mass", BARONET_AIR_MASS, SUBJECT_NONE | SUBJECT_NODE},
    [FIGURE_TIME_CONSTANT] = {"time_constant", BARONET_TIME, SUBJECT_NUMBER},
    [FIGURE_SETTLE_TIME_63] = {"settle_time_63", BARONET_TIME, SUBJECT_MOTION},
    [FIGURE_SETTLE_TIME_95] = {"settle_time_95", BARONET_TIME, SUBJECT_MOTION},
    [FIGURE_PATH_FREQUENCY] = {"path_frequency", BARONET_FREQUENCY, SUBJECT_EDGE},
    [FIGURE_DAMPING_RATIO] = {"damping_ratio", BARONET_NUMBER, SUBJECT_NUMBER},
    [FIGURE_COMFORT] = {"comfort", BARONET_ACCELERATION, SUBJECT_NONE | SUBJECT_CORNER},
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
