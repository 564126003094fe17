/* The page of `draw`: a plan of the plumbing, with a list of what joins what. */
#include <string.h>

#include "netlist/netlist.h"
#include "output/inquiry.h"
#include "output/paths_section.h"
#include "output/plan.h"
#include "output/words.h"

/* What a list of words (commas between) asks for; false where it has a word that is none. */
static bool read_wishes(const char *list, bool *bores, bool *pressures) {
    for (const char *at = list; at != NULL && *at != '\0';) {
        const text word = {at, strcspn(at, ",")};
        const bool bore = text_equals(word, "bores"), pressure = text_equals(word, "pressures");
        *bores = *bores || bore;
        *pressures = *pressures || pressure;
        if (!bore && !pressure) {
            return false;
        }
        at += word.length + (at[word.length] == ',');
    }
    return true;
}

/* The state of a name, -1 where there is none such. */
static int find_state(const model *m, const char *name) {
    for (int k = 0; k < m->states; k++) {
        if (strcmp(m->state[k].name, name) == 0) {
            return k;
        }
    }
    return -1;
}

/* Draws on a page, in a state or with the valves at rest (-1). */
static baronet_status draw(page *p, const model *m, int state, plan_wish wish, const char **what) {
    if (state >= 0) {
        wish.open = m->state[state].open;
        wish.state = m->state[state].name;
    }
    page_set_study(p, "draw");
    page_addf(p, BLOCK_LEAD, "%d path%s between %d volume%s%s%s; as a drawing with --as svg.",
              m->network.edges, m->network.edges == 1 ? "" : "s", m->network.nodes - 1,
              m->network.nodes - 1 == 1 ? "" : "s", wish.state != NULL ? ", in state " : "",
              wish.state != NULL ? wish.state : "");
    const baronet_status status = page_plan(p, m, &wish);
    *what = status == BARONET_TOO_MANY ? "a drawing has 400 parts at most" : *what;
    paths_section(p, m, wish.open);
    return status;
}

/* With the pressures of a state, which has to be solved for them. */
static baronet_status draw_solved(const baronet_netlist *netlist, const baronet_question *question,
                                  plan_wish wish, baronet_answer **answer, const char **what) {
    const model *m = netlist_model(netlist);
    const baronet_question asked = inquiry_of_one_state(m, question);
    inquiry q;
    baronet_status status = inquiry_open(&q, netlist, &asked, STATES_NAMED, INQUIRY_STANDING, what);
    if (status != BARONET_OK) {
        return inquiry_close(&q, status, answer);
    }
    const states_entry *e = q.problem.status == BARONET_OK ? &q.states.entry[0] : NULL;
    if (e != NULL) {
        inquiry_title(&q);
    }
    if (e != NULL && e->problem.status == BARONET_OK) {
        wish.pressure = rates_result(e->rates)->settled.node_pressure;
    } else if (e != NULL) {
        page_addf(q.page, BLOCK_CAUTION, "%s: no pressures: %s", e->name,
                  words_problem(q.page, q.model, &e->problem));
    }
    status = draw(q.page, m, q.state, wish, what);
    return inquiry_close(&q, status, answer);
}

baronet_status baronet_draw(const baronet_netlist *netlist, const baronet_question *question,
                            baronet_answer **answer, const char **what) {
    const char *unwanted = NULL;
    what = what != NULL ? what : &unwanted;
    const model *m = netlist_model(netlist);
    bool pressures = false;
    plan_wish wish = {0};
    *answer = NULL;
    if (!read_wishes(question->show, &wish.bores, &pressures)) {
        *what = question->show;
        return BARONET_NO_SUCH_NAME;
    }
    const int state = question->state != NULL ? find_state(m, question->state) : -1;
    if (question->state != NULL && state < 0) {
        *what = question->state;
        return BARONET_NO_SUCH_NAME;
    }
    if (pressures) {
        return draw_solved(netlist, question, wish, answer, what);
    }
    page *p = page_create(netlist_allocator(netlist), question->units);
    if (p == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    page_add(p, BLOCK_TITLE, m->about[0] != '\0' ? m->about : "Untitled netlist");
    baronet_status status = draw(p, m, state, wish, what);
    status = status == BARONET_OK && p->failed ? BARONET_OUT_OF_MEMORY : status;
    *answer = status == BARONET_OK ? p : NULL;
    if (status != BARONET_OK) {
        baronet_answer_destroy(p);
    }
    return status;
}
