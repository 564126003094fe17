/* SPDX-License-Identifier: MIT */
#include "output/inquiry.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"

#define SWITCHED                                                                                   \
    BENCH "tank pot volume 2 L rated 12 bar\n"                                                     \
          "solenoid gate from bag to pot normally closed bore 6 mm\n"                              \
          "state soft open gate\n"                                                                 \
          "case heavier bag 40 kg\n"

/* What a study says of a question that it does not take. */
static void expect_refusal(const char *words, baronet_question question, baronet_status expected,
                           const char *expected_what) {
    baronet_netlist *netlist = ask_text(words);
    for (const ask_study *study = ask_studies; study->name != NULL; study++) {
        if ((question.state != NULL && !study->states) ||
            (question.load_case != NULL && !study->cases)) {
            continue;
        }
        baronet_answer *answer = (baronet_answer *)&question; /* anything but NULL */
        const char *what = NULL;
        cr_expect_eq(study->study(netlist, &question, &answer, &what), expected, "%s", study->name);
        cr_expect_null(answer, "%s leaves no answer", study->name);
        cr_expect_eq(what, expected_what, "%s: %s", study->name, what);
        cr_expect_eq(study->study(netlist, &question, &answer, NULL), expected);
        cr_expect_null(answer);
    }
    baronet_netlist_destroy(netlist);
}

Test(inquiry, unknown_names_come_back) {
    static const char no_state[] = "sofft", no_case[] = "heavy";
    expect_refusal(SWITCHED, (baronet_question){.state = no_state}, BARONET_NO_SUCH_NAME, no_state);
    expect_refusal(SWITCHED, (baronet_question){.load_case = no_case}, BARONET_NO_SUCH_NAME,
                   no_case);
    /* A case is no state, nor a state a case. */
    static const char heavier[] = "heavier", soft[] = "soft", nothing[] = "";
    expect_refusal(SWITCHED, (baronet_question){.state = heavier}, BARONET_NO_SUCH_NAME, heavier);
    expect_refusal(SWITCHED, (baronet_question){.load_case = soft}, BARONET_NO_SUCH_NAME, soft);
    expect_refusal(SWITCHED, (baronet_question){.state = nothing}, BARONET_NO_SUCH_NAME, nothing);
}

Test(inquiry, an_empty_case_is_the_base_case) {
    baronet_netlist *netlist = ask_text(SWITCHED);
    const baronet_question base = {0}, empty = {.load_case = ""};
    baronet_answer *a = ask(netlist, baronet_rates, &base);
    baronet_answer *b = ask(netlist, baronet_rates, &empty);
    char *const first = strdup(ask_render(a, BARONET_TEXT, false));
    cr_expect_str_eq(ask_render(b, BARONET_TEXT, false), first);
    free(first);
    baronet_answer_destroy(a);
    baronet_answer_destroy(b);
    baronet_netlist_destroy(netlist);
}

/* The first lines of a page say what it is of: netlist, case, air, ambient, swing. */
Test(inquiry, a_title_says_what_the_page_is_of) {
    static const struct {
        const char *netlist, *load_case;
        baronet_unit_system units;
        double swing;
        const char *title;
    } cases[] = {
        {SWITCHED, NULL, BARONET_METRIC, 0.0,
         "Untitled netlist\n"
         "  base case; adiabatic air; ambient 1.01 bar absolute, 20.0 C; ride at a swing\n"
         "  of 10.0 mm\n"},
        {"about \"A rig (invented)\"\ngas isothermal\nambient pressure 98 kPa temperature 5 "
         "C\n" SWITCHED,
         "heavier", BARONET_SI, 0.025,
         "A rig (invented)\n"
         "  case heavier (unlevelled); isothermal air; ambient 98000 Pa absolute, 278 K;\n"
         "  ride at a swing of 0.0250 m\n"},
        {"gas exponent 1.38\n" SWITCHED, NULL, BARONET_IMPERIAL, 0.0254,
         "Untitled netlist\n"
         "  base case; air of fixed exponent 1.38; ambient 14.7 psi absolute, 68.0 F; ride\n"
         "  at a swing of 1.00 in\n"},
        {"gas thermal 6 s\n" BENCH "case up bag 10 kg levelled\n", "up", BARONET_METRIC, 0.0,
         "Untitled netlist\n"
         "  case up (levelled); air that exchanges heat within 6.00 s; ambient 1.01 bar\n"
         "  absolute, 20.0 C; ride at a swing of 10.0 mm\n"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        baronet_netlist *netlist = ask_text(cases[i].netlist);
        const baronet_question question = {.load_case = cases[i].load_case,
                                           .units = cases[i].units,
                                           .swing_amplitude = cases[i].swing};
        for (const ask_study *study = ask_studies; study->name != NULL; study++) {
            if (!study->cases) {
                continue; /* its title is its own */
            }
            baronet_answer *answer = ask(netlist, study->study, &question);
            const char *got = ask_render(answer, BARONET_TEXT, false);
            cr_expect(strncmp(got, cases[i].title, strlen(cases[i].title)) == 0,
                      "%s begins:\n%.300s", study->name, got);
            baronet_answer_destroy(answer);
        }
        baronet_netlist_destroy(netlist);
    }
}

/* Where the system cannot be charged there is a page that says why, and a header without rows. */
Test(inquiry, a_charge_that_fails_is_an_answer) {
    static const struct {
        const char *netlist, *words;
        baronet_status status;
    } cases[] = {
        {BENCH "tank pot volume 2 L rated 12 bar\n"
               "solenoid gate from bag to pot normally closed bore 6 mm\n",
         "`pot` is shut off from every spring", BARONET_NO_AIR},
        {"profile sleeve\n"
         "  height mm area cm2 volume L\n"
         "  110 79.0 0.98\n"
         "  160 76.5 1.37\n"
         "corner RL at 0 m 0.8 m load 400 kg\n"
         "spring bag on RL profile sleeve height 150 mm pressure 3 bar\n",
         "give two of load, height and pressure", BARONET_CONTRADICTION},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        baronet_netlist *netlist = ask_text(cases[i].netlist);
        const baronet_question question = {0};
        for (const ask_study *study = ask_studies; study->name != NULL; study++) {
            if (strcmp(study->name, "draw") == 0) {
                continue; /* a drawing needs no pressures */
            }
            baronet_answer *answer = ask(netlist, study->study, &question);
            cr_expect_eq(baronet_answer_status(answer), cases[i].status, "%s: %s", study->name,
                         baronet_status_text(baronet_answer_status(answer)));
            const char *got = ask_render(answer, BARONET_TEXT, false);
            ask_check_page(study->name, got);
            ask_expect(got, "The system cannot be charged");
            ask_table read = ask_read_csv(study->name, ask_render(answer, BARONET_CSV, false));
            cr_expect_eq(read.rows, 1);
            /* What an event or a fault would have shown is not known before it runs. */
            const bool known = study->states && strcmp(study->name, "faults") != 0;
            cr_expect(!known || (strcmp(read.field[0], "study") != 0) == study->series, "%s: %s",
                      study->name, read.field[0]);
            ask_free_csv(&read);
            baronet_answer_destroy(answer);
        }
        baronet_netlist_destroy(netlist);
    }
}

static char *rig_with_solenoids(int count) {
    text_buffer words = {0};
    text_buffer_add(&words, BENCH);
    for (int k = 0; k < count; k++) {
        text_buffer_format(&words,
                           "tank t%d volume %d mL pressure 3 bar rated 12 bar\n"
                           "solenoid v%d from bag to t%d normally closed bore 6 mm\n",
                           k, 500 + 90 * k, k, k);
    }
    cr_assert_not(words.failed);
    return words.bytes;
}

Test(inquiry, too_many_solenoids_are_refused_in_a_sentence) {
    char *const words = rig_with_solenoids(13);
    baronet_netlist *netlist = ask_text(words);
    const baronet_question question = {.all = true};
    baronet_answer *answer = NULL;
    const char *what = NULL;
    cr_expect_eq(baronet_states(netlist, &question, &answer, &what), BARONET_TOO_MANY);
    cr_expect_null(answer);
    cr_assert_not_null(what);
    ask_expect(what, "12 solenoids at most");
    const baronet_question named = {0};
    baronet_answer_destroy(ask(netlist, baronet_states, &named));
    baronet_netlist_destroy(netlist);
    free(words);
}

/* A small spring at low pressure that swings far: what is felt is then no figure, as each page that
   rests on it says. */
/* Twelve solenoids may be, but not with so many volumes. */
Test(inquiry, too_many_volumes_are_refused_in_a_sentence) {
    text_buffer words = {0};
    text_buffer_add(&words, BENCH);
    for (int k = 0; k < 12; k++) {
        text_buffer_format(&words,
                           "tank t%d volume 1 L pressure 3 bar\n"
                           "solenoid v%d from bag to t%d normally closed bore 4 mm\n",
                           k, k, k);
    }
    for (int k = 0; k < 4900; k++) {
        text_buffer_format(&words, "supply s%d pressure 3 bar\n", k);
    }
    baronet_netlist *netlist = ask_text(words.bytes);
    baronet_answer *answer = NULL;
    const char *what = NULL;
    cr_expect_eq(baronet_states(netlist, &(baronet_question){.all = true}, &answer, &what),
                 BARONET_TOO_MANY);
    cr_expect_str_eq(what, "there are too many volumes to look at every combination of the "
                           "solenoids; name the states that matter");
    cr_expect_null(answer);
    baronet_netlist_destroy(netlist);
    text_buffer_free(&words);
}

Test(inquiry, a_swing_below_vacuum_is_cautioned) {
    static const struct {
        baronet_study *study;
        const char *words;
    } cases[] = {{baronet_rates, "at this swing a pressure would pass below vacuum"},
                 {baronet_response, "at some frequency a pressure would pass below vacuum"},
                 {baronet_times, "in some swing a pressure would pass below vacuum"}};
    baronet_netlist *netlist = ask_text("profile p area 95 cm2 volume 0.4 L at 150 mm\n"
                                        "corner A at 0 m 0 m load 30 kg coil 2 N/mm\n"
                                        "spring s on A profile p height 150 mm\n"
                                        "tank t volume 0.2 L\n"
                                        "hose h from s to t bore 3 mm length 2 m\n");
    for (size_t k = 0; k < sizeof cases / sizeof cases[0]; k++) {
        for (int far = 0; far < 2; far++) {
            const baronet_question question = {
                .swing_amplitude = far ? 0.09 : 0.004, .swing_frequency = 8.0, .points = 9};
            baronet_answer *answer = ask(netlist, cases[k].study, &question);
            const char *shown = ask_render(answer, BARONET_TEXT, false);
            if (far) {
                ask_expect(shown, cases[k].words);
            } else {
                cr_expect_null(strstr(shown, "below vacuum"), "%s", shown);
            }
            baronet_answer_destroy(answer);
        }
    }
    baronet_netlist_destroy(netlist);
}
