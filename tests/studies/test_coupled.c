/* SPDX-License-Identifier: MIT */
#include "studies/coupled.h"

#include <complex.h>
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "studies/demos.h"
#include "studies/road.h"
#include "support.h"

/* The imaginary unit in double precision. */
#define J ((double complex)I)

static const double frequency[] = {0.07, 0.9, 2.3, 9.1, 31.0}; /* Hz */
enum { FREQUENCIES = sizeof frequency / sizeof frequency[0] };

/* Movement of the body's motion when the road under all wheels moves in it by one. */
static double complex answer_of(coupled *s, const rig *r, body_motion k) {
    const vehicle *v = &r->model->vehicle;
    const body_mass *mass = &rates_task(r->rates)->mass;
    const coordinate *list = NULL;
    const int count = coupled_coordinates(s, &list);
    double *x = calloc(2 * (size_t)coupled_size(s) + 2, sizeof *x);
    double complex sum = 0.0;
    for (int c = 0; c < v->wheels; c++) {
        const double rise[BODY_MOTIONS] = {1.0, v->corner[c].y - mass->y,
                                           -(v->corner[c].x - mass->x)};
        cr_assert_eq(coupled_answer(s, c, x), BARONET_OK);
        for (int i = 0; i < count; i++)
            if (list[i].kind == COORDINATE_BODY && list[i].item == (int)k)
                sum += rise[k] * (x[2 * i] + J * x[2 * i + 1]);
    }
    free(x);
    return sum;
}

/* The frequency domain's own way: K(jw) from the air network, small swings, then the body's answer.
 */
static void check_motion(rig *r, coupled *s, body_motion k) {
    airnet *net = NULL;
    road *way = NULL;
    const size_t corners = (size_t)r->model->vehicle.corners;
    double *K = calloc(2 * corners * corners, sizeof *K), *shape = calloc(corners, sizeof *shape);
    cr_assert_eq(airnet_create(&net, r->rates, rates_open(r->rates), 50.0, NULL), BARONET_OK);
    cr_assert_eq(road_create(&way, r->rates, NULL), BARONET_OK);
    rates_body_shape(r->rates, k, shape);
    for (int i = 0; i < FREQUENCIES; i++) {
        airnet_answer swing;
        double expected[2];
        cr_assert_eq(airnet_swing(net, shape, 0.0, frequency[i], &swing), BARONET_OK);
        cr_assert_eq(airnet_matrix(net, frequency[i], K), BARONET_OK);
        cr_assert_eq(coupled_prepare(s, frequency[i]), BARONET_OK);
        if (road_answer(way, k, K, frequency[i], expected) != BARONET_OK)
            continue;
        const double complex got = answer_of(s, r, k);
        const double size = hypot(expected[0], expected[1]);
        CHECK_ABS(creal(got), expected[0], 1e-7 * size, "K(jw) of the air network");
        CHECK_ABS(cimag(got), expected[1], 1e-7 * size, "K(jw) of the air network");
    }
    airnet_destroy(net);
    road_destroy(way);
    free(K);
    free(shape);
}

static void check_state(rig *r, const char *state) {
    (void)state;
    coupled *s = NULL;
    cr_assert_eq(coupled_create(&s, r->rates, 50.0, NULL), BARONET_OK);
    for (int k = 0; k < BODY_MOTIONS; k++)
        if (rates_result(r->rates)->has[k])
            check_motion(r, s, (body_motion)k);
    coupled_destroy(s);
}

Test(coupled, answers_the_road_as_the_frequency_domain_does) {
    demos_each(check_state);
}

Test(coupled, holds_its_memory) {
    rig r = rig_open_file("netlists/camper.air");
    rig_answer(&r, "easy", NULL);
    failing f;
    for (size_t k = 1;; k++) {
        const baronet_allocator *allocator = failing_start(&f, k);
        coupled *s = NULL;
        const baronet_status status = coupled_create(&s, r.rates, 50.0, allocator);
        cr_assert(status == BARONET_OK || status == BARONET_OUT_OF_MEMORY);
        coupled_destroy(s);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    rig_close(&r);
}
