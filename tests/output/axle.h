/* axle.h: an axle of uneven sides, with what the tests of the pages add to it.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_OUTPUT_AXLE_H
#define TESTS_OUTPUT_AXLE_H

#define AXLE_SLEEVE                                                                                \
    "profile sleeve\n"                                                                             \
    "  height mm area cm2 volume L\n"                                                              \
    "  110 79.0 0.98\n"                                                                            \
    "  160 76.5 1.37\n"                                                                            \
    "  210 75.5 1.75\n"

#define AXLE                                                                                       \
    AXLE_SLEEVE                                                                                    \
    "corner RL at 0 m 0.8 m load 455 kg\n"                                                         \
    "corner RR at 0 m -0.8 m load 430 kg\n"                                                        \
    "bar rear-bar between RL RR roll 450 N.m/deg\n"                                                \
    "spring left on RL profile sleeve height 160 mm rated 8 bar\n"                                 \
    "spring right on RR profile sleeve height 162 mm rated 8 bar\n"

/* An axle whose right spring has an area that grows with height: with a large volume open to it the
   rate there is below nought, which a strong bar holds; so it has no frequency. */
#define AXLE_BULGING                                                                               \
    AXLE_SLEEVE                                                                                    \
    "profile bulging\n"                                                                            \
    "  height mm area cm2 volume L\n"                                                              \
    "  110 60 1.03\n"                                                                              \
    "  160 76 1.37\n"                                                                              \
    "  210 92 1.79\n"                                                                              \
    "corner RL at 0 m 0.8 m load 455 kg\n"                                                         \
    "corner RR at 0 m -0.8 m load 430 kg\n"                                                        \
    "bar rear-bar between RL RR roll 4000 N.m/deg\n"                                               \
    "spring left on RL profile sleeve height 160 mm rated 8 bar\n"                                 \
    "spring right on RR profile bulging height 162 mm rated 8 bar\n"

/* A tank behind a solenoid on each side: `soft` with both, `firm` with none. */
#define AXLE_TANKS                                                                                 \
    "tank left-tank volume 3 L rated 12 bar\n"                                                     \
    "tank right-tank volume 3.2 L rated 12 bar\n"                                                  \
    "solenoid left-gate from left to left-tank normally closed bore 10 mm\n"                       \
    "solenoid right-gate from right to right-tank normally closed bore 10 mm\n"                    \
    "state soft open left-gate right-gate\n"                                                       \
    "state firm shut left-gate right-gate\n"

/* A state in which one side carries nothing, for which there is no stop. */
#define AXLE_DUMP                                                                                  \
    "solenoid dump from left to atmosphere normally closed bore 4 mm\n"                            \
    "state down open dump\n"

/* A spring on a bench with nothing to it. */
#define BENCH                                                                                      \
    "profile piston area 95 cm2 volume 2.9 L at 150 mm\n"                                          \
    "spring bag profile piston height 150 mm load 300 kg rated 8 bar\n"

/* Air without a spring. */
#define TANKS                                                                                      \
    "tank small volume 1.1 L pressure 3 bar rated 9 bar\n"                                         \
    "tank large volume 2.4 L pressure 4 bar rated 9 bar\n"                                         \
    "hose line from small to large bore 6 mm length 0.7 m\n"

#endif
