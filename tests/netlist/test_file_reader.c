/* SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "baronet/netlist.h"

static baronet_status read_path(const char *path, size_t limit, char **bytes, size_t *length,
                                const char **reason) {
    const baronet_reader r = baronet_file_reader();
    return r.read(r.context, path, limit, NULL, bytes, length, reason);
}

Test(file_reader, reads_all_of_a_file) {
    enum { LENGTH = 300000 };
    char path[] = "/tmp/baronet-test-XXXXXX";
    const int file = mkstemp(path);
    cr_assert_geq(file, 0);
    char *const written = malloc(LENGTH);
    for (size_t i = 0; i < LENGTH; i++)
        written[i] = (char)(i * 7 + i / 251);
    cr_assert_eq(write(file, written, LENGTH), LENGTH);
    close(file);
    char *bytes;
    size_t length;
    const char *reason;
    cr_assert_eq(read_path(path, LENGTH, &bytes, &length, &reason), BARONET_OK);
    cr_expect_eq(length, LENGTH);
    cr_expect_eq(memcmp(bytes, written, LENGTH), 0);
    free(bytes);
    cr_expect_eq(read_path(path, LENGTH - 1, &bytes, &length, &reason), BARONET_NO_FILE);
    cr_expect_str_eq(reason, "it is too long");
    free(written);
    unlink(path);
}

Test(file_reader, says_why_not) {
    char *bytes;
    size_t length;
    const char *reason;
    cr_expect_eq(read_path("/no/such/file", 100, &bytes, &length, &reason), BARONET_NO_FILE);
    cr_expect_str_eq(reason, "there is no such file");
    cr_expect_eq(read_path("/", 100, &bytes, &length, &reason), BARONET_NO_FILE);
    cr_expect_str_eq(reason, "it is a folder");
}
