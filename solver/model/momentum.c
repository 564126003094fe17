/* SPDX-License-Identifier: MIT */
#include "model/momentum.h"

#include <math.h>

#include "base/numbers.h"
#include "model/friction.h"
#include "model/gas.h"

/* Part of the friction factor in the loss, f (q/a)^2, and how it goes with flow and temperature. */
typedef struct pipe {
    double loss;           /* f q^2, kg2/s2 */
    double by_flow;        /* kg/s */
    double by_temperature; /* kg2/(s2 K) */
} pipe;

/* Laminar flow has a closed form, f q^2 = 64 mu a q/D, which holds at rest too. */
static pipe pipe_at(const law *hose, double area, double q, double T) {
    const double mu = gas_viscosity(T);
    const double mu_part = 1.5 / T - 1.0 / (T + 110.4); /* d ln(mu)/dT, Sutherland */
    const double reynolds = q * hose->bore / (area * mu);
    if (reynolds <= FRICTION_LAMINAR) {
        const double slope = 64.0 * mu * area / hose->bore;
        return (pipe){slope * q, slope, slope * q * mu_part};
    }
    const friction f = friction_at(reynolds, hose->roughness / hose->bore);
    const double loss = f.factor * q * q;
    return (pipe){loss, loss * (2.0 + f.slope) / q, -loss * f.slope * mu_part};
}

/* For flow from the first side to the second; its size is not negative. */
static push forward(const law *hose, double q, flow_side up, double p_2) {
    const double a = circle_area(hose->bore), T = up.temperature, p_1 = up.pressure;
    const double RT = GAS_CONSTANT * T, scale = RT / (a * a);
    const double limit = q * sqrt(RT) / a;
    const bool choked = limit > p_2;
    const double p = choked ? limit : p_2;
    const double slenderness = hose->length / hose->bore;
    const bool speeds_up = p_1 > p;
    const pipe f = pipe_at(hose, a, q, T);
    const double heads = FLOW_HOSE_HEADS + hose->fittings + (speeds_up ? 2.0 * log(p_1 / p) : 0.0);
    const double sum = p_1 + p, drive = a / hose->length;
    const double loss = scale * (f.loss * slenderness + q * q * heads) / sum;
    const double speeding = speeds_up ? 2.0 * scale * q * q / sum : 0.0;
    const double by_outlet = drive * (-1.0 + speeding / p + loss / sum);
    const double by_q = -drive * scale * (f.by_flow * slenderness + 2.0 * q * heads) / sum;
    const double by_T = -drive * (loss / T + scale * f.by_temperature * slenderness / sum);
    return (push){.value = drive * (p_1 - p - loss),
                  .by_flow = by_q + (choked ? by_outlet * sqrt(RT) / a : 0.0),
                  .by_first = drive * (1.0 - speeding / p_1 + loss / sum),
                  .by_second = choked ? 0.0 : by_outlet,
                  .by_temperature = by_T + (choked ? by_outlet * 0.5 * limit / T : 0.0)};
}

push momentum_at(const law *hose, double q, flow_side first, flow_side second) {
    if (q >= 0.0) {
        return forward(hose, q, first, second.pressure);
    }
    const push back = forward(hose, -q, second, first.pressure);
    return (push){.value = -back.value,
                  .by_flow = back.by_flow,
                  .by_first = -back.by_second,
                  .by_second = -back.by_first,
                  .by_temperature = -back.by_temperature};
}
