#include "numeric/search.h"

#include <math.h>
#include <nlopt.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"

/* First step around a place, part of the box. */
#define FIRST_STEP 0.05
/* What stands for a function that has no value: worse than all that has one. */
#define HOPELESS 1e30

typedef struct hunt {
    const search_question *question;
    nlopt_opt optimiser; /* that is running */
    double *best;        /* dimensions */
    double lowest;
    bool stopped;
} hunt;

static double evaluate(unsigned n, const double *x, double *gradient, void *context) {
    hunt *const h = context;
    (void)gradient;
    const double value = h->question->function(h->question->context, x, &h->stopped);
    if (value < h->lowest) {
        h->lowest = value;
        memcpy(h->best, x, n * sizeof *x);
    }
    if (h->stopped) {
        nlopt_force_stop(h->optimiser);
    }
    return isfinite(value) ? value : HOPELESS;
}

/* One algorithm from the best place so far. How it ended does not matter: what it met is kept. */
static baronet_status run(hunt *h, nlopt_algorithm algorithm, long evaluations, double *work) {
    const unsigned n = (unsigned)h->question->dimensions;
    if (h->stopped || evaluations <= 0) {
        return BARONET_OK;
    }
    h->optimiser = nlopt_create(algorithm, n);
    if (h->optimiser == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    double value = 0.0;
    memcpy(work, h->best, n * sizeof *work);
    nlopt_result result = nlopt_set_min_objective(h->optimiser, evaluate, h);
    if (result > 0) {
        result = nlopt_set_lower_bounds1(h->optimiser, 0.0);
    }
    if (result > 0) {
        result = nlopt_set_upper_bounds1(h->optimiser, 1.0);
    }
    if (result > 0) {
        result = nlopt_set_initial_step1(h->optimiser, FIRST_STEP);
    }
    if (result > 0) {
        nlopt_set_xtol_abs1(h->optimiser, h->question->tolerance);
        nlopt_set_maxeval(h->optimiser, (int)evaluations);
        result = nlopt_optimize(h->optimiser, work, &value);
    }
    nlopt_destroy(h->optimiser);
    return result == NLOPT_OUT_OF_MEMORY ? BARONET_OUT_OF_MEMORY : BARONET_OK;
}

baronet_status search_lowest(const search_question *question, double *x, double *lowest) {
    const size_t n = (size_t)question->dimensions;
    double *const work = memory_resize(NULL, NULL, n * sizeof *work);
    if (work == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    hunt h = {.question = question, .best = x, .lowest = HUGE_VAL};
    const double here = question->function(question->context, x, &h.stopped);
    h.lowest = isfinite(here) ? here : HUGE_VAL;
    baronet_status status = run(&h, NLOPT_GN_DIRECT_L, question->everywhere, work);
    if (status == BARONET_OK && n > 1) {
        status = run(&h, NLOPT_LN_BOBYQA, question->around, work);
    }
    if (status == BARONET_OK) {
        status = run(&h, NLOPT_LN_NELDERMEAD, question->around, work);
    }
    *lowest = h.lowest;
    memory_resize(NULL, work, 0);
    return status;
}
