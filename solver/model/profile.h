/* profile.h: what one type of air spring is: load, area and volume against height and pressure.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_PROFILE_H
#define MODEL_PROFILE_H

#include <stdbool.h>

#include "base/memory.h"
#include "baronet/status.h"

/* A curve through points with rising abscissae: the shape-preserving cubic of Fritsch and Carlson
   (SIAM J. Numer. Anal. 17, 1980), inner slopes by the weighted harmonic mean of Fritsch and
   Butland (SIAM J. Sci. Stat. Comput. 5, 1984), ends by the three-point formula limited to keep the
   shape. */
typedef struct curve {
    int points;
    const double *x;     /* points, rising */
    const double *y;     /* points */
    const double *slope; /* points */
} curve;

/* A profile is given in one of three ways: area (with volume or an anchor for it), a piston of
   constant area, or load at test pressures (then `tests` > 0). */
typedef struct profile {
    const char *name;
    int rows;               /* 0 for a piston, which has no ends */
    double lowest, highest; /* m, ends of the table; a piston has one below only */
    double area;            /* m2, piston */
    curve area_curve;       /* m2 against m, where tests == 0 */
    curve volume_curve;     /* m3 against m; points == 0: the volume is the integral of the area */
    int tests;              /* number of test pressures */
    const double *pressure; /* Pa gauge, tests, rising */
    const curve *load;      /* N against m, one a test */
    double anchor_volume;   /* m3 at anchor_height, where the volume is an integral */
    double anchor_height;   /* m */
    const double *integral; /* m3, rows: integral of the area from the first row */
    double disagreement;    /* largest |area - dV/dh| / area over the table's range, or 0 */
    double disagreement_height; /* m, where that is */
} profile;

/* Part of a piston's given volume that is left in it at its end: the pressure of no volume would be
   no number. */
#define PROFILE_DEAD_VOLUME 1e-3

/* The only end of a piston, m: where its air would be gone, but for what no piston is rid of. */
double profile_piston_end(const profile *p);

/* Most test pressures in one profile. */
#define PROFILE_TESTS_MAX 16

/* What a profile's table holds, before it is a profile. Rows rise in height; NULL for a column that
   is not there; load is tests x rows, one test after another. */
typedef struct profile_table {
    const char *name;
    int rows;
    const double *height; /* m */
    const double *area;   /* m2 */
    const double *volume; /* m3 */
    int tests;
    const double *pressure; /* Pa gauge, rising */
    const double *load;     /* N */
    bool anchored;
    double anchor_volume, anchor_height;
} profile_table;

/* Makes a profile from a table, or a piston where rows == 0 and piston_area > 0 (then anchored).
   All memory is the arena's. The table must be checked already: at least two rows, heights rising,
   areas, volumes and loads positive, a volume column or an anchor. */
BARONET_CHECKED baronet_status profile_make(profile *out, arena *a, const profile_table *table,
                                            double piston_area);

/* All that a law needs at one height h (m) and gauge pressure P (Pa). */
typedef struct profile_point {
    double load;          /* N, without the carcass */
    double area;          /* m2, load/P; at P = 0 its limit */
    double load_pressure; /* m2, d load/dP at constant height; equals area without a load table */
    double load_height;   /* N/m, d load/dh at constant pressure: P dA/dh without a load table */
    double volume;        /* m3 */
    double breathing;     /* m2, B = dV/dh */
} profile_point;

/* Outside the table the end values of load, area and B are held, so that a search has somewhere to
   go back from: an answer that rests there is an error, see profile_overrun. */
profile_point profile_at(const profile *p, double h, double P);

/* How far h is outside the table: negative below, positive above, 0 inside (m). */
double profile_overrun(const profile *p, double h);

/* Highest test pressure (Pa gauge), infinity without a load table: above it the load goes on in a
   straight line, which answers say. */
double profile_highest_test(const profile *p);

#endif
