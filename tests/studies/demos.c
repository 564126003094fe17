/* demos.c: see demos.h.
   SPDX-License-Identifier: MIT */
#include "studies/demos.h"

#include <criterion/criterion.h>
#include <stdio.h>

const char *const demos[] = {
    "netlists/beam.air",  "netlists/bench.air", "netlists/camper.air",  "netlists/expedition.air",
    "netlists/hoses.air", "netlists/rear.air",  "netlists/trailer.air", NULL};

void demos_each(void (*check)(rig *r, const char *state)) {
    for (const char *const *path = demos; *path != NULL; path++) {
        rig r = rig_open_file(*path);
        int checked = 0;
        for (int k = 0; k < r.model->states; k++) {
            const char *const state = r.model->state[k].name;
            if (rig_solve(&r, state, NULL) == BARONET_OK) {
                cr_log_info("%s in %s", *path, state);
                check(&r, state);
                checked++;
            }
        }
        cr_assert_gt(checked, 0, "%s has an answer in no state", *path);
        rig_close(&r);
    }
}
