/* SPDX-License-Identifier: MIT */
#include "model/friction.h"

#include <criterion/criterion.h>
#include <math.h>

#include "support.h"

static double factor_of(const csv *table, size_t row) {
    return friction_at(csv_number(table, row, "Re"), csv_number(table, row, "rel_roughness"))
        .factor;
}

Test(friction, laminar_and_churchill_rows) {
    csv *const table = csv_read("friction");
    size_t checked = 0;
    for (size_t i = 0; i < csv_rows(table); i++) {
        const bool laminar = csv_is(table, i, "kind", "laminar");
        if (laminar && csv_number(table, i, "Re") > 1500.0) {
            /* Churchill's transition has begun to show: 64/Re is met to 2e-3 at 2000. */
            CHECK_REL(factor_of(table, i), csv_number(table, i, "expected_si"), 2e-3,
                      csv_text(table, i, "source"));
        } else if (laminar) {
            CHECK_REL(factor_of(table, i), csv_number(table, i, "expected_si"), 1e-12,
                      csv_text(table, i, "source"));
        } else if (csv_is(table, i, "kind", "churchill1977")) {
            CHECK_ROW(factor_of(table, i), table, i);
        } else {
            continue;
        }
        checked++;
    }
    cr_assert_eq(checked, 48);
    csv_free(table);
}

/* Churchill fits Colebrook and White within a few per cent (tests/reference/README.md, 4): the
   worst of these rows is 3.05 %, at a Reynolds number of 4000 and a roughness of 0.01; from 30000
   on all are within 1.3 %. */
Test(friction, colebrook_within_the_fit) {
    csv *const table = csv_read("friction");
    for (size_t i = 0; i < csv_rows(table); i++) {
        if (csv_is(table, i, "kind", "colebrook")) {
            CHECK_REL(factor_of(table, i), csv_number(table, i, "expected_si"),
                      csv_number(table, i, "Re") < 2e4 ? 0.031 : 0.013,
                      csv_text(table, i, "source"));
        }
    }
    csv_free(table);
}

Test(friction, slope_is_that_of_the_factor) {
    const double roughnesses[] = {0.0, 1.58e-4, 0.013};
    for (size_t k = 0; k < sizeof roughnesses / sizeof *roughnesses; k++) {
        for (double reynolds = 37.0; reynolds < 1e7; reynolds *= 1.37) {
            const double e = roughnesses[k], step = 1e-5;
            const double numerical = (log(friction_at(reynolds * exp(step), e).factor) -
                                      log(friction_at(reynolds * exp(-step), e).factor)) /
                                     (2.0 * step);
            CHECK_ABS(friction_at(reynolds, e).slope, numerical, 1e-6, "central difference");
        }
    }
}

/* The pressure drop goes with Re^2 f, which must rise everywhere, through the transition too. */
Test(friction, drag_rises_with_flow) {
    for (double reynolds = 1.0; reynolds < 1e8; reynolds *= 1.01) {
        cr_assert_geq(friction_at(reynolds, 2.3e-4).slope, -1.0);
    }
}

Test(friction, meets_its_laminar_end) {
    const double below = nextafter(FRICTION_LAMINAR, 0.0);
    const double above = nextafter(FRICTION_LAMINAR, 1e9);
    CHECK_REL(friction_at(above, 0.02).factor, friction_at(below, 0.02).factor, 1e-14,
              "continuity");
    CHECK_REL(friction_at(above, 0.02).slope, -1.0, 1e-14, "continuity");
    cr_assert(isfinite(friction_at(1e-300, 0.01).factor));
}
