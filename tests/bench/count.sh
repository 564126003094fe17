#!/bin/sh
# count.sh PROGRAM [--write]: instructions that the program takes for the camper's studies, counted
# by callgrind, beside those in tests/bench/counts.csv; --write renews that file. Counts do not
# depend on how busy the machine is, and the C library is told to leave the processor's own variants
# of its functions aside, so that another processor counts nearly the same. What stays: another
# compiler or another release of a library counts differently, and then the file is to be renewed.
# SPDX-License-Identifier: MIT
set -u

program=$1
kept=tests/bench/counts.csv
tolerance=3 # percent
# Written before each run: whatever a count means, it means it for these libraries.
tunables=glibc.cpu.hwcaps=-AVX512F,-AVX512VL,-AVX512BW,-AVX512DQ,-AVX2,-AVX2_Usable,-FMA,-FMA_Usable,-FMA4,-AVX,-AVX_Usable,-ERMS,-FSRM
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT INT TERM
command -v valgrind >/dev/null || { echo "count: valgrind is not installed" >&2; exit 1; }

count() {
    if GLIBC_TUNABLES=$tunables OPENBLAS_CORETYPE=Haswell OMP_NUM_THREADS=1 LC_ALL=C \
        valgrind --tool=callgrind --callgrind-out-file="$scratch/out" --log-file="$scratch/log" \
        "$program" "$@" >"$scratch/said" 2>&1; then
        sed -n 's/.*Collected *: *\([0-9]*\).*/\1/p' "$scratch/log"
    fi
}

for words in '--version' 'check netlists/camper.air' 'rates netlists/camper.air' \
    'rates netlists/camper.air --state easy' 'states netlists/camper.air' \
    'stroke netlists/camper.air --state easy' \
    'response netlists/camper.air --state easy --motion heave' \
    'times netlists/camper.air --state easy' \
    'ride netlists/camper.air --state easy' \
    'play netlists/camper.air --event bend-linked' 'parts netlists/camper.air' \
    'draw netlists/camper.air'; do
    # The words are to be split.
    # shellcheck disable=SC2086
    got=$(count $words)
    [ -n "$got" ] || { echo "count: $words: failed" >&2; cat "$scratch/said" >&2; exit 1; }
    echo "$words,$got"
done >"$scratch/counts"

if [ "${2:-}" = --write ]; then
    { echo "command,instructions"; cat "$scratch/counts"; } >"$scratch/new" && mv "$scratch/new" $kept
    exit
fi
awk -F, -v tolerance=$tolerance '
    FNR == NR { kept[$1] = $2; next }
    {
        by = kept[$1] > 0 ? 100 * ($2 / kept[$1] - 1) : 0
        word = !($1 in kept) ? "new" : by > tolerance ? "MORE" : by < -tolerance ? "fewer" : "ok"
        more += word == "MORE" || word == "new"
        printf "| `%s` | %.1f million | %+.1f %% | %s |\n", $1, $2 / 1e6, by, word
    }
    END { exit more > 0 }' $kept "$scratch/counts"
