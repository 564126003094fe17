/* SPDX-License-Identifier: MIT */
#include "studies/resonance.h"

#include <criterion/criterion.h>
#include <math.h>

#include "studies/rig.h"
#include "support.h"

static const double pi = 3.14159265358979323846;
static const double gas_R = 287.053072047065; /* J/(kg K) */

static resonance_answer solve(rig *r, const char *state, double highest) {
    rig_answer(r, state, NULL);
    airnet *n = NULL;
    resonance_answer out;
    cr_assert_eq(airnet_create(&n, r->rates, rates_open(r->rates), highest, NULL), BARONET_OK);
    cr_assert_eq(resonance_solve(&out, r->arena, n, r->model, highest, NULL), BARONET_OK);
    airnet_destroy(n);
    return out;
}

#define BENCH                                                                                      \
    "gas adiabatic\nambient pressure 100 kPa temperature 17 C\n"                                   \
    "profile p area 95 cm2 volume 1.9 L at 150 mm\n"                                               \
    "spring s profile p height 150 mm load 3.1 kN\n"

/* Plane waves in a tube of length L and area A between volumes V1 and V2: with p = cos kx + b sin
   kx and each volume's  A p' = -+ k^2 V p  at its end,
       tan(kL) (k^2 V1 V2/A - A) = k (V1 + V2)
   (re-derived; Kinsler and others, Fundamentals of Acoustics, 4th ed., sections 10.1 to 10.8). */
static double plane_wave(double L, double A, double V_1, double V_2, double low, double high) {
    const double c = sqrt(1.4 * gas_R * 290.15);
    double below = 0.0;
    for (int i = 0; i < 200; i++) {
        const double f = i == 0 ? low : 0.5 * (low + high);
        const double k = 2.0 * pi * f / c;
        const double miss = sin(k * L) * (k * k * V_1 * V_2 / A - A) - cos(k * L) * k * (V_1 + V_2);
        if (i == 0) {
            below = miss;
        } else if (miss * below > 0.0) {
            low = f;
        } else {
            high = f;
        }
    }
    return low;
}

Test(resonance, a_hose_between_two_volumes_is_the_plane_wave_solution) {
    rig r = rig_open(BENCH "tank t volume 4.3 L\nhose h from s to t bore 16 mm length 1.7 m\n");
    const resonance_answer out = solve(&r, NULL, 200.0);
    const double area = 0.25 * pi * 0.016 * 0.016;
    cr_assert_geq(out.count, 2);
    const double helmholtz = plane_wave(1.7, area, 1.9e-3, 4.3e-3, 2.0, 40.0);
    cr_expect_float_eq(out.resonance[0].frequency / helmholtz, 1.0, 1e-3, "%g Hz against %g",
                       out.resonance[0].frequency, helmholtz);
    /* The half wave in the tube itself, at 16 segments a wavelength. */
    const double half_wave = plane_wave(1.7, area, 1.9e-3, 4.3e-3, 90.0, 140.0);
    cr_expect_float_eq(out.resonance[1].frequency / half_wave, 1.0, 0.01, "%g Hz against %g",
                       out.resonance[1].frequency, half_wave);
    cr_expect_eq(out.resonance[0].edge, rig_edge(&r, "h"));
    cr_expect_eq(out.resonance[0].other, -1);
    const int s = rig_node(&r, "s"), t = rig_node(&r, "t");
    const resonance *one = &out.resonance[0];
    cr_expect((one->from == s && one->to == t) || (one->from == t && one->to == s));
    rig_close(&r);
}

/* Against a held pressure a tube and a volume are Helmholtz's resonator,
   f = c/(2 pi) sqrt(A/(V L)); the hose's own air adds a third of its volume to V
   (Rayleigh's correction for a stiff end, Kinsler and others, section 10.8). */
Test(resonance, a_volume_on_a_supply_is_helmholtz_s_resonator) {
    rig r = rig_open("gas adiabatic\nambient pressure 100 kPa temperature 17 C\n"
                     "profile q\n  height mm area cm2 volume L\n  120 110 1.6\n  150 95 1.9\n"
                     "  180 80 2.16\n"
                     "spring s profile q height 150 mm load 3.1 kN\n"
                     "supply line pressure 3.263 bar\n"
                     "hose h from s to line bore 12 mm length 0.8 m\n");
    const resonance_answer out = solve(&r, NULL, 50.0);
    const double area = 0.25 * pi * 0.012 * 0.012,
                 stands = rates_result(r.rates)->settled.node_volume[rig_node(&r, "s")],
                 V = stands + area * 0.8 / 3.0;
    const double c = sqrt(1.4 * gas_R * 290.15);
    cr_assert_eq(out.count, 1);
    cr_expect_float_eq(out.resonance[0].frequency / (c / (2.0 * pi) * sqrt(area / (V * 0.8))), 1.0,
                       3e-3);
    rig_close(&r);
}

Test(resonance, shut_paths_and_paths_without_inertia_have_none_of_their_own) {
    rig r = rig_open(BENCH "tank t volume 4.3 L pressure 2 bar\ntank u volume 1.1 L\ntee e\n"
                           "hose h from s to e bore 9 mm length 0.5 m\n"
                           "solenoid v from e to t normally closed bore 8 mm\n"
                           "solenoid w from s to u normally open bore 8 mm\n"
                           "state shut-off shut v\nstate on open v\n");
    const resonance_answer shut = solve(&r, "shut-off", 50.0);
    const resonance_answer open = solve(&r, "on", 50.0);
    cr_expect_eq(shut.count, 0);
    cr_assert_eq(open.count, 1);
    /* The spring and `u` are one volume, 3.0 L, against 4.3 L. */
    const double area = 0.25 * pi * 0.009 * 0.009;
    const double V = rates_result(r.rates)->settled.node_volume[rig_node(&r, "s")] + 1.1e-3;
    const double exact = plane_wave(0.5, area, V, 4.3e-3, 2.0, 60.0);
    cr_expect_float_eq(open.resonance[0].frequency / exact, 1.0, 1e-3, "%g against %g",
                       open.resonance[0].frequency, exact);
    rig_close(&r);
}
