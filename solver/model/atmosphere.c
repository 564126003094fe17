#include "model/atmosphere.h"

#include <math.h>

#include "model/gas.h"

void atmosphere_at(double altitude, double *pressure, double *temperature) {
    const double earth_radius = 6356766.0; /* m, US Standard Atmosphere 1976, table 2 */
    const double lapse = 0.0065;           /* K/m, below 11 km, table 4 */
    const double sea_level = 288.15;       /* K */
    /* Equation 18: geometric to geopotential altitude. */
    const double H = earth_radius * altitude / (earth_radius + altitude);
    *temperature = sea_level - lapse * H;
    /* Equation 33a; its exponent g0 M0/(R* L) is g0/(R L) with the gas constant of dry air. */
    *pressure = ATMOSPHERE_PRESSURE *
                pow(*temperature / sea_level, STANDARD_GRAVITY / (GAS_CONSTANT * lapse));
}
