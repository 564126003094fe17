/* api.h: marks what leaves the shared library, and what must not be ignored.
   SPDX-License-Identifier: MIT */
#ifndef BARONET_API_H
#define BARONET_API_H

#if defined(__GNUC__)
#define BARONET_API     __attribute__((visibility("default")))
#define BARONET_CHECKED __attribute__((warn_unused_result))
#else
#define BARONET_API
#define BARONET_CHECKED
#endif

#define BARONET_VERSION "0.1.0"

#endif
