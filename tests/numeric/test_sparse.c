/* SPDX-License-Identifier: MIT */
#include "numeric/sparse.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numeric/dense.h"
#include "support.h"

/* The pattern of a full matrix, column by column: values are then A transposed, row-major. */
static void full_pattern(pattern *p, int size) {
    int rows[400], columns[400];
    for (int k = 0; k < size * size; k++) {
        rows[k] = k % size;
        columns[k] = k / size;
    }
    cr_assert_eq(pattern_make(p, NULL, size, size * size, rows, columns), BARONET_OK);
}

static sparse *create(const pattern *p, bool complex_values) {
    sparse *s;
    cr_assert_eq(sparse_create(&s, p, complex_values, NULL), BARONET_OK);
    return s;
}

static double condition_of(sparse *s, const double *size) {
    double condition;
    cr_assert_eq(sparse_condition(s, size, &condition), BARONET_OK);
    return condition;
}

/* After [1 1; 1 2], refilled with [1e-16 1; 1 2]: the old pivots lose all digits of the first
   unknown. Answers by Cramer's rule. */
static const double first_values[] = {1.0, 1.0, 1.0, 2.0};
static const double trap_values[] = {1e-16, 1.0, 1.0, 2.0};

Test(sparse, old_pivots_do_not_spoil_a_checked_solve) {
    pattern p;
    full_pattern(&p, 2);
    sparse *const s = create(&p, false);
    double x[] = {2.0, 4.0};
    cr_assert_eq(sparse_factor(s, first_values, NULL), BARONET_OK);
    cr_assert_eq(sparse_solve(s, x), BARONET_OK);
    CHECK_ABS(x[0], 0.0, 1e-15, "Cramer's rule");
    CHECK_REL(x[1], 2.0, 1e-15, "Cramer's rule");
    double y[] = {2.0, 5.0};
    cr_assert_eq(sparse_factor(s, trap_values, NULL), BARONET_OK);
    cr_assert_eq(sparse_solve(s, y), BARONET_OK);
    CHECK_REL(y[0], 1.0, 1e-14, "Cramer's rule");
    CHECK_REL(y[1], 2.0, 1e-14, "Cramer's rule");
    cr_assert(sparse_quality_of(s).residual < 1e-15);
    sparse_destroy(s);
    pattern_free(&p);
}

Test(sparse, old_pivots_do_not_spoil_an_unchecked_solve_or_the_condition) {
    pattern p;
    full_pattern(&p, 2);
    sparse *const s = create(&p, false);
    double y[] = {2.0, 5.0};
    cr_assert_eq(sparse_factor(s, first_values, NULL), BARONET_OK);
    cr_assert_eq(sparse_factor(s, trap_values, NULL), BARONET_OK);
    cr_assert_eq(sparse_solve_unchecked(s, y), BARONET_OK);
    CHECK_REL(y[0], 1.0, 1e-14, "Cramer's rule");
    CHECK_REL(y[1], 2.0, 1e-14, "Cramer's rule");
    cr_assert_eq(sparse_factor(s, first_values, NULL), BARONET_OK);
    cr_assert_eq(sparse_factor(s, trap_values, NULL), BARONET_OK);
    /* The inverse is [-2 1; 1 0], rows add up to 1 and 3: 2 + 3. */
    CHECK_REL(condition_of(s, NULL), 5.0, 1e-12, "Skeel 1979, by hand");
    sparse_destroy(s);
    pattern_free(&p);
}

Test(sparse, complex_values_escape_the_trap_too) {
    pattern p;
    full_pattern(&p, 2);
    sparse *const s = create(&p, true);
    const double first[] = {1, 0, 1, 0, 1, 0, 2, 0}, trap[] = {0, 1e-16, 0, 1, 0, 1, 0, 2};
    double x[] = {0, 2, 0, 5}; /* i A (1, 2) */
    cr_assert_eq(sparse_factor(s, first, NULL), BARONET_OK);
    cr_assert_eq(sparse_factor(s, trap, NULL), BARONET_OK);
    cr_assert_eq(sparse_solve(s, x), BARONET_OK);
    CHECK_REL(x[0], 1.0, 1e-14, "Cramer's rule");
    CHECK_REL(x[2], 2.0, 1e-14, "Cramer's rule");
    double y[] = {0, 2, 0, 5};
    cr_assert_eq(sparse_factor(s, first, NULL), BARONET_OK);
    cr_assert_eq(sparse_factor(s, trap, NULL), BARONET_OK);
    cr_assert_eq(sparse_solve_unchecked(s, y), BARONET_OK);
    CHECK_REL(y[0], 1.0, 1e-14, "Cramer's rule");
    CHECK_REL(y[2], 2.0, 1e-14, "Cramer's rule");
    CHECK_REL(condition_of(s, NULL), 5.0, 1e-12, "Skeel 1979, by hand");
    sparse_destroy(s);
    pattern_free(&p);
}

/* Random sparse matrices with a full diagonal of places. */
#define SIZE  14
#define PAIRS 60

static void random_pattern(pattern *p, unsigned long long *state) {
    int rows[PAIRS], columns[PAIRS];
    for (int k = 0; k < PAIRS; k++) {
        rows[k] = k < SIZE ? k : (int)(random_unit(state) * SIZE);
        columns[k] = k < SIZE ? k : (int)(random_unit(state) * SIZE);
    }
    cr_assert_eq(pattern_make(p, NULL, SIZE, PAIRS, rows, columns), BARONET_OK);
}

/* Values for the pattern with rows in units that differ by many powers of ten. */
static void random_values(const pattern *p, double *values, unsigned long long *state) {
    for (int k = 0; k < p->entries; k++)
        values[k] = (random_unit(state) - 0.5) * pow(10.0, p->row[k] - SIZE / 2);
}

/* The pattern's values as a dense row-major matrix. */
static void fill_dense(const pattern *p, const double *values, double *dense) {
    memset(dense, 0, sizeof(double) * SIZE * SIZE);
    for (int j = 0; j < SIZE; j++) {
        for (int k = p->start[j]; k < p->start[j + 1]; k++)
            dense[p->row[k] * SIZE + j] = values[k];
    }
}

Test(sparse, random_systems_agree_with_dense_elimination) {
    unsigned long long state = 3;
    for (int round = 0; round < 60; round++) {
        pattern p;
        random_pattern(&p, &state);
        sparse *const s = create(&p, false);
        for (int refill = 0; refill < 10; refill++) {
            double values[PAIRS], dense[SIZE * SIZE], x[SIZE], y[SIZE];
            random_values(&p, values, &state);
            fill_dense(&p, values, dense);
            for (int i = 0; i < SIZE; i++)
                x[i] = y[i] = (random_unit(&state) - 0.5) * pow(10.0, i - SIZE / 2);
            cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
            cr_assert_eq(sparse_solve(s, x), BARONET_OK);
            cr_assert_eq(dense_solve(SIZE, dense, 1, y), BARONET_OK);
            double largest = 0.0;
            for (int i = 0; i < SIZE; i++)
                largest = fmax(largest, fabs(y[i]));
            for (int i = 0; i < SIZE; i++)
                CHECK_ABS(x[i], y[i], 1e-8 * largest, "LAPACK dgetrf");
        }
        sparse_destroy(s);
        pattern_free(&p);
    }
}

/* A complex system is a real one of twice the size: [R -I; I R]. */
Test(sparse, random_complex_systems_agree_with_dense_elimination) {
    unsigned long long state = 5;
    for (int round = 0; round < 100; round++) {
        pattern p;
        random_pattern(&p, &state);
        sparse *const s = create(&p, true);
        double values[2 * PAIRS], x[2 * SIZE], y[2 * SIZE];
        double dense[4 * SIZE * SIZE] = {0};
        for (int k = 0; k < 2 * p.entries; k++)
            values[k] = random_unit(&state) - 0.5;
        for (int j = 0; j < SIZE; j++) {
            for (int k = p.start[j]; k < p.start[j + 1]; k++) {
                const int i = p.row[k], n = 2 * SIZE;
                dense[i * n + j] = dense[(SIZE + i) * n + SIZE + j] = values[2 * k];
                dense[(SIZE + i) * n + j] = values[2 * k + 1];
                dense[i * n + SIZE + j] = -values[2 * k + 1];
            }
        }
        for (int i = 0; i < SIZE; i++) {
            x[2 * i] = y[i] = random_unit(&state);
            x[2 * i + 1] = y[SIZE + i] = random_unit(&state);
        }
        cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
        cr_assert_eq(sparse_solve(s, x), BARONET_OK);
        cr_assert_eq(dense_solve(2 * SIZE, dense, 1, y), BARONET_OK);
        for (int i = 0; i < SIZE; i++) {
            CHECK_ABS(x[2 * i], y[i], 1e-9 * (1.0 + fabs(y[i])), "LAPACK dgetrf");
            CHECK_ABS(x[2 * i + 1], y[SIZE + i], 1e-9 * (1.0 + fabs(y[SIZE + i])), "LAPACK dgetrf");
        }
        sparse_destroy(s);
        pattern_free(&p);
    }
}

static double binomial(int n, int k) {
    double b = 1.0;
    for (int i = 1; i <= k; i++)
        b = b * (n - k + i) / i;
    return b;
}

/* An entry of the inverse of Hilbert's matrix, indices from 1 (Higham 2002, section 28.1). */
static double inverse_hilbert(int n, int i, int j) {
    const double middle = binomial(i + j - 2, i - 1);
    return ((i + j) % 2 == 0 ? 1.0 : -1.0) * (i + j - 1) * binomial(n + i - 1, n - j) *
           binomial(n + j - 1, n - i) * middle * middle;
}

/* The largest row sum of |H^-1| D, D the rows' sums or ones. */
static double hilbert_reach(int n, bool sums) {
    double largest = 0.0;
    for (int i = 1; i <= n; i++) {
        double row = 0.0;
        for (int j = 1; j <= n; j++) {
            double size = sums ? 0.0 : 1.0;
            for (int k = 1; k <= n && sums; k++)
                size += 1.0 / (j + k - 1);
            row += fabs(inverse_hilbert(n, i, j)) * size;
        }
        largest = fmax(largest, row);
    }
    return largest;
}

/* Hilbert's matrix, each row times its factor (a complex pair, or real). */
static void fill_hilbert(int n, bool complex_values, const double *factor, double *values) {
    const int parts = complex_values ? 2 : 1;
    for (int k = 0; k < n * n; k++) {
        for (int part = 0; part < parts; part++)
            values[k * parts + part] = factor[2 * (k % n) + part] / (k % n + k / n + 1);
    }
}

Test(sparse, the_condition_of_hilbert_matrices_is_theirs) {
    /* Norm times norm of the inverse, exact. */
    static const double known[] = {27, 748, 28375, 943656, 29070279, 985194886.5};
    for (int n = 2; n <= 7; n++) {
        pattern p;
        full_pattern(&p, n);
        double norm = 0.0, values[2 * 49], plain[2 * 7], units[2 * 7], ones[7];
        for (int i = 0; i < n; i++) {
            norm += 1.0 / (i + 1);
            ones[i] = plain[2 * i] = 1.0;
            plain[2 * i + 1] = 0.0;
            units[2 * i] = pow(10.0, 3 * i - 7) * cos(1.3 * i);
            units[2 * i + 1] = pow(10.0, 3 * i - 7) * sin(1.3 * i);
        }
        for (int complex_values = 0; complex_values < 2; complex_values++) {
            sparse *const s = create(&p, complex_values);
            fill_hilbert(n, complex_values, plain, values);
            cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
            CHECK_REL(norm * condition_of(s, ones), known[n - 2], 1e-6,
                      "from the exact inverse (Higham 2002, section 28.1)");
            const double skeel = hilbert_reach(n, true);
            CHECK_REL(condition_of(s, NULL), skeel, 1e-6, "from the exact inverse");
            fill_hilbert(n, complex_values, units, values);
            cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
            CHECK_REL(condition_of(s, NULL), skeel, 1e-6, "no matter the rows' units");
            sparse_destroy(s);
        }
        CHECK_REL(norm * hilbert_reach(n, false), known[n - 2], 1e-12, "exact");
        pattern_free(&p);
    }
}

/* The largest row sum of |A^-1||A|, from the dense inverse. */
static double dense_condition(const double *dense) {
    double a[SIZE * SIZE], inverse[SIZE * SIZE] = {0}, largest = 0.0;
    memcpy(a, dense, sizeof a);
    for (int i = 0; i < SIZE; i++)
        inverse[i * SIZE + i] = 1.0;
    cr_assert_eq(dense_solve(SIZE, a, SIZE, inverse), BARONET_OK);
    for (int i = 0; i < SIZE; i++) {
        double row = 0.0;
        for (int j = 0; j < SIZE; j++) {
            for (int k = 0; k < SIZE; k++)
                row += fabs(inverse[i * SIZE + j] * dense[j * SIZE + k]);
        }
        largest = fmax(largest, row);
    }
    return largest;
}

Test(sparse, the_condition_is_never_above_the_true_one_and_seldom_far_below) {
    unsigned long long state = 11;
    int far = 0;
    for (int round = 0; round < 300; round++) {
        pattern p;
        random_pattern(&p, &state);
        sparse *const s = create(&p, false);
        double values[PAIRS], dense[SIZE * SIZE];
        random_values(&p, values, &state);
        fill_dense(&p, values, dense);
        cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
        const double got = condition_of(s, NULL), true_one = dense_condition(dense);
        cr_assert(got >= 0.1 * true_one && got <= true_one * (1.0 + 1e-9), "%g for %g", got,
                  true_one);
        far += got < 0.5 * true_one;
        sparse_destroy(s);
        pattern_free(&p);
    }
    cr_assert(far <= 6, "%d", far);
}

Test(sparse, nearly_equal_columns_show_in_the_condition) {
    pattern p;
    full_pattern(&p, 2);
    sparse *const s = create(&p, false);
    for (double apart = 0.3; apart > 1e-12; apart *= 0.07) {
        const double values[] = {1.0, 1.0, 1.0, 1.0 + apart};
        cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
        CHECK_REL(condition_of(s, NULL), (4.0 + 3.0 * apart) / apart, 1e-12 + 1e-15 / apart,
                  "by hand");
    }
    sparse_destroy(s);
    pattern_free(&p);
}

/* Five rows that fall into three blocks, so that KLU's column order is not ours. */
static const int block_rows[] = {1, 3, 0, 4, 2, 3, 0, 1, 2};
static const int block_columns[] = {0, 0, 1, 1, 2, 2, 3, 4, 4};

Test(sparse, a_column_of_zeros_is_named) {
    pattern p;
    cr_assert_eq(pattern_make(&p, NULL, 5, 9, block_rows, block_columns), BARONET_OK);
    for (int bad = 0; bad < 5; bad++) {
        sparse *const s = create(&p, false);
        double values[9];
        for (int k = 0; k < 9; k++)
            values[k] = 1.0 + 0.37 * k;
        cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
        for (int k = p.start[bad]; k < p.start[bad + 1]; k++)
            values[k] = 0.0;
        int column = -1;
        cr_assert_eq(sparse_factor(s, values, &column), BARONET_SINGULAR);
        cr_assert_eq(column, bad);
        cr_assert_eq(sparse_factor(s, values, NULL), BARONET_SINGULAR);
        cr_assert_eq(condition_of(s, NULL), HUGE_VAL);
        for (int k = 0; k < 9; k++)
            values[k] = 1.0 + 0.37 * k;
        double x[] = {1, 2, 3, 4, 5};
        cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
        cr_assert_eq(sparse_solve(s, x), BARONET_OK);
        sparse_destroy(s);
    }
    pattern_free(&p);
}

Test(sparse, two_equal_columns_are_named) {
    pattern p;
    full_pattern(&p, 6);
    for (int first = 0; first < 6; first++) {
        for (int second = 0; second < first; second++) {
            sparse *const s = create(&p, false);
            double values[36];
            for (int k = 0; k < 36; k++)
                values[k] = (k * 7 + k * k * 3) % 11 + (k % 7 == 0 ? 16 : 0);
            memcpy(values + 6 * second, values + 6 * first, 6 * sizeof *values);
            int column = -1;
            cr_assert_eq(sparse_factor(s, values, &column), BARONET_SINGULAR);
            cr_assert(column == first || column == second, "%d and %d, not %d", first, second,
                      column);
            sparse_destroy(s);
        }
    }
    pattern_free(&p);
}

Test(sparse, structural_singularity_is_told_at_creation) {
    static const int rows[] = {0, 1, 2, 3, 3, 3, 0}, columns[] = {0, 1, 1, 1, 2, 3, 3};
    pattern p;
    sparse *s;
    int column = -1;
    cr_assert_eq(pattern_make(&p, NULL, 4, 7, rows, columns), BARONET_OK);
    cr_assert_eq(sparse_create(&s, &p, false, &column), BARONET_SINGULAR);
    cr_assert(s == NULL);
    cr_assert(column == 0 || column == 2 || column == 3, "%d", column); /* rows 0 and 3 only */
    cr_assert_eq(sparse_create(&s, &p, true, NULL), BARONET_SINGULAR);
    pattern_free(&p);
    static const int diagonal[] = {0, 1, 3};
    cr_assert_eq(pattern_make(&p, NULL, 4, 3, diagonal, diagonal), BARONET_OK);
    cr_assert_eq(sparse_create(&s, &p, false, &column), BARONET_SINGULAR);
    cr_assert_eq(column, 2);
    pattern_free(&p);
}

Test(sparse, a_matrix_that_rounding_hides_as_regular_is_found_out) {
    pattern p;
    full_pattern(&p, 3);
    sparse *const s = create(&p, false);
    const double values[] = {0.1, 0.4, 0.7, 0.2, 0.5, 0.8, 0.3, 0.6, 0.9}; /* of rank 2 */
    int column = -1;
    cr_assert_eq(sparse_factor(s, values, &column), BARONET_SINGULAR);
    cr_assert(column >= 0 && column < 3);
    sparse_destroy(s);
    pattern_free(&p);
}

Test(sparse, what_is_not_finite_is_refused) {
    const double wrong[] = {(double)NAN, HUGE_VAL, -HUGE_VAL};
    pattern p;
    full_pattern(&p, 3);
    for (int complex_values = 0; complex_values < 2; complex_values++) {
        sparse *const s = create(&p, complex_values);
        const int parts = complex_values + 1;
        double values[18];
        for (int i = 0; i < 9 * parts; i++) {
            for (int k = 0; k < 18; k++)
                values[k] = k % (4 * parts) == 0 ? 3.0 : 1.0 / (k + 1);
            values[i] = wrong[i % 3];
            cr_assert_eq(sparse_factor(s, values, NULL), BARONET_NOT_FINITE);
        }
        values[9 * parts - 1] = 2.0;
        cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
        for (int i = 0; i < 3 * parts; i++) {
            double x[6] = {1, 1, 1, 1, 1, 1};
            x[i] = wrong[i % 3];
            cr_assert_eq(sparse_solve(s, x), BARONET_NOT_FINITE);
        }
        sparse_destroy(s);
    }
    pattern_free(&p);
}

Test(sparse, a_system_without_rows_is_solved) {
    pattern p;
    double none[1] = {0};
    cr_assert_eq(pattern_make(&p, NULL, 0, 0, NULL, NULL), BARONET_OK);
    sparse *const s = create(&p, false);
    cr_assert_eq(sparse_factor(s, none, NULL), BARONET_OK);
    cr_assert_eq(sparse_solve(s, none), BARONET_OK);
    cr_assert_eq(sparse_solve_unchecked(s, none), BARONET_OK);
    cr_assert_eq(condition_of(s, NULL), 1.0);
    sparse_destroy(s);
    sparse_destroy(NULL);
    pattern_free(&p);
}

Test(sparse, refactoring_is_the_rule_and_takes_no_memory_of_ours) {
    unsigned long long state = 9;
    failing f;
    pattern p;
    random_pattern(&p, &state);
    p.allocator = failing_start(&f, 0);
    sparse *const s = create(&p, false);
    double values[PAIRS];
    const size_t calls = f.calls;
    for (int round = 0; round < 100; round++) {
        for (int k = 0; k < p.entries; k++)
            values[k] = 0.3 + random_unit(&state);
        for (int j = 0; j < SIZE; j++) {
            for (int k = p.start[j]; k < p.start[j + 1]; k++)
                values[k] *= p.row[k] == j ? 30.0 : -1.0;
        }
        double x[SIZE] = {1.0};
        cr_assert_eq(sparse_factor(s, values, NULL), BARONET_OK);
        cr_assert_eq(sparse_solve(s, x), BARONET_OK);
    }
    cr_assert_eq(f.calls, calls);
    cr_assert_eq(sparse_quality_of(s).factorings, 1);
    cr_assert_eq(sparse_quality_of(s).refactorings, 99);
    sparse_destroy(s);
    cr_assert_eq(f.live, 0);
    p.allocator = NULL;
    pattern_free(&p);
}

Test(sparse, each_refusal_of_memory_is_told) {
    failing f;
    for (int structural = 0; structural < 2; structural++) {
        for (size_t k = 1;; k++) {
            static const int rows[] = {0, 1, 1}, columns[] = {0, 1, 0};
            pattern p;
            sparse *s;
            cr_assert_eq(pattern_make(&p, NULL, 2, 3 - 2 * structural, rows, columns), BARONET_OK);
            p.allocator = failing_start(&f, k);
            const baronet_status status = sparse_create(&s, &p, false, NULL);
            const baronet_status expected = structural ? BARONET_SINGULAR : BARONET_OK;
            cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : expected);
            sparse_destroy(s);
            cr_assert_eq(f.live, 0);
            p.allocator = NULL;
            pattern_free(&p);
            if (!f.failed)
                break;
        }
    }
}
