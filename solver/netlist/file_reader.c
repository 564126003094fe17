/* file_reader.c: netlists from ordinary files.
   SPDX-License-Identifier: MIT */
#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "base/memory.h"
#include "netlist/source.h"

#define FIRST_ROOM ((size_t)1 << 16)

static const char *reason_of(int error) {
    switch (error) {
    case ENOENT:
        return "there is no such file";
    case EACCES:
        return "permission is denied";
    case EISDIR:
        return "it is a folder";
    default:
        return "it cannot be read";
    }
}

/* Reads to the end, doubling the block, for a pipe does not tell its length; but no more than a
   byte beyond the limit. The block is full whenever that is neither the end nor an error. */
static baronet_status read_stream(FILE *stream, size_t limit, const baronet_allocator *allocator,
                                  char **bytes, size_t *length, const char **reason) {
    size_t room = 0, used = 0;
    char *block = NULL;
    baronet_status status = BARONET_OK;
    do {
        room = room > 0 ? room * 2 : FIRST_ROOM;
        room = room > limit + 1 ? limit + 1 : room;
        char *const larger = memory_resize(allocator, block, room);
        if (!larger) {
            status = BARONET_OUT_OF_MEMORY;
            break;
        }
        block = larger;
        used += fread(block + used, 1, room - used, stream);
        if (ferror(stream)) {
            *reason = reason_of(errno);
            status = BARONET_NO_FILE;
        } else if (used > limit) {
            *reason = source_too_long;
            status = BARONET_NO_FILE;
        }
    } while (status == BARONET_OK && !feof(stream));
    if (status == BARONET_OK) {
        *bytes = block;
        *length = used;
    } else {
        memory_resize(allocator, block, 0);
    }
    return status;
}

static baronet_status read_file(void *context, const char *path, size_t limit,
                                const baronet_allocator *allocator, char **bytes, size_t *length,
                                const char **reason) {
    (void)context;
    const bool standard = strcmp(path, "-") == 0;
    FILE *const stream = standard ? stdin : fopen(path, "rb");
    if (!stream) {
        *reason = reason_of(errno);
        return errno == ENOMEM ? BARONET_OUT_OF_MEMORY : BARONET_NO_FILE;
    }
    const baronet_status status = read_stream(stream, limit, allocator, bytes, length, reason);
    if (!standard)
        fclose(stream);
    return status;
}

baronet_reader baronet_file_reader(void) {
    return (baronet_reader){read_file, NULL};
}
