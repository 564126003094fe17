/* sink.h: where output goes: standard output, or a file written whole or not at all.
   SPDX-License-Identifier: MIT */
#ifndef CLI_SINK_H
#define CLI_SINK_H

#include <stdbool.h>
#include <stddef.h>

/* Writes all bytes to `path` (NULL or "-": standard output). A regular file is written beside
   itself, brought to the disk and renamed, with the rights of the one it takes the place of; links
   are followed. Devices, pipes and what standard output is open on are written as they are. A
   reader that has gone away is no error. False, with the reason on standard error, where it
   failed. */
bool sink_write(const char *path, const char *bytes, size_t length);

/* Brings to standard output what was printed; as above where it fails. */
bool sink_flush(void);

#endif
