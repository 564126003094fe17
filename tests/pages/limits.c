/* limits.c: the limits of what is read, asked and worked out, as a page of docs/; see pages.h.
   SPDX-License-Identifier: MIT */
#include <stdio.h>

#include "netlist/build.h"
#include "netlist/cursor.h"
#include "netlist/reading.h"
#include "output/design.h"
#include "output/plan.h"
#include "pages.h"
#include "studies/faults.h"
#include "studies/play.h"
#include "studies/response.h"
#include "studies/size.h"
#include "studies/stroke.h"
#include "studies/vary.h"

typedef struct limit {
    const char *what;
    double most;
    const char *unit;
    const char *beyond; /* what happens there */
} limit;

static const double mebibyte = 1024.0 * 1024.0;

/* Thousands apart, as 2,000,000. */
static void put_number(double x) {
    const unsigned long whole = x < 1e15 ? (unsigned long)x : 0;
    if (x >= 1e15) {
        printf("%g", x);
    } else if (whole >= 1000) {
        put_number((double)(whole / 1000));
        printf(",%03lu", whole % 1000);
    } else {
        printf("%lu", whole);
    }
}

static void put_table(const char *title, const limit *row, size_t rows) {
    printf("\n## %s\n\n| limit | at most | beyond it |\n| --- | --- | --- |\n", title);
    for (size_t k = 0; k < rows; k++) {
        printf("| %s | ", row[k].what);
        put_number(row[k].most);
        printf("%s%s | %s |\n", row[k].unit[0] != '\0' ? " " : "", row[k].unit, row[k].beyond);
    }
}

static void put_netlist(void) {
    const limit rows[] = {
        {"all files of a netlist together", (double)BARONET_FILE_LIMIT / mebibyte, "MiB",
         "the file that passes it is not read: exit 5, or 3 where it is included"},
        {"statements", BARONET_STATEMENT_LIMIT, "", "an error, exit 3"},
        {"includes within includes", BARONET_INCLUDE_DEPTH, "deep", "an error, exit 3"},
        {"corners, springs on a bench counted", VEHICLE_CORNERS_MAX, "", "an error, exit 3"},
        {"test pressures of a profile", PROFILE_TESTS_MAX, "", "an error, exit 3"},
        {"states times solenoids; motions times corners; cases times corners",
         (double)BUILD_PRODUCT_MAX, "", "an error, exit 3"},
        {"a number, in SI units", QUANTITY_LARGEST, "",
         "an error, exit 3, as is what is nearer to zero than the reciprocal"},
        {"errors and warnings that are shown", DIAGNOSTICS_USUAL, "", "the rest is counted"},
        {"words that are compared in search of a close one", (double)READING_PATIENCE, "",
         "no hints beside later errors"},
    };
    put_table("What is read", rows, sizeof rows / sizeof rows[0]);
}

static void put_questions(void) {
    const limit rows[] = {
        {"solenoids for `--all`", STATES_SOLENOIDS_MAX, "", "refused, exit 2"},
        {"volumes times positions of the valves for `--all`", STATES_VALUES_MAX, "",
         "refused, exit 2"},
        {"rows of a curve", STROKE_POINTS_MOST, "", "refused, exit 2"},
        {"frequencies of a response", RESPONSE_POINTS_MOST, "", "refused, exit 2"},
        {"values that change at once", DESIGN_DIALS_MAX, "", "refused, exit 2"},
        {"figures that are followed, each state counted", DESIGN_GAUGES_MAX, "", "refused, exit 2"},
        {"points of a grid of `vary`", VARY_ROWS_MAX, "", "refused, exit 2"},
        {"combinations of lists of `size`", SIZE_LISTED_MAX, "", "refused, exit 2"},
        {"combinations beside values with bounds", SIZE_SEARCHES_MAX, "", "refused, exit 2"},
        {"vehicles that `spread` draws", OPTIONS_RUNS, "", "refused, exit 2"},
        {"shares of rows", OPTIONS_SHARES, "", "refused, exit 2"},
        {"parts of a drawing", PLAN_PARTS_MOST, "",
         "refused, exit 2; a report goes without its drawing"},
    };
    put_table("What is asked", rows, sizeof rows / sizeof rows[0]);
}

static void put_work(void) {
    const limit rows[] = {
        {"memory that the program takes", (double)COMMAND_MEMORY / mebibyte, "MiB",
         "it ends and says so, exit 5"},
        {"steps of an event", PLAY_STEP_BUDGET, "", "the event stops early and says so, exit 4"},
        {"steps times unknowns of an event", PLAY_WORK_BUDGET, "",
         "the same: a larger system has fewer steps"},
        {"switchings of an event by conditions", PLAY_SWITCH_BUDGET, "", "the same"},
        {"things that happen in an event and are told", PLAY_NOTES, "", "the first ones are told"},
        {"steps of all faults together", FAULTS_BUDGET, "times those of an event",
         "the rest is not played, and counted, exit 4"},
    };
    put_table("What is worked out", rows, sizeof rows / sizeof rows[0]);
}

void list_limits(void) {
    puts("# Limits\n\n<!-- Made from the program's tables by `make docs`; do not edit. -->\n\n"
         "No vehicle comes near any of these. They keep a slip of the pen, or a file that is no "
         "netlist,\nfrom taking all memory or a whole day. Each is a size or a count. None is a "
         "time: the same netlist\nand question give the same answer on a slow machine and on a "
         "quick one.");
    put_netlist();
    put_questions();
    put_work();
    puts("\nThe memory is that of the netlist, the answer and the text that is written; the "
         "libraries that solve\nequations take some more. Who calls the library gives an allocator "
         "of their own, and with it the limit.\nIterations end after fixed numbers of rounds, and "
         "say where they have not come to rest.");
    puts("\n<!-- book -->"); /* links to other pages follow */
}
