/* The page of `report`: the answer first, each study once, the netlist and its fingerprint.
   SPDX-License-Identifier: MIT */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "axle.h"
#include "netlist/sample.h"
#include "output/picture.h"
#include "support.h"

/* A report on some text or, where that is NULL, on a file. */
typedef struct reported {
    baronet_netlist *netlist;
    baronet_answer *answer;
} reported;

static reported report_on(const char *words, const char *path, const baronet_question *question) {
    reported r = {.netlist = words != NULL ? ask_text(words) : ask_file(path)};
    r.answer = ask(r.netlist, baronet_report, question);
    return r;
}

static void reported_free(reported *r) {
    baronet_answer_destroy(r->answer);
    baronet_netlist_destroy(r->netlist);
}

static const block *chapter(const page *p, const char *words) {
    const block *b = p->first;
    while (b != NULL && (b->kind != BLOCK_CHAPTER || strcmp(b->text, words) != 0)) {
        b = b->next;
    }
    return b;
}

Test(report_page, begins_with_the_answer_and_ends_with_the_fingerprint) {
    const baronet_question question = {0};
    reported r = report_on(NULL, "netlists/rear.air", &question);
    static const char *const chapters[] = {
        "In short",
        "Cautions",
        "Plumbing and valves",
        "Valve states side by side",
        "Pressures, heights and rates",
        "Over the travel",
        "How fast air evens out",
        "From slow to quick",
        "Ride, comfort and load",
        "Single failures",
        "Parts, ratings and wiring",
        "What the figures rest on",
        "Netlist",
        "How well it was solved",
        "About this report",
    };
    size_t k = 0;
    for (const block *b = r.answer->first; b != NULL; b = b->next) {
        if (b->kind == BLOCK_CHAPTER) {
            cr_assert_lt(k, sizeof chapters / sizeof chapters[0], "one more: %s", b->text);
            cr_expect_str_eq(b->text, chapters[k++]);
        }
    }
    cr_expect_eq(k, sizeof chapters / sizeof chapters[0]);
    cr_expect_eq(r.answer->first->kind, BLOCK_TITLE);
    reported_free(&r);
}

/* A plan for each state, in a section of that state, and a list for those who cannot see it. */
Test(report_page, draws_the_plumbing_of_each_state) {
    const baronet_question question = {0};
    reported r = report_on(AXLE AXLE_TANKS, NULL, &question);
    static const char *const states[] = {"soft", "firm"};
    size_t plans = 0, paths = 0;
    for (const block *b = chapter(r.answer, "Plumbing and valves")->next;
         b != NULL && b->kind != BLOCK_CHAPTER; b = b->next) {
        if (b->kind == BLOCK_PLAN) {
            cr_assert_lt(plans, 2);
            cr_expect_str_eq(b->state, states[plans++]);
        }
        paths += b->kind == BLOCK_TABLE && strcmp(b->table->header[0], "path") == 0;
    }
    cr_expect_eq(plans, 2);
    cr_expect_eq(paths, 1);
    reported_free(&r);
}

/* Stiffness over frequency, a curve a state: as many points as `response` gives for each. */
Test(report_page, draws_states_side_by_side) {
    const baronet_question question = {.points = 150};
    reported r = report_on(AXLE AXLE_TANKS, NULL, &question);
    const block *b = chapter(r.answer, "From slow to quick");
    cr_assert_not_null(b);
    static const char *const titles[] = {"All states: stiffness in heave",
                                         "All states: stiffness in roll"};
    for (size_t k = 0; k < 2; k++) {
        b = b->next;
        cr_assert_eq(b->kind, BLOCK_PICTURE);
        cr_expect_str_eq(b->picture->title, titles[k]);
        cr_expect_eq(b->picture->curves, 2);
        cr_expect_str_eq(b->picture->first->name, "soft");
        cr_expect_eq(b->picture->first->points, 150);
        /* open tanks are softer when slow; at high frequency their hose-less gates still pass air
         */
        cr_expect_lt(b->picture->first->y[0], b->picture->last->y[0]);
    }
    cr_expect_neq(b->next->kind, BLOCK_PICTURE);
    reported_free(&r);
}

/* The changes of docs/comparing-states.md's axle, from the states' own figures. */
Test(report_page, says_what_each_state_does) {
    const baronet_question question = {0};
    reported r = report_on(NULL, "netlists/rear.air", &question);
    baronet_answer *states = ask(r.netlist, baronet_states, &question);
    double ride[2] = {0.0, 0.0};
    static const char *const names[] = {"soft", "firm"};
    for (int k = 0; k < 2; k++) {
        ride[k] = 0.5 * (baronet_answer_value(states, names[k], "ride", "ride_frequency", "RL") +
                         baronet_answer_value(states, names[k], "ride", "ride_frequency", "RR"));
    }
    const double lean = baronet_answer_value(states, "firm", "ride", "roll_gradient", "") /
                        baronet_answer_value(states, "soft", "ride", "roll_gradient", "");
    text_buffer expected = {0};
    text_buffer_add(&expected, "firm against soft: ride ");
    text_buffer_fixed(&expected, 100.0 * (ride[1] / ride[0] - 1.0), 0);
    text_buffer_add(&expected, " % quicker; lean in bends ");
    text_buffer_fixed(&expected, 100.0 * (1.0 - lean), 0);
    text_buffer_add(&expected, " % less; bumps of one wheel ");
    bool found = false;
    for (const block *b = r.answer->first; b != NULL; b = b->next) {
        found = found ||
                (b->kind == BLOCK_LEAD && strncmp(b->text, expected.bytes, expected.length) == 0);
    }
    cr_expect(found, "%s", expected.bytes);
    text_buffer_free(&expected);
    baronet_answer_destroy(states);
    reported_free(&r);
}

Test(report_page, counts_what_is_required_and_what_stands) {
    const baronet_question question = {0};
    reported r = report_on(AXLE AXLE_TANKS "require roll_rate above 9000 N.m/deg settled in firm\n"
                                           "require roll_rate above 90 N.m/deg settled in firm\n",
                           NULL, &question);
    cr_expect_eq(baronet_answer_status(r.answer), BARONET_NOT_MET);
    const char *words = ask_render(r.answer, BARONET_TEXT, false);
    ask_expect(words, "It stands in all 2 valve states; 1 of 2 requirements met, 1 NOT MET.");
    ask_expect(words, "With no current on any solenoid it is in firm.");
    cr_expect_not_null(chapter(r.answer, "Requirements"));
    reported_free(&r);
    r = report_on(AXLE AXLE_TANKS AXLE_DUMP, NULL, &question);
    words = ask_render(r.answer, BARONET_TEXT, false);
    ask_expect(words, "2 of 3 valve states have an answer.");
    reported_free(&r);
}

/* `printf %s TEXT | sha256sum` of coreutils. */
Test(report_page, tells_the_fingerprint_of_its_files) {
    const baronet_question question = {0};
    reported r = report_on(BENCH, NULL, &question);
    const char *words = ask_render(r.answer, BARONET_TEXT, false);
    ask_expect(words, "x.air");
    ask_expect(words, "fed846a6283c6930c4a07df3baf9a06279ecdad37bcfe75aac2531de678821d5");
    const block *listing = chapter(r.answer, "Netlist");
    while (listing != NULL && listing->kind != BLOCK_LISTING) {
        listing = listing->next;
    }
    cr_assert_not_null(listing);
    cr_expect_str_eq(listing->text, BENCH);
    reported_free(&r);
}

Test(report_page, has_a_date_only_where_one_is_given) {
    baronet_question question = {0};
    reported r = report_on(BENCH, NULL, &question);
    cr_expect_null(strstr(ask_render(r.answer, BARONET_TEXT, false), "Date: "));
    reported_free(&r);
    question.date = 1000000000; /* 2001-09-09 01:46:40 UTC, `date -u -d @1000000000` */
    r = report_on(BENCH, NULL, &question);
    ask_expect(ask_render(r.answer, BARONET_TEXT, false), "Date: 2001-09-09.");
    reported_free(&r);
}

/* What every page says is said once. */
Test(report_page, repeats_no_caution) {
    const baronet_question question = {0};
    reported r = report_on(NULL, "netlists/trailer.air", &question);
    int safety = 0;
    for (const block *b = r.answer->first; b != NULL; b = b->next) {
        safety += b->kind == BLOCK_CAUTION && strstr(b->text, "can kill") != NULL;
        cr_expect(b->kind != BLOCK_HEADING || strcmp(b->text, "Cautions and notes") != 0);
    }
    cr_expect_eq(safety, 1, "%d", safety);
    reported_free(&r);
}

static void note_progress(void *context, const char *study, int done, int count) {
    int *calls = context;
    cr_expect_eq(done, *calls, "%s", study);
    cr_expect_lt(done, count);
    ++*calls;
}

Test(report_page, tells_how_far_it_is) {
    int calls = 0;
    const baronet_question question = {.progress = note_progress, .progress_context = &calls};
    reported r = report_on(BENCH, NULL, &question);
    cr_expect_gt(calls, 8);
    reported_free(&r);
}

/* A system that cannot be charged, air without springs, a name that is not there. */
Test(report_page, says_what_has_no_answer) {
    const baronet_question question = {0};
    reported r = report_on(BENCH "tank t volume 2 L rated 9 bar\n"
                                 "solenoid g from bag to t normally closed bore 5 mm\n"
                                 "state shut-off shut g\n",
                           NULL, &question);
    cr_expect_neq(baronet_answer_status(r.answer), BARONET_OK);
    ask_expect(ask_render(r.answer, BARONET_TEXT, false), "cannot be charged");
    cr_expect_not_null(chapter(r.answer, "Netlist"));
    reported_free(&r);
    r = report_on(TANKS, NULL, &question);
    cr_expect_not_null(chapter(r.answer, "In short"));
    reported_free(&r);
    baronet_netlist *netlist = ask_text(BENCH);
    const baronet_question wrong = {.state = "nowhere"};
    baronet_answer *answer = NULL;
    const char *what = NULL;
    cr_expect_eq(baronet_report(netlist, &wrong, &answer, &what), BARONET_NO_SUCH_NAME);
    cr_expect_str_eq(what, "nowhere");
    cr_expect_null(answer);
    baronet_netlist_destroy(netlist);
}

Test(report_page, is_the_same_every_time_and_in_one_state) {
    const baronet_question question = {.state = "firm", .units = BARONET_IMPERIAL};
    reported a = report_on(NULL, "netlists/rear.air", &question);
    reported b = report_on(NULL, "netlists/rear.air", &question);
    cr_expect_str_eq(ask_render(a.answer, BARONET_HTML, false),
                     ask_render(b.answer, BARONET_HTML, false));
    reported_free(&a);
    reported_free(&b);
    const baronet_question soft = {.state = "soft"};
    a = report_on(NULL, "netlists/rear.air", &soft);
    const char *words = ask_render(a.answer, BARONET_TEXT, false);
    ask_expect(words, "It stands in soft.");
    cr_expect_null(strstr(words, "no current on any"));
    reported_free(&a);
}

/* The text of a report, to be freed. */
static char *words_of(const char *netlist, const char *with) {
    const baronet_question question = {.load_case = with};
    reported r = report_on(netlist, NULL, &question);
    char *const words = strdup(ask_render(r.answer, BARONET_TEXT, false));
    reported_free(&r);
    return words;
}

#define BULGING                                                                                    \
    AXLE_BULGING                                                                                   \
    "tank pot volume 20 L pressure 5.504 bar rated 8 bar\n"                                        \
    "solenoid gate from right to pot normally closed bore 6 mm\n"                                  \
    "state soft open gate\n"                                                                       \
    "state firm shut gate\n"

Test(report_page, tells_apart_what_a_state_does_to_each_place) {
    char *words = words_of(BULGING, NULL);
    ask_expect(words, "firm against soft: roll 9 % stiffer, 10 % stiffer in a long bend.");
    cr_expect_null(strstr(words, "firm against soft: ride"), "nothing to compare");
    ask_expect(words, "soft: ride without a frequency at RL+RR; roll ");
    free(words);
    words = words_of(BULGING "charge in firm\n", NULL);
    ask_expect(words, "soft against firm: roll 8 % softer, 9 % softer in a long bend.");
    free(words);
    words = words_of(BULGING "corner FL at 2.3 m 0.8 m load 365 kg coil 21 N/mm\n"
                             "corner FR at 2.3 m -0.8 m load 371 kg coil 23 N/mm\n",
                     NULL);
    ask_expect(words, "firm against soft: ride without a figure (RL+RR), unchanged (FL+FR); roll ");
    free(words);
}

#define COILS                                                                                      \
    "corner FL at 2.3 m 0.8 m load 365 kg coil 21 N/mm\n"                                          \
    "corner FR at 2.3 m -0.8 m load 371 kg coil 23 N/mm\n"

/* Where roll goes in a long bend only, and no lean can be told for want of heights. */
Test(report_page, tells_what_goes_in_a_long_bend) {
    char *words =
        words_of(AXLE COILS "solenoid cross from left to right normally closed bore 1 mm\n"
                            "state apart shut cross\nstate level open cross\n",
                 NULL);
    ask_expect(words, "level against apart: ride unchanged; roll unchanged, ");
    ask_expect(words, " % softer in a long bend; bumps of one wheel ");
    free(words);
}

/* A roll axis at the centre of gravity: no lean to compare, so the roll rate is. */
Test(report_page, compares_roll_rates_where_nothing_leans) {
    static const char *const heights[] = {"0.52", "0.61"};
    for (size_t k = 0; k < 2; k++) {
        text_buffer netlist = {0};
        text_buffer_format(&netlist, "vehicle cg-height 0.52 m roll-axis %s m\n%s", heights[k],
                           AXLE "solenoid cross from left to right normally closed bore 6 mm\n"
                                "state apart shut cross\nstate level open cross\n");
        char *words = words_of(netlist.bytes, NULL);
        ask_expect(words, "level against apart: ride unchanged; roll 6");
        ask_expect(words, "roll rate, as felt");
        cr_expect_null(strstr(words, "lean in bends"));
        free(words);
        text_buffer_free(&netlist);
    }
}

#define JOINED                                                                                     \
    AXLE_SLEEVE                                                                                    \
    "vehicle cg-height 0.91 m roll-axis 0.2 m\n"                                                   \
    "corner RL at 0 m 0.8 m load 443 kg\n"                                                         \
    "corner RR at 0 m -0.8 m load 441 kg\n"                                                        \
    "bar rear-bar between RL RR roll 130 N.m/deg\n"                                                \
    "spring left on RL profile sleeve height 160 mm\n"                                             \
    "spring right on RR profile sleeve height 160 mm\n"                                            \
    "solenoid cross from left to right normally open bore 6 mm\n"                                  \
    "state joined open cross\nstate apart shut cross\ncharge in joined\n"                          \
    "case laden RL +90 kg RR +110 kg\n"                                                            \
    "case crushed RL +900 kg RR +910 kg\n"

/* A load that joined sides do not bear: the state that all are held against has no answer. */
Test(report_page, compares_nothing_with_a_state_that_does_not_stand) {
    char *words = words_of(JOINED, "laden");
    ask_expect(words, "1 of 2 valve states have an answer.");
    ask_expect(words, "roll gradient, as felt         deg/g       -   5.55\n");
    cr_expect_null(strstr(words, "against joined"), "%s", words);
    free(words);
    words = words_of(JOINED, "crushed");
    ask_expect(words, "0 of 2 valve states have an answer.");
    cr_expect_null(strstr(words, "All states: "), "%s", words);
    free(words);
}

/* Restrictors are soon too many to draw, and two tanks have nothing to compare. */
Test(report_page, says_what_is_too_many_to_draw) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, "tank a volume 1.1 L pressure 2 bar\n"
                              "tank b volume 1.3 L pressure 3 bar\n"
                              "solenoid v from a to b normally closed bore 3 mm\n"
                              "state apart shut v\nstate joined open v\n");
    for (int k = 0; k < 401; k++) {
        text_buffer_format(&netlist, "restrictor r%d from a to b bore 1 mm\n", k);
    }
    char *words = words_of(netlist.bytes, NULL);
    ask_expect(words, "note: there are too many parts to draw");
    cr_expect_null(strstr(words, "joined against apart"), "%s", words);
    free(words);
    text_buffer_free(&netlist);
}

/* Seven masses, 26 states, five pots: more of each than is shown. */
Test(report_page, shows_what_can_be_read_of_many_states) {
    text_buffer netlist = {0};
    text_buffer_add(&netlist, "profile piston area 95 cm2 volume 2.9 L at 150 mm\n");
    for (int k = 1; k <= 7; k++) {
        text_buffer_format(&netlist, "spring bag%d profile piston height 150 mm load %d kg\n", k,
                           290 + 7 * k);
    }
    for (int k = 1; k <= 5; k++) {
        text_buffer_format(&netlist,
                           "tank pot%d volume 1.%d L pressure 3.1 bar\n"
                           "solenoid v%d from bag%d to pot%d normally closed bore 5 mm\n",
                           k, k, k, k, k);
    }
    for (int s = 0; s < 26; s++) {
        text_buffer_format(&netlist, "state s%d%s", s, s > 0 ? " open" : "");
        for (int k = 0; k < 5; k++) {
            text_buffer_format(&netlist, (s >> k) % 2 == 1 ? " v%d" : "", k + 1);
        }
        text_buffer_add(&netlist, "\n");
    }
    char *words = words_of(netlist.bytes, NULL);
    ask_expect(words, "It stands in all 26 valve states.");
    ask_expect(words, " slower (bag1), unchanged (bag2), unchanged (bag3), unchanged (bag4), "
                      "unchanged (bag5), unchanged (bag6).");
    cr_expect_null(strstr(words, "s24 against s0"));
    ask_expect(words, "note: and 2 more states");
    free(words);
    text_buffer_free(&netlist);
}

/* Files as seen from the netlist's own folder; of a long one the beginning. */
Test(report_page, names_and_shows_its_files) {
    text_buffer notes = {0};
    for (int k = 1; k <= 4001; k++) {
        text_buffer_format(&notes, "# %d\n", k);
    }
    const sample_file files[] = {
        {"rigs/x.air", "include \"own.air\"\ninclude \"/all.air\"\n" BENCH},
        {"rigs/own.air", "# no end of line"},
        {"/all.air", notes.bytes},
        {"-", BENCH},
        {NULL, NULL}};
    static const char *const first[] = {"rigs/x.air", "-"};
    const baronet_reader reader = sample_reader(files);
    for (size_t k = 0; k < 2; k++) {
        baronet_netlist *netlist = NULL;
        cr_assert_eq(baronet_netlist_read(first[k], &reader, NULL, NULL, &netlist), BARONET_OK);
        const baronet_question question = {.date = 1LL << 62}; /* in no calendar */
        baronet_answer *answer = ask(netlist, baronet_report, &question);
        const char *words = ask_render(answer, BARONET_TEXT, false);
        cr_expect_null(strstr(words, "Date: "));
        static const char *const names[][3] = {{"\nown.air\n", "\n/all.air\n", "\nx.air\n"},
                                               {"standard input", "", ""}};
        for (size_t i = 0; i < 3; i++) {
            ask_expect(words, names[k][i]);
        }
        cr_expect_eq(strstr(words, "the first 4000 lines; the file has more") != NULL, k == 0);
        cr_expect_null(strstr(words, "# 4001"));
        baronet_answer_destroy(answer);
        baronet_netlist_destroy(netlist);
    }
    text_buffer_free(&notes);
}

/* Every request for memory refused in turn, at uneven steps since a report asks for many. */
Test(report_page, survives_running_out_of_memory) {
    bool refused = true;
    for (size_t k = 1; refused; k += 1 + k / 9) {
        failing f;
        baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
        baronet_netlist *netlist = NULL;
        const baronet_question question = {0};
        baronet_answer *answer = NULL;
        baronet_status status = baronet_netlist_read_text("x.air", BENCH, strlen(BENCH),
                                                          failing_start(&f, k), said, &netlist);
        if (status == BARONET_OK) {
            status = baronet_report(netlist, &question, &answer, NULL);
        }
        if (status == BARONET_OK) {
            const char *bytes = NULL;
            size_t length = 0;
            status = baronet_answer_render(answer, BARONET_HTML, false, &bytes, &length);
        }
        cr_expect_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
        baronet_answer_destroy(answer);
        baronet_netlist_destroy(netlist);
        baronet_diagnostics_destroy(said);
        cr_expect_eq(f.live, 0, "request %zu", k);
        refused = f.failed;
    }
}
