#!/bin/sh
# check.sh ARCHIVE CC CXX PROGRAM PAGES: runs every check of the sources, and says which did not hold.
# SPDX-License-Identifier: MIT
set -u

tools=$(dirname "$0")
broken=0
run() {
    name=$1
    shift
    if sh "$tools/$name.sh" "$@"; then
        echo "check: $name: holds"
    else
        echo "check: $name: DOES NOT HOLD" >&2
        broken=$((broken + 1))
    fi
}
run layers
run writable "$1"
run headers "$2" "$3"
run layout
run map
run top-level
run example "$2"
run readme "$4"
run pictures "$4"
run pages "$5"
run shells
run book "$4"
[ "$broken" = 0 ]
