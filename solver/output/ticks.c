/* SPDX-License-Identifier: MIT */
#include "output/ticks.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* An axis shorter than this part of its values, or than this outright, shows rounding. */
#define FLAT_PART  1e-5
#define FLAT_LEAST 1e-6
/* How much longer a flat axis is made, in parts of its values. */
#define FLAT_PAD 0.05
/* Ticks this close to an end (in steps) are on it. */
#define STEP_GRACE 1e-6

/* Labels with more noughts than this are written with their power of ten. */
enum { NOUGHTS_MOST = 12 };

/* digits x 10^exponent, with a point whatever the locale. */
static void write_label(char *label, long digits, int exponent) {
    char plain[24];
    const int count = snprintf(plain, sizeof plain, "%ld", digits < 0 ? -digits : digits);
    int used = 0;
    if (abs(exponent) > NOUGHTS_MOST && digits != 0) {
        snprintf(label, TICK_LABEL, "%lde%d", digits, exponent);
        return;
    }
    if (digits < 0) {
        label[used++] = '-';
    }
    if (exponent >= 0 || digits == 0) {
        memcpy(label + used, plain, (size_t)count);
        used += count;
        for (int k = 0; k < exponent && digits != 0; k++) {
            label[used++] = '0';
        }
        label[used] = '\0';
        return;
    }
    const int places = -exponent; /* after the point */
    for (int k = places - count; k >= 0; k--) {
        label[used++] = '0';
        if (k == places - count) {
            label[used++] = '.';
        }
    }
    for (int k = 0; k < count; k++) {
        if (k == count - places && k > 0) {
            label[used++] = '.';
        }
        label[used++] = plain[k];
    }
    label[used] = '\0';
}

/* An axis that has a length. */
static void make_long(double *low, double *high) {
    if (!isfinite(*low) || !isfinite(*high) || *high < *low) {
        *low = 0.0;
        *high = 1.0;
        return;
    }
    const double size = fmax(fabs(*low), fabs(*high));
    if (*high - *low < fmax(FLAT_PART * size, FLAT_LEAST)) {
        const double pad = size > FLAT_LEAST ? FLAT_PAD * size : 1.0;
        const double middle = size > FLAT_LEAST ? 0.5 * (*low + *high) : 0.0;
        *low = middle - pad;
        *high = middle + pad;
    }
}

ticks ticks_linear(double low, double high, int wanted, bool widened) {
    make_long(&low, &high);
    /* The factor whose number of steps is nearest to the wish, as a ratio. */
    static const int factors[] = {1, 2, 5, 10};
    static const double limit[] = {1.41, 3.16, 7.07};
    const double wish = (high - low) / wanted;
    const int exponent = (int)floor(log10(wish));
    int k = 0;
    while (k < 3 && limit[k] * pow(10.0, exponent) < wish * (1.0 - STEP_GRACE)) {
        k++;
    }
    const double step = factors[k] * pow(10.0, exponent);
    const double from = low / step, to = high / step;
    const double first = widened ? floor(from + STEP_GRACE) : ceil(from - STEP_GRACE);
    const double last = widened ? ceil(to - STEP_GRACE) : floor(to + STEP_GRACE);
    ticks t = {.low = widened ? first * step : low, .high = widened ? last * step : high};
    for (double n = first; n <= last && t.count < TICKS_MOST; n += 1.0) {
        tick *one = &t.tick[t.count++];
        one->at = n * step;
        write_label(one->label, (long)n * (factors[k] == 10 ? 1 : factors[k]),
                    factors[k] == 10 ? exponent + 1 : exponent);
    }
    return t;
}

ticks ticks_logarithmic(double low, double high) {
    if (!(low > 0.0) || !isfinite(high) || !(high > low * (1.0 + FLAT_PART))) {
        low = low > 0.0 && isfinite(low) ? low / 2.0 : 0.1;
        high = 4.0 * low;
    }
    ticks t = {.low = low, .high = high};
    static const int factors[] = {1, 2, 5};
    const bool all = high / low <= 100.0 * (1.0 + STEP_GRACE);
    const int last = (int)floor(log10(high) + STEP_GRACE);
    for (int e = (int)floor(log10(low) + STEP_GRACE); e <= last; e++) {
        for (int k = 0; k < 3 && t.count < TICKS_MOST; k++) {
            const double at = factors[k] * pow(10.0, e);
            if (at < low * (1.0 - STEP_GRACE) || at > high * (1.0 + STEP_GRACE)) {
                continue;
            }
            t.tick[t.count].at = at;
            if (k == 0 || all) {
                write_label(t.tick[t.count].label, factors[k], e);
            }
            t.count++;
        }
    }
    return t;
}

double ticks_part(const ticks *t, bool logarithmic, double value) {
    return logarithmic ? log(value / t->low) / log(t->high / t->low)
                       : (value - t->low) / (t->high - t->low);
}
