/* SPDX-License-Identifier: MIT */
#include "input.h"

#include <string.h>

#include "base/memory.h"

typedef struct input {
    const uint8_t *bytes;
    size_t length;
} input;

static baronet_status read_input(void *context, const char *path, size_t limit,
                                 const baronet_allocator *allocator, char **bytes, size_t *length,
                                 const char **reason) {
    const input *const in = context;
    *reason = "there is no such file";
    if (strlen(path) != 1 || in->length > limit)
        return BARONET_NO_FILE;
    *length = in->length;
    *bytes = memory_resize(allocator, NULL, in->length + 1);
    memcpy(*bytes, in->bytes, in->length);
    return BARONET_OK;
}

baronet_netlist *input_netlist(const uint8_t *data, size_t size) {
    input in = {data, size};
    const baronet_reader reader = {read_input, &in};
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    (void)!baronet_netlist_read("x", &reader, NULL, d, &n);
    (void)baronet_diagnostics_text(d, true);
    baronet_diagnostics_destroy(d);
    return n;
}
