#!/bin/sh
# book.sh PROGRAM [--write]: proves that docs/ is one book: every page stands in the contents, docs/README.md,
# and ends with links to the pages before and after it; every link leads to a file; and each command
# and option of the program's help is documented. With --write it puts the links there.
# SPDX-License-Identifier: MIT
set -u

program=$1
mode=${2:-check}
mark='<!-- book -->'
broken=0
wrong() {
    echo "book: $*" >&2
    broken=1
}
title() { sed -n '1s/^# //p' "$1"; }
pages=$(sed -n 's/^- \[[^]]*\](\([a-z-]*\.md\)).*/\1/p' docs/README.md)

# The page as it is to be: all up to the mark, then the links.
bound() {
    awk -v mark="$mark" '
        $0 == mark { exit }
        { lines[++n] = $0 }
        END { while (n > 0 && lines[n] == "") n--
              for (i = 1; i <= n; i++) print lines[i] }' "docs/$1"
    printf '\n%s\n' "$mark"
    [ -z "$2" ] || printf 'Before: [%s](%s). ' "$(title "docs/$2")" "$2"
    printf '[Contents](README.md).'
    [ -z "$3" ] || printf ' Next: [%s](%s).' "$(title "docs/$3")" "$3"
    printf '\n'
}
work=$(mktemp) || exit 1
trap 'rm -f "$work"' EXIT
before=
set -- $pages
while [ $# -gt 0 ]; do
    page=$1
    shift
    if [ ! -f "docs/$page" ]; then
        wrong "docs/README.md names $page, which is not there"
        continue
    fi
    bound "$page" "$before" "${1:-}" >"$work"
    if [ "$mode" = --write ]; then
        cmp -s "$work" "docs/$page" || cp "$work" "docs/$page"
    elif ! cmp -s "$work" "docs/$page"; then
        wrong "docs/$page does not end with its links; make docs"
    fi
    before=$page
done
for page in docs/*.md; do
    page=${page#docs/}
    [ "$page" = README.md ] || printf '%s\n' "$pages" | grep -qx "$page" ||
        wrong "docs/$page is not in docs/README.md"
done

# Links within the project.
for page in README.md DEVELOPERS.md netlists/README.md tests/reference/README.md docs/*.md; do
    folder=$(dirname "$page")
    for link in $(grep -o ']([^) ]*)' "$page" | sed 's/^](//; s/)$//; s/#.*//' | grep -v '^[a-z]*:'); do
        [ -e "$folder/$link" ] || wrong "$page: no file $link"
    done
done

# Each option of the program's help is in the list of commands, and better in a page that tells of its use.
told=$(ls docs/*.md | grep -v -x docs/commands.md)
for option in $(grep -o '^| `--[a-z-]*' docs/commands.md | sed 's/^| `//' | sort -u); do
    [ "$option" = --help ] || cat $told | grep -q -e "$option\b" ||
        echo "book: no page but docs/commands.md speaks of $option"
done
for command in $(sed -n 's/^## `\(.*\)`$/\1/p' docs/commands.md); do
    cat $told | grep -q -e "baronet $command\b" -e "output[ 0-9]*: $command\b" ||
        echo "book: no page but docs/commands.md speaks of \`baronet $command\`"
done
for command in $("$program" --help | sed -n 's/^  \([a-z]*\)  *[^ ].*/\1/p'); do
    for option in $("$program" "$command" --help | sed -n 's/^  \(--[a-z-]*\).*/\1/p'); do
        awk -v command="$command" -v option="$option" '
            /^## / { here = $2 == "`" command "`" }
            here && index($0, "| `" option) == 1 { found = 1 }
            END { exit !found }' docs/commands.md || wrong "docs/ does not speak of $command $option"
    done
done
[ "$mode" = --write ] || exit $broken
