/* Tests of solver/studies/play.c: an event against closed forms, its own conservation, the
   equilibrium of rates, and tighter steps. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "studies/demos.h"
#include "studies/play.h"
#include "support.h"

static double end_of(const play_answer *a, channel_kind kind, int item) {
    const channel *c = record_find(a->record, kind, item);
    cr_assert_not_null(c);
    return c->end;
}

/* A tank emptied into, or filled from, a held pressure through one restrictor. */
static void blow(const csv *table, size_t row) {
    const double A = csv_number(table, row, "A_eff_m2");
    const double b = csv_number(table, row, "b");
    const double back = csv_number(table, row, "p_back_Pa");
    const double p_0 = csv_number(table, row, "p0_Pa");
    const double t = csv_number(table, row, "expected_si");
    const bool adiabatic = strstr(csv_text(table, row, "kind"), "adiabatic") != NULL;
    char path[160];
    if (A > 0.0) {
        snprintf(path, sizeof path, "bore %.15g mm cd 1",
                 sqrt(4.0 * A / 3.14159265358979323846) * 1e3);
    } else {
        snprintf(path, sizeof path, "sonic %.15g L/s.bar critical %.15g",
                 csv_number(table, row, "C_m3_per_sPa") * 1e8, b);
    }
    /* Choked rows have no back pressure: it is low enough. */
    rig r = rig_open("ambient pressure 50 kPa temperature %.10g K\ngas %s\n"
                     "tank vessel volume %.15g m3 pressure %.15g kPaa\n"
                     "supply back pressure %.15g kPaa\n"
                     "solenoid valve from vessel to back normally closed %s\n"
                     "state shut shut valve\n"
                     "event blow in shut at 0 s open valve until %.15g s\n",
                     csv_number(table, row, "T_K"), adiabatic ? "adiabatic" : "isothermal",
                     csv_number(table, row, "V_m3"), p_0 * 1e-3, (back > 0.0 ? back : 50e3) * 1e-3,
                     path, t);
    const play_settings fine = {.tolerance = 1e-7};
    play_answer *a = rig_play(&r, &r.model->script[0], &fine);
    cr_assert_eq(a->end, PLAY_FINISHED);
    const double p = end_of(a, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "vessel")) + 50e3;
    /* Restrictors are linear below a few pascals here, so the very end is approached more slowly.
     */
    /* A printed time of three digits is a pressure to as many; else restrictors are linear below a
       few tens of pascals here, so that the very end is approached more slowly. */
    const double printed = csv_number(table, row, "rel_tol") > 1e-4 ? 2e-3 : 0.0;
    CHECK_ABS(p, csv_number(table, row, "pf_Pa"), 60.0 + (3e-4 + printed) * fabs(p),
              csv_text(table, row, "source"));
    play_free(a);
    rig_close(&r);
}

Test(play, a_volume_is_emptied_and_filled_as_the_closed_forms_say) {
    csv *table = csv_read("tank_blowdown");
    int rows = 0;
    for (size_t row = 0; row < csv_rows(table); row++) {
        if (csv_is(table, row, "quantity", "t")) {
            blow(table, row);
            rows++;
        }
    }
    cr_assert_geq(rows, 20);
    csv_free(table);
}

Test(play, the_printed_tyre_example) {
    csv *table = csv_read("tank_blowdown");
    for (size_t row = 0; row < csv_rows(table); row++) {
        if (csv_is(table, row, "quantity", "t_per_ln")) {
            /* From e times a pressure to that pressure. */
            blow(table, row);
        }
    }
    csv_free(table);
}

/* A row of a final temperature stands below that of its time. */
static void blow_to(const csv *table, size_t row) {
    const double back = csv_number(table, row, "p_back_Pa");
    rig r = rig_open("ambient pressure 50 kPa temperature %.10g K\ngas adiabatic\n"
                     "tank vessel volume %.15g m3 pressure %.15g kPaa\n"
                     "supply back pressure %.15g kPaa\n"
                     "solenoid valve from vessel to back normally closed bore %.15g mm cd 1\n"
                     "state shut shut valve\n"
                     "event blow in shut at 0 s open valve until %.15g s\n",
                     csv_number(table, row, "T_K"), csv_number(table, row, "V_m3"),
                     1e-3 * csv_number(table, row, "p0_Pa"), 1e-3 * (back > 0.0 ? back : 50e3),
                     1e3 * sqrt(4.0 * csv_number(table, row, "A_eff_m2") / 3.14159265358979323846),
                     csv_number(table, row - 1, "expected_si"));
    const play_settings fine = {.tolerance = 1e-7};
    play_answer *a = rig_play(&r, &r.model->script[0], &fine);
    CHECK_REL(end_of(a, CHANNEL_TEMPERATURE, rig_node(&r, "vessel")),
              csv_number(table, row, "expected_si"), 1e-4, csv_text(table, row, "source"));
    play_free(a);
    rig_close(&r);
}

Test(play, temperature_of_a_volume_that_is_emptied_or_filled) {
    csv *table = csv_read("tank_blowdown");
    int rows = 0;
    for (size_t row = 1; row < csv_rows(table); row++) {
        if (csv_is(table, row, "quantity", "T_final")) {
            cr_assert(csv_is(table, row - 1, "quantity", "t"));
            blow_to(table, row);
            rows++;
        }
    }
    cr_expect_geq(rows, 6);
    csv_free(table);
}

/* Calls `check` with every event of every demonstration, started. */
static void each_event(void (*check)(rig *r, const script *s)) {
    for (int k = 0; demos[k] != NULL; k++) {
        rig r = rig_open_file(demos[k]);
        for (int i = 0; i < r.model->scripts; i++) {
            check(&r, &r.model->script[i]);
        }
        rig_close(&r);
    }
}

static void conserves(rig *r, const script *s) {
    play_answer *a = rig_play(r, s, NULL);
    cr_expect_eq(a->end, PLAY_FINISHED, "%s: %d", s->name, a->end);
    cr_expect_lt(a->mass_error, 1e-12, "%s: air %g", s->name, a->mass_error);
    cr_expect_lt(a->energy_error, 1e-12, "%s: energy %g", s->name, a->energy_error);
    cr_expect_lt(a->steps, 20000, "%s: %ld steps", s->name, a->steps);
    play_free(a);
}

Test(play, every_event_runs_to_its_end_and_conserves_air_and_energy) {
    each_event(conserves);
}

/* Peaks of what people look at: heights, loads, and pressures of springs and tanks. */
static bool is_peak(const rig *r, const channel *c) {
    const bool vessel =
        c->kind == CHANNEL_GAUGE_PRESSURE && (r->model->network.node[c->item].kind == NODE_SPRING ||
                                              r->model->network.node[c->item].kind == NODE_TANK);
    return vessel || c->kind == CHANNEL_HEIGHT;
}

static void converges(rig *r, const script *s) {
    const play_settings fine = {.tolerance = 0.1 * DYNAMICS_TOLERANCE};
    play_answer *a = rig_play(r, s, NULL), *b = rig_play(r, s, &fine);
    cr_assert_eq(a->record->channels, b->record->channels);
    for (int k = 0; k < a->record->channels; k++) {
        const channel *c = &a->record->channel[k], *d = &b->record->channel[k];
        if (is_peak(r, c)) {
            CHECK_ABS(c->highest, d->highest, 1e-3 * fabs(d->highest) + 1.0 * (d->highest > 1.0),
                      "peaks change by less than 0.1 %");
        }
    }
    play_free(a);
    play_free(b);
}

Test(play, ten_times_tighter_steps_change_no_peak) {
    each_event(converges);
}

/* The same vehicle with isothermal air, valves that do what they are told, and a damper wherever
   there is none: what the statics of rates are about. The model is the test's own to change. */
static void make_plain(rig *r) {
    model *m = (model *)r->model;
    edge *own = (edge *)m->network.edge;
    corner *stands = (corner *)m->vehicle.corner;
    m->gas = (gas){.kind = GAS_ISOTHERMAL};
    for (int c = 0; c < m->vehicle.corners; c++) {
        stands[c].damper = stands[c].damper > 0.0 ? stands[c].damper : 1900.0;
    }
    for (int i = 0; i < m->network.edges; i++) {
        own[i].opens_above = 0.0;
        own[i].one_way = false;
    }
}

/* A load that stays, for hours: isothermal air, or air that is warm again, ends where rates says:
   at the parked standing where shut valves leak, else at the settled one. */
static int comes_to_rest(rig *r, const char *state, double mass) {
    double masses[VEHICLE_CORNERS_MAX] = {0};
    masses[0] = mass;
    const load_case with = {.name = "load", .mass = masses};
    const action load = {.trigger = TRIGGER_TIME,
                         .time = 0.5,
                         .watched = -1,
                         .kind = ACTION_LOAD,
                         .item = 0,
                         .value = mass};
    const script s = {"load", rig_state(r, state), 1, &load, 6.0 * 3600.0};
    if (rig_solve(r, state, NULL) != BARONET_OK) {
        return 0;
    }
    play_answer *a = NULL;
    cr_assert_eq(play_run(&a, r->rates, r->charge->travel, &s, NULL, NULL), BARONET_OK);
    cr_expect_eq(a->end, PLAY_FINISHED, "%s", state);
    const bool stands = rig_solve_for(r, state, &with) == BARONET_OK;
    if (stands) {
        const rates_answer *rest = rates_result(r->rates);
        const state_standing *at = rest->parked.given ? &rest->parked : &rest->settled;
        for (int i = 0; i < r->model->vehicle.springs; i++) {
            CHECK_ABS(end_of(a, CHANNEL_HEIGHT, i), at->spring_height[i], 2e-5, state);
            CHECK_REL(end_of(a, CHANNEL_GAUGE_PRESSURE, r->model->vehicle.spring[i].node) +
                          r->model->ambient.pressure,
                      at->node_pressure[r->model->vehicle.spring[i].node], 2e-4, state);
        }
    }
    play_free(a);
    return stands;
}

static void rests(const char *path, bool plain) {
    rig r = rig_open_file(path);
    int states = 0;
    if (plain) {
        make_plain(&r);
    }
    for (int i = 0; i < r.model->states; i++) {
        states += comes_to_rest(&r, r.model->state[i].name, 35.0);
    }
    cr_expect_geq(states, 2, "%s", path);
    rig_close(&r);
}

Test(play, what_comes_to_rest_ends_at_the_equilibrium_of_rates) {
    for (int k = 0; demos[k] != NULL; k++) {
        rests(demos[k], true);
    }
}

Test(play, air_that_is_warm_again_ends_there_too) {
    rests("netlists/camper.air", false);
    rests("netlists/bench.air", false);
}

/* Which valves stand open at the end; a piloted one has fallen shut by then. */
static void positions_at_end(const play_answer *a, bool *open) {
    const network *net = &a->dynamics->model->network;
    for (int k = 0; k < net->solenoids; k++) {
        const edge *e = &net->edge[net->solenoid[k]];
        const double difference =
            fabs(a->dynamics->pressure[e->from] - a->dynamics->pressure[e->to]);
        open[k] = a->dynamics->open[k] && (e->opens_above <= 0.0 || difference > e->opens_above);
    }
}

/* With the air that each group holds at the end, the balance that rates is made of stands where
   the event ended. */
static bool ends_in_balance(rig *r, const play_answer *a, const script *s) {
    const dynamics *m = a->dynamics;
    const network *net = &r->model->network;
    bool open[64];
    double amount[200], of_group[200];
    cr_assert(net->solenoids <= 64 && net->nodes <= 200);
    balance *b = NULL;
    problem why;
    positions_at_end(a, open);
    cr_assert_eq(balance_create(&b, r->model, NULL), BARONET_OK);
    cr_assert_eq(balance_set_valves(b, open, false, &why), BARONET_OK);
    for (int i = 0; i < net->nodes; i++) {
        amount[i] = m->pressure[i] * m->volume[i];
    }
    balance_gather(b, amount, of_group);
    const balance_task task = {
        .design = m->design, .sprung = m->sprung, .amount = of_group, .mass = m->mass};
    balance_start(b, &task);
    const bool stands = balance_solve(b, &task, &why) == BARONET_OK;
    for (int i = 0; i < r->model->vehicle.springs && stands; i++) {
        CHECK_ABS(end_of(a, CHANNEL_HEIGHT, i), balance_standing(b)->height[i], 1e-4, s->name);
    }
    balance_destroy(b);
    return stands;
}

static int rested, stood;

static void ends_at_rest(rig *r, const script *s) {
    play_answer *a = rig_play(r, s, NULL);
    if (a->end == PLAY_FINISHED && a->at_rest && !a->dynamics->held) {
        rested++;
        stood += ends_in_balance(r, a, s);
    }
    play_free(a);
}

Test(play, every_event_that_comes_to_rest_ends_in_balance) {
    each_event(ends_at_rest);
    cr_expect_geq(rested, 12, "only %d events come to rest", rested);
    cr_expect_eq(stood, rested, "%d of %d have a balance", stood, rested);
}

static const char *const bench =
    "ambient pressure 100 kPa temperature 20 C\ngas %s\n"
    "profile p area 80 cm2 volume 1.7 L at 160 mm\n"
    "spring s load 400 kg profile p height 160 mm rated 8 bar\n"
    "tank t volume 3 L\nsolenoid v from s to t normally closed bore 4 mm\n"
    "state apart shut v\nstate joined open v\ncharge in joined\n%s\n";

Test(play, held_wheels_and_a_step) {
    rig r = rig_open(bench, "adiabatic",
                     "event e in apart at 0 s hold at 0.1 s step heave 10 mm until 0.5 s");
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    /* p V^1.4 with 80 cm2 over 10 mm: 0.08 L of 1.7 L. */
    const channel *c = record_find(a->record, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "s"));
    CHECK_REL(c->end + 1e5, (c->start + 1e5) * pow(1.70 / 1.62, 1.4), 1e-9, "p V^gamma");
    CHECK_ABS(end_of(a, CHANNEL_HEIGHT, 0), 0.150, 1e-12, "held");
    play_free(a);
    rig_close(&r);
}

Test(play, conditions_fire_each_time_they_come_true) {
    rig r = rig_open(bench, "isothermal",
                     "solenoid fill from air to s normally closed bore 1 mm\n"
                     "supply air pressure 9 bar\n"
                     "event e in apart at 0.5 s load s 40 kg"
                     " when height of s below 155 mm open fill"
                     " when height of s above 159 mm shut fill until 20 s");
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    int opened = 0, shut = 0;
    for (int k = 0; k < a->notes; k++) {
        if (a->note[k].kind == NOTE_ACTION) {
            opened += r.model->script[0].action[a->note[k].item].kind == ACTION_OPEN;
            shut += r.model->script[0].action[a->note[k].item].kind == ACTION_SHUT;
        }
    }
    cr_expect_geq(opened, 1);
    cr_expect_eq(opened, shut);
    cr_expect_gt(a->given, 0.0, "air came from the supply");
    play_free(a);
    rig_close(&r);
}

Test(play, a_piloted_valve_leaves_its_difference_between_two_volumes) {
    rig r = rig_open("ambient pressure 99 kPa temperature 20 C\ngas isothermal\n"
                     "tank a volume 2.3 L pressure 6 bar\ntank b volume 3.1 L pressure 3.7 bar\n"
                     "tank c volume 1.1 L pressure 3.6 bar\n"
                     "solenoid v from a to b normally closed bore 4 mm opens-above 0.42 bar\n"
                     "solenoid w from b to c normally closed bore 4 mm opens-above 2.9 bar\n"
                     "state shut shut v w\n"
                     "event e in shut at 0.1 s open v at 0.1 s open w until 60 s\n");
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    const double p = end_of(a, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "a"));
    const double q = end_of(a, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "b"));
    CHECK_ABS(p - q, 0.42e5, 0.02e5, "it falls shut below what it needs");
    CHECK_REL(2.3 * p + 3.1 * q, 2.3 * 6e5 + 3.1 * 3.7e5, 1e-6, "the air is shared");
    /* w never had enough, and says so. */
    CHECK_REL(end_of(a, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "c")), 3.6e5, 1e-9, "it stays shut");
    bool said = false;
    for (int k = 0; k < a->notes; k++) {
        said = said || (a->note[k].kind == NOTE_PILOT && a->note[k].item == rig_edge(&r, "w"));
    }
    cr_expect(said);
    play_free(a);
    rig_close(&r);
}

Test(play, a_one_way_valve_does_not_hold_from_behind) {
    rig r = rig_open("ambient pressure 99 kPa temperature 20 C\ngas isothermal\n"
                     "tank a volume 2.3 L pressure 2 bar\ntank b volume 3.1 L pressure 6 bar\n"
                     "tank c volume 1.2 L pressure 7 bar\n"
                     "solenoid v from a to b normally closed bore 4 mm one-way\n"
                     "solenoid w from c to b normally closed bore 4 mm one-way\n"
                     "state shut shut v w\nevent e in shut at 0 s shut w until 20 s\n");
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    const double even = (2.3 * 2e5 + 3.1 * 6e5) / 5.4;
    CHECK_REL(end_of(a, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "a")), even, 5e-3, "evened out");
    CHECK_REL(end_of(a, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "c")), 7e5, 1e-9, "it holds forward");
    cr_expect_eq(a->note[0].kind, NOTE_REVERSE);
    play_free(a);
    rig_close(&r);
}

Test(play, a_spring_at_the_end_of_its_table_ends_the_run_by_name) {
    rig r = rig_open(
        "ambient pressure 100 kPa temperature 20 C\ngas isothermal\n"
        "profile p\n height mm area cm2 volume L\n 120 80 1.2\n 160 80 1.52\n 200 80 1.84\n"
        "spring s load 400 kg profile p height 160 mm\n"
        "event e at 0.1 s load s 300 kg until 5 s\n");
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    cr_expect_eq(a->end, PLAY_OFF_PROFILE);
    cr_expect_eq(a->item, 0);
    CHECK_ABS(end_of(a, CHANNEL_HEIGHT, 0), 0.120, 1e-5, "found as a root");
    play_free(a);
    rig_close(&r);
}

Test(play, budgets_end_a_run_and_say_so) {
    rig r = rig_open_file("netlists/camper.air");
    const play_settings few = {.steps = 40};
    play_answer *a = rig_play(&r, &r.model->script[0], &few);
    cr_expect_eq(a->end, PLAY_STEPS);
    cr_expect_eq(a->budget, 40);
    play_free(a);
    rig_close(&r);
}

/* So that a run of any size ends within about as long. */
Test(play, more_unknowns_have_fewer_steps) {
    cr_expect_eq(play_step_budget(0), 300000);
    cr_expect_eq(play_step_budget(1000), 300000);
    cr_expect_eq(play_step_budget(4000), 75000);
}

/* A piston has no table to leave: what ends it is that there is no room left in it. */
Test(play, a_piston_that_bursts_is_squeezed_flat) {
    rig r = rig_open("profile p area 95 cm2 volume 1.9 L at 150 mm\n"
                     "spring s load 690 kg profile p height 163 mm\n"
                     "event e at 0 s burst s bore 8 mm until 1 s");
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    cr_expect_eq(a->end, PLAY_OFF_PROFILE);
    cr_expect_eq(a->item, 0);
    /* 0.05 of (1.9 L + 13 mm x 95 cm2) is 10.65 mm of 95 cm2; the floor is 50 mm below zero. */
    CHECK_ABS(end_of(a, CHANNEL_HEIGHT, 0), -0.05 + 0.01065, 1e-5, "geometry");
    play_free(a);
    rig_close(&r);
}

Test(play, more_mass_cannot_be_taken_off_than_there_is) {
    rig r = rig_open(bench, "isothermal", "event e at 0.1 s load s -400 kg until 1 s");
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    cr_expect_eq(a->end, PLAY_NO_MASS);
    play_free(a);
    rig_close(&r);
}

/* A condition that has no distance between on and off: the spring is filled and let out by turns.
 */
static const char *const nervous =
    "gas isothermal\nprofile p area 21 cm2 volume 0.011 L at 63 mm\n"
    "spring s load 31 kg profile p height 63 mm\nsupply line pressure 2.5 bar\n"
    "solenoid up from line to s normally closed bore 0.5 mm\n"
    "solenoid down from s to atmosphere normally closed bore 0.4 mm\n"
    "state still shut up down\n"
    "event e in still at 0.1 s load s 4 kg"
    " when height of s above 62 mm shut up open down"
    " when height of s below 62 mm open up shut down until 400 s\n";

Test(play, switching_without_end_ends_the_run) {
    rig r = rig_open("%s", nervous);
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    cr_expect_eq(a->end, PLAY_SWITCHES);
    cr_expect_eq(play_status(a->end), BARONET_OVER_BUDGET);
    cr_expect(a->time > 10.0 && a->time < 400.0, "%g s", a->time);
    cr_expect(a->restarts > PLAY_SWITCH_BUDGET && a->restarts <= PLAY_SWITCH_BUDGET + 2,
              "one for each switch: %d", a->restarts);
    /* Each does two things, far more than are kept. */
    cr_expect_eq(a->notes, PLAY_NOTES);
    cr_expect(a->notes_full);
    int up = 0, down = 0;
    for (int k = 0; k < a->notes; k++) {
        if (a->note[k].kind == NOTE_ACTION) {
            const action *did = &r.model->script[0].action[a->note[k].item];
            up += did->kind == ACTION_OPEN && did->item == rig_edge(&r, "up");
            down += did->kind == ACTION_OPEN && did->item == rig_edge(&r, "down");
        }
    }
    cr_expect(up > 90 && abs(up - down) <= 1, "by turns: %d and %d", up, down);
    play_free(a);
    rig_close(&r);
}

/* Held wheels, so that a step moves each spring by its lever alone; uneven in all. */
static void step_held(const char *step, double wheel[4]) {
    static const double ratio[4] = {0.9, 0.83, 0.71, 0.64};
    rig r = rig_open("gas isothermal\nprofile p area 83 cm2 volume 1.7 L at 160 mm\n"
                     "corner FL at 1.42 m 0.79 m load 512 kg\n"
                     "corner FR at 1.37 m -0.77 m load 487 kg\n"
                     "corner RL at -1.55 m 0.72 m load 431 kg\n"
                     "corner RR at -1.61 m -0.74 m load 463 kg\n"
                     "spring fl on FL ratio 0.9 profile p height 160 mm\n"
                     "spring fr on FR ratio 0.83 profile p height 160 mm\n"
                     "spring rl on RL ratio 0.71 profile p height 160 mm\n"
                     "spring rr on RR ratio 0.64 profile p height 160 mm\n"
                     "motion twist FL +0.7 RR -1.2\n"
                     "event e at 0 s hold at 0.1 s step %s until 0.5 s\n",
                     step);
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    cr_assert_eq(a->end, PLAY_FINISHED);
    for (int k = 0; k < 4; k++) {
        wheel[k] = (0.160 - end_of(a, CHANNEL_HEIGHT, k)) / ratio[k];
    }
    play_free(a);
    rig_close(&r);
}

Test(play, steps_in_every_motion_move_the_wheels_by_it) {
    static const double x[4] = {1.42, 1.37, -1.55, -1.61}, y[4] = {0.79, -0.77, 0.72, -0.74};
    double wheel[4];
    step_held("twist 11 mm", wheel);
    CHECK_ABS(wheel[0], 0.7 * 0.011, 1e-12, "the user's own, as given");
    CHECK_ABS(wheel[1], 0.0, 1e-12, "those not named stay");
    CHECK_ABS(wheel[2], 0.0, 1e-12, "those not named stay");
    CHECK_ABS(wheel[3], -1.2 * 0.011, 1e-12, "the user's own, as given");
    step_held("warp 11 mm", wheel);
    double most = 0.0, plane[3] = {0};
    for (int k = 0; k < 4; k++) {
        most = fmax(most, fabs(wheel[k]));
        plane[0] += wheel[k];
        plane[1] += wheel[k] * x[k];
        plane[2] += wheel[k] * y[k];
    }
    CHECK_ABS(most, 0.011, 1e-12, "the wheel that moves most");
    for (int k = 0; k < 3; k++) {
        CHECK_ABS(plane[k], 0.0, 1e-12, "what four wheels can do that no plane does");
    }
}

/* Motions that a mass on a bench does not have move nothing. */
Test(play, a_bench_neither_rolls_nor_warps) {
    static const char *const steps[] = {"roll", "warp"};
    for (int k = 0; k < 2; k++) {
        rig r = rig_open("gas isothermal\nprofile p area 83 cm2 volume 1.7 L at 160 mm\n"
                         "spring s load 390 kg profile p height 160 mm\n"
                         "event e at 0 s hold at 0.1 s step %s 10 mm until 0.5 s",
                         steps[k]);
        play_answer *a = rig_play(&r, &r.model->script[0], NULL);
        cr_expect_eq(a->end, PLAY_FINISHED);
        CHECK_ABS(end_of(a, CHANNEL_HEIGHT, 0), 0.160, 1e-12, "it stands");
        play_free(a);
        rig_close(&r);
    }
}

/* 1.7 L of 80 cm2 are 212.5 mm: 208 leave less than is asked for, 250 less than nothing. */
Test(play, a_step_that_leaves_no_room_ends_the_run_by_the_springs_name) {
    static const char *const steps[] = {"208", "250"};
    for (int k = 0; k < 2; k++) {
        rig r = rig_open("gas isothermal\nprofile p area 80 cm2 volume 1.7 L at 160 mm\n"
                         "spring o load 300 kg profile p height 375 mm\n"
                         "spring s load 400 kg profile p height 160 mm\n"
                         "event e at 0 s hold at 0.1 s step heave %s mm until 1 s",
                         steps[k]);
        play_answer *a = rig_play(&r, &r.model->script[0], NULL);
        cr_expect_eq(a->end, PLAY_OFF_PROFILE, "%s mm: %d", steps[k], a->end);
        cr_expect_eq(a->item, 1, "%s mm", steps[k]);
        CHECK_ABS(a->time, 0.1, 1e-9, "at once");
        play_free(a);
        rig_close(&r);
    }
}

/* Two holes of one bore in one tank let out what one of twice the area does. */
Test(play, a_tank_that_bursts_twice_has_two_holes) {
    static const char *const bursts[] = {"burst t bore 0.7 mm burst t bore 0.7 mm",
                                         "burst t bore 0.98994949366 mm"}; /* 0.7 mm x 2^0.5 */
    double left[2];
    for (int k = 0; k < 2; k++) {
        rig r = rig_open("gas adiabatic\ntank t volume 2.3 L pressure 6.1 bar\n"
                         "event e in rest at 0.1 s %s until 1.7 s",
                         bursts[k]);
        play_answer *a = rig_play(&r, &r.model->script[0], NULL);
        left[k] = end_of(a, CHANNEL_GAUGE_PRESSURE, rig_node(&r, "t"));
        cr_expect_lt(left[k], 5.5e5);
        play_free(a);
        rig_close(&r);
    }
    CHECK_REL(left[0], left[1], 1e-5, "areas add");
}

/* What stands after the action that ends a run is not done. */
Test(play, nothing_is_done_after_the_end) {
    rig r = rig_open(bench, "isothermal", "event e at 0.1 s load s -400 kg open v until 1 s");
    play_answer *a = rig_play(&r, &r.model->script[0], NULL);
    cr_expect_eq(a->end, PLAY_NO_MASS);
    cr_expect_eq(a->item, rig_corner(&r, "s"));
    cr_assert_eq(a->notes, 1);
    cr_expect_eq(a->note[0].item, 0, "the load alone");
    play_free(a);
    rig_close(&r);
}

/* A van with wheels that weigh something, uneven in all; loads at the end of a long push. */
static void push_vehicle(const char *push, double loads[4], double before[4], double *lean,
                         double *rake) {
    rig r = rig_open("gas isothermal\n"
                     "vehicle cg-height 0.83 m roll-axis 0.21 m\n"
                     "corner FL at 1.42 m 0.79 m load 512 kg axle f unsprung 41 kg tyre 231 N/mm "
                     "damper 3.9 kN.s/m coil 31 N/mm\n"
                     "corner FR at 1.42 m -0.77 m load 487 kg axle f unsprung 43 kg tyre 227 N/mm "
                     "damper 3.8 kN.s/m coil 33 N/mm\n"
                     "corner RL at -1.55 m 0.72 m load 431 kg axle r unsprung 68 kg tyre 251 N/mm "
                     "damper 4.3 kN.s/m coil 37 N/mm\n"
                     "corner RR at -1.55 m -0.74 m load 463 kg axle r unsprung 57 kg tyre 249 N/mm "
                     "damper 4.2 kN.s/m coil 35 N/mm\n"
                     "tank spare volume 1 L pressure 2 bar\n"
                     "event push in rest at 0.1 s %s over 0.4 s until 15 s\n",
                     push);
    const play_settings fine = {.tolerance = 1e-7};
    play_answer *a = rig_play(&r, &r.model->script[0], &fine);
    cr_assert_eq(a->end, PLAY_FINISHED);
    for (int c = 0; c < 4; c++) {
        loads[c] = end_of(a, CHANNEL_LOAD, c);
        before[c] = rates_result(r.rates)->settled.load[c];
    }
    *lean = end_of(a, CHANNEL_BODY, MOTION_ROLL);
    *rake = end_of(a, CHANNEL_BODY, MOTION_PITCH);
    play_free(a);
    rig_close(&r);
}

Test(play, loads_in_a_bend_and_under_braking_balance_about_the_ground) {
    /* Statics: the couple of all tyre loads about the ground is that of every mass at its height;
       0.33 m for the wheels' own is common practice, no source. */
    static const double x[4] = {1.42, 1.42, -1.55, -1.55}, y[4] = {0.79, -0.77, 0.72, -0.74};
    const double a = 2.3, weight = (512.0 + 487.0 + 431.0 + 463.0), own = 41.0 + 43.0 + 68.0 + 57.0;
    const double mass = weight - own, g = 9.80665;
    double loads[4], before[4], lean, rake, sum = 0.0, couple = 0.0;
    push_vehicle("lateral 2.3 m/s2", loads, before, &lean, &rake);
    for (int c = 0; c < 4; c++) {
        sum += loads[c];
        couple -= y[c] * (loads[c] - before[c]);
    }
    CHECK_REL(sum, weight * g, 1e-5, "weight");
    CHECK_REL(couple, a * (mass * 0.83 + own * 0.33) + mass * g * (0.83 - 0.21) * lean, 1e-5,
              "moments about the ground");
    cr_assert_gt(lean, 0.02, "ISO 8855: a left-hand bend lifts the left side, positive roll");
    sum = couple = 0.0;
    push_vehicle("braking 2.3 m/s2", loads, before, &lean, &rake);
    for (int c = 0; c < 4; c++) {
        sum += loads[c];
        couple += x[c] * (loads[c] - before[c]);
    }
    CHECK_REL(sum, weight * g, 1e-5, "weight");
    CHECK_REL(couple, a * (mass * 0.83 + own * 0.33), 1e-5, "moments about the ground");
    cr_assert_gt(rake, 0.01, "ISO 8855: the nose goes down, positive pitch");
}
