#include "studies/vary.h"

#include <math.h>
#include <string.h>

/* Part by which a value is changed to find the sensitivity: small against any bend of a figure,
   large against the rounding of an equilibrium. */
#define NUDGE 1e-3

void vary_share(long all, int share, int shares, long *first, long *count) {
    const long before = shares > 0 ? (long)((double)all * (share - 1) / shares) : 0;
    const long after = shares > 0 ? (long)((double)all * share / shares) : all;
    *first = before;
    *count = after - before;
}

static int points_of(const vary_question *q, const dial *d) {
    return d->form == DIAL_LIST ? d->values : q->points;
}

static double point_of(const vary_question *q, const dial *d, int index) {
    if (d->form == DIAL_LIST) {
        return d->value[index];
    }
    const double part = (double)index / (double)(q->points - 1);
    if (index == 0 || index == q->points - 1) {
        return index == 0 ? d->low : d->high;
    }
    return q->by_ratio && d->low > 0.0 ? d->low * pow(d->high / d->low, part)
                                       : d->low + (d->high - d->low) * part;
}

static void grid_values(const void *context, long index, double *values) {
    const vary_question *const q = context;
    for (int k = q->all.dials - 1; k >= 0; k--) {
        const int points = points_of(q, &q->all.dial[k]);
        values[k] = point_of(q, &q->all.dial[k], (int)(index % points));
        index /= points;
    }
}

static long count_rows(const vary_question *q) {
    double rows = 1.0;
    for (int k = 0; k < q->all.dials; k++) {
        rows *= points_of(q, &q->all.dial[k]);
    }
    return rows <= VARY_ROWS_MAX ? (long)rows : -1;
}

/* Variant 0 is the netlist as it is; 1 + 2 k and 2 + 2 k have dial k a little lower and higher. */
static void nudged_values(const void *context, long index, double *values) {
    const vary_question *const q = context;
    for (int k = 0; k < q->all.dials; k++) {
        values[k] = q->all.dial[k].now;
    }
    if (index > 0) {
        values[(index - 1) / 2] *= index % 2 != 0 ? 1.0 - NUDGE : 1.0 + NUDGE;
    }
}

static bool has_sensitivity(const dial *d) {
    return d->now != 0.0 && d->slot.dimension != BARONET_TEMPERATURE;
}

static baronet_status find_sensitivity(vary_answer *out, arena *a, const vary_question *q,
                                       variants *v) {
    const long variants_of = 1 + 2 * (long)out->dials;
    double *const got = ARENA_ARRAY(a, double, variants_of * out->gauges);
    if (got == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    long done = 0;
    const baronet_status status =
        variants_read(v, nudged_values, q, 0, variants_of, got, NULL, &done);
    if (status != BARONET_OK || done < variants_of) {
        return status;
    }
    for (int g = 0; g < out->gauges; g++) {
        out->now[g] = got[g];
        for (int k = 0; k < out->dials; k++) {
            const double low = got[(1 + 2 * k) * out->gauges + g];
            const double high = got[(2 + 2 * k) * out->gauges + g];
            double *const s = &out->sensitivity[g * out->dials + k];
            *s = has_sensitivity(&q->all.dial[k]) && got[g] != 0.0
                     ? (high - low) / (2.0 * NUDGE * got[g])
                     : (double)NAN;
        }
    }
    return BARONET_OK;
}

static bool take_arrays(vary_answer *out, arena *a, long count) {
    const size_t figures = (size_t)out->gauges, dials = (size_t)out->dials;
    out->x = ARENA_ARRAY(a, double, (size_t)count *dials);
    out->value = ARENA_ARRAY(a, double, (size_t)count *figures);
    out->why = ARENA_ARRAY(a, problem, count);
    out->now = ARENA_ARRAY(a, double, figures);
    out->sensitivity = ARENA_ARRAY(a, double, figures *dials);
    return arena_complete(a);
}

baronet_status vary_solve(vary_answer *out, arena *a, const vary_question *question,
                          const baronet_allocator *allocator) {
    *out = (vary_answer){.dials = question->all.dials, .gauges = question->all.gauges};
    out->rows = count_rows(question);
    if (out->rows < 0) {
        return BARONET_TOO_MANY;
    }
    long count = 0;
    vary_share(out->rows, question->share, question->shares, &out->first, &count);
    variants *v = NULL;
    baronet_status status = take_arrays(out, a, count) ? BARONET_OK : BARONET_OUT_OF_MEMORY;
    if (status == BARONET_OK) {
        status = variants_create(&v, &question->all, allocator);
    }
    for (int k = 0; k < out->gauges && status == BARONET_OK; k++) {
        out->now[k] = (double)NAN;
    }
    if (status == BARONET_OK && question->shares == 0) {
        status = find_sensitivity(out, a, question, v);
    }
    if (status == BARONET_OK) {
        status = variants_read(v, grid_values, question, out->first, count, out->value, out->why,
                               &out->done);
    }
    for (long i = 0; i < out->done && status == BARONET_OK; i++) {
        grid_values(question, out->first + i, out->x + (size_t)i * (size_t)out->dials);
    }
    variants_destroy(v);
    return status;
}
