#include "solved.h"

#include <criterion/criterion.h>
#include <math.h>

#include "ask.h"
#include "output/page.h"
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
