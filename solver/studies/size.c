#include "studies/size.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numeric/search.h"

/* What a miss, a goal and a distance from the present values weigh. A goal takes from a target what
   it weighs over twice what a miss weighs: 5e-5 of it. The distance only tells between equals. */
#define WEIGHT_MISS  1e4
#define WEIGHT_GOAL  1.0
#define WEIGHT_MOVED 1e-3
/* Limits are aimed at from within, so that rounded values meet them. */
#define INSIDE 1e-3
/* A figure that does not exist is missed by so many times its size. */
#define ABSENT_MISS 1e2
/* Evaluations for each value that is searched: of cheap figures, and of dear ones. */
enum { EVERYWHERE = 400, AROUND = 250, EVERYWHERE_DEAR = 40, AROUND_DEAR = 40 };
#define SEARCH_TOLERANCE      1e-7 /* of a range */
#define SEARCH_TOLERANCE_DEAR 1e-5

/* The work of one sizing. */
typedef struct sizing {
    const size_question *question;
    size_answer *out;
    variants *variants;
    double *size;    /* gauges: what its misses are measured in */
    double *values;  /* dials: being looked at */
    double *got;     /* gauges: of them */
    double *best;    /* dials */
    double *place;   /* searched dials, 0 to 1 */
    int searched;    /* dials that are not lists */
    int *dial_of;    /* searched */
    int only;        /* a gauge that counts alone; -1: all */
    double most;     /* variants that may be looked at */
    bool failed;     /* memory ran out */
    double *all_got; /* listed combinations x gauges */
} sizing;

static double part_of(const dial *d, double x) {
    return (x - d->low) / (d->high - d->low);
}

/* How far a wish is from met, in its size; an aim inside the limit by some part. */
static double miss_of(const requirement *w, double size, double got, double inside) {
    if (isnan(got)) {
        return ABSENT_MISS;
    }
    switch (w->relation) {
    case REQUIRE_ABOVE:
        return fmax(0.0, (w->value - got) / size + inside);
    case REQUIRE_BELOW:
        return fmax(0.0, (got - w->value) / size + inside);
    case REQUIRE_EQUAL:
        return fabs(got - w->value) / size;
    default:
        return 0.0;
    }
}

static double goal_of(const requirement *w, double size, double got) {
    if (w->relation != REQUIRE_HIGHEST && w->relation != REQUIRE_LOWEST) {
        return 0.0;
    }
    return isnan(got) ? ABSENT_MISS : (w->relation == REQUIRE_HIGHEST ? -got : got) / size;
}

/* What the search makes as low as it can. */
static double badness(const sizing *s, const double *x, const double *got) {
    const variants_question *const q = &s->question->all;
    double sum = 0.0;
    for (int k = 0; k < q->gauges; k++) {
        if (s->only >= 0 && s->only != k) {
            continue;
        }
        const double miss = miss_of(&s->question->wish[k], s->size[k], got[k], INSIDE);
        sum += WEIGHT_MISS * miss * miss +
               WEIGHT_GOAL * goal_of(&s->question->wish[k], s->size[k], got[k]);
    }
    for (int k = 0; k < q->dials; k++) {
        const dial *const d = &q->dial[k];
        const double moved = d->high > d->low ? (x[k] - d->now) / (d->high - d->low) : 0.0;
        sum += WEIGHT_MOVED * WEIGHT_MOVED * moved * moved;
    }
    return sum;
}

static void same_values(const void *context, long index, double *values) {
    const sizing *const s = context;
    (void)index;
    memcpy(values, s->values, (size_t)s->question->all.dials * sizeof *values);
}

/* Figures of s->values. */
static void look(sizing *s, double *got) {
    long done = 0;
    s->failed = s->failed ||
                variants_read(s->variants, same_values, s, 0, 1, got, NULL, &done) != BARONET_OK;
    s->out->looked_at++;
}

/* Part of the evaluations that may be needed at most; a search mostly ends before. */
static double part_done(const sizing *s) {
    return fmin(0.99, (double)s->out->looked_at / fmax(1.0, s->most));
}

static double try_place(void *context, const double *x, bool *stop) {
    sizing *const s = context;
    const variants_question *const q = &s->question->all;
    for (int k = 0; k < s->searched; k++) {
        const dial *const d = &q->dial[s->dial_of[k]];
        s->values[s->dial_of[k]] = d->low + (d->high - d->low) * x[k];
    }
    look(s, s->got);
    if (q->progress != NULL && !q->progress(q->progress_context, part_done(s))) {
        s->out->stopped = true;
    }
    *stop = s->failed || s->out->stopped;
    return badness(s, s->values, s->got);
}

static bool any_dear(const variants_question *q) {
    for (int k = 0; k < q->gauges; k++) {
        if (gauge_is_dear(&q->gauge[k])) {
            return true;
        }
    }
    return false;
}

/* Searches the dials that are no lists, the others as they are in s->values. */
static baronet_status search(sizing *s, double *lowest) {
    const variants_question *const q = &s->question->all;
    const bool dear = any_dear(q);
    for (int k = 0; k < s->searched; k++) {
        const dial *const d = &q->dial[s->dial_of[k]];
        s->place[k] = fmin(1.0, fmax(0.0, part_of(d, d->now)));
    }
    const search_question ask = {.dimensions = s->searched,
                                 .function = try_place,
                                 .context = s,
                                 .everywhere = s->searched * (dear ? EVERYWHERE_DEAR : EVERYWHERE),
                                 .around = s->searched * (dear ? AROUND_DEAR : AROUND),
                                 .tolerance = dear ? SEARCH_TOLERANCE_DEAR : SEARCH_TOLERANCE};
    const baronet_status status = search_lowest(&ask, s->place, lowest);
    for (int k = 0; k < s->searched; k++) {
        const dial *const d = &q->dial[s->dial_of[k]];
        s->values[s->dial_of[k]] = d->low + (d->high - d->low) * s->place[k];
    }
    return s->failed ? BARONET_OUT_OF_MEMORY : status;
}

/* One combination of listed values by its number. */
static void set_listed(const sizing *s, long index, double *values) {
    const variants_question *const q = &s->question->all;
    for (int k = q->dials - 1; k >= 0; k--) {
        if (q->dial[k].form == DIAL_LIST) {
            values[k] = q->dial[k].value[index % q->dial[k].values];
            index /= q->dial[k].values;
        }
    }
}

static void listed_values(const void *context, long index, double *values) {
    set_listed(context, index, values);
}

static double count_listed(const variants_question *q) {
    double count = 1.0;
    for (int k = 0; k < q->dials; k++) {
        count *= q->dial[k].form == DIAL_LIST ? q->dial[k].values : 1;
    }
    return count;
}

/* Every dial is a list: all combinations are looked at. */
static baronet_status try_listed(sizing *s, arena *a, long count) {
    const variants_question *const q = &s->question->all;
    const size_t gauges_of = (size_t)q->gauges;
    double lowest = HUGE_VAL;
    long done = 0;
    s->all_got = s->all_got != NULL ? s->all_got : ARENA_ARRAY(a, double, (size_t)count *gauges_of);
    if (s->all_got == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    if (s->only < 0) {
        const baronet_status status =
            variants_read(s->variants, listed_values, s, 0, count, s->all_got, NULL, &done);
        s->out->looked_at += done;
        s->out->stopped = done < count;
        if (status != BARONET_OK) {
            return status;
        }
    }
    for (long i = 0; i < (s->only < 0 ? done : count); i++) {
        set_listed(s, i, s->values);
        const double bad = badness(s, s->values, s->all_got + (size_t)i * gauges_of);
        if (bad < lowest) {
            lowest = bad;
            memcpy(s->best, s->values, (size_t)q->dials * sizeof *s->best);
        }
    }
    return BARONET_OK;
}

/* For each combination of the lists the best of the other dials. */
static baronet_status find_best(sizing *s, arena *a) {
    const variants_question *const q = &s->question->all;
    const long listed = (long)count_listed(q);
    if (s->searched == 0) {
        return try_listed(s, a, listed);
    }
    const bool dear = any_dear(q);
    const int each = dear ? EVERYWHERE_DEAR + 2 * AROUND_DEAR : EVERYWHERE + 2 * AROUND;
    s->most = (double)s->out->looked_at + (double)listed * s->searched * each;
    double lowest = HUGE_VAL;
    baronet_status status = BARONET_OK;
    for (long i = 0; i < listed && status == BARONET_OK && !s->out->stopped; i++) {
        double bad = HUGE_VAL;
        set_listed(s, i, s->values);
        status = search(s, &bad);
        if (i == 0 || bad < lowest) {
            lowest = bad;
            memcpy(s->best, s->values, (size_t)q->dials * sizeof *s->best);
        }
    }
    return status;
}

static size_verdict verdict_of(const requirement *w, double size, double got) {
    if (isnan(got)) {
        return SIZE_ABSENT;
    }
    if (w->relation == REQUIRE_HIGHEST || w->relation == REQUIRE_LOWEST) {
        return SIZE_BEST;
    }
    const double over = (got - w->value) / size;
    if (w->relation == REQUIRE_EQUAL) {
        return fabs(over) <= SIZE_NEAR ? SIZE_MET : SIZE_MISSED;
    }
    const double margin = w->relation == REQUIRE_ABOVE ? over : -over;
    return margin <= 0.0 ? SIZE_MISSED : margin < SIZE_NEAR ? SIZE_BINDS : SIZE_MET;
}

/* The values in so many digits as their words have them. */
static bool round_values(sizing *s, const double *x, int digits, double *rounded) {
    const variants_question *const q = &s->question->all;
    for (int k = 0; k < q->dials; k++) {
        const dial *const d = &q->dial[k];
        const baronet_unit *const unit = d->unit;
        const double factor = unit != NULL ? unit->factor : 1.0;
        const double offset = unit != NULL ? unit->offset : 0.0;
        text_buffer words = {.allocator = NULL};
        text_buffer_number(&words, (dial_shown(d, x[k]) - offset) / factor, digits);
        double number = 0.0;
        if (words.failed ||
            text_read_number(words.bytes, words.bytes + words.length, &number) == 0) {
            text_buffer_free(&words);
            return false;
        }
        text_buffer_free(&words);
        const double shown = number * factor + offset;
        rounded[k] = dial_shown(d, 1.0) == 1.0 ? shown : shown / dial_shown(d, 1.0);
        rounded[k] = d->form == DIAL_LIST ? x[k] : rounded[k];
    }
    return true;
}

static int count_missed(const sizing *s, const double *got) {
    int missed = 0;
    for (int k = 0; k < s->question->all.gauges; k++) {
        const size_verdict v = verdict_of(&s->question->wish[k], s->size[k], got[k]);
        missed += v == SIZE_MISSED || v == SIZE_ABSENT;
    }
    return missed;
}

/* As few digits as do what all of them do. */
static baronet_status settle(sizing *s) {
    size_answer *const out = s->out;
    const size_t bytes = (size_t)out->dials * sizeof *out->x;
    memcpy(s->values, s->best, bytes);
    look(s, s->got);
    const int missed = count_missed(s, s->got);
    for (out->digits = 3; out->digits <= 9 && !s->failed; out->digits++) {
        if (!round_values(s, s->best, out->digits, out->x)) {
            return BARONET_OUT_OF_MEMORY;
        }
        memcpy(s->values, out->x, bytes);
        look(s, out->value);
        if (count_missed(s, out->value) <= missed) {
            break;
        }
    }
    out->digits = out->digits > 9 ? 9 : out->digits;
    out->met = true;
    for (int k = 0; k < out->gauges; k++) {
        out->verdict[k] = verdict_of(&s->question->wish[k], s->size[k], out->value[k]);
        out->met = out->met && out->verdict[k] != SIZE_MISSED && out->verdict[k] != SIZE_ABSENT;
    }
    return s->failed ? BARONET_OUT_OF_MEMORY : BARONET_OK;
}

/* How near each missed wish can come by itself. */
static baronet_status find_alone(sizing *s, arena *a) {
    baronet_status status = BARONET_OK;
    for (int k = 0; k < s->out->gauges && status == BARONET_OK && !s->out->stopped; k++) {
        if (s->out->verdict[k] != SIZE_MISSED) {
            continue;
        }
        s->only = k;
        status = find_best(s, a);
        memcpy(s->values, s->best, (size_t)s->out->dials * sizeof *s->values);
        look(s, s->got);
        s->out->alone[k] = s->got[k];
    }
    return s->failed ? BARONET_OUT_OF_MEMORY : status;
}

static bool take_arrays(sizing *s, arena *a) {
    const int dials = s->out->dials, figures = s->out->gauges;
    size_answer *const out = s->out;
    out->x = ARENA_ARRAY(a, double, dials);
    out->now = ARENA_ARRAY(a, double, figures);
    out->value = ARENA_ARRAY(a, double, figures);
    out->verdict = ARENA_ARRAY(a, size_verdict, figures);
    out->alone = ARENA_ARRAY(a, double, figures);
    s->size = ARENA_ARRAY(a, double, figures);
    s->values = ARENA_ARRAY(a, double, dials);
    s->got = ARENA_ARRAY(a, double, figures);
    s->best = ARENA_ARRAY(a, double, dials);
    s->place = ARENA_ARRAY(a, double, dials);
    s->dial_of = ARENA_ARRAY(a, int, dials);
    return arena_complete(a);
}

/* The netlist as it is, which also tells the size of what has no wanted value. */
static void begin(sizing *s) {
    const variants_question *const q = &s->question->all;
    for (int k = 0; k < q->dials; k++) {
        s->values[k] = q->dial[k].now;
        if (q->dial[k].form != DIAL_LIST) {
            s->dial_of[s->searched++] = k;
        }
    }
    look(s, s->out->now);
    for (int k = 0; k < q->gauges; k++) {
        const requirement *const w = &s->question->wish[k];
        const double wanted = w->relation < REQUIRE_HIGHEST ? fabs(w->value) : 0.0;
        const double now = isnan(s->out->now[k]) ? 0.0 : fabs(s->out->now[k]);
        s->size[k] = wanted > 0.0 ? wanted : now > 0.0 ? now : 1.0;
        s->out->alone[k] = (double)NAN;
    }
}

baronet_status size_solve(size_answer *out, arena *a, const size_question *question,
                          const baronet_allocator *allocator) {
    *out = (size_answer){.dials = question->all.dials, .gauges = question->all.gauges};
    sizing s = {.question = question, .out = out, .only = -1};
    if (!take_arrays(&s, a)) {
        return BARONET_OUT_OF_MEMORY;
    }
    /* One variant after another, unless all are listed: then many at once, and they are counted. */
    variants_question quiet = question->all;
    for (int k = 0; k < quiet.dials; k++) {
        if (quiet.dial[k].form != DIAL_LIST) {
            quiet.workers = 1;
            quiet.progress = NULL;
        }
    }
    baronet_status status = variants_create(&s.variants, &quiet, allocator);
    if (status == BARONET_OK) {
        begin(&s);
        const double listed = count_listed(&question->all);
        status = s.failed ? BARONET_OUT_OF_MEMORY
                 : listed > (s.searched > 0 ? SIZE_SEARCHES_MAX : SIZE_LISTED_MAX)
                     ? BARONET_TOO_MANY
                     : find_best(&s, a);
    }
    if (status == BARONET_OK) {
        status = settle(&s);
    }
    if (status == BARONET_OK && !out->met) {
        status = find_alone(&s, a);
    }
    out->residual = status == BARONET_OK ? variants_residual(s.variants) : 0.0;
    variants_destroy(s.variants);
    return status;
}
