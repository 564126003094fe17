/* SPDX-License-Identifier: MIT */
#include "model/script.h"

#include <criterion/criterion.h>

Test(script, built_in_motions_have_their_names) {
    cr_assert_str_eq(script_motion_name(SCRIPT_HEAVE), "heave");
    cr_assert_str_eq(script_motion_name(SCRIPT_ROLL), "roll");
    cr_assert_str_eq(script_motion_name(SCRIPT_PITCH), "pitch");
    cr_assert_str_eq(script_motion_name(SCRIPT_WARP), "warp");
}

Test(script, built_in_motions_stand_apart_from_the_user_s) {
    /* The user's own motions count from 0, so that one item tells both. */
    static const script_motion all[] = {SCRIPT_HEAVE, SCRIPT_ROLL, SCRIPT_PITCH, SCRIPT_WARP};
    for (int i = 0; i < 4; i++) {
        cr_assert_lt((int)all[i], 0);
        for (int k = 0; k < i; k++)
            cr_assert_neq(all[i], all[k]);
    }
}
