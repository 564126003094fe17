/* atmosphere.h: ambient pressure and temperature by altitude.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_ATMOSPHERE_H
#define MODEL_ATMOSPHERE_H

#define ATMOSPHERE_PRESSURE 101325.0  /* Pa, sea level */
#define ATMOSPHERE_LOWEST   (-5000.0) /* m, geometric: the standards' lower end */
#define ATMOSPHERE_HIGHEST  11000.0   /* m: end of the layer with a constant lapse rate */

/* ISO 2533:1975 and US Standard Atmosphere 1976, equations 18, 23 and 33a: geometric altitude (m)
   to pressure (Pa) and temperature (K), within the limits above. */
void atmosphere_at(double altitude, double *pressure, double *temperature);

#endif
