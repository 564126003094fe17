/* `baronet report` */
#include "program.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

Test(command_report, writes_html_unless_asked_otherwise) {
    expect_run("report netlists/rear.air", 0, "<!DOCTYPE html>");
    expect_run("report netlists/rear.air --as text", 0, "# In short");
    expect_run("report netlists/rear.air --units imperial", 0, "psi");
}

Test(command_report, writes_a_file_whole) {
    const char *path = scratch_path("report.html");
    ran direct = program(NULL, "report netlists/rear.air");
    char words[1024];
    snprintf(words, sizeof words, "report netlists/rear.air --out %s", path);
    ran r = program(NULL, words);
    cr_expect_eq(r.code, 0, "%s", r.err);
    cr_expect_str_eq(r.err, "", "no progress where nobody watches");
    char *const bytes = file_bytes(path);
    cr_assert_not_null(bytes);
    cr_expect_str_eq(bytes, direct.out);
    free(bytes);
    ran_free(&r);
    ran_free(&direct);
}

/* The date that a reproducible build is told (reproducible-builds.org, SOURCE_DATE_EPOCH). */
Test(command_report, has_the_date_that_it_is_told) {
    setenv("SOURCE_DATE_EPOCH", "1000000000", 1);
    expect_run("report netlists/rear.air", 0, "Date: 2001-09-09.");
    static const char *const no_date[] = {"", "soon", "12x", "-5"};
    for (size_t k = 0; k < sizeof no_date / sizeof no_date[0]; k++) {
        setenv("SOURCE_DATE_EPOCH", no_date[k], 1);
        ran r = program(NULL, "report netlists/rear.air");
        cr_expect_eq(r.code, 0, "%s", r.err);
        cr_expect_null(strstr(r.out, "Date: "), "SOURCE_DATE_EPOCH=%s", no_date[k]);
        ran_free(&r);
    }
    unsetenv("SOURCE_DATE_EPOCH");
}

/* The folder that the program is run in does not matter to the bytes. */
Test(command_report, is_the_same_wherever_the_netlist_lies) {
    char *const netlist = file_bytes("netlists/rear.air");
    cr_assert_not_null(netlist);
    char words[1024];
    snprintf(words, sizeof words, "report %s", scratch_file("rear.air", netlist));
    ran here = program(NULL, "report netlists/rear.air");
    ran there = program(NULL, words);
    cr_expect_str_eq(here.out, there.out);
    ran_free(&here);
    ran_free(&there);
    free(netlist);
}

Test(command_report, ends_as_its_answers_do) {
    const char *path = scratch_file("shut.air", "profile p area 95 cm2 volume 2.9 L at 150 mm\n"
                                                "spring bag profile p height 150 mm load 300 kg\n"
                                                "require spring_rate of bag below 1 N/mm\n");
    char words[1024];
    snprintf(words, sizeof words, "report %s", path);
    ran r = program(NULL, words);
    cr_expect_eq(r.code, 1, "a requirement is not met: %s", r.err);
    cr_expect_not_null(strstr(r.out, "NOT MET"));
    ran_free(&r);
    expect_run("report netlists/rear.air --state nowhere", 2, "there is no state `nowhere`");
}
