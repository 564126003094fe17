/* The page of `rates`: one state after another. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "base/text.h"
#include "support.h"

static int times_in(const char *page, const char *part) {
    int count = 0;
    for (const char *c = page; (c = strstr(c, part)) != NULL; c++) {
        count++;
    }
    return count;
}

Test(rates_page, each_state_is_a_section) {
    char *const got = ask_page(AXLE AXLE_TANKS, baronet_rates);
    ask_check_page("axle", got);
    ask_expect(got, "State soft (open: left-gate and right-gate)\n");
    ask_expect(got, "State firm, de-energised (every solenoid shut)\n");
    cr_expect_eq(times_in(got, "\nState "), 2, "`rest` is `firm` and not said twice");
    cr_expect_eq(times_in(got, "Stiffness matrix, settled"), 2);
    cr_expect_null(strstr(got, "parked,"), "no bypass, so nothing is different when parked");
    free(got);
}

Test(rates_page, an_unanswered_state_says_why_and_the_others_stand) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS AXLE_DUMP);
    const baronet_question question = {.units = BARONET_METRIC};
    baronet_answer *answer = ask(netlist, baronet_rates, &question);
    cr_expect_eq(baronet_answer_status(answer), BARONET_FLAT);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("dump", page);
    ask_expect(page,
               "State down (open: dump)\n  No answer: flat: `left` is open to the atmosphere");
    ask_expect(page, "State soft (open: left-gate and right-gate)\n  Ride as felt: ");
    for (size_t i = 0; i < baronet_answer_figures(answer); i++) {
        cr_expect_str_neq(baronet_answer_figure(answer, i)->state, "down");
    }
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(rates_page, a_levelled_case_says_how_well) {
    baronet_netlist *netlist = ask_text(
        AXLE "solenoid link from left to right normally closed bore 6 mm\n"
             "state linked open link\nstate apart shut link\ncase feed RL +90 kg levelled\n"
             "case coal RL +90 kg\n");
    const struct {
        const char *state, *load_case, *words;
    } cases[] = {{"linked", "feed", "rounds: mean heights are within 0.000010 mm of design"},
                 {"apart", "feed", "note: levelled: mean heights are within "},
                 {"linked", "coal", NULL},
                 {"linked", NULL, NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const baronet_question question = {.state = cases[i].state,
                                           .load_case = cases[i].load_case};
        baronet_answer *answer = ask(netlist, baronet_rates, &question);
        const char *got = ask_render(answer, BARONET_TEXT, false);
        cr_expect_eq(ask_says(got, "note: levelled"), cases[i].words != NULL, "%zu: %s", i, got);
        cr_expect(cases[i].words == NULL || ask_says(got, cases[i].words), "%zu: %s", i, got);
        baronet_answer_destroy(answer);
    }
    baronet_netlist_destroy(netlist);
}

/* The numbers of the page are those of the figures, in the reader's units. */
Test(rates_page, the_page_shows_the_figures) {
    baronet_netlist *netlist = ask_text(AXLE AXLE_TANKS);
    const baronet_question question = {.state = "firm"};
    baronet_answer *answer = ask(netlist, baronet_rates, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    static const struct {
        const char *level, *quantity, *subject, *row;
        double factor;
    } cases[] = {
        {"settled", "heave_rate", "", "heave rate", 1e-3},
        {"", "load", "RL", "load on a scale", 1.0 / 9.80665},
        {"settled", "wheel_rate", "RL", "wheel rate, settled", 1e-3},
        {"ride", "ride_frequency", "RL", "ride frequency, ride", 1.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const double value = baronet_answer_value(answer, "firm", cases[i].level, cases[i].quantity,
                                                  cases[i].subject) *
                             cases[i].factor;
        const char *row = strstr(page, cases[i].row);
        cr_assert_not_null(row, "%s", cases[i].row);
        row += strlen(cases[i].row);
        row += strspn(row, " ");
        row += strcspn(row, " "); /* the unit */
        const double shown = strtod(row, NULL);
        cr_expect_float_eq(shown, value, 0.006 * value, "%s: %g, not %g", cases[i].row, shown,
                           value);
    }
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

Test(rates_page, what_a_bypass_does_has_rows_of_its_own) {
    char *const got =
        ask_page(BENCH "tank pot volume 2 L pressure 2 bar rated 12 bar\n"
                       "solenoid gate from bag to pot normally closed bore 6 mm bypass 0.5 mm\n",
                 baronet_rates);
    ask_check_page("bypass", got);
    ask_expect(got, "height shift, parked");
    ask_expect(got, "parked bar");
    free(got);
}

Test(rates_page, air_without_springs_is_a_page_too) {
    char *const got = ask_page(TANKS, baronet_rates);
    ask_check_page("tanks", got);
    ask_expect(got, "No spring, so nothing to ride on.");
    ask_expect(got, "other air");
    cr_expect_null(strstr(got, "at the wheels"));
    cr_expect_null(strstr(got, "Ride as felt"));
    free(got);
}

Test(rates_page, a_bench_has_no_vehicle) {
    char *const got = ask_page(BENCH, baronet_rates);
    ask_check_page("bench", got);
    ask_expect(got, "Ride as felt: 1.23 Hz bag.");
    cr_expect_null(strstr(got, "the whole vehicle"));
    cr_expect_null(strstr(got, "Stiffness matrix"));
    cr_expect_null(strstr(got, "Roll: "));
    free(got);
}

/* Forty corners and sixty tanks: what does not fit a page is counted, and CSV has it all. */
Test(rates_page, a_large_vehicle_is_cut_short_on_the_page_only) {
    text_buffer words = {0};
    text_buffer_add(&words, AXLE_SLEEVE);
    for (int k = 0; k < 20; k++) {
        for (int side = 0; side < 2; side++) {
            text_buffer_format(&words,
                               "corner C%d%c at -%d.3 m %s0.81 m load %d kg\n"
                               "spring s%d%c on C%d%c profile sleeve height 155 mm rated 9 bar\n",
                               k, "LR"[side], k, side == 0 ? "" : "-", 400 + 7 * k + 3 * side, k,
                               "LR"[side], k, "LR"[side]);
        }
    }
    for (int k = 0; k < 60; k++) {
        text_buffer_format(&words, "tank t%d volume 1.%d L pressure 3 bar rated 9 bar\n", k, k);
    }
    cr_assert_not(words.failed);
    baronet_netlist *netlist = ask_text(words.bytes);
    const baronet_question question = {.units = BARONET_METRIC};
    baronet_answer *answer = ask(netlist, baronet_rates, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("large", page);
    ask_expect(page, "and 20 more volumes; `--as csv` has all");
    cr_expect_null(strstr(page, "Stiffness matrix"));
    ask_expect(ask_render(answer, BARONET_CSV, false), "rates,rest,,,volume,t59,1.59,L\n");
    ask_expect(ask_render(answer, BARONET_CSV, false), ",settled,stiffness,C19R/C0L,");
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    text_buffer_free(&words);
}

/* Wheels and a bench in one list; of many springs the first are shown. */
Test(rates_page, wheels_and_many_masses) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, AXLE "profile piston area 95 cm2 volume 2.9 L at 150 mm\n");
    for (int k = 1; k <= 40; k++) {
        text_buffer_format(&netlist, "spring bag%d profile piston height 150 mm load %d kg\n", k,
                           290 + k);
    }
    char *const page = ask_page(netlist.bytes, baronet_rates);
    ask_expect(page, " Hz RL+RR, 1.2");
    ask_expect(page, "\n  bag38 ");
    cr_expect_null(strstr(page, "\n  bag39  3"), "%s", page);
    free(page);
    text_buffer_free(&netlist);
}
