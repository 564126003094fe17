/* units.h: the only place where numbers change units. Inside the library all is SI: Pa, m, kg, s,
   K, rad, A, V. A dimension here is finer than a physical one where the trade writes it
   differently.
   SPDX-License-Identifier: MIT */
#ifndef BARONET_UNITS_H
#define BARONET_UNITS_H

#include <stdbool.h>
#include <stddef.h>

#include "baronet/api.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum baronet_dimension {
    BARONET_NUMBER,            /* dimensionless */
    BARONET_LENGTH,            /* m */
    BARONET_AREA,              /* m2 */
    BARONET_VOLUME,            /* m3 */
    BARONET_PRESSURE,          /* Pa */
    BARONET_FORCE,             /* N */
    BARONET_MASS,              /* kg */
    BARONET_STIFFNESS,         /* N/m */
    BARONET_ANGULAR_STIFFNESS, /* N m/rad */
    BARONET_TEMPERATURE,       /* K */
    BARONET_TIME,              /* s */
    BARONET_FREQUENCY,         /* Hz */
    BARONET_ACCELERATION,      /* m/s2 */
    BARONET_SPEED,             /* m/s */
    BARONET_ANGLE,             /* rad */
    BARONET_VOLTAGE,           /* V */
    BARONET_CURRENT,           /* A */
    BARONET_VOLUME_FLOW,       /* m3/s; of free air (20 C, 100 kPa) where flow of air is meant */
    BARONET_SONIC_CONDUCTANCE, /* m3/(s Pa), ISO 6358-1 */
    BARONET_INERTIA,           /* kg m2 */
    BARONET_DAMPING,           /* N s/m */
    BARONET_ROLL_GRADIENT,     /* rad/(m/s2); printed only */
    BARONET_AIR_MASS,          /* kg; printed only, in grams or pounds */
    BARONET_ENERGY,            /* J; printed only */
    BARONET_DIMENSIONS         /* how many there are */
} baronet_dimension;

/* How a pressure unit counts. */
typedef enum baronet_datum {
    BARONET_DATUM_PLAIN,   /* bar: gauge or absolute as the attribute says */
    BARONET_DATUM_GAUGE,   /* barg */
    BARONET_DATUM_ABSOLUTE /* bara */
} baronet_datum;

typedef struct baronet_unit {
    const char *name;
    baronet_dimension dimension;
    double factor; /* SI value = number * factor + offset */
    double offset; /* K; zero but for temperatures */
    baronet_datum datum;
} baronet_unit;

/* What numbers are printed in. */
typedef enum baronet_unit_system {
    BARONET_METRIC, /* mm, bar, N/mm, kg */
    BARONET_IMPERIAL,
    BARONET_SI
} baronet_unit_system;

/* The unit of that name (length bytes, not terminated), exact case, or NULL. A name may belong to
   one dimension only; `dimension` is a hint for none. */
BARONET_API const baronet_unit *baronet_unit_find(const char *name, size_t length);

/* The table behind baronet_unit_find; `*count` receives its length. */
BARONET_API const baronet_unit *baronet_unit_table(size_t *count);

/* The unit in which this system prints this dimension; its name is "" for BARONET_NUMBER. */
BARONET_API const baronet_unit *baronet_unit_shown(baronet_unit_system system,
                                                   baronet_dimension dimension);

/* The dimension in words for messages, such as "length" or "pressure". */
BARONET_API const char *baronet_dimension_text(baronet_dimension dimension);

#ifdef __cplusplus
}
#endif

#endif
