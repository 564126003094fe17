/* SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/memory.h"
#include "baronet/netlist.h"
#include "support.h"

static baronet_status read_path(const char *path, size_t limit, char **bytes, size_t *length,
                                const char **reason) {
    const baronet_reader r = baronet_file_reader();
    return r.read(r.context, path, limit, NULL, bytes, length, reason);
}

enum { LENGTH = 300000 };

/* Makes a file of that many bytes at the path, and gives them. */
static char *write_path(char *path) {
    const int file = mkstemp(path);
    cr_assert_geq(file, 0);
    char *const written = malloc(LENGTH);
    for (size_t i = 0; i < LENGTH; i++)
        written[i] = (char)(i * 7 + i / 251);
    cr_assert_eq(write(file, written, LENGTH), LENGTH);
    close(file);
    return written;
}

Test(file_reader, reads_all_of_a_file) {
    char path[] = "/tmp/baronet-test-XXXXXX";
    char *const written = write_path(path);
    char *bytes;
    size_t length;
    const char *reason;
    cr_assert_eq(read_path(path, LENGTH, &bytes, &length, &reason), BARONET_OK);
    cr_expect_eq(length, LENGTH);
    cr_expect_eq(memcmp(bytes, written, LENGTH), 0);
    free(bytes);
    cr_expect_eq(read_path(path, LENGTH - 1, &bytes, &length, &reason), BARONET_NO_FILE);
    cr_expect_str_eq(reason, "files of a netlist are 256 MiB at most, all together");
    /* Something without an end is left as soon as the limit is passed. */
    cr_expect_eq(read_path("/dev/zero", LENGTH, &bytes, &length, &reason), BARONET_NO_FILE);
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
    cr_expect_eq(read_path("/dev/null/file", 100, &bytes, &length, &reason), BARONET_NO_FILE);
    cr_expect_str_eq(reason, "it cannot be read");
}

Test(file_reader, a_file_that_may_not_be_read) {
    char path[] = "/tmp/baronet-test-XXXXXX";
    const int file = mkstemp(path);
    cr_assert_geq(file, 0);
    cr_assert_eq(fchmod(file, 0), 0);
    const uid_t self = geteuid();
    /* Whoever may do all may read it too, and steps back for this; 65534 is nobody. */
    cr_assert(self != 0 || seteuid(65534) == 0);
    char *bytes;
    size_t length;
    const char *reason;
    cr_expect_eq(read_path(path, 100, &bytes, &length, &reason), BARONET_NO_FILE);
    cr_expect_str_eq(reason, "permission is denied");
    cr_assert(self != 0 || seteuid(self) == 0);
    close(file);
    unlink(path);
}

Test(file_reader, memory_may_run_out_anywhere) {
    failing f;
    char path[] = "/tmp/baronet-test-XXXXXX";
    char *const written = write_path(path);
    const baronet_reader r = baronet_file_reader();
    for (size_t k = 1;; k++) {
        const baronet_allocator *const allocator = failing_start(&f, k);
        char *bytes = NULL;
        size_t length = 0;
        const char *reason;
        const baronet_status status =
            r.read(r.context, path, LENGTH, allocator, &bytes, &length, &reason);
        cr_expect_eq(status, f.failed ? BARONET_OUT_OF_MEMORY : BARONET_OK);
        cr_expect(f.failed || length == LENGTH);
        memory_resize(allocator, bytes, 0);
        cr_assert_eq(f.live, 0);
        if (!f.failed)
            break;
    }
    free(written);
    unlink(path);
}
