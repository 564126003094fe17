#!/bin/sh
# headers.sh CC CXX: proves that each public header compiles alone, as C and as C++, and each internal
# one as C.
# SPDX-License-Identifier: MIT
set -u

broken=0
try() {
    header=$1
    shift
    printf '#include "%s"\ntypedef int nothing_else;\n' "$header" |
        "$@" -Wall -Wextra -Wpedantic -Werror -Iinclude -Isolver -fsyntax-only - ||
        { echo "$header does not stand alone" >&2; broken=1; }
}
for file in include/baronet/*.h solver/*/*.h; do
    header=${file#*/}
    try "$header" $1 -D_POSIX_C_SOURCE=200809L -std=c11 -x c
    case $file in include/*) try "$header" $2 -std=c++17 -x c++ ;; esac
done
exit $broken
