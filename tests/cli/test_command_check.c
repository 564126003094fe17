/* `baronet check`: a script can watch over a design by its exit code. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

Test(command_check, every_demonstration_is_sound_and_meets_its_requirements) {
    static const char *const names[] = {"beam", "bench", "camper", "expedition", "rear", "trailer"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char words[80];
        snprintf(words, sizeof words, "check netlists/%s.air", names[i]);
        expect_run(words, 0, "The netlist is sound: ");
        ran r = program(NULL, words);
        cr_expect_null(strstr(r.out, "not judged"), "%s: %s", words, r.out);
        ran_free(&r);
    }
}

Test(command_check, gives_the_figures_that_decided) {
    expect_run("check netlists/trailer.air --as csv --units si", 0,
               "check,road,,settled,roll_rate,,");
    expect_run("check netlists/trailer.air --as csv", 0, ",N.m/deg\n");
    expect_run("check netlists/camper.air --as csv", 0, "settle_time_95,roll,");
}

Test(command_check, takes_what_every_command_takes_and_no_more) {
    expect_run("check netlists/camper.air --state easy --case holiday --units imperial", 0,
               "case holiday (levelled)");
    expect_run("check netlists/camper.air --all", 2, "there is no option `--all` here");
}
