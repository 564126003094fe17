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

Test(ride_page, tells_how_well_it_was_solved) {
    const baronet_question question = {0};
    char *page = page_of("netlists/trailer.air", &question, BARONET_TEXT);
    solved_expect(page, "netlists/trailer.air", NULL, LEVEL_SETTLED, 0.0, " ");
    solved_expect_ride(page, "netlists/trailer.air");
    free(page);
}

Test(ride_page, rounding_that_may_show_has_a_caution) {
    for (int slow = 0; slow < 2; slow++) {
        const baronet_question question = {.swing_amplitude = 0.01,
                                           .swing_frequency = slow == 1 ? 1e-9 : 1.0};
        char *got = page_of("netlists/rear.air", &question, BARONET_TEXT);
        cr_expect_eq(ask_says(got, "caution: the equations are nearly singular"), slow == 1, "%s",
                     got);
        free(got);
    }
}
