/* sparse.c: KLU behind five verbs. All accuracy rests on residuals: a refactor with old pivots, or
   a matrix that is singular but for rounding, gives no error in KLU itself.
   SPDX-License-Identifier: MIT */
#include "numeric/sparse.h"

#include <assert.h>
#include <float.h>
#include <klu.h>
#include <math.h>
#include <string.h>

#include "base/memory.h"

/* Backward error up to which a solution is taken as it is: rounding leaves 1e-16 to 1e-15. Lower
   costs refinements that gain nothing, higher lets the lost digits of old pivots through. */
#define GOOD_RESIDUAL 1e-13

/* Backward error above which no factoring has solved the system. */
#define WORST_RESIDUAL 1e-10

/* Smallest reciprocal pivot growth of trusted factors; about 1e-3 to 1 with pivots of their own. At
   1e-8 half of all digits are lost. */
#define LEAST_GROWTH 1e-8

/* A pivot below this part of its column's largest entry is what rounding left of zero. */
#define DEPENDENT (16.0 * DBL_EPSILON)

/* Least over largest pivot below which old pivots are not kept. A matrix whose columns differ that
   much in unit is factored anew each time, which costs time only. */
#define SUSPICIOUS_PIVOTS 1e-12

/* Columns that an estimate of the condition looks at; the second or third is mostly the largest. */
enum { CONDITION_ROUNDS = 5 };

struct sparse {
    const pattern *pattern;
    bool complex_values;
    bool own_pivots;      /* the factors' pivots were chosen for these very values */
    bool forgotten;       /* the next factoring is to be as if none had been but the first */
    bool first_known;     /* `first` holds values */
    bool first_pivots;    /* the factors' pivots are still those of `first` */
    double *first;        /* values of the first factoring since sparse_forget; NULL for none */
    bool growth_is_known; /* and found good since the last refactoring */
    klu_common common;
    klu_symbolic *symbolic; /* NULL for a matrix without rows */
    klu_numeric *numeric;   /* NULL before the first and after a failed factoring */
    const double *values;
    double *weight;   /* size; 1 over the sum of a row's magnitudes */
    double *right;    /* size of a vector; the right-hand side while its vector is overwritten */
    double *residual; /* size of a vector; b - A x, then the correction of x */
    sparse_quality quality;
};

static size_t vector_length(const sparse *s) {
    return (size_t)s->pattern->size * (s->complex_values ? 2 : 1);
}

/* A column that no choice of one entry a column and row reaches, or -1 for want of memory. */
static int unmatched_column(const pattern *p) {
    const size_t n = (size_t)p->size;
    int *const match = memory_resize(p->allocator, NULL, 7 * n * sizeof *match);
    if (!match)
        return -1;
    int *const workspace = match + n, *const matched = workspace + 5 * n;
    double work;
    btf_maxtrans(p->size, p->size, p->start, p->row, 0.0, &work, match, workspace);
    memset(matched, 0, n * sizeof *matched);
    for (size_t i = 0; i < n; i++) {
        if (match[i] >= 0)
            matched[match[i]] = 1;
    }
    int column = 0;
    while (column < p->size && matched[column])
        column++;
    memory_resize(p->allocator, match, 0);
    return column;
}

/* Orders the matrix; structural singularity passes klu_analyze as a success. */
static baronet_status analyse(sparse *s, int *column) {
    const pattern *const p = s->pattern;
    klu_defaults(&s->common);
    s->common.scale = 1; /* rows by their sums of magnitudes, which weigh_rows relies on */
    if (p->size == 0)
        return BARONET_OK;
    s->symbolic = klu_analyze(p->size, p->start, p->row, &s->common);
    if (!s->symbolic)
        return BARONET_OUT_OF_MEMORY;
    if (s->common.structural_rank == p->size)
        return BARONET_OK;
    const int unmatched = unmatched_column(p);
    if (unmatched < 0)
        return BARONET_OUT_OF_MEMORY;
    if (column)
        *column = unmatched;
    return BARONET_SINGULAR;
}

baronet_status sparse_create(sparse **out, const pattern *p, bool complex_values, int *column) {
    *out = NULL;
    sparse *s = memory_resize(p->allocator, NULL, sizeof *s);
    if (!s)
        return BARONET_OUT_OF_MEMORY;
    *s = (sparse){.pattern = p, .complex_values = complex_values};
    const size_t length = vector_length(s);
    const size_t bytes = ((size_t)p->size + 2 * length + 1) * sizeof(double);
    s->weight = memory_resize(p->allocator, NULL, bytes);
    const baronet_status status = s->weight ? analyse(s, column) : BARONET_OUT_OF_MEMORY;
    if (status != BARONET_OK) {
        sparse_destroy(s);
        return status;
    }
    s->right = s->weight + p->size;
    s->residual = s->right + length;
    *out = s;
    return BARONET_OK;
}

static void free_factors(sparse *s) {
    if (s->complex_values)
        klu_z_free_numeric(&s->numeric, &s->common);
    else
        klu_free_numeric(&s->numeric, &s->common);
}

void sparse_destroy(sparse *s) {
    if (!s)
        return;
    const baronet_allocator *const allocator = s->pattern->allocator;
    free_factors(s);
    klu_free_symbolic(&s->symbolic, &s->common);
    memory_resize(allocator, s->first, 0);
    memory_resize(allocator, s->weight, 0);
    memory_resize(allocator, s, 0);
}

/* Size of the i-th entry of an interleaved or real array; |re| + |im| is near enough for complex
   ones and saves the root. */
static double magnitude(const sparse *s, const double *entries, int i) {
    if (!s->complex_values)
        return fabs(entries[i]);
    const double *const pair = entries + 2 * (ptrdiff_t)i;
    return fabs(pair[0]) + fabs(pair[1]);
}

/* KLU factors and solves in silence what is not finite. */
static bool all_finite(const double *vector, size_t length) {
    bool finite = true;
    for (size_t i = 0; i < length; i++)
        finite &= fabs(vector[i]) <= DBL_MAX;
    return finite;
}

/* Weighs the rows, so that equations in small units count as much as those in large ones. KLU has
   their sums of magnitudes at hand; false where one is not finite, as it is where a value is not.
 */
static bool weigh_rows(sparse *s) {
    bool finite = true;
    for (int k = 0; k < s->pattern->size; k++) {
        finite &= s->numeric->Rs[k] <= DBL_MAX;
        s->weight[s->numeric->Pnum[k]] = 1.0 / s->numeric->Rs[k];
    }
    return finite;
}

/* A column that depends on others but for rounding, or -1: KLU itself finds only pivots that are
   zero exactly. Rows count as KLU scales them, and only within a diagonal block. */
static int dependent_column(const sparse *s) {
    const pattern *const p = s->pattern;
    const klu_symbolic *const order = s->symbolic;
    const klu_numeric *const factors = s->numeric;
    for (int block = 0; block < order->nblocks; block++) {
        const int first = order->R[block];
        for (int k = first; k < order->R[block + 1]; k++) {
            const int column = order->Q[k];
            double largest = 0.0;
            for (int e = p->start[column]; e < p->start[column + 1]; e++) {
                const int row = factors->Pinv[p->row[e]];
                if (row >= first)
                    largest = fmax(largest, magnitude(s, s->values, e) / factors->Rs[row]);
            }
            if (magnitude(s, factors->Udiag, k) < DEPENDENT * largest)
                return column;
        }
    }
    return -1;
}

static baronet_status factor_anew(sparse *s, int *column) {
    const pattern *const p = s->pattern;
    double *const values = (double *)s->values; /* KLU reads it only */
    s->first_pivots = false;
    free_factors(s);
    if (!all_finite(values, (size_t)p->entries * (s->complex_values ? 2 : 1)))
        return BARONET_NOT_FINITE;
    s->numeric = s->complex_values ? klu_z_factor(p->start, p->row, values, s->symbolic, &s->common)
                                   : klu_factor(p->start, p->row, values, s->symbolic, &s->common);
    if (!s->numeric && s->common.status != KLU_SINGULAR)
        return BARONET_OUT_OF_MEMORY;
    const int singular = s->numeric ? dependent_column(s) : s->common.singular_col;
    if (singular < 0) {
        (void)weigh_rows(s);
        s->own_pivots = true;
        s->quality.factorings++;
        return BARONET_OK;
    }
    free_factors(s);
    if (column)
        *column = singular;
    return BARONET_SINGULAR;
}

/* 0 where a pivot is zero or not a number; KLU's own takes a root for each. */
double sparse_pivot_ratio(const sparse *s) {
    if (s->pattern->size == 0 || !s->numeric)
        return s->pattern->size == 0 ? 1.0 : 0.0;
    double least = HUGE_VAL, largest = 0.0;
    for (int k = 0; k < s->pattern->size; k++) {
        const double pivot = magnitude(s, s->numeric->Udiag, k);
        if (!(pivot > 0.0))
            return 0.0;
        least = pivot < least ? pivot : least;
        largest = pivot > largest ? pivot : largest;
    }
    return least / largest;
}

/* Factors with the old pivots; false where one of them became zero or nearly so, or values are not
   finite. */
static bool refactor(sparse *s) {
    const pattern *const p = s->pattern;
    double *const values = (double *)s->values; /* KLU reads it only */
    s->own_pivots = s->growth_is_known = false;
    const int done =
        s->complex_values
            ? klu_z_refactor(p->start, p->row, values, s->symbolic, s->numeric, &s->common)
            : klu_refactor(p->start, p->row, values, s->symbolic, s->numeric, &s->common);
    if (!done || s->common.status != KLU_OK || !weigh_rows(s) ||
        sparse_pivot_ratio(s) < SUSPICIOUS_PIVOTS)
        return false;
    s->quality.refactorings++;
    return true;
}

static size_t values_size(const sparse *s) {
    return (size_t)s->pattern->entries * (s->complex_values ? 2 : 1) * sizeof(double);
}

/* Remembers the values whose pivots are kept. */
static baronet_status factor_first(sparse *s, int *column) {
    const baronet_status status = factor_anew(s, column);
    if (s->first && status == BARONET_OK) {
        memcpy(s->first, s->values, values_size(s));
        s->first_known = s->first_pivots = true;
    }
    return status;
}

/* Pivots as the first values had them; where that fails the next factoring chooses its own. */
static void restore_pivots(sparse *s) {
    const double *const values = s->values;
    s->values = s->first;
    s->first_pivots = factor_anew(s, NULL) == BARONET_OK;
    s->values = values;
}

baronet_status sparse_factor(sparse *s, const double *values, int *column) {
    s->values = values;
    if (s->pattern->size == 0)
        return BARONET_OK;
    if (s->forgotten) {
        s->forgotten = false;
        if (!s->first_known)
            return factor_first(s, column);
        if (!s->first_pivots)
            restore_pivots(s);
    }
    return s->numeric && refactor(s) ? BARONET_OK : factor_anew(s, column);
}

baronet_status sparse_forget(sparse *s) {
    s->forgotten = true;
    if (!s->first)
        s->first = memory_resize(s->pattern->allocator, NULL, values_size(s) + 1);
    return s->first ? BARONET_OK : BARONET_OUT_OF_MEMORY;
}

/* Overwrites a vector by the factors' idea of A^-1 times it. */
static void apply_factors(sparse *s, double *vector) {
    const int n = s->pattern->size;
    if (s->complex_values)
        klu_z_solve(s->symbolic, s->numeric, n, 1, vector, &s->common);
    else
        klu_solve(s->symbolic, s->numeric, n, 1, vector, &s->common);
}

/* Computes b - A x and returns its largest size over that of |A| |x| + |b|, in weighted rows, whose
   |A| is 1: the normwise backward error (Rigal and Gaches 1967). Infinite where x is not finite. */
static double measure_residual(sparse *s, const double *x) {
    const pattern *const p = s->pattern;
    if (s->complex_values)
        pattern_multiply_complex(p, s->values, x, s->residual);
    else
        pattern_multiply(p, s->values, x, s->residual);
    const size_t parts = s->complex_values ? 2 : 1;
    double error = 0.0, solution = 0.0, right = 0.0;
    bool finite = true;
    for (size_t i = 0, k = 0; i < (size_t)p->size; i++) {
        double e = 0.0, b = 0.0, size = 0.0; /* magnitudes, of |re| + |im| */
        for (const size_t end = k + parts; k < end; k++) {
            s->residual[k] = s->right[k] - s->residual[k];
            e += fabs(s->residual[k]);
            b += fabs(s->right[k]);
            size += fabs(x[k]);
        }
        e *= s->weight[i];
        b *= s->weight[i];
        finite &= e <= DBL_MAX && size <= DBL_MAX;
        error = e > error ? e : error;
        right = b > right ? b : right;
        solution = size > solution ? size : solution;
    }
    if (!finite)
        return HUGE_VAL;
    return error > 0.0 ? error / (solution + right) : 0.0;
}

/* Solves for s->right into x, refined once where that may help; returns the residual. */
static double solve_and_measure(sparse *s, double *x) {
    const size_t length = vector_length(s);
    memcpy(x, s->right, length * sizeof *x);
    apply_factors(s, x);
    const double residual = measure_residual(s, x);
    if (residual <= GOOD_RESIDUAL)
        return residual;
    apply_factors(s, s->residual);
    for (size_t i = 0; i < length; i++)
        x[i] += s->residual[i];
    return measure_residual(s, x);
}

baronet_status sparse_solve(sparse *s, double *vector) {
    const size_t length = vector_length(s);
    if (length == 0)
        return BARONET_OK;
    assert(s->numeric);
    if (!all_finite(vector, length))
        return BARONET_NOT_FINITE;
    memcpy(s->right, vector, length * sizeof *vector);
    double residual = solve_and_measure(s, vector);
    if (residual > GOOD_RESIDUAL && !s->own_pivots) {
        const baronet_status status = factor_anew(s, NULL);
        if (status != BARONET_OK)
            return status;
        residual = solve_and_measure(s, vector);
    }
    s->quality.residual = residual;
    return residual <= WORST_RESIDUAL ? BARONET_OK : BARONET_SINGULAR;
}

/* Makes sure that the factors can be trusted where no residual will tell. */
static baronet_status check_growth(sparse *s) {
    const pattern *const p = s->pattern;
    double *const values = (double *)s->values; /* KLU reads it only */
    if (s->own_pivots || s->growth_is_known)
        return BARONET_OK;
    if (s->complex_values)
        klu_z_rgrowth(p->start, p->row, values, s->symbolic, s->numeric, &s->common);
    else
        klu_rgrowth(p->start, p->row, values, s->symbolic, s->numeric, &s->common);
    s->growth_is_known = s->common.rgrowth >= LEAST_GROWTH;
    return s->growth_is_known ? BARONET_OK : factor_anew(s, NULL);
}

baronet_status sparse_solve_unchecked(sparse *s, double *vector) {
    if (s->pattern->size == 0)
        return BARONET_OK;
    assert(s->numeric);
    const baronet_status status = check_growth(s);
    if (status == BARONET_OK)
        apply_factors(s, vector);
    return status;
}

sparse_quality sparse_quality_of(const sparse *s) {
    return s->quality;
}

/* The factors' idea of A^-H times a vector, which it overwrites. */
static void apply_transposed(sparse *s, double *vector) {
    const int n = s->pattern->size;
    if (s->complex_values)
        klu_z_tsolve(s->symbolic, s->numeric, n, 1, vector, 1, &s->common);
    else
        klu_tsolve(s->symbolic, s->numeric, n, 1, vector, &s->common);
}

/* y := D A^-H y, D having the rows' sizes. Returns the sum of magnitudes, and leaves `turned` as
   D y/|y|. */
static double fold(sparse *s, const double *size, double *y, double *turned) {
    const size_t parts = s->complex_values ? 2 : 1;
    double sum = 0.0;
    apply_transposed(s, y);
    for (size_t i = 0, k = 0; i < (size_t)s->pattern->size; i++, k += parts) {
        const double own = size ? size[i] : 1.0 / s->weight[i];
        const double length = parts == 2 ? hypot(y[k], y[k + 1]) : fabs(y[k]);
        for (size_t part = 0; part < parts; part++) {
            const double whole = part == 0 ? own : 0.0; /* where y is zero */
            turned[k + part] = length > 0.0 ? own * (y[k + part] / length) : whole;
        }
        sum += own * length;
    }
    return sum;
}

static int largest_of(const sparse *s, const double *vector) {
    int largest = 0;
    for (int i = 1; i < s->pattern->size; i++)
        largest = magnitude(s, vector, i) > magnitude(s, vector, largest) ? i : largest;
    return largest;
}

/* Fills a vector with entries that alternate in sign and grow from 1 to 2: a guess that the search
   of an estimate is not fooled with. */
static void fill_alternating(const sparse *s, double *y) {
    const size_t n = (size_t)s->pattern->size, parts = s->complex_values ? 2 : 1;
    memset(y, 0, n * parts * sizeof *y);
    for (size_t i = 0; i < n; i++) {
        const double grown = 1.0 + (n > 1 ? (double)i / (double)(n - 1) : 0.0);
        y[i * parts] = i % 2 == 0 ? grown : -grown;
    }
}

/* The largest row sum of |A^-1| D is the 1-norm of D A^-H, estimated by looking for the column that
   is largest (Hager 1984; Higham, Accuracy and Stability of Numerical Algorithms, 2nd ed. 2002,
   algorithm 15.4). */
static double estimate(sparse *s, const double *size) {
    const size_t length = vector_length(s), parts = s->complex_values ? 2 : 1;
    double *const y = s->right, *const turned = s->residual;
    memset(y, 0, length * sizeof *y);
    for (size_t k = 0; k < length; k += parts)
        y[k] = 1.0 / s->pattern->size;
    double most = 0.0;
    for (int round = 0, at = -1; round < CONDITION_ROUNDS; round++) {
        const double sum = fold(s, size, y, turned);
        if (sum <= most)
            break;
        most = sum;
        apply_factors(s, turned);
        const int largest = largest_of(s, turned);
        if (largest == at)
            break;
        at = largest;
        memset(y, 0, length * sizeof *y);
        y[(size_t)at * parts] = 1.0;
    }
    fill_alternating(s, y);
    const double other = 2.0 / 3.0 * fold(s, size, y, turned) / s->pattern->size;
    most = other > most ? other : most;
    return isfinite(most) ? most : HUGE_VAL;
}

baronet_status sparse_condition(sparse *s, const double *size, double *condition) {
    *condition = s->pattern->size == 0 ? 1.0 : HUGE_VAL;
    if (!s->numeric)
        return BARONET_OK;
    const baronet_status status = check_growth(s);
    if (status == BARONET_OK)
        *condition = estimate(s, size);
    return status == BARONET_OUT_OF_MEMORY ? status : BARONET_OK;
}
