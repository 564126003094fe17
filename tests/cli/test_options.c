/* The options of every command, in each way of writing them, right and wrong. */
#include "program.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define REAR "rates netlists/rear.air"

static char *output_of(const char *words) {
    ran r = program(NULL, words);
    cr_assert_eq(r.code, 0, "%s: %s", words, r.err);
    free(r.err);
    return r.out;
}

static void expect_same(const char *a, const char *b, bool same) {
    char *const first = output_of(a), *const second = output_of(b);
    cr_expect_eq(strcmp(first, second) == 0, same, "`%s` and `%s`", a, b);
    free(first);
    free(second);
}

Test(options, are_written_in_any_order_with_or_without_a_sign) {
    expect_same("rates netlists/rear.air --state soft --units si",
                "rates --units=si --state=soft netlists/rear.air", true);
    expect_same("rates netlists/camper.air --case holiday --as csv",
                "rates --as=csv netlists/camper.air --case=holiday", true);
    expect_same(REAR " --state soft --state firm", REAR " --state firm",
                true); /* the last counts */
    expect_same(REAR " --case=", REAR, true);
}

/* What is not given is as the help says. */
Test(options, what_is_left_out_is_as_the_help_says) {
    expect_same(REAR, REAR " --units metric --as text --swing 10mm", true);
    expect_same("stroke netlists/bench.air", "stroke netlists/bench.air --level settled", true);
    expect_same("response netlists/bench.air --state bare",
                "response netlists/bench.air --state bare --from 0.01Hz --to 50Hz", true);
    expect_same("times netlists/rear.air --state linked",
                "times netlists/rear.air --state linked --swing 10mm@1Hz --bend 3s", true);
}

Test(options, quantities_may_have_any_unit_of_their_kind) {
    expect_same(REAR " --swing 20mm", REAR " --swing 0.02m", true);
    expect_same(REAR " --swing 25.4mm", REAR " --swing 1in", true);
    expect_same(REAR " --swing 20mm", REAR " --swing 10mm", false);
    expect_same("times netlists/rear.air --state linked --bend 30s",
                "times netlists/rear.air --state linked --bend 0.5min", true);
    expect_same("times netlists/rear.air --state linked --swing 5mm@2Hz",
                "times netlists/rear.air --state linked --swing 5mm@1Hz", false);
}

/* Each value that an option does not take: the command ends with 2, names the option and the value,
   and shows the option's own line of the help. */
Test(options, values_that_do_not_fit_are_refused) {
    static const struct {
        const char *command, *option, *wanted;
        const char *values[12];
    } cases[] = {
        {"rates", "--units", "", {"us", "Metric", "\"\"", "met", "metric|imperial", "si|"}},
        {"rates", "--as", "", {"html2", "CSV", "\"\"", "tex", "textual"}},
        {"stroke", "--level", "", {"ride", "\"\"", "settle", "setled", "|"}},
        {"stroke",
         "--points",
         ": a whole number from 3 to 100000 is wanted",
         {"2", "-5", "0", "100001", "21x", "2.5", "\"\"", "99999999999999999999"}},
        {"rates",
         "--swing",
         "",
         {"mm", "10s", "0mm", "-5mm", "0x5mm", "nanmm", "infmm", "1e300mm", "10mm@", "10mm@1mm",
          "\"\""}},
        {"times", "--bend", "", {"3m", "0s", "-1s", "\"\"", "3s3"}},
        {"response", "--from", "", {"1s", "0Hz", "-1Hz", "1,5Hz", "\"\""}},
        {"response", "--to", "", {"50rpm", "0Hz"}},
        {"spread",
         "--seed",
         ": a whole number from 0 to 2000000000 is wanted",
         {"-1", "1.5", "0x7", "\"\"", "99999999999999999999"}},
        {"spread", "--runs", ": a whole number from 20 to 10000000 is wanted", {"19", "10000001"}},
        {"vary",
         "--share",
         "",
         {"3", "3/", "/3", "4/3", "0/3", "1/0", "1/3/5", "a/3", "00000000000000001/3",
          "1/1000001"}},
        {"vary", "--from-list", ": it belongs to the --change before it", {"list"}},
        {"ride", "--speed", "", {"80s", "0km/h"}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        for (size_t k = 0; k < 12 && cases[i].values[k] != NULL; k++) {
            const char *value = cases[i].values[k];
            char words[200], said[200];
            snprintf(words, sizeof words, "%s netlists/rear.air %s %s", cases[i].command,
                     cases[i].option, value);
            snprintf(said, sizeof said, "baronet %s: %s cannot be `%s`%s\n  %s ", cases[i].command,
                     cases[i].option, strcmp(value, "\"\"") == 0 ? "" : value, cases[i].wanted,
                     cases[i].option);
            expect_run(words, 2, said);
        }
    }
}

Test(options, a_wrong_line_says_what_is_wrong_with_it) {
    static const struct {
        const char *words, *said;
    } cases[] = {
        {"times netlists/rear.air --bend 3", "--bend cannot be `3`: its unit is missing\n"},
        {"response netlists/rear.air --to 5e1", "--to cannot be `5e1`: its unit is missing\n"},
        {REAR " --swing 10", "--swing cannot be `10`: its unit is missing\n"},
        {REAR " --swing 10@1Hz", "--swing cannot be `10@1Hz`: its unit is missing\n"},
        {"rates", "baronet rates: which netlist? Give a file, or - for standard input\n"},
        {"rates --state easy", "which netlist?"},
        {REAR " netlists/bench.air", "baronet rates: one file at a time, not also "
                                     "`netlists/bench.air`"},
        {REAR " --state", "a value is wanted after `--state`"},
        {REAR " --help=yes", "no value follows `--help`"},
        {"states netlists/rear.air --all=1", "no value follows `--all`"},
        {"states netlists/rear.air --all --state soft", "--all is every state, not only `soft`"},
        {REAR " --all", "there is no option `--all` here"}, /* of another command */
        {REAR " -s soft", "there is no option `-s` here"},
        {REAR " --", "there is no option `--` here"},
        {REAR " --=x", "there is no option `--` here"},
        {"vary netlists/rear.air --share 1/3", "shares are rows of a table: add --as csv"},
        {"parts netlists/rear.air --as svg", "there is nothing to draw for `--as svg`"},
        {REAR " --motion heave", "there is no option `--motion` here"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        expect_run(cases[i].words, 2, cases[i].said);
    }
}

#define SPREAD                                                                                     \
    "spread netlists/rear.air --change RL.load=+-20kg --of 'roll_rate settled in linked' "         \
    "--runs 20 --as csv --workers 1"

/* The same seed draws the same vehicles, another draws others. */
Test(options, a_seed_is_a_whole_number) {
    expect_same(SPREAD " --seed 7", SPREAD " --seed=007", true);
    expect_same(SPREAD " --seed 7", SPREAD " --seed 8", false);
    expect_same(SPREAD, SPREAD " --seed 0", true);
}

/* Each takes as many as there is room for; the next is refused, not lost. */
Test(options, changes_and_figures_have_a_limit) {
    static const char *const each[] = {" --change RL.load=+-20kg", " --of roll_rate"};
    for (size_t k = 0; k < sizeof each / sizeof *each; k++) {
        char words[4000] = "spread netlists/rear.air --help";
        for (int n = 0; n < 64; n++) {
            strcat(words, each[k]);
        }
        expect_run(words, 0, "usage: baronet spread FILE");
        strcat(words, each[k]);
        expect_run(words, 2, ": there are 64 already\n");
    }
}

Test(options, shares_are_rows_of_a_table) {
    expect_run("vary netlists/rear.air --share 1/3 --help", 0, "usage: baronet vary FILE");
    expect_run("vary netlists/rear.air --share 1/3 --as csv", 2, "--change");
}

/* However long or odd a word is, it is only a word. */
Test(options, odd_words_do_no_harm) {
    char word[3000];
    memset(word, 'o', sizeof word - 1);
    word[sizeof word - 1] = '\0';
    memcpy(word, "--", 2);
    char words[3100];
    snprintf(words, sizeof words, REAR " %s", word);
    expect_run(words, 2, "there is no option `--oooooooo");
    snprintf(words, sizeof words, REAR " --state %s", word + 2);
    expect_run(words, 2, "there is no state `oooooooo");
    expect_run(REAR " --%s%n%d", 2, "there is no option `--%s%n%d` here");
    expect_run(REAR " --state %s%n%d", 2, "there is no state `%s%n%d`");
}

/* `--help` anywhere on the line gives help and asks nothing of the rest. */
Test(options, help_needs_no_file) {
    expect_run("rates --help", 0, "usage: baronet rates FILE");
    expect_run("rates no-such-file --help", 0, "usage: baronet rates FILE");
    expect_run("stroke --motion heave --help", 0, "--motion NAME");
}
