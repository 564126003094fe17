/* `baronet ride`. */
#include "program.h"

#include <criterion/criterion.h>
#include <string.h>

Test(command_ride, a_road_and_a_speed_may_be_stated) {
    expect_run("ride netlists/camper.air --state town", 0, "road class C at 80.0 km/h");
    expect_run("ride netlists/camper.air --state town --road-class D --speed 30mph", 0,
               "road class D at 48.3 km/h");
    expect_run("ride netlists/camper.air --state town --road-class b", 2,
               "baronet ride: --road-class cannot be `b`\n  --road-class A|B|C|D|E|F|G|H");
    expect_run("ride netlists/camper.air --speed 80", 2, "baronet ride: --speed cannot be `80`");
}

Test(command_ride, gives_its_figures) {
    expect_run("ride netlists/camper.air --state town --as csv", 0,
               "\nride,town,,,damping_ratio,1,");
}
