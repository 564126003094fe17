#!/bin/sh
# map.sh: proves that the map in DEVELOPERS.md has one line for each source file and none for a file
# that is not there. A map line starts with the path in backquotes, after "- " or "| " if it likes;
# `solver/base/text.[ch]` stands for both. Each header of solver/ and include/, and each source there
# that has none, begins with what it is.
# SPDX-License-Identifier: MIT
set -u

[ -f DEVELOPERS.md ] || { echo "map: there is no DEVELOPERS.md" >&2; exit 1; }
nameless=$(find solver include -name '*.[ch]' | while read -r file; do
    [ "$file" != "${file%.c}.c" ] || [ ! -f "${file%.c}.h" ] || continue
    head -n 1 "$file" | grep -q '^/\* [^S]\|^/\* S[^P]' || echo "$file"
done)
[ -z "$nameless" ] || { echo "does not begin with what it is: $nameless" >&2; exit 1; }
{
    sed -n 's/^[-| ]*`\(\(solver\|include\|tests\)\/[^`]*\)\.\([ch]\|\[ch\]\)`.*/map \1.\3/p' \
        DEVELOPERS.md | sed 's/^map \(.*\)\.\[ch\]$/map \1.c\nmap \1.h/'
    find solver include tests -name '*.[ch]' | sed 's/^/tree /'
} | awk '
    $1 == "map" { lines[$2]++ }
    $1 == "tree" { present[$2] = 1 }
    END {
        for (file in present) if (!(file in lines)) { print "not in the map: " file; broken = 1 }
        for (file in lines) {
            if (!(file in present)) { print "in the map, not in the tree: " file; broken = 1 }
            if (lines[file] > 1) { print "in the map more than once: " file; broken = 1 }
        }
        exit broken
    }' >&2
