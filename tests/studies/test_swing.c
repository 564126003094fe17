/* tests of swing */
#include "studies/swing.h"

#include <criterion/criterion.h>

Test(swing, the_worst_of_all_is_kept) {
    static const swing_account each[] = {{3, 1e-9, 2e-14, 40.0, false, false},
                                         {7, 3e-8, 1e-15, 12.5, true, false},
                                         {5, 2e-9, 7e-15, 95.0, false, true}};
    swing_account all = {0};
    swing_join(&all, &each[0]);
    cr_expect_eq(all.iterations, 3);
    cr_expect_not(all.unsettled || all.below_vacuum);
    swing_join(&all, &each[1]);
    swing_join(&all, &each[2]);
    cr_expect_eq(all.iterations, 7);
    cr_expect_eq(all.residual, 3e-8);
    cr_expect_eq(all.linear, 2e-14);
    cr_expect_eq(all.condition, 95.0);
    cr_expect(all.unsettled && all.below_vacuum);
}
