/* SPDX-License-Identifier: MIT */
#include "numeric/chance.h"

#include <criterion/criterion.h>
#include <math.h>

#include "support.h"

/* Mean and variance of an even number between 0 and 1 are 1/2 and 1/12 (any textbook); with 40000
   of them four standard errors are 0.0058 and 0.0015. */
Test(chance, is_even) {
    enum { COUNT = 40000 };
    double sum = 0.0, square = 0.0, cross = 0.0, least = 1.0, most = 0.0;
    for (int i = 0; i < COUNT; i++) {
        const double x = chance_even(11, (unsigned long long)i, 3);
        const double y = chance_even(11, (unsigned long long)i, 4);
        sum += x;
        square += (x - 0.5) * (x - 0.5);
        cross += (x - 0.5) * (y - 0.5);
        least = fmin(least, x);
        most = fmax(most, x);
    }
    CHECK_ABS(sum / COUNT, 0.5, 0.0058, "mean of an even number");
    CHECK_ABS(square / COUNT, 1.0 / 12.0, 0.0015, "variance of an even number");
    CHECK_ABS(cross / COUNT, 0.0, 0.0017, "columns know nothing of one another");
    cr_expect(least > 0.0 && most < 1.0);
    cr_expect(least < 0.001 && most > 0.999);
}

Test(chance, is_of_its_place_alone) {
    const double x = chance_even(1, 2, 3);
    cr_expect_eq(chance_even(1, 2, 3), x);
    cr_expect_neq(chance_even(2, 2, 3), x);
    cr_expect_neq(chance_even(1, 3, 3), x);
    cr_expect_neq(chance_even(1, 3, 2), x);
    cr_expect_neq(chance_even(1, 2, 4), x);
}
