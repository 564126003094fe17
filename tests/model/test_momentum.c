/* Tests of solver/model/momentum.c: at rest it is the law of hoses, and its slopes are those of its
   values. */
#include "model/momentum.h"

#include <criterion/criterion.h>
#include <math.h>

#include "support.h"

static const law hose = {
    .kind = LAW_HOSE, .bore = 8.3e-3, .length = 0.73, .roughness = 2e-6, .fittings = 1.7};

static const double pressures[][2] = {
    {5.31e5, 5.30e5}, {5.31e5, 4.1e5}, {6.2e5, 1.02e5}, {2.2e5, 2.4e5}, {1.01e5, 6e5}};
enum { CASES = sizeof pressures / sizeof pressures[0] };

Test(momentum, steady_flow_is_that_of_the_hose_law) {
    for (int k = 0; k < CASES; k++) {
        const flow_side a = {pressures[k][0], 301.0}, b = {pressures[k][1], 288.0};
        const flow q = flow_at(&hose, a, b);
        const push p = momentum_at(&hose, q.mass, a, b);
        const double whole = fabs(a.pressure - b.pressure) * 5.41e-5 / hose.length;
        CHECK_ABS(p.value, 0.0, 1e-5 * whole, "flow_at of the same hose");
    }
}

Test(momentum, without_flow_only_the_difference_pushes) {
    const flow_side a = {5.31e5, 301.0}, b = {5.11e5, 288.0};
    const double area = 0.25 * 3.14159265358979323846 * hose.bore * hose.bore;
    CHECK_REL(momentum_at(&hose, 0.0, a, b).value, area / hose.length * 2e4, 1e-12,
              "a dp/L, Newton's law");
}

Test(momentum, it_is_odd) {
    const flow_side a = {5.31e5, 301.0}, b = {4.11e5, 288.0};
    const push p = momentum_at(&hose, 0.013, a, b), q = momentum_at(&hose, -0.013, b, a);
    CHECK_REL(q.value, -p.value, 1e-14, "sides exchanged");
    CHECK_REL(q.by_first, -p.by_second, 1e-14, "sides exchanged");
}

Test(momentum, slopes_are_those_of_the_values) {
    static const double flows[] = {1e-6, 2e-4, 0.004, 0.021, -0.007, -0.03};
    for (int k = 0; k < CASES; k++) {
        for (int i = 0; i < 6; i++) {
            const double q = flows[i], dq = 1e-4 * fabs(q), dp = 0.5, dT = 1e-3;
            const flow_side a = {pressures[k][0], 301.0}, b = {pressures[k][1], 288.0};
            const push p = momentum_at(&hose, q, a, b);
            flow_side c = a, d = b;
            const double by_q =
                (momentum_at(&hose, q + dq, a, b).value - momentum_at(&hose, q - dq, a, b).value) /
                (2.0 * dq);
            CHECK_REL(p.by_flow, by_q, 1e-4, "central difference");
            c.pressure += dp;
            d.pressure += dp;
            const double by_first = (momentum_at(&hose, q, c, b).value - p.value) / dp;
            const double by_second = (momentum_at(&hose, q, a, d).value - p.value) / dp;
            CHECK_ABS(p.by_first, by_first, 1e-9, "difference");
            CHECK_ABS(p.by_second, by_second, 1e-9, "difference");
            flow_side *const up = q > 0.0 ? &c : &d;
            c = a;
            d = b;
            up->temperature += dT;
            const double by_T = (momentum_at(&hose, q, c, d).value - p.value) / dT;
            CHECK_ABS(p.by_temperature, by_T, 1e-5 * fabs(by_T) + 1e-8, "difference");
        }
    }
}
