/* The page of `play`: its summary, its series, its plot. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "support.h"

static const char *const van = "netlists/camper.air";

Test(play_page, every_demonstration_has_a_sound_page) {
    static const char *const files[] = {"netlists/camper.air", "netlists/trailer.air",
                                        "netlists/expedition.air", "netlists/bench.air",
                                        "netlists/beam.air"};
    for (size_t k = 0; k < 5; k++) {
        baronet_netlist *netlist = ask_file(files[k]);
        const baronet_question question = {.units = (baronet_unit_system)(k % 3), .points = 11};
        baronet_answer *answer = ask(netlist, baronet_play, &question);
        cr_expect_eq(baronet_answer_status(answer), BARONET_OK, "%s", files[k]);
        const char *page = ask_render(answer, BARONET_TEXT, false);
        ask_check_page(files[k], page);
        ask_expect(page, "air conserved to");
        ask_expect(page, "can kill");
        baronet_answer_destroy(answer);
        baronet_netlist_destroy(netlist);
    }
}

Test(play_page, the_series_of_one_event_begins_with_time) {
    baronet_netlist *netlist = ask_file(van);
    const baronet_question question = {.event = "kerb", .points = 21};
    baronet_answer *answer = ask(netlist, baronet_play, &question);
    ask_table read = ask_read_csv("kerb", ask_render(answer, BARONET_CSV, false));
    cr_expect_str_eq(read.field[0], "time [s]");
    cr_expect_str_eq(read.field[1], "front-left-air.height [mm]");
    cr_expect_eq(read.rows, 22, "a header and 21 rows, not %zu", read.rows);
    ask_free_csv(&read);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(play_page, the_series_of_all_events_names_each) {
    baronet_netlist *netlist = ask_file("netlists/beam.air");
    const baronet_question question = {.points = 5};
    baronet_answer *answer = ask(netlist, baronet_play, &question);
    ask_table read = ask_read_csv("beam", ask_render(answer, BARONET_CSV, false));
    cr_expect_str_eq(read.field[0], "event");
    cr_expect_str_eq(read.field[1], "time [s]");
    cr_expect_eq(read.rows, 1 + 4 * 5);
    ask_free_csv(&read);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(play_page, a_plot_is_drawn_of_what_is_asked_for) {
    baronet_netlist *netlist = ask_file(van);
    const baronet_question question = {.event = "bend-linked", .plot = "vehicle.roll"};
    baronet_answer *answer = ask(netlist, baronet_play, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("plot", page);
    ask_expect(page, "Event bend-linked: roll (vehicle), deg");
    cr_expect_not_null(strstr(page, "\xE2\xA0"), "braille characters");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(play_page, unknown_names_are_refused) {
    baronet_netlist *netlist = ask_file(van);
    const char *what = NULL;
    baronet_answer *answer = NULL;
    const baronet_question no_event = {.event = "picnic"};
    cr_expect_eq(baronet_play(netlist, &no_event, &answer, &what), BARONET_NO_SUCH_NAME);
    cr_expect_str_eq(what, "picnic");
    const baronet_question no_plot = {.event = "kerb", .plot = "kerb.stone"};
    cr_expect_eq(baronet_play(netlist, &no_plot, &answer, &what), BARONET_NO_SUCH_NAME);
    cr_expect_str_eq(what, "kerb.stone");
    baronet_netlist_destroy(netlist);
}

/* A bend that lasts to the end leans the body then; nothing is lost for ever. */
Test(play_page, what_a_bend_takes_is_lost_to_the_end_only) {
    char *page = ask_page("vehicle cg-height 1.2 m roll-axis 0.3 m\n"
                          "corner RL at 0 m 0.9 m load 1000 kg\n"
                          "corner RR at 0 m -0.9 m load 980 kg\n"
                          "profile p area 150 cm2 volume 9 L at 300 mm\n"
                          "spring l on RL profile p height 300 mm\n"
                          "spring r on RR profile p height 300 mm\n"
                          "event bend\n"
                          "      at 0 s  lateral 2 m/s2 over 0.5 s\n"
                          "      until 3.3 s\n",
                          baronet_play);
    ask_expect(page, "lost, and not regained by the end: RR at ");
    free(page);
}

#define PUMPED(last_row)                                                                           \
    "profile piston area 95 cm2 volume 2.9 L at 150 mm\n"                                          \
    "spring bag profile piston height 150 mm load 300 kg rated 8 bar\n"                            \
    "tank pot volume 1.1 L pressure 1.2 bar rated 9 bar\n"                                         \
    "solenoid gate from pot to bag normally closed bore 4 mm\n"                                    \
    "compressor pump to pot\n  pressure bar  flow L/min\n  0 31\n  " last_row "\n"                 \
    "state apart shut gate\n"                                                                      \
    "event pumped in apart until 20 s\n  at 9 s open gate\n"

/* A compressor above its table goes on along it, which is said; not where the table ends in
   nothing, or is not left. */
Test(play_page, a_compressor_above_its_table_is_told) {
    static const struct {
        const char *netlist;
        bool told;
    } cases[] = {{PUMPED("1.4 22"), true}, {PUMPED("12 19"), false}, {PUMPED("2.6 0"), false}};
    for (size_t k = 0; k < 3; k++) {
        char *page = ask_page(cases[k].netlist, baronet_play);
        cr_expect_eq(strstr(page, "above its table's last row") != NULL, cases[k].told, "%s", page);
        free(page);
    }
}

/* Parts that see more than they are rated for, at the side of the valve that was shut. */
Test(play_page, what_passes_a_rating_is_said) {
    char *page = ask_page("corner RL at 0 m 0.9 m load 1000 kg\n"
                          "corner RR at 0 m -0.9 m load 980 kg\n"
                          "profile p area 150 cm2 volume 9 L at 300 mm\n"
                          "spring l on RL profile p height 300 mm rated 12 bar\n"
                          "spring r on RR profile p height 300 mm\n"
                          "tank t volume 4 L pressure 11 bar rated 12 bar\ntee j\n"
                          "hose h from t to j bore 6 mm length 2 m rated 9 bar\n"
                          "solenoid v from j to l normally closed bore 3 mm rated 8 bar\n"
                          "state shut-off\n"
                          "event fill at 0 s open v at 1 s shut v at 1.2 s step roll 5 mm\n"
                          "      until 2 s\n",
                          baronet_play);
    ask_expect(page, "`h` reaches 11.0 bar at 0.00 s and is rated 9.00 bar");
    ask_expect(page, "`v` sees 11.0 bar at 0.00 s and is rated 8.00 bar");
    ask_expect(page, "a step of 5.00 mm in roll");
    cr_expect_null(strstr(page, "`t` reaches"));
    free(page);
}

/* 800 kg in a bend of 12 m/s2 lean on coils that gravity leaves 3.7 kN.m/rad of: 2 rad by hand. */
Test(play_page, a_body_that_tips_over_stops_the_run) {
    char *const page = ask_page("vehicle cg-height 0.9 m roll-axis 0.1 m roll-inertia 300 kg.m2\n"
                                "corner A at 0 m 0.5 m load 410 kg coil 20 N/mm damper 2 kN.s/m\n"
                                "corner B at 0 m -0.5 m load 390 kg coil 20 N/mm damper 2 kN.s/m\n"
                                "profile p area 90 cm2 volume 1.9 L at 150 mm\n"
                                "spring s load 300 kg profile p height 150 mm\n"
                                "event bend at 0 s lateral 12 m/s2 over 0.5 s until 9 s\n",
                                baronet_play);
    ask_expect(page, "the body tips over in roll: unstable");
    free(page);
}

/* On one row of wheels: hard braking turns it over its front, and a motion of its own has a name.
 */
Test(play_page, a_body_that_tips_over_in_pitch_says_so) {
    char *const page = ask_page("vehicle cg-height 0.9 m pitch-inertia 300 kg.m2\n"
                                "corner A at 0.5 m 0 m load 410 kg coil 20 N/mm damper 2 kN.s/m\n"
                                "corner B at -0.5 m 0 m load 390 kg coil 20 N/mm damper 2 kN.s/m\n"
                                "profile p area 90 cm2 volume 1.9 L at 150 mm\n"
                                "spring s load 300 kg profile p height 150 mm\n"
                                "motion nod A +1 B -0.5\n"
                                "event stop at 0 s braking 12 m/s2 over 0.5 s until 9 s\n"
                                "event dip at 0 s step nod 7 mm until 1 s\n",
                                baronet_play);
    ask_expect(page, "the body tips over in pitch: unstable.");
    ask_expect(page, "0.00 s  a step of 7.00 mm in nod");
    free(page);
}

/* A spring that is filled below a height and let out above nearly the same one. */
Test(play_page, a_hunting_condition_ends_the_run) {
    char *const page = ask_page("profile piston area 95 cm2 volume 2.9 L at 150 mm\n"
                                "spring bag profile piston height 150 mm load 300 kg\n"
                                "supply shop pressure 8 bar\n"
                                "solenoid fill from shop to bag normally closed bore 2 mm\n"
                                "solenoid dump from bag to atmosphere normally closed bore 2 mm\n"
                                "state apart shut fill dump\n"
                                "event hunt at 0 s open fill\n"
                                "  when height of bag above 160 mm shut fill open dump\n"
                                "  when height of bag below 159.99 mm open fill shut dump\n"
                                "  until 2 h\n",
                                baronet_play);
    ask_expect(page, "s: a condition switches to and fro without end.");
    ask_expect(page, "note: and more that is not listed");
    free(page);
}

/* A supply is held where it is, whatever is pumped into it. */
Test(play_page, a_compressor_into_a_supply_passes_no_table) {
    char *const page = ask_page("supply shop pressure 8 bar\ntank pot volume 1 L\n"
                                "restrictor feed from shop to pot bore 1 mm\n"
                                "compressor pump to shop\n  pressure bar flow L/min\n"
                                "  0 31\n  4 22\n"
                                "event cut at 0.5 s supply shop lost until 2 s\n",
                                baronet_play);
    ask_expect(page, "0.50 s  shop is lost");
    cr_expect_null(strstr(page, "above its table's last row"));
    free(page);
}
