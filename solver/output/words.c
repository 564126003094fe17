#include "output/words.h"

#include <float.h>
#include <math.h>

/* Errors from which on figures have a caution: people are shown three digits, and no part is known
   to six. Of a standing in m, rad or 100 kPa: a micrometre; of others as parts of themselves. */
#define ERROR_WORTH 1e-6

static const char *const motion_words[BODY_MOTIONS] = {"heave", "roll", "pitch"};

static const char *motion_name(const model *m, int item) {
    return item >= 0 ? motion_words[item] : m->vehicle.corner[-1 - item].name;
}

const char *words_join(page *p, const char *list, const char *next, bool last) {
    if (list[0] == '\0') {
        return page_copy(p, next);
    }
    return page_format(p, "%s%s%s", list, last ? " and " : ", ", next);
}

const char *words_position(page *p, const model *m, const bool *open) {
    const network *net = &m->network;
    int count = 0;
    int shown = 0;
    for (int k = 0; k < net->solenoids; k++) {
        count += open[k];
    }
    const char *list = "";
    for (int k = 0; k < net->solenoids; k++) {
        if (open[k]) {
            shown++;
            list = words_join(p, list, net->edge[net->solenoid[k]].name, shown == count);
        }
    }
    if (net->solenoids == 0) {
        return "no solenoids";
    }
    return count == 0 ? "every solenoid shut" : page_format(p, "open: %s", list);
}

const char *words_state(page *p, const model *m, const states_entry *e) {
    return page_format(p, "%s%s%s", words_position(p, m, e->open), e->rest ? "; de-energised" : "",
                       e->named == m->charge_state ? "; charged here" : "");
}

typedef const char *problem_words(page *p, const model *m, const problem *why);

static const char *off_profile(page *p, const model *m, const problem *why) {
    return page_format(
        p,
        "`%s` ran off its profile: %s %s row of its table; it needs more or less air, "
        "more volume, or a longer table",
        m->vehicle.spring[why->item].name, page_quantity(p, BARONET_LENGTH, fabs(why->amount)),
        why->amount < 0.0 ? "below the lowest" : "above the highest");
}

static const char *slack(page *p, const model *m, const problem *why) {
    return page_format(p, "`%s` would go slack: it would have to pull, %s below ambient",
                       m->vehicle.spring[why->item].name,
                       page_quantity(p, BARONET_PRESSURE, -why->amount));
}

static const char *wheel_lifts(page *p, const model *m, const problem *why) {
    return page_format(p, "wheel `%s` would lift: the ground would have to pull %s",
                       m->vehicle.corner[why->item].name,
                       page_quantity(p, BARONET_FORCE, -why->amount));
}

static const char *neutral(page *p, const model *m, const problem *why) {
    return page_format(p, "nothing holds %s: no stiffness is left against it",
                       motion_name(m, why->item));
}

static const char *unstable(page *p, const model *m, const problem *why) {
    return page_format(p, "unstable in %s: it tips over from where it would balance",
                       motion_name(m, why->item));
}

static const char *flat(page *p, const model *m, const problem *why) {
    return page_format(p, "flat: `%s` is open to the atmosphere and carries nothing",
                       m->vehicle.spring[why->item].name);
}

static const char *two_sources(page *p, const model *m, const problem *why) {
    return page_format(p, "`%s` and `%s` hold different pressures and are joined",
                       m->network.node[why->item].name, m->network.node[why->other].name);
}

static const char *of_spring_or_corner(const model *m, const problem *why) {
    return why->item >= 0 ? m->vehicle.spring[why->item].name : m->vehicle.corner[why->other].name;
}

static const char *contradiction(page *p, const model *m, const problem *why) {
    return page_format(p,
                       "`%s`: its springs and coil give %s where the load leaves %s; give two "
                       "of load, height and pressure, or a coil that takes the rest",
                       of_spring_or_corner(m, why), page_quantity(p, BARONET_FORCE, why->amount),
                       page_quantity(p, BARONET_FORCE, why->wanted));
}

static const char *undetermined(page *p, const model *m, const problem *why) {
    return page_format(p,
                       "`%s`: load, height or pressure cannot be told from what is given; give "
                       "one more of them",
                       of_spring_or_corner(m, why));
}

static const char *no_air(page *p, const model *m, const problem *why) {
    return page_format(p,
                       "`%s` is shut off from every spring when the system is charged: give it "
                       "a `pressure`, or charge in a state that opens it (`charge in`)",
                       m->network.node[why->item].name);
}

/* Statuses that are about something; for all others the words of the status do. */
static problem_words *const problems[] = {
    [BARONET_OFF_PROFILE] = off_profile,   [BARONET_SLACK] = slack,
    [BARONET_WHEEL_LIFTS] = wheel_lifts,   [BARONET_NEUTRAL] = neutral,
    [BARONET_UNSTABLE] = unstable,         [BARONET_FLAT] = flat,
    [BARONET_TWO_SOURCES] = two_sources,   [BARONET_CONTRADICTION] = contradiction,
    [BARONET_UNDETERMINED] = undetermined, [BARONET_NO_AIR] = no_air,
};

const char *words_problem(page *p, const model *m, const problem *why) {
    const size_t status = (size_t)why->status;
    problem_words *const say =
        status < sizeof problems / sizeof *problems ? problems[status] : NULL;
    return say != NULL ? say(p, m, why) : baronet_status_text(why->status);
}

typedef const char *caution_words(page *p, const model *m, const caution *one);

static const char *amount_of(page *p, const caution *one) {
    return page_quantity(p, BARONET_PRESSURE, one->amount);
}

static const char *limit_of(page *p, const caution *one) {
    return page_quantity(p, BARONET_PRESSURE, one->limit);
}

static const char *over_rated(page *p, const model *m, const caution *one) {
    return page_format(p, "`%s` reaches %s and is rated %s", m->network.node[one->item].name,
                       amount_of(p, one), limit_of(p, one));
}

static const char *pilot_starved(page *p, const model *m, const caution *one) {
    return page_format(p,
                       "`%s` needs a difference of %s to open, and only %s stands across it: "
                       "it may stay shut",
                       m->network.edge[one->item].name, limit_of(p, one), amount_of(p, one));
}

static const char *reverse(page *p, const model *m, const caution *one) {
    return page_format(p, "`%s` is shut against %s from behind, which it cannot hold: it leaks",
                       m->network.edge[one->item].name, amount_of(p, one));
}

static const char *spring_flat(page *p, const model *m, const caution *one) {
    return page_format(p, "`%s` is open to the atmosphere: flat",
                       m->vehicle.spring[one->item].name);
}

static const char *above_tests(page *p, const model *m, const caution *one) {
    return page_format(p, "`%s` is at %s; its load table ends at %s and is carried on straight",
                       m->vehicle.spring[one->item].name, amount_of(p, one), limit_of(p, one));
}

static const char *on_stop(page *p, const model *m, const caution *one) {
    return page_format(p, "`%s` rests on its %s stop, %s in", m->vehicle.corner[one->item].name,
                       one->amount > 0.0 ? "bump" : "rebound",
                       page_quantity(p, BARONET_LENGTH, fabs(one->amount)));
}

static const char *law_assumed(page *p, const model *m, const caution *one) {
    const bool several = one->amount > 1.0;
    return page_format(p,
                       "%d path%s (`%s` first) rest%s on an assumed value (cd %s, xt %s or "
                       "roughness 1.5 um); so does what is felt through %s",
                       (int)one->amount, several ? "s" : "", m->network.edge[one->item].name,
                       several ? "" : "s", page_number(p, BARONET_NUMBER, LAW_DEFAULT_DISCHARGE, 1),
                       page_number(p, BARONET_NUMBER, LAW_DEFAULT_XT, 1), several ? "them" : "it");
}

static const char *not_consistent(page *p, const model *m, const caution *one) {
    (void)m;
    return page_format(p,
                       "the swing's path resistances settled only to %s of themselves: what "
                       "is felt is good to about that",
                       page_slight(p, one->amount));
}

static const char *below_vacuum(page *p, const model *m, const caution *one) {
    (void)p, (void)m, (void)one;
    return "at this swing a pressure would pass below vacuum: what is felt is no figure there";
}

static const char *gas_assumed(page *p, const model *m, const caution *one) {
    (void)p, (void)m, (void)one;
    return "air is assumed adiabatic in quick changes (no `gas` statement)";
}

static const char *ambient_assumed(page *p, const model *m, const caution *one) {
    (void)one;
    return page_format(p, "ambient is assumed: %s absolute and %s (no `ambient` statement)",
                       page_quantity(p, BARONET_PRESSURE, m->ambient.pressure),
                       page_quantity(p, BARONET_TEMPERATURE, m->ambient.temperature));
}

static const char *inertia(page *p, const char *what, const caution *one) {
    return page_format(p,
                       "%s inertia is estimated at %s from the corner loads; the %s frequency "
                       "rests on it",
                       what, page_quantity(p, BARONET_INERTIA, one->amount), what);
}

static const char *roll_inertia(page *p, const model *m, const caution *one) {
    (void)m;
    return inertia(p, "roll", one);
}

static const char *pitch_inertia(page *p, const model *m, const caution *one) {
    (void)m;
    return inertia(p, "pitch", one);
}

static const char *no_arm(page *p, const model *m, const caution *one) {
    (void)p, (void)m, (void)one;
    return "no roll gradient: `vehicle` lacks `cg-height` or `roll-axis`, so gravity's part in "
           "roll is left out";
}

static const char *unrated(page *p, const model *m, const caution *one) {
    const char *first = m->network.node[one->item].name;
    return one->amount > 1.0
               ? page_format(p, "%d springs and tanks have no `rated` pressure (`%s` first)",
                             (int)one->amount, first)
               : page_format(p, "`%s` has no `rated` pressure", first);
}

/* How each caution reads; those without words of their own differ by their part only, and are one
   sentence that names all parts. */
static const struct {
    block_kind block;
    caution_words *words;
} cautions[CAUTION_KINDS] = {
    [CAUTION_OVER_RATED] = {BLOCK_CAUTION, over_rated},
    [CAUTION_PILOT_STARVED] = {BLOCK_CAUTION, pilot_starved},
    [CAUTION_REVERSE] = {BLOCK_CAUTION, reverse},
    [CAUTION_FLAT] = {BLOCK_CAUTION, spring_flat},
    [CAUTION_ABOVE_TESTS] = {BLOCK_CAUTION, above_tests},
    [CAUTION_ON_STOP] = {BLOCK_CAUTION, on_stop},
    [CAUTION_COUNTS_SHUT] = {BLOCK_NOTE, NULL},
    [CAUTION_AT_AMBIENT] = {BLOCK_NOTE, NULL},
    [CAUTION_LAW_ASSUMED] = {BLOCK_NOTE, law_assumed},
    [CAUTION_NOT_CONSISTENT] = {BLOCK_CAUTION, not_consistent},
    [CAUTION_BELOW_VACUUM] = {BLOCK_CAUTION, below_vacuum},
    [CAUTION_GAS_ASSUMED] = {BLOCK_NOTE, gas_assumed},
    [CAUTION_AMBIENT_ASSUMED] = {BLOCK_NOTE, ambient_assumed},
    [CAUTION_ROLL_INERTIA] = {BLOCK_NOTE, roll_inertia},
    [CAUTION_PITCH_INERTIA] = {BLOCK_NOTE, pitch_inertia},
    [CAUTION_NO_ARM] = {BLOCK_NOTE, no_arm},
    [CAUTION_UNRATED] = {BLOCK_CAUTION, unrated},
};

/* More cautions than this on one page, and more names in one, are counted only: a page is for
   reading. */
enum { CAUTIONS_SHOWN = 24, NAMES_SHOWN = 12 };

static const char *group_words(page *p, const model *m, const caution_list *list,
                               caution_kind kind) {
    const char *names = "";
    int count = 0, shown = 0;
    for (size_t i = 0; i < list->count; i++) {
        count += list->caution[i].kind == kind;
    }
    for (size_t i = 0; i < list->count && shown < NAMES_SHOWN; i++) {
        const caution *one = &list->caution[i];
        if (one->kind == kind) {
            const char *name = kind == CAUTION_COUNTS_SHUT ? m->network.edge[one->item].name
                                                           : m->network.node[one->item].name;
            shown++;
            names = words_join(p, names, page_format(p, "`%s`", name), shown == count);
        }
    }
    if (count > shown) {
        names = page_format(p, "%s and %d more", names, count - shown);
    }
    return kind == CAUTION_COUNTS_SHUT
               ? page_format(p, "%s count%s as shut in these figures, which are of small changes",
                             names, count == 1 ? "s" : "")
               : page_format(p,
                             "%s %s shut off when the system is charged and hold%s ambient "
                             "pressure",
                             names, count == 1 ? "is" : "are", count == 1 ? "s" : "");
}

/* Whether an earlier entry has named this one already. */
static bool is_named(const caution_list *list, size_t index) {
    const caution_kind kind = list->caution[index].kind;
    for (size_t i = 0; i < index && cautions[kind].words == NULL; i++) {
        if (list->caution[i].kind == kind) {
            return true;
        }
    }
    return false;
}

void words_safety(page *p) {
    page_add(p, BLOCK_CAUTION,
             "compressed air and a raised vehicle can kill: support the vehicle on stands, let "
             "the pressure out before opening a line, use rated parts and tested vessels only; "
             "local codes and a licensed practitioner decide");
}

double words_condition(page *p, rates *r) {
    double condition = 0.0;
    const baronet_status status = balance_condition(rates_balance(r, false), &condition);
    p->failed = p->failed || status != BARONET_OK;
    return condition;
}

/* A caution where a standing may be out by that much. */
static void say_error(page *p, const char *where, double error) {
    if (error > ERROR_WORTH) {
        page_addf(p, BLOCK_CAUTION,
                  "%sso little holds it that heights may be out by %s, and what follows from them",
                  where, page_quantity(p, BARONET_LENGTH, error));
    }
}

void words_balance(page *p, const balance_account *account, double condition) {
    page_addf(p, BLOCK_NOTE,
              "equilibrium of %d unknowns in %d steps, residual at most %s, condition about %s",
              account->unknowns, account->iterations, page_slight(p, account->residual),
              page_slight(p, condition));
    say_error(p, "", balance_error(account, condition));
}

void words_equilibria(page *p, const states_answer *states, level at, balance_worst beside) {
    const bool partly = beside.residual > 0.0 && beside.condition <= 0.0;
    balance_worst all = beside;
    p->failed = p->failed || states_join(&all, states, at) != BARONET_OK;
    if (all.residual <= 0.0 && all.condition <= 0.0) {
        return; /* nothing stands, or has nothing to solve */
    }
    const char *const condition =
        all.condition > 0.0
            ? page_format(p, ", condition about %s%s", page_slight(p, all.condition),
                          partly ? " as the netlist is" : "")
            : "";
    page_addf(p, BLOCK_NOTE, "equilibria: residual at most %s%s", page_slight(p, all.residual),
              condition);
    say_error(p, all.where != NULL ? page_format(p, "%s: ", all.where) : "", all.error);
}

/* A solve loses as many digits as the condition has (Higham, Accuracy and Stability of Numerical
   Algorithms, 2nd ed. 2002, section 7.2). */
void words_rounding(page *p, double condition) {
    const double error = condition * DBL_EPSILON;
    if (error > ERROR_WORTH) {
        page_addf(p, BLOCK_CAUTION,
                  "the equations are nearly singular: rounding may show as %s of the largest "
                  "figures; ask for frequencies that are not so far below those of the air",
                  page_slight(p, error));
    }
}

void words_cautions(page *p, const charge *c, const states_answer *states) {
    caution_list list = {.allocator = p->allocator};
    caution_find(&list, c, states);
    p->failed = p->failed || list.failed;
    static const block_kind order[] = {BLOCK_CAUTION, BLOCK_NOTE};
    int shown = 0;
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < list.count; i++) {
            const caution *one = &list.caution[i];
            if (cautions[one->kind].block != order[pass] || is_named(&list, i) ||
                shown++ >= CAUTIONS_SHOWN) {
                continue;
            }
            caution_words *const say = cautions[one->kind].words;
            const char *words =
                say != NULL ? say(p, c->model, one) : group_words(p, c->model, &list, one->kind);
            if (one->state >= 0 && one->states == 1 && states->count > 1) {
                page_addf(p, order[pass], "%s: %s", states->entry[one->state].name, words);
            } else if (one->state >= 0 && one->states > 1) {
                page_addf(p, order[pass], "%s (in %d states, %s in %s)", words, one->states,
                          one->amount != 0.0 ? "worst" : "first", states->entry[one->state].name);
            } else {
                page_add(p, order[pass], words);
            }
        }
    }
    if (shown > CAUTIONS_SHOWN) {
        page_addf(p, BLOCK_NOTE, "and %d more", shown - CAUTIONS_SHOWN);
    }
    words_safety(p);
    caution_free(&list);
}
