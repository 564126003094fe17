/* numbers.h: numbers that stand in many formulas: pi, and the imaginary unit.
   SPDX-License-Identifier: MIT */
#ifndef BASE_NUMBERS_H
#define BASE_NUMBERS_H

#include <complex.h>

#define PI     3.14159265358979323846
#define TWO_PI (2.0 * PI)

/* In double precision: the header's own may be of a float. */
#define J ((double complex)I)

static inline double circle_area(double diameter) {
    return 0.25 * PI * diameter * diameter;
}

/* |z|^2, without a root. */
static inline double abs_square(double complex z) {
    return creal(z) * creal(z) + cimag(z) * cimag(z);
}

#endif
