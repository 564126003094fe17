#!/bin/sh
# cover.sh FOLDER: tells from the counts that a run left in a build folder how much of each source
# file the tests reached.
# SPDX-License-Identifier: MIT
set -eu

find "$1/solver" -name '*.gcda' | sort | xargs -n 1 gcov -n 2>/dev/null | awk '
    /^File/ { split($0, quoted, "\047"); file = quoted[2] }
    /^Lines executed/ && file ~ /^solver\/.*\.c$/ {
        split($0, part, /[:% ]+/)
        lines = part[5]
        printf "%6.1f %% of %5d  %s\n", part[3], lines, file
        reached += part[3] * lines / 100
        all += lines
        file = ""
    }
    END { if (all > 0) printf "%6.1f %% of %5d  in all\n", 100 * reached / all, all }'
