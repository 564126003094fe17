#!/bin/sh
# top-level.sh: proves that the top level holds what a newcomer is told of, and nothing else.
# SPDX-License-Identifier: MIT
set -u

expected="DEVELOPERS.md LICENSE Makefile README.md docs include netlists solver tests "
found=$(LC_ALL=C ls -1 | grep -v -x build | tr '\n' ' ')
[ "$found" = "$expected" ] || {
    echo "top level: expected $expected" >&2
    echo "top level: found    $found" >&2
    exit 1
}
