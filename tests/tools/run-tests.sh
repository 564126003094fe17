#!/bin/sh
# run-tests.sh RUNNER SOURCE...: runs all Criterion tests of the runner and holds the number that ran
# against the number that the sources define, since a runner that finds no test also ends well. A
# sanitizer's report fails the run even where the test itself did not notice.
# SPDX-License-Identifier: MIT
set -u

runner=$1
shift
folder=$(dirname "$runner")
logs=$folder/sanitizer-log
output=$folder/tests-output.txt
rm -f "$logs".*
export ASAN_OPTIONS="log_path=$logs" UBSAN_OPTIONS="log_path=$logs:print_stacktrace=1"
export LSAN_OPTIONS="log_path=$logs"
export BARONET="$folder/baronet"
export BARONET_ROWS="$folder/rows.csv" # outside values that are compared
rm -f "$BARONET_ROWS"

# A locale with a decimal comma for the tests that need one; without it they say so and pass.
comma=$folder/locale
if [ ! -d "$comma/de_DE.UTF-8" ] && command -v localedef >/dev/null; then
    mkdir -p "$comma"
    localedef -i de_DE -f UTF-8 "$comma/de_DE.UTF-8" >/dev/null 2>&1 || rmdir "$comma" 2>/dev/null
fi
[ -d "$comma/de_DE.UTF-8" ] && export COMMA_LOCALES="$comma"

"$runner" --timeout "${TEST_SECONDS:-300}" >"$output" 2>&1
code=$?
cat "$output"
expected=$(cat "$@" | grep -c '^Test(')
count() {
    sed -n "s/.*Synthesis:.*$1: \([0-9]*\).*/\1/p" "$output" | tail -n 1
}
tested=$(count Tested)
passed=$(count Passing)
failed=$((expected - ${passed:-0}))
if [ "${tested:-0}" != "$expected" ]; then
    echo "tests: the sources define $expected tests, ${tested:-0} ran" >&2
    code=1
fi
for log in "$logs".*; do
    [ -e "$log" ] || continue
    cat "$log" >&2
    code=1
done
echo "${passed:-0} passed, $failed failed"
[ "$code" != 0 ] || sh "$(dirname "$0")/outside.sh" "$BARONET_ROWS" || code=1
[ "$code" = 0 ] || { echo "tests: failed" >&2; exit 1; }
