/* memory.c: arenas made of blocks that double in size, so that a large netlist costs few calls of
   the allocator and a small one little memory.
   SPDX-License-Identifier: MIT */
#include "base/memory.h"

#include <assert.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* Bytes of an arena's first block, and the most that doubling reaches. Smaller ones cost calls of
   the allocator, larger ones memory that a small netlist never touches. `make fail` has a block for
   each request, so that each can be refused. */
#ifndef FIRST_BLOCK
#define FIRST_BLOCK   ((size_t)4096)
#define LARGEST_BLOCK ((size_t)1 << 20)
#endif
#define ALIGNMENT _Alignof(max_align_t)

typedef struct arena_block {
    struct arena_block *next; /* an older one */
    size_t size;              /* bytes behind this head */
    size_t used;
    max_align_t bytes[];
} arena_block;

struct arena {
    const baronet_allocator *allocator;
    arena_block *blocks; /* the one being filled comes first */
    size_t next_size;
    bool refused;
};

void *memory_resize(const baronet_allocator *allocator, void *block, size_t size) {
    if (!block && size == 0)
        return NULL; /* nothing to give back, which an allocator need not expect */
    if (allocator)
        return allocator->resize(allocator->context, block, size);
    if (size > 0)
        return realloc(block, size);
    free(block);
    return NULL;
}

arena *arena_create(const baronet_allocator *allocator) {
    arena *a = memory_resize(allocator, NULL, sizeof *a);
    if (a)
        *a = (arena){.allocator = allocator, .next_size = FIRST_BLOCK};
    return a;
}

void arena_destroy(arena *a) {
    if (!a)
        return;
    for (arena_block *b = a->blocks; b;) {
        arena_block *next = b->next;
        memory_resize(a->allocator, b, 0);
        b = next;
    }
    memory_resize(a->allocator, a, 0);
}

/* A block with room for `size` bytes. A request that is large for the arena gets a block of its own
   behind the one being filled, whose room stays in use. */
static arena_block *add_block(arena *a, size_t size) {
    const bool alone = a->blocks && size > a->next_size / 4;
    const size_t room = alone || size > a->next_size ? size : a->next_size;
    if (room > SIZE_MAX - sizeof(arena_block))
        return NULL;
    arena_block *b = memory_resize(a->allocator, NULL, sizeof *b + room);
    if (!b)
        return NULL;
    arena_block **const link = alone ? &a->blocks->next : &a->blocks;
    *b = (arena_block){.next = *link, .size = room};
    *link = b;
    if (!alone && a->next_size < LARGEST_BLOCK)
        a->next_size *= 2;
    return b;
}

static void *refuse(arena *a) {
    a->refused = true;
    return NULL;
}

void *arena_take(arena *a, size_t count, size_t size) {
    assert(a);
    if (size > 0 && count > (SIZE_MAX - ALIGNMENT) / size)
        return refuse(a);
    const size_t bytes = (count * size + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
    arena_block *b = a->blocks;
    if (!b || bytes > b->size - b->used)
        b = add_block(a, bytes);
    if (!b)
        return refuse(a);
    void *const taken = (char *)b->bytes + b->used;
    b->used += bytes;
    return memset(taken, 0, bytes);
}

bool arena_complete(const arena *a) {
    return !a->refused;
}

void *arena_create_owner(const baronet_allocator *allocator, size_t size, arena **a) {
    *a = arena_create(allocator);
    void *const owner = *a ? arena_take(*a, 1, size) : NULL;
    if (!owner) {
        arena_destroy(*a);
        *a = NULL;
    }
    return owner;
}

const baronet_allocator *arena_allocator(const arena *a) {
    return a->allocator;
}

char *arena_copy_text(arena *a, const char *start, size_t length) {
    char *const copy = length < SIZE_MAX ? arena_take(a, length + 1, 1) : refuse(a);
    if (copy && length > 0)
        memcpy(copy, start, length);
    return copy;
}

void *memory_grow(const baronet_allocator *allocator, void *items, size_t count, size_t *capacity,
                  size_t size) {
    assert(count <= *capacity && size > 0);
    if (count < *capacity)
        return items;
    const size_t first = 16; /* items; most arrays of a small netlist never grow beyond */
    const size_t larger = *capacity > 0 ? *capacity * 2 : first;
    if (*capacity > SIZE_MAX / 2 || larger > SIZE_MAX / size)
        return NULL;
    void *const grown = memory_resize(allocator, items, larger * size);
    if (grown)
        *capacity = larger;
    return grown;
}
