/* SPDX-License-Identifier: MIT */
#include "model/gas.h"

#include <criterion/criterion.h>
#include <math.h>

#include "support.h"

Test(gas, constants_are_those_of_the_standards) {
    csv *const air = csv_read("air");
    for (size_t i = 0; i < csv_rows(air); i++) {
        if (csv_is(air, i, "quantity", "R_dry_air"))
            CHECK_ROW(GAS_CONSTANT, air, i);
        if (csv_is(air, i, "quantity", "gamma_ideal_diatomic"))
            CHECK_ROW(GAS_GAMMA, air, i);
    }
    csv_free(air);
    CHECK_REL(STANDARD_GRAVITY, 9.80665, 0.0, "ISO 80000-3, standard gravity");
}

Test(gas, density_and_viscosity_meet_the_reference_rows) {
    csv *const air = csv_read("air");
    int met = 0;
    for (size_t i = 0; i < csv_rows(air); i++) {
        const double T = csv_number(air, i, "T_K");
        if (csv_is(air, i, "quantity", "rho_dry_air_ideal")) {
            CHECK_ROW(gas_density(csv_number(air, i, "p_Pa"), T), air, i);
            met++;
        } else if (csv_is(air, i, "kind", "sutherland")) {
            CHECK_ROW(gas_viscosity(T), air, i);
            met++;
        }
    }
    cr_assert_eq(met, 13);
    csv_free(air);
}

Test(gas, quick_changes_have_the_exponent_of_their_kind) {
    const char *const source = "design: adiabatic and thermal gamma, isothermal 1";
    CHECK_REL(gas_exponent((gas){.kind = GAS_ADIABATIC, .exponent = 1.23}), 1.4, 0.0, source);
    CHECK_REL(gas_exponent((gas){.kind = GAS_THERMAL, .tau = 3.7}), 1.4, 0.0, source);
    CHECK_REL(gas_exponent((gas){.kind = GAS_ISOTHERMAL, .exponent = 1.23}), 1.0, 0.0, source);
    CHECK_REL(gas_exponent((gas){.kind = GAS_EXPONENT, .exponent = 1.313}), 1.313, 0.0, source);
}

Test(gas, relaxation_meets_the_reference_rows) {
    csv *const table = csv_read("acoustics");
    const gas air = {.kind = GAS_THERMAL, .tau = 5.3};
    int met = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (!csv_is(table, i, "kind", "relaxation") && !csv_is(table, i, "kind", "relaxation_peak"))
            continue;
        double real = 0.0, imaginary = 0.0;
        gas_exponent_at(air, csv_number(table, i, "omega_tau") / air.tau, &real, &imaginary);
        CHECK_ROW(csv_is(table, i, "quantity", "n_real")   ? real
                  : csv_is(table, i, "quantity", "n_imag") ? imaginary
                                                           : imaginary / real,
                  table, i);
        met++;
    }
    cr_assert_eq(met, 25);
    csv_free(table);
}

/* Temperature rate (relative, 1/s) of a volume that breathes by `part` and loses heat to a wall at
   relative temperature 1: c_v dT/dt = -R T/V dV/dt - c_v (T - 1)/tau, with R/c_v = gamma - 1. */
static double warming(double t, double T, double part, double omega, double tau) {
    const double V = 1.0 + part * sin(omega * t);
    return -0.4 * T / V * part * omega * cos(omega * t) - (T - 1.0) / tau;
}

/* First harmonic of -dp/p over dV/V, from the energy balance integrated by Runge and Kutta's method
   until it repeats itself. */
static void breathe(double omega, double tau, double *real, double *imaginary) {
    enum { STEPS = 1000, CYCLES = 60 };
    const double part = 1e-5;
    const double h = 6.283185307179586 / omega / STEPS;
    double T = 1.0;
    *real = *imaginary = 0.0;
    for (int k = 0; k < STEPS * CYCLES; k++) {
        const double t = h * k;
        const double k1 = warming(t, T, part, omega, tau);
        const double k2 = warming(t + 0.5 * h, T + 0.5 * h * k1, part, omega, tau);
        const double k3 = warming(t + 0.5 * h, T + 0.5 * h * k2, part, omega, tau);
        const double k4 = warming(t + h, T + h * k3, part, omega, tau);
        if (k >= STEPS * (CYCLES - 1)) {
            const double p = T / (1.0 + part * sin(omega * t)) - 1.0;
            *real -= 2.0 / STEPS * p / part * sin(omega * t);
            *imaginary -= 2.0 / STEPS * p / part * cos(omega * t);
        }
        T += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
    }
}

Test(gas, relaxation_is_that_of_the_energy_balance) {
    static const double taus[] = {0.31, 1.7, 4.1};
    for (size_t i = 0; i < 3; i++) {
        const double omega = 2.63;
        double real = 0.0, imaginary = 0.0, n = 0.0, loss = 0.0;
        breathe(omega, taus[i], &real, &imaginary);
        gas_exponent_at((gas){.kind = GAS_THERMAL, .tau = taus[i]}, omega, &n, &loss);
        /* Swings of 1e-5 leave no more than their square. */
        CHECK_ABS(n, real, 1e-8, "energy balance, integrated");
        CHECK_ABS(loss, imaginary, 1e-8, "energy balance, integrated");
    }
}

Test(gas, relaxation_ends_at_slow_and_quick) {
    const gas air = {.kind = GAS_THERMAL, .tau = 6.1};
    double real = 0.0, imaginary = 1.0;
    gas_exponent_at(air, 0.0, &real, &imaginary);
    CHECK_REL(real, 1.0, 0.0, "limit: isothermal");
    CHECK_ABS(imaginary, 0.0, 0.0, "limit: isothermal");
    gas_exponent_at(air, 1e9, &real, &imaginary);
    CHECK_REL(real, 1.4, 1e-15, "limit: adiabatic");
    CHECK_ABS(imaginary, 0.0, 1e-9, "limit: adiabatic");
}

Test(gas, other_kinds_lose_nothing_at_any_frequency) {
    static const gas kinds[] = {{.kind = GAS_ADIABATIC, .tau = 2.0},
                                {.kind = GAS_ISOTHERMAL, .tau = 2.0},
                                {.kind = GAS_EXPONENT, .exponent = 1.27, .tau = 2.0}};
    static const double expected[] = {1.4, 1.0, 1.27};
    for (size_t i = 0; i < 3; i++) {
        for (double omega = 0.0; omega < 90.0; omega += 17.3) {
            double real = 0.0, imaginary = 1.0;
            gas_exponent_at(kinds[i], omega, &real, &imaginary);
            CHECK_REL(real, expected[i], 0.0, "a fixed exponent");
            CHECK_ABS(imaginary, 0.0, 0.0, "a fixed exponent");
        }
    }
}
