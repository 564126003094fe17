/* netlist.h: a netlist read and checked, ready for questions.
   SPDX-License-Identifier: MIT */
#ifndef BARONET_NETLIST_H
#define BARONET_NETLIST_H

#include <stddef.h>

#include "baronet/allocator.h"
#include "baronet/api.h"
#include "baronet/diagnostics.h"
#include "baronet/status.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct baronet_netlist baronet_netlist;

/* Where files come from, so that netlists can live in memory as well. */
typedef struct baronet_reader {
    /* Reads the whole file `path` ("-": standard input) into a block taken from `allocator`
       (baronet_allocator.resize, malloc where NULL), at most `limit` bytes. BARONET_NO_FILE with a
       reason in `*reason` (static text) where it cannot be read or is longer. */
    baronet_status (*read)(void *context, const char *path, size_t limit,
                           const baronet_allocator *allocator, char **bytes, size_t *length,
                           const char **reason);
    void *context;
} baronet_reader;

/* The reader of ordinary files. */
BARONET_API baronet_reader baronet_file_reader(void);

/* Limits of a netlist, its includes counted in: what is beyond is an error. Bytes of all files;
   statements; how deep includes may be. */
#define BARONET_FILE_LIMIT      ((size_t)1 << 28)
#define BARONET_STATEMENT_LIMIT 5000000
#define BARONET_INCLUDE_DEPTH   64

/* Reads the netlist at `path` with all that it includes and checks it; what there is to say about
   it goes to `diagnostics`, all in one run. BARONET_OK gives a netlist (with warnings perhaps),
   owned by the caller. BARONET_BAD_NETLIST where there is an error in it, BARONET_NO_FILE where
   `path` itself cannot be read or is too long (an include that is, is an error of the netlist),
   BARONET_OUT_OF_MEMORY; `*netlist` is then NULL. `reader` NULL: ordinary files; `allocator` NULL:
   malloc; `diagnostics` NULL: nobody is told. */
BARONET_API BARONET_CHECKED baronet_status baronet_netlist_read(const char *path,
                                                                const baronet_reader *reader,
                                                                const baronet_allocator *allocator,
                                                                baronet_diagnostics *diagnostics,
                                                                baronet_netlist **netlist);

/* As baronet_netlist_read, from text in memory that is called `name` in messages; includes are read
   from ordinary files relative to `name`. */
BARONET_API BARONET_CHECKED baronet_status baronet_netlist_read_text(
    const char *name, const char *bytes, size_t length, const baronet_allocator *allocator,
    baronet_diagnostics *diagnostics, baronet_netlist **netlist);

/* Frees a netlist, whose answers are to be destroyed before it; NULL is fine. */
BARONET_API void baronet_netlist_destroy(baronet_netlist *netlist);

/* The `about` line, "" where there is none. */
BARONET_API const char *baronet_netlist_about(const baronet_netlist *netlist);

/* Names of its states, in order (`rest` among them), and of its cases; NULL beyond the last. */
BARONET_API const char *baronet_netlist_state(const baronet_netlist *netlist, size_t index);
BARONET_API const char *baronet_netlist_case(const baronet_netlist *netlist, size_t index);

#ifdef __cplusplus
}
#endif

#endif
