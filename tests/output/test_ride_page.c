/* Tests of solver/output/ride_page.c and solver/output/load_section.c.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "base/text.h"
#include "solved.h"

static char *page_of(const char *path, const baronet_question *question, baronet_format format) {
    baronet_netlist *netlist = ask_file(path);
    baronet_answer *answer = ask(netlist, baronet_ride, question);
    char *copy = strdup(ask_render(answer, format, false));
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    return copy;
}

Test(ride_page, says_modes_comfort_and_balance) {
    const baronet_question question = {.state = "easy"};
    char *page = page_of("netlists/camper.air", &question, BARONET_TEXT);
    ask_check_page("ride", page);
    ask_expect(page, "heave");
    ask_expect(page, "wheel hop rear, together");
    ask_expect(page, "air exchange rear-left-air to rear-right-air");
    ask_expect(page, "road class C at 80.0 km/h");
    ask_expect(page, "roll couple");
    ask_expect(page, "common practice, no");
    ask_expect(page, "First wheel to lift");
    free(page);
}

Test(ride_page, compares_states_side_by_side) {
    const baronet_question question = {.road_class = "B", .speed = 25.0};
    char *page = page_of("netlists/camper.air", &question, BARONET_TEXT);
    ask_check_page("ride", page);
    ask_expect(page, "states side by side");
    ask_expect(page, "comfort, B at 90.0 km/h");
    ask_expect(page, "tends to more understeer");
    free(page);
}

Test(ride_page, gives_figures) {
    const baronet_question question = {.state = "firm"};
    char *csv = page_of("netlists/camper.air", &question, BARONET_CSV);
    ask_expect(csv, "ride,firm,,,damping_ratio,1,");
    ask_expect(csv, "ride,firm,,,comfort,,");
    ask_expect(csv, "ride,firm,,,comfort,FL,");
    free(csv);
}

Test(ride_page, refuses_a_class_that_is_none) {
    baronet_netlist *netlist = ask_file("netlists/camper.air");
    static const char *const none[] = {"Q", "I", "1", "BB", ""};
    for (size_t k = 0; k < sizeof none / sizeof *none; k++) {
        const baronet_question question = {.road_class = none[k]};
        baronet_answer *answer = NULL;
        const char *what = NULL;
        cr_assert_eq(baronet_ride(netlist, &question, &answer, &what), BARONET_BAD_USAGE);
        cr_assert_not_null(what);
    }
    baronet_netlist_destroy(netlist);
}

Test(ride_page, says_why_there_is_no_comfort) {
    const baronet_question question = {0};
    char *page = page_of("netlists/rear.air", &question, BARONET_TEXT);
    ask_check_page("ride", page);
    ask_expect(page, "no corner has a `damper`");
    free(page);
}

/* 2 sqrt(k m) of some 40 N/mm and 1 t is 13 kN.s/m: 60 is far above. */
Test(ride_page, a_body_that_is_damped_too_much_to_swing_creeps_and_says_what_that_is) {
    char *page = ask_page("corner RL at 0 m 0.9 m load 1000 kg unsprung 150 kg tyre 800 N/mm\n"
                          "       damper 60 kN.s/m\n"
                          "corner RR at 0 m -0.9 m load 980 kg unsprung 150 kg tyre 800 N/mm\n"
                          "       damper 60 kN.s/m\n"
                          "profile p area 150 cm2 volume 4 L at 200 mm\n"
                          "spring l on RL profile p height 200 mm\n"
                          "spring r on RR profile p height 200 mm\n"
                          "tank t volume 2 L\nrestrictor h from l to t bore 0.3 mm\n",
                          baronet_ride);
    ask_expect(page, "air exchange t to l");
    ask_expect(page, "creep of R");
    ask_expect(page, "note: creep: it comes back slowly and does not swing");
    free(page);
}

/* Wheels whose dampers are far beyond critical are named where the answer begins. */
Test(ride_page, over_damped_wheels_are_in_the_lead) {
    char *page = ask_page("vehicle cg-height 0.9 m roll-axis 0.3 m\n"
                          "profile p area 90 cm2 volume 2.6 L at 160 mm\n"
                          "corner FL at 1.4 m 0.75 m load 500 kg unsprung 40 kg tyre 220 N/mm\n"
                          "       damper 1.9 kN.s/m\n"
                          "corner FR at 1.4 m -0.75 m load 480 kg unsprung 40 kg tyre 220 N/mm\n"
                          "       damper 1.9 kN.s/m\n"
                          "corner RL at -1.3 m 0.77 m load 420 kg unsprung 45 kg tyre 230 N/mm\n"
                          "       damper 19 kN.s/m\n"
                          "corner RR at -1.3 m -0.77 m load 410 kg unsprung 45 kg tyre 230 N/mm\n"
                          "       damper 19 kN.s/m\n"
                          "spring fl on FL profile p height 160 mm rated 9 bar\n"
                          "spring fr on FR profile p height 160 mm rated 9 bar\n"
                          "spring rl on RL profile p height 160 mm rated 9 bar\n"
                          "spring rr on RR profile p height 160 mm rated 9 bar\n",
                          baronet_ride);
    const char *lead = strstr(page, "; damped beyond"), *state = strstr(page, "State rest");
    cr_assert(lead != NULL && state != NULL && lead < state, "%s", page);
    ask_expect(page, "swinging: RR, RL.");
    free(page);
}

/* Of two wheels in one place the one whose spring is flat carries nothing at all. */
Test(ride_page, a_wheel_without_load_has_no_part_of_it) {
    char *const page = ask_page("corner A at 1 m 0 m load 4700 N tyre 490 N/mm damper 1.9 kN.s/m\n"
                                "corner B at 1 m 0 m load 5300 N coil 59 N/mm damper 2 kN.s/m\n"
                                "profile p area 90 cm2 volume 1.9 L at 150 mm\n"
                                "spring s on A profile p height 150 mm\n"
                                "solenoid dump from s to atmosphere normally closed bore 5 mm\n"
                                "state up shut dump\nstate down open dump\n",
                                baronet_ride);
    ask_check_page("ride", page);
    ask_expect(page, "down, with damping: heave");
    free(page);
}

Test(ride_page, tells_how_well_the_standings_were_solved) {
    const baronet_question question = {0};
    char *page = page_of("netlists/trailer.air", &question, BARONET_TEXT);
    solved_expect(page, "netlists/trailer.air", NULL, LEVEL_SETTLED, 0.0, " ");
    free(page);
}

#define SLEEVES                                                                                    \
    "profile sleeve\n  height mm area cm2 volume L\n"                                              \
    "  90 79.9 0.82\n  160 76.5 1.37\n  260 75.1 2.13\n"

/* Four sleeves, two pots above the pressure of the front, a link across each axle. */
#define LINKED(front, rear)                                                                        \
    "vehicle cg-height 0.81 m roll-axis 0.2 m\n" SLEEVES                                           \
    "corner FL at 2.6 m 0.75 m load 425 kg\ncorner FR at 2.6 m -0.75 m load 425 kg\n"              \
    "corner RL at 0 m 0.8 m load 455 kg\ncorner RR at 0 m -0.8 m load 455 kg\n"                    \
    "bar front-bar between FL FR roll " front " N.m/deg\n"                                         \
    "bar rear-bar between RL RR roll " rear " N.m/deg\n"                                           \
    "spring fl on FL profile sleeve height 160 mm\n"                                               \
    "spring fr on FR profile sleeve height 160 mm\n"                                               \
    "spring rl on RL profile sleeve height 160 mm\n"                                               \
    "spring rr on RR profile sleeve height 160 mm\n"                                               \
    "tank ft volume 2 L pressure 6.6 bar\ntank fu volume 2 L pressure 6.6 bar\n"                   \
    "solenoid va from fl to ft normally closed bore 9 mm\n"                                        \
    "solenoid vb from fr to fu normally closed bore 9 mm\n"                                        \
    "solenoid fc from fl to fr normally closed bore 2 mm\n"                                        \
    "solenoid rc from rl to rr normally closed bore 2 mm\n"                                        \
    "state loose open fc rc\nstate high-loose open fc rc va vb\nstate high open va vb\n"           \
    "state high-linked open va vb rc\nstate firm shut fc\n"

/* A higher front is softer at once; which links are open tells in a long bend. */
Test(ride_page, says_how_the_balance_changes_at_once_and_in_a_long_bend) {
    char *page = ask_page(LINKED("750", "550") "state other open fc rc\n", baronet_ride);
    ask_expect(page, "; as in loose to a point.");
    ask_expect(page, "-3 points from loose at once, which tends to less understeer there.");
    ask_expect(page, "-3 and -16 points from loose, which tends to less understeer.");
    ask_expect(page, "-3 and +7 points from loose, which tends to less understeer at once and more "
                     "in a long bend.");
    ask_expect(page, "-6 points from loose in a long bend, which tends to less understeer there.");
    free(page);
    page = ask_page(LINKED("290", "180") "charge in high-loose\n", baronet_ride);
    ask_expect(page, "firm: axle FL+FR holds 45 % of the roll couple at once and 45 % in a long "
                     "bend.");
    free(page);
}

/* Narrow and on coils: a front wheel lifts, and then it would fall over. */
Test(ride_page, says_where_a_wheel_lifts_and_where_it_ends) {
    char *page = ask_page("vehicle cg-height 0.7 m roll-axis 0.2 m\n"
                          "corner FL at 2.6 m 0.45 m load 425 kg coil 30 N/mm tyre 200 N/mm\n"
                          "corner FR at 2.6 m -0.45 m load 405 kg coil 30 N/mm tyre 200 N/mm\n"
                          "corner RL at 0 m 0.5 m load 455 kg coil 60 N/mm tyre 200 N/mm\n"
                          "corner RR at 0 m -0.5 m load 425 kg coil 60 N/mm tyre 200 N/mm\n"
                          "bar front-bar between FL FR roll 2750 N.m/deg\n" BENCH,
                          baronet_ride);
    ask_expect(page,
               "0.5 g      5.67   5.67         58     58       56     56  FL LIFTS  FL LIFTS");
    ask_expect(page, "caution: rest, left bend, at once: no further, for there no equilibrium was "
                     "found");
    free(page);
    page = ask_page("vehicle cg-height 1.31 m roll-axis 0.2 m\n"
                    "corner FL at 2.6 m 0.55 m load 425 kg coil 30 N/mm\n"
                    "corner FR at 2.6 m -0.55 m load 405 kg coil 30 N/mm\n"
                    "corner RL at 0 m 0.6 m load 455 kg coil 30 N/mm\n"
                    "corner RR at 0 m -0.6 m load 425 kg coil 30 N/mm\n" BENCH,
                    baronet_ride);
    cr_expect_null(strstr(page, "of the roll couple"), "it does not come to the bend compared");
    ask_expect(page, "0.2 g      10.");
    free(page);
}

/* More states than stand side by side tell their comfort one by one; in the case none stands. */
Test(ride_page, nine_states_are_told_one_by_one) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, AXLE_SLEEVE "corner RL at 0 m 0.8 m load 455 kg damper 1.1 kN.s/m\n"
                                          "corner RR at 0 m -0.8 m load 430 kg damper 1.2 kN.s/m\n"
                                          "spring left on RL profile sleeve height 160 mm\n"
                                          "spring right on RR profile sleeve height 162 mm\n"
                                          "case crushed RL +900 kg RR +910 kg\nstate shut-off\n");
    for (int k = 1; k <= 8; k++) {
        text_buffer_format(&netlist,
                           "tank t%d volume 1.%d L pressure 5.7 bar\n"
                           "solenoid v%d from left to t%d normally closed bore 4 mm\n"
                           "state s%d open v%d\n",
                           k, k, k, k, k, k);
    }
    baronet_netlist *read = ask_text(netlist.bytes);
    for (int crushed = 0; crushed < 2; crushed++) {
        const baronet_question question = {.load_case = crushed == 1 ? "crushed" : NULL};
        baronet_answer *answer = ask(read, baronet_ride, &question);
        const char *page = ask_render(answer, BARONET_TEXT, false);
        cr_expect_null(strstr(page, "states side by side"));
        ask_expect(page, crushed == 1 ? "s8: no answer: `left` ran off its profile"
                                      : "s8, road class C at 80.0 km/h: 0.6");
        ask_expect(page, crushed == 1 ? "note: comfort: " : " mm r.m.s.\n  s1, with damping");
        baronet_answer_destroy(answer);
    }
    baronet_netlist_destroy(read);
    text_buffer_free(&netlist);
}

/* Masses, each with a pot: more that swings and more that does not than is shown; then more modes
   than are looked for. */
Test(ride_page, shows_what_can_be_read_of_many_modes) {
    static const struct {
        int masses;
        const char *words;
    } cases[] = {{42, "note: and 2 more that swing; `--as csv` has all"},
                 {81, "caution: the network is large: quicker modes, wheel hop among them, are not "
                      "listed"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        text_buffer netlist = {0};
        text_buffer_add(&netlist, "profile piston area 95 cm2 volume 2.9 L at 150 mm\n");
        for (int k = 1; k <= cases[i].masses; k++) {
            text_buffer_format(&netlist,
                               "spring bag%d profile piston height 150 mm load %d kg\n"
                               "tank pot%d volume %d mL\n"
                               "restrictor r%d from bag%d to pot%d bore %d um\n",
                               k, 280 + k, k, 1000 + 10 * k, k, k, k, 900 + k);
        }
        char *page = ask_page(netlist.bytes, baronet_ride);
        ask_expect(page, cases[i].words);
        cr_expect_null(strstr(page, "air exchange pot1 to bag1 "), "the quickest is not shown");
        free(page);
        text_buffer_free(&netlist);
    }
}
