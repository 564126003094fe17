/* What helps beside a word that fits nothing. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

Test(hint, the_closest_is_offered_and_the_list_given) {
    static const struct {
        const char *words, *said;
    } cases[] = {
        {"rate netlists/rear.air",
         "baronet: there is no command `rate`\n  did you mean `rates`?\n"},
        {"staates netlists/rear.air", "did you mean `states`?"},
        {"chekc netlists/rear.air", "did you mean `check`?"},
        {"rates netlists/rear.air --stat soft",
         "baronet rates: there is no option `--stat` here\n  did you mean `--state`?\n  options: "},
        {"rates netlists/rear.air --unit=si", "there is no option `--unit` here\n"
                                              "  did you mean `--units`?"},
        {"rates netlists/rear.air --state sotf",
         "baronet: there is no state `sotf`\n"
         "  did you mean `soft`?\n"
         "  states of this netlist: firm soft linked rest\n"},
        {"rates netlists/camper.air --case holidays", "baronet: there is no case `holidays`\n"
                                                      "  did you mean `holiday`?\n"
                                                      "  cases of this netlist: holiday"},
        {"stroke netlists/rear.air --motion rol",
         "baronet: there is no motion `rol`\n"
         "  did you mean `roll`?\n"
         "  motions of this netlist: heave roll one-wheel:RL one-wheel:RR\n"},
        {"stroke netlists/expedition.air --motion one-wheel:XX",
         "  motions of this netlist: heave roll pitch warp:1 warp:2 warp:3 one-wheel:FL\n"
         "    one-wheel:FR"},
        {"rates netlists/rear.air --case laden", "  cases of this netlist: none\n"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        expect_run(cases[i].words, 2, cases[i].said);
    }
}

/* What is like nothing is taken for nothing. */
Test(hint, nothing_is_offered_for_what_is_far_off) {
    static const char *const lines[] = {"x netlists/rear.air",
                                        "calculate netlists/rear.air",
                                        "\"\"",
                                        "rates netlists/rear.air --state zzzz",
                                        "rates netlists/rear.air --state \"\"",
                                        "rates netlists/rear.air --frobnicate"};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        ran r = program(NULL, lines[i]);
        cr_expect_eq(r.code, 2);
        cr_expect_null(strstr(r.err, "did you mean"), "%s: %s", lines[i], r.err);
        ran_free(&r);
    }
}

/* A word in one place is not taken for the same word in another. */
Test(hint, a_case_that_is_no_state_is_told_of_cases) {
    expect_run("rates netlists/camper.air --state easy --case easy", 2,
               "baronet: there is no case `easy`\n  cases of this netlist: ");
    expect_run("stroke netlists/camper.air --state easy --case holiday --motion holiday", 2,
               "baronet: there is no motion `holiday`\n  motions of this netlist: ");
}

/* Long lists are wrapped, and cut short where nobody would read on. */
Test(hint, long_lists_are_wrapped_and_cut_short) {
    char words[20000] = "tank pot volume 2 L pressure 3 bar\n"
                        "tank pan volume 3 L pressure 3 bar\n"
                        "solenoid gate from pot to pan normally closed bore 6 mm\n";
    for (int k = 0; k < 300; k++) {
        snprintf(words + strlen(words), sizeof words - strlen(words),
                 "state state-number-%d open gate\n", k);
    }
    const char *path = scratch_file("many.air", words);
    char line[800];
    snprintf(line, sizeof line, "rates %s --state state-number-300", path);
    ran r = program(NULL, line);
    cr_expect_eq(r.code, 2);
    cr_expect_not_null(strstr(r.err, "did you mean `state-number-30`?"), "%s", r.err);
    cr_expect_not_null(strstr(r.err, " ...\n"), "%s", r.err);
    cr_expect_null(strstr(r.err, "state-number-40"), "%s", r.err);
    for (const char *at = r.err; *at != '\0';) {
        const size_t length = strcspn(at, "\n");
        cr_expect_leq(length, 80, "%.*s", (int)length, at);
        at += length + 1;
    }
    ran_free(&r);
}
