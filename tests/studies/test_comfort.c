/* SPDX-License-Identifier: MIT */
#include "studies/comfort.h"

#include <complex.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "studies/rig.h"
#include "support.h"

static const double two_pi = 6.283185307179586;
/* The imaginary unit in double precision. */
#define J ((double complex)I)

/* R.m.s. height of a road (m) over the waves that count: the integral of G(n0) (n0/n)^2. */
static double road_rms(int class_index) {
    return sqrt(comfort_roughness(class_index)) * COMFORT_REFERENCE *
           sqrt(1.0 / COMFORT_LONGEST - 1.0 / COMFORT_SHORTEST);
}

Test(comfort, weighting_and_road_classes) {
    csv *t = csv_read("ride");
    int checked = 0;
    for (size_t row = 0; row < csv_rows(t); row++) {
        const bool weight =
            csv_is(t, row, "kind", "Wk_table") || csv_is(t, row, "kind", "Wk_formula");
        const char *quantity = csv_text(t, row, "quantity");
        if (weight) {
            CHECK_ROW(comfort_weighting(csv_number(t, row, "f_Hz")), t, row);
            checked++;
        } else if (csv_is(t, row, "kind", "iso8608") && strstr(quantity, "mean") != NULL) {
            CHECK_ROW(comfort_roughness(*csv_text(t, row, "road_class") - 'A'), t, row);
            checked++;
        } else if (csv_is(t, row, "kind", "iso8608")) { /* upper limit: twice the mean */
            CHECK_ROW(2.0 * comfort_roughness(*csv_text(t, row, "road_class") - 'A'), t, row);
            checked++;
        } else if (csv_is(t, row, "kind", "iso8608_rms")) {
            CHECK_ROW(road_rms(1), t, row);
            checked++;
        }
    }
    cr_assert_eq(checked, 37 + 37 + 15 + 1);
    csv_free(t);
}

Test(comfort, coherence_is_that_of_an_isotropic_surface) {
    /* x K1(x): Abramowitz and Stegun, table 9.8: K1(1) = 0.6019072302, K1(2) = 0.1398658818. */
    CHECK_REL(comfort_coherence(1.0 / two_pi, 1.0), 0.6019072302, 1e-9, "A&S table 9.8");
    CHECK_REL(comfort_coherence(1.0 / two_pi, -2.0), 2.0 * 0.1398658818, 1e-9, "A&S table 9.8");
    CHECK_REL(comfort_coherence(0.02, 0.0), 1.0, 1e-15, "one and the same track");
    CHECK_REL(comfort_coherence(1e-5, 1.0), 1.0, 1e-6, "long waves");
    CHECK_ABS(comfort_coherence(50.0, 1.7), 0.0, 1e-100, "short waves");
    for (double n = 1e-3; n < 3.0; n *= 1.3)
        cr_assert_geq(comfort_coherence(n, 1.6), comfort_coherence(1.3 * n, 1.6));
}

#define SPARE_TANK "tank spare volume 1 L pressure 1 bar\n"

/* Densities of a quarter car by plain formulas, summed by Simpson on a fine grid. */
typedef struct quarter {
    double m, u, k, c, t; /* kg, kg, N/m, N s/m, N/m */
} quarter;

static void quarter_sum(const quarter *q, comfort_road road, double *weighted, double *travel,
                        double *tyre) {
    enum { STEPS = 20000 };
    const double low = COMFORT_LONGEST * road.speed;
    const double high = fmin(COMFORT_SHORTEST * road.speed, COMFORT_HIGHEST);
    double sum[3] = {0};
    for (int i = 0; i <= STEPS; i++) {
        const double f = low * pow(high / low, (double)i / STEPS);
        const double part =
            (i == 0 || i == STEPS ? 1.0 : (i % 2 ? 4.0 : 2.0)) / 3.0 * f * log(high / low) / STEPS;
        const double complex s = J * two_pi * f, joint = q->k + s * q->c;
        const double complex mass = s * s * q->m + joint, wheel = s * s * q->u + joint + q->t;
        const double complex w = q->t * mass / (mass * wheel - joint * joint);
        const double complex z = w * joint / mass;
        /* G(f) = G(n)/v with G(n) = G0 (n0/n)^2. */
        const double density = comfort_roughness(road.class_index) * 0.01 * road.speed / (f * f);
        const double h[3] = {comfort_weighting(f) * cabs(s * s * z), cabs(w - z),
                             q->t * cabs(1.0 - w)};
        for (int k = 0; k < 3; k++)
            sum[k] += part * density * h[k] * h[k];
    }
    *weighted = sqrt(sum[0]);
    *travel = sqrt(sum[1]);
    *tyre = sqrt(sum[2]);
}

Test(comfort, a_quarter_car_by_plain_formulas) {
    const quarter q = {310.0, 37.0, 19500.0, 1350.0, 178000.0};
    rig r =
        rig_open(SPARE_TANK "corner Q at 0 m 0 m load %.17g kg unsprung %.17g kg tyre %.17g N/m "
                            "damper %.17g N.s/m coil %.17g N/m\n",
                 q.m + q.u, q.u, q.t, q.c, q.k);
    rig_answer(&r, NULL, NULL);
    comfort *c = NULL;
    cr_assert_eq(comfort_create(&c, r.rates, NULL), BARONET_OK);
    for (int k = 0; k < 4; k++) {
        const comfort_road road = {k, 9.0 + 8.0 * k};
        comfort_answer got;
        double weighted, travel, tyre;
        cr_assert_eq(comfort_solve(c, road, &got), BARONET_OK);
        cr_assert_not(got.account.unsettled);
        quarter_sum(&q, road, &weighted, &travel, &tyre);
        CHECK_REL(got.comfort, weighted, 1e-3,
                  "Simpson's sum of the textbook's transfer functions");
        CHECK_REL(got.travel[0], travel, 1e-3,
                  "Simpson's sum of the textbook's transfer functions");
        CHECK_REL(got.tyre[0], tyre, 1e-3, "Simpson's sum of the textbook's transfer functions");
        CHECK_REL(got.tyre_part[0], got.tyre[0] / ((q.m + q.u) * 9.80665), 1e-12, "scale's load");
        CHECK_REL(got.corner_comfort[0], got.comfort, 1e-12, "one corner is the whole");
    }
    comfort_destroy(c);
    rig_close(&r);
}

/* Travel of one mass on a rigid tyre over a road whose speed is white: sigma^2 = S/(8 zeta omega),
   S = (2 pi)^2 G0 n0^2 v (Crandall and Mark, Random Vibration, 1963); what lies outside the band is
   taken off by hand. */
Test(comfort, travel_over_white_speed_in_closed_form) {
    const double m = 420.0, k = 23000.0, c = 2300.0, v = 25.0;
    rig r =
        rig_open(SPARE_TANK "corner Q at 0 m 0 m load %.17g kg damper %.17g N.s/m coil %.17g N/m\n",
                 m, c, k);
    rig_answer(&r, NULL, NULL);
    comfort *study = NULL;
    comfort_answer got;
    cr_assert_eq(comfort_create(&study, r.rates, NULL), BARONET_OK);
    cr_assert_eq(comfort_solve(study, (comfort_road){2, v}, &got), BARONET_OK);
    const double omega = sqrt(k / m), zeta = 0.5 * c / sqrt(k * m);
    const double S = two_pi * two_pi * comfort_roughness(2) * 0.01 * v;
    const double above = 1.0 / (two_pi * two_pi * got.to);
    const double below = two_pi * two_pi * pow(got.from, 3.0) / (3.0 * pow(omega, 4.0));
    const double square = S * (1.0 / (8.0 * zeta * omega) - above - below);
    CHECK_REL(got.travel[0], sqrt(square), 1e-3, "white noise through one degree of freedom");
    cr_assert(isnan(got.tyre[0]));
    comfort_destroy(study);
    rig_close(&r);
}

#define PISTON "profile piston area 82 cm2 volume 1.7 L at 150 mm\n"
#define AXLE                                                                                       \
    PISTON                                                                                         \
    "vehicle roll-inertia 180 kg.m2\n"                                                             \
    "corner L at 0 m 0.8 m load 420 kg unsprung 40 kg tyre 210 N/mm damper 1.6 kN.s/m\n"           \
    "corner R at 0 m -0.8 m load 450 kg unsprung 40 kg tyre 210 N/mm damper 1.6 kN.s/m\n"          \
    "spring l on L profile piston height 150 mm\nspring r on R profile piston height 150 mm\n"     \
    "tank lt volume 3 L\ntank rt volume 3 L\n"                                                     \
    "solenoid lg from l to lt normally closed bore 5 mm\n"                                         \
    "solenoid rg from r to rt normally closed bore 5 mm\n"                                         \
    "state open open lg rg\nstate shut shut lg rg\ncharge in open\n"

Test(comfort, doubles_with_the_road_where_nothing_flows) {
    rig r = rig_open(AXLE);
    comfort *c = NULL;
    comfort_answer got;
    rig_answer(&r, "shut", NULL);
    cr_assert_eq(comfort_create(&c, r.rates, NULL), BARONET_OK);
    cr_assert_eq(comfort_solve(c, (comfort_road){1, 20.0}, &got), BARONET_OK);
    const double before = got.comfort, travel = got.travel[1];
    cr_assert_eq(comfort_solve(c, (comfort_road){2, 20.0}, &got), BARONET_OK);
    CHECK_REL(got.comfort, 2.0 * before, 1e-12, "linear, four times the density");
    CHECK_REL(got.travel[1], 2.0 * travel, 1e-12, "linear, four times the density");
    comfort_destroy(c);
    /* Restrictions resist more the more they carry: rougher roads see a firmer axle. */
    rig_answer(&r, "open", NULL);
    cr_assert_eq(comfort_create(&c, r.rates, NULL), BARONET_OK);
    cr_assert_eq(comfort_solve(c, (comfort_road){0, 20.0}, &got), BARONET_OK);
    const double smooth = got.comfort;
    cr_assert_eq(comfort_solve(c, (comfort_road){5, 20.0}, &got), BARONET_OK);
    cr_assert_not(got.account.unsettled);
    cr_assert_gt(got.comfort, 1.02 * 32.0 * smooth);
    comfort_destroy(c);
    rig_close(&r);
}

Test(comfort, paths_lose_as_in_a_random_swing) {
    rig r = rig_open(AXLE);
    rig_answer(&r, "open", NULL);
    coupled *s = NULL;
    cr_assert_eq(coupled_create(&s, r.rates, 50.0, NULL), BARONET_OK);
    const airnet *net = coupled_airnet(s);
    /* dp = b q|q|: 0.8600/sqrt(b rms) for a Gaussian swing, from E|z|^1.5; 1.1128/sqrt(b A) for a
       sine. */
    for (double rms = 100.0; rms < 4e3; rms *= 3.0)
        CHECK_REL(comfort_conductance(net, 0, rms) / airnet_edge_conductance(net, 0, rms),
                  0.8600399873 / 1.1128357889, 2e-3, "statistical linearisation, in closed form");
    coupled_destroy(s);
    rig_close(&r);
}

/* Where all wheels meet one another's road at once and alike, the axle only heaves. */
Test(comfort, tracks_and_wheelbase_matter_as_they_should) {
    const char *const two_tracks =
        SPARE_TANK "vehicle roll-inertia 900 kg.m2\n"
                   "corner L at 0 m %g m load 400 kg damper 1.4 kN.s/m coil 22 N/mm\n"
                   "corner R at 0 m %g m load 400 kg damper 1.4 kN.s/m coil 22 N/mm\n";
    double comfort_of[2];
    for (int k = 0; k < 2; k++) {
        const double half = k == 0 ? 0.01 : 40.0;
        rig r = rig_open(two_tracks, half, -half);
        comfort *c = NULL;
        comfort_answer got;
        rig_answer(&r, NULL, NULL);
        cr_assert_eq(comfort_create(&c, r.rates, NULL), BARONET_OK);
        cr_assert_eq(comfort_solve(c, (comfort_road){2, 15.0}, &got), BARONET_OK);
        cr_assert_not(got.seat_given);
        comfort_of[k] = got.comfort;
        comfort_destroy(c);
        rig_close(&r);
    }
    /* Apart by 80 m the tracks have nothing in common: half the mean square. */
    CHECK_REL(comfort_of[1], comfort_of[0] / sqrt(2.0), 5e-3, "independent tracks");
}

Test(comfort, at_the_seat_point) {
    rig r = rig_open(SPARE_TANK "vehicle seat -1.2 m 0 m road-class D speed 50 km/h pitch-inertia "
                                "900 kg.m2\n"
                                "corner F at 1 m 0 m load 400 kg axle f damper 1.4 kN.s/m coil 22 "
                                "N/mm\n"
                                "corner R at -1.2 m 0 m load 350 kg axle r damper 1.4 kN.s/m coil "
                                "22 N/mm\n");
    comfort *c = NULL;
    comfort_answer got;
    rig_answer(&r, NULL, NULL);
    cr_assert_eq(comfort_create(&c, r.rates, NULL), BARONET_OK);
    cr_assert_eq(comfort_solve(c, (comfort_road){2, 15.0}, &got), BARONET_OK);
    cr_assert(got.seat_given);
    CHECK_REL(got.comfort, got.corner_comfort[1], 1e-12, "the seat stands over that wheel");
    cr_assert_eq(r.model->vehicle.body.road_class, 3);
    CHECK_REL(r.model->vehicle.body.speed, 50.0 / 3.6, 1e-12, "km/h");
    comfort_destroy(c);
    rig_close(&r);
}

Test(comfort, holds_its_memory) {
    rig r = rig_open(AXLE);
    rig_answer(&r, "open", NULL);
    failing f;
    for (size_t k = 1;; k++) {
        const baronet_allocator *allocator = failing_start(&f, k);
        comfort *c = NULL;
        comfort_answer got;
        baronet_status status = comfort_create(&c, r.rates, allocator);
        if (status == BARONET_OK)
            status = comfort_solve(c, (comfort_road){2, 15.0}, &got);
        cr_assert(status == BARONET_OK || status == BARONET_OUT_OF_MEMORY);
        comfort_destroy(c);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    rig_close(&r);
}

/* The same systems at the same frequencies, whose paths do not change. */
Test(comfort, the_linear_residual_is_the_largest_of_all_frequencies) {
    rig r = rig_open(SPARE_TANK "corner Q at 0 m 0 m load 360 kg unsprung 38 kg tyre 190 N/mm "
                                "damper 1.4 kN.s/m coil 21 N/mm\n");
    rig_answer(&r, NULL, NULL);
    comfort *c = NULL;
    coupled *s = NULL;
    comfort_answer got;
    cr_assert_eq(comfort_create(&c, r.rates, NULL), BARONET_OK);
    cr_assert_eq(comfort_solve(c, (comfort_road){2, 21.0}, &got), BARONET_OK);
    cr_assert_eq(coupled_create(&s, r.rates, COMFORT_HIGHEST, NULL), BARONET_OK);
    cr_expect_eq(coupled_residual(s), 0.0, "nothing was solved yet");
    double worst = 0.0, *const x = calloc(2 * (size_t)coupled_size(s), sizeof *x);
    for (int k = 0; k < got.points; k++) {
        const double f = got.from * pow(got.to / got.from, (double)k / (got.points - 1));
        cr_assert_eq(coupled_prepare(s, f), BARONET_OK);
        cr_assert_eq(coupled_answer(s, 0, x), BARONET_OK);
        worst = fmax(worst, coupled_residual(s));
    }
    cr_expect(worst > 0.0 && worst <= 1e-10, "as sparse_solve allows: %g", worst);
    cr_expect(got.account.linear > 0.3 * worst && got.account.linear < 3.0 * worst, "%g for %g",
              got.account.linear, worst);
    free(x);
    coupled_destroy(s);
    comfort_destroy(c);
    rig_close(&r);
}
