#include "output/inquiry.h"

#include <string.h>

#include "output/words.h"
#include "studies/felt.h"

static baronet_status find_names(inquiry *q, const baronet_question *question, const char **what) {
    const model *m = q->model;
    q->state = -1;
    q->load_case = "";
    for (int k = 0; question->state != NULL && k < m->states; k++) {
        if (strcmp(m->state[k].name, question->state) == 0) {
            q->state = k;
        }
    }
    if (question->state != NULL && q->state < 0) {
        *what = question->state;
        return BARONET_NO_SUCH_NAME;
    }
    if (question->load_case == NULL || question->load_case[0] == '\0') {
        return BARONET_OK;
    }
    for (int k = 0; k < m->cases; k++) {
        if (strcmp(m->load_case[k].name, question->load_case) == 0) {
            q->with = &m->load_case[k];
            q->load_case = q->with->name;
        }
    }
    if (q->with == NULL) {
        *what = question->load_case;
        return BARONET_NO_SUCH_NAME;
    }
    return BARONET_OK;
}

static const char *gas_words(page *p, gas g) {
    switch (g.kind) {
    case GAS_EXPONENT:
        return page_format(p, "air of fixed exponent %s",
                           page_number(p, BARONET_NUMBER, g.exponent, -1));
    case GAS_THERMAL:
        return page_format(p, "air that exchanges heat within %s",
                           page_quantity(p, BARONET_TIME, g.tau));
    case GAS_ISOTHERMAL:
        return "isothermal air";
    case GAS_ADIABATIC:
        break;
    }
    return "adiabatic air";
}

void inquiry_title(inquiry *q) {
    page *p = q->page;
    const ambient *a = &q->model->ambient;
    const char *about = q->model->about[0] != '\0' ? q->model->about : "Untitled netlist";
    page_add(p, BLOCK_TITLE, about);
    page_addf(p, BLOCK_PLAIN, "%s%s%s; %s; ambient %s absolute, %s; ride at a swing of %s",
              q->with != NULL ? "case " : "base case", q->load_case,
              q->with != NULL ? (q->with->levelled ? " (levelled)" : " (unlevelled)") : "",
              gas_words(p, q->model->gas), page_quantity(p, BARONET_PRESSURE, a->pressure),
              page_quantity(p, BARONET_TEMPERATURE, a->temperature),
              page_quantity(p, BARONET_LENGTH, q->amplitude));
}

static baronet_status charge_system(inquiry *q) {
    baronet_status status = charge_create(&q->charge, q->model, q->allocator);
    if (status == BARONET_OK) {
        status = charge_solve(q->charge, &q->problem);
    }
    if (status == BARONET_OUT_OF_MEMORY) {
        return status;
    }
    q->problem.status = status;
    if (status != BARONET_OK) {
        inquiry_title(q);
        page_addf(q->page, BLOCK_LEAD, "The system cannot be charged: %s.",
                  words_problem(q->page, q->model, &q->problem));
        page_set_status(q->page, status);
    }
    return BARONET_OK;
}

/* Which limit has been exceeded, in a sentence. */
static const char *limit_words(const model *m) {
    _Static_assert(STATES_SOLENOIDS_MAX == 12, "the sentence below gives the number");
    return m->network.solenoids > STATES_SOLENOIDS_MAX
               ? "every combination is looked at of 12 solenoids at most, and this netlist has "
                 "more; name the states that matter"
               : "there are too many volumes to look at every combination of the solenoids; name "
                 "the states that matter";
}

baronet_question inquiry_of_one_state(const model *m, const baronet_question *question) {
    baronet_question asked = *question;
    asked.state = question->state != NULL ? question->state : m->state[m->charge_state].name;
    return asked;
}

baronet_status inquiry_open(inquiry *out, const baronet_netlist *netlist,
                            const baronet_question *question, states_choice choice,
                            inquiry_needs needs, const char **what) {
    const char *unwanted = NULL;
    what = what != NULL ? what : &unwanted;
    *out = (inquiry){.model = netlist_model(netlist), .allocator = netlist_allocator(netlist)};
    out->page = page_create(out->allocator, question->units);
    if (out->page == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    out->amplitude = question->swing_amplitude > 0.0 ? question->swing_amplitude : FELT_AMPLITUDE;
    baronet_status status = find_names(out, question, what);
    if (status == BARONET_OK) {
        status = charge_system(out);
    }
    if (status == BARONET_OK && out->problem.status == BARONET_OK) {
        status = states_solve(&out->states, out->charge, out->with,
                              out->state >= 0 ? STATES_ONE : choice, out->state,
                              needs == INQUIRY_FELT ? out->amplitude : 0.0, out->allocator);
        *what = status == BARONET_TOO_MANY ? limit_words(out->model) : *what;
    }
    for (int k = 0; k < out->states.count && status == BARONET_OK; k++) {
        page_set_status(out->page, out->states.entry[k].problem.status);
    }
    return status;
}

void inquiry_tell(const baronet_question *question, const char *part, int done, int count) {
    if (question->progress != NULL) {
        question->progress(question->progress_context, part, done, count);
    }
}

baronet_status inquiry_close(inquiry *q, baronet_status status, baronet_answer **answer) {
    states_free(&q->states);
    charge_destroy(q->charge);
    if (status == BARONET_OK && q->page->failed) {
        status = BARONET_OUT_OF_MEMORY;
    }
    if (status == BARONET_OK) {
        *answer = q->page;
    } else {
        *answer = NULL;
        baronet_answer_destroy(q->page);
    }
    return status;
}
