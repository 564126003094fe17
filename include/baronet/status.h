/* status.h: how a call ended. A status is a number to branch on; what it is about (which spring, by
   how much) is data beside it, and words are made last, by baronet_status_text or the renderers.
   SPDX-License-Identifier: MIT */
#ifndef BARONET_STATUS_H
#define BARONET_STATUS_H

#include "baronet/api.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One line a status: name, value (pinned: published values never change), words, exit code of the
   command line (0 done, 1 requirement not met, 2 wrong usage, 3 netlist wrong, 4 no solution found,
   5 a file could not be read or written, or memory ran out). */
#define BARONET_STATUS_LIST(X)                                                                     \
    X(BARONET_OK, 0, "done", 0)                                                                    \
    X(BARONET_NOT_MET, 1, "a requirement is not met", 1)                                           \
    X(BARONET_BAD_USAGE, 2, "wrong usage", 2)                                                      \
    X(BARONET_BAD_NETLIST, 3, "the netlist is wrong", 3)                                           \
    X(BARONET_OUT_OF_MEMORY, 4, "out of memory", 5)                                                \
    X(BARONET_NO_FILE, 5, "a file could not be read or written", 5)                                \
    X(BARONET_NOT_CONVERGED, 6, "no equilibrium was found", 4)                                     \
    X(BARONET_OFF_PROFILE, 7, "a spring ran off its profile", 4)                                   \
    X(BARONET_SLACK, 8, "a spring would go slack", 4)                                              \
    X(BARONET_WHEEL_LIFTS, 9, "a wheel would lift", 4)                                             \
    X(BARONET_NEUTRAL, 10, "nothing holds a motion", 4)                                            \
    X(BARONET_UNSTABLE, 11, "an equilibrium is unstable", 4)                                       \
    X(BARONET_FLAT, 12, "springs are open to atmosphere", 4)                                       \
    X(BARONET_TWO_SOURCES, 13, "a group is joined to two different held pressures", 4)             \
    X(BARONET_SINGULAR, 14, "a matrix is singular", 4)                                             \
    X(BARONET_NOT_FINITE, 15, "a number is not finite", 4)                                         \
    X(BARONET_TOO_MANY, 16, "a stated limit is exceeded", 2)                                       \
    X(BARONET_NO_SUCH_NAME, 17, "there is no such name", 2)                                        \
    X(BARONET_CONTRADICTION, 18, "load, height and pressure contradict one another", 3)            \
    X(BARONET_UNDETERMINED, 19, "a height, pressure or load cannot be told", 3)                    \
    X(BARONET_NO_AIR, 20, "a group has no air given", 3)                                           \
    X(BARONET_OVER_BUDGET, 21, "a budget of steps is used up", 4)

typedef enum baronet_status {
#define BARONET_STATUS_ENUM(name, value, words, exit_code) name = value,
    BARONET_STATUS_LIST(BARONET_STATUS_ENUM)
#undef BARONET_STATUS_ENUM
} baronet_status;

/* Short words for a status; never NULL, static storage. */
BARONET_API const char *baronet_status_text(baronet_status status);

/* Exit code of the command line for a status, 0 to 5. */
BARONET_API int baronet_status_exit_code(baronet_status status);

#ifdef __cplusplus
}
#endif

#endif
