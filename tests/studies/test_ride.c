/* SPDX-License-Identifier: MIT */
#include "studies/ride.h"

#include <criterion/criterion.h>
#include <math.h>

#include "studies/rig.h"
#include "support.h"

Test(ride, the_road_is_the_one_wanted) {
    rig given =
        rig_open("vehicle road-class E speed 40 km/h\n"
                 "corner Q at 0 m 0 m load 300 kg coil 20 N/mm\ntank t volume 1 L pressure 1 "
                 "bar\n");
    rig bare = rig_open("corner Q at 0 m 0 m load 300 kg coil 20 N/mm\n"
                        "tank t volume 1 L pressure 1 bar\n");
    bool assumed = false;
    comfort_road road = ride_road(given.model, -1, 0.0, &assumed);
    cr_assert_eq(road.class_index, 4);
    CHECK_REL(road.speed, 40.0 / 3.6, 1e-12, "the netlist's");
    cr_assert_not(assumed);
    road = ride_road(given.model, 0, 30.0, &assumed);
    cr_assert_eq(road.class_index, 0);
    CHECK_REL(road.speed, 30.0, 1e-12, "asked for");
    cr_assert_not(assumed);
    road = ride_road(bare.model, -1, 30.0, &assumed);
    cr_assert_eq(road.class_index, RIDE_CLASS);
    cr_assert(assumed);
    rig_close(&given);
    rig_close(&bare);
}

static ride_question ask(unsigned parts) {
    return (ride_question){parts, 0.01, 1.0, {2, 20.0}};
}

Test(ride, gives_its_figures) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    ride_answer got;
    const ride_question question = ask(RIDE_ALL);
    cr_assert_eq(ride_solve(&got, r.arena, r.rates, &question, NULL), BARONET_OK);
    cr_assert_eq(got.roads, RIDE_ROADS);
    cr_assert_lt(got.comfort[1].comfort, got.comfort[0].comfort);
    cr_assert_gt(got.comfort[2].comfort, got.comfort[0].comfort);
    cr_assert_lt(got.comfort[3].comfort, got.comfort[0].comfort);
    figure_list list = {0};
    figures_of_ride(&list, r.model, &got);
    const figure *first = rig_figure(&r, &list, FIGURE_DAMPING_RATIO, LEVEL_NONE, "1");
    const figure *seat = rig_figure(&r, &list, FIGURE_COMFORT, LEVEL_NONE, "");
    const figure *over_wheel = rig_figure(&r, &list, FIGURE_COMFORT, LEVEL_NONE, "RL");
    cr_assert(first != NULL && seat != NULL && over_wheel != NULL);
    CHECK_REL(seat->value, got.comfort[0].comfort, 1e-15, "the same");
    CHECK_REL(over_wheel->value, got.comfort[0].corner_comfort[2], 1e-15, "the same");
    cr_assert_eq((int)list.count, got.modes.swinging + 5);
    figure_list_free(&list);
    rig_close(&r);
}

Test(ride, asks_only_what_is_wanted) {
    cr_assert_eq(ride_parts_of(FIGURE_COMFORT), RIDE_COMFORT);
    cr_assert_eq(ride_parts_of(FIGURE_DAMPING_RATIO), RIDE_MODES);
    cr_assert_eq(ride_parts_of(FIGURE_LOAD), 0u);
    rig r = rig_open_file("netlists/rear.air");
    rig_answer(&r, "soft", NULL);
    ride_answer got;
    const ride_question question = ask(RIDE_COMFORT);
    cr_assert_eq(ride_solve(&got, r.arena, r.rates, &question, NULL), BARONET_OK);
    cr_assert(got.undamped, "no damper is given there");
    cr_assert_eq(got.roads, 0);
    cr_assert_eq(got.modes.modes, 0);
    rig_close(&r);
}

Test(ride, a_bench_rides_without_a_road) {
    rig r = rig_open_file("netlists/bench.air");
    rig_answer(&r, NULL, NULL);
    ride_answer got;
    const ride_question question = ask(RIDE_ALL);
    cr_assert_eq(ride_solve(&got, r.arena, r.rates, &question, NULL), BARONET_OK);
    cr_assert_eq(got.roads, 0);
    cr_assert_gt(got.modes.swinging, 0);
    cr_assert(!got.loads.bends && !got.loads.brakes && !got.loads.warps);
    rig_close(&r);
}

/* The best class has no better one beside it, and the worst no worse. */
Test(ride, roads_at_either_end_have_one_neighbour) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    static const int ends[] = {0, COMFORT_CLASSES - 1};
    for (int k = 0; k < 2; k++) {
        ride_answer got;
        ride_question question = ask(RIDE_COMFORT | RIDE_OTHERS);
        question.road.class_index = ends[k];
        cr_assert_eq(ride_solve(&got, r.arena, r.rates, &question, NULL), BARONET_OK);
        cr_assert_eq(got.roads, RIDE_ROADS - 1);
        /* ISO 8608: from one class to the next the spectrum is four times as large, so what follows
           it twice, but for air that damps otherwise in a larger swing. */
        CHECK_REL(got.comfort[1].comfort, (k == 0 ? 2.0 : 0.5) * got.comfort[0].comfort, 0.03,
                  "ISO 8608");
        cr_assert_lt(got.comfort[2].comfort, got.comfort[0].comfort, "at half the speed");
    }
    rig_close(&r);
}
