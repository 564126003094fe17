/* gas.h: dry air as an ideal gas, and what it does between slow and quick.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_GAS_H
#define MODEL_GAS_H

/* US Standard Atmosphere 1976 (NOAA-S/T 76-1562), table 1: 8314.32/28.9644. */
#define GAS_CONSTANT 287.053072047065 /* J/(kg K) */
/* NACA Report 1135 (1953): diatomic gas. */
#define GAS_GAMMA 1.4
/* Standard gravity, ISO 80000-3. */
#define STANDARD_GRAVITY 9.80665 /* m/s2 */

typedef enum gas_kind { GAS_ADIABATIC, GAS_ISOTHERMAL, GAS_EXPONENT, GAS_THERMAL } gas_kind;

typedef struct gas {
    gas_kind kind;
    double exponent; /* p V^exponent constant; for GAS_EXPONENT */
    double tau;      /* s, time constant of heat exchange with the wall; for GAS_THERMAL */
} gas;

/* Exponent of a quick change: gamma, 1, or the fixed one; with thermal air gamma. */
double gas_exponent(gas g);

/* Exponent at an angular frequency (rad/s), n(jw) = 1 + (gamma-1) jw tau/(1 + jw tau); parts are
   real and imaginary. For other kinds the imaginary part is zero. Derived from the energy balance
   of a volume at rest that loses heat as (T - T_wall) m c_v/tau. */
void gas_exponent_at(gas g, double omega, double *real, double *imaginary);

/* kg/m3, p in Pa absolute, T in K. */
double gas_density(double p, double T);

/* Dynamic viscosity, Pa s: Sutherland's law with the constants of the US Standard Atmosphere 1976,
   equation 51: 1.458e-6 T^1.5/(T + 110.4). */
double gas_viscosity(double T);

#endif
