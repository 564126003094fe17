#include "studies/vary.h"

#include <math.h>
#include <string.h>

/* Part by which a value is changed to find the sensitivity: small against any bend of a figure,
   large against the rounding of an equilibrium. */
#define NUDGE 1e-3

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

baronet_status vary_solve(vary_answer *out, arena *a, const vary_question *question,
                          const baronet_allocator *allocator) {
    *out = (vary_answer){.dials = question->all.dials, .gauges = question->all.gauges};
    out->all = count_rows(question);
    if (out->all < 0) {
        return BARONET_TOO_MANY;
    }
    variants_share(out->all, question->share, question->shares, &out->row);
    out->now = ARENA_ARRAY(a, double, out->gauges);
    out->sensitivity = ARENA_ARRAY(a, double, (size_t)out->gauges *(size_t)out->dials);
    if (!arena_complete(a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (int k = 0; k < out->gauges; k++) {
        out->now[k] = (double)NAN;
    }
    for (int k = 0; k < out->gauges * out->dials; k++) {
        out->sensitivity[k] = (double)NAN;
    }
    variants *v = NULL;
    baronet_status status = variants_create(&v, &question->all, allocator);
    if (status == BARONET_OK && question->shares == 0) {
        status = find_sensitivity(out, a, question, v);
    }
    if (status == BARONET_OK) {
        status = variants_read_share(v, grid_values, question, &out->row, a);
        out->residual = variants_residual(v);
    }
    variants_destroy(v);
    return status;
}
