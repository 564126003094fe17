#!/bin/sh
# analyse.sh CC FLAG...: reads the sources with cppcheck, clang-tidy and gcc -fanalyzer, and says what
# they find but for what excused.txt gives a reason for; a reason for nothing is a finding too.
# SPDX-License-Identifier: MIT
set -eu

cc=$1
shift
tools=$(dirname "$0")
folder=build/analyse
mkdir -p "$folder"
workers=$(getconf _NPROCESSORS_ONLN)

# Each finding as `TOOL FILE CHECK`, and the tool's own words.
for file in include/baronet/*.h solver/*/*.c; do echo "$file"; done >"$folder/headers-and-sources"
grep '\.c$' "$folder/headers-and-sources" >"$folder/sources"

# BARONET_CHECKED and BARONET_API are attributes, which cppcheck takes for types.
cppcheck --quiet --std=c11 -Iinclude -Isolver -DBARONET_API= -DBARONET_CHECKED= \
    --enable=warning,portability,performance --inline-suppr \
    --template='cppcheck {file} {id} line {line}: {message}' --template-location='' \
    --file-list="$folder/sources" 2>"$folder/cppcheck" || true
echo "analyse: cppcheck has read $(wc -l <"$folder/sources") files"

xargs -P "$workers" -n 4 sh -c 'tidy=$0; for f in "$@"; do clang-tidy --quiet "$f" -- '"$*"' 2>/dev/null; done' \
    tidy <"$folder/sources" >"$folder/clang-tidy-words" || true
sed -n 's|^'"$PWD"'/\(solver/[^:]*\):\([0-9]*\):[0-9]*: error: \(.*\) \[\([^],]*\).*\]$|clang-tidy \1 \4 line \2: \3|p' \
    "$folder/clang-tidy-words" | sort -u >"$folder/clang-tidy"
echo "analyse: clang-tidy has read them"

xargs -P "$workers" -n 1 sh -c '"$0" "$@"' "$cc" "$@" -O1 -fanalyzer -c -o /dev/null \
    <"$folder/sources" 2>"$folder/fanalyzer-words" || true
sed -n 's|^\(solver/[^:]*\):\([0-9]*\):[0-9]*: warning: \(.*\) \[-Wanalyzer-\([a-z-]*\)\]$|fanalyzer \1 \4 line \2: \3|p' \
    "$folder/fanalyzer-words" | sort -u >"$folder/fanalyzer"
echo "analyse: $cc -fanalyzer has read them"

cat "$folder/cppcheck" "$folder/clang-tidy" "$folder/fanalyzer" | awk -v reasons="$tools/excused.txt" '
    BEGIN {
        while ((getline line < reasons) > 0) {
            if (line ~ /^[a-z]/) {
                split(line, part, " ")
                excused[part[1] " " part[2] " " part[3]] = 1
            }
        }
    }
    { key = $1 " " $2 " " $3; seen[key] = 1 }
    !(key in excused) { print; open++ }
    END {
        for (key in excused) {
            if (!(key in seen)) {
                print reasons ": nothing to excuse: " key
                open++
            }
        }
        printf "analyse: %d findings without a reason\n", open
        exit open > 0
    }'
