/* SPDX-License-Identifier: MIT */
#include "studies/cells.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "support.h"

static const double pi = 3.141592653589793;

/* What one row of the reference says of a vessel that fills or empties through one path. */
typedef struct vessel {
    const char *kind;
    gas_kind gas;
    law_kind law;
    bool fills;
} vessel;

static const vessel vessels[] = {
    {"choked_isothermal_discharge", GAS_ISOTHERMAL, LAW_BORE, false},
    {"choked_adiabatic_discharge", GAS_ADIABATIC, LAW_BORE, false},
    {"subsonic_isothermal_discharge", GAS_ISOTHERMAL, LAW_SONIC, false},
    {"full_isothermal_discharge", GAS_ISOTHERMAL, LAW_SONIC, false},
    {"isothermal_charge", GAS_ISOTHERMAL, LAW_SONIC, true},
    {"choked_adiabatic_charge", GAS_ADIABATIC, LAW_BORE, true},
};

static double pressure_now(void *context, const air_cells *c, const double *air) {
    (void)context;
    return cells_pressure(c, air, 0);
}

static law law_of(const csv *table, size_t row, law_kind kind) {
    law l = {.kind = kind, .discharge = 1.0};
    if (kind == LAW_BORE) {
        l.bore = sqrt(4.0 * csv_number(table, row, "A_eff_m2") / pi);
    } else {
        l.conductance = csv_number(table, row, "C_m3_per_sPa");
        l.critical = csv_number(table, row, "b");
    }
    return l;
}

/* One row; false where it ends exactly at the outer pressure, which the laws with a finite slope at
   no flow come near to but do not reach. */
static bool compare(const csv *table, size_t row, const vessel *v) {
    const double V = csv_number(table, row, "V_m3"), p = csv_number(table, row, "p0_Pa");
    const double T = csv_number(table, row, "T_K"), end = csv_number(table, row, "pf_Pa");
    const double given = csv_number(table, row, "p_back_Pa");
    const double outside = isnan(given) ? 0.0 : given; /* choked: a vacuum does */
    if (fabs(end - outside) < 1.0) {
        return false;
    }
    const cells_path path = {law_of(table, row, v->law), v->fills ? -1 : 0, v->fills ? 0 : -1};
    const cells_setup setup = {.gas = {.kind = v->gas},
                               .temperature = T,
                               .cells = 1,
                               .volume = &V,
                               .start_pressure = &p,
                               .start_temperature = &T,
                               .held = 1,
                               .held_pressure = &outside,
                               .paths = 1,
                               .path = &path,
                               .tolerance = 1e-11};
    const cells_watch watch = {pressure_now, NULL, 1, &end};
    air_cells *c;
    int mark;
    cr_assert_eq(cells_create(&c, &setup, &watch, NULL), BARONET_OK);
    cr_assert_eq(cells_advance(c, 1e6, &mark), BARONET_OK);
    cr_assert_eq(mark, 0);
    const bool time = csv_is(table, row, "quantity", "t");
    CHECK_ROW(time ? cells_time(c) : cells_temperature(c, cells_air(c), 0), table, row);
    cells_destroy(c);
    return true;
}

Test(cells, vessels_fill_and_empty_as_in_the_reference) {
    csv *table = csv_read("tank_blowdown");
    int compared = 0;
    for (size_t row = 0; row < csv_rows(table); row++) {
        for (size_t k = 0; k < sizeof vessels / sizeof vessels[0]; k++) {
            const bool asked =
                csv_is(table, row, "quantity", "t") || csv_is(table, row, "quantity", "T_final");
            if (asked && csv_is(table, row, "kind", vessels[k].kind)) {
                compared += compare(table, row, &vessels[k]);
            }
        }
    }
    cr_assert_eq(compared, 27, "%d rows", compared);
    csv_free(table);
}

/* Two vessels of uneven volume and a third by a hose, air of each kind. */
static const double volumes[3] = {1.7e-3, 4.3e-3, 2.9e-5};
static const double pressures[3] = {6.1e5, 4.2e5, 4.4e5};
static const double temperatures[3] = {301.0, 287.0, 295.0};
static const cells_path paths[3] = {
    {{.kind = LAW_BORE, .bore = 2.3e-3, .discharge = 0.77}, 0, 1},
    {{.kind = LAW_HOSE, .bore = 6e-3, .length = 0.7, .roughness = 2e-6, .fittings = 1.3}, 1, 2},
    {{.kind = LAW_SONIC, .conductance = 8e-9, .critical = 0.31}, 2, 0},
};

static cells_setup three(gas g) {
    return (cells_setup){.gas = g,
                         .temperature = 292.0,
                         .cells = 3,
                         .volume = volumes,
                         .start_pressure = pressures,
                         .start_temperature = temperatures,
                         .paths = 3,
                         .path = paths};
}

static const gas gases[] = {{.kind = GAS_ISOTHERMAL},
                            {.kind = GAS_ADIABATIC},
                            {.kind = GAS_EXPONENT, .exponent = 1.31},
                            {.kind = GAS_EXPONENT, .exponent = 1.0},
                            {.kind = GAS_THERMAL, .tau = 1.9}};

Test(cells, mass_is_kept_and_energy_where_no_heat_flows) {
    for (size_t k = 0; k < sizeof gases / sizeof gases[0]; k++) {
        const cells_setup setup = three(gases[k]);
        air_cells *c;
        int mark;
        cr_assert_eq(cells_create(&c, &setup, NULL, NULL), BARONET_OK);
        cr_assert_eq(cells_advance(c, 1e3, &mark), BARONET_OK);
        double gained = 0.0, mass = 0.0, energy = 0.0, now = 0.0, whole = 0.0;
        for (int i = 0; i < 3; i++) {
            gained += cells_gain(c, cells_air(c), i);
            mass += cells_start_mass(c, i);
            energy += pressures[i] * volumes[i];
            now += cells_pressure(c, cells_air(c), i) * volumes[i];
            whole += volumes[i];
        }
        cr_assert(fabs(gained) < 1e-15 * mass, "%zu: %g", k, gained / mass);
        const bool slow = gas_exponent(gases[k]) == 1.0;
        const bool heat = gases[k].kind == GAS_THERMAL;
        const double end = (slow || heat ? mass * GAS_CONSTANT * 292.0 : energy) / whole;
        if (!heat) {
            CHECK_REL(now, slow ? mass * GAS_CONSTANT * 292.0 : energy, 1e-13,
                      "sum of p V is kept");
        }
        for (int i = 0; i < 3; i++) {
            CHECK_REL(cells_pressure(c, cells_air(c), i), end, 1e-8, "all evened out");
        }
        cells_destroy(c);
    }
}

/* An explicit integrator of the tests' own, with equations of its own: pressures and temperatures
   of the cells instead of masses and energies,
       dT/dt = (T/p V) [sum over inflow q R (gamma T_in - T) - outflow q R T (gamma - 1)] - heat,
       dp/dt = (R gamma/V) (sum q_in T_in - sum q_out T) - heat,
   by Dormand and Prince's pair of orders 5 and 4 (J. Comput. Appl. Math. 6 (1980) 19). */
enum { STATES = 6 };

static void explicit_rate(const cells_setup *s, const double *y, double *rate) {
    const double gamma = gas_exponent(s->gas);
    memset(rate, 0, STATES * sizeof *rate);
    for (int k = 0; k < s->paths; k++) {
        const int a = s->path[k].from, b = s->path[k].to;
        const double q = flow_at(&s->path[k].law, (flow_side){y[2 * a], y[2 * a + 1]},
                                 (flow_side){y[2 * b], y[2 * b + 1]})
                             .mass;
        const int from = q >= 0.0 ? a : b, to = q >= 0.0 ? b : a;
        const double size = fabs(q) * GAS_CONSTANT, T = y[2 * from + 1], T_to = y[2 * to + 1];
        rate[2 * from] -= gamma * size * T / s->volume[from];
        rate[2 * from + 1] -= size * T * T * (gamma - 1.0) / (y[2 * from] * s->volume[from]);
        rate[2 * to] += gamma * size * T / s->volume[to];
        rate[2 * to + 1] += size * T_to * (gamma * T - T_to) / (y[2 * to] * s->volume[to]);
    }
    for (int i = 0; i < s->cells && s->gas.kind == GAS_THERMAL; i++) {
        const double cooling = (y[2 * i + 1] - s->temperature) / s->gas.tau;
        rate[2 * i + 1] -= cooling;
        rate[2 * i] -= y[2 * i] / y[2 * i + 1] * cooling;
    }
}

static double explicit_step(const cells_setup *s, const double *y, double step, double *next) {
    static const double a[7][6] = {
        {0},
        {1.0 / 5},
        {3.0 / 40, 9.0 / 40},
        {44.0 / 45, -56.0 / 15, 32.0 / 9},
        {19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729},
        {9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656},
        {35.0 / 384, 0, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84}};
    static const double e[7] = {71.0 / 57600,      0,          -71.0 / 16695, 71.0 / 1920,
                                -17253.0 / 339200, 22.0 / 525, -1.0 / 40};
    double k[7][STATES], error = 0.0;
    for (int stage = 0; stage < 7; stage++) {
        for (int i = 0; i < STATES; i++) {
            next[i] = y[i];
            for (int j = 0; j < stage; j++) {
                next[i] += step * a[stage][j] * k[j][i];
            }
        }
        explicit_rate(s, next, k[stage]);
    }
    for (int i = 0; i < STATES; i++) {
        double sum = 0.0;
        for (int j = 0; j < 7; j++) {
            sum += step * e[j] * k[j][i];
        }
        error = fmax(error, fabs(sum / y[i]));
    }
    return error;
}

static void explicit_run(const cells_setup *s, double until, double *y) {
    const double wanted = 1e-11;
    double t = 0.0, step = 1e-6, next[STATES];
    for (int i = 0; i < 3; i++) {
        y[2 * i] = s->start_pressure[i];
        y[2 * i + 1] = s->start_temperature[i];
    }
    while (t < until) {
        step = fmin(step, until - t);
        const double error = explicit_step(s, y, step, next);
        if (error <= wanted) {
            t = step >= until - t ? until : t + step;
            memcpy(y, next, sizeof next);
        }
        step *= fmin(3.0, fmax(0.2, 0.8 * pow(wanted / (error + 1e-300), 0.2)));
    }
}

Test(cells, an_explicit_integrator_with_other_equations_agrees) {
    const gas both[] = {gases[1], gases[2], gases[4]};
    for (size_t k = 0; k < 3; k++) {
        const cells_setup setup = three(both[k]);
        air_cells *c;
        int mark;
        double y[STATES];
        cr_assert_eq(cells_create(&c, &setup, NULL, NULL), BARONET_OK);
        static const double moments[] = {0.013, 0.11};
        for (size_t i = 0; i < 2; i++) {
            cr_assert_eq(cells_advance(c, moments[i], &mark), BARONET_OK);
            explicit_run(&setup, moments[i], y);
            for (int cell = 0; cell < 3; cell++) {
                CHECK_REL(cells_pressure(c, cells_air(c), cell), y[2 * cell], 3e-7,
                          "Dormand and Prince, own equations");
                CHECK_REL(cells_temperature(c, cells_air(c), cell), y[2 * cell + 1], 3e-7,
                          "Dormand and Prince, own equations");
            }
        }
        cells_destroy(c);
    }
}

Test(cells, every_refusal_of_memory_is_survived) {
    failing f;
    const cells_setup setup = three(gases[1]);
    for (size_t k = 1;; k++) {
        air_cells *c = NULL;
        const baronet_status status = cells_create(&c, &setup, NULL, failing_start(&f, k));
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        cells_destroy(c);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
}
