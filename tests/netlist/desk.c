/* desk.c: see desk.h.
   SPDX-License-Identifier: MIT */
#include "desk.h"

#include <criterion/criterion.h>

#include "sample.h"

desk desk_open(const char *words) {
    return (desk){sample(words), arena_create(NULL), baronet_diagnostics_create(NULL, 0)};
}

void desk_close(desk *k) {
    baronet_diagnostics_destroy(k->diagnostics);
    arena_destroy(k->arena);
    baronet_netlist_destroy(k->netlist);
}

baronet_status desk_dial(const desk *k, const char *said, dial *out) {
    return netlist_dial(k->netlist, "--change", said, NULL, k->arena, k->diagnostics, out);
}

void desk_dials(const desk *k, int count, const char *const *said, dial *out) {
    for (int i = 0; i < count; i++)
        cr_assert_eq(desk_dial(k, said[i], &out[i]), BARONET_OK, "%s: %s", said[i],
                     baronet_diagnostics_text(k->diagnostics, false));
}
