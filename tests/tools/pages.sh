#!/bin/sh
# pages.sh PAGES [--write]: proves that the files which are made from the program's tables are what
# they would be if they were made now, and that the manual pages are well-formed. With --write it
# writes them.
# SPDX-License-Identifier: MIT
set -u

pages=$1
mode=${2:-check}
broken=0
now=$(mktemp) || exit 1
trap 'rm -f "$now"' EXIT
for file in $("$pages"); do
    sed '/^<!-- book -->$/q' "$file" >"$now" 2>/dev/null # what follows are links to other pages
    if [ "$mode" = --write ]; then
        mkdir -p "$(dirname "$file")" && "$pages" "$file" >"$file" || broken=1
    elif ! "$pages" "$file" | diff -u "$now" - >&2; then
        echo "pages: $file is not what the program's tables say; make docs" >&2
        broken=1
    fi
done
if command -v man >/dev/null && man --help 2>/dev/null | grep -q -e --warnings; then
    for file in docs/baronet.[15]; do
        said=$(man --warnings -E UTF-8 -l -Tutf8 -Z "$file" 2>&1 >/dev/null)
        [ -z "$said" ] || { echo "pages: $file: $said" >&2; broken=1; }
    done
else
    echo "pages: manual pages not looked at, there is no man"
fi
exit $broken
