/* SPDX-License-Identifier: MIT */
#include "base/digest.h"

/* The header uses type names of BSD. */
#include <stdint.h>
#include <sys/types.h>

#include <sha2.h>

void digest_of(const char *bytes, size_t length, char hex[DIGEST_LENGTH + 1]) {
    uint8_t digest[SHA256_DIGEST_LENGTH];
    SHA2_CTX context;
    SHA256Init(&context);
    SHA256Update(&context, (const uint8_t *)bytes, length);
    SHA256Final(digest, &context);
    static const char digits[] = "0123456789abcdef";
    for (int i = 0; i < SHA256_DIGEST_LENGTH; i++) {
        hex[2 * i] = digits[digest[i] >> 4];
        hex[2 * i + 1] = digits[digest[i] & 15];
    }
    hex[DIGEST_LENGTH] = '\0';
}
