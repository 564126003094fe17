/* Tests of solver/base/digest.c
   SPDX-License-Identifier: MIT */
#include "base/digest.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

/* Examples of the standard's own supplement, SHA-256 of one and of two blocks, and of nothing
   (NIST, Examples with Intermediate Values, SHA256.pdf; the empty one: FIPS 180-4 test vectors,
   SHA256ShortMsg). */
Test(digest, agrees_with_the_standard) {
    static const struct {
        const char *message, *hex;
    } rows[] = {
        {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
        {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
        {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
         "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
    };
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        char hex[DIGEST_LENGTH + 1];
        digest_of(rows[k].message, strlen(rows[k].message), hex);
        cr_expect_str_eq(hex, rows[k].hex, "%s", rows[k].message);
    }
}

/* FIPS 180-2, appendix B.3: a million times the letter a. */
Test(digest, takes_long_messages) {
    enum { LENGTH = 1000000 };
    char *const bytes = malloc(LENGTH);
    cr_assert_not_null(bytes);
    memset(bytes, 'a', LENGTH);
    char hex[DIGEST_LENGTH + 1];
    digest_of(bytes, LENGTH, hex);
    free(bytes);
    cr_expect_str_eq(hex, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}
