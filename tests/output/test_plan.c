/* Tests of solver/output/plan.c: one contract over all demonstrations and a network of sixty parts:
   nothing lies over anything else, and what is joined is what the netlist joins.
   SPDX-License-Identifier: MIT */
#include "output/plan.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "ask.h"
#include "netlist/netlist.h"
#include "output/site.h"
#include "studies/demos.h"
#include "support.h"

static plan_box moved(plan_box b, spot at) {
    return (plan_box){b.left + at.x, b.top + at.y, b.right + at.x, b.bottom + at.y};
}

/* Boxes share more than an edge. */
static bool overlap(plan_box a, plan_box b) {
    return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

static plan_box wheel_box(const plan_wheel *w) {
    return moved((plan_box){-SITE_WHEEL_X, -SITE_WHEEL_Y, SITE_WHEEL_X, SITE_WHEEL_Y}, w->at);
}

static void check_boxes(const char *what, const plan *pl) {
    for (int i = 0; i < pl->parts; i++) {
        const plan_part *a = &pl->part[i];
        const plan_box words = moved(a->words_box, a->at), symbol = moved(a->body, a->at);
        for (int k = 0; k < pl->parts; k++) {
            const plan_part *b = &pl->part[k];
            cr_expect_not(overlap(words, moved(b->body, b->at)), "%s: `%s` on a symbol", what,
                          a->words[0]);
            cr_expect(k == i || !overlap(words, moved(b->words_box, b->at)), "%s: `%s` on `%s`",
                      what, a->words[0], b->words[0]);
            cr_expect(k == i || !overlap(symbol, moved(b->body, b->at)), "%s: two symbols", what);
        }
        for (int w = 0; w < pl->wheels; w++) {
            cr_expect_not(overlap(words, wheel_box(&pl->wheel[w])), "%s: words on a wheel", what);
            cr_expect_not(overlap(symbol, wheel_box(&pl->wheel[w])), "%s: a symbol on a wheel",
                          what);
        }
    }
}

static void check_lines(const char *what, const plan *pl) {
    for (int k = 0; k < pl->routes.lines; k++) {
        const route_line *l = &pl->routes.line[k];
        cr_expect_not(l->forced, "%s: no way for a line of net %d", what, l->net);
        for (int i = 0; i + 1 < l->points; i++) {
            const spot a = l->point[i], b = l->point[i + 1];
            const plan_box line = {a.x < b.x ? a.x : b.x, a.y < b.y ? a.y : b.y,
                                   a.x < b.x ? b.x : a.x, a.y < b.y ? b.y : a.y};
            for (int n = 0; n < pl->parts; n++) {
                const plan_part *q = &pl->part[n];
                const plan_box words = moved(q->words_box, q->at), symbol = moved(q->body, q->at);
                cr_expect_not(line.left <= words.right && words.left <= line.right &&
                                  line.top <= words.bottom && words.top <= line.bottom,
                              "%s: a line through `%s`", what, q->words[0]);
                cr_expect_not(line.left < symbol.right && symbol.left < line.right &&
                                  line.top < symbol.bottom && symbol.top < line.bottom,
                              "%s: a line through a symbol", what);
            }
        }
    }
}

static baronet_status make(page *p, const model *m, const plan_wish *wish, const plan **out) {
    const baronet_status status = page_plan(p, m, wish);
    *out = NULL;
    for (const block *b = p->first; b != NULL; b = b->next) {
        *out = b->kind == BLOCK_PLAN ? b->plan : *out;
    }
    return status;
}

static void check_plan(const char *path, baronet_netlist *netlist) {
    const model *m = netlist_model(netlist);
    for (int n = 0; n < 2; n++) {
        page *p = page_create(NULL, n == 0 ? BARONET_METRIC : BARONET_IMPERIAL);
        const plan_wish wish = {.open = n == 0 ? NULL : m->state[0].open,
                                .state = n == 0 ? NULL : m->state[0].name,
                                .bores = n == 1};
        const plan *pl = NULL;
        cr_assert_eq(make(p, m, &wish, &pl), BARONET_OK, "%s", path);
        cr_assert_not_null(pl);
        check_boxes(path, pl);
        check_lines(path, pl);
        int paths = 0;
        for (int i = 0; i < pl->parts; i++) {
            paths += pl->part[i].edge >= 0;
        }
        cr_expect_eq(paths, m->network.edges);
        cr_expect_eq(pl->routes.lines, 2 * m->network.edges, "each path has its two ends");
        baronet_answer_destroy(p);
    }
    baronet_netlist_destroy(netlist);
}

Test(plan, demonstrations_can_be_read) {
    for (const char *const *path = demos; *path != NULL; path++) {
        check_plan(*path, ask_file(*path));
    }
}

Test(plan, sixty_parts_can_be_read) {
    check_plan("sixty", ask_file("tests/output/sixty.air"));
}

/* Axles of three tracks, some nearer to one another than two columns may be: no wheel of a wide one
   stands on the spring of a narrow one. */
Test(plan, axles_of_uneven_tracks_can_be_read) {
    static const double across[] = {0.71, 0.93, 1.1, 0.62, 1.04, 0.83};
    text_buffer words = {0};
    text_buffer_add(&words, "profile p area 92 cm2 volume 2.4 L at 180 mm\n");
    for (int k = 0; k < 6; k++) {
        const double x = -2.7 * (k / 2) - 0.4 * (k / 4);
        text_buffer_format(&words, "corner c%d at %.1f m %.2f m load %d kg\n", k, x,
                           k % 2 == 0 ? across[k] : -across[k], 500 + 13 * k);
        text_buffer_format(&words, "spring s%d on c%d profile p height 180 mm\n", k, k);
    }
    text_buffer_add(&words, "tank t volume 7 L pressure 7 bar\n");
    for (int k = 0; k < 6; k++) {
        text_buffer_format(&words, "solenoid g%d from s%d to t normally closed bore 8 mm\n", k, k);
    }
    text_buffer_add(&words, "state all open g0 g1 g2 g3 g4 g5\n");
    check_plan("uneven tracks", ask_text(words.bytes));
    text_buffer_free(&words);
}

/* How often the air around is drawn as an inlet of air, and how often as an outlet. */
static void expect_ends(baronet_netlist *netlist, int inlets, int outlets) {
    page *p = page_create(NULL, BARONET_METRIC);
    const plan_wish wish = {0};
    const plan *pl = NULL;
    cr_assert_eq(make(p, netlist_model(netlist), &wish, &pl), BARONET_OK);
    for (int i = 0; i < pl->parts; i++) {
        const plan_part *q = &pl->part[i];
        inlets -= q->kind == PART_ATMOSPHERE && q->inlet;
        outlets -= q->kind == PART_ATMOSPHERE && !q->inlet;
        cr_expect(q->kind == PART_ATMOSPHERE || !q->inlet);
    }
    cr_expect_eq(inlets, 0, "%d inlets are missing", inlets);
    cr_expect_eq(outlets, 0, "%d outlets are missing", outlets);
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}

/* Air is only taken in through a compressor, here the engine's pump, and only let out through a
   relief, here the wet tank's. */
Test(plan, the_air_around_is_an_inlet_or_an_outlet) {
    expect_ends(ask_file("netlists/expedition.air"), 1, 1);
}

/* Springs that share air have one shade, others another, and what no spring breathes has none. */
Test(plan, shades_are_groups_of_springs) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    const model *m = netlist_model(netlist);
    page *p = page_create(NULL, BARONET_METRIC);
    const plan *pl = NULL;
    const plan_wish soft = {.open = m->state[1].open, .state = m->state[1].name};
    cr_assert_str_eq(m->state[1].name, "soft");
    cr_assert_eq(make(p, m, &soft, &pl), BARONET_OK);
    const int left = m->vehicle.spring[0].node, right = m->vehicle.spring[1].node;
    cr_expect(pl->shade[left] > 0 && pl->shade[right] > 0);
    cr_expect_neq(pl->shade[left], pl->shade[right]);
    const plan_wish firm = {.open = m->state[0].open, .state = m->state[0].name};
    cr_assert_eq(make(p, m, &firm, &pl), BARONET_OK);
    int none = 0;
    for (int i = 0; i < m->network.nodes; i++) {
        none += m->network.node[i].kind == NODE_TANK && pl->shade[i] == 0;
    }
    cr_expect_eq(none, 2, "both tanks are shut off");
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}

/* What passes air one way only takes it in; a restrictor does not. */
Test(plan, what_passes_one_way_takes_air_in) {
    expect_ends(
        ask_text("tank t volume 1 L pressure 0 bar\n"
                 "check-valve c from atmosphere to t bore 2 mm\n"
                 "regulator g from atmosphere to t set 0.1 bar bore 2 mm\n"
                 "restrictor r from atmosphere to t bore 1 mm\n"
                 "compressor p from atmosphere to t\n  pressure bar flow L/min\n  0 30\n  3 0\n"),
        3, 1);
}

/* Wheels and masses on a bench, a spring in the middle and one that turns against the roll, names
   that are broken at hyphens and underscores and cut where they still do not fit. */
Test(plan, long_names_and_mixed_springs_can_be_read) {
    baronet_netlist *netlist =
        ask_text("corner L at 0 m 0.7 m load 415 kg coil 14 N/mm\n"
                 "corner R at 0 m -0.7 m load 405 kg coil 13 N/mm\n"
                 "profile p area 90 cm2 volume 1.9 L at 150 mm\n"
                 "spring middle on L 0.5 R 0.5 profile p height 150 mm pressure 0.4 bar\n"
                 "spring against on L 0.5 R -0.5 profile p height 150 mm pressure 0.2 bar\n"
                 "spring bench load 300 kg profile p height 150 mm\n"
                 "tank the_tank_of_the_rear_axle-with-a_name-that_nobody-would_ever-give_to_one "
                 "volume 2 L pressure 0.4 bar\n"
                 "tank averyverylongnamewithoutanyplacetobreakitanywhereatall volume 1 L\n"
                 "  pressure 0.4 bar\n"
                 "restrictor r from the_tank_of_the_rear_axle-with-a_name-that_nobody-would_ever-"
                 "give_to_one to middle bore 2 mm\n");
    page *p = page_create(NULL, BARONET_METRIC);
    const plan_wish wish = {.bores = true};
    const plan *pl = NULL;
    cr_assert_eq(make(p, netlist_model(netlist), &wish, &pl), BARONET_OK);
    int cut = 0, broken = 0;
    for (int i = 0; i < pl->parts; i++) {
        for (int n = 0; n < pl->part[i].lines; n++) {
            const char *words = pl->part[i].words[n];
            cut += strstr(words, "\xE2\x80\xA6") != NULL;
            broken +=
                n == 0 && (words[strlen(words) - 1] == '_' || words[strlen(words) - 1] == '-');
        }
    }
    cr_expect_eq(cut, 2);
    cr_expect_eq(broken, 1);
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
}

/* Names of one to eight pieces: each is whole or cut, and none has more lines than there is room.
 */
Test(plan, names_of_any_length_can_be_read) {
    text_buffer words = {0};
    char name[128] = "t";
    for (int k = 0; k < 8; k++) {
        strcat(name, "_abcdef");
        text_buffer_format(&words, "tank %s volume 1 L pressure 2 bar\n", name);
    }
    baronet_netlist *netlist = ask_text(words.bytes);
    page *p = page_create(NULL, BARONET_METRIC);
    const plan_wish wish = {0};
    const plan *pl = NULL;
    cr_assert_eq(make(p, netlist_model(netlist), &wish, &pl), BARONET_OK);
    int cut = 0;
    for (int i = 0; i < pl->parts; i++) {
        const plan_part *q = &pl->part[i];
        cr_expect(q->lines >= 1 && q->lines <= PLAN_WORDS);
        cut += strstr(q->words[q->lines - 1], "\xE2\x80\xA6") != NULL;
    }
    cr_expect(cut >= 1 && cut < 8, "%d cut", cut);
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
    text_buffer_free(&words);
}

/* Wheels on steel alone. */
Test(plan, wheels_without_air_can_be_drawn) {
    check_plan("steel", ask_text("corner L at 0 m 0.7 m load 415 kg coil 14 N/mm\n"
                                 "corner R at 0 m -0.7 m load 405 kg coil 13 N/mm\n"
                                 "tank horn volume 2 L pressure 3 bar\n"
                                 "tank spare volume 1 L pressure 3 bar\n"
                                 "restrictor r from horn to spare bore 2 mm\n"));
}

Test(plan, too_many_parts_are_refused) {
    text_buffer words = {0};
    text_buffer_add(&words, "profile p area 95 cm2 volume 2.9 L at 150 mm\n"
                            "spring bag profile p height 150 mm load 300 kg\n");
    for (int k = 0; k < PLAN_PARTS_MOST; k++) {
        text_buffer_format(&words, "tee t%d\n", k);
    }
    baronet_netlist *netlist = ask_text(words.bytes);
    page *p = page_create(NULL, BARONET_METRIC);
    const plan_wish wish = {0};
    cr_expect_eq(page_plan(p, netlist_model(netlist), &wish), BARONET_TOO_MANY);
    baronet_answer_destroy(p);
    baronet_netlist_destroy(netlist);
    text_buffer_free(&words);
}

Test(plan, survives_running_out_of_memory) {
    baronet_netlist *netlist = ask_file("netlists/rear.air");
    const model *m = netlist_model(netlist);
    failing f;
    for (size_t k = 1;; k++) {
        page *p = page_create(failing_start(&f, k), BARONET_METRIC);
        const plan_wish wish = {.open = m->state[0].open, .state = "firm", .bores = true};
        const baronet_status status = p != NULL ? page_plan(p, m, &wish) : BARONET_OUT_OF_MEMORY;
        cr_expect_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK, "request %zu", k);
        baronet_answer_destroy(p);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
    baronet_netlist_destroy(netlist);
}
