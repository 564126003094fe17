/* input.h: what the fuzz targets share: their entry, and a reader that knows no file but the input.
   SPDX-License-Identifier: MIT */
#ifndef TESTS_FUZZ_INPUT_H
#define TESTS_FUZZ_INPUT_H

#include <stdbool.h>
#include <stdint.h>

#include "baronet/baronet.h"

/* Called for each input. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Reads these bytes as a netlist that may include itself, by names of one letter. NULL where it is
   wrong; what there is to say about it has been put into words. */
baronet_netlist *input_netlist(const uint8_t *data, size_t size);

#endif
