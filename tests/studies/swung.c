/* swung.c: see swung.h.
   SPDX-License-Identifier: MIT */
#include "studies/swung.h"

#include <criterion/criterion.h>

swung swung_by(rig *r, double amplitude, double frequency) {
    swung s = {.swing = ARENA_ARRAY(r->arena, path_swing, r->model->network.edges)};
    cr_assert_eq(course_all(&s.courses, r->arena, r->rates), BARONET_OK);
    cr_assert_eq(paths_swing(s.swing, &s.account, r->rates, &s.courses, amplitude, frequency, NULL),
                 BARONET_OK);
    cr_assert_not(s.account.unsettled);
    return s;
}
