#!/bin/sh
# performance.sh BUILD [PART...]: measures, and writes docs/performance.md whole or not at all. Parts
# that are not named are taken as they were measured last, where they were: each says when.
# SPDX-License-Identifier: MIT
set -u

build=$1
shift
all='speed design events netlist scale compare count'
folder=build/bench
page=docs/performance.md
mkdir -p $folder

when() {
    load=$(cut -d' ' -f1 /proc/loadavg 2>/dev/null)
    printf '\nMeasured at a load of %s before it began.\n' "${load:-unknown}"
}

counted() {
    printf '\n## Instructions\n\n'
    printf 'Instructions of whole processes as callgrind counts them, beside those kept in\n'
    printf '`tests/bench/counts.csv` (`make count` tells, `make count-write` renews): more than 3 %% more is a\n'
    printf 'regression on any machine. Processor time depends on what else runs, this does not.\n\n'
    printf '| what | counted | against the kept | |\n| --- | ---: | ---: | --- |\n'
    sh tests/bench/count.sh "$build/baronet"
}

measure() {
    case $1 in
    compare) /usr/bin/python3 tests/bench/compare.py "$build/baronet" ;;
    count) counted ;;
    *) "$build/bench-bench_$1" ;;
    esac
}

failed=0
for part in ${*:-$all}; do
    echo "  measure $part" >&2
    line=$(when)
    if measure "$part" >$folder/new.md; then :; else
        echo "bench: $part did not end well" >&2
        failed=1
    fi
    # The line on when stands below the section's own words.
    { cat $folder/new.md; echo "$line"; } >$folder/part-"$part".md
    rm -f $folder/new.md
done

{
    cat <<END
# Speed and size

Written by \`make bench\` on a machine with $(nproc) processors, built by $(basename "${CC:-gcc}") $(${CC:-gcc} -dumpversion).
All times are processor time, so that other programs matter less; on a busy machine with two
threads a core they are still up to twice as long. Ratios are of things measured in turns in one
run, and stay what they are. A load is of programs at work: with as many as processors, none has to wait. "SHORT" marks what is short of what is wanted.
END
    for part in $all; do
        [ -f $folder/part-$part.md ] && cat $folder/part-$part.md
    done
    printf '\n<!-- book -->\n'
} >$folder/page.md
mv $folder/page.md $page.new && mv $page.new $page
sh tests/tools/book.sh "$build/baronet" --write
grep '| SHORT\|| MORE\|| APART' $page >&2
exit $failed
