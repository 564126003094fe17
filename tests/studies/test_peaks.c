/* tests of peaks */
#include "studies/peaks.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "studies/rig.h"
#include "support.h"

static peaks find(rig *r) {
    peaks p;
    cr_assert_eq(charge_solve(r->charge, &r->problem), BARONET_OK);
    cr_assert_eq(peaks_find(&p, r->arena, r->charge, NULL), BARONET_OK);
    return p;
}

static const peak *at(const rig *r, const peaks *p, const char *name) {
    return &p->node[rig_node(r, name)];
}

static const char *const bench =
    "ambient pressure 97 kPa temperature 20 C\ngas isothermal\n"
    "profile p area 83 cm2 volume 1.7 L at 160 mm\n"
    "spring s load 410 kg profile p height 160 mm\n"
    "tank t volume 3.1 L pressure 2.5 bar\nsupply line pressure 7 bar\n"
    "solenoid v from s to t normally closed bore 4 mm\n"
    "solenoid w from line to t normally closed bore 2 mm\n"
    "state apart shut v w\nstate joined open v\n%s";

Test(peaks, a_spring_is_highest_when_it_is_filled_where_a_tank_only_takes) {
    rig r = rig_open(bench, "");
    const peaks p = find(&r);
    const peak *s = at(&r, &p, "s");
    CHECK_REL(s->gauge, 410.0 * 9.80665 / 83e-4, 1e-9, "load over area");
    cr_expect_eq(s->kind, PEAK_FILLED);
    /* Joined, the weight still stands on the same area: the tank meets what the spring has. */
    const peak *t = at(&r, &p, "t");
    CHECK_REL(t->gauge, 410.0 * 9.80665 / 83e-4, 1e-9, "a constant area carries at one pressure");
    cr_expect_eq(t->kind, PEAK_STATE);
    cr_expect_eq(t->state, rig_state(&r, "joined"));
    cr_expect_eq(t->load_case, -1);
    CHECK_REL(at(&r, &p, "line")->gauge, 7e5, 1e-12, "held");
    cr_expect_eq(at(&r, &p, "line")->kind, PEAK_HELD);
    cr_expect_eq(p.node[0].gauge, 0.0, "the atmosphere");
    cr_expect_eq(p.gaps, 0);
    rig_close(&r);
}

Test(peaks, a_case_and_an_event_count) {
    rig r = rig_open(bench, "case heavy s 61 kg\n"
                            "event fill in apart at 0.1 s open w until 60 s\n");
    const peaks p = find(&r);
    const peak *s = at(&r, &p, "s"), *t = at(&r, &p, "t");
    CHECK_REL(s->gauge, 471.0 * 9.80665 / 83e-4, 1e-9, "load over area");
    cr_expect_eq(s->kind, PEAK_STATE);
    cr_expect_eq(s->load_case, 0);
    CHECK_REL(t->gauge, 7e5, 1e-4, "filled from the line in a minute");
    cr_expect_eq(t->kind, PEAK_EVENT);
    cr_expect_eq(t->script, 0);
    rig_close(&r);
}

Test(peaks, what_has_no_answer_is_listed) {
    /* The first case takes the weight off; the event takes more off than there is. */
    rig r = rig_open(bench, "case gone s -450 kg\n"
                            "event lift in apart at 0.5 s load s -500 kg until 2 s\n"
                            "event calm in joined at 0.1 s load s 3 kg until 0.5 s\n");
    const peaks p = find(&r);
    int states = 0, events = 0;
    for (int k = 0; k < p.gaps; k++) {
        const peak_gap *g = &p.gap[k];
        states += !g->started && g->load_case == 0 && g->why.status != BARONET_OK;
        events += g->started && g->script == 0 && g->end == PLAY_NO_MASS;
    }
    cr_expect_eq(states, 2, "both states in the case, not %d", states);
    cr_expect_eq(events, 1);
    cr_expect_eq(p.gaps, 3);
    rig_close(&r);
}

Test(peaks, no_state_case_or_event_is_above_them) {
    rig r = rig_open_file("netlists/bench.air");
    const peaks p = find(&r);
    const double slack = 2.0 * PEAKS_SAME * r.model->ambient.pressure;
    for (int state = 0; state < r.model->states; state++) {
        const rates_answer *answer = rig_answer(&r, r.model->state[state].name, NULL);
        for (int i = 0; i < r.model->network.nodes; i++) {
            cr_expect_leq(answer->settled.node_pressure[i] - r.model->ambient.pressure,
                          p.node[i].gauge + slack);
        }
    }
    for (int k = 0; k < r.model->scripts; k++) {
        const script *s = &r.model->script[k];
        play_answer *a = rig_play(&r, s, NULL);
        for (int i = 0; i < a->record->channels; i++) {
            const channel *c = &a->record->channel[i];
            if (c->kind == CHANNEL_GAUGE_PRESSURE) {
                cr_expect_leq(c->highest, p.node[c->item].gauge * (1.0 + 1e-4) + slack);
            }
        }
        play_free(a);
    }
    rig_close(&r);
}

/* An event cannot start from what does not stand: it is a gap, with the reason of its state. */
Test(peaks, an_event_from_what_does_not_stand_is_missed) {
    rig r = rig_open(bench, "supply other pressure 6 bar\n"
                            "restrictor x from other to t bore 2 mm\n"
                            "state two open w\nevent in-two in two at 0.1 s open v until 1 s\n"
                            "event at-rest in rest at 0.1 s open v until 1 s\n");
    const peaks p = find(&r);
    int of_event = 0, of_state = 0;
    for (int k = 0; k < p.gaps; k++) {
        if (p.gap[k].state == rig_state(&r, "two")) {
            cr_expect_eq(p.gap[k].why.status, BARONET_TWO_SOURCES);
            cr_expect_not(p.gap[k].started);
            of_event += p.gap[k].script == 0;
            of_state += p.gap[k].script < 0;
        }
    }
    cr_expect_eq(of_event, 1);
    cr_expect_eq(of_state, 1);
    rig_close(&r);
}
