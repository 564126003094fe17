/* SPDX-License-Identifier: MIT */
#include "numeric/pattern.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "support.h"

Test(pattern, places_are_sorted_and_repeats_share_one) {
    static const int rows[] = {2, 0, 1, 2, 0, 2, 1};
    static const int columns[] = {0, 2, 0, 0, 2, 2, 0};
    pattern p;
    cr_assert_eq(pattern_make(&p, NULL, 3, 7, rows, columns), BARONET_OK);
    static const int start[] = {0, 2, 2, 4}, row[] = {1, 2, 0, 2}, slot[] = {1, 2, 0, 1, 2, 3, 0};
    cr_assert_eq(p.size, 3);
    cr_assert_eq(p.pairs, 7);
    cr_assert_eq(p.entries, 4);
    cr_assert(memcmp(p.start, start, sizeof start) == 0);
    cr_assert(memcmp(p.row, row, sizeof row) == 0);
    cr_assert(memcmp(p.slot, slot, sizeof slot) == 0);
    pattern_free(&p);
}

Test(pattern, a_matrix_may_be_empty) {
    pattern p;
    cr_assert_eq(pattern_make(&p, NULL, 0, 0, NULL, NULL), BARONET_OK);
    cr_assert_eq(p.start[0], 0);
    pattern_multiply(&p, NULL, NULL, (double[1]){0});
    pattern_free(&p);
    cr_assert_eq(pattern_make(&p, NULL, 4, 0, NULL, NULL), BARONET_OK);
    for (int i = 0; i <= 4; i++)
        cr_assert_eq(p.start[i], 0);
    pattern_free(&p);
    pattern_free(&p);
}

/* A random matrix as pairs, as dense values, and as a pattern with its values. */
#define MOST 24
typedef struct sample {
    int size, pairs;
    int rows[400], columns[400];
    double dense[2][MOST][MOST]; /* real and imaginary parts */
    pattern pattern;
    double *values; /* interleaved */
} sample;

static void sample_make(sample *s, unsigned long long *state) {
    memset(s, 0, sizeof *s);
    s->size = 1 + (int)(random_unit(state) * MOST);
    s->pairs = (int)(random_unit(state) * 400);
    for (int k = 0; k < s->pairs; k++) {
        s->rows[k] = (int)(random_unit(state) * s->size);
        s->columns[k] = (int)(random_unit(state) * s->size);
    }
    cr_assert_eq(pattern_make(&s->pattern, NULL, s->size, s->pairs, s->rows, s->columns),
                 BARONET_OK);
    s->values = calloc(2 * (size_t)s->pattern.entries + 1, sizeof *s->values);
    for (int k = 0; k < s->pairs; k++) {
        for (int part = 0; part < 2; part++) {
            const double value = random_unit(state) - 0.5;
            s->dense[part][s->rows[k]][s->columns[k]] += value;
            s->values[2 * s->pattern.slot[k] + part] += value;
        }
    }
}

static void sample_free(sample *s) {
    pattern_free(&s->pattern);
    free(s->values);
}

Test(pattern, random_matrices_multiply_as_dense_ones_do) {
    unsigned long long state = 7;
    for (int round = 0; round < 300; round++) {
        sample s;
        sample_make(&s, &state);
        double x[2 * MOST], y[2 * MOST], real[400], y_real[MOST];
        for (int i = 0; i < 2 * s.size; i++)
            x[i] = random_unit(&state) - 0.5;
        pattern_multiply_complex(&s.pattern, s.values, x, y);
        for (int k = 0; k < s.pattern.entries; k++)
            real[k] = s.values[2 * k];
        pattern_multiply(&s.pattern, real, x, y_real);
        for (int i = 0; i < s.size; i++) {
            double re = 0.0, im = 0.0, only_real = 0.0;
            for (int j = 0; j < s.size; j++) {
                const double a = s.dense[0][i][j], b = s.dense[1][i][j];
                re += a * x[2 * j] - b * x[2 * j + 1];
                im += a * x[2 * j + 1] + b * x[2 * j];
                only_real += a * x[j];
            }
            CHECK_ABS(y[2 * i], re, 1e-13, "dense product");
            CHECK_ABS(y[2 * i + 1], im, 1e-13, "dense product");
            CHECK_ABS(y_real[i], only_real, 1e-13, "dense product");
        }
        sample_free(&s);
    }
}

Test(pattern, rows_rise_within_each_column) {
    unsigned long long state = 11;
    for (int round = 0; round < 300; round++) {
        sample s;
        sample_make(&s, &state);
        const pattern *const p = &s.pattern;
        cr_assert_eq(p->start[p->size], p->entries);
        for (int j = 0; j < p->size; j++) {
            for (int k = p->start[j] + 1; k < p->start[j + 1]; k++)
                cr_assert(p->row[k - 1] < p->row[k]);
        }
        for (int k = 0; k < s.pairs; k++) {
            cr_assert_eq(p->row[p->slot[k]], s.rows[k]);
            cr_assert(p->slot[k] >= p->start[s.columns[k]]);
            cr_assert(p->slot[k] < p->start[s.columns[k] + 1]);
        }
        sample_free(&s);
    }
}

Test(pattern, each_refusal_of_memory_is_told) {
    static const int rows[] = {0, 1, 1, 0}, columns[] = {0, 1, 0, 1};
    failing f;
    for (size_t k = 1;; k++) {
        pattern p;
        const baronet_status status = pattern_make(&p, failing_start(&f, k), 2, 4, rows, columns);
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        if (status == BARONET_OK)
            pattern_free(&p);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
}

Test(pattern, a_writer_counts_then_places_then_sums) {
    static const int wanted_row[] = {2, 0, 2}, wanted_column[] = {1, 0, 1};
    int row[3], column[3], slot[] = {1, 0, 1};
    double values[2] = {0.5, 0.0};
    pattern_writer count = {0}, place = {.row = row, .column = column},
                   value = {.slot = slot, .values = values};
    for (int k = 0; k < 3; k++) {
        pattern_put(&count, wanted_row[k], wanted_column[k], k + 1.0);
        pattern_put(&place, wanted_row[k], wanted_column[k], k + 1.0);
        pattern_put(&value, wanted_row[k], wanted_column[k], k + 1.0);
    }
    cr_expect_eq(count.count, 3);
    for (int k = 0; k < 3; k++) {
        cr_expect_eq(row[k], wanted_row[k]);
        cr_expect_eq(column[k], wanted_column[k]);
    }
    cr_expect_eq(values[0], 2.5); /* 0.5 + 2 */
    cr_expect_eq(values[1], 4.0); /* 1 + 3 */
}

/* Three places, one of them twice. */
static void list_three(void *context, pattern_writer *w) {
    ++*(int *)context;
    pattern_put(w, 2, 1, 0.0);
    pattern_put(w, 0, 0, 0.0);
    pattern_put(w, 2, 1, 0.0);
    pattern_put(w, 1, 2, 0.0);
}

Test(pattern, is_made_of_what_is_listed) {
    static const int start[] = {0, 1, 2, 3}, row[] = {0, 2, 1}, slot[] = {1, 0, 1, 2};
    failing f;
    for (size_t k = 1;; k++) {
        pattern p;
        int calls = 0;
        const baronet_status status = pattern_list(&p, failing_start(&f, k), 3, list_three, &calls);
        cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        if (status == BARONET_OK) {
            cr_expect_eq(calls, 2);
            cr_assert_eq(p.entries, 3);
            cr_expect_arr_eq(p.start, start, sizeof start);
            cr_expect_arr_eq(p.row, row, sizeof row);
            cr_expect_arr_eq(p.slot, slot, sizeof slot);
            pattern_free(&p);
        }
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
}
