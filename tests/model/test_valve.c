/* SPDX-License-Identifier: MIT */
#include "model/valve.h"

#include <criterion/criterion.h>
#include <math.h>

#include "model/gas.h"
#include "support.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double ambient = 0.977e5;

#define GATE                                                                                       \
    { .kind = LAW_BORE, .bore = 0.0053, .discharge = 0.8 }

static const double table_pressure[] = {1.0e5, 3.1e5, 5.2e5, 8.9e5, 9.2e5};
static const double table_flow[] = {1.07e-3, 0.85e-3, 0.66e-3, 0.38e-3, 0.0};

static const edge check_valve = {.kind = EDGE_CHECK_VALVE, .path = GATE, .opens_at = 4.7e3};
static const edge relief = {.kind = EDGE_RELIEF, .path = GATE, .set = 8.3e5};
static const edge regulator = {.kind = EDGE_REGULATOR, .path = GATE, .set = 6.1e5};
static const edge compressor = {.kind = EDGE_COMPRESSOR,
                                .table_rows = COUNT(table_pressure),
                                .table_pressure = table_pressure,
                                .table_flow = table_flow};
static const edge solenoid = {
    .kind = EDGE_SOLENOID,
    .path = GATE,
    .bypass = {.kind = LAW_SONIC, .conductance = 1.7e-10, .critical = 0.2}};
static const edge piloted = {.kind = EDGE_SOLENOID,
                             .path = GATE,
                             .bypass = {.kind = LAW_BORE, .bore = 0.0004, .discharge = 0.8},
                             .opens_above = 0.34e5};
static const edge restrictor = {.kind = EDGE_RESTRICTOR, .path = GATE};

static const edge *const all[] = {&check_valve, &relief,     &regulator, &compressor,
                                  &solenoid,    &restrictor, &piloted};

static flow through(const edge *e, double p_1, double p_2) {
    return valve_flow(e, true, (flow_side){p_1, 291.0}, (flow_side){p_2, 291.0}, ambient);
}

static flow gate(double p_1, double p_2) {
    const law l = GATE;
    return flow_at(&l, (flow_side){p_1, 291.0}, (flow_side){p_2, 291.0});
}

static bool same(flow a, flow b) {
    return a.mass == b.mass && a.by_first == b.by_first && a.by_second == b.by_second &&
           a.choked == b.choked;
}

static bool is_none(flow q) {
    return q.mass == 0.0 && q.by_first == 0.0 && q.by_second == 0.0 && !q.choked;
}

/* The contract of all edges, one-way or not. */

Test(valve, every_edge_is_monotonic_and_continuous) {
    for (size_t i = 0; i < COUNT(all); i++) {
        for (double p_1 = 0.4e5; p_1 < 12e5; p_1 += 0.873e5) {
            flow last = through(all[i], p_1, 0.3e5);
            for (double p_2 = 0.3e5, step = 53.0; p_2 < 12e5; p_2 += step) {
                const flow next = through(all[i], p_1, p_2 + step);
                cr_assert(next.by_first >= 0.0 && next.by_second <= 0.0);
                cr_assert_leq(next.mass, last.mass * (1.0 + 1e-15) + 1e-18);
                /* Near equal pressures the root falls steeply: the slope in its middle is no more
                   than that of a difference of a quarter step. */
                const double steepest = -gate(p_1, p_1 - 0.25 * step).by_second + 1e-8;
                cr_assert_leq(last.mass - next.mass, 2.0 * steepest * step);
                last = next;
            }
        }
    }
}

Test(valve, derivatives_are_those_of_the_flow) {
    for (size_t i = 0; i < COUNT(all); i++) {
        for (double p_1 = 0.45e5; p_1 < 14e5; p_1 += 0.4177e5) {
            for (double p_2 = 0.47e5; p_2 < 14e5; p_2 += 0.3931e5) {
                const double h = 0.3;
                const flow q = through(all[i], p_1, p_2);
                const double first =
                    through(all[i], p_1 + h, p_2).mass - through(all[i], p_1 - h, p_2).mass;
                const double second =
                    through(all[i], p_1, p_2 + h).mass - through(all[i], p_1, p_2 - h).mass;
                const double tolerance = 1e-5 * (q.by_first - q.by_second) + 1e-16;
                CHECK_ABS(q.by_first, first / (2.0 * h), tolerance, "central difference");
                CHECK_ABS(q.by_second, second / (2.0 * h), tolerance, "central difference");
            }
        }
    }
}

Test(valve, plain_paths_take_their_law) {
    cr_assert(same(through(&restrictor, 5.1e5, 3.9e5), gate(5.1e5, 3.9e5)));
    cr_assert(same(through(&restrictor, 3.9e5, 5.1e5), gate(3.9e5, 5.1e5)));
    const edge hose = {.kind = EDGE_HOSE,
                       .path = {.kind = LAW_HOSE, .bore = 0.0082, .length = 1.3}};
    const flow_side a = {5.1e5, 280.0}, b = {2.2e5, 300.0};
    cr_assert(same(valve_flow(&hose, false, b, a, ambient), flow_at(&hose.path, b, a)));
}

Test(valve, a_shut_solenoid_passes_its_bypass) {
    const flow_side a = {5.1e5, 291.0}, b = {3.9e5, 291.0};
    cr_assert(same(valve_flow(&solenoid, true, a, b, ambient), gate(5.1e5, 3.9e5)));
    cr_assert(same(valve_flow(&solenoid, false, a, b, ambient), flow_at(&solenoid.bypass, a, b)));
    const edge tight = {.kind = EDGE_SOLENOID, .path = GATE};
    cr_assert(is_none(valve_flow(&tight, false, a, b, ambient)));
}

Test(valve, a_piloted_solenoid_opens_with_the_difference_across_it) {
    const flow_side a = {4.0e5, 291.0}, near = {4.0e5 - 0.33e5, 291.0};
    cr_assert(
        same(valve_flow(&piloted, true, a, near, ambient), flow_at(&piloted.bypass, a, near)));
    cr_assert(
        same(valve_flow(&piloted, true, near, a, ambient), flow_at(&piloted.bypass, near, a)));
    cr_assert(same(through(&piloted, 4.5e5, 4.0e5), gate(4.5e5, 4.0e5)));
    cr_assert(same(through(&piloted, 4.0e5, 4.5e5), gate(4.0e5, 4.5e5)), "either way");
    /* Its band is the least, 0.1 bar: a tenth of 0.34 bar is less. */
    const flow_side half = {4.0e5 - 0.39e5, 291.0};
    CHECK_REL(valve_flow(&piloted, true, a, half, ambient).mass,
              0.5 * (gate(4.0e5, half.pressure).mass + flow_at(&piloted.bypass, a, half).mass),
              1e-12, "half lifted");
    cr_assert(
        same(valve_flow(&piloted, false, a, half, ambient), flow_at(&piloted.bypass, a, half)));
}

Test(valve, a_one_way_solenoid_is_lifted_from_behind) {
    const edge one_way = {.kind = EDGE_SOLENOID, .path = GATE, .one_way = true};
    const flow_side low = {2.0e5, 291.0}, high = {3.0e5, 291.0}, little = {2.0e5 + 4e3, 291.0};
    cr_assert(is_none(valve_flow(&one_way, false, high, low, ambient)), "it holds this way");
    cr_assert(same(valve_flow(&one_way, false, low, high, ambient), gate(2.0e5, 3.0e5)));
    CHECK_REL(valve_flow(&one_way, false, low, little, ambient).mass,
              0.4 * gate(2.0e5, 2.04e5).mass, 1e-12, "0.04 of 0.1 bar");
    cr_assert(same(valve_flow(&one_way, true, high, low, ambient), gate(3.0e5, 2.0e5)));
    /* Its changes, shut. */
    for (double p = 1.6e5; p < 2.6e5; p += 0.0731e5) {
        const double h = 0.3;
        const flow_side at = {p, 291.0}, up = {p + h, 291.0}, down = {p - h, 291.0};
        const flow q = valve_flow(&one_way, false, low, at, ambient);
        const double second = valve_flow(&one_way, false, low, up, ambient).mass -
                              valve_flow(&one_way, false, low, down, ambient).mass;
        CHECK_ABS(q.by_second, second / (2.0 * h), 1e-5 * (q.by_first - q.by_second) + 1e-16,
                  "central difference");
    }
}

Test(valve, a_check_valve_passes_one_way_beyond_its_opening) {
    cr_assert(is_none(through(&check_valve, 4.0e5, 6.0e5)));
    cr_assert(is_none(through(&check_valve, 4.0e5, 4.0e5)));
    cr_assert(is_none(through(&check_valve, 4.0e5 + 4.6e3, 4.0e5)));
    cr_assert_gt(through(&check_valve, 4.0e5 + 4.8e3, 4.0e5).mass, 0.0);
    cr_assert(same(through(&check_valve, 4.9e5 + 4.7e3, 4.2e5), gate(4.9e5, 4.2e5)));
}

Test(valve, a_relief_opens_above_its_set_difference) {
    const double p_2 = ambient, at_set = p_2 + 8.3e5, band = 0.83e5;
    cr_assert(is_none(through(&relief, at_set, p_2)));
    cr_assert(is_none(through(&relief, p_2, at_set)));
    cr_assert(same(through(&relief, at_set + 1.01 * band, p_2), gate(at_set + 1.01 * band, p_2)));
    CHECK_REL(through(&relief, at_set + 0.37 * band, p_2).mass,
              0.37 * gate(at_set + 0.37 * band, p_2).mass, 1e-12, "linear over a tenth of the set");
    /* Into a higher outlet it opens as much later. */
    cr_assert(is_none(through(&relief, at_set + 0.2 * band, p_2 + 0.3 * band)));
}

Test(valve, a_regulator_shuts_at_its_set_pressure) {
    const double band = 0.1 * (6.1e5 - ambient);
    cr_assert(is_none(through(&regulator, 9.0e5, 6.1e5)));
    cr_assert(is_none(through(&regulator, 9.0e5, 7.0e5)));
    cr_assert(is_none(through(&regulator, 2.0e5, 3.0e5)), "nothing back");
    cr_assert(same(through(&regulator, 9.0e5, 5.0e5), gate(9.0e5, 5.0e5)));
    CHECK_REL(through(&regulator, 9.0e5, 6.1e5 - 0.43 * band).mass,
              0.43 * gate(9.0e5, 6.1e5 - 0.43 * band).mass, 1e-12,
              "linear over a tenth of the set gauge pressure");
    /* A low set pressure has the least band. */
    const edge low = {.kind = EDGE_REGULATOR, .path = GATE, .set = 1.2e5};
    CHECK_REL(through(&low, 3e5, 1.2e5 - 2.5e3).mass, 0.25 * gate(3e5, 1.2e5 - 2.5e3).mass, 1e-12,
              "the least band is 0.1 bar");
}

Test(valve, a_compressor_delivers_its_table) {
    const double free_air = 1e5 / (GAS_CONSTANT * 293.15); /* kg/m3: 20 C, 100 kPa, dry */
    CHECK_REL(through(&compressor, 101325.0, 3.1e5).mass, 0.85e-3 * free_air, 1e-12, "a row");
    CHECK_REL(through(&compressor, 101325.0, 4.15e5).mass, 0.755e-3 * free_air, 1e-12,
              "half way between two rows");
    CHECK_REL(through(&compressor, 101325.0, 0.8e5).mass, 1.07e-3 * free_air, 1e-12,
              "below the first row");
    cr_assert_eq(through(&compressor, 101325.0, 9.2e5).mass, 0.0);
    cr_assert(is_none(through(&compressor, 101325.0, 11e5)));
    CHECK_REL(through(&compressor, 0.8 * 101325.0, 3.1e5).mass, 0.8 * 0.85e-3 * free_air, 1e-12,
              "displacement: in proportion to the pressure drawn from");
}

Test(valve, a_compressor_runs_out_beyond_its_table) {
    const edge open_ended = {.kind = EDGE_COMPRESSOR,
                             .table_rows = 3,
                             .table_pressure = table_pressure,
                             .table_flow = table_flow};
    const double slope = (0.66e-3 - 0.85e-3) / 2.1e5;
    const double free_air = 1e5 / (GAS_CONSTANT * 293.15);
    CHECK_REL(through(&open_ended, 101325.0, 7e5).mass, (0.66e-3 + slope * 1.8e5) * free_air, 1e-12,
              "the last slope goes on");
    cr_assert(is_none(through(&open_ended, 101325.0, 5.2e5 - 0.67e-3 / slope)));
    const edge constant = {.kind = EDGE_COMPRESSOR,
                           .table_rows = 1,
                           .table_pressure = table_pressure,
                           .table_flow = table_flow};
    CHECK_REL(through(&constant, 101325.0, 7e5).mass, 1.07e-3 * free_air, 1e-12, "one row");
    const edge empty = {.kind = EDGE_COMPRESSOR};
    cr_assert(is_none(through(&empty, 101325.0, 7e5)));
}
