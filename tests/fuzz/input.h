/* input.h: what the fuzz targets share: their entry, and a reader that knows no file but the input.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_FUZZ_INPUT_H
#define TESTS_FUZZ_INPUT_H

#include <stdbool.h>
#include <stdint.h>

#include "baronet/baronet.h"

/* Called for each input. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Changes an input into the next, of at most so many bytes; its new size. The second is the
   fuzzer's own. */
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most, unsigned int seed);
size_t LLVMFuzzerMutate(uint8_t *data, size_t size, size_t most);

/* Reads these bytes as a netlist that may include itself, by names of one letter. NULL where it is
   wrong; what there is to say about it has been put into words. */
baronet_netlist *input_netlist(const uint8_t *data, size_t size);

#endif
