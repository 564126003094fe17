/* Tests of solver/output/site.c.
   SPDX-License-Identifier: MIT */
#include "output/site.h"

#include <criterion/criterion.h>

#include "ask.h"
#include "netlist/netlist.h"
#include "support.h"

Test(site, wheels_stand_as_they_do_under_the_vehicle) {
    baronet_netlist *netlist = ask_file("netlists/expedition.air");
    const model *m = netlist_model(netlist);
    arena *a = arena_create(NULL);
    site s;
    cr_assert_eq(site_make(&s, a, m, 50, SITE_ROW), BARONET_OK);
    const corner *c = m->vehicle.corner;
    const double scale = (s.wheel[4].y - s.wheel[0].y) / (c[0].x - c[4].x);
    for (int w = 0; w < m->vehicle.wheels; w++) {
        CHECK_ABS(s.wheel[w].y - s.wheel[0].y, scale * (c[0].x - c[w].x), 1.0,
                  "front up, to scale");
        cr_expect((s.wheel[w].x > s.width / 2) == (c[w].y < 0.0), "left is left");
    }
    for (int i = 0; i < m->vehicle.springs; i++) {
        const int slot = s.spring_slot[i], w = m->vehicle.spring[i].lever[0].corner;
        cr_expect_eq(s.y[slot / s.columns], s.wheel[w].y, "a spring stands beside its wheel");
    }
    arena_destroy(a);
    baronet_netlist_destroy(netlist);
}

/* However much a single axle carries, it fits a sheet: A4 lying is 1.41 times as wide as high. */
Test(site, a_single_axle_fits_a_sheet) {
    baronet_netlist *netlist = ask_file("netlists/trailer.air");
    for (int parts = 20; parts < 200; parts = 2 * parts + 7) {
        arena *a = arena_create(NULL);
        site s;
        cr_assert_eq(site_make(&s, a, netlist_model(netlist), parts, SITE_ROW), BARONET_OK);
        cr_expect_lt(s.width, 1.5 * s.height, "%d parts: %d x %d", parts, s.width, s.height);
        arena_destroy(a);
    }
    baronet_netlist_destroy(netlist);
}

Test(site, a_wheel_far_away_costs_no_more_than_others) {
    baronet_netlist *netlist = ask_text("corner A at 2378 m 0.8 m load 400 kg coil 20 N/mm\n"
                                        "corner B at -7.1e9 m -0.8 m load 430 kg\n"
                                        "profile p area 90 cm2 volume 1.9 L at 150 mm\n"
                                        "spring b on B profile p height 150 mm\n");
    arena *a = arena_create(NULL);
    site s;
    cr_assert_eq(site_make(&s, a, netlist_model(netlist), 9, SITE_ROW), BARONET_OK);
    cr_expect_lt(s.height, 2000);
    cr_expect_lt(s.rows * s.columns, 10000);
    arena_destroy(a);
    baronet_netlist_destroy(netlist);
}

Test(site, columns_and_rows_rise_and_leave_room) {
    static const char *const paths[] = {"netlists/beam.air", "netlists/bench.air",
                                        "netlists/camper.air", "netlists/trailer.air",
                                        "tests/output/sixty.air"};
    for (size_t p = 0; p < sizeof paths / sizeof paths[0]; p++) {
        baronet_netlist *netlist = ask_file(paths[p]);
        for (int parts = 1; parts < 200; parts = 2 * parts + 7) {
            arena *a = arena_create(NULL);
            site s;
            cr_assert_eq(site_make(&s, a, netlist_model(netlist), parts, SITE_ROW_TALL),
                         BARONET_OK);
            int room = 0;
            for (int k = 0; k < s.rows * s.columns; k++) {
                room += !s.taken[k];
            }
            cr_expect_geq(room, parts);
            for (int k = 1; k < s.columns; k++) {
                cr_expect_geq(s.x[k] - s.x[k - 1], SITE_COLUMN);
            }
            for (int k = 1; k < s.rows; k++) {
                cr_expect_geq(s.y[k] - s.y[k - 1], SITE_ROW_TALL);
            }
            arena_destroy(a);
        }
        baronet_netlist_destroy(netlist);
    }
}

/* Two wheels in a row and more parts than the largest scale has room for: more rows. */
Test(site, many_parts_under_a_narrow_vehicle_get_rows) {
    baronet_netlist *netlist = ask_text("corner F at 3.1 m 0 m load 300 kg coil 20 N/mm\n"
                                        "corner R at 0 m 0 m load 310 kg coil 20 N/mm\n"
                                        "tank t volume 2 L pressure 3 bar\n");
    arena *a = arena_create(NULL);
    site few, many;
    cr_assert_eq(site_make(&few, a, netlist_model(netlist), 5, SITE_ROW), BARONET_OK);
    cr_assert_eq(site_make(&many, a, netlist_model(netlist), 390, SITE_ROW), BARONET_OK);
    int open = 0;
    for (int k = 0; k < many.rows * many.columns; k++) {
        open += !many.taken[k];
    }
    cr_expect_geq(open, 390);
    cr_expect_gt(many.rows, few.rows);
    arena_destroy(a);
    baronet_netlist_destroy(netlist);
}
