/* SPDX-License-Identifier: MIT */
#include "studies/fill.h"

#include <criterion/criterion.h>
#include <math.h>

#include "studies/rig.h"
#include "support.h"

static const double g = 9.80665; /* m/s2 */

/* Two pistons of 121 and 87 cm2 and a table that is straight in height. */
#define TYPES                                                                                      \
    "ambient pressure 99.3 kPa temperature 20 C\n"                                                 \
    "profile wide area 121 cm2 volume 1.9 L at 150 mm\n"                                           \
    "profile slim area 87 cm2 volume 1.4 L at 140 mm\n"                                            \
    "profile bag volume 2.2 L at 160 mm\n"                                                         \
    "  height mm  area cm2\n  110 153\n  150 141\n  180 132\n  230 117\n"

typedef struct filled {
    rig rig;
    arena *arena;
    fill fill;
    problem why;
    baronet_status status;
} filled;

static filled fill_text(const char *corners) {
    filled f = {.rig = rig_open("%s%s", TYPES, corners), .arena = arena_create(NULL)};
    cr_assert_eq(fill_make(&f.fill, f.arena, f.rig.model), BARONET_OK);
    f.status = fill_solve(&f.fill, f.rig.model, &f.why);
    return f;
}

static filled fill_well(const char *corners) {
    filled f = fill_text(corners);
    cr_assert_eq(f.status, BARONET_OK, "%s", baronet_status_text(f.status));
    return f;
}

static void empty(filled *f) {
    arena_destroy(f->arena);
    rig_close(&f->rig);
}

Test(fill, a_load_and_a_height_give_the_pressure) {
    filled f = fill_well("corner A at 1 m 0.7 m load 512 kg unsprung 41 kg\n"
                         "spring a on A ratio 0.87 profile wide height 163 mm\n");
    CHECK_REL(f.fill.sprung[0], 471.0 * g, 1e-14, "less the unsprung mass");
    CHECK_REL(f.fill.pressure[0], 471.0 * g / (0.87 * 0.0121), 1e-13, "P = W/(r A)");
    CHECK_REL(f.fill.force[0], 471.0 * g / 0.87, 1e-13, "ratio times force is the load");
    CHECK_ABS(f.fill.carries[0], 0.0, 0.0, "no coil");
    empty(&f);
}

Test(fill, a_coil_takes_what_it_is_said_to) {
    filled f =
        fill_well("corner A at 1 m 0.7 m load 5020 N unsprung 41 kg coil 12 N/mm carries 900 N\n"
                  "spring a on A ratio 0.87 profile bag height 165 mm\n");
    const double area = 0.0141 - 0.03 * 0.015; /* 141 cm2 less 0.3 cm2 a mm */
    CHECK_REL(f.fill.pressure[0], (5020.0 - 41.0 * g - 900.0) / (0.87 * area), 1e-12, "statics");
    CHECK_REL(f.fill.carries[0], 900.0, 0.0, "as given");
    empty(&f);
}

Test(fill, a_coil_takes_the_rest_where_all_is_given) {
    filled f = fill_well("corner A at 1 m 0.7 m load 5020 N unsprung 41 kg coil 12 N/mm\n"
                         "spring a on A ratio 0.87 profile wide height 165 mm pressure 3.7 bar\n");
    const double held = 0.87 * 0.0121 * 3.7e5;
    CHECK_REL(f.fill.carries[0], 5020.0 - 41.0 * g - held, 1e-13, "the rest");
    empty(&f);
}

Test(fill, a_coil_that_is_not_said_to_carry_is_free_at_design) {
    filled f = fill_well("corner A at 1 m 0.7 m load 5020 N coil 12 N/mm\n"
                         "spring a on A ratio 0.87 profile wide height 165 mm\n");
    CHECK_ABS(f.fill.carries[0], 0.0, 0.0, "free at the design height");
    CHECK_REL(f.fill.pressure[0], 5020.0 / (0.87 * 0.0121), 1e-13, "the spring has all");
    empty(&f);
}

Test(fill, a_corner_without_springs_stands_on_its_coil) {
    filled f = fill_well("corner A at 1 m 0.7 m load 5020 N unsprung 37 kg coil 12 N/mm\n"
                         "tank can volume 1 L pressure 2 bar\n");
    CHECK_REL(f.fill.carries[0], 5020.0 - 37.0 * g, 1e-14, "all of it");
    empty(&f);
}

Test(fill, height_and_pressure_give_the_load) {
    filled f = fill_well("corner A at 1 m 0.7 m unsprung 41 kg coil 12 N/mm carries 333 N\n"
                         "spring a on A ratio 0.87 profile wide height 165 mm pressure 3.7 bar\n"
                         "spring c on A ratio 0.61 profile slim height 131 mm pressure 2.9 bar\n");
    CHECK_REL(f.fill.sprung[0], 333.0 + 0.87 * 0.0121 * 3.7e5 + 0.61 * 0.0087 * 2.9e5, 1e-13,
              "sum of what stands on it");
    empty(&f);
}

Test(fill, load_and_pressure_give_the_height) {
    /* The bag's area falls by 0.3 cm2 a mm: where is it 4430/(0.9 3.61 bar)? */
    filled f = fill_well("corner A at 1 m 0.7 m load 4430 N\n"
                         "spring a on A ratio 0.9 profile bag pressure 3.61 bar\n");
    const double area = 4430.0 / 0.9 / 3.61e5;
    CHECK_REL(f.fill.height[0], 0.150 + (0.0141 - area) / 0.03, 1e-11, "a straight table");
    CHECK_REL(f.fill.force[0], 4430.0 / 0.9, 1e-12, "the load");
    empty(&f);
}

Test(fill, springs_of_one_corner_start_at_one_pressure) {
    filled f = fill_well("corner A at 1 m 0.7 m load 9050 N unsprung 41 kg\n"
                         "spring a on A ratio 0.87 profile wide height 163 mm\n"
                         "spring c on A ratio 0.61 profile slim height 141 mm\n");
    const double P = (9050.0 - 41.0 * g) / (0.87 * 0.0121 + 0.61 * 0.0087);
    CHECK_REL(f.fill.pressure[0], P, 1e-13, "equal pressures");
    CHECK_REL(f.fill.pressure[1], P, 1e-13, "equal pressures");
    empty(&f);
}

Test(fill, a_given_pressure_is_kept_beside_one_that_is_solved) {
    filled f = fill_well("corner A at 1 m 0.7 m load 9050 N unsprung 41 kg\n"
                         "spring a on A ratio 0.87 profile wide height 163 mm pressure 2.3 bar\n"
                         "spring c on A ratio 0.61 profile slim height 141 mm\n");
    CHECK_REL(f.fill.pressure[0], 2.3e5, 1e-15, "as given");
    CHECK_REL(f.fill.pressure[1], (9050.0 - 41.0 * g - 0.87 * 0.0121 * 2.3e5) / (0.61 * 0.0087),
              1e-13, "the rest");
    empty(&f);
}

Test(fill, a_load_table_is_filled_to_its_load) {
    /* Loads A P (1 + 2e-8 P): the quadratic's root. */
    filled f = fill_well("profile house\n  height mm load-2bar N load-5bar N load-8bar N volume L\n"
                         "  100 2610.4 6565 10566.4 1.1\n  200 2610.4 6565 10566.4 2.4\n"
                         "corner A at 1 m 0.7 m load 4807 N\n"
                         "spring a on A ratio 0.83 profile house height 141 mm\n");
    const double A = 2610.4 / (2e5 * 1.004), b = 2e-8, F = 4807.0 / 0.83;
    CHECK_REL(A * 5e5 * 1.01, 6565.0, 1e-12, "the table above");
    CHECK_REL(f.fill.pressure[0], (-1.0 + sqrt(1.0 + 4.0 * b * F / A)) / (2.0 * b), 1e-11,
              "a quadratic");
    empty(&f);
}

Test(fill, a_beam_shares_out_by_its_levers) {
    /* R'F = load: 0.86 Fa + 0.13 Fb = Wl, 0.14 Fa + 0.84 Fb = Wr, by Cramer's rule. */
    filled f =
        fill_well("corner Left at -1 m 0.7 m load 5300 N unsprung 80 kg\n"
                  "corner Right at -1 m -0.7 m load 4700 N unsprung 77 kg\n"
                  "spring a on Left 0.86 Right 0.14 profile wide height 163 mm\n"
                  "spring b on Right 0.84 Left 0.13 profile slim height 141 mm rubber 3 N/mm\n");
    const double Wl = 5300.0 - 80.0 * g, Wr = 4700.0 - 77.0 * g;
    const double det = 0.86 * 0.84 - 0.13 * 0.14;
    CHECK_REL(f.fill.force[0], (0.84 * Wl - 0.13 * Wr) / det, 1e-12, "Cramer's rule");
    CHECK_REL(f.fill.force[1], (0.86 * Wr - 0.14 * Wl) / det, 1e-12, "Cramer's rule");
    CHECK_REL(f.fill.pressure[1], f.fill.force[1] / 0.0087, 1e-12, "no carcass force at design");
    empty(&f);
}

Test(fill, a_wheel_s_own_spring_beside_a_beam_s) {
    /* The air spring on the left alone is known, so the beam's carries the rest there, and what it
       carries there gives the load on the right, where it stands alone. */
    filled f = fill_well("corner Left at -1 m 0.7 m load 5300 N unsprung 80 kg\n"
                         "corner Right at -1 m -0.7 m load 690 N unsprung 7 kg\n"
                         "spring a on Left ratio 0.9 profile wide height 163 mm pressure 3.1 bar\n"
                         "spring b on Left 0.84 Right 0.36 profile slim height 141 mm\n"
                         "spring c on Right ratio 0.41 profile wide height 163 mm\n");
    const double a = 3.1e5 * 0.0121, b = (5300.0 - 80.0 * g - 0.9 * a) / 0.84;
    const double c = (690.0 - 7.0 * g - 0.36 * b) / 0.41;
    CHECK_REL(f.fill.force[0], a, 1e-12, "P A");
    CHECK_REL(f.fill.force[1], b, 1e-12, "what the left still needs");
    CHECK_REL(f.fill.force[2], c, 1e-9, "what the right still needs");
    empty(&f);
}

Test(fill, springs_to_spare_on_a_beam_take_the_least_pressures) {
    /* Three springs on two wheels: of all pressures that carry the loads, the shortest vector; it
       has no part along the null vector of the 2 x 3 matrix, which is its rows' cross product. */
    filled f =
        fill_well("corner Left at -1 m 0.7 m load 5300 N\ncorner Right at -1 m -0.7 m load 4700 N\n"
                  "spring a on Left 0.86 Right 0.14 profile wide height 163 mm\n"
                  "spring b on Right 0.84 Left 0.13 profile slim height 141 mm\n"
                  "spring c on Left 0.45 Right 0.53 profile slim height 139 mm\n");
    const double l[3] = {0.86 * 0.0121, 0.13 * 0.0087, 0.45 * 0.0087};
    const double r[3] = {0.14 * 0.0121, 0.84 * 0.0087, 0.53 * 0.0087};
    const double null[3] = {l[1] * r[2] - l[2] * r[1], l[2] * r[0] - l[0] * r[2],
                            l[0] * r[1] - l[1] * r[0]};
    const double *const P = f.fill.pressure;
    CHECK_REL(l[0] * P[0] + l[1] * P[1] + l[2] * P[2], 5300.0, 1e-12, "the left load");
    CHECK_REL(r[0] * P[0] + r[1] * P[1] + r[2] * P[2], 4700.0, 1e-12, "the right load");
    CHECK_ABS(P[0] * null[0] + P[1] * null[1] + P[2] * null[2], 0.0, 1e-9, "least squares");
    empty(&f);
}

typedef struct failure {
    const char *what, *corners;
    baronet_status status;
    int item, other;
    double amount, wanted;
} failure;

static const failure failures[] = {
    {"all three given and no coil",
     "corner A at 1 m 0.7 m load 5020 N\n"
     "spring a on A ratio 0.87 profile wide height 165 mm pressure 3.7 bar\n",
     BARONET_CONTRADICTION, -1, 0, 0.87 * 0.0121 * 3.7e5, 5020.0},
    {"a coil of given part and all three",
     "corner A at 1 m 0.7 m load 5020 N coil 9 N/mm carries 800 N\n"
     "spring a on A ratio 0.87 profile wide height 165 mm pressure 3.7 bar\n",
     BARONET_CONTRADICTION, -1, 0, 800.0 + 0.87 * 0.0121 * 3.7e5, 5020.0},
    {"a neighbour that carries more than all",
     "corner A at 1 m 0.7 m load 2020 N\n"
     "spring a on A ratio 0.87 profile wide height 165 mm pressure 3.7 bar\n"
     "spring c on A ratio 0.8 profile slim height 131 mm\n",
     BARONET_SLACK, 1, -1, (2020.0 - 0.87 * 0.0121 * 3.7e5) / (0.8 * 0.0087), 0.0},
    {"a height and a pressure to find from one load",
     "corner A at 1 m 0.7 m load 7020 N\nspring a on A ratio 0.87 profile bag pressure 2.1 bar\n"
     "spring c on A ratio 0.8 profile slim height 131 mm\n",
     BARONET_UNDETERMINED, 0, -1, 0.0, 0.0},
    {"no load, and a spring of which too little is known beside one of which all is",
     "corner A at 1 m 0.7 m\nspring a on A ratio 0.87 profile wide height 165 mm pressure 3.7 bar\n"
     "spring c on A ratio 0.8 profile slim height 131 mm\n",
     BARONET_UNDETERMINED, -1, 0, 0.0, 0.0},
    {"a pressure that no height of the table suits",
     "corner A at 1 m 0.7 m load 9020 N\nspring a on A ratio 0.9 profile bag pressure 2.1 bar\n",
     BARONET_UNDETERMINED, 0, -1, 9020.0 / 0.9, 2.1e5},
};

Test(fill, what_cannot_be_is_named_with_both_figures) {
    for (size_t i = 0; i < sizeof failures / sizeof *failures; i++) {
        const failure *const want = &failures[i];
        filled f = fill_text(want->corners);
        cr_assert_eq(f.status, want->status, "%s: %s", want->what, baronet_status_text(f.status));
        cr_assert_eq(f.why.status, want->status, "%s", want->what);
        cr_assert_eq(f.why.item, want->item, "%s: item %d", want->what, f.why.item);
        cr_assert_eq(f.why.other, want->other, "%s: other %d", want->what, f.why.other);
        CHECK_REL(f.why.amount, want->amount, 1e-9, want->what);
        CHECK_REL(f.why.wanted, want->wanted, 1e-12, want->what);
        empty(&f);
    }
}

Test(fill, numbers_that_agree_to_rounding_are_no_contradiction) {
    /* 0.87 times 121 cm2 at 3.7 bar is 3894.99 N. */
    filled f = fill_well("corner A at 1 m 0.7 m load 3894.99 N\n"
                         "spring a on A ratio 0.87 profile wide height 165 mm pressure 3.7 bar\n");
    CHECK_REL(f.fill.force[0], 3894.99 / 0.87, 1e-12, "by hand");
    empty(&f);
}

/* A model's design height off its table is refused when read; design commands may put one there. */
Test(fill, a_design_height_off_the_table_is_named) {
    filled f = fill_well("corner A at 1 m 0.7 m load 4430 N\n"
                         "spring a on A ratio 0.9 profile bag height 150 mm\n");
    model m = *f.rig.model;
    spring moved = m.vehicle.spring[0];
    moved.height = 0.2417;
    m.vehicle.spring = &moved;
    cr_assert_eq(fill_solve(&f.fill, &m, &f.why), BARONET_OFF_PROFILE);
    cr_assert_eq(f.why.item, 0);
    CHECK_REL(f.why.amount, 0.0117, 1e-10, "beyond 230 mm");
    CHECK_REL(f.why.wanted, 0.2417, 1e-15, "the height");
    empty(&f);
}

Test(fill, refilling_carries_other_loads_at_the_same_heights) {
    filled f =
        fill_well("corner A at 1 m 0.7 m load 5020 N coil 12 N/mm carries 900 N\n"
                  "corner Left at -1 m 0.7 m load 5300 N\ncorner Right at -1 m -0.7 m load 4700 N\n"
                  "spring s on A ratio 0.87 profile bag height 165 mm\n"
                  "spring a on Left 0.86 Right 0.14 profile wide height 163 mm\n"
                  "spring b on Right 0.84 Left 0.13 profile slim height 141 mm\n");
    const double sprung[3] = {5911.0, 5650.0, 6020.0};
    double P[3];
    cr_assert_eq(fill_refill(&f.fill, f.rig.model, sprung, P, &f.why), BARONET_OK);
    const double det = 0.86 * 0.84 - 0.13 * 0.14;
    CHECK_REL(P[0], (5911.0 - 900.0) / (0.87 * 0.01365), 1e-12, "the coil holds as before");
    CHECK_REL(P[1], (0.84 * 5650.0 - 0.13 * 6020.0) / det / 0.0121, 1e-12, "Cramer's rule");
    CHECK_REL(P[2], (0.86 * 6020.0 - 0.14 * 5650.0) / det / 0.0087, 1e-12, "Cramer's rule");
    const double little[3] = {700.0, 5650.0, 6020.0};
    cr_assert_eq(fill_refill(&f.fill, f.rig.model, little, P, &f.why), BARONET_SLACK);
    cr_assert_eq(f.why.item, 0);
    CHECK_REL(f.why.amount, (700.0 - 900.0) / (0.87 * 0.01365), 1e-12, "below ambient by so much");
    empty(&f);
}

Test(fill, refilling_for_the_same_loads_changes_nothing) {
    filled f = fill_well("corner A at 1 m 0.7 m load 9050 N unsprung 41 kg\n"
                         "spring a on A ratio 0.87 profile wide height 163 mm pressure 2.3 bar\n"
                         "spring c on A ratio 0.61 profile slim height 141 mm\n");
    double P[2];
    cr_assert_eq(fill_refill(&f.fill, f.rig.model, f.fill.sprung, P, &f.why), BARONET_OK);
    CHECK_REL(P[0], f.fill.pressure[0], 1e-12, "no mass added, no air added");
    CHECK_REL(P[1], f.fill.pressure[1], 1e-12, "no mass added, no air added");
    empty(&f);
}
