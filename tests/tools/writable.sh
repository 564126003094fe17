#!/bin/sh
# writable.sh ARCHIVE: proves that the library has no writable data: nothing in .data or .bss.
# Constant tables of pointers lie in .data.rel.ro, which is read-only once the program runs.
# SPDX-License-Identifier: MIT
set -u

[ -f "$1" ] || { echo "writable: there is no $1" >&2; exit 1; }
found=$(nm --format=sysv "$1" | awk -F '|' '
    /^Symbols from/ { object = $0 }
    $7 ~ /^ *([.]t?(data|bss)|[*]COM[*])/ && $7 !~ /^ *[.]data[.]rel[.]ro/ { print object, $1, $7 }')
[ -z "$found" ] || { echo "$found" >&2; exit 1; }
