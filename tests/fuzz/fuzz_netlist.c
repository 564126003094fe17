/* Any bytes as a netlist.
   SPDX-License-Identifier: MIT */
#include "input.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    baronet_netlist_destroy(input_netlist(data, size));
    return 0;
}
