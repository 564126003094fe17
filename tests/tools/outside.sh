#!/bin/sh
# outside.sh ROWS [--write]: ROWS is what the tests told of the rows of tests/reference that they compared
# (BARONET_ROWS). Proves that docs/outside-values.md lists them with what was got, to five digits; with
# --write it writes the page.
# SPDX-License-Identifier: MIT
set -u

rows=$1
page=docs/outside-values.md
now=$(mktemp) || exit 1
trap 'rm -f "$now" "$now.table"' EXIT

cat >"$now" <<'END'
# Outside values, row by row

<!-- Made from what the tests compared, by tests/tools/outside.sh; do not edit. -->

Each row of [tests/reference](../tests/reference/README.md) that a test compares: what is expected, in SI
units or as the row's unit says, what baronet gives, and how far they may be apart, as a share. The files
hold what each row starts from. Values are shown with six digits and compared with all of theirs.
END
# Of a row that several tests compare the first by its digits stands, whichever test came first.
LC_ALL=C sort -t, -k1,1 -k2,2n -k4,4 "$rows" | awk -F, '
    function plain(words) { gsub(/[|]/, "\\|", words); gsub(/_/, "\\_", words); return words }
    $1 == table && $2 == row { next }
    { row = $2 }
    $1 != table { printf "\n## %s\n", $1; table = $1; source = "" }
    {
        from = $9
        for (i = 10; i <= NF; i++) from = from "," $i
        if (from != source) {
            printf "\n%s\n\n| row | what | expected | got | unit | within |\n", plain(from)
            print "| --- | --- | --- | --- | --- | --- |"
            source = from
        }
        printf "| %s | %s: %s | %s | %s | %s | %s |\n", $2, plain($5), plain($6), $3, $4, plain($7), $8
    }' >>"$now"
printf '\n<!-- book -->\n' >>"$now"

if [ "${2:-}" = --write ]; then
    { cat "$now"; [ ! -f "$page" ] || sed '1,/^<!-- book -->$/d' "$page"; } >"$now.table"
    cp "$now.table" "$page"
    exit
fi
sed '/^<!-- book -->$/q' "$page" | awk -v now="$now" -v rows="$rows" -F ' [|] ' '
    function wrong(what) { print "outside: docs/outside-values.md: " what; broken = 1; exit }
    {
        theirs = $0
        if ((getline mine < now) <= 0) wrong("more lines than were compared: " theirs)
        if (mine == theirs) next
        n = split(mine, m, " [|] ")
        same = n == NF && n == 6
        for (i = 1; i <= n; i++) same = same && (i == 4 || m[i] == $i)
        apart = m[4] - $4
        size = $4 < 0 ? -$4 : $4
        if (!same || (apart < 0 ? -apart : apart) > 1e-5 * size + 1e-9)
            wrong("`" theirs "` where the tests got `" mine "`; if that is right: " \
                  "sh tests/tools/outside.sh " rows " --write")
    }
    END { if (!broken && (getline mine < now) > 0) { print "outside: not there: " mine; broken = 1 }
          exit broken }' >&2
