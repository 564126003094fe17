/* SPDX-License-Identifier: MIT */
#include "studies/course.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "studies/demos.h"
#include "studies/fleet.h"
#include "support.h"

static course_list all_of(const rig *r) {
    course_list list;
    cr_assert_eq(course_all(&list, r->arena, r->rates), BARONET_OK);
    return list;
}

static void check_names(const course_list *list, const char *const *names) {
    int count = 0;
    for (; names[count] != NULL; count++) {
        cr_assert_lt(count, list->count);
        cr_assert_str_eq(list->course[count].name, names[count]);
        cr_assert_eq(course_find(list, names[count]), &list->course[count]);
    }
    cr_assert_eq(list->count, count);
    cr_assert_null(course_find(list, "no-such-motion"));
    cr_assert_null(course_find(list, ""));
}

Test(course, lists_what_a_vehicle_can_do_in_order) {
    static const char *const van[] = {
        "heave",        "roll",    "pitch", "warp", "one-wheel:FL", "one-wheel:FR", "one-wheel:RL",
        "one-wheel:RR", "gateway", "left",  NULL};
    static const char *const six[] = {"heave",        "roll",
                                      "pitch",        "warp:1",
                                      "warp:2",       "warp:3",
                                      "one-wheel:FL", "one-wheel:FR",
                                      "one-wheel:ML", "one-wheel:MR",
                                      "one-wheel:RL", "one-wheel:RR",
                                      "ledge",        NULL};
    static const char *const trailer[] = {"heave",        "roll", "one-wheel:TL",
                                          "one-wheel:TR", "rut",  NULL};
    static const char *const quarter[] = {"heave", "one-wheel:Q", "up", NULL};
    static const char *const bench[] = {"one-wheel:a", "one-wheel:b", "one-wheel:c", NULL};
    static const char *const *const names[FLEET] = {van, NULL, six, trailer, quarter, bench};
    for (int k = 0; k < FLEET; k++) {
        if (names[k] == NULL)
            continue;
        rig r = twin_open(fleet[k]);
        rig_answer(&r, NULL, NULL);
        const course_list list = all_of(&r);
        check_names(&list, names[k]);
        rig_close(&r);
    }
}

static double largest(const double *shape, int corners) {
    double most = 0.0;
    for (int c = 0; c < corners; c++)
        most = fmax(most, fabs(shape[c]));
    return most;
}

/* A shape that goes with x or y about a point, scaled. */
static void check_plane(const rig *r, const course_list *list, const char *name, bool along) {
    const course *const found = course_find(list, name);
    const vehicle *const v = &r->model->vehicle;
    const body_mass *const mass = &rates_result(r->rates)->settled.mass;
    if (found == NULL)
        return;
    double most = 0.0;
    for (int c = 0; c < v->wheels; c++)
        most = fmax(most, fabs(along ? v->corner[c].x - mass->x : v->corner[c].y - mass->y));
    for (int c = 0; c < v->wheels; c++)
        CHECK_ABS(found->shape[c],
                  (along ? v->corner[c].x - mass->x : v->corner[c].y - mass->y) / most, 1e-12,
                  "about the centre of gravity");
}

static void check_warps(const rig *r, const course_list *list) {
    const vehicle *const v = &r->model->vehicle;
    for (int k = 0; k < list->count; k++) {
        if (strncmp(list->course[k].name, "warp", 4) != 0)
            continue;
        const double *const shape = list->course[k].shape;
        double heave = 0.0, roll = 0.0, pitch = 0.0;
        for (int c = 0; c < v->wheels; c++) {
            heave += shape[c];
            roll += shape[c] * v->corner[c].y;
            pitch += shape[c] * v->corner[c].x;
        }
        CHECK_ABS(heave, 0.0, 1e-12, "a warp is none of the body's motions");
        CHECK_ABS(roll, 0.0, 1e-12, "a warp is none of the body's motions");
        CHECK_ABS(pitch, 0.0, 1e-11, "a warp is none of the body's motions");
    }
}

/* v'Kv/v'v of a warp's shape is the warp's rate at settled. */
static void check_warp_rates(const rig *r, const course_list *list) {
    const level_rates *const settled = &rates_result(r->rates)->level[LEVEL_SETTLED];
    const int n = r->model->vehicle.corners, warps = rates_result(r->rates)->warps;
    for (int k = 0; k < warps; k++) {
        char name[24] = "warp";
        if (warps > 1)
            snprintf(name, sizeof name, "warp:%d", k + 1);
        const double *const shape = course_find(list, name)->shape;
        double sum = 0.0, square = 0.0;
        for (int a = 0; a < n; a++) {
            square += shape[a] * shape[a];
            for (int b = 0; b < n; b++)
                sum += shape[a] * settled->stiffness[a * n + b] * shape[b];
        }
        CHECK_REL(sum / square, settled->warp_rate[k], 1e-9, name);
        cr_assert(k == 0 || settled->warp_rate[k] >= settled->warp_rate[k - 1], "softest first");
    }
}

static void check_shapes(rig *r, const char *state) {
    (void)state;
    const vehicle *const v = &r->model->vehicle;
    const course_list list = all_of(r);
    const int own = list.count - r->model->motions;
    for (int k = 0; k < own; k++)
        CHECK_REL(largest(list.course[k].shape, v->corners), 1.0, 1e-12, list.course[k].name);
    for (int k = 0; k < r->model->motions; k++)
        for (int c = 0; c < v->corners; c++)
            CHECK_REL(list.course[own + k].shape[c], r->model->motion[k].travel[c], 0.0,
                      "as given");
    const course *const heave = course_find(&list, "heave");
    for (int c = 0; c < v->corners; c++) {
        char name[80];
        snprintf(name, sizeof name, "one-wheel:%s", v->corner[c].name);
        const course *const one = course_find(&list, name);
        for (int d = 0; d < v->corners; d++)
            cr_assert_eq(one->shape[d], d == c ? 1.0 : 0.0, "%s", name);
        if (heave != NULL)
            cr_assert_eq(heave->shape[c], c < v->wheels ? 1.0 : 0.0);
    }
    check_plane(r, &list, "roll", false);
    check_plane(r, &list, "pitch", true);
    check_warps(r, &list);
    check_warp_rates(r, &list);
}

Test(course, shapes_are_what_their_names_say) {
    demos_each(check_shapes);
    for (int k = 0; k < FLEET; k++) {
        rig r = twin_open(fleet[k]);
        rig_answer(&r, NULL, NULL);
        check_shapes(&r, NULL);
        rig_close(&r);
    }
}

Test(course, a_bench_beside_a_vehicle_stands_still_in_the_body_s_motions) {
    rig r = rig_open("corner L at 0 m 0.8 m load 520 kg coil 30 N/mm\n"
                     "corner R at 0 m -0.78 m load 480 kg coil 30 N/mm\n"
                     "profile p area 117 cm2 volume 2.1 L at 150 mm\n"
                     "spring stand profile p height 150 mm load 500 kg\n"
                     "motion lean L 1 R -0.5\n");
    static const char *const names[] = {"heave",           "roll", "one-wheel:L", "one-wheel:R",
                                        "one-wheel:stand", "lean", NULL};
    rig_answer(&r, NULL, NULL);
    const course_list list = all_of(&r);
    check_names(&list, names);
    for (int k = 0; k < 2; k++)
        cr_assert_eq(list.course[k].shape[2], 0.0);
    cr_assert_eq(course_find(&list, "lean")->shape[2], 0.0);
    rig_close(&r);
}

Test(course, refuses_cleanly_when_memory_ends) {
    rig r = twin_open(&fleet_six);
    rig_answer(&r, NULL, NULL);
    failing f = {.failed = true};
    for (size_t k = 1; f.failed; k++) {
        arena *const memory = arena_create(failing_start(&f, k));
        course_list list;
        const baronet_status status =
            memory != NULL ? course_all(&list, memory, r.rates) : BARONET_OUT_OF_MEMORY;
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
        arena_destroy(memory);
        cr_assert_eq(f.live, 0);
    }
    cr_assert_gt(f.calls, 5);
    rig_close(&r);
}
