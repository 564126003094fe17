#!/bin/sh
# cover.sh FOLDER [PATH...]: tells from the counts that a run left in a build folder how many lines
# and branches of each source file the tests reached, lowest first, and holds that against the goals.
# With paths, or beginnings of them, it lists what was not reached there. What no test can reach stands in
# uncovered.txt with its reason.
# SPDX-License-Identifier: MIT
set -eu

tools=$(dirname "$0")
folder=$1
shift
whole='^solver/(netlist/|base/units[.]c|output/(view|xml|svg|chart|drawing_svg|picture_html))'
goal=95 # % of all lines, and of all branches

told=$folder/coverage.txt
find "$folder/solver" -name '*.gcno' | LC_ALL=C sort | xargs ${GCOV:-gcov} -b -c -t 2>/dev/null |
    awk -f "$tools/cover.awk" "$tools/uncovered.txt" - >"$told"

if [ $# -gt 0 ]; then
    for path in "$@"; do
        awk -F '\t' -v path="$path" '$1 == "open" && index($2, path) == 1 {
            print $2 ":" $3 ": " $4 }' "$told"
    done
    exit
fi

awk -F '\t' '$1 == "file" { printf "%.6f\t%s\n", ($6 ? ($7 + $8) / $6 : 1), $0 }' "$told" |
    LC_ALL=C sort -k1,1n -k3,3 | cut -f 2- | cat - "$told" | awk -F '\t' -v whole="$whole" -v goal=$goal '
    # Never shown as 100 where one is missing.
    function share(part, of) { return of > 0 ? int(1000 * part / of) / 10 : 100 }
    function row(name, l, l_got, l_let, b, b_got, b_let) {
        printf "%5.1f %% of %5d, %4d excepted  %5.1f %% of %5d, %4d excepted  %s\n",
            share(l_got, l), l, l_let, share(b_got, b), b, b_let, name
    }
    function fail(what) { print "cover: " what; broken = 1 }
    $1 == "file" && seen[$2]++ == 0 {
        if (!rows++) print "lines reached               branches taken"
        row($2, $3, $4, $5, $6, $7, $8)
        for (i = 3; i <= 8; i++) sum[i] += $i
    }
    $1 == "open" && $2 ~ whole { fail($2 ":" $3 ": " $4) }
    $1 == "wrong" { fail($2) }
    END {
        row("in all", sum[3], sum[4], sum[5], sum[6], sum[7], sum[8])
        if (sum[4] + sum[5] < goal / 100 * sum[3]) fail("the goal is " goal " % of lines")
        if (sum[7] + sum[8] < goal / 100 * sum[6]) fail("the goal is " goal " % of branches")
        if (!rows) fail("there are no counts")
        exit broken
    }'
