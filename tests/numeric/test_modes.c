/* SPDX-License-Identifier: MIT */
#include "numeric/modes.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "model/gas.h"
#include "numeric/dense.h"
#include "support.h"

static const double pi = 3.141592653589793;

/* A graph's Laplacian with weights: links of conductance g between a and b (b < 0: held). */
typedef struct graph {
    int size, links, pairs;
    int *row, *column;
    double *value, *values, *weight;
    pattern pattern;
} graph;

static graph graph_make(int size) {
    const size_t most = 8 * (size_t)size + 16;
    graph g = {.size = size};
    g.row = calloc(most, sizeof *g.row);
    g.column = calloc(most, sizeof *g.column);
    g.value = calloc(most, sizeof *g.value);
    g.values = calloc(most, sizeof *g.values);
    g.weight = calloc((size_t)size, sizeof *g.weight);
    for (int i = 0; i < size; i++) {
        g.row[i] = g.column[i] = i;
        g.weight[i] = 1.0;
    }
    g.pairs = size;
    return g;
}

static void put(graph *g, int row, int column, double value) {
    g->row[g->pairs] = row;
    g->column[g->pairs] = column;
    g->value[g->pairs++] = value;
}

static void link_nodes(graph *g, int a, int b, double conductance) {
    put(g, a, a, conductance);
    if (b >= 0) {
        put(g, b, b, conductance);
        put(g, a, b, -conductance);
        put(g, b, a, -conductance);
    }
}

static modes_pencil finish(graph *g, bool sealed) {
    cr_assert_eq(pattern_make(&g->pattern, NULL, g->size, g->pairs, g->row, g->column), BARONET_OK);
    for (int k = 0; k < g->pairs; k++) {
        g->values[g->pattern.slot[k]] += g->value[k];
    }
    return (modes_pencil){&g->pattern, g->values, g->weight, sealed};
}

static void graph_free(graph *g) {
    pattern_free(&g->pattern);
    free(g->row);
    free(g->column);
    free(g->value);
    free(g->values);
    free(g->weight);
}

static modes_answer answer_make(int wanted, int size) {
    return (modes_answer){calloc((size_t)wanted, sizeof(double)),
                          calloc((size_t)wanted * (size_t)size, sizeof(double)),
                          calloc((size_t)wanted, sizeof(double))};
}

static void answer_free(modes_answer *a) {
    free(a->value);
    free(a->vector);
    free(a->residual);
}

static void chain(graph *g, int size) {
    *g = graph_make(size);
    for (int i = 0; i + 1 < size; i++) {
        link_nodes(g, i, i + 1, 1.0);
    }
}

Test(modes, a_sealed_chain_has_its_closed_form) {
    static const int sizes[] = {2, 7, 53, 1009, 10007};
    for (size_t k = 0; k < sizeof sizes / sizeof sizes[0]; k++) {
        const int n = sizes[k];
        graph g;
        chain(&g, n);
        const modes_pencil p = finish(&g, true);
        cr_assert_eq(modes_count(&p), n - 1);
        const int wanted = n - 1 < 12 ? n - 1 : 12;
        modes_answer a = answer_make(wanted, n);
        cr_assert_eq(modes_solve(&p, wanted, &a, NULL), BARONET_OK);
        for (int i = 0; i < wanted; i++) {
            const double sine = sin(0.5 * pi * (i + 1) / n);
            CHECK_REL(a.value[i], 4.0 * sine * sine, 1e-9,
                      "path graph: 4 sin^2(k pi/2n), Fiedler 1973");
            cr_assert(a.residual[i] < 1e-9, "%d of %d: %g", i, n, a.residual[i]);
        }
        answer_free(&a);
        graph_free(&g);
    }
}

Test(modes, a_chain_with_a_held_end_has_its_closed_form) {
    static const int sizes[] = {1, 5, 61, 907};
    for (size_t k = 0; k < sizeof sizes / sizeof sizes[0]; k++) {
        const int n = sizes[k];
        graph g;
        chain(&g, n);
        link_nodes(&g, 0, -1, 1.0);
        const modes_pencil p = finish(&g, false);
        const int wanted = n < 9 ? n : 9;
        modes_answer a = answer_make(wanted, n);
        cr_assert_eq(modes_solve(&p, wanted, &a, NULL), BARONET_OK);
        for (int i = 0; i < wanted; i++) {
            const double sine = sin(0.5 * pi * (2 * i + 1) / (2 * n + 1));
            CHECK_REL(a.value[i], 4.0 * sine * sine, 1e-10, "chain with one fixed end");
        }
        answer_free(&a);
        graph_free(&g);
    }
}

Test(modes, two_volumes_have_the_time_constant_of_the_reference) {
    csv *table = csv_read("tank_blowdown");
    int compared = 0;
    for (size_t row = 0; row < csv_rows(table); row++) {
        if (!csv_is(table, row, "kind", "linear_equalise") ||
            !csv_is(table, row, "quantity", "tau")) {
            continue;
        }
        const double RT = GAS_CONSTANT * csv_number(table, row, "T_K");
        graph g = graph_make(2);
        link_nodes(&g, 0, 1, csv_number(table, row, "G_kg_per_sPa"));
        g.weight[0] = csv_number(table, row, "V_m3") / RT;
        g.weight[1] = csv_number(table, row, "V2_m3") / RT;
        const modes_pencil p = finish(&g, true);
        modes_answer a = answer_make(1, 2);
        cr_assert_eq(modes_solve(&p, 1, &a, NULL), BARONET_OK);
        CHECK_ROW(1.0 / a.value[0], table, row);
        answer_free(&a);
        graph_free(&g);
        compared++;
    }
    cr_assert_eq(compared, 3);
    csv_free(table);
}

/* A ring with chords, links and weights over some decades. */
static void tangle(graph *g, int size, unsigned long long seed) {
    *g = graph_make(size);
    for (int i = 0; i < size; i++) {
        const double conductance = pow(10.0, 2.0 * random_unit(&seed) - 1.0);
        link_nodes(g, i, (i + 1) % size, conductance);
        g->weight[i] = pow(10.0, 2.0 * random_unit(&seed) - 1.0);
        const int far = (int)(random_unit(&seed) * size);
        if (i % 7 == 3 && far != i) {
            link_nodes(g, i, far, 0.3 * conductance);
        }
    }
}

/* The same by LAPACK from B^-1/2 A B^-1/2, rising. */
static void by_lapack(const graph *g, double *values) {
    const int n = g->size;
    double *full = calloc((size_t)n * (size_t)n, sizeof *full);
    for (int j = 0; j < n; j++) {
        for (int k = g->pattern.start[j]; k < g->pattern.start[j + 1]; k++) {
            const int i = g->pattern.row[k];
            full[i * n + j] = g->values[k] / sqrt(g->weight[i] * g->weight[j]);
        }
    }
    cr_assert_eq(dense_symmetric_eigen(n, full, values), BARONET_OK);
    free(full);
}

Test(modes, few_and_many_agree_with_lapack_on_the_whole_matrix) {
    static const int sizes[] = {23, 157, 411};
    for (size_t k = 0; k < sizeof sizes / sizeof sizes[0]; k++) {
        const int n = sizes[k];
        graph g;
        tangle(&g, n, 11 + k);
        const modes_pencil p = finish(&g, true);
        double *all = calloc((size_t)n, sizeof *all);
        by_lapack(&g, all);
        modes_answer a = answer_make(20, n);
        cr_assert_eq(modes_solve(&p, 20, &a, NULL), BARONET_OK);
        for (int i = 0; i < 20; i++) {
            CHECK_REL(a.value[i], all[i + 1], 1e-9, "LAPACK dsyev, the zero left out");
            cr_assert(a.residual[i] < 1e-11);
        }
        for (int i = 0; i < 20; i++) {
            for (int j = 0; j <= i; j++) {
                double product = 0.0;
                for (int c = 0; c < n; c++) {
                    product += a.vector[i * n + c] * g.weight[c] * a.vector[j * n + c];
                }
                CHECK_ABS(product, i == j ? 1.0 : 0.0, 1e-8, "vectors are unit in B");
            }
        }
        free(all);
        answer_free(&a);
        graph_free(&g);
    }
}

Test(modes, an_unknown_without_weight_is_eliminated) {
    /* 1 --2.0-- tee --3.0-- 2 is one link of 6/5; its constant is C1 C2/((C1 + C2) G). */
    graph g = graph_make(3);
    link_nodes(&g, 0, 1, 2.0);
    link_nodes(&g, 1, 2, 3.0);
    g.weight[0] = 0.7;
    g.weight[1] = 0.0;
    g.weight[2] = 1.9;
    const modes_pencil p = finish(&g, true);
    cr_assert_eq(modes_count(&p), 1);
    modes_answer a = answer_make(1, 3);
    cr_assert_eq(modes_solve(&p, 1, &a, NULL), BARONET_OK);
    CHECK_REL(1.0 / a.value[0], 0.7 * 1.9 / (0.7 + 1.9) / 1.2, 1e-14, "by hand");
    const double between = (2.0 * a.vector[0] + 3.0 * a.vector[2]) / 5.0;
    CHECK_REL(a.vector[1], between, 1e-12, "no flow is left over at the tee");
    CHECK_ABS(0.7 * a.vector[0] + 1.9 * a.vector[2], 0.0, 1e-14, "air is kept");
    answer_free(&a);
    graph_free(&g);
}

Test(modes, the_slowest_is_exact_beside_the_quickest) {
    /* Two large volumes by a thin link, each with a tiny one by a wide link: 12 decades apart. The
       sums of links on the diagonal are rounded to 1e-12 already, a part of 1e-9 of the thin one.
     */
    graph g = graph_make(4);
    link_nodes(&g, 0, 1, 1e-3);
    link_nodes(&g, 0, 2, 1e4);
    link_nodes(&g, 1, 3, 1e4);
    g.weight[0] = 1.3;
    g.weight[1] = 2.9;
    g.weight[2] = g.weight[3] = 1e-5;
    const modes_pencil p = finish(&g, true);
    modes_answer a = answer_make(3, 4);
    cr_assert_eq(modes_solve(&p, 3, &a, NULL), BARONET_OK);
    const double one = 1.3 + 1e-5, two = 2.9 + 1e-5;
    CHECK_REL(1.0 / a.value[0], one * two / (one + two) / 1e-3, 1e-8,
              "each tiny volume moves with its large one");
    answer_free(&a);
    graph_free(&g);
}

Test(modes, runs_repeat_bit_by_bit) {
    graph g;
    tangle(&g, 700, 5);
    const modes_pencil p = finish(&g, true);
    modes_answer a = answer_make(8, 700), b = answer_make(8, 700);
    cr_assert_eq(modes_solve(&p, 8, &a, NULL), BARONET_OK);
    cr_assert_eq(modes_solve(&p, 8, &b, NULL), BARONET_OK);
    cr_assert_eq(memcmp(a.value, b.value, 8 * sizeof(double)), 0);
    cr_assert_eq(memcmp(a.vector, b.vector, 8 * 700 * sizeof(double)), 0);
    answer_free(&a);
    answer_free(&b);
    graph_free(&g);
}

Test(modes, every_refusal_of_memory_is_survived) {
    static const int sizes[] = {9, 300};
    for (size_t s = 0; s < 2; s++) {
        graph g;
        tangle(&g, sizes[s], 3);
        const modes_pencil p = finish(&g, true);
        modes_answer a = answer_make(4, sizes[s]);
        failing f;
        for (size_t k = 1;; k++) {
            const baronet_allocator *allocator = failing_start(&f, k);
            const baronet_status status = modes_solve(&p, 4, &a, allocator);
            cr_assert_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
            cr_assert_eq(f.live, 0);
            if (!f.failed) {
                break;
            }
        }
        answer_free(&a);
        graph_free(&g);
    }
}
