#include "studies/variants.h"

#include <math.h>
#include <string.h>

#include "netlist/edit.h"
#include "netlist/patch.h"
#include "numeric/crew.h"

/* Variants between two looks at the progress, for each worker: some hundredths of a second where
   they are cheap, and one where they are dear. */
enum { BLOCK_CHEAP = 4096, BLOCK_DEAR = 2 };
/* Cheap ones that a worker fetches at a time: fetching costs as much as a tenth of one. */
enum { GRAIN_CHEAP = 32 };
/* Networks above this are asked for eigenvalues through ARPACK, which serves one at a time. */
enum { ALONE_NODES = 100 };

/* What one processor works with. */
typedef struct worker {
    patch *patch;    /* NULL where variants are read again */
    gauges *gauges;  /* of the patch's model */
    double *values;  /* dials */
    double *first;   /* gauges: of the first reading */
    double residual; /* largest of what it read */
    bool unsteady;   /* the netlist as it is does not stand */
    bool failed;     /* memory ran out */
} worker;

struct variants {
    variants_question question;
    const baronet_allocator *allocator;
    arena *arena;
    int workers;
    worker *worker;
    bool dear, reread;
};

static baronet_status make_gauges(const variants *v, const model *m, gauges **out) {
    const variants_question *const q = &v->question;
    return gauges_create(out, m, q->gauges, q->gauge, q->amplitude, v->allocator);
}

/* The first reason why a state has no answer, or OK. */
static problem first_problem(const gauges *g, int count) {
    for (int k = 0; k < count; k++) {
        const problem *const why = gauges_problem(g, k);
        if (why->status != BARONET_OK) {
            return *why;
        }
    }
    return (problem){.status = BARONET_OK, .item = -1};
}

/* The first reading, on which all others depend, is of the netlist as it is: the same for every
   worker. Where that does not stand, each variant has a first reading of its own. */
static baronet_status start_gauges(const variants *v, worker *w) {
    gauges_destroy(w->gauges);
    w->gauges = NULL;
    baronet_status status = make_gauges(v, patch_model(w->patch), &w->gauges);
    if (status == BARONET_OK && !w->unsteady) {
        status = gauges_read(w->gauges, w->first);
        w->unsteady = first_problem(w->gauges, v->question.gauges).status != BARONET_OK;
    }
    return status;
}

static baronet_status make_worker(variants *v, worker *w) {
    const variants_question *const q = &v->question;
    w->values = ARENA_ARRAY(v->arena, double, q->dials);
    w->first = ARENA_ARRAY(v->arena, double, q->gauges);
    if (w->values == NULL || w->first == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    const baronet_status status =
        patch_create(&w->patch, q->netlist, q->dials, q->dial, v->allocator);
    if (status == BARONET_TOO_MANY) {
        v->reread = true;
        return BARONET_OK;
    }
    return status == BARONET_OK ? start_gauges(v, w) : status;
}

static int usual_workers(const variants *v) {
    const variants_question *const q = &v->question;
    for (int k = 0; k < q->gauges; k++) {
        const figure_quantity quantity = q->gauge[k].figure.quantity;
        if ((quantity == FIGURE_TIME_CONSTANT || quantity == FIGURE_DAMPING_RATIO) &&
            netlist_model(q->netlist)->network.nodes > ALONE_NODES) {
            return 1;
        }
    }
    return q->workers > 0 ? q->workers : crew_size();
}

static baronet_status make(variants *v) {
    const variants_question *const q = &v->question;
    v->workers = usual_workers(v);
    v->worker = ARENA_ARRAY(v->arena, worker, v->workers);
    if (v->worker == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (int k = 0; k < q->gauges; k++) {
        v->dear = v->dear || gauge_is_dear(&q->gauge[k]);
    }
    baronet_status status = BARONET_OK;
    for (int k = 0; k < v->workers && status == BARONET_OK; k++) {
        status = make_worker(v, &v->worker[k]);
    }
    return status;
}

baronet_status variants_create(variants **out, const variants_question *question,
                               const baronet_allocator *allocator) {
    *out = NULL;
    arena *a;
    variants *v = ARENA_OWNER(variants, allocator, &a);
    if (v == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    *v = (variants){.question = *question, .allocator = allocator, .arena = a};
    const baronet_status status = make(v);
    if (status != BARONET_OK) {
        variants_destroy(v);
        return status;
    }
    *out = v;
    return BARONET_OK;
}

void variants_destroy(variants *v) {
    if (v != NULL) {
        for (int k = 0; k < v->workers && v->worker != NULL; k++) {
            gauges_destroy(v->worker[k].gauges);
            patch_destroy(v->worker[k].patch);
        }
        arena_destroy(v->arena);
    }
}

/* A model asked once, from its design point. */
static baronet_status read_once(const variants *v, worker *w, const model *m, double *result,
                                problem *why) {
    gauges *g = NULL;
    baronet_status status = make_gauges(v, m, &g);
    if (status == BARONET_OK) {
        status = gauges_read(g, result);
        *why = first_problem(g, v->question.gauges);
        w->residual = fmax(w->residual, gauges_residual(g));
    }
    gauges_destroy(g);
    return status;
}

static baronet_status read_again(const variants *v, worker *w, double *result, problem *why) {
    const variants_question *const q = &v->question;
    baronet_netlist *other = NULL;
    baronet_status status =
        netlist_again(q->netlist, q->dials, q->dial, w->values, v->allocator, &other);
    if (status == BARONET_OK) {
        status = read_once(v, w, netlist_model(other), result, why);
    } else {
        *why = (problem){.status = status, .item = -1};
        for (int k = 0; k < q->gauges; k++) {
            result[k] = (double)NAN;
        }
    }
    baronet_netlist_destroy(other);
    return status;
}

static baronet_status read_patched(const variants *v, worker *w, double *result, problem *why) {
    patch_set(w->patch, w->values);
    baronet_status status = w->unsteady ? start_gauges(v, w) : BARONET_OK;
    if (status == BARONET_OK) {
        status = gauges_read(w->gauges, result);
        *why = first_problem(w->gauges, v->question.gauges);
        w->residual = fmax(w->residual, gauges_residual(w->gauges));
    }
    return status;
}

/* What the workers share while they read. */
typedef struct errand {
    variants *v;
    variants_values *values;
    const void *context;
    long first;
    double *result;
    problem *why;
} errand;

static void read_variant(void *context, int index, long at) {
    const errand *const e = context;
    variants *const v = e->v;
    worker *const w = &v->worker[index];
    problem why = {.status = BARONET_OK, .item = -1};
    double *const result = e->result + (size_t)(at - e->first) * (size_t)v->question.gauges;
    if (w->failed) {
        return;
    }
    e->values(e->context, at, w->values);
    const baronet_status status =
        v->reread ? read_again(v, w, result, &why) : read_patched(v, w, result, &why);
    w->failed = status == BARONET_OUT_OF_MEMORY;
    if (e->why != NULL) {
        e->why[at - e->first] = why;
    }
}

static bool any_failed(const variants *v) {
    bool failed = false;
    for (int k = 0; k < v->workers; k++) {
        failed = failed || v->worker[k].failed;
    }
    return failed;
}

baronet_status variants_read(variants *v, variants_values *values, const void *context, long first,
                             long count, double *result, problem *why, long *done) {
    const variants_question *const q = &v->question;
    errand e = {v, values, context, first, result, why};
    const long block = (v->dear || v->reread ? BLOCK_DEAR : BLOCK_CHEAP) * (long)v->workers;
    *done = 0;
    bool going = true;
    while (*done < count && going) {
        const long left = count - *done;
        const long now = left < block ? left : block;
        crew_do(v->workers, first + *done, now,
                block == BLOCK_DEAR * (long)v->workers ? 1 : GRAIN_CHEAP, read_variant, &e);
        if (any_failed(v)) {
            return BARONET_OUT_OF_MEMORY;
        }
        *done += now;
        going =
            q->progress == NULL || q->progress(q->progress_context, (double)*done / (double)count);
    }
    return BARONET_OK;
}

double variants_residual(const variants *v) {
    double most = 0.0;
    for (int k = 0; k < v->workers; k++) {
        most = fmax(most, v->worker[k].residual);
    }
    return most;
}

void variants_share(long all, int share, int shares, variants_rows *out) {
    const long before = shares > 0 ? (long)((double)all * (share - 1) / shares) : 0;
    const long after = shares > 0 ? (long)((double)all * share / shares) : all;
    *out = (variants_rows){.first = before, .count = after - before};
}

baronet_status variants_read_share(variants *v, variants_values *values, const void *context,
                                   variants_rows *rows, arena *a) {
    const size_t dials = (size_t)v->question.dials, figures = (size_t)v->question.gauges;
    rows->x = ARENA_ARRAY(a, double, (size_t)rows->count *dials);
    rows->value = ARENA_ARRAY(a, double, (size_t)rows->count *figures);
    rows->why = ARENA_ARRAY(a, problem, rows->count);
    if (!arena_complete(a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    const baronet_status status = variants_read(v, values, context, rows->first, rows->count,
                                                rows->value, rows->why, &rows->done);
    for (long i = 0; i < rows->done && status == BARONET_OK; i++) {
        values(context, rows->first + i, rows->x + (size_t)i * dials);
    }
    return status;
}
