#!/bin/sh
# readme.sh PROGRAM [--write]: proves that the blocks of README.md and docs/*.md that are marked as a
# netlist or as output are what the file holds and the program prints (output may be cut short: its lines
# must be the first). With --write it puts them there. A mark stands on the line before its block:
#   <!-- netlist: FILE -->   or   <!-- output: COMMAND FILE OPTIONS -->   or   <!-- output 40: ... -->
#   <!-- source: FILE -->   or   <!-- example: FILE --> for what the example of docs/library.md prints
# SPDX-License-Identifier: MIT
set -u

program=$1
mode=${2:-check}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
broken=0
for page in README.md docs/*.md; do
    awk -v program="$program" '
        /^<!-- (netlist|source|output|example)( [0-9]+)?: .* -->$/ {
            print
            mark = $0
            gsub(/^<!-- | -->$/, "", mark)
            split(mark, part, ": ")
            rest = substr(mark, index(mark, ": ") + 2)
            split(part[1], kind, " ")
            command = kind[1] == "output"    ? program " " rest " 2>&1" \
                      : kind[1] == "example" ? "build/example/example " rest " 2>&1" : "cat " rest
            if (kind[2] != "") command = command " | head -n " kind[2]
            getline; print
            while ((command | getline line) > 0) print line
            close(command)
            while ((getline line) > 0 && line !~ /^```/) continue
            print line
            next
        }
        { print }' "$page" >"$work/page" || exit 1
    if [ "$mode" = --write ]; then
        cp "$work/page" "$page"
    elif ! diff -u "$page" "$work/page" >&2; then
        echo "readme: $page shows what the program does not print; sh tests/tools/readme.sh PROGRAM --write" >&2
        broken=1
    fi
done
exit $broken
