/* tests of parts */
#include "studies/parts.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "studies/rig.h"
#include "support.h"

Test(parts, energy_is_that_of_the_reference) {
    csv *table = csv_read("safety");
    int rows = 0;
    for (size_t row = 0; row < csv_rows(table); row++) {
        const double p = csv_number(table, row, "p_abs_Pa"), V = csv_number(table, row, "V_m3");
        const double p_0 = csv_number(table, row, "p_atm_Pa");
        if (csv_is(table, row, "quantity", "E_isentropic")) {
            CHECK_ROW(parts_energy(p, V, p_0), table, row);
            rows++;
        } else if (csv_is(table, row, "quantity", "E_brode")) {
            CHECK_ROW(parts_most_energy(p, V, p_0), table, row);
            rows++;
        }
    }
    cr_expect_geq(rows, 12);
    csv_free(table);
    cr_expect_eq(parts_energy(9e4, 0.01, 1e5), 0.0, "below ambient nothing is to be had");
    cr_expect_eq(parts_most_energy(9e4, 0.01, 1e5), 0.0);
}

static parts_answer list(rig *r) {
    parts_answer answer;
    cr_assert_eq(charge_solve(r->charge, &r->problem), BARONET_OK);
    cr_assert_eq(parts_solve(&answer, r->arena, r->charge, NULL), BARONET_OK);
    return answer;
}

/* The line that a part is in. */
static const part_line *line_of(const parts_answer *l, const char *name) {
    for (int k = 0; k < l->lines; k++) {
        const part_line *one = &l->line[k];
        for (int i = 0; i < one->count; i++) {
            if (strcmp(parts_name(l->model, one->kind, one->item[i]), name) == 0) {
                return one;
            }
        }
    }
    cr_assert_fail("no part %s", name);
    return NULL;
}

static const char *const system_of_parts =
    "ambient pressure 100 kPa temperature 20 C\ngas isothermal\n"
    "profile p area 80 cm2 volume 1.7 L at 160 mm\n"
    "spring a load 400 kg profile p height 160 mm rated 8 bar\n"
    "spring b load 300 kg profile p height 150 mm rated 8 bar\n"
    "spring c load 300 kg profile p height 150 mm rated 9 bar\n"
    "tank s volume 3 L rated 12 bar\ntank t volume 3 L rated 12 bar\ntank u volume 3.01 L\n"
    "tee x\ntee y\ntee z\n"
    "hose h from a to x bore 8 mm length 0.7 m fittings 1.1\n"
    "hose i from b to y bore 8 mm length 0.7 m\n"
    "hose j from c to z bore 6 mm length 1.3 m\n"
    "hose k from b to u bore 8 mm length 1.9 m\n"
    "solenoid v from x to s normally closed bore 5 mm volts 12 V current 0.7 A\n"
    "solenoid w from y to t normally closed bore 5 mm volts 12 V current 0.7 A\n"
    "solenoid o from y to t normally open bore 5 mm volts 24 V\n"
    "state all open v w o\nstate none shut v w o\ncharge in all\n";

Test(parts, like_parts_share_a_line) {
    rig r = rig_open("%s", system_of_parts);
    const parts_answer l = list(&r);
    cr_expect_eq(line_of(&l, "a"), line_of(&l, "b"), "one profile, one rating");
    cr_expect_neq(line_of(&l, "b"), line_of(&l, "c"), "another rating");
    cr_expect_eq(line_of(&l, "s")->count, 2);
    cr_expect_neq(line_of(&l, "t"), line_of(&l, "u"));
    cr_expect_eq(line_of(&l, "h"), line_of(&l, "i"), "fittings are no part of a hose");
    cr_expect_neq(line_of(&l, "h"), line_of(&l, "k"));
    cr_expect_eq(line_of(&l, "x")->ports, 2);
    cr_expect_eq(line_of(&l, "y")->ports, 3);
    cr_expect_neq(line_of(&l, "x"), line_of(&l, "y"));
    cr_expect_eq(line_of(&l, "v"), line_of(&l, "w"));
    cr_expect_neq(line_of(&l, "w"), line_of(&l, "o"));
    int parts = 0;
    for (int k = 0; k < l.lines; k++) {
        parts += l.line[k].count;
        cr_expect(k == 0 || l.line[k - 1].kind <= l.line[k].kind, "by kind");
    }
    cr_expect_eq(parts, 3 + 3 + 3 + 4 + 3);
    rig_close(&r);
}

Test(parts, hose_is_added_up_by_bore) {
    rig r = rig_open("%s", system_of_parts);
    const parts_answer l = list(&r);
    cr_assert_eq(l.bores, 2);
    CHECK_REL(l.bore[0].bore, 8e-3, 1e-12, "the widest first");
    cr_expect_eq(l.bore[0].pieces, 3);
    CHECK_REL(l.bore[0].length, 0.7 + 0.7 + 1.9, 1e-12, "their sum");
    CHECK_REL(l.bore[0].longest, 1.9, 1e-12, "the longest");
    CHECK_REL(l.bore[1].length, 1.3, 1e-12, "one");
    rig_close(&r);
}

Test(parts, a_line_shows_the_highest_of_its_parts) {
    rig r = rig_open("%s", system_of_parts);
    const parts_answer l = list(&r);
    /* a carries 400 kg on 80 cm2; v stands between it and a tank, w at a lower pressure. */
    const double p_a = 400.0 * 9.80665 / 80e-4;
    const part_line *springs = line_of(&l, "a");
    CHECK_REL(springs->highest.gauge, p_a, 1e-9, "load over area");
    cr_expect_str_eq(parts_name(r.model, springs->kind, springs->highest_item), "a");
    const part_line *valves = line_of(&l, "w");
    cr_expect_str_eq(parts_name(r.model, valves->kind, valves->highest_item), "v");
    for (int k = 0; k < l.lines; k++) {
        const part_line *one = &l.line[k];
        for (int i = 0; i < one->count && one->kind == PART_SOLENOID; i++) {
            const edge *e = &r.model->network.edge[one->item[i]];
            const double end = fmax(l.peaks.node[e->from].gauge, l.peaks.node[e->to].gauge);
            cr_expect_leq(end, one->highest.gauge + 1.0, "either end of %s", e->name);
        }
    }
    rig_close(&r);
}

Test(parts, a_vessel_holds_what_the_formula_says) {
    rig r = rig_open("%s", system_of_parts);
    const parts_answer l = list(&r);
    cr_expect_eq(l.vessels, 6);
    for (int k = 0; k < l.vessels; k++) {
        const part_vessel *v = &l.vessel[k];
        const double p = 1e5 + l.peaks.node[v->node].gauge;
        CHECK_REL(v->energy, p * v->volume / 0.4 * (1.0 - pow(1e5 / p, 0.4 / 1.4)), 1e-9,
                  "ASME PCC-2, article 501, the form of safety.csv");
        if (v->node == rig_node(&r, "u")) {
            cr_expect(isnan(v->rated_energy) && isnan(v->rated_pressure_volume), "no rating");
        } else if (v->node == rig_node(&r, "b")) {
            CHECK_REL(v->volume, 1.7e-3 - 80e-4 * 0.01, 1e-12, "a piston at its design height");
            CHECK_REL(v->rated_pressure_volume, 8e5 * v->volume, 1e-12, "gauge");
        }
    }
    rig_close(&r);
}

Test(parts, current_is_that_of_energised_coils) {
    rig r = rig_open("%s", system_of_parts);
    const parts_answer l = list(&r);
    const parts_answer *a = &l;
    cr_assert_eq(a->voltages, 2);
    CHECK_REL(a->voltage[0], 12.0, 0.0, "rising");
    const part_draw *all = &a->draw[rig_state(&r, "all") * 2];
    const part_draw *none = &a->draw[rig_state(&r, "none") * 2];
    const part_draw *rest = &a->draw[r.model->rest_state * 2];
    const part_draw *every = &a->draw[r.model->states * 2];
    cr_expect_eq(all[0].coils, 2);
    CHECK_REL(all[0].current, 1.4, 1e-12, "two of 0.7 A");
    cr_expect_eq(all[1].coils, 0, "it is normally open");
    cr_expect_eq(none[0].coils, 0);
    cr_expect_eq(none[1].coils, 1, "shutting it takes current");
    cr_expect_eq(none[1].unknown, 1, "which is not given");
    cr_expect_eq(rest[0].coils + rest[1].coils, 0);
    cr_expect_eq(every[0].coils + every[1].coils, 3);
    rig_close(&r);
}

Test(parts, a_compressor_ends_where_its_table_does) {
    static const double p[] = {1e5, 7e5, 9e5}, down[] = {5e-3, 2e-3, 1e-3},
                        to_none[] = {3e-3, 1e-3, 0}, even[] = {3e-3, 2e-3, 2e-3};
    const edge falling = {.table_rows = 3, .table_pressure = p, .table_flow = down};
    const edge ended = {.table_rows = 3, .table_pressure = p, .table_flow = to_none};
    const edge flat = {.table_rows = 3, .table_pressure = p, .table_flow = even};
    const edge one = {.table_rows = 1, .table_pressure = p, .table_flow = down};
    CHECK_REL(parts_no_flow(&falling), 11e5, 1e-12, "the last slope: 1e-3 in 2 bar");
    CHECK_REL(parts_no_flow(&ended), 9e5, 1e-12, "its last row");
    cr_expect(isinf(parts_no_flow(&flat)), "nothing says where");
    cr_expect(isinf(parts_no_flow(&one)));
}

/* Each of these differs from the first of its kind in one thing that matters to who buys it. */
static const char *const of_all_kinds[] = {
    "solenoid v%d from s to t normally closed bore 5 mm",
    "solenoid v%d from s to t normally closed bore 4 mm",
    "solenoid v%d from s to t normally closed bore 5 mm cd 0.7",
    "solenoid v%d from s to t normally open bore 5 mm",
    "solenoid v%d from s to t normally closed bore 5 mm bypass 0.3 mm",
    "solenoid v%d from s to t normally closed bore 5 mm one-way",
    "solenoid v%d from s to t normally closed bore 5 mm opens-above 0.4 bar",
    "solenoid v%d from s to t normally closed bore 5 mm volts 12 V",
    "solenoid v%d from s to t normally closed bore 5 mm current 0.7 A",
    "solenoid v%d from s to t normally closed bore 5 mm rated 11 bar",
    "restrictor v%d from s to t sonic 0.8 L/s.bar critical 0.3",
    "restrictor v%d from s to t sonic 0.9 L/s.bar critical 0.3",
    "restrictor v%d from s to t sonic 0.8 L/s.bar critical 0.4",
    "restrictor v%d from s to t kv 1.1 m3/h xt 0.65",
    "restrictor v%d from s to t kv 1.3 m3/h xt 0.65",
    "restrictor v%d from s to t kv 1.1 m3/h xt 0.68",
    "check-valve v%d from s to t bore 5 mm opens-at 0.1 bar",
    "check-valve v%d from s to t bore 5 mm opens-at 0.2 bar",
    "regulator v%d from s to t set 4 bar bore 5 mm",
    "regulator v%d from s to t set 5 bar bore 5 mm",
    "compressor v%d to s\n pressure bar flow L/min\n 2 40\n 8 0\n",
    "compressor v%d to s\n pressure bar flow L/min\n 2 40\n 7 0\n",
    "compressor v%d to s\n pressure bar flow L/min\n 2 41\n 8 0\n",
    "compressor v%d to s\n pressure bar flow L/min\n 2 40\n 6 20\n 8 0\n",
    "hose v%d from s to t bore 8 mm length 0.7 m",
    "hose v%d from s to t bore 9 mm length 0.7 m",
    "hose v%d from s to t bore 8 mm length 0.7 m rated 11 bar",
    "tank v%d volume 2.1 L pressure 3 bar",
    "tank v%d volume 2.1 L pressure 3 bar rated 11 bar",
    "supply v%d pressure 6 bar",
    "supply v%d pressure 7 bar",
};

Test(parts, one_difference_makes_another_line) {
    enum { KINDS = sizeof of_all_kinds / sizeof *of_all_kinds };
    text_buffer words = {0};
    text_buffer_add(
        &words,
        "gas isothermal\ntank s volume 3.1 L pressure 3 bar\ntank t volume 2.9 L pressure 3 bar\n");
    for (int k = 0; k < 2 * KINDS; k++) { /* each of them twice */
        const char *const of = of_all_kinds[k / 2], *const number = strstr(of, "%d");
        text_buffer_format(&words, "%.*s%d%s\n", (int)(number - of), of, k, number + 2);
    }
    rig r = rig_open("%s", words.bytes);
    const parts_answer l = list(&r);
    for (int k = 0; k < KINDS; k++) {
        char one[8], other[8], last[8];
        snprintf(one, sizeof one, "v%d", 2 * k);
        snprintf(other, sizeof other, "v%d", 2 * k + 1);
        snprintf(last, sizeof last, "v%d", 2 * k - 1);
        cr_expect_eq(line_of(&l, one)->count, 2, "%s", of_all_kinds[k]);
        cr_expect_eq(line_of(&l, one), line_of(&l, other), "%s", of_all_kinds[k]);
        cr_expect(k == 0 || line_of(&l, one) != line_of(&l, last), "%s", of_all_kinds[k]);
    }
    text_buffer_free(&words);
    rig_close(&r);
}

/* In a schedule that nobody reads, a part is compared with the last 200 lines alone. */
Test(parts, very_long_schedules_may_repeat_a_line) {
    text_buffer words = {0};
    text_buffer_add(
        &words,
        "gas isothermal\ntank s volume 3.1 L pressure 3 bar\ntank t volume 2.9 L pressure 3 bar\n");
    for (int k = 0; k < 211; k++)
        text_buffer_format(&words, "restrictor r%d from s to t bore %d.5 mm\n", k, 1 + k);
    text_buffer_add(&words, "restrictor first from s to t bore 1.5 mm\n"
                            "restrictor late from s to t bore 209.5 mm\n");
    rig r = rig_open("%s", words.bytes);
    const parts_answer l = list(&r);
    cr_expect_eq(line_of(&l, "late"), line_of(&l, "r208"));
    cr_expect_neq(line_of(&l, "first"), line_of(&l, "r0"));
    text_buffer_free(&words);
    rig_close(&r);
}
