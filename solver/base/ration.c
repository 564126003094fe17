/* SPDX-License-Identifier: MIT */
#include "base/ration.h"

#include <stdint.h>
#include <stdlib.h>

/* What stands before each block. */
typedef union head {
    size_t size; /* of the block, this head not counted */
    max_align_t alignment;
} head;

/* Counts so many bytes more; false where that is beyond the ration. */
static bool take(ration *r, size_t more) {
    const size_t before = atomic_fetch_add(&r->used, more);
    if (more <= r->most && before <= r->most - more)
        return true;
    atomic_fetch_sub(&r->used, more);
    atomic_store(&r->refused, true);
    return false;
}

static void *resize(void *context, void *block, size_t size) {
    ration *const r = context;
    head *const old = block ? (head *)block - 1 : NULL;
    const size_t before = old ? old->size : 0;
    if (size == 0) {
        free(old);
        atomic_fetch_sub(&r->used, before);
        return NULL;
    }
    const size_t more = size > before ? size - before : 0;
    if (!take(r, more))
        return NULL;
    head *const now = size < SIZE_MAX - sizeof *now ? realloc(old, sizeof *now + size) : NULL;
    /* What was taken for nothing, or what a smaller block gives up. */
    atomic_fetch_sub(&r->used, !now ? more : size < before ? before - size : 0);
    if (!now)
        return NULL;
    now->size = size;
    return now + 1;
}

void ration_start(ration *r, size_t most) {
    r->allocator = (baronet_allocator){resize, r};
    r->most = most;
    atomic_init(&r->used, 0);
    atomic_init(&r->refused, false);
}
