#!/bin/sh
# pictures.sh PROGRAM [--write]: proves that the pictures in docs/ are what the program draws now. With
# --write it draws them. A mark stands on the line before each picture:
#   <!-- picture: COMMAND FILE OPTIONS -->
#   ![what it shows](pictures/NAME.svg)
# SPDX-License-Identifier: MIT
set -u

program=$1
mode=${2:-check}
work=$(mktemp) || exit 1
list=$(mktemp) || exit 1
trap 'rm -f "$work" "$list"' EXIT
broken=0
wrong() {
    echo "pictures: $*" >&2
    broken=1
}
awk '/^<!-- picture: .* -->$/ {
         words = $0
         gsub(/^<!-- picture: | -->$/, "", words)
         getline
         name = $0
         sub(/.*\(/, "", name)
         sub(/\).*/, "", name)
         print name, words
     }' docs/*.md >"$list"
while read -r name words; do
    # shellcheck disable=SC2086
    "$program" $words --as svg >"$work" </dev/null || wrong "$words: no picture"
    if [ "$mode" = --write ]; then
        cmp -s "$work" "docs/$name" || cat "$work" >"docs/$name"
    elif ! cmp -s "$work" "docs/$name"; then
        wrong "docs/$name is not what \`$words\` draws; make docs"
    fi
done <"$list"
for file in docs/pictures/*.svg; do
    grep -q "^${file#docs/} " "$list" || wrong "no page shows $file"
done
exit $broken
