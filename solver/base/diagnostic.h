/* diagnostic.h: adding to a collection of diagnostics; reading one is public.
   SPDX-License-Identifier: MIT */
#ifndef BASE_DIAGNOSTIC_H
#define BASE_DIAGNOSTIC_H

#include "baronet/diagnostics.h"

/* Diagnostics that are kept where no other number is asked for. */
#define DIAGNOSTICS_USUAL 50

/* Copies the diagnostic with its strings, in its place after those of the same place. A want of
   memory is remembered: see diagnostics_failed. At the limit an error takes the room of a warning
   or note, and all else is only counted. */
void diagnostics_add(baronet_diagnostics *diagnostics, const baronet_diagnostic *diagnostic);

/* True once as many errors as the limit are kept: whoever makes an excerpt may then save the work.
 */
bool diagnostics_full(const baronet_diagnostics *diagnostics);

/* True where memory ran out while adding. */
bool diagnostics_failed(const baronet_diagnostics *diagnostics);

#endif
