/* SPDX-License-Identifier: MIT */
#include "model/script.h"

const char *script_motion_name(script_motion motion_item) {
    static const char *const names[] = {"heave", "roll", "pitch", "warp"};
    return names[-1 - (int)motion_item];
}
