/* Any bytes as a netlist, which may also include themselves under another name, and their first
   line as a wish of a sound one.
   SPDX-License-Identifier: MIT */
#include <stdint.h>
#include <string.h>

#include "base/memory.h"
#include "netlist/wish.h"

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

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    input in = {data, size};
    const baronet_reader reader = {read_input, &in};
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    if (baronet_netlist_read("x", &reader, NULL, d, &n) == BARONET_OK) {
        requirement ignored;
        char wish[100] = "";
        arena *const a = arena_create(NULL);
        memcpy(wish, data, size < sizeof wish ? size : sizeof wish - 1);
        (void)!netlist_wish(n, "wish", wish, a, d, &ignored);
        arena_destroy(a);
    }
    (void)baronet_diagnostics_text(d, true);
    baronet_netlist_destroy(n);
    baronet_diagnostics_destroy(d);
    return 0;
}
