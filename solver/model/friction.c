/* SPDX-License-Identifier: MIT */
#include "model/friction.h"

#include <math.h>

static double power_4(double x) {
    return x * x * x * x;
}

friction friction_at(double reynolds, double roughness) {
    if (reynolds <= FRICTION_LAMINAR) {
        /* Also keeps the powers below from overflowing at very small flows. */
        return (friction){.factor = 64.0 / reynolds, .slope = -1.0};
    }
    const double smooth = exp(0.9 * log(7.0 / reynolds));
    const double inner = smooth + 0.27 * roughness;
    const double base = -2.457 * log(inner);
    const double A = power_4(power_4(base));
    const double B = power_4(power_4(37530.0 / reynolds));
    const double eighth = 8.0 / reynolds;
    const double laminar = power_4(eighth * eighth * eighth);
    const double turbulent = 1.0 / ((A + B) * sqrt(A + B));
    const double sum = laminar + turbulent;
    /* The terms' own slopes in ln(Re), weighted by their parts of each sum. */
    const double A_slope = 16.0 * 2.457 * 0.9 * smooth / (inner * base);
    const double turbulent_slope = -1.5 * (A * A_slope - 16.0 * B) / (A + B);
    return (friction){.factor = 8.0 * exp(log(sum) / 12.0),
                      .slope = (turbulent * turbulent_slope - 12.0 * laminar) / (12.0 * sum)};
}
