/* SPDX-License-Identifier: MIT */
#include "baronet/status.h"

#include <criterion/criterion.h>
#include <string.h>

/* Published values and exit codes: whoever changes one breaks callers and scripts. */
static const struct {
    baronet_status status;
    int value, exit_code;
} pinned[] = {
    {BARONET_OK, 0, 0},
    {BARONET_NOT_MET, 1, 1},
    {BARONET_BAD_USAGE, 2, 2},
    {BARONET_BAD_NETLIST, 3, 3},
    {BARONET_OUT_OF_MEMORY, 4, 5},
    {BARONET_NO_FILE, 5, 5},
    {BARONET_NOT_CONVERGED, 6, 4},
    {BARONET_OFF_PROFILE, 7, 4},
    {BARONET_SLACK, 8, 4},
    {BARONET_WHEEL_LIFTS, 9, 4},
    {BARONET_NEUTRAL, 10, 4},
    {BARONET_UNSTABLE, 11, 4},
    {BARONET_FLAT, 12, 4},
    {BARONET_TWO_SOURCES, 13, 4},
    {BARONET_SINGULAR, 14, 4},
    {BARONET_NOT_FINITE, 15, 4},
    {BARONET_TOO_MANY, 16, 2},
    {BARONET_NO_SUCH_NAME, 17, 2},
    {BARONET_CONTRADICTION, 18, 3},
    {BARONET_UNDETERMINED, 19, 3},
    {BARONET_NO_AIR, 20, 3},
    {BARONET_OVER_BUDGET, 21, 4},
};

Test(status, values_and_exit_codes_are_pinned) {
    for (size_t i = 0; i < sizeof pinned / sizeof *pinned; i++) {
        cr_expect_eq((int)pinned[i].status, pinned[i].value, "entry %zu", i);
        cr_expect_eq(baronet_status_exit_code(pinned[i].status), pinned[i].exit_code, "%zu", i);
    }
}

#define COUNT_ONE(name, value, words, exit_code) +1

/* A new status needs a line above: its value is for good once it has been published. */
Test(status, all_are_pinned_here) {
    cr_assert_eq(0 BARONET_STATUS_LIST(COUNT_ONE), sizeof pinned / sizeof *pinned);
}

Test(status, each_has_words_of_its_own) {
    for (size_t i = 0; i < sizeof pinned / sizeof *pinned; i++) {
        const char *const words = baronet_status_text(pinned[i].status);
        cr_expect(strlen(words) > 3, "status %zu", i);
        for (size_t j = 0; j < i; j++)
            cr_expect_str_neq(words, baronet_status_text(pinned[j].status));
    }
}

Test(status, an_unknown_one_has_words_and_an_exit_code) {
    const baronet_status unknown = (baronet_status)99;
    cr_assert_str_eq(baronet_status_text(unknown), "an unknown status");
    cr_assert_eq(baronet_status_exit_code(unknown), 4);
}
