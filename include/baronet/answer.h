/* answer.h: what a question got: figures and series for machines, pages for people.
   SPDX-License-Identifier: MIT */
#ifndef BARONET_ANSWER_H
#define BARONET_ANSWER_H

#include <stdbool.h>
#include <stddef.h>

#include "baronet/api.h"
#include "baronet/status.h"
#include "baronet/units.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct baronet_answer baronet_answer;

/* One scalar result. Strings live as long as the answer. */
typedef struct baronet_figure {
    const char *study;
    const char *state;
    const char *load_case; /* "" for the base case */
    const char *level;     /* instant, settled, parked, ride, or "" for a state's equilibrium */
    const char *quantity;
    const char *subject; /* "" for the whole vehicle */
    double value;        /* SI */
    baronet_dimension dimension;
} baronet_figure;

/* Frees an answer and all that it gave; NULL is fine. */
BARONET_API void baronet_answer_destroy(baronet_answer *answer);

/* OK, or the first reason why a state has no answer, or BARONET_NOT_MET. */
BARONET_API baronet_status baronet_answer_status(const baronet_answer *answer);

/* How many figures it holds, and the one at an index below that. */
BARONET_API size_t baronet_answer_figures(const baronet_answer *answer);
BARONET_API const baronet_figure *baronet_answer_figure(const baronet_answer *answer, size_t index);

/* The value (SI) of the first figure with this state, level, quantity and subject, whatever its
   case; NAN where there is none. */
BARONET_API double baronet_answer_value(const baronet_answer *answer, const char *state,
                                        const char *level, const char *quantity,
                                        const char *subject);

/* Text of the changed netlist that `size` gives, comments kept; NULL for none. */
BARONET_API const char *baronet_answer_netlist(const baronet_answer *answer);

typedef enum baronet_format {
    BARONET_TEXT,
    BARONET_CSV,
    BARONET_JSON, /* docs/formats.md */
    BARONET_XML,  /* docs/schema/answer-1.rng */
    BARONET_SVG,  /* the answer's pictures */
    BARONET_HTML, /* one page that loads nothing */
    BARONET_FORMATS
} baronet_format;

/* The format of that name (`text`, `csv`, `json`, `xml`, `svg`, `html`), or BARONET_FORMATS. */
BARONET_API baronet_format baronet_format_find(const char *name);
/* Its name, static storage; `format` is below BARONET_FORMATS. */
BARONET_API const char *baronet_format_name(baronet_format format);

/* Writes the answer in a format. `*bytes` is terminated and owned by the answer, valid until the
   next rendering. `colour` is for BARONET_TEXT only. BARONET_OUT_OF_MEMORY. */
BARONET_API BARONET_CHECKED baronet_status baronet_answer_render(baronet_answer *answer,
                                                                 baronet_format format, bool colour,
                                                                 const char **bytes,
                                                                 size_t *length);

#ifdef __cplusplus
}
#endif

#endif
