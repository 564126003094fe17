/* diagnostics.h: what a netlist's reader has to say, each with its place. One reading collects all
   of them, up to a limit; beyond it they are only counted.
   SPDX-License-Identifier: MIT */
#ifndef BARONET_DIAGNOSTICS_H
#define BARONET_DIAGNOSTICS_H

#include <stdbool.h>
#include <stddef.h>

#include "baronet/allocator.h"
#include "baronet/api.h"
#include "baronet/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum baronet_severity { BARONET_ERROR, BARONET_WARNING, BARONET_NOTE } baronet_severity;

typedef struct baronet_diagnostic {
    baronet_severity severity;
    const char *file;    /* as named by the caller or the include; "-" for standard input */
    int line;            /* from 1; 0 where no place is meant */
    int column;          /* characters from 1; 0 where no place is meant */
    const char *message; /* what is wrong, one line */
    const char *excerpt; /* the source line, or 76 columns of it around the place; NULL for none */
    int caret;           /* columns of the excerpt before the place, from 0 */
    int width;           /* columns that the caret underlines, from 1 */
    const char *hint;    /* what would fit; NULL for none */
} baronet_diagnostic;

typedef struct baronet_diagnostics baronet_diagnostics;

/* An empty collection that keeps `limit` diagnostics (0: 50). NULL for want of memory. */
BARONET_API baronet_diagnostics *baronet_diagnostics_create(const baronet_allocator *allocator,
                                                            size_t limit);
/* Frees a collection and all that it gave; NULL is fine. */
BARONET_API void baronet_diagnostics_destroy(baronet_diagnostics *diagnostics);

/* Number kept, and the one at an index below it: in order of place, files as they were first met.
   The pointer is good until one more is added. */
BARONET_API size_t baronet_diagnostics_count(const baronet_diagnostics *diagnostics);
BARONET_API const baronet_diagnostic *baronet_diagnostics_at(const baronet_diagnostics *diagnostics,
                                                             size_t index);
/* Number of this severity, those beyond the limit included. */
BARONET_API size_t baronet_diagnostics_total(const baronet_diagnostics *diagnostics,
                                             baronet_severity severity);

/* All kept diagnostics as text for people, with a closing line for those beyond the limit; NULL for
   want of memory. Owned by the collection, valid until it changes or this is called again. */
BARONET_API const char *baronet_diagnostics_text(baronet_diagnostics *diagnostics, bool colour);

#ifdef __cplusplus
}
#endif

#endif
