# cover.awk: what gcov tells of each line and branch (gcov -b -c -t), after the exceptions of
# uncovered.txt, becomes records for cover.sh, tabs between their fields:
#     file PATH LINES REACHED EXCEPTED BRANCHES TAKEN EXCEPTED
#     open PATH NUMBER WHAT            a line or a branch that no test reached
#     wrong WHAT                       in the list of exceptions
# SPDX-License-Identifier: MIT

BEGIN { OFS = "\t" }

function bare(words) {
    gsub(/^[ \t]+|[ \t]+$/, "", words)
    return words
}

# True where an exception fits the line; `with_below` is then whether what stands right below it, up
# to the next line that was reached, goes with it.
function excepted(unreached, missing,    i, found) {
    for (i = 1; i <= exceptions; i++) {
        if (index(file, where[i]) != 1 || index(source, shape[i]) == 0) continue
        if (unreached ? !of_line[i] : of_line[i] || amount[i] < missing) continue
        used[i] = found = 1
        with_below = with_below || widely[i]
    }
    return found
}

function finish_line(    unreached, let) {
    if (!counted) return
    counted = 0
    unreached = count ~ /^[#=]/
    with_below = unreached && below
    if (unreached) let = below || excepted(1, 0)
    else let = missing > 0 && excepted(0, missing)
    below = with_below
    lines[file]++
    lines_reached[file] += !unreached
    lines_let[file] += unreached && let
    branches[file] += all
    branches_taken[file] += all - missing
    branches_let[file] += let ? missing : 0
    if (!let && unreached) print "open", file, number, "not reached: " source
    if (!let && !unreached && missing > 0)
        print "open", file, number, "not taken of " all " branches:" untaken ": " source
}

FNR == 1 { part++ }

# The exceptions: a reason, and indented below it what it is a reason for.
part == 1 && /^[ \t]*(#|$)/ { next }
part == 1 && /^[^ \t]/ { reason = $0; next }
part == 1 && (NF < 3 || $2 !~ /^([1-9][0-9]*|line)[+]?$/ || reason == "") {
    print "wrong", FILENAME ":" FNR ": not FILE, a number or `line`, and the text of a line"
    next
}
part == 1 {
    exceptions++
    where[exceptions] = $1
    of_line[exceptions] = $2 ~ /^line/
    widely[exceptions] = $2 ~ /[+]$/
    amount[exceptions] = $2 + 0
    words = bare($0)
    sub(/^[^ \t]+[ \t]+[^ \t]+[ \t]+/, "", words)
    shape[exceptions] = words
    stands[exceptions] = FILENAME ":" FNR
    next
}

# What gcov says: a line as count, number and source, its branches after it.
/^ *-: +0:Source:/ {
    finish_line()
    file = substr($0, index($0, "Source:") + 7)
    below = 0
}
file !~ /^solver\/.*\.c$/ { next }
/^function / {
    finish_line()
    below = 0
}
/^branch / {
    all++
    if (/ never executed| taken 0( |$)/) {
        missing++
        untaken = untaken " " all
    }
}
/^ *[-#=0-9*]+: *[0-9]+:/ {
    finish_line()
    split($0, field, ":")
    count = bare(field[1])
    number = field[2] + 0
    source = bare(substr($0, length(field[1]) + length(field[2]) + 3))
    counted = count != "-"
    all = missing = 0
    untaken = ""
}

END {
    finish_line()
    for (file in lines)
        print "file", file, lines[file], lines_reached[file], lines_let[file], branches[file],
            branches_taken[file], branches_let[file]
    for (i = 1; i <= exceptions; i++)
        if (!used[i]) print "wrong", stands[i] ": fits nothing that the tests do not reach"
}
