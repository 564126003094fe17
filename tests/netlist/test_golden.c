/* Bad netlists beside the exact message that each must give: NAME.air and NAME.txt in tests/golden.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "baronet/netlist.h"
#include "support.h"

#define FOLDER "tests/golden/"
#define FEWEST 60 /* cases; fewer means that the folder was not found whole */

/* Files are named without their folder in the messages, which thus hold wherever that is. */
static baronet_status read_golden(void *context, const char *path, size_t limit,
                                  const baronet_allocator *allocator, char **bytes, size_t *length,
                                  const char **reason) {
    (void)context;
    char full[1024];
    snprintf(full, sizeof full, FOLDER "%s", path);
    const baronet_reader files = baronet_file_reader();
    return files.read(files.context, full, limit, allocator, bytes, length, reason);
}

static void check_case(const char *file) {
    const baronet_reader reader = {read_golden, NULL};
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    const baronet_status status = baronet_netlist_read(file, &reader, NULL, d, &n);
    cr_expect_eq(status == BARONET_OK, baronet_diagnostics_total(d, BARONET_ERROR) == 0);
    const char *const said = baronet_diagnostics_text(d, false);
    char expected_file[512];
    snprintf(expected_file, sizeof expected_file, "%.*s.txt", (int)strlen(file) - 4, file);
    char *expected = NULL;
    size_t length = 0;
    const char *reason = NULL;
    const baronet_status found =
        read_golden(NULL, expected_file, 1 << 20, NULL, &expected, &length, &reason);
    cr_expect_eq(found, BARONET_OK, "%s: %s", expected_file, reason);
    if (found == BARONET_OK)
        cr_expect(strlen(said) == length && memcmp(said, expected, length) == 0,
                  "%s says:\n%swhere expected is:\n%.*s", file, said, (int)length, expected);
    free(expected);
    baronet_netlist_destroy(n);
    baronet_diagnostics_destroy(d);
}

/* Whichever request for memory is refused, and all after it, that is what is said in the end. */
static void check_memory(const char *file) {
    const baronet_reader reader = {read_golden, NULL};
    failing f = {.failed = true};
    for (size_t k = 1; f.failed; k++) {
        const baronet_allocator *const allocator = failing_start(&f, k);
        baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
        baronet_netlist *n = NULL;
        const baronet_status status = baronet_netlist_read(file, &reader, allocator, d, &n);
        cr_expect_eq(f.failed, status == BARONET_OUT_OF_MEMORY, "%s, request %zu: %d", file, k,
                     (int)status);
        baronet_netlist_destroy(n);
        baronet_diagnostics_destroy(d);
        cr_assert_eq(f.live, 0, "%s, request %zu", file, k);
    }
}

static void check_all(void (*check)(const char *file)) {
    DIR *const folder = opendir(FOLDER);
    cr_assert_not_null(folder);
    int cases = 0;
    for (const struct dirent *e; (e = readdir(folder)) != NULL;) {
        const size_t length = strlen(e->d_name);
        if (length < 4 || strcmp(e->d_name + length - 4, ".air") != 0)
            continue;
        check(e->d_name);
        cases++;
    }
    closedir(folder);
    cr_expect_geq(cases, FEWEST);
}

Test(golden, bad_netlists_get_their_exact_messages) {
    check_all(check_case);
}

Test(golden, memory_may_run_out_while_complaining) {
    check_all(check_memory);
}
