/* memory.h: arenas. Things that die together are taken from one arena and given back in one call;
   nothing taken from an arena is freed alone. An arena passes on its allocator's refusal as NULL.
   SPDX-License-Identifier: MIT */
#ifndef BASE_MEMORY_H
#define BASE_MEMORY_H

#include <stdbool.h>
#include <stddef.h>

#include "baronet/allocator.h"

/* As baronet_allocator.resize, with NULL for malloc. */
void *memory_resize(const baronet_allocator *allocator, void *block, size_t size);

typedef struct arena arena;

arena *arena_create(const baronet_allocator *allocator);
void arena_destroy(arena *a);

/* An arena together with the object that is to own it, which is zeroed and its first thing; NULL
   for want of memory, and then there is neither. */
void *arena_create_owner(const baronet_allocator *allocator, size_t size, arena **a);
#define ARENA_OWNER(type, allocator, a) ((type *)arena_create_owner((allocator), sizeof(type), (a)))

/* Zeroed memory, aligned for any type; NULL for want of memory or a size that overflows. A size of
   zero gives a valid pointer that must not be read. */
void *arena_take(arena *a, size_t count, size_t size);

/* The allocator behind it; NULL is malloc. */
const baronet_allocator *arena_allocator(const arena *a);

#define ARENA_ARRAY(a, type, count) ((type *)arena_take((a), (size_t)(count), sizeof(type)))

/* Whether all that was ever asked of it was given: one question after many requests, of which none
   can be forgotten. Once it has refused it stays incomplete. */
bool arena_complete(const arena *a);

/* A terminated copy of `length` bytes. */
char *arena_copy_text(arena *a, const char *start, size_t length);

/* A growable array's next capacity is made here, so that growth is one rule: doubles the block when
   `count` has reached `*capacity`. `items` and the result are heap blocks of the allocator, not of
   an arena. NULL for want of memory: `items` is then still valid and owned by the caller. */
void *memory_grow(const baronet_allocator *allocator, void *items, size_t count, size_t *capacity,
                  size_t size);

#endif
