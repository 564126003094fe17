/* SPDX-License-Identifier: MIT */
#include "numeric/dense.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "support.h"

#define MOST 40

static void random_matrix(int count, double *matrix, unsigned long long *state) {
    for (int i = 0; i < count; i++)
        matrix[i] = random_unit(state) - 0.5;
}

static double dot(int n, const double *a, int stride_a, const double *b, int stride_b) {
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += a[i * stride_a] * b[i * stride_b];
    return sum;
}

Test(dense, eigenpairs_of_a_known_matrix) {
    double matrix[] = {2.0, 1.0, 1.0, 2.0}, values[2];
    cr_assert_eq(dense_symmetric_eigen(2, matrix, values), BARONET_OK);
    CHECK_REL(values[0], 1.0, 1e-14, "characteristic polynomial");
    CHECK_REL(values[1], 3.0, 1e-14, "characteristic polynomial");
    CHECK_REL(matrix[0], sqrt(0.5), 1e-14, "(1, -1) over root 2");
    CHECK_REL(matrix[2], -sqrt(0.5), 1e-14, "(1, -1) over root 2");
    CHECK_REL(matrix[1], sqrt(0.5), 1e-14, "(1, 1) over root 2");
    CHECK_REL(matrix[3], sqrt(0.5), 1e-14, "(1, 1) over root 2");
}

Test(dense, eigenpairs_of_random_matrices_satisfy_their_definition) {
    unsigned long long state = 1;
    for (int n = 1; n <= MOST; n++) {
        double a[MOST * MOST], vectors[MOST * MOST], values[MOST], product[MOST];
        random_matrix(n * n, a, &state); /* not symmetric: its symmetric part counts */
        memcpy(vectors, a, sizeof a);
        cr_assert_eq(dense_symmetric_eigen(n, vectors, values), BARONET_OK);
        for (int j = 0; j < n; j++) {
            cr_assert(j == 0 || values[j - 1] <= values[j]);
            double largest = 0.0;
            for (int i = 0; i < n; i++) {
                const double v = vectors[i * n + j];
                largest = fabs(v) > fabs(largest) ? v : largest;
                product[i] =
                    0.5 * (dot(n, a + i * n, 1, vectors + j, n) + dot(n, a + i, n, vectors + j, n));
                CHECK_ABS(product[i], values[j] * v, 1e-13 * n, "definition");
            }
            cr_assert(largest > 0.0);
            for (int k = 0; k <= j; k++)
                CHECK_ABS(dot(n, vectors + j, n, vectors + k, n), j == k, 1e-13 * n, "orthonormal");
        }
    }
}

/* Points (1, 1), (2, 3), (4, 4): normal equations [3 7; 7 21] (c, m) = (8, 23). */
Test(dense, a_line_is_fitted) {
    double a[] = {1, 1, 1, 2, 1, 4}, b[] = {1, 3, 4};
    int rank;
    cr_assert_eq(dense_least_squares(3, 2, a, b, 1e-12, &rank), BARONET_OK);
    cr_assert_eq(rank, 2);
    CHECK_REL(b[0], 0.5, 1e-13, "normal equations");
    CHECK_REL(b[1], 13.0 / 14.0, 1e-13, "normal equations");
}

Test(dense, of_many_solutions_the_least_is_taken) {
    double wide[] = {1, 2, 2}, b[3] = {9, 0, 0};
    int rank;
    cr_assert_eq(dense_least_squares(1, 3, wide, b, 1e-12, &rank), BARONET_OK);
    cr_assert_eq(rank, 1);
    CHECK_REL(b[0], 1.0, 1e-13, "a'(a a')^-1 b");
    CHECK_REL(b[1], 2.0, 1e-13, "a'(a a')^-1 b");
    CHECK_REL(b[2], 2.0, 1e-13, "a'(a a')^-1 b");
    double flat[] = {1, 1, 1, 1 + 1e-14}, c[] = {4, 4};
    cr_assert_eq(dense_least_squares(2, 2, flat, c, 1e-10, &rank), BARONET_OK);
    cr_assert_eq(rank, 1);
    CHECK_REL(c[0], 2.0, 1e-9, "least norm");
    CHECK_REL(c[1], 2.0, 1e-9, "least norm");
}

Test(dense, least_squares_residuals_are_orthogonal_to_the_columns) {
    unsigned long long state = 2;
    for (int rows = 1; rows <= MOST; rows += 3) {
        const int columns = 1 + rows / 2;
        double a[MOST * MOST], copy[MOST * MOST], b[MOST], right[MOST];
        random_matrix(rows * columns, a, &state);
        random_matrix(rows, b, &state);
        memcpy(copy, a, sizeof a);
        memcpy(right, b, sizeof b);
        int rank;
        cr_assert_eq(dense_least_squares(rows, columns, a, b, 1e-12, &rank), BARONET_OK);
        cr_assert_eq(rank, columns);
        for (int i = 0; i < rows; i++)
            right[i] -= dot(columns, copy + i * columns, 1, b, 1);
        for (int j = 0; j < columns; j++)
            CHECK_ABS(dot(rows, copy + j, columns, right, 1), 0.0, 1e-11, "normal equations");
    }
}

Test(dense, systems_are_solved_for_several_right_hand_sides) {
    unsigned long long state = 4;
    for (int n = 1; n <= MOST; n += 3) {
        const int count = 1 + n % 4;
        double a[MOST * MOST], copy[MOST * MOST], x[MOST * 4], right[MOST * 4];
        random_matrix(n * n, a, &state);
        for (int i = 0; i < n; i++)
            a[i * n + i] += 2.0;
        random_matrix(n * count, x, &state);
        memcpy(copy, a, sizeof a);
        memcpy(right, x, sizeof x);
        cr_assert_eq(dense_solve(n, a, count, x), BARONET_OK);
        for (int i = 0; i < n; i++) {
            for (int j = 0; j < count; j++)
                CHECK_ABS(dot(n, copy + i * n, 1, x + j, count), right[i * count + j], 1e-11,
                          "definition");
        }
    }
}

Test(dense, a_zero_pivot_is_told) {
    double a[] = {1, 2, 2, 4}, b[] = {1, 1};
    cr_assert_eq(dense_solve(2, a, 1, b), BARONET_SINGULAR);
}

Test(dense, what_rounding_left_of_a_zero_pivot_is_told) {
    static const double units[] = {1.0, 3e-9, 7e11, 0.1};
    for (int k = 0; k < 64; k++) {
        double a[9], b[] = {1, 1, 1};
        for (int i = 0; i < 9; i++) /* of rank 2, in units of rows and columns */
            a[i] = (i + 1) / 10.0 * units[(k >> (i / 3)) % 4] * units[(k >> (3 + i % 3)) % 4];
        cr_assert_eq(dense_solve(3, a, 1, b), BARONET_SINGULAR, "%d", k);
    }
}

Test(dense, nearly_equal_columns_are_no_reason_to_refuse) {
    for (double apart = 0.3; apart > 1e-13; apart *= 0.07) {
        const double whole = 1.0 + apart; /* as it can be held */
        double a[] = {1e-5, 1e3, 1e-5, 1e3 * whole}, b[] = {0.0, whole - 1.0};
        cr_assert_eq(dense_solve(2, a, 1, b), BARONET_OK);
        CHECK_REL(b[0], -1e5, 1e-13 / apart, "Cramer's rule");
        CHECK_REL(b[1], 1e-3, 1e-13 / apart, "Cramer's rule");
    }
}

/* Four corners of a vehicle, left to right and front to rear: warp is what heave, roll and pitch
   leave, and for a rectangle it is (1, -1, -1, 1)/2. */
Test(dense, the_complement_of_heave_roll_and_pitch_is_warp) {
    double given[] = {1, 0.8, 1.4, 1, -0.8, 1.4, 1, 0.8, -1.6, 1, -0.8, -1.6}, basis[16];
    int rank;
    cr_assert_eq(dense_complement(4, 3, given, basis, &rank), BARONET_OK);
    cr_assert_eq(rank, 3);
    const double warp[] = {0.5, -0.5, -0.5, 0.5};
    for (int i = 0; i < 4; i++)
        CHECK_REL(basis[i], warp[i], 1e-13, "orthogonality, by hand");
}

Test(dense, complements_are_orthonormal_and_orthogonal_to_what_is_given) {
    unsigned long long state = 6;
    for (int n = 1; n <= MOST; n += 3) {
        for (int count = 0; count <= n + 2 && count <= MOST; count += 1 + n / 3) {
            double given[MOST * MOST], copy[MOST * MOST], basis[MOST * MOST];
            random_matrix(n * count, given, &state);
            for (int i = 0; i < n && count > 1; i++) /* one more depends, at another size */
                given[i * count + count - 1] = 1e-6 * given[i * count];
            memcpy(copy, given, sizeof given);
            int rank;
            cr_assert_eq(dense_complement(n, count, given, basis, &rank), BARONET_OK);
            const int independent = count > 1 ? count - 1 : count;
            cr_assert_eq(rank, independent < n ? independent : n);
            const int left = n - rank;
            for (int j = 0; j < left; j++) {
                for (int k = 0; k <= j; k++)
                    CHECK_ABS(dot(n, basis + j, left, basis + k, left), j == k, 1e-13 * n,
                              "orthonormal");
                for (int k = 0; k < count; k++)
                    CHECK_ABS(dot(n, basis + j, left, copy + k, count), 0.0, 1e-13 * n,
                              "orthogonal");
            }
        }
    }
}

Test(dense, zero_columns_span_nothing) {
    double given[] = {0, 0, 0, 1e200, 0, 1e200}, basis[9];
    int rank;
    cr_assert_eq(dense_complement(3, 2, given, basis, &rank), BARONET_OK);
    cr_assert_eq(rank, 1);
}

Test(dense, what_is_not_finite_is_refused) {
    double a[] = {1, 0, 0, (double)NAN}, b[] = {1, 1}, basis[4];
    int rank;
    cr_assert_eq(dense_symmetric_eigen(2, a, b), BARONET_NOT_FINITE);
    cr_assert_eq(dense_least_squares(2, 2, a, b, 1e-12, &rank), BARONET_NOT_FINITE);
    cr_assert_eq(dense_solve(2, a, 1, b), BARONET_NOT_FINITE);
    cr_assert_eq(dense_complement(2, 2, a, basis, &rank), BARONET_NOT_FINITE);
    cr_assert_eq(dense_eigen(2, a, b, basis), BARONET_NOT_FINITE);
    double fine[] = {1, 0, 0, 1}, wrong[] = {1, HUGE_VAL};
    cr_assert_eq(dense_solve(2, fine, 1, wrong), BARONET_NOT_FINITE);
    cr_assert_eq(dense_least_squares(2, 2, fine, wrong, 1e-12, &rank), BARONET_NOT_FINITE);
}

Test(dense, a_row_of_noughts_is_told) {
    double a[] = {2, 1, 0, 0}, b[] = {3, 0};
    cr_assert_eq(dense_solve(2, a, 1, b), BARONET_SINGULAR);
}
