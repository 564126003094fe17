/* sink.h: where output goes: standard output, or a file written whole or not at all.
   SPDX-License-Identifier: MIT */
#ifndef CLI_SINK_H
#define CLI_SINK_H

#include <stdbool.h>
#include <stddef.h>

/* Writes all bytes to `path` (NULL or "-": standard output). A regular file is written beside
   itself, brought to the disk and renamed; devices and pipes are written as they are. A reader of
   standard output that has gone away is no error. False, with the reason on standard error, where
   it failed. */
bool sink_write(const char *path, const char *bytes, size_t length);

#endif
