#!/bin/sh
# layout.sh: proves that all C sources are as clang-format lays them out.
# SPDX-License-Identifier: MIT
set -u

if ! command -v clang-format >/dev/null; then
    echo "layout: skipped, there is no clang-format"
    exit 0
fi
broken=0
for file in $(find include solver tests -name '*.[ch]'); do
    clang-format "$file" | cmp -s - "$file" ||
        { echo "make format would change $file" >&2; broken=1; }
done
exit $broken
