/* ration.h: an allocator that hands out so much and no more, by malloc; several threads may ask at
   once.
   SPDX-License-Identifier: MIT */
#ifndef BASE_RATION_H
#define BASE_RATION_H

#include <stdatomic.h>
#include <stdbool.h>

#include "baronet/allocator.h"

typedef struct ration {
    baronet_allocator allocator; /* whose memory it is about; as long as the ration lives */
    size_t most;                 /* bytes */
    atomic_size_t used;
    atomic_bool refused; /* more was asked for */
} ration;

void ration_start(ration *r, size_t most);

#endif
