/* digest.h: the fingerprint of some bytes by SHA-256 (FIPS 180-4), through libmd.
   SPDX-License-Identifier: MIT */
#ifndef BASE_DIGEST_H
#define BASE_DIGEST_H

#include <stddef.h>

/* Hexadecimal digits, and a terminator. */
enum { DIGEST_LENGTH = 64 };

/* Lower-case digits, as sha256sum prints them. */
void digest_of(const char *bytes, size_t length, char hex[DIGEST_LENGTH + 1]);

#endif
