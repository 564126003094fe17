#include "solved.h"

#include <criterion/criterion.h>
#include <math.h>

#include "ask.h"
#include "output/page.h"
#include "studies/felt.h"
#include "studies/ride.h"
#include "studies/rig.h"

typedef struct worst {
    double residual, condition;
} worst;

static void take(worst *all, balance *b) {
    double condition;
    cr_assert_eq(balance_condition(b, &condition), BARONET_OK);
    all->residual = fmax(all->residual, balance_report(b).residual);
    all->condition = fmax(all->condition, condition);
}

static worst find(const char *path, const char *with, level at) {
    worst all = {0.0, 0.0};
    rig r = rig_open_file(path);
    for (int k = 0; k < r.model->states; k++) {
        if (rig_solve(&r, r.model->state[k].name, with) != BARONET_OK) {
            continue;
        }
        const bool other = rates_result(r.rates)->parked.given;
        if (at != LEVEL_PARKED || !other) {
            take(&all, rates_balance(r.rates, false));
        }
        if (other && (at == LEVEL_PARKED || at == LEVEL_NONE)) {
            take(&all, rates_balance(r.rates, true));
        }
    }
    rig_close(&r);
    return all;
}

void solved_expect(const char *got, const char *path, const char *with, level at, double beside,
                   const char *words) {
    const worst all = find(path, with, at);
    baronet_answer *const p = page_create(NULL, BARONET_METRIC);
    cr_assert(all.condition > 0.1);
    ask_expect(got, page_format(p, "note: equilibria: residual at most %s, condition about %s%s",
                                page_slight(p, fmax(all.residual, beside)),
                                page_slight(p, all.condition), words));
    baronet_answer_destroy(p);
}

static void expect_ride(const char *got, const ride_answer *a) {
    baronet_answer *const p = page_create(NULL, BARONET_METRIC);
    const swing_account *const paths = &a->modes.straight;
    swing_account roads = {0};
    for (int k = 0; k < a->roads; k++) {
        swing_join(&roads, &a->comfort[k].account);
    }
    cr_assert(a->roads > 1 && roads.linear > 0.0 && paths->condition > 0.0);
    ask_expect(got,
               page_format(p,
                           "consistent to %s (linear residual at most %s, condition about "
                           "%s); each fulfils its equation within %s ",
                           page_slight(p, paths->residual), page_slight(p, paths->linear),
                           page_slight(p, paths->condition), page_slight(p, a->modes.residual)));
    ask_expect(got, page_format(p, "%d rounds, to %s of themselves; linear residual at most %s; ",
                                roads.iterations, page_slight(p, roads.residual),
                                page_slight(p, roads.linear)));
    baronet_answer_destroy(p);
}

void solved_expect_ride(const char *got, const char *path) {
    rig r = rig_open_file(path);
    bool assumed;
    const ride_question question = {.parts = RIDE_ALL,
                                    .amplitude = 0.01,
                                    .frequency = 1.0,
                                    .road = ride_road(r.model, -1, 0.0, &assumed)};
    for (int k = 0; k < r.model->states; k++) {
        ride_answer a;
        rig_answer(&r, r.model->state[k].name, NULL);
        cr_assert_eq(felt_solve(r.rates, question.amplitude, NULL), BARONET_OK);
        cr_assert_eq(ride_solve(&a, r.arena, r.rates, &question, NULL), BARONET_OK);
        expect_ride(got, &a);
    }
    rig_close(&r);
}
