#include "model/gas.h"

#include <math.h>

double gas_exponent(gas g) {
    switch (g.kind) {
    case GAS_ISOTHERMAL:
        return 1.0;
    case GAS_EXPONENT:
        return g.exponent;
    case GAS_ADIABATIC:
    case GAS_THERMAL:
        break;
    }
    return GAS_GAMMA;
}

void gas_exponent_at(gas g, double omega, double *real, double *imaginary) {
    if (g.kind != GAS_THERMAL) {
        *real = gas_exponent(g);
        *imaginary = 0.0;
        return;
    }
    /* (gamma-1) jx/(1 + jx) = (gamma-1) (x^2 + jx)/(1 + x^2), x = w tau. */
    const double x = omega * g.tau;
    const double share = (GAS_GAMMA - 1.0) / (1.0 + x * x);
    *real = 1.0 + share * x * x;
    *imaginary = share * x;
}

double gas_density(double p, double T) {
    return p / (GAS_CONSTANT * T);
}

double gas_viscosity(double T) {
    return 1.458e-6 * T * sqrt(T) / (T + 110.4);
}
