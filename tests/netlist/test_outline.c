/* Tests of solver/netlist/outline.c. The messages are in tests/golden.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sample.h"

static char *said;

static baronet_netlist *read_files(const sample_file *files, baronet_status *status) {
    const baronet_reader reader = sample_reader(files);
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    *status = baronet_netlist_read(files[0].path, &reader, NULL, d, &n);
    free(said);
    said = strdup(baronet_diagnostics_text(d, false));
    baronet_diagnostics_destroy(d);
    return n;
}

Test(outline, includes_stand_in_their_place) {
    static const sample_file files[] = {
        {"vans/van.air", "include \"../parts/sizes.air\"\ntank a volume v\ninclude \"more.air\"\n"},
        {"vans/../parts/sizes.air", "let v 4 L"},
        {"vans/more.air", "tank b volume v\nrestrictor c from a to b bore 2 mm\n"},
        {NULL, NULL}};
    baronet_status status;
    baronet_netlist *const n = read_files(files, &status);
    cr_assert_eq(status, BARONET_OK, "%s", said);
    cr_expect_eq(netlist_model(n)->network.nodes, 3);
    baronet_netlist_destroy(n);
}

/* Each file is read once, so that shared parts are safe and no small set of files can grow large.
 */
Test(outline, a_file_is_read_once) {
    static const sample_file files[] = {
        {"top", "include \"a\"\ninclude \"b\"\ninclude \"c\"\ntee t\n"},
        {"a", "include \"b\"\ninclude \"c\"\ninclude \"b\"\ntank ta volume 1 L\n"},
        {"b", "include \"c\"\ninclude \"./c\"\ntank tb volume 1 L\n"},
        {"c", "tank tc volume 1 L\n"},
        {NULL, NULL}};
    baronet_status status;
    baronet_netlist *const n = read_files(files, &status);
    cr_assert_eq(status, BARONET_OK, "%s", said);
    cr_expect_eq(netlist_model(n)->network.nodes, 5);
    baronet_netlist_destroy(n);
}

/* File `i` of a chain includes file `i` + 1, without end. */
static baronet_status read_chain(void *context, const char *path, size_t limit,
                                 const baronet_allocator *allocator, char **bytes, size_t *length,
                                 const char **reason) {
    (void)limit, (void)allocator, (void)reason;
    const int last = *(const int *)context;
    const int i = atoi(path);
    *bytes = malloc(100);
    *length = (size_t)(i < last ? snprintf(*bytes, 100, "include \"%d\"\n", i + 1)
                                : snprintf(*bytes, 100, "tank t volume 1 L\n"));
    return BARONET_OK;
}

static baronet_status chain_status(int last) {
    const baronet_reader reader = {read_chain, &last};
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    const baronet_status status = baronet_netlist_read("0", &reader, NULL, d, &n);
    free(said);
    said = strdup(baronet_diagnostics_text(d, false));
    baronet_netlist_destroy(n);
    baronet_diagnostics_destroy(d);
    return status;
}

Test(outline, includes_are_64_deep_at_most) {
    cr_expect_eq(chain_status(BARONET_INCLUDE_DEPTH), BARONET_OK, "%s", said);
    cr_expect_eq(chain_status(BARONET_INCLUDE_DEPTH + 1), BARONET_BAD_NETLIST);
    cr_expect_not_null(strstr(said, "64:1:10: error: includes are more than 64 deep"), "%s", said);
    cr_expect_eq(chain_status(10000), BARONET_BAD_NETLIST);
}

/* What a file that is missing would have named is not complained of. */
Test(outline, a_missing_file_is_the_only_error) {
    baronet_status status;
    char *const text = sample_said("include \"gone.air\"\nspring s on RL profile p height 1 mm\n"
                                   "state a open v\n",
                                   &status);
    cr_expect_eq(status, BARONET_BAD_NETLIST);
    cr_expect_not_null(strstr(text, "`gone.air` cannot be included"));
    cr_expect_null(strstr(strstr(text, "error:") + 1, "error:"), "%s", text);
    free(text);
}

Test(outline, a_wrong_definition_still_defines) {
    char *const text = sample_said("tnak a volume 1 L\ntank b volume 1 kg\ntank c\n"
                                   "restrictor d from a to b bore 1 mm\n"
                                   "restrictor e from b to c bore 1 mm\n",
                                   NULL);
    int errors = 0;
    for (const char *at = text; (at = strstr(at, "error:")) != NULL; at++)
        errors++;
    cr_expect_eq(errors, 3, "%s", text);
    free(text);
}
