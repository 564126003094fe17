/* SPDX-License-Identifier: MIT */
#include "model/flow.h"

#include <criterion/criterion.h>
#include <math.h>

#include "model/friction.h"
#include "model/gas.h"
#include "support.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double pi = 3.14159265358979323846;

/* Uneven sizes of every law that passes both ways; the last hose is a half, and has less than no
   fittings. */
static const law laws[] = {
    {.kind = LAW_BORE, .bore = 0.0063, .discharge = 0.8},
    {.kind = LAW_BORE, .bore = 0.00071, .discharge = 0.617},
    {.kind = LAW_SONIC, .conductance = 3.7e-8, .critical = 0.317},
    {.kind = LAW_SONIC, .conductance = 2.3e-9, .critical = 0.528},
    {.kind = LAW_SONIC, .conductance = 1.3e-7, .critical = 0.0},
    {.kind = LAW_KV, .kv = 1.13, .xt = 0.7},
    {.kind = LAW_KV, .kv = 0.027, .xt = 0.483},
    {.kind = LAW_HOSE, .bore = 0.0095, .length = 0.47, .roughness = 1.5e-6, .fittings = 1.2},
    {.kind = LAW_HOSE, .bore = 0.0041, .length = 6.3, .roughness = 1.5e-6},
    {.kind = LAW_HOSE, .bore = 0.0127, .length = 1.71, .roughness = 4.6e-5, .fittings = 3.9},
    {.kind = LAW_HOSE, .bore = 0.0021, .length = 0.11, .fittings = -0.75},
};

/* Upstream sides; the other side's temperature is always unlike. */
static const flow_side upstream[] = {{1.13e5, 293.15}, {4.07e5, 263.4}, {9.31e5, 331.7}};
static const double other_temperature = 287.3;

/* Differences in parts of the upstream pressure, from within the regularised zone to a vacuum. */
static const double parts[] = {3.1e-9, 2.3e-7, 4.7e-6, 3.3e-5, 2.9e-4, 0.0031, 0.017,
                               0.083,  0.19,   0.313,  0.42,   0.466,  0.481,  0.57,
                               0.68,   0.79,   0.87,   0.93,   0.9991};

/* From the k-th upstream side to what lies `part` of its pressure below. */
static flow down(const law *l, size_t k, double part) {
    return flow_at(l, upstream[k],
                   (flow_side){.pressure = upstream[k].pressure * (1.0 - part), other_temperature});
}

static double choking_part(const law *l, size_t k) {
    double low = 0.0, high = 1.0;
    for (int i = 0; i < 60; i++) {
        const double middle = 0.5 * (low + high);
        *(down(l, k, middle).choked ? &high : &low) = middle;
    }
    return high;
}

/* The contract of all laws. */

Test(flow, every_law_is_odd) {
    for (size_t i = 0; i < COUNT(laws); i++) {
        for (size_t k = 0; k < COUNT(upstream); k++) {
            for (size_t j = 0; j < COUNT(parts); j++) {
                const flow_side low = {upstream[k].pressure * (1.0 - parts[j]), 301.2};
                const flow there = flow_at(&laws[i], upstream[k], low);
                const flow back = flow_at(&laws[i], low, upstream[k]);
                cr_assert_gt(there.mass, 0.0);
                cr_assert_eq(there.mass, -back.mass);
                cr_assert_eq(there.by_first, -back.by_second);
                cr_assert_eq(there.by_second, -back.by_first);
                cr_assert_eq(there.choked, back.choked);
            }
        }
    }
}

Test(flow, every_law_is_monotonic) {
    for (size_t i = 0; i < COUNT(laws); i++) {
        for (size_t k = 0; k < COUNT(upstream); k++) {
            double last = 0.0;
            for (double part = 1e-9; part < 1.0; part *= 1.02) {
                const flow q = down(&laws[i], k, part);
                cr_assert(q.mass > last || (q.choked && q.mass >= last), "law %zu at %g", i, part);
                cr_assert(q.by_first > 0.0 && q.by_second <= 0.0, "law %zu at %g", i, part);
                cr_assert(q.choked || q.by_second < 0.0, "law %zu at %g", i, part);
                last = q.mass;
            }
        }
    }
}

Test(flow, every_law_is_continuous_at_no_flow_with_a_finite_slope) {
    for (size_t i = 0; i < COUNT(laws); i++) {
        const flow_side side = upstream[1];
        const flow none = flow_at(&laws[i], side, side);
        cr_assert_eq(none.mass, 0.0);
        cr_assert(isfinite(none.by_first) && none.by_first > 0.0);
        cr_assert_eq(none.by_first, -none.by_second);
        cr_assert_not(none.choked);
        const double step = 1e-4; /* Pa, well inside the zone */
        const flow_side above = {side.pressure + step, side.temperature};
        CHECK_REL(flow_at(&laws[i], above, side).mass / (above.pressure - side.pressure),
                  none.by_first, 1e-4, "difference quotient");
    }
}

/* No step that is larger than the slopes on its two sides allow: a law that jumped anywhere on the
   way, at the edge of the zone, at choking or where a hose's closed form ends, would fail. */
Test(flow, every_law_is_continuous) {
    for (size_t i = 0; i < COUNT(laws); i++) {
        for (size_t k = 0; k < COUNT(upstream); k++) {
            flow last = down(&laws[i], k, 1e-7);
            for (double part = 1e-7; part < 0.99; part *= 1.0003) {
                const flow next = down(&laws[i], k, part * 1.0003);
                const double steepest = fmax(-last.by_second, -next.by_second);
                const double step = upstream[k].pressure * part * 0.0003;
                cr_assert_leq(next.mass - last.mass,
                              1.01 * steepest * step + 1e-12 * next.mass + 1e-20, "law %zu at %g",
                              i, part);
                last = next;
            }
        }
    }
}

Test(flow, every_law_chokes_where_it_should) {
    for (size_t i = 0; i < COUNT(laws); i++) {
        const law *const l = &laws[i];
        for (size_t k = 0; k < COUNT(upstream); k++) {
            const double part = choking_part(l, k);
            const flow edge = down(l, k, part), beyond = down(l, k, 1.0);
            const double rho_area = 0.25 * pi * l->bore * l->bore * upstream[k].pressure *
                                    (1.0 - part) / sqrt(GAS_CONSTANT * upstream[k].temperature);
            switch (l->kind) {
            case LAW_BORE:
                CHECK_REL(part, 1.0 - pow(2.0 / 2.4, 1.4 / 0.4), 1e-9, "NACA 1135, p*/pt");
                break;
            case LAW_SONIC:
                CHECK_REL(part, 1.0 - l->critical, 1e-12, "ISO 6358-1, b");
                break;
            case LAW_KV:
                CHECK_REL(part, l->xt, 1e-12, "IEC 60534-2-1, xT");
                break;
            default: /* q/a = p2/sqrt(R T), which is a Mach number of 1/sqrt(gamma) */
                CHECK_REL(edge.mass, rho_area, 1e-9, "isothermal limit, Shapiro vol. 1 ch. 6");
            }
            cr_assert(beyond.choked && !down(l, k, part * (1.0 - 1e-9)).choked);
            CHECK_REL(beyond.mass, down(l, k, part * (1.0 - 1e-12)).mass, 1e-9, "continuity");
            cr_assert_eq(beyond.by_second, 0.0);
        }
    }
}

/* A difference quotient over about `step` Pa about a side's pressure; NaN where choking begins in
   it, for a hose has a corner there. */
static double quotient(const law *l, flow_side a, flow_side b, bool of_first, double step) {
    flow_side a_up = a, a_low = a, b_up = b, b_low = b;
    *(of_first ? &a_up : &b_up) =
        (flow_side){(of_first ? a : b).pressure + step, (of_first ? a : b).temperature};
    *(of_first ? &a_low : &b_low) =
        (flow_side){(of_first ? a : b).pressure - step, (of_first ? a : b).temperature};
    const flow up = flow_at(l, a_up, b_up), low = flow_at(l, a_low, b_low);
    const double width = of_first ? a_up.pressure - a_low.pressure : b_up.pressure - b_low.pressure;
    return up.choked == low.choked ? (up.mass - low.mass) / width : (double)NAN;
}

Test(flow, derivatives_are_those_of_the_flow) {
    for (size_t i = 0; i < COUNT(laws); i++) {
        for (size_t k = 0; k < COUNT(upstream); k++) {
            for (size_t j = 0; j < COUNT(parts); j++) {
                const flow_side a = upstream[k];
                const flow_side b = {a.pressure * (1.0 - parts[j]), other_temperature};
                const double step = 1e-4 * fmin(a.pressure - b.pressure, b.pressure);
                const double first = quotient(&laws[i], a, b, true, step);
                const double second = quotient(&laws[i], a, b, false, step);
                const flow q = flow_at(&laws[i], a, b);
                /* Twelve digits of two pressures leave fewer to a small difference. */
                const double tolerance = 2e-6 + 1e-11 * a.pressure / step * 1e-4;
                if (!isnan(first)) {
                    CHECK_REL(q.by_first, first, tolerance, "central difference");
                }
                if (!isnan(second)) {
                    CHECK_ABS(q.by_second, second, tolerance * q.by_first, "central difference");
                }
            }
        }
    }
}

/* Slopes meet at the edge of the zone, and at choking. */
Test(flow, slopes_meet) {
    for (size_t i = 0; i < COUNT(laws); i++) {
        const double choking = choking_part(&laws[i], 0);
        const double edge = FLOW_LINEAR * choking;
        const flow within = down(&laws[i], 0, edge * (1.0 - 1e-8));
        const flow outside = down(&laws[i], 0, edge * (1.0 + 1e-8));
        CHECK_REL(within.by_second, outside.by_second, 1e-3, "continuity");
        CHECK_REL(within.by_first, outside.by_first, 1e-3, "continuity");
        CHECK_REL(within.mass, outside.mass, 1e-3, "continuity");
        const flow nearly = down(&laws[i], 0, choking * (1.0 - 1e-6));
        CHECK_ABS(nearly.by_second, 0.0, 1e-5 * nearly.by_first, "continuity");
        CHECK_REL(nearly.by_first, down(&laws[i], 0, choking).by_first, 1e-5, "continuity");
    }
}

Test(flow, a_law_of_nothing_passes_nothing) {
    const flow q = flow_at(&(law){.kind = LAW_NONE}, upstream[0], upstream[2]);
    cr_assert(q.mass == 0.0 && q.by_first == 0.0 && q.by_second == 0.0 && !q.choked);
}

Test(flow, a_vacuum_is_a_pressure_too) {
    for (size_t i = 0; i < COUNT(laws); i++) {
        const flow q = flow_at(&laws[i], (flow_side){0.0, 280.0}, upstream[2]);
        cr_assert(q.choked && isfinite(q.mass) && q.mass < 0.0 && q.by_first == 0.0);
        cr_assert(isfinite(q.by_second));
    }
}

/* Closed forms, written anew. */

static double flow_between(const law *l, double p_1, double T, double p_2) {
    return flow_at(l, (flow_side){p_1, T}, (flow_side){p_2, T}).mass;
}

/* Just outside the zone nothing is changed: psi as for a bore by its pressure ratio r, in powers.
 */
Test(flow, nothing_changes_outside_the_zone) {
    const law bore = {.kind = LAW_BORE, .bore = 0.0047, .discharge = 0.73};
    const double part = 1.001 * FLOW_LINEAR * (1.0 - pow(2.0 / 2.4, 3.5));
    const double p = 6.19e5, T = 306.1, r = 1.0 - part;
    const double expected = 0.73 * 0.25 * pi * 0.0047 * 0.0047 * p *
                            sqrt(7.0 * (pow(r, 2.0 / 1.4) - pow(r, 2.4 / 1.4)) / GAS_CONSTANT / T);
    CHECK_REL(flow_between(&bore, p, T, p * r), expected, 1e-9, "Saint-Venant and Wantzel");
}

/* A bore at a small difference is Bernoulli's: q = cd a sqrt(2 rho dp). */
Test(flow, small_differences_are_incompressible) {
    const double p = 5.3e5, T = 293.15, dp = 200.0, rho = p / (GAS_CONSTANT * T);
    const double expected = 0.8 * 0.25 * pi * 0.0063 * 0.0063 * sqrt(2.0 * rho * dp);
    CHECK_REL(flow_between(&laws[0], p + 0.5 * dp, T, p - 0.5 * dp), expected, 3e-4, "Bernoulli");
}

/* Compressible Hagen-Poiseuille: q = pi D^4 (p1^2 - p2^2)/(256 mu R T L). The Reynolds number here
   is 20, where 1.5 heads are 1.5 Re D/(64 L) = 3e-4 of the drop. */
Test(flow, a_thin_hose_is_laminar) {
    const law *const l = &laws[8];
    const double T = 283.7, p_1 = 3.0e5, p_2 = p_1 - 15.0;
    const double mu = 1.458e-6 * pow(T, 1.5) / (T + 110.4); /* Sutherland */
    const double expected =
        pi * pow(0.0041, 4.0) * (p_1 * p_1 - p_2 * p_2) / (256.0 * mu * GAS_CONSTANT * T * 6.3);
    CHECK_REL(flow_between(l, p_1, T, p_2), expected, 1e-3, "Hagen-Poiseuille");
}

static double reynolds_of(double mass, double bore, double T) {
    return 4.0 * mass / (pi * bore * gas_viscosity(T));
}

/* The equation of the design holds for what is returned, from laminar to nearly choked. */
Test(flow, a_hose_obeys_its_equation) {
    for (size_t i = 7; i < COUNT(laws); i++) {
        const law *const l = &laws[i];
        for (size_t j = 0; j < COUNT(parts); j++) {
            const double p_1 = 7.7e5, T = 298.6, p_2 = p_1 * (1.0 - parts[j]);
            const flow q = flow_at(l, (flow_side){p_1, T}, (flow_side){p_2, T});
            const double a = 0.25 * pi * l->bore * l->bore;
            const double f =
                friction_at(reynolds_of(q.mass, l->bore, T), l->roughness / l->bore).factor;
            /* Choked, p2 is the limiting one, q/a = p2/sqrt(R T). */
            const double outlet = q.choked ? q.mass / a * sqrt(GAS_CONSTANT * T) : p_2;
            const double heads =
                f * l->length / l->bore + 1.5 + l->fittings + 2.0 * log(p_1 / outlet);
            const double squares = q.mass / a * (q.mass / a) * GAS_CONSTANT * T * heads;
            CHECK_REL((p_1 - outlet) * (p_1 + outlet), squares, 1e-10, "the hose equation");
        }
    }
}

/* Values of others. */

/* NACA Report 1135: the flux of a loss-free nozzle, in parts of p_t/sqrt(R T_t). */
Test(flow, bore_against_nozzle_rows) {
    csv *const table = csv_read("isentropic");
    const law bore = {.kind = LAW_BORE, .bore = 0.0093, .discharge = 1.0};
    const double p = 7.3e5, T = 311.2;
    const double flux = 0.25 * pi * 0.0093 * 0.0093 * p / sqrt(GAS_CONSTANT * T);
    size_t checked = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "nozzle_flux")) {
            const double p_2 = p * csv_number(table, i, "pressure_ratio");
            CHECK_ROW(flow_between(&bore, p, T, p_2) / flux, table, i);
            checked++;
        }
    }
    cr_assert_eq(checked, 13);
    csv_free(table);
}

static law sonic_row(const csv *table, size_t i, const char *conductance, const char *critical) {
    return (law){.kind = LAW_SONIC,
                 .conductance = csv_number(table, i, conductance),
                 .critical = csv_number(table, i, critical)};
}

Test(flow, sonic_against_iso_6358_rows) {
    csv *const table = csv_read("orifice_iso6358");
    size_t checked = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        const bool volume = csv_is(table, i, "kind", "massflow_volume");
        const double m = csv_number(table, i, "m_index");
        if ((csv_is(table, i, "kind", "massflow") || volume) && m == 0.5) {
            const law l = sonic_row(table, i, "C_m3_per_sPa", "b");
            const double q =
                flow_between(&l, csv_number(table, i, "p1_Pa"), csv_number(table, i, "T1_K"),
                             csv_number(table, i, "p2_Pa"));
            CHECK_ROW(volume ? q / 1.185 : q, table, i);
            checked++;
        }
    }
    cr_assert_eq(checked, 78);
    csv_free(table);
}

/* The pressure between two laws in a row, at one temperature, by halving. */
static double middle_pressure(const law *l, const law *m, double p_1, double T, double p_2) {
    double low = p_2, high = p_1;
    for (int i = 0; i < 80; i++) {
        const double p = 0.5 * (low + high);
        *(flow_between(l, p_1, T, p) > flow_between(m, p, T, p_2) ? &low : &high) = p;
    }
    return 0.5 * (low + high);
}

Test(flow, two_in_a_row_against_iso_6358_rows) {
    csv *const table = csv_read("orifice_iso6358");
    size_t checked = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "series")) {
            const law l = sonic_row(table, i, "C_m3_per_sPa", "b");
            const law m = sonic_row(table, i, "C2_m3_per_sPa", "b2");
            const double p_1 = csv_number(table, i, "p1_Pa"), T = csv_number(table, i, "T1_K");
            const double p = middle_pressure(&l, &m, p_1, T, csv_number(table, i, "p2_Pa"));
            const bool mass = csv_is(table, i, "quantity", "mdot");
            CHECK_ROW(mass ? flow_between(&l, p_1, T, p) : p, table, i);
            checked++;
        }
    }
    cr_assert_eq(checked, 10);
    csv_free(table);
}

/* IEC 60534-2-1 prints rounded constants that do not quite agree: 31.6 for mass flow by density, as
   here, and 24.6 for volume flow at 0 C and 101.325 kPa by molar mass, as in the rows:
   24.6 p1 sqrt(x/(M T)) rho_n against 31.6 p1 sqrt(10 x M/(R_m T)), p1 in kPa. The second gives the
   smaller flow, by 1.5e-3, and that factor is put back here. */
Test(flow, kv_against_iec_60534_rows) {
    csv *const table = csv_read("valve_iec60534");
    size_t checked = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "iec_no_fitting") && csv_is(table, i, "quantity", "Kv") &&
            csv_number(table, i, "gamma") == 1.4) {
            const law l = {.kind = LAW_KV,
                           .kv = csv_number(table, i, "expected_si"),
                           .xt = csv_number(table, i, "xT")};
            const double q =
                flow_between(&l, csv_number(table, i, "p1_Pa"), csv_number(table, i, "T_K"),
                             csv_number(table, i, "p2_Pa"));
            const double M = csv_number(table, i, "MW_kg_per_kmol"), R_m = M * GAS_CONSTANT;
            const double rho_n = 101325.0 * M / (R_m * 273.15);
            const double constants = 24.6 * rho_n / M / (31.6 * sqrt(10.0 / R_m));
            CHECK_REL(constants, 1.0, 1.6e-3, "both are printed to three figures");
            CHECK_REL(q * constants, csv_number(table, i, "Q_normal_m3_per_s") * rho_n, 1e-9,
                      csv_text(table, i, "source"));
            checked++;
        }
    }
    cr_assert_eq(checked, 5);
    csv_free(table);
}

/* Choked, a Kv of 1 with xT 0.7 is 4.51 dm3/(s bar) (ISO 6358-1 and IEC 60534-2-1 equated). */
Test(flow, kv_against_sonic_conductance) {
    csv *const table = csv_read("orifice_iso6358");
    size_t checked = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "conv_Kv_C")) {
            const law l = {.kind = LAW_KV,
                           .kv = csv_number(table, i, "Kv_m3h"),
                           .xt = csv_number(table, i, "xT")};
            CHECK_ROW(flow_between(&l, 6e5, 293.15, 1e4) / (6e5 * 1.185), table, i);
            checked++;
        }
    }
    cr_assert_eq(checked, 3);
    csv_free(table);
}

/* A smooth hose as long as makes its whole resistance, 1.5 heads with it, `total` at this flow. */
static law hose_of_resistance(double bore, double total, double mass, double T) {
    const double f = friction_at(reynolds_of(mass, bore, T), 0.0).factor;
    return (law){.kind = LAW_HOSE, .bore = bore, .length = (total - 1.5) * bore / f};
}

/* Coulson and Richardson's isothermal pipe has no heads and a fixed friction. With our length made
   to give its resistance at the flow of the row, flow and choking must be the same. */
Test(flow, hose_against_isothermal_rows) {
    csv *const table = csv_read("fanno");
    size_t checked = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (!csv_is(table, i, "kind", "isothermal_pipe")) {
            continue;
        }
        const double D = csv_number(table, i, "D_m"), L = csv_number(table, i, "L_m");
        const double T = csv_number(table, i, "T_K"), p_1 = csv_number(table, i, "p_in_Pa");
        const double pipe = csv_number(table, i, "f_Darcy") * L / D;
        const double expected = csv_number(table, i, "expected_si");
        const double rate = 0.25 * pi * D * D / sqrt(GAS_CONSTANT * T); /* kg/(s Pa) */
        if (csv_is(table, i, "quantity", "mdot")) {
            const double p_2 = csv_number(table, i, "p_out_Pa");
            const law l = hose_of_resistance(D, pipe, expected, T);
            CHECK_ROW(flow_between(&l, p_1, T, p_2), table, i);
        } else {
            const double mass = rate * expected; /* at a Mach number of 1/sqrt(gamma) */
            const law l = hose_of_resistance(D, pipe, mass, T);
            CHECK_ROW(flow_between(&l, p_1, T, 1e3) / rate, table, i);
        }
        checked++;
    }
    cr_assert_eq(checked, 10);
    csv_free(table);
}

/* Fanno's adiabatic pipe from a reservoir through a loss-free entry, which is one head. Ours, which
   keeps its temperature and chokes earlier, passes less: by 1.3 % while subsonic, by 7 % when
   choked. */
Test(flow, hose_against_fanno_rows) {
    csv *const table = csv_read("fanno");
    size_t checked = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "fanno_pipe") && csv_is(table, i, "quantity", "mdot")) {
            const double D = csv_number(table, i, "D_m"), L = csv_number(table, i, "L_m");
            const double T = csv_number(table, i, "Tt_K"), p_1 = csv_number(table, i, "pt_Pa");
            const double p_2 = csv_number(table, i, "p_out_Pa");
            const double expected = csv_number(table, i, "expected_si");
            const law l =
                hose_of_resistance(D, csv_number(table, i, "f_Darcy") * L / D + 1.0, expected, T);
            CHECK_REL(flow_between(&l, p_1, T, p_2), expected, p_2 > 0.7 * p_1 ? 0.015 : 0.08,
                      csv_text(table, i, "source"));
            checked++;
        }
    }
    cr_assert_eq(checked, 8);
    csv_free(table);
}

/* The tube formula C = 0.029 d^2/sqrt(L/d^1.25 + 510), b = 474 C/d^2 (from memory; attributed to
   Eckersten via Beater 2007), at 7 bar absolute and 20 C. */
Test(flow, smooth_hose_against_tube_formula) {
    csv *const table = csv_read("orifice_iso6358");
    size_t checked = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "tube")) {
            const law l = {.kind = LAW_HOSE,
                           .bore = csv_number(table, i, "d_m"),
                           .length = csv_number(table, i, "L_m")};
            const double p = 7e5, T = 293.15, q = flow_between(&l, p, T, 1e3);
            const double rate = 0.25 * pi * l.bore * l.bore / sqrt(GAS_CONSTANT * T);
            const bool conductance = csv_is(table, i, "quantity", "C");
            CHECK_REL(conductance ? q / (p * 1.185) : q / (rate * p),
                      csv_number(table, i, "expected_si"), conductance ? 0.15 : 0.25,
                      csv_text(table, i, "source"));
            checked++;
        }
    }
    cr_assert_eq(checked, 50);
    csv_free(table);
}

/* Equivalents. */

/* With b = 0 the standard's ellipse is q^2 = K^2 (p1^2 - p2^2), which for pressures about one mean
   is q = K sqrt(2 p dp): quadratic at any swing. Its first harmonic has the integral of sin^1.5:
   (2/pi) sqrt(pi) Gamma(5/4)/Gamma(7/4) = 1.1128. */
Test(flow, conductance_of_a_quadratic_law) {
    const double p = 6.61e5, T = 305.3;
    const double K = 1.3e-7 * 1.185 * sqrt(293.15 / T);
    const double first_harmonic = 2.0 / sqrt(pi) * tgamma(1.25) / tgamma(1.75);
    CHECK_REL(first_harmonic, 1.113, 2e-4, "design, 4.5: 1.113");
    for (double amplitude = 150.0; amplitude < 1.9 * p; amplitude *= 1.9) {
        CHECK_REL(flow_conductance(&laws[4], p, T, amplitude),
                  first_harmonic * K * sqrt(2.0 * p / amplitude), 1e-6,
                  "first harmonic of a root, in gamma functions");
    }
}

/* The integral as it is defined, by brute force. */
static double conductance_by_sums(const law *l, double p, double T, double amplitude) {
    const int steps = 40000;
    double sum = 0.0;
    for (int i = 0; i < steps; i++) {
        const double sine = sin(pi * (i + 0.5) / steps), half = 0.5 * amplitude * sine;
        sum += flow_between(l, p + half, T, fmax(p - half, 0.0)) * sine;
    }
    return 2.0 * sum / (steps * amplitude);
}

Test(flow, conductance_of_every_law) {
    const double swings[] = {0.013, 2.7, 31.0, 730.0, 6.3e3, 5.7e4, 3.1e5, 7.7e5, 1.6e6};
    for (size_t i = 0; i < COUNT(laws); i++) {
        for (size_t j = 0; j < COUNT(swings); j++) {
            const double got = flow_conductance(&laws[i], 6.61e5, 289.0, swings[j]);
            CHECK_REL(got, conductance_by_sums(&laws[i], 6.61e5, 289.0, swings[j]), 5e-4,
                      "midpoint sums of the definition");
        }
    }
}

Test(flow, conductance_of_no_swing_is_the_slope) {
    const flow_side rest = {6.61e5, 289.0};
    for (size_t i = 0; i < COUNT(laws); i++) {
        const double slope = flow_at(&laws[i], rest, rest).by_first;
        cr_assert_eq(flow_conductance(&laws[i], 6.61e5, 289.0, 0.0), slope);
        CHECK_REL(flow_conductance(&laws[i], 6.61e5, 289.0, 2e-11 * 6.61e5), slope, 1e-4,
                  "continuity");
    }
    cr_assert_eq(flow_conductance(&(law){.kind = LAW_NONE}, 6.61e5, 289.0, 10.0), 0.0);
}

/* About means that differ: the change of the flow on both sides of them, by brute force. */
static double conductance_between_by_sums(const law *l, flow_side a, flow_side b,
                                          double amplitude) {
    const int steps = 40000;
    double sum = 0.0;
    for (int i = 0; i < steps; i++) {
        const double sine = sin(2.0 * pi * (i + 0.5) / steps), half = 0.5 * amplitude * sine;
        sum +=
            flow_between(l, a.pressure + half, a.temperature, fmax(b.pressure - half, 0.0)) * sine;
    }
    return 2.0 * sum / (steps * amplitude);
}

Test(flow, conductance_about_unlike_means) {
    const flow_side a = {6.61e5, 289.0};
    const double offsets[] = {-3.3e5, -4.1e3, 17.0, 690.0, 5.3e4};
    const double swings[] = {2.7, 71.0, 940.0, 2.3e4, 3.9e5};
    for (size_t i = 0; i < COUNT(laws); i++) {
        for (size_t j = 0; j < COUNT(offsets); j++) {
            const flow_side b = {a.pressure - offsets[j], 289.0};
            for (size_t k = 0; k < COUNT(swings); k++) {
                CHECK_REL(flow_conductance_between(&laws[i], a, b, swings[k]),
                          conductance_between_by_sums(&laws[i], a, b, swings[k]), 2e-3,
                          "midpoint sums of the definition");
            }
            const flow q = flow_at(&laws[i], a, b);
            CHECK_REL(flow_conductance_between(&laws[i], a, b, 0.0),
                      0.5 * (q.by_first - q.by_second), 1e-12, "half the slopes of both sides");
        }
        cr_assert_eq(flow_conductance_between(&laws[i], a, a, 313.0),
                     flow_conductance(&laws[i], 6.61e5, 289.0, 313.0));
    }
}

/* Three parts of a hose in a row, with the air between them at rest, pass what the hose passes. */
Test(flow, parts_of_a_hose_make_the_whole) {
    const law *const hose = &laws[7];
    const law first = flow_hose_part(hose, 0.3), second = flow_hose_part(hose, 0.7);
    const double p_1 = 6.3e5, T = 290.1, outlets[] = {6.29999e5, 6.2e5, 4.4e5, 1.0e5};
    for (size_t i = 0; i < COUNT(outlets); i++) {
        const double p = middle_pressure(&first, &second, p_1, T, outlets[i]);
        CHECK_REL(flow_between(&first, p_1, T, p), flow_between(hose, p_1, T, outlets[i]), 1e-7,
                  "the squares of the pressures add up");
    }
}

/* Wherever the search for a hose's flow starts, it ends at the flow, and says where. */
Test(flow, a_start_nearby_changes_nothing) {
    static const double starts[] = {1e-3, 37.0, 1913.0, 2.6e4, 3.1e9};
    for (size_t i = 0; i < COUNT(laws); i++) {
        for (size_t k = 0; k < COUNT(upstream) * COUNT(parts); k++) {
            const flow_side up = upstream[k / COUNT(parts)];
            const flow_side down = {up.pressure * (1.0 - parts[k % COUNT(parts)]),
                                    other_temperature};
            const flow alone = flow_at(&laws[i], up, down);
            for (size_t j = 0; j < COUNT(starts); j++) {
                double reynolds = starts[j];
                const flow near = flow_at_near(&laws[i], up, down, &reynolds);
                const flow again = flow_at_near(&laws[i], down, up, &reynolds);
                CHECK_REL(near.mass, alone.mass, 1e-11, "flow_at");
                CHECK_REL(near.by_first, alone.by_first, 1e-5, "flow_at");
                CHECK_REL(again.mass, flow_at(&laws[i], down, up).mass, 1e-11, "flow_at");
            }
        }
    }
}
