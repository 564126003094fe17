/* A patched model has to be the one that reading the netlist with other words in it gives, to the
   bit.
   SPDX-License-Identifier: MIT */
#include "netlist/patch.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "netlist/edit.h"
#include "desk.h"
#include "sample.h"
#include "support.h"

#define SAME(a, b, field)                                                                          \
    cr_expect(memcmp(&(a)->field, &(b)->field, sizeof(a)->field) == 0, "%s: " #field " of %s",     \
              said, (a)->name)

static void compare_laws(const char *said, const char *called, const law *a, const law *b) {
    const double *const x = &a->bore, *const y = &b->bore;
    cr_expect_eq(a->kind, b->kind);
    for (int i = 0; i < 9; i++)
        cr_expect(memcmp(x + i, y + i, sizeof *x) == 0, "%s: number %d of the law of %s", said, i,
                  called);
    (void)sizeof(char[offsetof(law, zone) - offsetof(law, bore) == 9 * sizeof(double) ? 1 : -1]);
}

static void compare_networks(const char *said, const network *a, const network *b) {
    cr_assert_eq(a->nodes, b->nodes);
    for (int i = 0; i < a->nodes; i++) {
        SAME(&a->node[i], &b->node[i], volume);
        SAME(&a->node[i], &b->node[i], pressure);
    }
    for (int i = 0; i < a->edges; i++) {
        compare_laws(said, a->edge[i].name, &a->edge[i].path, &b->edge[i].path);
        compare_laws(said, a->edge[i].name, &a->edge[i].bypass, &b->edge[i].bypass);
        SAME(&a->edge[i], &b->edge[i], set);
        SAME(&a->edge[i], &b->edge[i], opens_at);
        SAME(&a->edge[i], &b->edge[i], opens_above);
        for (int k = 0; k < a->edge[i].table_rows; k++)
            cr_expect_eq(a->edge[i].table_pressure[k], b->edge[i].table_pressure[k], "%s", said);
    }
}

static void compare_vehicles(const char *said, const vehicle *a, const vehicle *b) {
    for (int i = 0; i < a->corners; i++) {
        const corner *const x = &a->corner[i], *const y = &b->corner[i];
        SAME(x, y, load);
        SAME(x, y, unsprung);
        SAME(x, y, tyre);
        SAME(x, y, damper);
        SAME(x, y, coil);
        SAME(x, y, carries);
        SAME(x, y, bump_at);
        SAME(x, y, bump_rate);
        SAME(x, y, rebound_at);
        SAME(x, y, rebound_rate);
    }
    for (int i = 0; i < a->springs; i++) {
        const spring *const x = &a->spring[i], *const y = &b->spring[i];
        SAME(x, y, height);
        SAME(x, y, pressure);
        SAME(x, y, rubber);
        for (int k = 0; k < x->levers; k++)
            cr_expect_eq(x->lever[k].ratio, y->lever[k].ratio, "%s", said);
    }
    SAME(&a->bar[0], &b->bar[0], roll);
    for (int i = 0; i < a->profiles; i++) {
        const profile *const x = &a->profile[i], *const y = &b->profile[i];
        SAME(x, y, area);
        SAME(x, y, lowest);
        SAME(x, y, anchor_volume);
        SAME(x, y, anchor_height);
    }
    cr_expect(memcmp(&a->body.cg_height, &b->body.cg_height, sizeof(double)) == 0, "%s", said);
    cr_expect(memcmp(&a->body.roll_inertia, &b->body.roll_inertia, sizeof(double)) == 0);
}

static void compare_models(const char *said, const model *a, const model *b) {
    cr_expect(memcmp(&a->ambient.pressure, &b->ambient.pressure, 2 * sizeof(double)) == 0, "%s",
              said);
    cr_expect(memcmp(&a->gas.tau, &b->gas.tau, sizeof(double)) == 0, "%s", said);
    compare_networks(said, &a->network, &b->network);
    compare_vehicles(said, &a->vehicle, &b->vehicle);
}

/* Sets a dial to the value that its words give when they are read again, so that both sides start
   from the same number. */
static void check(const char *words, const char *said) {
    baronet_netlist *const n = sample(words);
    baronet_netlist *again = NULL;
    arena *const a = arena_create(NULL);
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    dial one, reread;
    cr_assert_eq(netlist_dial(n, "--change", said, NULL, a, d, &one), BARONET_OK, "%s",
                 baronet_diagnostics_text(d, false));
    const double middle = 0.37 * one.low + 0.63 * one.high;
    cr_assert_eq(netlist_again(n, 1, &one, &middle, NULL, &again), BARONET_OK, "%s", said);
    cr_assert_eq(netlist_dial(again, "--change", said, NULL, a, d, &reread), BARONET_OK);
    CHECK_REL(reread.now, middle, 1e-14, "as written");
    patch *p = NULL;
    cr_assert_eq(patch_create(&p, n, 1, &one, NULL), BARONET_OK, "%s", said);
    const double far = one.high;
    patch_set(p, &far); /* what was set before leaves no trace */
    patch_set(p, &reread.now);
    compare_models(said, patch_model(p), netlist_model(again));
    patch_set(p, &one.now);
    if (one.targets == 1) /* several may have been unlike before */
        compare_models(said, patch_model(p), netlist_model(n));
    patch_destroy(p);
    baronet_diagnostics_destroy(d);
    arena_destroy(a);
    baronet_netlist_destroy(again);
    baronet_netlist_destroy(n);
}

static const char *const all[] = {
    "left-tank.volume=1L..8L",
    "left-tank.pressure=5bar..7bar",
    "left-tank.pressure=5bara..7bara",
    "right-tank.volume=1L..8L",
    "middle.volume=5cm3..30cm3",
    "shop.pressure=7bar..9bar",
    "left-hose.length=0.2m..1m",
    "left-hose.fittings=0.5..3",
    "left-hose.roughness=1um..20um",
    "w=5mm..12mm",
    "left-gate.bore=5mm..14mm",
    "left-gate.cd=0.6..0.9",
    "left-gate.bypass=0.3mm..1mm",
    "left-gate.opens-above=0.1bar..0.5bar",
    "right-gate.kv=0.8m3/h..2m3/h",
    "right-gate.xt=0.5..0.8",
    "right-gate.bypass=0.005L/s.bar..0.03L/s.bar",
    "cross.cv=0.7..2",
    "cross.bypass=0.02m3/h..0.09m3/h",
    "choke.sonic=0.4L/s.bar..1.1L/s.bar",
    "choke.critical=0.1..0.4",
    "fill.opens-at=0.02bar..0.1bar",
    "feed.set=4bar..7bar",
    "feed.set=4bara..7bara",
    "safety.set=7bar..10bar",
    "RL.load=400kg..500kg",
    "RL.unsprung=40kg..60kg",
    "RL.tyre=200N/mm..300N/mm",
    "RL.damper=1kN.s/m..3kN.s/m",
    "RL.coil=5N/mm..20N/mm",
    "RL.carries=20kg..80kg",
    "RL.bump-stop=50mm..80mm",
    "RL.rebound-stop=50mm..90mm",
    "rear-bar.roll=200N.m/deg..400N.m/deg",
    "left.height=150mm..180mm",
    "left.rubber=1N/mm..5N/mm",
    "left.on=0.9..1.1",
    "right.pressure=3bar..5bar",
    "right.pressure=3bara..5bara",
    "bench.load=200kg..400kg",
    "bench.height=130mm..150mm",
    "piston.area=90cm2..99cm2",
    "piston.volume=1.5L..2.5L",
    "gas.thermal=3s..9s",
    "vehicle.cg-height=0.7m..1m",
    "vehicle.roll-inertia=700kg.m2..1000kg.m2",
    "ambient.pressure=90kPa..102kPa",
    "ambient.temperature=-10C..30C",
    "left-tank.volume+right-tank.volume=2L..7L",
};

Test(patch, is_what_reading_again_gives) {
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        check(sample_van, all[i]);
}

static const char lets[] = "ambient altitude 300 m\nlet m 300 kg\nlet p 5.5 bar\nlet q p\n"
                           "let s 2.5 L\n"
                           "corner L at 0 m 1 m load m unsprung 30 kg tyre 200 N/mm\n"
                           "corner R at 0 m -1 m load m\nbar b between L R roll 300 N.m/deg\n"
                           "profile t volume s at 150 mm\n  height mm area cm2\n  110 80\n"
                           "  150 85\n  190 86\n"
                           "spring a on L 0.85 R 0.15 profile t height 150 mm\n"
                           "spring c on L 0.15 R 0.85 profile t height 150 mm\n"
                           "tank t1 volume s pressure p\nsupply air pressure 6.5 bara\n"
                           "check-valve v from air to t1 bore 3 mm\n"
                           "regulator r from air to t1 set q bore 3 mm\n";

Test(patch, follows_names_of_values) {
    static const char *const said[] = {"m=200kg..400kg",
                                       "p=4bar..7bar",
                                       "s=1.5L..3L",
                                       "q=4bar..6bar",
                                       "ambient.altitude=0m..1500m",
                                       "a.on=0.8..0.9"};
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        check(lets, said[i]);
}

/* Names in second and third places, forces, benches, and a compressor whose table falls. */
static const char places[] =
    "let k 90 N/mm\nlet f 3.1 kN\nlet z 150 mm\nlet x 0.6\nlet v 0.05 m3/h\nlet m 290 kg\n"
    "corner L at 0 m 1 m load f bump-stop at 70 mm rate k\ncorner R at 0 m -1 m load f\n"
    "bar b between L R roll 300 N.m/deg\nprofile p area 95 cm2 volume 1.9 L at z\n"
    "spring a on L profile p height z\nspring c on R profile p height z rated 9 bar\n"
    "spring s1 profile p height z load 250 kg\nspring s2 profile p height z load m\n"
    "tank t volume 3 L\ntee j\nhose h from t to j bore 9 mm length 1 m rated 9 bar\n"
    "solenoid g from t to a normally closed kv 1 m3/h bypass kv v xt x\n"
    "compressor pump to t\n pressure bara flow L/min\n 1.5 60\n 9 20\n";

Test(patch, follows_names_in_all_places) {
    static const char *const said[] = {"k=50N/mm..120N/mm", "f=2kN..5kN",          "z=140mm..160mm",
                                       "x=0.5..0.8",        "v=0.02m3/h..1m3/h",   "m=200kg..400kg",
                                       "s2.load=2kN..4kN",  "s1.load=200kg..300kg"};
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        check(places, said[i]);
}

/* Air outside that the netlist does not speak of, whose temperature then stays the usual one, or of
   which it gives the altitude, that sets the temperature where nothing else does. */
Test(patch, sets_the_air_outside) {
    static const struct {
        const char *before, *said, *after;
        double value;
    } cases[] = {
        {"", "ambient.pressure=+-5%", "ambient pressure 97 kPa\n", 97e3},
        {"", "ambient.temperature=-5C..30C", "ambient temperature 278.15 K\n", 278.15},
        {"", "ambient.altitude=0m..2000m", "ambient altitude 812.5 m temperature 20 C\n", 812.5},
        {"ambient pressure 97 kPa\n", "ambient.altitude=0m..2000m",
         "ambient altitude 812.5 m temperature 20 C\n", 812.5},
        {"ambient altitude 300 m\n", "ambient.altitude=0m..2000m", "ambient altitude 812.5 m\n",
         812.5},
        {"ambient altitude 300 m temperature 9 C\n", "ambient.altitude=0m..2000m",
         "ambient altitude 812.5 m temperature 9 C\n", 812.5}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char words[2][2000];
        snprintf(words[0], sizeof words[0], "%s%s", cases[i].before, places);
        snprintf(words[1], sizeof words[1], "%s%s", cases[i].after, places);
        baronet_netlist *const n = sample(words[0]), *const other = sample(words[1]);
        arena *const a = arena_create(NULL);
        dial one;
        patch *p = NULL;
        cr_assert_eq(netlist_dial(n, "--change", cases[i].said, NULL, a, NULL, &one), BARONET_OK);
        cr_assert_eq(patch_create(&p, n, 1, &one, NULL), BARONET_OK);
        patch_set(p, &cases[i].value);
        compare_models(cases[i].said, patch_model(p), netlist_model(other));
        patch_destroy(p);
        arena_destroy(a);
        baronet_netlist_destroy(other);
        baronet_netlist_destroy(n);
    }
}

/* Volumes, and loads at two pressures, against the table typed in with every number 5 % larger. */
Test(patch, scales_columns_of_volumes_and_loads) {
    static const char *const said[] = {"p.volume=+-10%", "p.load=+-10%"};
    static const char *const words[] = {
        "profile p\n height mm volume L load-3bar N load-5bar N\n 120 1.2 2100 3500\n"
        " 160 1.5 1900 3300\n  190 1.72 1850 3150\ntank t volume 3 L\n",
        "profile p\n height mm volume L load-3bar N load-5bar N\n 120 1.26 2100 3500\n"
        " 160 1.575 1900 3300\n 190 1.806 1850 3150\ntank t volume 3 L\n",
        "profile p\n height mm volume L load-3bar N load-5bar N\n 120 1.2 2205 3675\n"
        " 160 1.5 1995 3465\n 190 1.72 1942.5 3307.5\ntank t volume 3 L\n"};
    for (int i = 0; i < 2; i++) {
        baronet_netlist *const n = sample(words[0]), *const other = sample(words[i + 1]);
        arena *const a = arena_create(NULL);
        dial one;
        patch *p = NULL;
        cr_assert_eq(netlist_dial(n, "--change", said[i], NULL, a, NULL, &one), BARONET_OK);
        cr_assert_eq(patch_create(&p, n, 1, &one, NULL), BARONET_OK);
        const double factor = 1.05;
        patch_set(p, &factor);
        for (double h = 0.125; h < 0.19; h += 0.0137) {
            const profile_point x = profile_at(&patch_model(p)->vehicle.profile[0], h, 3.3e5);
            const profile_point y = profile_at(&netlist_model(other)->vehicle.profile[0], h, 3.3e5);
            CHECK_REL(x.load, y.load, 1e-13, said[i]);
            CHECK_REL(x.load_height, y.load_height, 1e-10, said[i]);
            CHECK_REL(x.volume, y.volume, 1e-13, said[i]);
            CHECK_REL(x.breathing, y.breathing, 1e-10, said[i]);
        }
        patch_destroy(p);
        arena_destroy(a);
        baronet_netlist_destroy(other);
        baronet_netlist_destroy(n);
    }
}

/* A column as a whole: a table typed in with every number 5 % larger. */
Test(patch, scales_a_column) {
    static const char old_rows[] = "  120 78.0 1.21\n  160 74.5 1.515\n  200 74.0 1.812\n";
    static const char new_rows[] = "  120 81.9 1.21\n  160 78.225 1.515\n  200 77.7 1.812\n";
    static char words[8192];
    const char *const at = strstr(sample_van, old_rows);
    snprintf(words, sizeof words, "%.*s%s%s", (int)(at - sample_van), sample_van, new_rows,
             at + strlen(old_rows));
    baronet_netlist *const n = sample(sample_van), *const other = sample(words);
    arena *const a = arena_create(NULL);
    dial one;
    cr_assert_eq(netlist_dial(n, "--change", "sleeve.area=+-10%", NULL, a, NULL, &one), BARONET_OK);
    patch *p = NULL;
    cr_assert_eq(patch_create(&p, n, 1, &one, NULL), BARONET_OK);
    const double factor = 1.05;
    patch_set(p, &factor);
    for (double h = 0.125; h < 0.2; h += 0.0137) {
        const profile_point x = profile_at(&patch_model(p)->vehicle.profile[0], h, 3.3e5);
        const profile_point y = profile_at(&netlist_model(other)->vehicle.profile[0], h, 3.3e5);
        CHECK_REL(x.load, y.load, 1e-14, "the table with each area 5 % larger");
        CHECK_REL(x.load_height, y.load_height, 1e-10, "likewise");
        CHECK_REL(x.volume, y.volume, 1e-14, "likewise");
    }
    patch_destroy(p);
    arena_destroy(a);
    baronet_netlist_destroy(other);
    baronet_netlist_destroy(n);
}

Test(patch, says_what_it_cannot_do) {
    static const char *const said[] = {
        "RL.at=-2m..-1m",        "left-tank.rated=8bar..12bar", "twist.=0.5..1",
        "left.rated=7bar..9bar", "left-gate.rated=8bar..12bar", "left-gate.volts=11V..13V"};
    desk k = desk_open(sample_van);
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        dial one;
        patch *p = NULL;
        cr_assert_eq(desk_dial(&k, said[i], &one), BARONET_OK, "%s", said[i]);
        cr_expect_eq(patch_create(&p, k.netlist, 1, &one, NULL), BARONET_TOO_MANY, "%s", said[i]);
        cr_expect_null(p);
    }
    desk_close(&k);
}

Test(patch, memory_may_run_out_anywhere) {
    desk k = desk_open(sample_van);
    dial dials[2];
    cr_assert_eq(desk_dial(&k, "w=5mm..12mm", &dials[0]), BARONET_OK);
    cr_assert_eq(desk_dial(&k, "sleeve.area=+-5%", &dials[1]), BARONET_OK);
    failing f;
    for (size_t at = 1;; at++) {
        const baronet_allocator *const allocator = failing_start(&f, at);
        patch *p = NULL;
        const baronet_status status = patch_create(&p, k.netlist, 2, dials, allocator);
        cr_assert(status == BARONET_OK || status == BARONET_OUT_OF_MEMORY);
        patch_destroy(p);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    desk_close(&k);
}

/* Tees move all takes of the patch's arena, until each has been refused. */
Test(patch, any_take_may_be_refused) {
    static const char *const said[] = {"z=140mm..160mm", "ambient.pressure=+-5%", "x=0.5..0.8"};
    for (int tees = 0; tees < 60; tees++) {
        char words[4000];
        size_t used = (size_t)snprintf(words, sizeof words, "%s", places);
        for (int i = 0; i < tees; i++)
            used += (size_t)snprintf(words + used, sizeof words - used, "tee tee-%d\n", i);
        baronet_netlist *const n = sample(words);
        arena *const a = arena_create(NULL);
        for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
            dial one;
            cr_assert_eq(netlist_dial(n, "--change", said[i], NULL, a, NULL, &one), BARONET_OK);
            for (size_t blocks = 1; blocks < 5; blocks++) {
                refusal r;
                patch *p = NULL;
                const baronet_status status =
                    patch_create(&p, n, 1, &one, refusal_start(&r, blocks));
                cr_expect_eq(status, r.done ? BARONET_OUT_OF_MEMORY : BARONET_OK);
                patch_destroy(p);
            }
            failing f = {.failed = true};
            for (size_t k = 1; tees == 0 && f.failed; k++) {
                patch *p = NULL;
                const baronet_status status = patch_create(&p, n, 1, &one, failing_start(&f, k));
                cr_expect_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
                patch_destroy(p);
                cr_assert_eq(f.live, 0);
            }
        }
        arena_destroy(a);
        baronet_netlist_destroy(n);
    }
}
