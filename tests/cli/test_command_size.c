/* `baronet size`. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

Test(command_size, writes_the_netlist_but_never_over_its_own) {
    char *const bytes = file_bytes("netlists/rear.air");
    const char *const own = scratch_file("own.air", bytes);
    const char *const fresh = scratch_path("fresh.air");
    char words[1500];
    static const char sizing[] =
        "size %s --change left-tank.volume=1L..8L --want 'ride_frequency of "
        "RL = 0.97 Hz settled in soft' --write %s";
    snprintf(words, sizeof words, sizing, own, own);
    expect_run(words, 2, "is the netlist itself; --replace");
    char *left = file_bytes(own);
    cr_expect_str_eq(left, bytes);
    free(left);
    snprintf(words, sizeof words, sizing, own, fresh);
    expect_run(words, 0, "What is wanted is met");
    char *const written = file_bytes(fresh);
    cr_assert_not_null(written);
    cr_expect_not_null(strstr(written, "tank     left-tank   volume 2."));
    cr_expect_not_null(strstr(written, "# from the maker's curve"));
    snprintf(words, sizeof words, "%s", "rates ");
    strcat(words, fresh);
    expect_run(words, 0, "0.97");
    snprintf(words, sizeof words, sizing, own, own);
    strcat(words, " --replace");
    expect_run(words, 0, "What is wanted is met");
    left = file_bytes(own);
    cr_expect_str_eq(left, written);
    free(left);
    free(written);
    free(bytes);
}

Test(command_size, ends_with_one_where_it_cannot_be_met) {
    expect_run(
        "size netlists/rear.air --change left-tank.volume=1L..3L --want 'ride_frequency of RL "
        "= 0.7 Hz settled in soft'",
        1, "It cannot be met");
    expect_run(
        "size netlists/rear.air --change left-tank.volume=1L..3L --want 'ride_frequency of RL "
        "settled'",
        2, "`above`, `below`, `=`, `highest` or `lowest`");
}
