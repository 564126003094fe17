/* SPDX-License-Identifier: MIT */
#include "output/words.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "base/text.h"
#include "netlist/netlist.h"

/* An axle whose left side comes to rest on its stop where its air is let out. */
#define STOPS                                                                                      \
    "profile piston area 78 cm2 volume 1.9 L at 150 mm\n"                                          \
    "corner RL at 0 m 0.8 m load 455 kg bump-stop at 30 mm rate 300 N/mm\n"                        \
    "corner RR at 0 m -0.8 m load 430 kg bump-stop at 30 mm rate 300 N/mm\n"                       \
    "bar rear-bar between RL RR roll 450 N.m/deg\n"                                                \
    "spring left on RL profile piston height 160 mm rated 8 bar\n"                                 \
    "spring right on RR profile piston height 160 mm rated 8 bar\n"

Test(words, lists_are_joined_as_one_says_them) {
    page *p = page_create(NULL, BARONET_METRIC);
    cr_expect_str_eq(words_join(p, "", "a", true), "a");
    cr_expect_str_eq(words_join(p, "a", "b", true), "a and b");
    cr_expect_str_eq(words_join(p, words_join(p, "a", "b", false), "c", true), "a, b and c");
    baronet_answer_destroy(p);
}

Test(words, a_standing_that_is_hardly_held_has_a_caution) {
    const balance_account well = {.iterations = 3, .residual = 2e-15, .unknowns = 5};
    const balance_account ill = {.iterations = 9, .residual = 7e-10, .unknowns = 5};
    const struct {
        const balance_account *account;
        double condition;
        const char *words; /* of the caution; NULL for none */
    } cases[] = {{&well, 8.3, NULL},
                 {&well, 4e8, NULL},
                 {&ill, 1.3e3, NULL},
                 {&ill, 3.1e6, "heights may be out by 2.17 mm"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        page *p = page_create(NULL, BARONET_METRIC);
        words_balance(p, cases[i].account, cases[i].condition);
        const char *const got = ask_render(p, BARONET_TEXT, false);
        ask_expect(got, cases[i].account == &well ? "5 unknowns in 3 steps" : "in 9 steps");
        cr_expect_eq(ask_says(got, "caution:"), cases[i].words != NULL, "%s", got);
        cr_expect(cases[i].words == NULL || ask_says(got, cases[i].words), "%s", got);
        baronet_answer_destroy(p);
    }
}

Test(words, rounding_is_told_from_six_digits_on) {
    for (double condition = 3.0; condition < 1e15; condition *= 7.0) {
        page *p = page_create(NULL, BARONET_METRIC);
        words_rounding(p, condition);
        cr_expect_eq(ask_says(ask_render(p, BARONET_TEXT, false), "nearly singular"),
                     condition * 2.220446e-16 > 1e-6, "%g", condition);
        baronet_answer_destroy(p);
    }
}

Test(words, positions_name_what_is_open) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    const model *m = netlist_model(netlist);
    page *p = page_create(NULL, BARONET_METRIC);
    cr_expect_str_eq(words_position(p, m, (const bool[]){true, true}),
                     "open: left-gate and right-gate");
    cr_expect_str_eq(words_position(p, m, (const bool[]){false, true}), "open: right-gate");
    cr_expect_str_eq(words_position(p, m, (const bool[]){false, false}), "every solenoid shut");
    const states_entry soft = {.open = (const bool[]){true, true}, .named = 0};
    const states_entry rest = {.open = (const bool[]){false, false}, .named = 1, .rest = true};
    cr_expect_str_eq(words_state(p, m, &soft), "open: left-gate and right-gate; charged here");
    cr_expect_str_eq(words_state(p, m, &rest), "every solenoid shut; de-energised");
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}

/* Every status that a study can have, about the thing that it is about and by how much. */
Test(words, each_problem_is_a_sentence) {
    static const struct {
        problem why;
        const char *words;
    } cases[] = {
        {{BARONET_OFF_PROFILE, 0, -1, -0.0082, 0.0},
         "`left` ran off its profile: 8.20 mm below the lowest row"},
        {{BARONET_OFF_PROFILE, 1, -1, 0.0123, 0.0},
         "`right` ran off its profile: 12.3 mm above the highest row"},
        {{BARONET_SLACK, 0, -1, -12345.0, 0.0},
         "`left` would go slack: it would have to pull, "
         "0.123 bar below ambient"},
        {{BARONET_WHEEL_LIFTS, 1, -1, -321.0, 0.0},
         "wheel `RR` would lift: the ground would have to pull 321 N"},
        {{BARONET_NEUTRAL, MOTION_ROLL, -1, 0.0, 0.0}, "nothing holds roll"},
        {{BARONET_UNSTABLE, MOTION_PITCH, -1, 0.0, 0.0}, "unstable in pitch"},
        {{BARONET_FLAT, 1, -1, 0.0, 0.0}, "flat: `right` is open to the atmosphere"},
        {{BARONET_TWO_SOURCES, 0, 3, 0.0, 0.0}, "`atmosphere` and `left-tank` hold different"},
        {{BARONET_CONTRADICTION, 0, -1, 4000.0, 3500.0},
         "`left`: its springs and coil give 4000 N where the load leaves 3500 N"},
        {{BARONET_CONTRADICTION, -1, 1, 4000.0, 3500.0}, "`RR`: its springs and coil give"},
        {{BARONET_UNDETERMINED, -1, 0, 0.0, 0.0}, "`RL`: load, height or pressure cannot be told"},
        {{BARONET_NO_AIR, 3, -1, 0.0, 0.0}, "`left-tank` is shut off from every spring"},
        {{BARONET_NOT_CONVERGED, -1, -1, 0.0, 0.0}, "no equilibrium was found"},
        {{BARONET_SINGULAR, -1, -1, 0.0, 0.0}, "a matrix is singular"},
        {{BARONET_OVER_BUDGET, -1, -1, 0.0, 0.0}, "a budget of steps is used up"},
    };
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    const model *m = netlist_model(netlist);
    page *p = page_create(NULL, BARONET_METRIC);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *words = words_problem(p, m, &cases[i].why);
        ask_expect(words, cases[i].words);
        cr_expect_neq(words[strlen(words) - 1], '.', "the page ends the sentence: %s", words);
        cr_expect_null(strstr(words, "(null)"));
    }
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}

/* Netlists that give cause for a caution, and what the page of `check` then says. */
static const struct {
    const char *netlist, *words;
} cautions[] = {
    {AXLE "tank low volume 1 L pressure 9 bar rated 7 bar\n",
     "caution: `low` reaches 9.00 bar and is rated 7.00 bar"},
    {AXLE "tank low volume 1 L pressure 2 bar\n", "caution: `low` has no `rated` pressure"},
    {AXLE "tank low volume 1 L pressure 2 bar\ntank high volume 1 L pressure 2 bar\n",
     "caution: 2 springs and tanks have no `rated` pressure (`low` first)"},
    {AXLE "tank t volume 1 L pressure 5 bar rated 9 bar\n"
          "solenoid gate from left to t normally closed bore 9 mm opens-above 2 bar\n"
          "state shut-off shut gate\nstate opened open gate\n",
     "caution: opened: `gate` needs a difference of 2.00 bar to open, and only 0.833 bar"},
    {AXLE "tank t volume 1 L pressure 7 bar rated 9 bar\n"
          "solenoid gate from left to t normally closed bore 9 mm one-way\n",
     "`gate` is shut against 1.17 bar from behind, which it cannot hold: it leaks"},
    {STOPS "solenoid dump from left to atmosphere normally closed bore 4 mm\n"
           "state up shut dump\nstate down open dump\n",
     "caution: down: `left` is open to the atmosphere: flat"},
    {STOPS "solenoid dump from left to atmosphere normally closed bore 4 mm\n"
           "state up shut dump\nstate down open dump\n",
     "caution: down: `RL` rests on its bump stop, "},
    {"profile tested\n"
     "  height mm volume L load-3bar N load-5bar N\n"
     "  100 1.2 2400 4000\n"
     "  150 1.6 2300 3900\n"
     "  200 2.0 2200 3800\n"
     "spring bag profile tested height 150 mm load 480 kg\n",
     "caution: `bag` is at 5.99 bar; its load table ends at 5.00 bar and is carried on straight"},
    {AXLE "check-valve one from left to right bore 3 mm opens-at 0.1 bar\n"
          "relief two from right set 9 bar bore 3 mm\n",
     "note: `one` and `two` count as shut in these figures, which are of small changes"},
    {AXLE "relief two from right set 9 bar bore 3 mm\n",
     "note: `two` counts as shut in these figures"},
    {AXLE "tee block\nsolenoid gate from left to block normally closed bore 9 mm\n",
     "note: `block` is shut off when the system is charged and holds ambient pressure"},
    {AXLE "restrictor choke from left to right bore 2 mm\n",
     "note: 1 path (`choke` first) rests on an assumed value (cd 0.8, xt 0.7 or roughness 1.5 um); "
     "so does what is felt through it"},
    {AXLE, "note: air is assumed adiabatic in quick changes (no `gas` statement)"},
    {AXLE, "note: ambient is assumed: 1.01 bar absolute and 20.0 C (no `ambient` statement)"},
    {AXLE, "note: roll inertia is estimated at 566 kg.m2 from the corner loads"},
    {AXLE, "note: no roll gradient: `vehicle` lacks `cg-height` or `roll-axis`"},
    {AXLE "corner FL at 2.7 m 0.8 m load 400 kg coil 30 N/mm\n"
          "corner FR at 2.7 m -0.8 m load 400 kg coil 30 N/mm\n",
     "note: pitch inertia is estimated at"},
};

Test(words, each_caution_is_said) {
    for (size_t i = 0; i < sizeof cautions / sizeof *cautions; i++) {
        char *const got = ask_page(cautions[i].netlist, baronet_check);
        ask_check_page(cautions[i].words, got);
        ask_expect(got, cautions[i].words);
        ask_expect(got, "compressed air and a raised vehicle can kill");
        free(got);
    }
}

/* Dangers come before assumptions, and too many of either are counted. */
Test(words, many_cautions_are_counted) {
    text_buffer words = {0};
    text_buffer_add(&words, AXLE);
    for (int k = 0; k < 40; k++) {
        text_buffer_format(&words, "tank t%d volume 1 L pressure 9 bar rated 7 bar\n", k);
    }
    for (int k = 0; k < 20; k++) {
        text_buffer_format(&words, "relief r%d from t%d set 9 bar bore 3 mm\n", k, k);
    }
    cr_assert_not(words.failed);
    char *const got = ask_page(words.bytes, baronet_check);
    ask_expect(got, "`t0` reaches 9.00 bar");
    ask_expect(got, "`t23` reaches 9.00 bar");
    cr_expect_null(strstr(got, "`t24` reaches"));
    ask_expect(got, "more");
    const char *const list = strstr(got, "Cautions and notes");
    cr_assert_not_null(list);
    const char *danger = strstr(list, "caution: `t0`"), *note = strstr(list, "note: ");
    cr_expect(danger != NULL && note != NULL && danger < note);
    free(got);
    text_buffer_free(&words);
}

/* What is true in several states is said once, with where it is worst. */
Test(words, cautions_of_several_states_are_merged) {
    char *const got = ask_page(AXLE "tank t volume 1 L pressure 7 bar rated 9 bar\n"
                                    "solenoid gate from left to t normally closed "
                                    "bore 9 mm one-way\n"
                                    "solenoid cross from left to right normally "
                                    "closed bore 4 mm\n"
                                    "state apart shut gate cross\n"
                                    "state level open cross\n",
                               baronet_check);
    ask_expect(got, "from behind, which it cannot hold: it leaks (in 2 states, worst in level)");
    free(got);
}

Test(words, the_worst_of_several_standings_is_told_with_its_state) {
    const states_answer none = {0};
    const struct {
        balance_worst worst;
        const char *words, *caution; /* NULL for none */
    } cases[] = {{{0}, NULL, NULL},
                 {{.residual = 3.4e-8}, "note: equilibria: residual at most 4e-08 ", NULL},
                 {{.residual = 3e-15, .condition = 2.3e3, .error = 8e-10, .where = "soft"},
                  "note: equilibria: residual at most 1e-10, condition about 3e+03 ",
                  NULL},
                 {{.residual = 7e-10, .condition = 3.1e6, .error = 2.17e-3, .where = "firm"},
                  "note: equilibria: residual at most 7e-10, condition about 4e+06 ",
                  "caution: firm: so little holds it that heights may be out by 2.17 mm"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        page *p = page_create(NULL, BARONET_METRIC);
        words_equilibria(p, &none, LEVEL_NONE, cases[i].worst);
        const char *const got = ask_render(p, BARONET_TEXT, false);
        cr_expect_eq(ask_says(got, "equilibria"), cases[i].words != NULL, "%zu: %s", i, got);
        cr_expect(cases[i].words == NULL || ask_says(got, cases[i].words), "%zu: %s", i, got);
        cr_expect_eq(ask_says(got, "caution"), cases[i].caution != NULL, "%zu: %s", i, got);
        cr_expect(cases[i].caution == NULL || ask_says(got, cases[i].caution), "%zu: %s", i, got);
        baronet_answer_destroy(p);
    }
}

/* Of many names in one caution the first are said. */
Test(words, many_names_are_counted) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, BENCH "tee hub\nrestrictor feed from bag to hub bore 4 mm\n");
    for (int k = 0; k < 15; k++) {
        text_buffer_format(&netlist,
                           "tank t%d volume 1 L\ncheck-valve c%d from hub to t%d bore 2 mm\n"
                           "restrictor r%d from hub to t%d bore 1 mm\n",
                           k, k, k, k, k);
    }
    char *const got = ask_page(netlist.bytes, baronet_rates);
    ask_expect(got, "`c10`, `c11` and 3 more count as shut in these figures");
    free(got);
    text_buffer_free(&netlist);
}
