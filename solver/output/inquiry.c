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
    *what = question->load_case;
    return q->with != NULL ? BARONET_OK : BARONET_NO_SUCH_NAME;
}

void inquiry_title(inquiry *q) {
    static const char *const gases[] = {[GAS_ADIABATIC] = "adiabatic air",
                                        [GAS_ISOTHERMAL] = "isothermal air",
                                        [GAS_EXPONENT] = "air of fixed exponent",
                                        [GAS_THERMAL] = "air that exchanges heat"};
    page *p = q->page;
    const ambient *a = &q->model->ambient;
    const char *about = q->model->about[0] != '\0' ? q->model->about : "Untitled netlist";
    page_add(p, BLOCK_TITLE, about);
    page_addf(p, BLOCK_PLAIN, "%s%s%s; %s; ambient %s absolute, %s; ride at a swing of %s",
              q->with != NULL ? "case " : "base case", q->load_case,
              q->with != NULL ? (q->with->levelled ? " (levelled)" : " (unlevelled)") : "",
              gases[q->model->gas.kind], page_quantity(p, BARONET_PRESSURE, a->pressure),
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

baronet_status inquiry_open(inquiry *out, const baronet_netlist *netlist,
                            const baronet_question *question, states_choice choice,
                            const char **what) {
    const char *unwanted = NULL;
    *out = (inquiry){.model = netlist_model(netlist), .allocator = netlist_allocator(netlist)};
    out->page = page_create(out->allocator, question->units);
    if (out->page == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    out->amplitude = question->swing_amplitude > 0.0 ? question->swing_amplitude : FELT_AMPLITUDE;
    baronet_status status = find_names(out, question, what != NULL ? what : &unwanted);
    if (status == BARONET_OK) {
        status = charge_system(out);
    }
    if (status == BARONET_OK && out->problem.status == BARONET_OK) {
        status = states_solve(&out->states, out->charge, out->with,
                              out->state >= 0 ? STATES_ONE : choice, out->state, out->amplitude,
                              out->allocator);
    }
    for (int k = 0; k < out->states.count && status == BARONET_OK; k++) {
        page_set_status(out->page, out->states.entry[k].problem.status);
    }
    return status;
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
