/* plain.h: text of unknown origin made fit to be shown in a terminal: one line, no control
   characters, nothing that changes the direction of writing, valid UTF-8.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_PLAIN_H
#define NETLIST_PLAIN_H

#include "base/text.h"

/* Adds as much of the text as takes so many columns: white space as a space, whatever cannot be
   shown as `?`. Returns the columns added. */
size_t plain_add(text_buffer *buffer, text t, size_t columns);

/* Bytes of the character at `start`, or 1 where it is none. */
size_t plain_step(const char *start, const char *end);

/* Start of the character that ends at `at`, which is not `start`. */
const char *plain_step_back(const char *start, const char *at);

#endif
