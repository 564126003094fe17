/* One contract for every renderer, every study and every demonstration: each figure arrives, each
   page keeps within its width, in each system of units, state, case and combination.
   SPDX-License-Identifier: MIT */
#include "baronet/answer.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "base/text.h"
#include "flat.h"
#include "netlist/netlist.h"
#include "output/picture.h"
#include "studies/demos.h"
#include "support.h"

static const char *const systems[] = {"metric", "imperial", "si"};

/* One question, in every format. */
static void check_answer(const char *path, const ask_study *study, const baronet_netlist *netlist,
                         const baronet_question *question) {
    char what[256];
    snprintf(what, sizeof what, "%s %s --units %s --state %s --case %s%s", study->name, path,
             systems[question->units], question->state != NULL ? question->state : "(all)",
             question->load_case != NULL ? question->load_case : "(base)",
             question->all ? " --all" : "");
    baronet_answer *answer = ask(netlist, study->study, question);
    const char *const words = ask_render(answer, BARONET_TEXT, false);
    ask_check_page(what, words);
    cr_expect(!ask_says(words, "nearly singular") && !ask_says(words, "so little holds it"),
              "%s: every demonstration is well conditioned", what);
    if (study->series) {
        ask_table read = ask_read_csv(what, ask_render(answer, BARONET_CSV, false));
        cr_expect(read.rows > 1 || !study->states, "%s: no rows", what);
        ask_free_csv(&read);
    } else {
        ask_check_figures(what, answer, question->units);
    }
    flat_check(what, answer, study->name);
    baronet_answer_destroy(answer);
}

/* Each system of units with all states and with each; each case in the first system. */
static void check_demonstration(const char *path, const ask_study *study) {
    baronet_netlist *netlist = ask_file(path);
    for (int units = BARONET_METRIC; units <= BARONET_SI; units++) {
        baronet_question question = {.units = (baronet_unit_system)units};
        check_answer(path, study, netlist, &question);
        for (size_t k = 0; baronet_netlist_state(netlist, k) != NULL; k++) {
            question.state = baronet_netlist_state(netlist, k);
            check_answer(path, study, netlist, &question);
        }
    }
    for (size_t k = 0; baronet_netlist_case(netlist, k) != NULL; k++) {
        const baronet_question question = {.load_case = baronet_netlist_case(netlist, k)};
        check_answer(path, study, netlist, &question);
    }
    baronet_netlist_destroy(netlist);
}

static void check_study(const char *name) {
    for (const ask_study *study = ask_studies; study->name != NULL; study++) {
        for (const char *const *path = demos; *path != NULL && strcmp(study->name, name) == 0;
             path++) {
            check_demonstration(*path, study);
        }
    }
}

Test(view, check_arrives_whole) {
    check_study("check");
}

Test(view, rates_arrive_whole) {
    check_study("rates");
}

Test(view, states_arrive_whole) {
    check_study("states");
}

Test(view, strokes_arrive_whole) {
    check_study("stroke");
}

/* These take seconds each, so they are asked in one state of each demonstration. */
static void check_slow_study(const char *name) {
    for (const ask_study *study = ask_studies; study->name != NULL; study++) {
        for (const char *const *path = demos; *path != NULL && strcmp(study->name, name) == 0;
             path++) {
            baronet_netlist *netlist = ask_file(*path);
            const size_t last = baronet_netlist_case(netlist, 0) != NULL ? 1 : 0;
            const baronet_question question = {.state = baronet_netlist_state(netlist, last),
                                               .load_case = baronet_netlist_case(netlist, 0),
                                               .units = (baronet_unit_system)(strlen(*path) % 3)};
            check_answer(*path, study, netlist, &question);
            baronet_netlist_destroy(netlist);
        }
    }
}

Test(view, times_arrive_whole) {
    check_slow_study("times");
}

Test(view, responses_arrive_whole) {
    check_slow_study("response");
}

Test(view, rides_arrive_whole) {
    check_slow_study("ride");
}

Test(view, events_arrive_whole) {
    check_slow_study("play");
}

Test(view, faults_arrive_whole) {
    check_slow_study("faults");
}

Test(view, parts_arrive_whole) {
    check_slow_study("parts");
}

/* What a design study is asked of any demonstration: the air's warmth against a spring's pressure.
 */
static void check_design(const ask_study *study, const char *words, const char *bound) {
    const baronet_change change = {words, NULL};
    for (const char *const *path = demos; *path != NULL; path++) {
        baronet_netlist *netlist = ask_file(*path);
        char wish[128];
        snprintf(wish, sizeof wish, "pressure of %s%s",
                 netlist_model(netlist)->vehicle.spring[0].name, bound);
        const char *const wishes[] = {wish};
        const baronet_question question = {.state = baronet_netlist_state(netlist, 0),
                                           .change = &change,
                                           .changes = 1,
                                           .wish = wishes,
                                           .wishes = 1,
                                           .points = 3,
                                           .runs = 50};
        check_answer(*path, study, netlist, &question);
        baronet_netlist_destroy(netlist);
    }
}

Test(view, design_arrives_whole) {
    static const ask_study vary = {"vary", baronet_vary, true, false, true, true},
                           size = {"size", baronet_size, true, false, true, true},
                           spread = {"spread", baronet_spread, true, false, true, true};
    check_design(&vary, "ambient.temperature=5C..35C", "");
    check_design(&size, "ambient.temperature=5C..35C", " above 1.5 bara");
    check_design(&spread, "ambient.temperature=+-10C", "");
}

Test(view, a_report_arrives_whole) {
    static const ask_study report = {"report", baronet_report, false, false, true, true};
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    const baronet_question question = {.units = BARONET_IMPERIAL};
    check_answer("netlists/rear.air", &report, netlist, &question);
    baronet_netlist_destroy(netlist);
}

/* Both ways of setting out many states: side by side, and as a list. */
Test(view, every_combination_arrives_whole) {
    static const char *const paths[] = {"netlists/beam.air", "netlists/bench.air",
                                        "netlists/camper.air", "netlists/rear.air"};
    const ask_study states = {"states", baronet_states, false, true, true, true};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        baronet_netlist *netlist = ask_file(paths[i]);
        const baronet_question question = {.all = true, .units = (baronet_unit_system)(i % 3)};
        check_answer(paths[i], &states, netlist, &question);
        baronet_netlist_destroy(netlist);
    }
}

/* Names of 200 letters, wherever a name may stand. */
Test(view, long_names_arrive_whole) {
    char name[201];
    memset(name, 'n', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    text_buffer words = {0};
    text_buffer_format(&words,
                       "profile p%1$s area 95 cm2 volume 2.9 L at 150 mm\n"
                       "spring s%1$s profile p%1$s height 150 mm load 300 kg rated 8 bar\n"
                       "tank t%1$s volume 2 L rated 9 bar\n"
                       "solenoid g%1$s from s%1$s to t%1$s normally closed bore 5 mm\n"
                       "state x%1$s open g%1$s\nstate y%1$s shut g%1$s\n"
                       "case c%1$s s%1$s 20 kg\n"
                       "event e%1$s at 0.1 s load s%1$s 10 kg until 1 s\n"
                       "require spring_rate of s%1$s below 30 N/mm in x%1$s\n",
                       name);
    cr_assert_not(words.failed);
    baronet_netlist *netlist = ask_text(words.bytes);
    for (const ask_study *study = ask_studies; study->name != NULL; study++) {
        const baronet_question question = {.load_case = baronet_netlist_case(netlist, 0)};
        check_answer("long names", study, netlist, &question);
    }
    baronet_netlist_destroy(netlist);
    text_buffer_free(&words);
}

/* Three hundred named states, and the most solenoids whose every combination is looked at. */
Test(view, many_states_arrive_whole) {
    text_buffer words = {0};
    text_buffer_add(&words, "profile p area 95 cm2 volume 2.9 L at 150 mm\n"
                            "spring bag profile p height 150 mm load 300 kg rated 8 bar\n");
    for (int k = 0; k < 12; k++) {
        text_buffer_format(&words,
                           "tank t%d volume 1.%d L pressure 3 bar rated 9 bar\n"
                           "solenoid g%d from %s to t%d normally closed bore 5 mm\n",
                           k, k, k, k < 3 ? "bag" : "t0", k == 0 ? 11 : k);
    }
    for (int k = 0; k < 300; k++) {
        text_buffer_format(&words, "state s%d %s g0\n", k, k % 2 == 0 ? "open" : "shut");
    }
    cr_assert_not(words.failed);
    baronet_netlist *netlist = ask_text(words.bytes);
    for (const ask_study *study = ask_studies; study->quick; study++) {
        const baronet_question question = {.points = 3};
        check_answer("300 states", study, netlist, &question);
    }
    const baronet_question every = {.all = true};
    const ask_study states = {"states", baronet_states, false, true, true, true};
    check_answer("300 states", &states, netlist, &every);
    baronet_netlist_destroy(netlist);
    text_buffer_free(&words);
}

/* A figure of an answer in another system is the same figure. */
Test(view, systems_of_units_agree) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    baronet_question question = {.units = BARONET_SI};
    baronet_answer *si = ask(netlist, baronet_rates, &question);
    for (int units = BARONET_METRIC; units < BARONET_SI; units++) {
        question.units = (baronet_unit_system)units;
        baronet_answer *other = ask(netlist, baronet_rates, &question);
        cr_assert_eq(baronet_answer_figures(si), baronet_answer_figures(other));
        for (size_t i = 0; i < baronet_answer_figures(si); i++) {
            const baronet_figure *a = baronet_answer_figure(si, i);
            const baronet_figure *b = baronet_answer_figure(other, i);
            cr_expect_str_eq(a->quantity, b->quantity);
            CHECK_REL(b->value, a->value, 1e-15, "values are SI whatever is printed");
        }
        baronet_answer_destroy(other);
    }
    baronet_answer_destroy(si);
    baronet_netlist_destroy(netlist);
}

Test(view, formats_are_found_by_name) {
    for (int k = 0; k < BARONET_FORMATS; k++) {
        const char *name = baronet_format_name((baronet_format)k);
        cr_expect_eq((int)baronet_format_find(name), k, "%s", name);
    }
    static const char *const unknown[] = {"", "TEXT", "csv ", "tex"};
    for (size_t k = 0; k < sizeof unknown / sizeof unknown[0]; k++) {
        cr_expect_eq((int)baronet_format_find(unknown[k]), BARONET_FORMATS, "%s", unknown[k]);
    }
}

/* Rendering leaves the answer as it was: any order, any number of times. */
Test(view, renders_again_and_again) {
    baronet_netlist *netlist = ask_file("netlists/bench.air");
    const baronet_question question = {0};
    baronet_answer *answer = ask(netlist, baronet_states, &question);
    char *first = strdup(ask_render(answer, BARONET_TEXT, false));
    char *figures = strdup(ask_render(answer, BARONET_CSV, false));
    cr_expect_str_neq(first, ask_render(answer, BARONET_TEXT, true));
    cr_expect_str_eq(first, ask_render(answer, BARONET_TEXT, false));
    cr_expect_str_eq(figures, ask_render(answer, BARONET_CSV, true), "CSV has no colour");
    free(first);
    free(figures);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}

/* One study with memory that ends at a request, then each renderer the same way. */
static bool survives(const baronet_netlist *netlist, failing *f, size_t k, const ask_study *study,
                     const baronet_question *question) {
    const size_t live = f->live;
    baronet_answer *answer = NULL;
    f->failed = false;
    f->fail_at = f->calls + k;
    const baronet_status status = study->study(netlist, question, &answer, NULL);
    bool failed = f->failed;
    cr_expect_eq(status, failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "%s, request %zu: %s",
                 study->name, k, baronet_status_text(status));
    cr_expect_eq(status == BARONET_OK, answer != NULL);
    for (int format = 0; format < BARONET_FORMATS && answer != NULL; format++) {
        const char *bytes = NULL;
        size_t length = 0;
        f->failed = false;
        f->fail_at = f->calls + k;
        const baronet_status rendered =
            baronet_answer_render(answer, (baronet_format)format, false, &bytes, &length);
        cr_expect_eq(rendered, f->failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        failed = failed || f->failed;
        f->failed = false;
        f->fail_at = 0;
        cr_expect_eq(baronet_answer_render(answer, (baronet_format)format, false, &bytes, &length),
                     BARONET_OK, "memory is back, and so is the page");
    }
    f->failed = false;
    f->fail_at = 0;
    baronet_answer_destroy(answer);
    cr_expect_eq(f->live, live, "%s, request %zu: %zu blocks left", study->name, k, f->live - live);
    return failed;
}

static void run_out_of_memory(const char *path, const ask_study *study, baronet_question question,
                              size_t stride) {
    failing f;
    const baronet_allocator *allocator = failing_start(&f, 0);
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *netlist = NULL;
    cr_assert_eq(baronet_netlist_read(path, NULL, allocator, said, &netlist), BARONET_OK);
    size_t k = 1;
    while (survives(netlist, &f, k, study, &question)) {
        k += k < 100 ? 1 : stride;
    }
    cr_expect_gt(k, 20, "%s asks for memory only %zu times?", study->name, k);
    baronet_netlist_destroy(netlist);
    baronet_diagnostics_destroy(said);
    cr_expect_eq(f.live, 0);
}

Test(view, survives_running_out_of_memory) {
    for (const ask_study *study = ask_studies; study->name != NULL; study++) {
        const baronet_question question = {.points = 5, .state = study->quick ? NULL : "soft"};
        run_out_of_memory("netlists/rear.air", study, question, study->quick ? 1 : 37);
    }
}

Test(view, survives_running_out_of_memory_with_parked_air) {
    const baronet_question question = {.state = "with-small", .points = 5};
    for (const ask_study *study = ask_studies; study->name != NULL; study++) {
        run_out_of_memory("netlists/bench.air", study, question, study->quick ? 1 : 37);
    }
}

Test(view, survives_running_out_of_memory_over_every_combination) {
    const ask_study states = {"states", baronet_states, false, true, true, true};
    const baronet_question question = {.all = true};
    run_out_of_memory("netlists/bench.air", &states, question, 1);
}

/* A page of all kinds of blocks, figures and a series. */
static page *full_page(void) {
    static const char *const header[] = {"what", NULL, "soft"}, *const labels[] = {"corner"};
    static const series_column columns[] = {{"travel", BARONET_LENGTH}, {"share", BARONET_NUMBER}};
    page *p = page_create(NULL, BARONET_METRIC);
    page_add(p, BLOCK_TITLE, "A van (invented)");
    page_add(p, BLOCK_CHAPTER, "In short");
    page_add(p, BLOCK_LEAD, "soft: it `rides`.");
    table_values(page_table(p, 3, 2, header), "rate", BARONET_STIFFNESS, 1,
                 (const double[]){23.4e3});
    picture *c = page_picture(p, "rate", (picture_axis){"time", BARONET_TIME, false},
                              (picture_axis){"load", BARONET_FORCE, false});
    picture_add(c, "left", 3, (const double[]){1.0, 2.0, 4.0}, (const double[]){5.0, 9.0, 3.0});
    picture_add(c, "right", 2, (const double[]){1.0, 4.0}, (const double[]){6.0, 8.0});
    picture_mark_at(c, 3.0, "a switch is thrown");
    picture_ask(c);
    page_add(p, BLOCK_CAUTION, "it may fall");
    page_add(p, BLOCK_LISTING, "tank t # invented");
    const baronet_figure one = {"rates", "soft", "", "settled", "load", "RL", 1.5, BARONET_FORCE};
    p->figure = malloc(sizeof one);
    cr_assert_not_null(p->figure);
    *p->figure = one;
    p->figures = p->figure_capacity = 1;
    series_column many[60];
    double values[60];
    for (int k = 0; k < 60; k++) {
        many[k] = columns[k % 2];
        values[k] = 0.12345 * k;
    }
    series_add(page_series(p, 1, labels, 60, many), (const char *const[]){"RL"}, values);
    return p;
}

/* Whichever request for memory is refused, and all after it or that one alone, each renderer says
   so; else its bytes are those that it always gives. */
Test(view, each_renderer_tells_of_any_refusal) {
    page *p = full_page();
    for (int format = 0; format < BARONET_FORMATS; format++) {
        const char *bytes = NULL;
        size_t length = 0;
        cr_assert_eq(baronet_answer_render(p, (baronet_format)format, true, &bytes, &length),
                     BARONET_OK);
        char *const whole = strndup(bytes, length);
        failing f = {.failed = true};
        for (size_t k = 1; f.failed; k++) {
            text_buffer_free(&p->rendered);
            p->allocator = failing_start(&f, k);
            p->rendered.allocator = p->allocator;
            const baronet_status status =
                baronet_answer_render(p, (baronet_format)format, true, &bytes, &length);
            cr_expect_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "%s, request %zu",
                         baronet_format_name((baronet_format)format), k);
            cr_expect(f.failed || strcmp(bytes, whole) == 0);
            text_buffer_free(&p->rendered);
            cr_expect_eq(f.live, 0);
            p->allocator = p->rendered.allocator = NULL;
        }
        free(whole);
    }
    baronet_answer_destroy(p);
}

/* What a page could not hold is not shown as if it were all. */
Test(view, a_page_that_failed_is_not_rendered) {
    page *p = full_page();
    p->failed = true;
    const char *bytes = NULL;
    size_t length = 0;
    cr_expect_eq(baronet_answer_render(p, BARONET_CSV, false, &bytes, &length),
                 BARONET_OUT_OF_MEMORY);
    cr_expect_null(bytes);
    baronet_answer_destroy(p);
}

/* Nothing to say is no bytes, not no answer. */
Test(view, an_empty_page_is_empty_text) {
    page *p = page_create(NULL, BARONET_METRIC);
    const char *bytes = NULL;
    size_t length = 1;
    cr_assert_eq(baronet_answer_render(p, BARONET_TEXT, false, &bytes, &length), BARONET_OK);
    cr_expect_str_eq(bytes, "");
    cr_expect_eq(length, 0);
    page_add(p, BLOCK_TITLE, "");
    cr_assert_eq(baronet_answer_render(p, BARONET_TEXT, false, &bytes, &length), BARONET_OK);
    cr_expect_str_eq(bytes, "\n");
    baronet_answer_destroy(p);
}
