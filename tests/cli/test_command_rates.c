/* `baronet rates`. */
#include "program.h"

#include <criterion/criterion.h>
#include <string.h>

Test(command_rates, answers_for_one_state_or_for_all) {
    expect_run("rates netlists/camper.air", 0, "State firm, de-energised (every solenoid shut)");
    ran r = program(NULL, "rates netlists/camper.air --state easy");
    cr_expect_eq(r.code, 0);
    cr_expect_not_null(strstr(r.out, "State easy (open: "));
    cr_expect_null(strstr(r.out, "State town"));
    ran_free(&r);
    /* `rest` may be asked for by its name though another state is the same. */
    expect_run("rates netlists/camper.air --state rest", 0, "State rest, de-energised");
}

Test(command_rates, a_case_is_in_the_title_and_in_each_row) {
    expect_run("rates netlists/camper.air --case holiday", 0, "case holiday (levelled)");
    expect_run("rates netlists/camper.air --case holiday --as csv", 0,
               "\nrates,easy,holiday,settled,heave_rate,,");
}

Test(command_rates, a_swing_changes_what_is_felt_alone) {
    expect_run("rates netlists/rear.air --swing 1in --units imperial", 0,
               "ride at a swing\n  of 1.00 in\n");
    ran small = program(NULL, "rates netlists/rear.air --state linked --swing 2mm --as csv");
    ran large = program(NULL, "rates netlists/rear.air --state linked --swing 40mm --as csv");
    const char *a = small.out, *b = large.out;
    int felt = 0;
    while (*a != '\0' && *b != '\0') {
        const size_t first = strcspn(a, "\n"), second = strcspn(b, "\n");
        const int same = first == second && memcmp(a, b, first) == 0;
        const int ride = strncmp(a, "rates,linked,,ride,", 19) == 0;
        cr_expect(same || ride, "%.*s\n%.*s", (int)first, a, (int)second, b);
        felt += !same;
        a += first + 1;
        b += second + 1;
    }
    cr_expect_gt(felt, 0);
    ran_free(&small);
    ran_free(&large);
}
