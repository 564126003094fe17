/* SPDX-License-Identifier: MIT */
#include "model/atmosphere.h"

#include <criterion/criterion.h>
#include <math.h>

#include "model/gas.h"
#include "support.h"

/* The row's quantity of the standard atmosphere; NAN for what is not here. */
static double quantity(const csv *air, size_t row) {
    double p = 0.0, T = 0.0;
    atmosphere_at(csv_number(air, row, "altitude_m"), &p, &T);
    return csv_is(air, row, "quantity", "p")     ? p
           : csv_is(air, row, "quantity", "T")   ? T
           : csv_is(air, row, "quantity", "rho") ? gas_density(p, T)
           : csv_is(air, row, "quantity", "mu")  ? gas_viscosity(T)
           : csv_is(air, row, "quantity", "a")   ? sqrt(GAS_GAMMA * GAS_CONSTANT * T)
                                                 : (double)NAN;
}

Test(atmosphere, meets_the_standard) {
    csv *const air = csv_read("air");
    int met = 0;
    for (size_t i = 0; i < csv_rows(air); i++) {
        if (csv_is(air, i, "kind", "ussa1976")) {
            CHECK_ROW(quantity(air, i), air, i);
            met++;
        }
    }
    cr_assert_eq(met, 40);
    csv_free(air);
}

/* dp/dz of air at rest: -rho g, gravity falling with the square of the distance from the centre of
   the earth, temperature as the standard has it. */
static double sinking(double z, double p) {
    const double r = 6356766.0;
    const double T = 288.15 - 0.0065 * r * z / (r + z);
    return -p / (287.053072047065 * T) * 9.80665 * (r / (r + z)) * (r / (r + z));
}

Test(atmosphere, is_air_at_rest) {
    for (int sign = -1; sign <= 1; sign += 2) {
        const double h = sign * 12.5;
        double p = 101325.0;
        for (int k = 0; k < (sign > 0 ? 880 : 400); k++) {
            const double z = h * k;
            const double k1 = sinking(z, p);
            const double k2 = sinking(z + 0.5 * h, p + 0.5 * h * k1);
            const double k3 = sinking(z + 0.5 * h, p + 0.5 * h * k2);
            const double k4 = sinking(z + h, p + h * k3);
            p += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
            double found = 0.0, T = 0.0;
            atmosphere_at(h * (k + 1), &found, &T);
            CHECK_REL(found, p, 1e-10, "hydrostatic equation by Runge and Kutta's method");
        }
    }
}
