/* Tests of solver/output/ticks.c: round numbers, whatever the axis.
   SPDX-License-Identifier: MIT */
#include "output/ticks.h"

#include <criterion/criterion.h>
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "support.h"

static void expect_labels(const ticks *t, const char *wanted) {
    char got[512] = "";
    for (int k = 0; k < t->count; k++) {
        strcat(got, t->tick[k].label[0] != '\0' ? t->tick[k].label : "|");
        strcat(got, k + 1 < t->count ? " " : "");
    }
    cr_expect_str_eq(got, wanted);
}

Test(ticks, are_round_numbers_within_the_axis) {
    const ticks t = ticks_linear(-73.6, 89.4, 5, false);
    expect_labels(&t, "-50 0 50");
    CHECK_REL(t.low, -73.6, 1e-15, "the axis is as long as given");
    const ticks tenths = ticks_linear(0.13, 0.71, 6, false);
    expect_labels(&tenths, "0.2 0.3 0.4 0.5 0.6 0.7");
    const ticks large = ticks_linear(1234.0, 98765.0, 5, false);
    expect_labels(&large, "20000 40000 60000 80000");
    const ticks small = ticks_linear(0.0021, 0.0079, 3, false);
    expect_labels(&small, "0.004 0.006");
}

Test(ticks, widened_they_hold_the_values_between_them) {
    const ticks t = ticks_linear(3.47, 8.26, 4, true);
    expect_labels(&t, "3 4 5 6 7 8 9");
    CHECK_REL(t.low, 3.0, 1e-12, "a multiple of the step");
    CHECK_REL(t.high, 9.0, 1e-12, "a multiple of the step");
}

/* Each label is its place, for axes of all sizes and places. */
Test(ticks, labels_say_where_they_are) {
    unsigned long long seed = 7;
    for (int n = 0; n < 2000; n++) {
        const double size = pow(10.0, 12.0 * random_unit(&seed) - 6.0);
        const double low = (random_unit(&seed) - 0.5) * size;
        const ticks t = ticks_linear(low, low + size * random_unit(&seed), 5, n % 2 == 0);
        cr_expect(t.count >= 2 && t.count <= 11, "%d ticks from %g to %g", t.count, t.low, t.high);
        for (int k = 0; k < t.count; k++) {
            const double at = t.tick[k].at;
            cr_expect(fabs(strtod(t.tick[k].label, NULL) - at) <= 1e-9 * (fabs(at) + size),
                      "%s at %.17g", t.tick[k].label, at);
        }
    }
}

/* Beyond what anybody counts noughts of, and more ticks than there is room for. */
Test(ticks, very_large_and_very_small_ones_have_a_power_of_ten) {
    const ticks large = ticks_linear(0.0, 4.1e20, 4, false);
    expect_labels(&large, "0 1e20 2e20 3e20 4e20");
    const ticks wide = ticks_logarithmic(1e-20, 2e20);
    cr_expect_eq(wide.count, TICKS_MOST);
    cr_expect_str_eq(wide.tick[0].label, "1e-20");
    const ticks many = ticks_linear(0.0, 100.0, 300, false);
    cr_expect_eq(many.count, TICKS_MOST);
    cr_expect_str_eq(many.tick[3].label, "1.5");
}

Test(ticks, a_flat_axis_is_made_long_and_nonsense_is_nought_to_one) {
    const ticks flat = ticks_linear(160.0, 160.0 + 1e-7, 4, true);
    cr_expect(flat.low < 155.0 && flat.high > 165.0 && flat.count > 2);
    const ticks nought = ticks_linear(-1e-12, 1e-13, 4, true);
    CHECK_ABS(nought.low, -1.0, 1e-12, "rounding shows as nought");
    const ticks none = ticks_linear(HUGE_VAL, -HUGE_VAL, 4, false);
    CHECK_ABS(none.high, 1.0, 1e-12, "no values at all");
    const double odd[][2] = {{(double)NAN, 2.0}, {1.0, HUGE_VAL}, {5.0, 3.0}};
    for (int k = 0; k < 3; k++) {
        const ticks t = ticks_linear(odd[k][0], odd[k][1], 4, false);
        CHECK_ABS(t.low, 0.0, 0.0, "nonsense");
        CHECK_ABS(t.high, 1.0, 0.0, "nonsense");
    }
}

Test(ticks, of_a_logarithmic_axis_are_powers_of_ten) {
    const ticks t = ticks_logarithmic(0.01, 50.0);
    expect_labels(&t, "0.01 | | 0.1 | | 1 | | 10 | |");
    CHECK_REL(ticks_part(&t, true, 0.7071067811865476), 0.5, 1e-12, "sqrt(0.01 50) is half-way");
    const ticks close = ticks_logarithmic(0.3, 7.0);
    expect_labels(&close, "0.5 1 2 5");
    const ticks nonsense = ticks_logarithmic(-1.0, 5.0);
    cr_expect(nonsense.low > 0.0 && nonsense.high > nonsense.low);
    const double odd[][3] = {{3.0, HUGE_VAL, 1.5}, {3.0, 3.0, 1.5}, {HUGE_VAL, HUGE_VAL, 0.1}};
    for (int k = 0; k < 3; k++) {
        const ticks one = ticks_logarithmic(odd[k][0], odd[k][1]);
        CHECK_REL(one.low, odd[k][2], 1e-15, "half of it, or a tenth");
        CHECK_REL(one.high, 4.0 * odd[k][2], 1e-15, "four times that");
    }
}

Test(ticks, have_a_point_in_any_locale) {
    const char *folder = getenv("COMMA_LOCALES");
    if (folder != NULL) {
        setenv("LOCPATH", folder, 1);
    }
    setlocale(LC_ALL, "de_DE.UTF-8");
    const ticks t = ticks_linear(0.0, 1.0, 4, true);
    expect_labels(&t, "0 0.2 0.4 0.6 0.8 1.0");
}
