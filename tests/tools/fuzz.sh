#!/bin/sh
# fuzz.sh SECONDS FUZZER...: runs the fuzz targets side by side for so long, with as little claim on
# the processor as can be. What they find new is kept in build/fuzz/NAME; an input that broke, leaked
# or took too long is named. `fuzz.sh keep FUZZER...` renews tests/fuzz/corpus from there.
# `fuzz.sh replay REPLAY...` takes what tests/fuzz/corpus holds once.
# SPDX-License-Identifier: MIT
set -u

mode=$1
shift
work=build/fuzz
broken=0

# The name of a target; the longest input that it is fed; what else it takes besides the corpus.
name_of() { basename "$1" | sed 's/^[a-z]*-//'; }
longest_of() {
    case $1 in
    quantity) echo 100 ;;
    options) echo 400 ;;
    *) echo 1600 ;;
    esac
}
more_of() { [ "$1" != netlist ] || echo netlists/*.air netlists/parts/*.air tests/golden/*.air; }

fuzz_one() {
    mkdir -p "$work/$2" "tests/fuzz/corpus/$2"
    nice -n 19 "$1" -max_total_time="$mode" -max_len="$(longest_of "$2")" -dict=tests/fuzz/words.dict \
        -timeout=60 -rss_limit_mb=2048 -print_final_stats=1 -artifact_prefix="$work/$2-" \
        -close_fd_mask="$([ "$2" = options ] && echo 2 || echo 0)" \
        "$work/$2" "tests/fuzz/corpus/$2" >"$work/$2.log" 2>&1
}
keep_one() { # the fewest that reach all that is reached, beside what the replay takes besides
    rm -rf "$work/kept" && mkdir -p "$work/kept" "$work/$2"
    others=$(more_of "$2")
    [ -z "$others" ] || cp $others "$work/kept"
    "$1" -set_cover_merge=1 -use_counters=0 -max_len="$(longest_of "$2")" -close_fd_mask=3 \
        "$work/kept" "tests/fuzz/corpus/$2" "$work/$2" 2>"$work/$2.log" || return 1
    for one in $others; do rm -f "$work/kept/$(basename "$one")"; done
    rm -rf "tests/fuzz/corpus/$2" && mv "$work/kept" "tests/fuzz/corpus/$2"
}
replay_one() { # words go to a log, which is of interest only where it ends badly
    "$1" $(more_of "$2") tests/fuzz/corpus/"$2"/* 2>"$work/$2.log"
}

mkdir -p "$work"
started=
for target in "$@"; do
    name=$(name_of "$target")
    case $mode in
    keep) keep_one "$target" "$name" || { echo "fuzz: $name: not kept" >&2; broken=1; } ;;
    replay)
        printf '%s: ' "$name"
        replay_one "$target" "$name" || { tail -n 40 "$work/$name.log" >&2; broken=1; } ;;
    *)
        fuzz_one "$target" "$name" &
        started="$started $name:$!" ;;
    esac
done
for one in $started; do
    wait "${one#*:}" || broken=1
    echo "fuzz: ${one%%:*}"
    grep -E 'SUMMARY|Test unit|number_of_executed|slowest' "$work/${one%%:*}.log"
done
exit $broken
