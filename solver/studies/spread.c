#include "studies/spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numeric/chance.h"

/* Up to so many tolerances all corners are looked at. */
enum { CORNER_DIALS = 10 };
/* Half width of 95 % of a normal distribution, in standard deviations. */
#define SURE 1.959963984540054

static void drawn_values(const void *context, long index, double *values) {
    const spread_question *const q = context;
    for (int k = 0; k < q->all.dials; k++) {
        const dial *const d = &q->all.dial[k];
        const double even = chance_even(q->seed, (unsigned long long)index, (unsigned long long)k);
        values[k] = d->form == DIAL_LIST ? d->value[(int)(even * d->values)]
                                         : d->low + (d->high - d->low) * even;
    }
}

static int compare(const void *first, const void *second) {
    const double a = *(const double *)first, b = *(const double *)second;
    return (a > b) - (a < b);
}

/* The value below which a part of the sorted ones lies, and ranks that hold it with 95 % confidence
   whatever the distribution: the binomial's, in its normal form (Conover, Practical Nonparametric
   Statistics, 1999, chapter 3; from memory). */
static spread_bounds quantile(const double *sorted, long count, double part) {
    const double n = (double)count, wide = SURE * sqrt(n * part * (1.0 - part));
    const double at = part * (n - 1.0);
    const long below = (long)at, above = below + 1 < count ? below + 1 : below;
    const long from = (long)fmax(0.0, floor(n * part - wide));
    const long to = (long)fmin(n - 1.0, ceil(n * part + wide));
    return (spread_bounds){sorted[below] + (sorted[above] - sorted[below]) * (at - (double)below),
                           sorted[from], sorted[to]};
}

/* A part of so many, with Wilson's interval (J. Am. Stat. Assoc. 22, 1927). */
static spread_bounds proportion(long met, long count) {
    const double n = (double)count, p = (double)met / n, z = SURE * SURE / n;
    const double middle = (p + 0.5 * z) / (1.0 + z);
    const double wide = SURE * sqrt(p * (1.0 - p) / n + 0.25 * z / n) / (1.0 + z);
    return (spread_bounds){p, fmax(0.0, middle - wide), fmin(1.0, middle + wide)};
}

static bool meets(const requirement *w, double got) {
    return w->relation == REQUIRE_ABOVE ? got > w->value : got < w->value;
}

static double value_at(const spread_answer *s, long run, int g) {
    return s->run.value[(size_t)run * (size_t)s->gauges + (size_t)g];
}

/* Mean and spread, percentiles and how many meet the wish. `sorted`: work, done. */
static void describe(spread_answer *s, const spread_question *q, int g, double *sorted) {
    spread_figure *const f = &s->figure[g];
    const requirement *const w = &q->wish[g];
    long met = 0;
    f->count = 0;
    f->mean = f->deviation = 0.0;
    for (long i = 0; i < s->run.done; i++) {
        const double got = value_at(s, i, g);
        if (!isnan(got)) {
            sorted[f->count++] = got;
            f->mean += got;
            met += meets(w, got);
        }
    }
    f->bounded = w->relation == REQUIRE_ABOVE || w->relation == REQUIRE_BELOW;
    if (f->count == 0) {
        return;
    }
    f->mean /= (double)f->count;
    for (long i = 0; i < f->count; i++) {
        f->deviation += (sorted[i] - f->mean) * (sorted[i] - f->mean);
    }
    f->deviation = f->count > 1 ? sqrt(f->deviation / (double)(f->count - 1)) : 0.0;
    qsort(sorted, (size_t)f->count, sizeof *sorted, compare);
    f->low = quantile(sorted, f->count, 0.05);
    f->middle = quantile(sorted, f->count, 0.5);
    f->high = quantile(sorted, f->count, 0.95);
    f->least = sorted[0];
    f->most = sorted[f->count - 1];
    f->met = proportion(met, f->count);
}

/* Part of a figure's variance that goes with a value: the square of their correlation, which for
   values that know nothing of one another sums to one where the figure is linear. */
static double variance_part(const spread_answer *s, int g, int k) {
    const spread_figure *const f = &s->figure[g];
    double mean = 0.0, xx = 0.0, xy = 0.0, yy = 0.0;
    for (long i = 0; i < s->run.done; i++) {
        mean += isnan(value_at(s, i, g)) ? 0.0 : s->run.x[i * s->dials + k] / (double)f->count;
    }
    for (long i = 0; i < s->run.done; i++) {
        const double y = value_at(s, i, g) - f->mean, x = s->run.x[i * s->dials + k] - mean;
        if (!isnan(y)) {
            xx += x * x;
            xy += x * y;
            yy += y * y;
        }
    }
    const double part = 1e-9, n = (double)f->count; /* less of a mean is rounding */
    if (f->count < 3 || sqrt(xx / n) <= part * fabs(mean) || f->deviation <= part * fabs(f->mean)) {
        return (double)NAN;
    }
    return xy * fabs(xy) / (xx * yy);
}

/* Which corners are looked at: all, or two a figure. */
typedef struct corners {
    const spread_question *question;
    const spread_answer *answer;
} corners;

static void corner_values(const void *context, long index, double *values) {
    const corners *const c = context;
    const spread_answer *const s = c->answer;
    for (int k = 0; k < s->dials; k++) {
        const dial *const d = &c->question->all.dial[k];
        const bool up = s->every_corner
                            ? (index >> k & 1) != 0
                            : (s->part[index / 2 * s->dials + k] > 0.0) == (index % 2 != 0);
        values[k] = up ? d->high : d->low;
    }
}

static baronet_status find_corners(spread_answer *s, arena *a, const spread_question *q,
                                   variants *v) {
    s->every_corner = s->dials <= CORNER_DIALS;
    s->corners = s->every_corner ? 1L << s->dials : 2L * s->gauges;
    double *const got = ARENA_ARRAY(a, double, (size_t)s->corners *(size_t)s->gauges);
    const corners c = {q, s};
    long done = 0;
    if (got == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    const baronet_status status =
        variants_read(v, corner_values, &c, 0, s->corners, got, NULL, &done);
    for (int g = 0; g < s->gauges; g++) {
        spread_figure *const f = &s->figure[g];
        f->worst_low = f->worst_high = (double)NAN;
        for (long i = 0; i < done; i++) {
            f->worst_low = fmin(f->worst_low, got[i * s->gauges + g]);
            f->worst_high = fmax(f->worst_high, got[i * s->gauges + g]);
        }
    }
    return status;
}

static void netlist_values(const void *context, long index, double *values) {
    const spread_question *const q = context;
    (void)index;
    for (int k = 0; k < q->all.dials; k++) {
        values[k] = q->all.dial[k].now;
    }
}

static baronet_status read_now(spread_answer *s, arena *a, const spread_question *q, variants *v) {
    double *const got = ARENA_ARRAY(a, double, s->gauges);
    long done = 0;
    if (got == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    const baronet_status status = variants_read(v, netlist_values, q, 0, 1, got, NULL, &done);
    for (int g = 0; g < s->gauges; g++) {
        s->figure[g].now = got[g];
    }
    return status;
}

static baronet_status summarise(spread_answer *s, arena *a, const spread_question *q, variants *v) {
    double *const sorted = ARENA_ARRAY(a, double, s->run.done);
    s->figure = ARENA_ARRAY(a, spread_figure, s->gauges);
    s->part = ARENA_ARRAY(a, double, (size_t)s->gauges *(size_t)s->dials);
    if (!arena_complete(a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    for (int g = 0; g < s->gauges; g++) {
        describe(s, q, g, sorted);
        for (int k = 0; k < s->dials; k++) {
            s->part[g * s->dials + k] = variance_part(s, g, k);
        }
    }
    const baronet_status status = read_now(s, a, q, v);
    return status == BARONET_OK ? find_corners(s, a, q, v) : status;
}

baronet_status spread_solve(spread_answer *out, arena *a, const spread_question *question,
                            const baronet_allocator *allocator) {
    *out = (spread_answer){.dials = question->all.dials, .gauges = question->all.gauges};
    variants_share(question->runs, question->share, question->shares, &out->run);
    variants *v = NULL;
    baronet_status status = variants_create(&v, &question->all, allocator);
    if (status == BARONET_OK) {
        status = variants_read_share(v, drawn_values, question, &out->run, a);
    }
    for (long i = 0; i < out->run.done && status == BARONET_OK; i++) {
        out->failed += out->run.why[i].status != BARONET_OK;
    }
    if (status == BARONET_OK && question->shares == 0) {
        status = summarise(out, a, question, v);
    }
    out->residual = status == BARONET_OK ? variants_residual(v) : 0.0;
    variants_destroy(v);
    return status;
}
