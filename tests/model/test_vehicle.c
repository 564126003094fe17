/* SPDX-License-Identifier: MIT */
#include "model/vehicle.h"

#include <criterion/criterion.h>
#include <math.h>

#include "support.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const double g = 9.80665; /* m/s2 */

typedef struct freedom_case {
    const char *what;
    int wheels, axles;
    double y[4];
    bool heave, roll, pitch;
} freedom_case;

static const freedom_case freedoms[] = {
    {"a bench rig", 0, 0, {0.0}, false, false, false},
    {"one corner", 1, 1, {0.4}, true, false, false},
    {"one axle", 2, 1, {0.83, -0.81}, true, true, false},
    {"two wheels in line", 2, 2, {0.1, 0.1004}, true, false, true},
    {"three wheels", 3, 2, {0.0, 0.7, -0.74}, true, true, true},
    {"four corners", 4, 2, {0.8, -0.8, 0.77, -0.79}, true, true, true},
};

Test(vehicle, a_body_moves_as_its_corners_tell_apart) {
    for (size_t i = 0; i < COUNT(freedoms); i++) {
        const freedom_case *const f = &freedoms[i];
        corner corners[5] = {{.y = 0.0}};
        for (int c = 0; c < f->wheels; c++)
            corners[c].y = f->y[c];
        corners[f->wheels] = (corner){.bench = true, .y = 9.0}; /* stands beside it */
        const vehicle v = {
            .corners = f->wheels + 1, .corner = corners, .wheels = f->wheels, .axles = f->axles};
        const body_freedom found = vehicle_freedom(&v);
        cr_assert_eq(found.heave, f->heave, "%s", f->what);
        cr_assert_eq(found.roll, f->roll, "%s", f->what);
        cr_assert_eq(found.pitch, f->pitch, "%s", f->what);
        cr_assert_eq(found.count, f->heave + f->roll + f->pitch, "%s", f->what);
    }
}

static const corner van[] = {{.x = 1.31, .y = 0.82},
                             {.x = 1.29, .y = -0.79},
                             {.x = -1.44, .y = 0.75},
                             {.x = -1.47, .y = -0.77}};
static const double sprung[] = {5210.0, 4870.0, 6630.0, 5940.0}; /* N */

Test(vehicle, mass_and_centre_are_those_of_the_loads) {
    const vehicle v = {.corners = 4, .corner = van, .wheels = 4, .axles = 2};
    const body_mass m = vehicle_mass(&v, sprung);
    const double W = 5210.0 + 4870.0 + 6630.0 + 5940.0;
    CHECK_REL(m.mass, W / g, 1e-14, "weights summed by hand");
    CHECK_REL(m.x, (5210.0 * 1.31 + 4870.0 * 1.29 - 6630.0 * 1.44 - 5940.0 * 1.47) / W, 1e-13,
              "moments by hand");
    CHECK_REL(m.y, (5210.0 * 0.82 - 4870.0 * 0.79 + 6630.0 * 0.75 - 5940.0 * 0.77) / W, 1e-12,
              "moments by hand");
    CHECK_ABS(m.arm, 0.0, 0.0, "no heights given");
}

Test(vehicle, the_datum_moves_the_centre_and_nothing_else) {
    corner moved[4];
    for (int c = 0; c < 4; c++)
        moved[c] = (corner){.x = van[c].x + 2.7, .y = van[c].y - 0.33};
    const vehicle a = {.corners = 4, .corner = van, .wheels = 4, .axles = 2};
    const vehicle b = {.corners = 4, .corner = moved, .wheels = 4, .axles = 2};
    const body_mass here = vehicle_mass(&a, sprung), there = vehicle_mass(&b, sprung);
    CHECK_REL(there.x - here.x, 2.7, 1e-13, "a shifted datum");
    CHECK_REL(there.y - here.y, -0.33, 1e-13, "a shifted datum");
    CHECK_REL(there.roll_inertia, here.roll_inertia, 1e-12, "a shifted datum");
    CHECK_REL(there.pitch_inertia, here.pitch_inertia, 1e-12, "a shifted datum");
}

Test(vehicle, missing_inertias_are_those_of_masses_over_the_wheels) {
    const vehicle v = {.corners = 4, .corner = van, .wheels = 4, .axles = 2};
    const body_mass m = vehicle_mass(&v, sprung);
    /* By pairs of masses, m_a m_b d^2/M summed, which needs no centre (Lagrange's identity). */
    double roll = 0.0, pitch = 0.0, M = 0.0;
    for (int a = 0; a < 4; a++) {
        M += sprung[a] / g;
        for (int b = 0; b < a; b++) {
            const double both = sprung[a] / g * sprung[b] / g;
            roll += both * pow(van[a].y - van[b].y, 2.0);
            pitch += both * pow(van[a].x - van[b].x, 2.0);
        }
    }
    cr_assert(m.roll_estimated && m.pitch_estimated);
    CHECK_REL(m.roll_inertia, roll / M, 1e-13, "Lagrange's identity");
    CHECK_REL(m.pitch_inertia, pitch / M, 1e-13, "Lagrange's identity");
}

Test(vehicle, given_inertias_and_heights_are_taken) {
    vehicle v = {.corners = 4, .corner = van, .wheels = 4, .axles = 2};
    v.body = (body){.roll_inertia = 633.0, .cg_height = 0.93, .cg_height_given = true};
    const body_mass m = vehicle_mass(&v, sprung);
    cr_assert(!m.roll_estimated && m.pitch_estimated);
    CHECK_REL(m.roll_inertia, 633.0, 0.0, "as given");
    CHECK_ABS(m.arm, 0.0, 0.0, "an arm needs both heights");
    v.body.roll_axis = 0.21;
    v.body.roll_axis_given = true;
    CHECK_REL(vehicle_mass(&v, sprung).arm, 0.72, 1e-14, "difference of heights");
}

static const corner stopped = {.coil = 1.9e4,
                               .carries = 777.0, /* is not in the force */
                               .bump_at = 0.043,
                               .bump_rate = 2.6e5,
                               .rebound_at = 0.061,
                               .rebound_rate = 1.4e5};

typedef struct steel_case {
    double travel, force, rate;
} steel_case;

/* Coil by the travel, stops by what is beyond them, summed by hand. */
static const steel_case steels[] = {
    {0.0, 0.0, 1.9e4},
    {0.031, 589.0, 1.9e4},
    {0.053, 1007.0 + 2600.0, 1.9e4 + 2.6e5},
    {-0.044, -836.0, 1.9e4},
    {-0.081, -1539.0 - 2800.0, 1.9e4 + 1.4e5},
};

Test(vehicle, coil_and_stops_push_back) {
    for (size_t i = 0; i < COUNT(steels); i++) {
        CHECK_REL(corner_steel_force(&stopped, steels[i].travel), steels[i].force, 1e-12,
                  "by hand");
        CHECK_REL(corner_steel_rate(&stopped, steels[i].travel), steels[i].rate, 1e-15, "by hand");
    }
}

Test(vehicle, steel_force_is_continuous_where_stops_are_met) {
    static const double met[] = {0.043, -0.061};
    for (size_t i = 0; i < 2; i++) {
        const double below = corner_steel_force(&stopped, met[i] - 1e-9);
        const double above = corner_steel_force(&stopped, met[i] + 1e-9);
        CHECK_ABS(above - below, 0.0, 2e-9 * 3e5, "no jump");
    }
}

Test(vehicle, stops_that_are_not_given_do_nothing) {
    const corner none = {.coil = 0.0};
    for (double travel = -0.31; travel < 0.3; travel += 0.0173) {
        CHECK_ABS(corner_steel_force(&none, travel), 0.0, 0.0, "nothing there");
        CHECK_ABS(corner_steel_rate(&none, travel), 0.0, 0.0, "nothing there");
    }
}

Test(vehicle, a_bar_gives_its_couple_over_the_track) {
    /* Energy: 1/2 k phi^2 with phi the difference of travels over the track t is
       1/2 (k/t^2) (difference)^2. */
    const vehicle v = {.corners = 4, .corner = van, .wheels = 4};
    const bar rear = {.left = 2, .right = 3, .roll = 2.37e4};
    const bar other = {.left = 3, .right = 2, .roll = 2.37e4};
    CHECK_REL(vehicle_bar_rate(&v, &rear), 2.37e4 / (1.52 * 1.52), 1e-13, "energy of the bar");
    CHECK_REL(vehicle_bar_rate(&v, &other), 2.37e4 / (1.52 * 1.52), 1e-13, "either way round");
}

Test(vehicle, bars_and_springs_push_at_their_corners) {
    const bar rear = {.left = 2, .right = 3, .roll = 2.37e4};
    const lever own[] = {{.corner = 0, .ratio = 0.93}};
    const lever beam[] = {{.corner = 2, .ratio = 0.86}, {.corner = 3, .ratio = 0.17}};
    const spring springs[] = {{.lever = own, .levers = 1}, {.lever = beam, .levers = 2}};
    const vehicle v = {.corners = 4,
                       .corner = van,
                       .wheels = 4,
                       .bars = 1,
                       .bar = &rear,
                       .springs = 2,
                       .spring = springs};
    const double travel[] = {0.004, -0.003, 0.031, 0.012}, load[] = {4100.0, 5300.0};
    double force[] = {11.0, 13.0, 17.0, 19.0}; /* stays in */
    vehicle_add_bars(&v, travel, force);
    vehicle_add_springs(&v, load, force);
    const double lift = 2.37e4 / (1.52 * 1.52) * 0.019;
    const double wanted[] = {11.0 + 0.93 * 4100.0, 13.0, 17.0 + lift + 0.86 * 5300.0,
                             19.0 - lift + 0.17 * 5300.0};
    for (int c = 0; c < 4; c++)
        CHECK_REL(force[c], wanted[c], 1e-13, "by hand");
    CHECK_REL(spring_compression(&springs[1], travel), 0.86 * 0.031 + 0.17 * 0.012, 1e-14,
              "by hand");
}
