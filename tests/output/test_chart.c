/* Tests of solver/output/chart.c. */
#include "output/chart.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

static int lines_of(const page *p) {
    int lines = 0;
    for (const block *b = p->first; b != NULL; b = b->next) {
        lines += b->kind == BLOCK_CHART;
    }
    return lines;
}

Test(chart, a_curve_fills_its_lines_and_no_more) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.0, 2.0, 3.0}, y[] = {0.01, (double)NAN, 0.03, -0.02};
    const chart_curve line = {"left.height", BARONET_TIME, BARONET_LENGTH, 4, x, y};
    chart_add(p, &line);
    cr_expect_eq(lines_of(p), 14, "a title, 12 rows and a scale");
    for (const block *b = p->first; b != NULL; b = b->next) {
        cr_expect_leq(text_columns(b->text, strlen(b->text)), 78);
    }
    cr_expect_not(p->failed);
    baronet_answer_destroy(p);
}

Test(chart, a_flat_curve_is_a_line_and_a_single_point_nothing) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.0}, y[] = {0.16, 0.16};
    const chart_curve flat = {"flat", BARONET_TIME, BARONET_LENGTH, 2, x, y};
    const chart_curve point = {"point", BARONET_TIME, BARONET_LENGTH, 1, x, y};
    chart_add(p, &point);
    cr_expect_eq(lines_of(p), 0);
    chart_add(p, &flat);
    cr_expect_eq(lines_of(p), 14);
    baronet_answer_destroy(p);
}
