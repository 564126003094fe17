/* corners.h: a small series, of what two corners do.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_OUTPUT_CORNERS_H
#define TESTS_OUTPUT_CORNERS_H

#include <math.h>

#include "output/page.h"

/* RL with a zero below nought and a number that is none, then RR with a travel (m) and a share. */
static inline void corners_add(page *p, double travel, double share) {
    static const char *const labels[] = {"corner"};
    static const series_column columns[] = {{"travel", BARONET_LENGTH}, {"share", BARONET_NUMBER}};
    series *s = page_series(p, 1, labels, 2, columns);
    series_add(s, (const char *const[]){"RL"}, (const double[]){-0.0, (double)NAN});
    series_add(s, (const char *const[]){"RR"}, (const double[]){travel, share});
}

#endif
