/* allocator.h: where memory comes from. Pass NULL wherever one is asked for to use malloc.
   Ownership in the whole library follows one rule: arguments are borrowed, pointers returned by a
   `_create` or `_read` are owned by the caller and given to the matching `_destroy` (which takes
   NULL), and all others live as long as their parent.
   SPDX-License-Identifier: MIT */
#ifndef BARONET_ALLOCATOR_H
#define BARONET_ALLOCATOR_H

#include <stddef.h>

typedef struct baronet_allocator {
    /* As realloc: block NULL takes new memory, size 0 gives it back and returns NULL. May return
       NULL for want of memory; the block is then untouched. */
    void *(*resize)(void *context, void *block, size_t size);
    void *context; /* handed to resize as it is */
} baronet_allocator;

#endif
