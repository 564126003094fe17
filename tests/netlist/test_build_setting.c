/* Tests of solver/netlist/build_setting.c.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>

#include "sample.h"
#include "support.h"

#define AS_WRITTEN "as written in the sample"

Test(build_setting, what_is_given) {
    baronet_netlist *const n = sample(sample_van);
    const model *const m = netlist_model(n);
    cr_expect_str_eq(m->about, "Camper van, rear axle (invented)");
    CHECK_REL(m->ambient.pressure, 100e3, 1e-15, AS_WRITTEN);
    CHECK_REL(m->ambient.temperature, 288.15, 1e-15, AS_WRITTEN);
    cr_expect_not(m->ambient.assumed);
    cr_expect_eq(m->gas.kind, GAS_THERMAL);
    CHECK_REL(m->gas.tau, 6.0, 1e-15, AS_WRITTEN);
    cr_expect_not(m->gas_assumed);
    const body *const b = &m->vehicle.body;
    CHECK_REL(b->cg_height, 0.85, 1e-15, AS_WRITTEN);
    CHECK_REL(b->roll_axis, 0.12, 1e-15, AS_WRITTEN);
    CHECK_REL(b->roll_inertia, 900.0, 1e-15, AS_WRITTEN);
    CHECK_REL(b->pitch_inertia, 4200.0, 1e-15, AS_WRITTEN);
    cr_expect(b->cg_height_given && b->roll_axis_given);
    baronet_netlist_destroy(n);
}

Test(build_setting, what_is_assumed) {
    baronet_netlist *const n = sample("tank a volume 3 L\ntank b volume 2 L\n"
                                      "restrictor c from a to b bore 2 mm\n");
    const model *const m = netlist_model(n);
    cr_expect_str_eq(m->about, "");
    cr_expect_eq(m->ambient.pressure, 101325.0);
    CHECK_REL(m->ambient.temperature, 293.15, 1e-15, "20 C, the format's default");
    cr_expect(m->ambient.assumed && m->gas_assumed);
    cr_expect_eq(m->gas.kind, GAS_ADIABATIC);
    cr_expect_not(m->vehicle.body.cg_height_given || m->vehicle.body.roll_axis_given);
    baronet_netlist_destroy(n);
}

#define TANKS                                                                                      \
    "tank a volume 3 L\ntank b volume 2 L pressure 2 bar\nrestrictor c from a to b bore 2 mm\n"

Test(build_setting, altitude_sets_the_air) {
    const char *const standard = "US Standard Atmosphere 1976, table I, 1000 m geometric";
    baronet_netlist *n = sample("ambient altitude 1000 m\n" TANKS);
    CHECK_REL(netlist_model(n)->ambient.pressure, 89876.0, 1e-4, standard);
    CHECK_REL(netlist_model(n)->ambient.temperature, 281.651, 1e-5, standard);
    baronet_netlist_destroy(n);
    n = sample("ambient temperature 30 C altitude 1000 m\n" TANKS);
    CHECK_REL(netlist_model(n)->ambient.pressure, 89876.0, 1e-4, standard);
    CHECK_REL(netlist_model(n)->ambient.temperature, 303.15, 1e-15, AS_WRITTEN);
    baronet_netlist_destroy(n);
}

Test(build_setting, kinds_of_gas) {
    static const struct {
        const char *text;
        gas_kind kind;
        double exponent;
    } cases[] = {{"gas adiabatic\n" TANKS, GAS_ADIABATIC, 0.0},
                 {"gas isothermal\n" TANKS, GAS_ISOTHERMAL, 0.0},
                 {"gas exponent 1.38\n" TANKS, GAS_EXPONENT, 1.38}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        baronet_netlist *const n = sample(cases[i].text);
        cr_expect_eq(netlist_model(n)->gas.kind, cases[i].kind);
        cr_expect_eq(netlist_model(n)->gas.exponent, cases[i].exponent);
        cr_expect_not(netlist_model(n)->gas_assumed);
        baronet_netlist_destroy(n);
    }
}
