/* The page of `play`: its summary, its series, its plot. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
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
