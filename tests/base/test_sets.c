/* tests of sets */
#include "base/sets.h"

#include <criterion/criterion.h>

#include "support.h"

enum { THINGS = 40 };

/* Against the closure of all joints, found by going over them until nothing changes. */
Test(sets, are_what_can_be_reached_by_joints) {
    unsigned long long seed = 31;
    for (int joints = 0; joints < 60; joints++) {
        int set[THINGS], least[THINGS], pair[60][2];
        sets_start(set, THINGS);
        for (int i = 0; i < THINGS; i++)
            least[i] = i;
        for (int k = 0; k < joints; k++) {
            for (int e = 0; e < 2; e++)
                pair[k][e] = (int)(random_unit(&seed) * THINGS);
            sets_join(set, pair[k][0], pair[k][1]);
        }
        for (int round = 0; round < THINGS; round++) {
            for (int k = 0; k < joints; k++) {
                const int a = least[pair[k][0]], b = least[pair[k][1]];
                least[pair[k][0]] = least[pair[k][1]] = a < b ? a : b;
            }
        }
        for (int i = 0; i < THINGS; i++)
            cr_assert_eq(sets_find(set, i), least[i], "%d joints, thing %d", joints, i);
    }
}
